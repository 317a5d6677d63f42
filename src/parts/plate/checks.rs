//! What must hold of a plate before it is printed: measured on the plan, each against its limit.

use super::extras::RING_THICKNESS;
use super::packing::{Question, Room, pack};
use super::plan::{Hold, MarginAnchor, Plan};
use super::reach::{head_room, thread_room};
use super::shape::Shape;
use super::sizing::{ANCHOR_FACTOR, Anchor, CABINET_C, Opening, PLUG_PLAY, Purpose, SEPARATION, Sizing};
use super::spec::{Plate, PlugSize};
use crate::catalog::probes;
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::error::{Result, number};
use crate::mechanics::strength::{self, Safety};
use crate::solid::Vector3;
use crate::workshop::{PRINTERS, Printer, Workshop};
use std::f64::consts::FRAC_PI_2;

/// Clearance wanted round a tie's head, mm.
pub const HEAD_ROOM: f64 = 0.5;
/// Left free before the lid, mm.
const LID_ROOM: f64 = 2.0;
/// Depth of a fan of the usual frames, mm.
pub const FAN_DEPTH: f64 = 25.0;
/// What a push-button with its contact blocks needs behind the panel, mm.
const BUTTON_DEPTH: f64 = 50.0;
/// Starting points tried for a plug beside cables that may be pushed aside.
const ROOM_STARTS: usize = 3;
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
            least =
                least.min((plan.centres[i] - plan.centres[j]).norm() - reach(sizing, i) - reach(sizing, j));
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
        .map(|i| plan.spigot.depth(plan.centres[i]).0 - reach(sizing, i))
        .fold(f64::INFINITY, f64::min)
}

/// From an opening's middle to the outermost of its wall, mm.
fn reach(sizing: &Sizing, i: usize) -> f64 {
    let opening = &sizing.openings[i];
    match opening.purpose {
        Purpose::Button(button) => button.notch_height - button.hole / 2.0,
        _ => sizing.wall_radius(opening),
    }
}

