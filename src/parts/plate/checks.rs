//! What must hold of a plate before it is printed: measured on the plan, each against its limit.

use super::extras::RING_THICKNESS;
use super::openings::{Opening, PLUG_PLAY, Purpose};
use super::plan::{Hold, Plan};
use super::plugs;
use super::shape::Shape;
use super::sizing::{SEPARATION, Sizing, sound_wall};
use super::spec::Plate;
use crate::catalog::cables::Group;
use crate::catalog::{fans, probes};
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::error::{Result, hundredth, number, to_hundredth};
use crate::solid::{Point2, Vector2, Vector3};
use crate::workshop::{PRINTERS, Printer, Workshop};
use std::f64::consts::FRAC_PI_2;

/// Left free before the lid, mm.
const LID_ROOM: f64 = 2.0;
/// What drive makers' cabinet manuals ask between motor cables and signal cables, mm (from memory).
const DRIVES_ASK: (f64, f64) = (100.0, 200.0);

/// Everything the checks look at.
pub struct Checked<'a> {
    /// The request.
    pub spec: &'a Plate,
    /// The printer and material.
    pub workshop: &'a Workshop,
    /// The numbers.
    pub sizing: &'a Sizing,
    /// The places.
    pub plan: &'a Plan,
    /// How the plate is drawn.
    pub shape: &'a Shape<'a>,
    /// The printed pieces, those of the plate itself first.
    pub pieces: &'a [Piece],
    /// How many are the plate's own.
    pub plate: usize,
    /// Widest gap of a grille, mm.
    pub grille_gap: Option<f64>,
}

/// Least web between two openings as drawn, mm; infinite with fewer than two.
pub fn least_web(sizing: &Sizing, plan: &Plan) -> f64 {
    let mut least = f64::INFINITY;
    for i in 0..plan.centres.len() {
        for j in 0..i {
            for a in middles(sizing, plan, i) {
                for b in middles(sizing, plan, j) {
                    least = least.min((a - b).norm() - reach(sizing, i) - reach(sizing, j));
                }
            }
        }
        // An opening in a piece and the piece's parted edge have a web between them too.
        for (k, line) in plan.lines.iter().enumerate() {
            if plan.on_line[i] != Some(k) {
                least = least.min((plan.centres[i].y - line).abs() - reach(sizing, i) - sizing.gap / 2.0);
            }
        }
    }
    least
}

/// Least rim from an opening to the spigot's wall, mm; infinite without openings.
pub fn least_rim(sizing: &Sizing, plan: &Plan) -> f64 {
    (0..plan.centres.len())
        .flat_map(|i| middles(sizing, plan, i).into_iter().map(move |at| (i, at)))
        .map(|(i, at)| plan.spigot.depth(at).0 - reach(sizing, i))
        .fold(f64::INFINITY, f64::min)
}

/// Where an opening's middle lies: one on a parting line is two halves, each about the edge of its own piece, so
/// that they close to a circle when the pieces are pressed together.
fn middles(sizing: &Sizing, plan: &Plan, i: usize) -> Vec<Point2> {
    let apart = Vector2::new(0.0, sizing.gap / 2.0);
    match plan.on_line[i] {
        Some(_) => vec![plan.centres[i] + apart, plan.centres[i] - apart],
        None => vec![plan.centres[i]],
    }
}

/// From an opening's middle to the outermost of its wall, mm.
fn reach(sizing: &Sizing, i: usize) -> f64 {
    let opening = &sizing.openings[i];
    match &opening.purpose {
        Purpose::Button(button) => button.notch_height - button.hole / 2.0,
        _ => sizing.wall_radius(opening),
    }
}

