//! The pressing as a whole: from first touch to seat, where the force goes back, when to stop, and what
//! has to be bought or turned beside the print.

use super::press::Press;
use super::rod::Screw;
use super::shape::End;
use super::sizing::Sizing;
use super::spec::{Drive, Ring, RodHolds, Sleeve};
use super::strength::Plastic;
use crate::catalog::bearings::Bearing;
use crate::catalog::fasteners;
use crate::design::Hardware;
use crate::error::{Result, newtons, number, within};
use crate::mechanics::screws::{self, NutFactor};
use crate::mechanics::strength;

/// Room a spanner needs over the nut, mm (common practice).
const SPANNER: f64 = 15.0;
/// How much wider than its opening a far plate is, mm (common practice).
const PLATE_RIM: f64 = 20.0;
/// Looseness beside the play, mm on the diameter, up to which the shaft still counts as guiding the
/// sleeve: the printer's hole allowance and a little more (common practice).
const STILL_GUIDES: f64 = 0.8;

/// The rod and what holds its far end.
#[derive(Clone, Debug)]
pub struct Rod {
    /// Length to buy or cut, mm.
    pub length: f64,
    /// Thread that must be screwed into the shaft's end, mm; nought where a nut holds it.
    pub engagement: f64,
    /// Length of spindle or housing it passes, mm, and whether that was measured.
    pub through: Option<(f64, bool)>,
}

/// The steel plate that holds the rod at the far face.
#[derive(Clone, Copy, Debug)]
pub struct FarPlate {
    /// Width of the opening it spans, mm.
    pub opening: f64,
    /// Its diameter or side, mm.
    pub size: f64,
    /// Its thickness, mm; the thickest there is where none would do.
    pub thickness: f64,
    /// Yield over its stress; below [`strength::STEEL_FACTOR`] where none would do.
    pub factor: f64,
}

/// The steel plate between the ram and a flat drive end.
#[derive(Clone, Copy, Debug)]
pub struct DrivePlate {
    /// Its diameter or side, mm.
    pub size: f64,
    /// Its thickness, mm; the thickest there is where none would do.
    pub thickness: f64,
    /// Yield over its stress.
    pub factor: f64,
}

/// How the ring goes home.
#[derive(Clone, Debug)]
pub struct Pressing {
    /// How far the ring is pushed under force, mm.
    pub travel: f64,
    /// How much of the travel it takes until the whole width is on the seat, mm.
    pub rise: f64,
    /// Length over which shaft or housing guides the sleeve when the force starts, mm.
    pub guide_at_start: f64,
    /// The force the set-up is checked for and may not pass, N.
    pub stop_force: f64,
    /// How much of the torque becomes force.
    pub rubs: NutFactor,
    /// The torque at the greased nut or screw at which to stop, N·m.
    pub stop_torque_nm: Option<f64>,
    /// The force that may be left standing on the print, N.
    pub standing_force: f64,
    /// The rod.
    pub rod: Option<Rod>,
    /// The plate at its far end.
    pub far_plate: Option<FarPlate>,
    /// Free room needed before shaft end or housing face, mm.
    pub room: f64,
    /// Diameter of the ram that pushes on a flat end, mm, and whether it was given.
    pub ram: Option<(f64, bool)>,
    /// The steel plate laid on a flat drive end, under the ram.
    pub drive_plate: Option<DrivePlate>,
    /// Least reach of a puller's jaws, from what they hook behind to the point, mm.
    pub puller_reach: Option<f64>,
    /// What has to be bought, turned or found.
    pub hardware: Vec<Hardware>,
}

impl Pressing {
    /// What needs room before the force starts, and why as much, in words.
    pub fn room_for(&self) -> (&'static str, &'static str) {
        match (&self.rod, self.stop_torque_nm) {
            (Some(_), _) => (
                "room for sleeve, nut and spanner",
                "what stands out at the start, washer, nut, 15 mm for the spanner",
            ),
            (None, Some(_)) => (
                "room for sleeve and screw",
                "what stands out at the start, the screw's washer and head, 15 mm to turn by",
            ),
            (None, None) => ("room for the sleeve", "what stands out at the start"),
        }
    }

