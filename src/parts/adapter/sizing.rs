//! From the request to numbers: holes with their seats and pockets, the outline round them, the thickness.

use super::spec::{Adapter, Fixing, Heads, Pattern};
use crate::catalog::{fasteners, inserts, least_strengths};
use crate::design::{Mating, Origin};
use crate::error::{Error, Result, number, within};
use crate::mechanics::strength::temperature_factor;
use crate::parts::drilled::Hole;
use crate::solid::{Body, Loop, Point2, Region, Vector2, Vector3};
use crate::workshop::Workshop;
use std::f64::consts::PI;

/// Play of a head in its seat, and of a nut across its flats in its pocket, once printed, mm. Common practice.
const SEAT_PLAY: f64 = 0.5;
const NUT_PLAY: f64 = 0.3;
/// How far heads and nuts lie below the face, mm. Common practice.
const SUNK: f64 = 0.4;
/// Room for a screw's end past its nut, mm: screws are sold in steps of two.
const PAST_NUT: f64 = 2.0;
/// Floor left under a head and over a nut, mm, and in threads. Common practice.
const FLOOR: (f64, f64) = (2.4, 0.6);
/// Less than this between two holes is no wall, mm.
const LEAST_WEB: f64 = 0.4;
/// Floor between a seat above and a pocket below, mm: six layers. Common practice.
const BETWEEN: f64 = 1.2;
/// Least wall from a hole or pocket to the edge that is drawn unasked, mm. Common practice.
const EDGE: f64 = 3.0;
/// How much of the machine's face a picture shows round the plate, mm.
const FACE_ROUND: f64 = 12.0;
/// Temperature beside a machine, °C. Common practice, no source.
const WARM_C: f64 = 40.0;

/// Which pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// What is there.
    Old,
    /// What comes.
    New,
}

/// The screw of one pattern as it concerns the plate, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Screw {
    /// Thread size.
    pub size: String,
    /// Thread diameter.
    pub thread: f64,
    /// Hole drawn.
    pub hole: f64,
    /// Where that came from.
    pub origin: Origin,
    /// Seat of its head or pocket of its nut: the circle round it; 0 for none.
    pub seat: f64,
    /// What presses the plastic: across the head's or washer's face; 0 for a nut or insert.
    pub bears: f64,
    /// Depth of the seat or pocket.
    pub deep: f64,
    /// Floor that must be left of it.
    pub floor: f64,
    /// Height at which the wall of the hole stands.
    pub wall_height: f64,
}

/// The adapter's numbers. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizing {
    /// The old screws.
    pub old: Screw,
    /// The new ones.
    pub new: Screw,
    old_at: Vec<Point2>,
    new_at: Vec<Point2>,
    /// From the old middle to the new one.
    pub offset: Vector2,
    /// Whether that was given.
    pub moved: bool,
    /// Travel of the new screws' slots along y; 0 for round holes.
    pub slot: f64,
    /// Thickness and where it came from.
    pub thickness: (f64, Origin),
    /// What is needed, and what needs it.
    pub needed: (f64, String),
    /// How far the old heads lie under the new face.
    pub recess: f64,
    /// Radius of the outline round every hole.
    radius: f64,
    heads: Heads,
    fixing: Fixing,
    nut_flats: f64,
    /// The printer's allowance in the holes.
    pub allowance: f64,
    /// Force, N, and where it came from.
    pub load: f64,
    /// Where the force came from.
    pub load_origin: Origin,
    /// How far over the face it acts.
    pub reach: f64,
    /// Temperature, °C.
    pub celsius: f64,
    /// Highest temperature for the material, °C.
    pub top_c: f64,
    /// Strength in a layer, and shear between layers, at that temperature, MPa.
    pub(super) strength: (f64, f64),
    /// What stands for good: crushing under a head, and shear between layers, MPa.
    pub(super) lasting: (f64, f64),
    /// Where the strengths stand.
    pub material: String,
}