/// The largest probe that passes anywhere, mm in diameter, and where.
pub fn largest_gap(checked: &Checked) -> (f64, String) {
    let (sizing, plan) = (checked.sizing, checked.plan);
    let mut gaps = vec![(0.0, "nowhere".to_string())];
    for (i, opening) in sizing.openings.iter().enumerate().filter(|(_, opening)| opening.is_cable()) {
        // A cord stands into the opening by what its groove does not hold; a bush is slit.
        let clear = match (sizing.cord, sizing.bush) {
            (Some(cord), _) => opening.bore + 2.0 * (sizing.groove(opening) - cord.cord),
            (None, Some(bush)) => opening.bore - 2.0 * bush,
            (None, None) => opening.bore,
        };
        // Two halves stand apart by the gap that is drawn between the pieces.
        let clear = if plan.on_line[i].is_some() { clear + sizing.gap } else { clear };
        let beside = (clear - opening.least).max(0.0);
        // Between wires and wall no more passes than one wire would, and what is free beside them all.
        gaps.push(match opening.wire > 0.0 {
            true => (beside + opening.wire, format!("at most, between the wires of {}", opening.label)),
            false => (beside, format!("beside {}", opening.label)),
        });
        if sizing.bush.is_some() {
            gaps.push((super::extras::SLIT, format!("through the slit of the bush of {}", opening.label)));
        }
    }
    if !plan.lines.is_empty() {
        gaps.push((sizing.gap, "between the pieces".into()));
    }
    if let Some(gap) = checked.grille_gap {
        gaps.push((gap, "through the grille".into()));
    }
    gaps.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, String::new()))
}