    /// Force after so much travel, N: it grows evenly until the whole width is on the seat.
    pub fn force_at(&self, travel: f64, full: f64) -> f64 {
        full * (travel / self.rise.max(1e-9)).clamp(0.0, 1.0)
    }
}

/// Everything the pressing is settled from.
pub struct Parts<'a> {
    /// The request.
    pub spec: &'a Sleeve,
    /// The bearing.
    pub bearing: &'a Bearing,
    /// The joints and their force.
    pub press: &'a Press,
    /// The sleeve.
    pub sizing: &'a Sizing,
    /// Its plastic.
    pub plastic: &'a Plastic,
    /// The most force (N) at which no part of the print is beyond its limit.
    pub print_stands: f64,
}

impl Parts<'_> {
    /// Settles the pressing. Fails for options out of bounds.
    pub fn pressing(&self) -> Result<Pressing> {
        let (spec, sizing) = (self.spec, self.sizing);
        let width = self.ring_width();
        let travel = match spec.seat_length {
            Some(length) => within("--seat-length", length.mm(), 1.0, 500.0, "mm")?,
            None => width,
        };
        // A set-up that was let through beyond its limit is still stopped where the print stands.
        let allowed = self.press.force.checked.min(self.print_stands);
        // A nut rubs under its face as well; a point does not, and turns more of the torque into force.
        let rubs = match spec.drive {
            Drive::Puller => NutFactor::POINT,
            _ => NutFactor::GREASED,
        };
        let (stop_force, stop_torque_nm) = match &sizing.screw {
            None => (allowed, None),
            Some(screw) => {
                let stop =
                    screws::stop(allowed, screw.diameter, screw.proof_stress, screw.stress_area, rubs)?;
                (stop.force, Some(stop.torque / 1000.0))
            }
        };
        // At the start the sleeve stands out by the travel more than when the ring is home.
        let out_at_start = sizing.stands() - sizing.reach + travel;
        let far_plate = self.far_plate(stop_force)?;
        let rod = self.rod(out_at_start, far_plate.as_ref())?;
        let nut_side = sizing.screw.as_ref().map_or(0.0, Screw::nut_side);
        let span = sizing.shape.bore.last().map_or(0.0, |step| step.diameter);
        let ram = matches!(sizing.shape.end, End::Flat | End::Open).then(|| match spec.ram {
            Some(ram) => (ram.mm(), true),
            None => (0.5 * span, false),
        });
        let drive_plate = self.drive_plate(stop_force)?;
        let mut pressing = Pressing {
            travel,
            rise: width.min(travel),
            guide_at_start: self.guide(travel),
            stop_force,
            rubs,
            stop_torque_nm,
            standing_force: self.standing_force(stop_force),
            rod,
            far_plate,
            room: out_at_start.max(0.0) + nut_side + if nut_side > 0.0 { SPANNER } else { 0.0 },
            ram,
            drive_plate,
            puller_reach: self.puller_reach(travel),
            hardware: vec![],
        };
        pressing.hardware = self.hardware(&pressing);
        Ok(pressing)
    }

    /// The plate on a flat end: over a closed one as wide as the ram is to be, over an open one from wall to wall,
    /// bent by a ram of half its span or the one that is there.
    fn drive_plate(&self, force: f64) -> Result<Option<DrivePlate>> {
        let shape = &self.sizing.shape;
        let span = shape.bore.last().map_or(0.0, |step| step.diameter);
        let ram = self.spec.ram.map_or(0.5 * span, |ram| ram.mm());
        Ok(match shape.end {
            End::Flat => {
                Some(DrivePlate { size: ram.max(1.0).ceil(), thickness: 6.0, factor: f64::INFINITY })
            }
            End::Open => {
                let found = strength::steel_plate(force, span.max(0.1), ram, 0.0)?;
                let (thickness, factor) = found.unwrap_or((30.0, 0.0));
                Some(DrivePlate { size: shape.body_diameter.ceil(), thickness, factor })
            }
            _ => None,
        })
    }

    /// From behind the bearing to the head under the puller's point as the ring starts, mm; what stands behind the
    /// bearing comes to it.
    fn puller_reach(&self, travel: f64) -> Option<f64> {
        let screw = self.sizing.screw.as_ref().filter(|_| self.spec.drive == Drive::Puller)?;
        let stands = self.sizing.stands() + self.bearing.stack_width() + travel;
        Some((stands + screw.head.head_height).ceil())
    }

    /// Width of the ring that slides, mm: the greater where both do.
    fn ring_width(&self) -> f64 {
        let tapered = self.bearing.tapered.as_ref();
        match (self.spec.ring, tapered) {
            (Ring::Inner, Some(rings)) => rings.cone_width,
            (Ring::Outer, Some(rings)) => rings.cup_width,
            _ => self.bearing.stack_width(),
        }
    }

    /// What may be left standing, N: what the set-up may be stopped at, each way it can give at the share of its
    /// quick strength that the material bears for weeks.
    fn standing_force(&self, stop_force: f64) -> f64 {
        let share = self.plastic.standing_compression / self.plastic.printed.compressive_yield.max(1e-9);
        stop_force.min(self.print_stands) * share.min(1.0)
    }

    /// Length over which the sleeve is guided when the ring first touches its seat.
    fn guide(&self, travel: f64) -> f64 {
        let sizing = self.sizing;
        let by_housing = (sizing.reach - travel).max(0.0);
        if self.spec.ring == Ring::Outer {
            return by_housing;
        }
        let steel = sizing.steel.as_ref().map_or(0.0, |ring| ring.thickness);
        let loosest = sizing.play + STILL_GUIDES;
        // Steps of shaft as they stand in the sleeve at the start, each against the bore it is in.
        let mut from = -travel;
        let mut guided = 0.0;
        for step in &sizing.steps {
            let (low, high) = (from.max(0.0), from + step.length);
            from = high;
            let mut mouth = f64::NEG_INFINITY;
            for bore in &sizing.shape.bore {
                let end = bore.to + steel;
                let overlap = high.min(end) - low.max(mouth);
                if overlap > 0.0 && bore.diameter - step.diameter <= loosest {
                    guided += overlap;
                }
                mouth = end;
            }
        }
        if self.spec.ring == Ring::Both { guided.max(by_housing) } else { guided }
    }

    fn far_plate(&self, force: f64) -> Result<Option<FarPlate>> {
        let (Some(way), Some(screw)) = (&self.sizing.way, &self.sizing.screw) else {
            return Ok(None);
        };
        let usual = match way.holds {
            RodHolds::ShaftEnd => return Ok(None),
            RodHolds::Spindle => self.spec.shaft_bore.map_or(self.bearing.bore, |bore| bore.mm()),
            RodHolds::Housing => self.bearing.outside,
        };
        let opening = match self.spec.far_opening {
            Some(opening) => within("--far-opening", opening.mm(), 1.0, 1000.0, "mm")?,
            None => usual,
        };
        let hole = screw.clearance_hole;
        let found = strength::steel_plate(force, opening.max(0.1), screw.washer.outer, hole)?;
        let (thickness, factor) = found.unwrap_or((30.0, 0.0));
        let size = opening.max(screw.washer.outer) + PLATE_RIM;
        Ok(Some(FarPlate { opening, size, thickness, factor }))
    }

    /// The bar that a puller's jaws hook behind where both rings are pressed: a beam between the jaws, pressed in its
    /// middle by the shaft alone; its width that of the bearing.
    fn bar_under_both(&self, force: f64) -> Option<Hardware> {
        /// Stock thicknesses of flat steel bar, EN 10058 (from memory), mm.
        const STOCK: [f64; 10] = [8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0];
        let round = self.spec.housing_outside.map_or(1.5 * self.bearing.outside, |outside| outside.mm());
        let (span, wide) = (round + PLATE_RIM, self.bearing.outside.ceil());
        let allowed = strength::STEEL_YIELD / strength::STEEL_FACTOR;
        let least = (6.0 * force * span / 4.0 / (wide * allowed)).sqrt();
        let thick = STOCK.into_iter().find(|thick| *thick >= least)?;
        let size =
            format!("{} × {} × {}, S235", number((span + PLATE_RIM).ceil()), number(wide), number(thick));
        (self.spec.ring == Ring::Both)
            .then(|| Hardware::new("flat steel bar under housing and shaft", size, "EN 10058", 1))
    }

    fn rod(&self, out_at_start: f64, plate: Option<&FarPlate>) -> Result<Option<Rod>> {
        let (Some(way), Some(screw)) = (&self.sizing.way, &self.sizing.screw) else {
            return Ok(None);
        };
        let near = out_at_start.max(0.0) + screw.nut_side();
        let up = |length: f64| (length / 5.0).ceil() * 5.0;
        if way.holds == RodHolds::ShaftEnd {
            let metal = self.press.shaft.as_ref().map_or("carbon steel", |joint| joint.metal.as_str());
            let engagement = screws::least_engagement(metal) * screw.diameter;
            return Ok(Some(Rod { length: up(engagement + near), engagement, through: None }));
        }
        let through = match self.spec.through {
            Some(through) => (within("--through", through.mm(), 1.0, 3000.0, "mm")?, true),
            // Seat and as much again of wall behind it, where nothing is known.
            None => (self.sizing.reach + self.bearing.stack_width() + 2.0 * self.bearing.width, false),
        };
        let far = plate.map_or(0.0, |plate| plate.thickness) + screw.nut_side();
        Ok(Some(Rod { length: up(far + through.0 + near), engagement: 0.0, through: Some(through) }))
    }

    fn hardware(&self, pressing: &Pressing) -> Vec<Hardware> {
        let mut list = Vec::new();
        if let Some(ring) = &self.sizing.steel {
            list.push(Hardware::new("turned steel ring", ring.words(), "S235 or better, EN 10025-2", 1));
        }
        let force = newtons(pressing.stop_force);
        match (self.spec.drive, &self.sizing.screw, &pressing.rod) {
            (Drive::Rod, Some(screw), Some(rod)) => {
                let ends = if rod.through.is_some() { 2 } else { 1 };
                let size = format!("{} × {}", screw.thread, number(rod.length));
                let standard = format!("DIN 976-1, class {}", screw.class);
                list.push(Hardware::new("threaded rod", size, &standard, 1));
                let nut = fasteners::nut_standard(&screw.class);
                list.push(Hardware::new("hexagon nut", screw.thread.clone(), &nut, ends));
                list.push(Hardware::new("plain washer", screw.thread.clone(), "ISO 7089", ends));
            }
            (Drive::Puller, Some(screw), _) => {
                let size = format!(
                    "screw {} or thicker, for {force} or more, jaws that reach {} mm and past what they hook behind",
                    screw.thread,
                    number(pressing.puller_reach.unwrap_or_default())
                );
                list.push(Hardware::new("screw puller", size, "", 1));
                list.extend(self.bar_under_both(pressing.stop_force));
                let size = format!("{} × {}", screw.thread, number(screw.head.shortest));
                list.push(Hardware::new(
                    "hexagon screw, its head centre-drilled",
                    size,
                    "ISO 4017, class 8.8",
                    1,
                ));
                list.push(Hardware::new("plain washer", screw.thread.clone(), "ISO 7089", 1));
            }
            _ => {
                let plate = pressing.drive_plate.map_or(0.0, |plate| plate.thickness);
                let opens = self.sizing.stands() + self.bearing.stack_width() + pressing.travel + plate;
                let size = format!(
                    "for {force} or more, opening over {} mm and what stands behind the bearing",
                    number(opens.ceil())
                );
                list.push(Hardware::new("vice or arbor press", size, "", 1));
            }
        }
        list.extend(pressing.stop_torque_nm.filter(|torque| *torque > 0.0).map(Hardware::torque_tool));
        if let Some(plate) = pressing.drive_plate {
            let open = self.sizing.shape.end == End::Open;
            let what = if open { "over the open end" } else { "under the ram" };
            let under = match pressing.ram.filter(|_| open) {
                Some((ram, _)) => format!(", under a ram of {} or more", number(ram.ceil())),
                None => String::new(),
            };
            let size =
                format!("at least {} across, {} thick{under}", number(plate.size), number(plate.thickness));
            list.push(Hardware::new(&format!("flat steel plate {what}"), size, "EN 10025-2, S235", 1));
        }
        if let Some(plate) = pressing.far_plate {
            let hole = self.sizing.screw.as_ref().map_or(0.0, |screw| screw.clearance_hole);
            let size = format!(
                "{} square, {} thick, hole {} in its middle",
                number(plate.size.ceil()),
                number(plate.thickness),
                number(hole)
            );
            list.push(Hardware::new("flat steel plate for the far face", size, "EN 10025-2, S235", 1));
        }
        list
    }
}