impl Sizing {
    /// Resolves the request.
    ///
    /// Fails when a pattern is missing, a value is out of bounds or a size unknown.
    pub fn new(spec: &Adapter, workshop: &Workshop) -> Result<Self> {
        let missing = |option: &str, example: &str| {
            Error::request(
                format!("{option} was not given."),
                format!("Measure the holes and give them: {option} {example}."),
            )
        };
        let old = spec.old.as_ref().ok_or_else(|| missing("--old", "M4x2@25"))?;
        let new = spec.new.as_ref().ok_or_else(|| missing("--new", "M3x2@20"))?;
        let turn = within("--rotate", spec.rotate.unwrap_or(0.0), -360.0, 360.0, "degrees")?.to_radians();
        let (sin, cos) = turn.sin_cos();
        let offset = spec.offset.unwrap_or_default().0;
        let turned = |p: &Point2| Point2::new(p.x * cos - p.y * sin, p.x * sin + p.y * cos) + offset;
        let load = within("--load", spec.load.unwrap_or(50.0), 0.0, 2000.0, "N")?;
        let reach = within("--reach", spec.reach.map_or(30.0, |reach| reach.mm()), 0.0, 500.0, "mm")?;
        let celsius = within("--temperature", spec.temperature.unwrap_or(WARM_C), -25.0, 120.0, "°C")?;
        let least = least_strengths::of(&workshop.material)?;
        let warm = temperature_factor(celsius, workshop.material.softening_c)?;
        let lasting = workshop.material.lasting(100.0, celsius)?;
        let mut sizing = Self {
            old: old_screw(old, spec.heads, workshop)?,
            new: new_screw(new, spec.fixing, workshop)?,
            old_at: old.holes.clone(),
            new_at: new.holes.iter().map(turned).collect(),
            offset,
            moved: spec.offset.is_some(),
            slot: spec.slot.map_or(Ok(0.0), |slot| within("--slot", slot.mm(), 0.5, 100.0, "mm"))?,
            thickness: (0.0, Origin::Formula("seats, pockets and floors".into())),
            needed: (0.0, String::new()),
            recess: 0.0,
            radius: 0.0,
            heads: spec.heads,
            fixing: spec.fixing,
            nut_flats: fasteners::hex_nut(&new.size)?.across_flats
                + NUT_PLAY
                + workshop.printer.hole_allowance,
            allowance: workshop.printer.hole_allowance,
            load,
            load_origin: Origin::given_or(
                spec.load.is_some(),
                "--load",
                Origin::Practice("a hand leaning on a small switch".into()),
            ),
            reach,
            celsius,
            top_c: least.top_c,
            strength: (least.tension * warm, least.shear * warm),
            lasting: (lasting.compressive_yield, lasting.shear_across),
            material: format!("{}: {}", workshop.material.label(), least.source),
        };
        let least_wall = EDGE.max(4.0 * workshop.printer.line_width);
        let wall = spec.wall.map_or(Ok(least_wall), |wall| within("--wall", wall.mm(), 1.2, 30.0, "mm"))?;
        sizing.radius =
            sizing.old.hole.max(sizing.old.seat).max(sizing.new.hole).max(sizing.new.seat) / 2.0 + wall;
        sizing.settle_thickness(spec)?;
        Ok(sizing)
    }