/// The largest probe that passes anywhere, mm in diameter, and where.
pub fn largest_gap(checked: &Checked) -> (f64, String) {
    let (sizing, plan) = (checked.sizing, checked.plan);
    let mut gaps = vec![(0.0, "nowhere".to_string())];
    for opening in sizing.openings.iter().filter(|opening| opening.is_cable()) {
        // A cord stands into the opening by what its groove does not hold; a bush is slit.
        let clear = match (sizing.cord, sizing.bush) {
            (Some(cord), _) => opening.bore + 2.0 * (sizing.groove(opening) - cord.cord),
            (None, Some(bush)) => opening.bore - 2.0 * bush,
            (None, None) => opening.bore,
        };
        gaps.push(((clear - opening.least).max(0.0), format!("beside {}", opening.label)));
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

/// The least web or rim that is drawn unless a thinner one is asked for, mm. Common practice.
pub fn sound_wall(line_width: f64) -> f64 {
    (4.0 * line_width).max(2.0)
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
        found.extend(self.anchor_strength());
        found.extend(self.tie_thread());
        found.extend(self.tie_room());
        found.extend(self.lid());
        found.push(self.spigot_clearance());
        found.extend(self.bend_radius());
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
                    number(round(web))
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
                    number(round(rim))
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
                    number(round(least))
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
        least.is_finite().then(|| {
            Finding::at_least(
                "separation",
                (least, limit, "mm"),
                Level::Caution,
                format!(
                    "Cables of power and of signal or data pass {} mm apart.",
                    number(round(least))
                ),
                format!(
                    "Take a hole about {} mm larger, or carry the signal cables elsewhere.",
                    number(up(limit - least))
                ),
                "common practice where they only pass a plate; on longer runs side by side EN 50174-2 asks for far more",
            )
        })
    }

    /// The plug that finds it hardest to pass: through its own opening, or, where its cable is laid
    /// in between the pieces, through the hole beside the cables that went before it.
    fn plug_passes(&self) -> Option<Finding> {
        let mut laid: Vec<(&Opening, &PlugSize)> = vec![];
        let mut passes: Vec<(&Opening, f64, f64)> = vec![];
        for opening in &self.sizing.openings {
            match &opening.plug {
                Some(plug) if opening.must_part() => laid.push((opening, plug)),
                Some(plug) => passes.push((opening, opening.bore, plug.across)),
                None => {}
            }
        }
        // The largest plug goes first, through the empty hole.
        laid.sort_by(|a, b| b.1.across.total_cmp(&a.1.across));
        let mut before: Vec<f64> = vec![];
        for &(opening, plug) in &laid {
            passes.push((opening, room_beside(&self.plan.hole, &before), plug.across));
            before.push(opening.most / 2.0);
        }
        let (opening, room, across) =
            passes.into_iter().min_by(|a, b| (a.1 - a.2).total_cmp(&(b.1 - b.2)))?;
        let where_to = match (opening.must_part(), laid.len()) {
            (false, _) => "its opening".to_string(),
            (true, 1) => "the hole, and its cable is laid in between the pieces".to_string(),
            (true, n) => format!(
                "the hole beside the cables before it, largest plug first; {n} cables are laid in between the pieces"
            ),
        };
        Some(Finding::at_least(
            "plug-passes",
            (room, across + PLUG_PLAY, "mm"),
            Level::Stop,
            format!(
                "The plug on {}, {} mm across, has {} mm to pass through {where_to}.",
                opening.label,
                number(across),
                number(round(room))
            ),
            format!("Take that plug off, or widen the hole by {} mm.", number(up(across + PLUG_PLAY - room))),
            "the hole itself; 0.4 mm of play, common practice",
        ))
    }

    /// The anchor that is nearest to giving way at its tie's rated tension.
    fn anchor_strength(&self) -> Option<Finding> {
        let weakest = (0..self.plan.holds.len())
            .filter_map(|i| {
                let anchor = self.sizing.openings[i].anchor?;
                let safety = match self.plan.holds[i]? {
                    Hold::Post(_) => post_strength(&anchor, self.sizing.across, self.shear()),
                    Hold::Margin(place) => {
                        bar_strength(&anchor, &place, self.sizing.thickness.mm, self.sizing.in_plane)
                    }
                };
                Some((i, anchor, safety))
            })
            .min_by(|a, b| a.2.factor.total_cmp(&b.2.factor))?;
        let (i, anchor, safety) = weakest;
        let level = safety.level();
        Some(Finding::settled(
            "anchor-strength",
            Relation::AtLeast,
            (safety.factor, strength::TRUSTED, ""),
            level,
            format!(
                "At {} N, all that its {} mm tie is rated for, the anchor of {} holds {} times over ({}, {} MPa).",
                number(anchor.tie.loop_strength_n),
                number(anchor.tie.width),
                self.sizing.openings[i].label,
                number(round(safety.factor)),
                safety.mode,
                number(round(safety.stress_mpa))
            ),
            match self.plan.holds[i] {
                Some(Hold::Margin(_)) => format!(
                    "Give --thickness {}, or a narrower --tie.",
                    number((2.0 * bar_thickness(self.sizing, self.plan)).ceil() / 2.0)
                ),
                _ => {
                    "Print it in a stronger material (--material PETG), or give a narrower --tie.".to_string()
                }
            },
            format!(
                "beam in bending and shear {} at {CABINET_C} °C; {}",
                match self.plan.holds[i] {
                    Some(Hold::Margin(_)) => "in the layers",
                    _ => "across layers",
                },
                anchor.tie.source
            ),
        ))
    }

    fn shear(&self) -> f64 {
        let material = &self.workshop.material;
        material.shear_across / material.tensile_across * self.sizing.across
    }

    /// A free run before the tunnel of every post, to push the strap's end through it.
    fn tie_thread(&self) -> Option<Finding> {
        let (i, room) = (0..self.plan.holds.len())
            .filter_map(|i| Some((i, thread_room(self.sizing, self.plan, i)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(Finding::at_least(
            "tie-thread",
            (room, 0.0, "mm"),
            Level::Stop,
            format!(
                "The run before the tunnel of {}'s post has {} mm over what it takes to push the strap's end through.",
                self.sizing.openings[i].label,
                number(round(room))
            ),
            "Some posts must go: give --anchors margin, or take a larger hole.",
            "the strap's end pushed through in one go and taken by pliers; common practice",
        ))
    }

    /// Room for a tie's head beside its cable and for pliers on its tail, in the best direction.
    /// Cables can be laid in one after another; what the posts leave stays as it is.
    fn tie_room(&self) -> Option<Finding> {
        let posts =
            || (0..self.plan.holds.len()).filter(|&i| matches!(self.plan.holds[i], Some(Hold::Post(_))));
        let least = |with_cables: bool| {
            posts()
                .map(|i| (i, head_room(self.sizing, self.plan, i, with_cables)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
        };
        let (walled, bare) = least(false)?;
        let (crowded, full) = least(true)?;
        let (i, room, level) = match bare < 0.0 {
            true => (walled, bare, Level::Stop),
            false => (crowded, full, Level::Caution),
        };
        let opening = &self.sizing.openings[i];
        let tie = opening.anchor.map_or(0.0, |anchor| anchor.tie.width);
        let narrower = if tie > 2.6 { "give --tie 2.5" } else { "take a larger hole" };
        Some(Finding::at_least(
            "tie-room",
            (room, HEAD_ROOM, "mm"),
            level,
            format!(
                "The head of the tie round {} and the pliers on its tail have {} mm to spare.",
                opening.label,
                number(round(room))
            ),
            match level {
                Level::Stop => format!("Some posts must go: give --anchors margin, or {narrower}."),
                _ => format!(
                    "Lay the cables in one by one, innermost first, and pull each tie before the next; or {narrower}."
                ),
            },
            "head by maker's catalogue; pliers 8 mm wide, pulled 25 mm: common practice",
        ))
    }

    /// What stands up inside against the free depth behind the sheet.
    fn lid(&self) -> Option<Finding> {
        let behind = self.spec.behind?.mm();
        let sheet = self.sizing.sheet.mm;
        let spigot = self.sizing.full() - self.sizing.thickness.mm - sheet;
        let posts = self.plan.holds.iter().flatten();
        let posts = posts.filter_map(|hold| match hold {
            Hold::Post(post) => Some(spigot + post.shape.height),
            Hold::Margin(_) => None,
        });
        let bend = self.sizing.openings.iter().filter(|o| o.is_cable());
        let all = [
            (spigot, "spigot", "a shorter --spigot-depth"),
            (posts.fold(0.0, f64::max), "tallest post", "--anchors margin, or a narrower --tie"),
            (
                if self.plan.ring { RING_THICKNESS + self.sizing.screw.beyond() } else { 0.0 },
                "backing ring with its nuts",
                "--mount screws",
            ),
            (
                self.spec.fan.map_or(0.0, |_| FAN_DEPTH + spigot.max(0.0)),
                "fan",
                "a place with more room behind it",
            ),
            (
                if self.spec.button.is_empty() { 0.0 } else { BUTTON_DEPTH },
                "push-button with its contact blocks",
                "a place with more room behind it",
            ),
        ];
        let free = round(behind - LID_ROOM);
        let hard = all.into_iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
        let turn = bend.map(Opening::bend_radius).fold(0.0, f64::max);
        // A cable bent harder than it should be wears; what does not fit does not fit.
        let (level, (stands, what, way)) = match hard.0 <= free && turn > free {
            true => (
                Level::Caution,
                (turn, "stiffest cable, to turn before the lid,", "a thinner or more supple cable"),
            ),
            false => (Level::Stop, hard),
        };
        Some(Finding::at_most(
            "lid",
            (round(stands), free, "mm"),
            level,
            format!(
                "The {what} needs {} mm behind the sheet, of {} mm that are free.",
                number(round(stands)),
                number(behind)
            ),
            format!("Give {way}."),
            "2 mm to the lid; a fan frame 25 mm deep, 50 mm behind a push-button's panel: common practice, no source",
        ))
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

    /// The cable whose way from its opening to its tie bends it hardest, against its least radius.
    fn bend_radius(&self) -> Option<Finding> {
        let worst = (0..self.plan.holds.len())
            .filter_map(|i| {
                let (opening, hold) = (&self.sizing.openings[i], self.plan.holds[i]?);
                Some((i, self.bend_to(i, &hold), opening.bend_radius()))
            })
            .min_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2)))?;
        let (i, radius, least) = worst;
        let opening = &self.sizing.openings[i];
        let margin = matches!(self.plan.holds[i], Some(Hold::Margin(_)));
        Some(Finding::at_least(
            "bend-radius",
            (radius.min(999.0), least, "mm"),
            Level::Caution,
            format!(
                "{} is bent no tighter than {} mm on its way to its tie; beyond the tie keep {} mm.",
                opening.label,
                number(round(radius.min(999.0))),
                number(round(least))
            ),
            match margin {
                true => "Lead this cable off in a wide arc and tie it loosely on the margin, or take a larger hole so that a post finds room.".to_string(),
                false => format!("Give --edge {} so that the post stands nearer, or tie it loosely.", number((self.sizing.edge.mm - 0.2).max(0.2))),
            },
            opening.bend.1.clone(),
        ))
    }

    /// The radius a cable is bent to between its opening and its tie.
    ///
    /// To a post it lies along the opening's wall and is drawn aside by e, the chamfer and step
    /// between wall and post, over the length L from the outside face to the tie. Its play lets it
    /// lean in the opening, so one arc will do: R = (L² + e²) / 2e. Gripped it cannot lean and makes
    /// an S of two arcs: half that radius. To the margin it must turn by a right angle within its
    /// distance from the slots.
    fn bend_to(&self, i: usize, hold: &Hold) -> f64 {
        let opening = &self.sizing.openings[i];
        match hold {
            Hold::Post(post) => {
                let length = self.shape.floor() + post.shape.tie_height();
                let wall = opening.bore / 2.0 - self.sizing.bush.unwrap_or(0.0);
                let aside =
                    ((post.at - self.plan.centres[i]).norm() - post.shape.depth / 2.0 - wall).max(1e-3);
                let arcs = if self.spec.grip { 2.0 } else { 1.0 };
                (length * length + aside * aside) / (2.0 * aside * arcs)
            }
            Hold::Margin(anchor) => ((anchor.at - self.plan.centres[i]).norm() - opening.most / 2.0).max(0.1),
        }
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
            (round(long), round(long + left), "mm"),
            Level::Stop,
            format!(
                "The largest piece, {} x {} mm, leaves {} mm of the bed, laid as suits it best.",
                number(round(size.x)),
                number(round(size.y)),
                number(round(left))
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
                    number(round(longest))
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
        let says = format!("The largest gap left is {} mm, {place}: {what}.", number(round(gap)));
        Ok(Finding::settled(
            "open-area",
            Relation::AtMost,
            (gap, limit, "mm"),
            if gap < limit { Level::Ok } else { level },
            says,
            match grille {
                true => "This is a fault of the grille; report it.".to_string(),
                false => {
                    "Measure that cable and give its diameter, or seal it with --cord or --bush.".to_string()
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

/// Diameter of the largest disc that passes a hole beside discs of those radii that may be pushed
/// aside, mm.
fn room_beside(hole: &Room, others: &[f64]) -> f64 {
    let fits = |diameter: f64| {
        let radii = others.iter().copied().chain([diameter / 2.0]);
        pack(&Question::plain(*hole, radii), ROOM_STARTS).is_some()
    };
    let (mut low, mut high) = (0.0, 2.0 * hole.half_width.min(hole.half_height));
    if others.is_empty() {
        return high;
    }
    while high - low > 0.2 {
        let middle = 0.5 * (low + high);
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// Upwards to a tenth, for remedies.
fn up(value: f64) -> f64 {
    (value * 10.0 - 1e-9).ceil() / 10.0
}

/// A post under its tie's rated tension, pulled level at the tie's height: bending at its foot
/// (M / (b d² / 6)), shear there (1.5 F / b d, parabolic over a rectangle), and bending of the front
/// wall, built in at floor and roof of the tunnel (F h / 8). Roark's Formulas for Stress and Strain,
/// beams of rectangular section.
fn post_strength(anchor: &Anchor, across: f64, shear: f64) -> Safety {
    let (force, b, d) = (anchor.tie.loop_strength_n, anchor.width, anchor.depth);
    let (narrow, wide) = (b.min(d), b.max(d));
    let foot = force * anchor.tie_height() / (wide * narrow * narrow / 6.0);
    let sheared = 1.5 * force / (b * d);
    let wall = force * anchor.tunnel / 8.0 / (b * anchor.front * anchor.front / 6.0);
    let foot = Safety::new("bending at the foot", foot, across);
    let sheared = Safety::new("shear at the foot", sheared, shear);
    weaker(foot, weaker(sheared, Safety::new("bending of the front wall", wall, across)))
}

/// The thickness of margin at which every bar holds its tie's rated tension with the factor that
/// counts as sound, mm; 0 without margin anchors. The strength of a bar solved for its thickness.
pub fn bar_thickness(sizing: &Sizing, plan: &Plan) -> f64 {
    let needed = (0..plan.holds.len()).filter_map(|i| {
        let Some(Hold::Margin(place)) = plan.holds[i] else {
            return None;
        };
        let force = 2.0 * sizing.openings[i].anchor?.tie.loop_strength_n * ANCHOR_FACTOR;
        let bent = (6.0 * force * place.length / 8.0 / (place.bar * sizing.in_plane)).sqrt();
        let sheared = 1.5 * force / (2.0 * place.bar) / (sizing.in_plane / 3f64.sqrt());
        Some(place.channel + bent.max(sheared))
    });
    needed.fold(0.0, f64::max)
}

fn weaker(one: Safety, other: Safety) -> Safety {
    if other.factor < one.factor { other } else { one }
}

/// The bar between two slots under the tie's tension at both its ends, built in along its two sides:
/// M = 2 F l / 8 over l, the slot's length, with a section of bar by what the channel leaves.
fn bar_strength(anchor: &Anchor, place: &MarginAnchor, thickness: f64, in_plane: f64) -> Safety {
    let force = 2.0 * anchor.tie.loop_strength_n;
    let left = thickness - place.channel;
    if left <= 0.0 {
        return Safety::new("bending of the bar", f64::INFINITY, in_plane);
    }
    let bending = force * place.length / 8.0 / (place.bar * left * left / 6.0);
    let sheared = 1.5 * force / (2.0 * place.bar * left);
    // Shear strength by von Mises.
    weaker(
        Safety::new("bending of the bar", bending, in_plane),
        Safety::new("shear of the bar", sheared, in_plane / 3f64.sqrt()),
    )
}

/// To a hundredth, for sentences.
pub fn round(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// The openings that a caliper reading would settle.
pub fn unmeasured(sizing: &Sizing) -> impl Iterator<Item = &Opening> {
    sizing.openings.iter().filter(|opening| opening.least < opening.most)
}
