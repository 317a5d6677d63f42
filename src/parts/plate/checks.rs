//! What must hold of a plate before it is printed: measured on the plan, each against its limit.

use super::plan::{Hold, MarginAnchor, Plan};
use super::shape::Shape;
use super::sizing::{ANCHOR_FACTOR, Anchor, CABINET_C, Opening, PLUG_PLAY, Purpose, Sizing};
use super::spec::Plate;
use crate::catalog::probes;
use crate::checks::{Finding, Level};
use crate::error::{Result, number};
use crate::job::workshop::Workshop;
use crate::mechanics::strength::{self, Safety};
use crate::parts::Piece;
use crate::solid::{Point2, Vector2};
use std::f64::consts::TAU;

/// Room a strap's tail is pulled through: width of the pliers and length of the pull, mm. Common
/// practice, no source.
const PULL: (f64, f64) = (8.0, 25.0);
/// Clearance wanted round a tie's head, mm.
const HEAD_ROOM: f64 = 0.5;
/// Directions tried for a tie's head.
const DIRECTIONS: usize = 48;

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
    /// The printed pieces.
    pub pieces: &'a [Piece],
    /// Widest gap of a grille, mm.
    pub grille_gap: Option<f64>,
}

/// Least web between two openings as drawn, mm; infinite with fewer than two.
pub fn least_web(sizing: &Sizing, plan: &Plan) -> f64 {
    let mut least = f64::INFINITY;
    for i in 0..plan.centres.len() {
        for j in 0..i {
            least = least.min(
                (plan.centres[i] - plan.centres[j]).norm() - reach(sizing, i) - reach(sizing, j),
            );
        }
        // An opening in a piece and the piece's parted edge have a web between them too.
        for (k, line) in plan.lines.iter().enumerate() {
            if plan.on_line[i] != Some(k) {
                least = least
                    .min((plan.centres[i].y - line).abs() - reach(sizing, i) - sizing.gap / 2.0);
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
        let bush = 2.0 * sizing.bush.unwrap_or(0.0);
        let gap = if sizing.cord.is_some() || sizing.bush.is_some() {
            0.0
        } else {
            (opening.bore - bush - opening.least).max(0.0)
        };
        gaps.push((gap, format!("beside {}", opening.label)));
    }
    if !plan.lines.is_empty() {
        gaps.push((sizing.gap, "between the pieces".into()));
    }
    if let Some(gap) = checked.grille_gap {
        gaps.push((gap, "through the grille".into()));
    }
    gaps.into_iter()
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((0.0, String::new()))
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
        let limit = self.sizing.web.mm;
        web.is_finite().then(|| {
            Finding::at_least(
                "web",
                (web, limit, "mm"),
                Level::Stop,
                format!(
                    "The thinnest web between two openings, or to a parted edge, is {} mm.",
                    number(round(web))
                ),
                format!("Take the hole {} mm larger.", number(round(limit - web))),
                "common practice: four lines of plastic",
            )
        })
    }

    fn rim(&self) -> Option<Finding> {
        let rim = least_rim(self.sizing, self.plan);
        let limit = self.sizing.rim.mm;
        rim.is_finite().then(|| {
            Finding::at_least(
                "rim",
                (rim, limit, "mm"),
                Level::Stop,
                format!(
                    "The thinnest rim between an opening and the spigot's wall is {} mm.",
                    number(round(rim))
                ),
                format!(
                    "Take the hole {} mm larger.",
                    number(round(2.0 * (limit - rim)))
                ),
                "common practice: four lines of plastic",
            )
        })
    }

    fn overlap(&self) -> Finding {
        let limit = 5.0 + self.sizing.clearance.mm;
        Finding::at_least(
            "overlap",
            (self.plan.margin, limit, "mm"),
            if self.plan.margin < 3.0 + self.sizing.clearance.mm {
                Level::Stop
            } else {
                Level::Caution
            },
            format!(
                "The plate overlaps the hole by {} mm all round.",
                number(self.plan.margin)
            ),
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
                (least, limit, "mm"),
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
                format!(
                    "common practice: 0.6 times the thread, at least 2 mm; {}",
                    screw.source
                ),
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
        let limit = self.sizing.separation.mm;
        let level = if self.sizing.separation_firm {
            Level::Stop
        } else {
            Level::Caution
        };
        least.is_finite().then(|| {
            Finding::at_least(
                "separation",
                (least, limit, "mm"),
                level,
                format!("Cables of power and of signal or data pass {} mm apart.", number(round(least))),
                format!("Take the hole larger, or carry the signal cables elsewhere; {} mm was wanted.", number(limit)),
                "common practice where they only pass a plate; on longer runs side by side EN 50174-2 asks for far more",
            )
        })
    }

    fn plug_passes(&self) -> Option<Finding> {
        let plugs = self
            .sizing
            .openings
            .iter()
            .filter_map(|opening| Some((opening, opening.plug.as_ref()?)));
        let (opening, plug) = plugs.max_by(|a, b| a.1.across.total_cmp(&b.1.across))?;
        let room = self.plan.hole.half_width.min(self.plan.hole.half_height) * 2.0;
        let parted = self
            .sizing
            .openings
            .iter()
            .filter(|opening| opening.must_part())
            .count();
        let how = match parted {
            0 => "passes its opening".to_string(),
            1 => "goes through the hole, and its cable is laid in between the pieces".to_string(),
            n => format!("goes through the hole; {n} cables are laid in between the pieces"),
        };
        let level = Level::Stop;
        let limit = plug.across + PLUG_PLAY;
        Some(Finding::new(
            "plug-passes",
            (room, limit, "mm"),
            if room >= limit { Level::Ok } else { level },
            if room >= limit {
                format!(
                    "The largest plug, {} mm on {}, {how}.",
                    number(plug.across),
                    opening.label
                )
            } else {
                format!(
                    "The plug on {} is {} mm across and the hole only {} mm.",
                    opening.label,
                    number(plug.across),
                    number(room)
                )
            },
            "Take the plug off, or widen the hole.",
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
                    Hold::Margin(place) => bar_strength(
                        &anchor,
                        &place,
                        self.sizing.thickness.mm,
                        self.sizing.in_plane,
                    ),
                };
                Some((i, anchor, safety))
            })
            .min_by(|a, b| a.2.factor.total_cmp(&b.2.factor))?;
        let (i, anchor, safety) = weakest;
        let level = safety.level();
        Some(Finding::new(
            "anchor-strength",
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
                _ => "Print it in a stronger material (--material PETG), or give a narrower --tie."
                    .to_string(),
            },
            format!(
                "beam in bending and shear across layers at {CABINET_C} °C; {}",
                anchor.tie.source
            ),
        ))
    }

    fn shear(&self) -> f64 {
        let material = &self.workshop.material;
        material.shear_across / material.tensile_across * self.sizing.across
    }

    /// Room for a tie's head beside its cable and for pliers on its tail, in the best direction.
    fn tie_room(&self) -> Option<Finding> {
        let (i, room) = (0..self.plan.holds.len())
            .filter(|&i| matches!(self.plan.holds[i], Some(Hold::Post(_))))
            .map(|i| (i, self.head_room(i)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        let opening = &self.sizing.openings[i];
        let tie = opening.anchor.map_or(0.0, |anchor| anchor.tie.width);
        Some(Finding::at_least(
            "tie-room",
            (room, HEAD_ROOM, "mm"),
            Level::Caution,
            format!(
                "The head of the tie round {} and the pliers on its tail have {} mm to spare.",
                opening.label,
                number(round(room))
            ),
            match tie > 2.6 {
                true => "Pull this tie before its neighbours' cables are in, or give --tie 2.5."
                    .to_string(),
                false => {
                    "Pull this tie before its neighbours' cables are in, or take a larger hole."
                        .to_string()
                }
            },
            "head by maker's catalogue; pliers 8 mm wide, pulled 25 mm: common practice",
        ))
    }

    fn head_room(&self, i: usize) -> f64 {
        let opening = &self.sizing.openings[i];
        let Some(anchor) = opening.anchor else {
            return 0.0;
        };
        let (tie, centre) = (anchor.tie, self.plan.centres[i]);
        let out = opening.most / 2.0 + tie.thickness + tie.head_height / 2.0;
        (0..DIRECTIONS)
            .flat_map(|step| {
                let angle = step as f64 / DIRECTIONS as f64 * TAU;
                let away = Vector2::new(angle.cos(), angle.sin());
                let along = Vector2::new(-away.y, away.x);
                [along, -along].map(|along| (centre + away * out, along))
            })
            .map(|(head, along)| {
                let radius = 0.5 * tie.head_length.max(tie.head_height);
                let at_head = self.spare(i, head, radius);
                // The pliers leave the plate's middle behind; the tail may be bent up over its edge.
                let pull = (1..=5).map(|k| head + along * (k as f64 / 5.0 * PULL.1));
                pull.filter(|&p| self.plan.spigot.depth(p).0 > 0.0)
                    .map(|p| self.spare(i, p, PULL.0 / 2.0 - 1.0))
                    .fold(at_head, f64::min)
            })
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// What a disc leaves free towards everything that stands up but opening `i`'s own cable.
    fn spare(&self, i: usize, at: Point2, radius: f64) -> f64 {
        let mut least = f64::INFINITY;
        for (j, opening) in self.sizing.openings.iter().enumerate() {
            if j != i && opening.is_cable() {
                least = least.min((at - self.plan.centres[j]).norm() - opening.most / 2.0 - radius);
            }
            if let Some(Hold::Post(post)) = self.plan.holds[j] {
                least = least.min(block_distance(at, &post) - radius);
            }
        }
        least
    }

    /// What stands up inside against the free depth behind the sheet.
    fn lid(&self) -> Option<Finding> {
        let behind = self.spec.behind?.mm();
        let tallest = self
            .plan
            .holds
            .iter()
            .flatten()
            .filter_map(|hold| match hold {
                Hold::Post(post) => Some(post.shape.height),
                Hold::Margin(_) => None,
            });
        let stands = self.sizing.full() - self.sizing.thickness.mm - self.sizing.sheet.mm
            + tallest.fold(0.0, f64::max);
        Some(Finding::at_most(
            "lid",
            (stands, behind - 2.0, "mm"),
            Level::Stop,
            format!(
                "The plate stands {} mm into the cabinet, of {} mm that are free.",
                number(round(stands)),
                number(behind)
            ),
            "Give --anchors margin, or a narrower --tie.",
            "2 mm to the lid: common practice",
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
            format!(
                "The spigot has {} mm of play in the hole on each side.",
                number(play)
            ),
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
                    ((post.at - self.plan.centres[i]).norm() - post.shape.depth / 2.0 - wall)
                        .max(1e-3);
                let arcs = if self.spec.grip { 2.0 } else { 1.0 };
                (length * length + aside * aside) / (2.0 * aside * arcs)
            }
            Hold::Margin(anchor) => {
                ((anchor.at - self.plan.centres[i]).norm() - opening.most / 2.0).max(0.1)
            }
        }
    }

    fn bed_size(&self) -> Finding {
        let bed = self.workshop.printer.bed;
        let fits = |piece: &Piece| {
            let size = piece.body.bounds().size();
            let (long, short) = (size.x.max(size.y), size.x.min(size.y));
            let spare = (bed[0].max(bed[1]) - long)
                .min(bed[0].min(bed[1]) - short)
                .min(bed[2] - size.z);
            (long, spare)
        };
        let (long, spare) = self
            .pieces
            .iter()
            .map(fits)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or((0.0, 0.0));
        Finding::at_least(
            "bed-size",
            (spare, 0.0, "mm"),
            Level::Stop,
            format!(
                "The largest piece is {} mm long and leaves {} mm of the bed.",
                number(round(long)),
                number(round(spare))
            ),
            "Name a larger printer (--printer bed-350), or give --split halves.",
            format!("printer preset {}", self.workshop.printer.name),
        )
    }

    /// The longest bridge: the roof of a tunnel, or the ceiling of a channel laid upside down.
    fn overhang(&self) -> Finding {
        let bridges = self.plan.holds.iter().flatten().map(|hold| match hold {
            Hold::Post(post) => post.shape.slot,
            Hold::Margin(_) => 0.0,
        });
        let longest = bridges.fold(0.0, f64::max);
        let limit = self.workshop.printer.bridge;
        Finding::at_most(
            "overhang",
            (longest, limit, "mm"),
            Level::Stop,
            match longest > 0.0 {
                true => format!(
                    "Nothing leans out past 45°; the roofs of the tie tunnels are bridges of {} mm.",
                    number(round(longest))
                ),
                false => "Nothing leans out past 45° and nothing is bridged.".to_string(),
            },
            "Give a narrower --tie, or --anchors margin.",
            format!(
                "longest bridge of printer preset {}",
                self.workshop.printer.name
            ),
        )
    }

    fn open_area(&self) -> Result<Finding> {
        let (gap, place) = largest_gap(self);
        let all = probes::all()?;
        let named = probes::that_passes(gap)?;
        // The next smaller probe that must not pass, from the finger down.
        let finger = all
            .iter()
            .find(|probe| probe.keeps_out == "IP2X")
            .map_or(12.5, |probe| probe.diameter);
        let tool = all
            .iter()
            .find(|probe| probe.keeps_out == "IP3X")
            .map_or(2.5, |probe| probe.diameter);
        let grille = self.grille_gap.is_some();
        let limit = if grille { finger } else { tool };
        let level = if gap >= finger {
            Level::Stop
        } else {
            Level::Caution
        };
        let what = match named {
            Some(probe) => format!("the {} passes", probe.probe),
            None => "not even the 1.0 mm wire passes".to_string(),
        };
        let says = format!(
            "The largest gap left is {} mm, {place}: {what}.",
            number(round(gap))
        );
        Ok(Finding::new(
            "open-area",
            (gap, limit, "mm"),
            if gap < limit { Level::Ok } else { level },
            says,
            match grille {
                true => "This is a fault of the grille; report it.".to_string(),
                false => {
                    "Measure that cable and give its diameter, or seal it with --cord or --bush."
                        .to_string()
                }
            },
            "IEC 60529: probes of 12.5, 2.5 and 1.0 mm (a reckoning on the drawing, no test)",
        ))
    }
}

/// How far a point lies from the block of a post, mm.
fn block_distance(at: Point2, post: &super::plan::Standing) -> f64 {
    let from = at - post.at;
    let u = Vector2::new(post.towards.y, -post.towards.x);
    let (x, y) = (
        from.dot(&u).abs() - post.shape.width / 2.0,
        from.dot(&post.towards).abs() - post.shape.depth / 2.0,
    );
    x.max(0.0).hypot(y.max(0.0)) + x.max(y).min(0.0)
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
    weaker(
        foot,
        weaker(
            sheared,
            Safety::new("bending of the front wall", wall, across),
        ),
    )
}

/// The thickness of margin at which every bar holds its tie's rated tension with the factor that
/// counts as sound, mm; 0 without margin anchors. [`bar_strength`] solved for the thickness.
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
    if other.factor < one.factor {
        other
    } else {
        one
    }
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
    sizing
        .openings
        .iter()
        .filter(|opening| opening.least < opening.most)
}