    fn settle_thickness(&mut self, spec: &Adapter) -> Result<()> {
        let seats = [
            (
                self.old.deep + self.old.floor,
                format!("the seat of the {} heads with its floor", self.old.size),
            ),
            (self.new.deep + self.new.floor, format!("what the {} screws go into", self.new.size)),
        ];
        let mut seats = seats.to_vec();
        // Seats above and pockets below may lie one over the other, and a flat pattern needs a level between.
        if self.fixing == Fixing::Nut {
            let both = self.old.deep + self.new.deep + BETWEEN;
            seats.push((both, "a seat above and a pocket below, with a floor between".to_string()));
        }
        let needed = seats.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, String::new()));
        self.needed = needed;
        let usual = self.height_that_holds();
        self.thickness = match spec.height {
            Some(height) => {
                (within("--height", height.mm(), 2.0, 120.0, "mm")?, Origin::Given("--height".into()))
            }
            None => (usual, Origin::Formula("seats, pockets and floors, and the load in bending".into())),
        };
        let seat = self.seat_at(self.thickness.0);
        self.recess = SUNK;
        if self.heads == Heads::Counterbored {
            self.recess += seat - self.old.deep;
            self.old.deep = seat;
        }
        if self.thickness.0 < self.needed.0 {
            self.recess = self.recess.min(self.thickness.0 - self.needed.0 + SUNK);
        }
        self.old.wall_height = 0.5 * (self.thickness.0 - self.old.deep).max(0.2);
        self.new.wall_height = self.thickness.0 - 0.3;
        Ok(())
    }

    /// Depth of the heads' seats in a plate of that thickness: heads lie deeper in a thick plate, so that short
    /// screws do, and half of it stays under them.
    pub(super) fn seat_at(&self, thickness: f64) -> f64 {
        let floor = self.old.floor.max(0.5 * thickness).max(self.pocket_depth() + BETWEEN);
        (thickness - floor).max(self.old.deep)
    }

    /// The middles of a pattern's holes.
    pub fn places(&self, whose: Whose) -> &[Point2] {
        match whose {
            Whose::Old => &self.old_at,
            Whose::New => &self.new_at,
        }
    }

    /// The screw of a pattern.
    pub fn screw(&self, whose: Whose) -> &Screw {
        match whose {
            Whose::Old => &self.old,
            Whose::New => &self.new,
        }
    }

    /// All holes, as a report lists them.
    pub fn holes(&self) -> Vec<Hole> {
        let list = |whose: Whose, screw: &Screw, word: &str| {
            let purpose = format!("{word} {}", screw.size);
            let hole = move |&at: &Point2| Hole { at, diameter: screw.hole, purpose: purpose.clone() };
            self.places(whose).iter().map(hole).collect::<Vec<_>>()
        };
        [list(Whose::Old, &self.old, "old"), list(Whose::New, &self.new, "new")].concat()
    }

    /// Heights at which walls are measured: through seats, between, and through pockets.
    pub fn levels(&self) -> Vec<f64> {
        let t = self.thickness.0;
        vec![0.5 * self.pocket_depth() + 0.05, 0.5 * t, t - 0.5 * self.old.deep.min(t), t - 0.02]
    }

    /// Where the flat pattern is taken: where every hole has its own diameter.
    pub fn flat_height(&self) -> f64 {
        let (from, to) = (self.pocket_depth(), self.thickness.0 - self.old.deep);
        if to - from > 0.1 { (from + to) / 2.0 } else { 0.5 * to.max(0.1) }
    }

    /// How far the new part's screws may go in under its face, least and most, mm; nothing where they pass
    /// through.
    pub fn new_screw_reach(&self) -> Option<(f64, f64)> {
        let t = self.thickness.0;
        match self.fixing {
            // The nut lies against its pocket's floor; past the back stands the machine.
            Fixing::Nut => Some((t - PAST_NUT, t)),
            // At least three quarters of the insert's thread, and no farther than its bore.
            Fixing::Insert => Some((0.75 * (self.new.deep - 1.0), self.new.deep)),
            Fixing::Through => None,
        }
    }

    fn pocket_depth(&self) -> f64 {
        if self.fixing == Fixing::Nut { self.new.deep } else { 0.0 }
    }

    /// The solid, the old pattern's middle at the origin, its back on the bed.
    pub fn body(&self) -> Result<Body> {
        let t = self.thickness.0;
        self.check_crowding()?;
        let mut body = Body::prism(&self.outline()?.into(), 0.0, t)?;
        let seat = Body::revolve(&self.seat_profile())?;
        for at in &self.old_at {
            body = body.cut(&seat.moved(Vector3::new(at.x, at.y, 0.0)))?;
        }
        for &at in &self.new_at {
            if self.fixing == Fixing::Nut {
                let pocket = nut_pocket(at, self.nut_flats, self.slot)?;
                body = body.cut(&Body::prism(&pocket.into(), -1.0, self.new.deep)?)?;
            }
            let half = Vector2::new(0.0, self.slot / 2.0);
            let hole = Loop::obround(at - half, at + half, self.new.hole)?;
            body = body.cut(&Body::prism(&hole.into(), -1.0, t + 1.0)?)?;
        }
        Ok(body)
    }

    /// Hole and seat of an old screw, from the axis outwards and upwards, past both faces.
    fn seat_profile(&self) -> Loop {
        let (t, hole, seat) = (self.thickness.0, self.old.hole / 2.0, self.old.seat / 2.0);
        let corners = match self.heads {
            Heads::Counterbored => {
                let floor = t - self.old.deep;
                vec![(0.0, -1.0), (hole, -1.0), (hole, floor), (seat, floor), (seat, t + 1.0), (0.0, t + 1.0)]
            }
            Heads::Countersunk => {
                vec![
                    (0.0, -1.0),
                    (hole, -1.0),
                    (hole, t - self.old.deep),
                    (seat + 1.0, t + 1.0),
                    (0.0, t + 1.0),
                ]
            }
        };
        Loop::polygon(&corners.into_iter().map(|(r, z)| Point2::new(r, z)).collect::<Vec<_>>())
    }

    /// Holes that run into each other, their seats or pockets are no adapter.
    fn check_crowding(&self) -> Result<()> {
        let half = Vector2::new(0.0, self.slot / 2.0);
        let ends = |at: &Point2| [at + half, *at, at - half];
        let (old, new) = (&self.old, &self.new);
        let pocket = if self.fixing == Fixing::Nut { new.seat } else { new.hole };
        // Where a seat lies over a pocket with a floor between, each meets only the other's hole.
        let over = self.thickness.0 - old.deep >= self.pocket_depth();
        let apart = match over {
            true => (old.seat + new.hole).max(old.hole + pocket) / 2.0,
            false => (old.seat + pocket) / 2.0,
        };
        let near = |a: &Point2, b: &Point2, least: f64| (a - b).norm() < least + LEAST_WEB;
        for (i, at) in self.new_at.iter().enumerate() {
            let meets_old =
                self.old_at.iter().any(|other| ends(at).iter().any(|end| near(end, other, apart)));
            let meets_new = self.new_at[..i]
                .iter()
                .any(|other| ends(at).iter().any(|end| ends(other).iter().any(|far| near(end, far, pocket))));
            if meets_old || meets_new {
                return Err(self.crowded(*at));
            }
        }
        let crowd = self
            .old_at
            .iter()
            .enumerate()
            .find(|(i, at)| self.old_at[..*i].iter().any(|o| near(at, o, old.seat)));
        crowd.map_or(Ok(()), |(_, at)| Err(self.crowded(*at)))
    }

    fn crowded(&self, at: Point2) -> Error {
        Error::geometry(
            format!(
                "The hole at ({}, {}) mm runs into another, its seat or its pocket.",
                number(at.x),
                number(at.y)
            ),
            match self.clear_offset() {
                Some(offset) => format!("Give --offset {},{}.", number(offset.x), number(offset.y)),
                None => "Turn the new pattern with --rotate, or give --fixing through.".to_string(),
            },
        )
    }

    /// The least room between holes of the two patterns with the new one moved to `offset`, seats counted.
    fn room_at(&self, offset: Vector2) -> f64 {
        let half = Vector2::new(0.0, self.slot / 2.0);
        let reach = (self.old.hole.max(self.old.seat) + self.new.hole.max(self.new.seat)) / 2.0;
        let moved = self.new_at.iter().map(|at| at + (offset - self.offset));
        let ends = moved.flat_map(|at| [at + half, at, at - half]);
        let gaps = ends.flat_map(|at| self.old_at.iter().map(move |old| (at - old).norm() - reach));
        gaps.fold(f64::INFINITY, f64::min)
    }

    /// Offsets further along the same way (up, where there is none), the nearest first.
    pub fn farther(&self) -> impl Iterator<Item = Vector2> {
        let length = self.offset.norm();
        let way = if length > 1e-6 { self.offset / length } else { Vector2::y() };
        let tries = (1..120).map(move |k| ((length + 0.5 * f64::from(k)) * 2.0).round() / 2.0);
        tries.map(move |far| (way * far * 10.0).map(f64::round) / 10.0)
    }

    /// The nearest of them at which all holes keep clear.
    fn clear_offset(&self) -> Option<Vector2> {
        self.farther().find(|&at| self.room_at(at) >= EDGE - 0.5)
    }

    /// The old screws as they sit, with their heads and without what they turn into, and the face it lies on.
    pub fn company(&self) -> Result<Vec<Mating>> {
        let (t, shank) = (self.thickness.0, self.old.thread / 2.0);
        let floor = t - self.old.deep;
        let head = (self.old.seat - SEAT_PLAY) / 2.0 - self.allowance / 2.0;
        let end = -(self.old.thread + 2.0);
        let profile = match self.heads {
            Heads::Counterbored => vec![
                (0.0, end),
                (shank, end),
                (shank, floor),
                (head, floor),
                (head, floor + fasteners::socket_head(&self.old.size)?.head_height),
            ],
            Heads::Countersunk => {
                let lip = self.old.hole / 2.0;
                vec![
                    (0.0, end),
                    (shank, end),
                    (shank, floor),
                    (lip, floor),
                    (lip + self.old.deep - SUNK, t - SUNK),
                ]
            }
        };
        let top = profile.last().map_or(t, |&(_, z)| z);
        let corners = profile.into_iter().chain([(0.0, top)]).map(|(r, z)| Point2::new(r, z));
        let screw = Body::revolve(&Loop::polygon(&corners.collect::<Vec<_>>()))?;
        let mut bodies = vec![];
        for at in &self.old_at {
            let stands = screw.moved(Vector3::new(at.x, at.y, 0.0));
            bodies.push(Mating::touching(format!("old screw {}", self.old.size), stands).left_whole());
        }
        let outline = self.outline()?;
        let (least, most) = outline.bounds();
        let size = most - least + Vector2::new(2.0, 2.0) * FACE_ROUND;
        let mut holes = vec![];
        for &at in &self.old_at {
            holes.push(Loop::circle(at, self.old.hole / 2.0)?);
        }
        let face = Loop::rectangle(nalgebra::center(&least, &most), size.x, size.y)?;
        let face = Body::prism(&Region::new(face, holes)?, end, 0.0)?;
        bodies.push(Mating::touching("the machine's face", face));
        Ok(bodies)
    }

    /// How the old screws' heads sit.
    pub fn heads(&self) -> Heads {
        self.heads
    }

    /// Across flats and depth of a nut's pocket; nothing where there is none.
    pub fn pocket(&self) -> Option<(f64, f64)> {
        (self.fixing == Fixing::Nut).then_some((self.nut_flats, self.new.deep))
    }

    /// Radius of the outline round the outermost holes, mm.
    pub fn radius(&self) -> f64 {
        self.radius
    }

    /// What the new screws go into.
    pub fn fixing(&self) -> Fixing {
        self.fixing
    }

    /// What is left under the old screws' heads, mm.
    pub fn floor_under_heads(&self) -> f64 {
        self.thickness.0 - if self.heads == Heads::Counterbored { self.old.deep } else { 0.0 }
    }

    /// The standard of the old screws' heads.
    pub fn head_standard(&self) -> &'static str {
        match self.heads {
            Heads::Counterbored => fasteners::standards(&self.old.size).socket_head,
            Heads::Countersunk => "ISO 10642",
        }
    }
}

