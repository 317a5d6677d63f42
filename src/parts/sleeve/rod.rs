//! The rod or the puller's screw that drives the sleeve: which size, and what holds its far end.

use super::spec::{Drive, Ring, RodHolds, Sleeve};
use crate::catalog::bearings::Bearing;
use crate::catalog::fasteners::{self, HexNut, HexagonScrew, Washer};
use crate::design::change::Change;
use crate::error::{Error, Result, number};
use crate::mechanics::{screws, strength};

/// Sizes a sleeve is drawn for.
const OFFERED: [&str; 6] = ["M6", "M8", "M10", "M12", "M16", "M20"];
/// Room a rod keeps in what it passes through, mm on the diameter (common practice).
pub const PASSING: f64 = 0.5;
/// Threads that stand out of a nut, in pitches (common practice).
const THREADS_OUT: f64 = 3.0;
/// The most of a shaft's end that is drilled for a thread, of its diameter (common practice).
pub const DRILLED: f64 = 0.6;

/// The screw that drives the sleeve and the washer under its nut or point.
#[derive(Clone, Debug, PartialEq)]
pub struct Screw {
    /// Thread, such as `M10`.
    pub thread: String,
    /// Nominal diameter, mm.
    pub diameter: f64,
    /// Pitch, mm.
    pub pitch: f64,
    /// Clearance hole, ISO 273 medium, mm.
    pub clearance_hole: f64,
    /// The washer.
    pub washer: Washer,
    /// The nut.
    pub nut: HexNut,
    /// The screw of that thread whose head a puller's point presses.
    pub head: HexagonScrew,
    /// Proof stress in the class taken, MPa.
    pub proof_stress: f64,
    /// Stress area, mm².
    pub stress_area: f64,
    /// Property class taken.
    pub class: String,
}

impl Screw {
    fn new(size: &str, class: &str) -> Result<Screw> {
        let thread = fasteners::thread(size)?;
        Ok(Screw {
            thread: size.to_string(),
            diameter: thread.diameter,
            pitch: thread.pitch,
            clearance_hole: fasteners::clearance_hole(size)?.medium,
            washer: fasteners::washer(size)?,
            nut: fasteners::hex_nut(size)?,
            head: fasteners::hexagon_screw(size)?,
            proof_stress: fasteners::property_class(class, size)?.proof_stress,
            stress_area: thread.stress_area,
            class: class.to_string(),
        })
    }

    /// Length of washer, nut and the threads that stand out of it, mm.
    pub fn nut_side(&self) -> f64 {
        self.washer.thickness + self.nut.height + THREADS_OUT * self.pitch
    }

    /// Proof load over `force`, with the twist of the nut.
    pub fn safety(&self, force: f64) -> Result<f64> {
        screws::thread_safety(force, self.proof_stress, self.stress_area)
    }
}

/// The way a rod takes: what holds its far end, and the widest rod that gets there.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// What holds the far end.
    pub holds: RodHolds,
    /// The widest rod it takes, mm.
    pub widest: f64,
    /// What sets that, in words.
    pub narrowest: String,
}

/// What to do where a solid shaft stands where the rod would pass.
const PAST_A_SOLID_SHAFT: &str = "Use --drive flat and rest the housing's far face on the press; or give a hollow spindle's bore as --shaft-bore; or take the shaft out and leave --shaft and --shaft-reach away.";