impl Checked<'_> {
    /// Every check, in the order a report shows them.
    pub fn findings(&self) -> Result<Vec<Finding>> {
        let mut found = vec![];
        found.extend(self.web());
        found.extend(self.rim());
        found.push(self.overlap());
        found.extend(self.screw_edge());
        found.extend(self.separation());
        found.extend(self.plug_passes());
        found.extend(self.anchors()?);
        found.extend(self.lid()?);
        found.push(self.spigot_clearance());
        found.push(self.bed_size());
        found.push(self.overhang());
        found.push(self.open_area()?);
        Ok(found)
    }

    fn web(&self) -> Option<Finding> {
        let web = least_web(self.sizing, self.plan);
        let limit = sound_wall(self.workshop.printer.line_width);
        web.is_finite().then(|| {
            Finding::at_least(
                "web",
                (web, limit, "mm"),
                self.thin(web),
                format!(
                    "The thinnest web between two openings, or to a parted edge, is {} mm.",
                    hundredth(web)
                ),
                format!(
                    "Give --web {}, and take the hole {} mm larger if need be.",
                    number(limit),
                    number(up(2.0 * (limit - web)))
                ),
                "common practice: four lines of plastic, at least 2 mm",
            )
        })
    }

    fn rim(&self) -> Option<Finding> {
        let rim = least_rim(self.sizing, self.plan);
        let limit = sound_wall(self.workshop.printer.line_width);
        rim.is_finite().then(|| {
            Finding::at_least(
                "rim",
                (rim, limit, "mm"),
                self.thin(rim),
                format!(
                    "The thinnest rim between an opening and the spigot's wall is {} mm.",
                    hundredth(rim)
                ),
                format!(
                    "Give --rim {}, and take the hole {} mm larger if need be.",
                    number(limit),
                    number(up(2.0 * (limit - rim)))
                ),
                "common practice: four lines of plastic, at least 2 mm",
            )
        })
    }

    /// How grave a wall thinner than a sound one is: three lines still make a wall, two do not.
    fn thin(&self, wall: f64) -> Level {
        match wall < 3.0 * self.workshop.printer.line_width - 1e-9 {
            true => Level::Stop,
            false => Level::Caution,
        }
    }

    fn overlap(&self) -> Finding {
        let limit = 5.0 + self.sizing.clearance.mm;
        Finding::at_least(
            "overlap",
            (self.plan.margin, limit, "mm"),
            if self.plan.margin < 3.0 + self.sizing.clearance.mm { Level::Stop } else { Level::Caution },
            format!("The plate overlaps the hole by {} mm all round.", number(self.plan.margin)),
            format!("Give --margin {}.", number(limit.ceil())),
            "common practice: a rough hole wanders by 2 mm, and 3 mm must still lie on the sheet",
        )
    }

    /// Distance from a screw's hole to the nearest edge.
    fn screw_edge(&self) -> Option<Finding> {
        let screw = &self.sizing.screw;
        let least = self.plan.least_screw_room(self.sizing);
        let limit = screw.edge();
        least.is_finite().then(|| {
            Finding::at_least(
                "screw-edge",
                (least + 1e-9, limit, "mm"),
                Level::Stop,
                format!(
                    "The holes of the {} screws keep {} mm from every edge, spigot and groove.",
                    screw.size,
                    hundredth(least)
                ),
                format!(
                    "Give --margin {} or a smaller --screw.",
                    number((self.plan.margin + 2.0 * (limit - least)).ceil())
                ),
                format!("common practice: 0.6 times the thread, at least 2 mm; {}", screw.source),
            )
        })
    }

    fn separation(&self) -> Option<Finding> {
        let openings = &self.sizing.openings;
        let mut least = f64::INFINITY;
        for i in 0..openings.len() {
            for j in (0..i).filter(|&j| openings[i].is_cable() && openings[j].is_cable()) {
                if openings[i].group.is_power() != openings[j].group.is_power() {
                    let apart = (self.plan.centres[i] - self.plan.centres[j]).norm();
                    least = least.min(apart - openings[i].bore / 2.0 - openings[j].bore / 2.0);
                }
            }
        }
        let limit = self.sizing.separation.mm.max(SEPARATION);
        let motor = openings.iter().any(|opening| opening.is_cable() && opening.group == Group::Motor);
        let drives = match motor {
            true => format!(
                " Makers of drives ask {} to {} mm between motor and signal cables: a plate of this size cannot give that; screen the motor cable and lead them apart at once on both sides.",
                DRIVES_ASK.0, DRIVES_ASK.1
            ),
            false => String::new(),
        };
        least.is_finite().then(|| {
            Finding::at_least(
                "separation",
                (least, limit, "mm"),
                Level::Caution,
                format!(
                    "Cables of power and of signal or data pass {} mm apart.{drives}",
                    hundredth(least)
                ),
                format!(
                    "Take a hole about {} mm larger, or carry the signal cables elsewhere.",
                    number(up(limit - least))
                ),
                "common practice where they only pass a plate; on longer runs side by side EN 50174-2 asks for far more",
            )
        })
    }

    /// The plug that finds it hardest to pass.
    fn plug_passes(&self) -> Option<Finding> {
        let plugs::Hardest { opening, room, across, laid } = plugs::hardest(self.sizing)?;
        let where_to = match (opening.must_part(), laid) {
            (false, _) => "its opening".to_string(),
            (true, 1) => "the hole, and its cable is laid in between the pieces".to_string(),
            (true, n) => format!(
                "the hole beside the cables before it, largest plug first; {n} cables are laid in between the pieces"
            ),
        };
        let limit = across + PLUG_PLAY;
        let wider = match room < limit {
            true => plugs::hole_that_passes(self.spec, self.sizing),
            false => None,
        };
        Some(Finding::at_least(
            "plug-passes",
            (room, limit, "mm"),
            Level::Stop,
            format!(
                "The plug on {}, {} mm across, has {} mm to pass through {where_to}.",
                opening.label,
                number(across),
                hundredth(room)
            ),
            match wider {
                Some(hole) => {
                    format!("Take that plug off, or take a {}, which every plug passes.", hole.words())
                }
                None => "Take that plug off.".to_string(),
            },
            "the hole itself; 0.4 mm of play, common practice",
        ))
    }

    /// What stands up inside against the free depth behind the sheet.
    fn lid(&self) -> Result<Option<Finding>> {
        let Some(behind) = self.spec.behind.map(|behind| behind.mm()) else {
            return Ok(None);
        };
        let fan = self.spec.fan.map(|frame| fans::of_frame(frame.mm())).transpose()?;
        let buttons = self.sizing.openings.iter().filter_map(Opening::button);
        let deepest = buttons.map(|button| button.depth).fold(0.0, f64::max);
        let sheet = self.sizing.sheet.mm;
        let spigot = self.sizing.full() - self.sizing.thickness.mm - sheet;
        let posts = self.plan.holds.iter().flatten();
        let posts = posts.filter_map(|hold| match hold {
            Hold::Post(post) | Hold::Comb(post) => Some(spigot + post.shape.height),
            Hold::Margin(_) => None,
        });
        let bend = self.sizing.openings.iter().filter(|o| o.is_cable());
        let all = [
            (spigot, "spigot", "a shorter --spigot-depth"),
            (posts.fold(0.0, f64::max), "tallest post or comb", "--anchors margin, or a narrower --tie"),
            (
                if self.plan.ring { RING_THICKNESS + self.sizing.screw.beyond() } else { 0.0 },
                "backing ring with its nuts",
                "--mount screws",
            ),
            (fan.map_or(0.0, |fan| fan.depth + spigot.max(0.0)), "fan", "a place with more room behind it"),
            (deepest, "push-button with its contact block", "a place with more room behind it"),
        ];
        let free = to_hundredth(behind - LID_ROOM);
        let hard = all.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, "plate", "more room"));
        let turn = bend.map(Opening::bend_radius).fold(0.0, f64::max);
        // A cable bent harder than it should be wears; what does not fit does not fit.
        let (level, (stands, what, way)) = match hard.0 <= free && turn > free {
            true => (
                Level::Caution,
                (turn, "stiffest cable, to turn before the lid,", "a thinner or more supple cable"),
            ),
            false => (Level::Stop, hard),
        };
        Ok(Some(Finding::at_most(
            "lid",
            (to_hundredth(stands), free, "mm"),
            level,
            format!(
                "The {what} needs {} mm behind the sheet, of {} mm that are free.",
                hundredth(stands),
                number(behind)
            ),
            format!("Give {way}."),
            "2 mm to the lid, common practice; the deepest common fan of the frame, a push-button with one contact block: makers' catalogues, from memory",
        )))
    }

    fn spigot_clearance(&self) -> Finding {
        let play = self.sizing.clearance.mm;
        let (least, most) = (0.1, 1.0);
        if play > most {
            return Finding::at_most(
                "spigot-clearance",
                (play, most, "mm"),
                Level::Caution,
                format!(
                    "The spigot has {} mm of play on each side and centres the plate no better than that.",
                    number(play)
                ),
                "Give --spigot-clearance 0.25.",
                "common practice",
            );
        }
        Finding::at_least(
            "spigot-clearance",
            (play, least, "mm"),
            Level::Caution,
            format!("The spigot has {} mm of play in the hole on each side.", number(play)),
            "Give --spigot-clearance 0.25, or file the hole.",
            "common practice: prints come out up to 0.1 mm a side too large",
        )
    }

    fn bed_size(&self) -> Finding {
        let bed = self.workshop.printer.bed;
        let spare = |size: Vector3| bed_spare((bed[0], bed[1]), (size.x, size.y)).min(bed[2] - size.z);
        let (size, left) = self
            .pieces
            .iter()
            .map(|piece| piece.body.bounds().size())
            .map(|size| (size, spare(size)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or((Vector3::zeros(), 0.0));
        // Halves part along the longer side, seldom in its very middle.
        let (long, short) = (size.x.max(size.y), size.x.min(size.y));
        let halved = Vector3::new(long, 0.62 * short + 2.0, size.z);
        let larger = PRINTERS.iter().find_map(|(name, _)| {
            let bed = Printer::find(name).ok()?.bed;
            let fits = bed_spare((bed[0], bed[1]), (size.x, size.y)).min(bed[2] - size.z) >= 0.0;
            fits.then(|| format!("name a larger printer (--printer {name})"))
        });
        let mut ways = vec![];
        if self.plan.lines.is_empty() && self.grille_gap.is_none() && spare(halved) >= 0.0 {
            ways.push("give --split halves".to_string());
        }
        ways.extend(larger);
        ways.push("cover part of the hole with sheet first".to_string());
        Finding::at_most(
            "bed-size",
            (to_hundredth(long), to_hundredth(long + left), "mm"),
            Level::Stop,
            format!(
                "The largest piece, {} x {} mm, leaves {} mm of the bed, laid as suits it best.",
                hundredth(size.x),
                hundredth(size.y),
                hundredth(left)
            ),
            format!("To print it, {}.", ways.join(", or ")),
            format!("printer preset {}", self.workshop.printer.name),
        )
    }

    /// The longest bridge, measured on the solids: the roof of a tunnel. Whatever else leans out
    /// further than the printer can is no bridge and counts as one without end.
    fn overhang(&self) -> Finding {
        let printer = &self.workshop.printer;
        let lean = printer.overhang_deg.to_radians() + 1e-3;
        let sloping = self.pieces.iter().any(|piece| {
            let leaning = piece.mesh.overhangs(lean);
            leaning.iter().any(|found| found.lean < FRAC_PI_2 - 1e-3)
        });
        let bridges = self.pieces.iter().flat_map(|piece| piece.body.bridges());
        let longest = bridges.map(|bridge| bridge.span).fold(0.0, f64::max);
        let longest = if sloping { f64::INFINITY } else { longest }.min(999.0);
        Finding::at_most(
            "overhang",
            (longest, printer.bridge, "mm"),
            Level::Stop,
            match (sloping, longest > 0.0) {
                (true, _) => format!("A face leans out past {}°.", number(printer.overhang_deg)),
                (false, true) => format!(
                    "Nothing leans out past {}°; the roofs of the tie tunnels are bridges of {} mm.",
                    number(printer.overhang_deg),
                    hundredth(longest)
                ),
                (false, false) => format!(
                    "Nothing leans out past {}° and nothing is bridged.",
                    number(printer.overhang_deg)
                ),
            },
            "Give a narrower --tie, or --anchors margin, or name a printer that bridges as far.",
            format!("bridge and overhang of printer preset {}", printer.name),
        )
    }

    fn open_area(&self) -> Result<Finding> {
        let (gap, place) = largest_gap(self);
        let all = probes::all()?;
        let named = probes::that_passes(gap)?;
        // The next smaller probe that must not pass, from the finger down.
        let finger = all.iter().find(|probe| probe.keeps_out == "IP2X").map_or(12.5, |probe| probe.diameter);
        let tool = all.iter().find(|probe| probe.keeps_out == "IP3X").map_or(2.5, |probe| probe.diameter);
        let grille = self.grille_gap.is_some();
        let limit = if grille { finger } else { tool };
        let level = if gap >= finger { Level::Stop } else { Level::Caution };
        let what = match named {
            Some(probe) => format!("the {} passes", probe.probe),
            None => "not even the 1.0 mm wire passes".to_string(),
        };
        let says = format!("The largest gap left is {} mm, {place}: {what}.", hundredth(gap));
        Ok(Finding::settled(
            "open-area",
            Relation::AtMost,
            (gap, limit, "mm"),
            if gap < limit { Level::Ok } else { level },
            says,
            match grille {
                true => "This is a fault of the grille; report it.".to_string(),
                false => {
                    "Measure that cable and give its diameter, or seal it with --cord or --bush; between wires of a bundle only a sealing compound does.".to_string()
                }
            },
            "IEC 60529: probes of 12.5, 2.5 and 1.0 mm (a reckoning on the drawing, no test)",
        ))
    }
}

/// What a piece leaves of a bed, turned as suits it best, mm; negative where it overhangs.
fn bed_spare(bed: (f64, f64), piece: (f64, f64)) -> f64 {
    (0..=90)
        .map(|degrees| f64::from(degrees).to_radians().sin_cos())
        .map(|(sin, cos)| {
            let across = piece.0 * cos + piece.1 * sin;
            let along = piece.0 * sin + piece.1 * cos;
            (bed.0 - across).min(bed.1 - along)
        })
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Upwards to a tenth, for remedies.
fn up(value: f64) -> f64 {
    (value * 10.0 - 1e-9).ceil() / 10.0
}

/// The openings that a caliper reading would settle.
pub fn unmeasured(sizing: &Sizing) -> impl Iterator<Item = &Opening> {
    sizing.openings.iter().filter(|opening| opening.least < opening.most)
}