fn old_screw(pattern: &Pattern, heads: Heads, workshop: &Workshop) -> Result<Screw> {
    let allowance = workshop.printer.hole_allowance;
    let size = &pattern.size;
    let (thread, clearance) = (fasteners::thread(size)?.diameter, fasteners::clearance_hole(size)?.medium);
    let hole = clearance + allowance;
    let (seat, deep, bears) = match heads {
        Heads::Counterbored => {
            let head = fasteners::socket_head(size)?;
            (head.head_diameter + SEAT_PLAY + allowance, head.head_height + SUNK, head.head_diameter)
        }
        Heads::Countersunk => {
            let head = inserts::countersunk(size)?.head_diameter;
            let seat = head + 2.0 * SUNK + allowance;
            (seat, (seat - hole) / 2.0, head)
        }
    };
    let floor = FLOOR.0.max(FLOOR.1 * thread);
    Ok(Screw {
        size: size.clone(),
        thread,
        hole,
        origin: Origin::clearance_hole(size),
        seat,
        bears,
        deep,
        floor,
        wall_height: 0.0,
    })
}

fn new_screw(pattern: &Pattern, fixing: Fixing, workshop: &Workshop) -> Result<Screw> {
    let allowance = workshop.printer.hole_allowance;
    let size = &pattern.size;
    let thread = fasteners::thread(size)?.diameter;
    let floor = FLOOR.0.max(FLOOR.1 * thread);
    let clearance = fasteners::clearance_hole(size)?.medium + allowance;
    let screw = |hole: f64, origin: Origin, (seat, bears): (f64, f64), deep: f64, floor: f64| Screw {
        size: size.clone(),
        thread,
        hole,
        origin,
        seat,
        bears,
        deep,
        floor,
        wall_height: 0.0,
    };
    Ok(match fixing {
        Fixing::Nut => {
            let nut = fasteners::hex_nut(size)?;
            let round = (nut.across_flats + NUT_PLAY + allowance) / (PI / 6.0).cos();
            screw(clearance, Origin::clearance_hole(size), (round, 0.0), nut.height + PAST_NUT, floor)
        }
        Fixing::Insert => {
            let insert = inserts::insert(size)?;
            let bore = insert.bore;
            screw(
                bore,
                Origin::Table(insert.source.clone()),
                (bore + 2.0 * (insert.wall - EDGE).max(0.0), 0.0),
                insert.length + 1.0,
                0.0,
            )
        }
        Fixing::Through => {
            let washer = fasteners::washer(size)?.outer;
            screw(clearance, Origin::clearance_hole(size), (2.0 * thread, washer), 0.0, floor)
        }
    })
}

/// A nut's pocket, flats along y, so that it runs along its slot without turning.
fn nut_pocket(at: Point2, flats: f64, slot: f64) -> Result<Loop> {
    let round = flats / 2.0 / (PI / 6.0).cos();
    let corners: Vec<Point2> = (0..6)
        .map(|k| {
            let angle = PI / 2.0 + f64::from(k) * PI / 3.0;
            let up = if angle.sin() > 0.0 { slot / 2.0 } else { -slot / 2.0 };
            at + Vector2::new(round * angle.cos(), round * angle.sin() + up)
        })
        .collect();
    let made = Loop::polygon(&corners);
    made.check()?;
    Ok(made)
}