/// The way of a rod, or why a rod cannot be the drive.
///
/// A rod that pushes an outer ring reacts on the housing: held by the shaft it would press through the
/// balls. With a shaft in the way it must pass a hollow one.
pub fn way(spec: &Sleeve, bearing: &Bearing) -> Result<Option<Way>> {
    if spec.drive != Drive::Rod {
        return Ok(None);
    }
    let hollow = spec.shaft_bore.map(|bore| bore.mm()).filter(|bore| *bore > 0.0);
    let holds = spec.rod_holds.unwrap_or(match (spec.ring, hollow) {
        (Ring::Inner, None) => RodHolds::ShaftEnd,
        (Ring::Inner, Some(_)) => RodHolds::Spindle,
        _ => RodHolds::Housing,
    });
    let shaft_there = !spec.shaft.is_empty() || spec.shaft_reach.is_some_and(|reach| reach.mm() > 0.0);
    let solid_in_the_way = hollow.is_none() && (spec.ring == Ring::Both || shaft_there);
    let of = |widest: f64, narrowest: String| Ok(Some(Way { holds, widest, narrowest }));
    match (spec.ring, holds, hollow) {
        (Ring::Inner, RodHolds::ShaftEnd, _) => {
            let end = spec.shaft.first().map_or(bearing.bore, |step| step.diameter);
            of(DRILLED * end, format!("a thread in a shaft's end of {} mm", number(end)))
        }
        (Ring::Inner, RodHolds::Spindle, Some(bore)) => {
            of(bore - PASSING, format!("the spindle's bore of {} mm", number(bore)))
        }
        (Ring::Inner, RodHolds::Spindle, None) => Err(Error::request(
            "--rod-holds spindle: the rod passes a hollow spindle, but none was given.",
            "Give the spindle's bore as --shaft-bore, or --rod-holds shaft-end.",
        )),
        (Ring::Inner, RodHolds::Housing, _) => Err(Error::geometry(
            "--rod-holds housing: an inner ring is tight on the shaft; held by the housing, the force would go back through the balls of the other bearing.",
            "Give --rod-holds shaft-end, or spindle for a hollow one.",
        )),
        (ring, RodHolds::ShaftEnd | RodHolds::Spindle, _) => Err(Error::geometry(
            format!(
                "--rod-holds: --ring {} is pressed against the housing; held by the shaft, the force would go back through the balls and dent the raceways.",
                ring.word()
            ),
            match solid_in_the_way {
                true => PAST_A_SOLID_SHAFT,
                false => {
                    "Leave --rod-holds out, or give housing: the rod passes through and a plate on the housing's far face holds it."
                }
            },
        )),
        (ring, RodHolds::Housing, _) if solid_in_the_way => Err(Error::geometry(
            format!(
                "--ring {} with a rod: the rod must pass to the housing's far face, and a solid shaft stands in its way. Held by the shaft it would press through the balls.",
                ring.word()
            ),
            match ring {
                Ring::Both => {
                    "Use --drive flat and rest housing and shaft side by side on the press; or give a hollow spindle's bore as --shaft-bore."
                }
                _ => PAST_A_SOLID_SHAFT,
            },
        )),
        (_, RodHolds::Housing, Some(bore)) if spec.ring == Ring::Both || shaft_there => {
            of(bore - PASSING, format!("the spindle's bore of {} mm", number(bore)))
        }
        (_, RodHolds::Housing, _) => {
            of(bearing.bore - PASSING, format!("the bearing's bore of {} mm", number(bearing.bore)))
        }
    }
}

/// The widest screw and washer there is room for, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// What the screw passes through.
    pub screw: f64,
    /// What the washer lies in.
    pub washer: f64,
}

/// The rod or puller's screw of a sleeve: the one named, or the smallest that carries the force twice
/// over. A puller's washer lies in the sleeve's end, which takes one of up to `washer` mm.
pub fn screw(spec: &Sleeve, way: Option<&Way>, washer: f64, force: f64) -> Result<Option<Screw>> {
    let washer = match spec.drive {
        Drive::Flat => return Ok(None),
        Drive::Rod => f64::INFINITY,
        Drive::Puller => washer,
    };
    let room = Room { screw: way.map_or(f64::INFINITY, |way| way.widest), washer };
    choose(spec.rod.as_deref(), spec.rod_class.as_deref(), room, (force, strength::TRUSTED)).map(Some)
}

/// The screw of a size and class, or where none is named the smallest that carries `force` (N) with the
/// safety wanted, the twist of its nut taken in; where none that finds room does, the widest that finds it.
pub fn choose(
    named: Option<&str>,
    class: Option<&str>,
    room: Room,
    (force, wanted): (f64, f64),
) -> Result<Screw> {
    let class = class.unwrap_or(fasteners::UNMARKED);
    if let Some(thread) = named {
        let thread = thread.trim().to_uppercase();
        if !OFFERED.contains(&thread.as_str()) {
            return Err(Error::unknown(
                format!("--rod {thread} is not a rod this is drawn for."),
                format!("Use one of {}.", OFFERED.join(", ")),
            ));
        }
        return Screw::new(&thread, class);
    }
    let mut best = Screw::new(OFFERED[0], class)?;
    for size in OFFERED {
        let screw = Screw::new(size, class)?;
        if screw.diameter > room.screw || screw.washer.outer > room.washer {
            break;
        }
        best = screw;
        if best.safety(force)? >= wanted {
            break;
        }
    }
    Ok(best)
}

/// Rods of marked classes that get through, the weakest first, as changes of a request.
pub fn marked(widest: f64) -> Vec<Change> {
    let passing = OFFERED.into_iter().filter(|size| {
        let diameter = size.trim_start_matches('M').parse::<f64>();
        diameter.is_ok_and(|diameter| diameter <= widest)
    });
    passing
        .flat_map(|size| ["8.8", "10.9"].map(|class| Change::give("rod", size).and_give("rod-class", class)))
        .collect()
}

/// The next sizes up from a thread.
pub fn larger_than(thread: &str) -> impl Iterator<Item = &'static str> {
    let at = OFFERED.iter().position(|size| *size == thread).map_or(OFFERED.len(), |at| at + 1);
    OFFERED.into_iter().skip(at)
}
