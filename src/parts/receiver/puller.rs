//! Drawing a bearing off its shaft by a screw puller: a ring slotted to one side, slid behind the inner ring, which the
//! jaws hook behind at either side of the slot. Nothing of the pull goes through the balls.

use super::drawing_off::{PLAY, Pull, holds, pull};
use super::sizes::{forces, of_bearing};
use super::spec::Receiver;
use crate::catalog::bearings::{self, Bearing};
use crate::checks::{Finding, Level, Relation};
use crate::design::{Extent, Feature, Origin, Size};
use crate::error::{Error, Result, hundredth, newtons, number, to_hundredth, to_thousandth, within};
use crate::mechanics::screws::{self, NutFactor, Stop};
use crate::mechanics::strength;
use crate::parts::sleeve::press::{self, Joint};
use crate::parts::sleeve::rod::{self, Screw};
use crate::solid::{Point3, Vector3};
use crate::workshop::Workshop;

/// Share of the likely pull that the ring is checked for (common practice).
const WANTED: f64 = 1.5;
/// How far the ring stands out past the bearing for a puller's jaws, mm on the radius (common practice).
const JAW: f64 = 6.0;
/// Room the tips of a puller's jaws need behind the ring, mm, at the least (common practice); of a heavy pull as thick as
/// a tip is that is bent 3 mm from its root, 15 mm wide, of a steel used at 400 MPa.
fn tips(force: f64) -> f64 {
    (6.0 * force / 2.0 * 3.0 / (15.0 * 400.0)).sqrt().max(6.0).ceil()
}
/// Room that lets the ring slide into the gap, mm (common practice).
const SLIDES: f64 = 0.3;
/// How much narrower the slot is than the bore, mm: its sides end in the bore (common practice).
const NARROWER: f64 = 0.2;
/// Least spigot of a plug, mm: a smaller hollow is a centre hole (common practice).
const LEAST_SPIGOT: f64 = 4.0;
/// Safety of the screw over the force that the ring is checked for (common practice).
const SCREW: f64 = 1.3;
/// What the ring is called by.
pub const RING: &str = "slotted-ring";
/// Its print, to be tried in the gap before one is turned.
pub const PATTERN: &str = "pattern";

/// A ring behind the inner ring, slotted to one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlottedRing {
    /// The shaft it goes over, mm.
    pub shaft: f64,
    /// Bore, mm.
    pub bore: f64,
    /// Width of the slot, which passes the shaft, mm.
    pub slot: f64,
    /// Outside, mm: past the bearing, where the jaws hook.
    pub outside: f64,
    /// Thickness over all, its land counted, mm.
    pub thickness: f64,
    /// Outside of the land that bears on the inner ring alone, mm; it stands [`SlottedRing::PROUD`] over the rest.
    pub land: f64,
    /// What its land bears on the inner ring, N.
    pub bears: f64,
}

impl SlottedRing {
    /// How far the land stands over the rest, mm: clear of shield and outer ring (common practice).
    pub const PROUD: f64 = 1.0;

    /// The ring under a wanted force (N), and the force it is made for: less where its land bears less.
    fn new(spec: &Receiver, bearing: &Bearing, wanted: f64) -> Result<(SlottedRing, f64)> {
        let usual = bearing.bore + 2.0 * bearing.chamfer_max_radial_inner;
        // It travels along the seat too.
        let shaft = match spec.gap_shaft {
            Some(shaft) => within("--gap-shaft", shaft.mm(), 1.0, bearing.outside, "mm")?.max(bearing.bore),
            None => usual,
        };
        let (bore, land) = (shaft + PLAY, bearing.inner_shoulder - PLAY);
        if land - bore.max(usual) < 1.0 {
            return Err(Error::geometry(
                format!(
                    "Behind the inner ring of {} a ring would bear from {} to {} mm: too narrow a face to pull by.",
                    bearing.designation,
                    number(bore.max(usual)),
                    number(land)
                ),
                "Measure the shaft in the gap and give --gap-shaft; where it leaves no face, the ring is ground along and split, or warmed off.",
            ));
        }
        let face = balanced_land(bore.max(usual) / 2.0, land / 2.0, (bore - NARROWER) / 2.0);
        // At its yield it is upset a little and finds more face.
        let bears = face * strength::STEEL_YIELD;
        let force = wanted.min(bears);
        let outside = bearing.outside + 2.0 * JAW;
        let (width, arm) = ((outside - bore) / 2.0, (bearing.outside + JAW) / 2.0 - (bore + land) / 4.0);
        let safe = |stress: f64| stress / strength::STEEL_FACTOR;
        let steel = (safe(strength::STEEL_YIELD), safe(strength::STEEL_YIELD) / 3f64.sqrt());
        let thickness = strength::slotted_ring(force, width, arm, steel) + Self::PROUD;
        let slot = bore - NARROWER;
        let ring = SlottedRing { shaft, bore, slot, outside, thickness, land, bears };
        Ok((ring, force))
    }
}

/// The part of a sawn land that bears with its middle on the axis, where the puller's screw presses, mm²: all that stands
/// on the slot's side, and so much of the other as balances it. Radii of the land and half of the slot, mm.
fn balanced_land(inner: f64, outer: f64, half_slot: f64) -> f64 {
    const STEPS: u32 = 2000;
    let step = std::f64::consts::FRAC_PI_2 / f64::from(STEPS);
    // Both sides of the slot at once: area, and its moment about the line through both jaws.
    let strip = |k: u32, half_slot: f64| {
        let (sin, cos) = ((f64::from(k) + 0.5) * step).sin_cos();
        let from = inner.max(half_slot / cos).min(outer);
        let area = (outer.powi(2) - from.powi(2)) * step;
        (area, 2.0 / 3.0 * (outer.powi(3) - from.powi(3)) * sin * step)
    };
    let beside = (0..STEPS).map(|k| strip(k, half_slot));
    let (mut area, mut moment) = beside.fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
    for k in 0..STEPS {
        let behind = strip(k, 0.0);
        if behind.1 > moment {
            break;
        }
        (area, moment) = (area + behind.0, moment - behind.1);
    }
    area
}

/// Everything settled.
pub struct Settled {
    /// The bearing.
    pub bearing: Bearing,
    /// The tight joint.
    pub joint: Joint,
    /// The forces.
    pub pull: Pull,
    /// The ring.
    pub ring: SlottedRing,
    /// The puller's screw.
    pub screw: Screw,
    /// Stop torque and force.
    pub stop: Stop,
    /// Length over which the seat is tight, mm.
    pub travel: f64,
    /// Bore of a hollow spindle and outside of the plug for the puller's point, mm.
    pub plug: Option<(f64, f64)>,
    /// The gap, mm, where it was given.
    pub gap: Option<f64>,
}

/// Settles it. Fails where the request cannot be met.
pub fn settle(spec: &Receiver) -> Result<Settled> {
    let pressed = spec.pressed();
    let bearing = bearings::read(&pressed.bearing_text()?)?;
    if bearing.tapered_bore {
        return Err(Error::geometry(
            format!("{} has a tapered bore: it is held by a sleeve or nut.", bearing.designation),
            "Slacken its lock nut by a few turns, set a tube on the nut and strike that; or use the sleeve's own withdrawal nut.",
        ));
    }
    let press = press::press(&pressed, &bearing)?;
    let joint = press.shaft.ok_or_else(|| Error::internal("A seat without a joint."))?;
    let pull = pull(spec, &joint);
    holds(&bearing, &joint, pull)?;
    let gap = spec.gap.map(|gap| within("--gap", gap.mm(), 0.1, 200.0, "mm")).transpose()?;
    let travel = match spec.seat_length {
        Some(length) => within("--seat-length", length.mm(), 1.0, 500.0, "mm")?,
        None => bearing.tapered.as_ref().map_or(bearing.stack_width(), |rings| rings.cone_width),
    };
    let wanted = (WANTED * pull.likely).min(pull.most);
    let (ring, wanted) = SlottedRing::new(spec, &bearing, wanted)?;
    let any = rod::Room { screw: f64::INFINITY, washer: f64::INFINITY };
    let screw = rod::choose(spec.rod.as_deref(), spec.rod_class.as_deref(), any, (wanted, SCREW))?;
    let stop = screws::stop(wanted, screw.diameter, screw.proof_stress, screw.stress_area, NutFactor::POINT)?;
    let hollow = spec.shaft_bore.map(|bore| bore.mm()).filter(|bore| *bore > 0.0);
    let plug =
        hollow.map(|bore| (bore - PLAY, bearing.bore - PLAY)).filter(|(spigot, _)| *spigot >= LEAST_SPIGOT);
    Ok(Settled { bearing, joint, pull, ring, screw, stop, travel, plug, gap })
}

impl Settled {
    /// The gap that ring and jaws need, mm.
    pub fn gap_needed(&self) -> f64 {
        self.ring.thickness + SLIDES + tips(self.stop.force)
    }

    /// All findings.
    pub fn findings(&self, spec: &Receiver, workshop: &Workshop) -> Vec<Finding> {
        let ring = &self.ring;
        let factor = self.screw.safety(self.stop.force).unwrap_or(0.0).min(999.0);
        let [x, y, _] = workshop.printer.bed;
        vec![
            Finding::at_least(
                "backing-gap",
                (to_thousandth(self.gap.unwrap_or(0.0)), to_thousandth(self.gap_needed()), "mm"),
                if spec.gap.is_some() { Level::Stop } else { Level::Caution },
                format!(
                    "A slotted ring {} mm thick carries {} on a puller's two jaws; with room for their tips it needs a gap of {} mm behind the inner ring{}.",
                    number(ring.thickness),
                    newtons(self.stop.force),
                    number(self.gap_needed()),
                    if spec.gap.is_some() { "" } else { ", which was not given" }
                ),
                match spec.gap.is_some() {
                    true => {
                        "Take off what bounds the gap, or warm and oil the seat; where neither helps, count the bearing as scrap and give --by rod."
                    }
                    false => "Measure the gap behind the inner ring and give --gap.",
                },
                "bending and twist (Shigley, eq. 3-40) of the ring between jaws at either side of its slot, S235 at two thirds of yield",
            ),
            Finding::at_least(
                "screw-proof",
                (to_thousandth(factor), 1.0, ""),
                Level::Stop,
                format!(
                    "The puller's {} screw holds {factor:.2} times the force it is stopped at.",
                    self.screw.thread
                ),
                "Use a puller with a thicker screw.",
                "ISO 898-1:2013, proof stress times stress area, over 1.3 for the twist of the nut (VDI 2230, from memory)",
            ),
            self.stops_short(),
            Finding::settled(
                "gap-shaft",
                Relation::AtMost,
                (to_hundredth(self.ring.shaft), to_hundredth(self.ring.land), "mm"),
                if spec.gap_shaft.is_some() { Level::Ok } else { Level::Caution },
                format!(
                    "The ring goes over a shaft of {} mm{}: the thicker it is, the less face the ring finds, and the sooner it is stopped. Never bore the ring wider and keep the torque.",
                    hundredth(self.ring.shaft),
                    if spec.gap_shaft.is_some() { "" } else { ", which was not given" }
                ),
                "Measure the shaft in the gap and give --gap-shaft.",
                "a land of what the inner ring's shoulder leaves over the shaft",
            ),
            Finding::at_most(
                "bed-size",
                (to_thousandth(ring.outside), x.min(y), "mm"),
                Level::Stop,
                format!("The ring is {:.1} mm wide on a bed of {x:.0} × {y:.0} mm.", ring.outside),
                "Use a larger --printer.",
                format!("printer preset {}", workshop.printer.name),
            ),
        ]
    }

    /// A stop that comes before the likely pull draws nothing.
    fn stops_short(&self) -> Finding {
        let by_land = self.stop.force >= 0.99 * self.ring.bears;
        Finding::at_least(
            "stops-short",
            (self.stop.force.round(), self.pull.likely.round(), "N"),
            Level::Caution,
            format!(
                "It is stopped at {}{}; the seat likely takes {}.",
                newtons(self.stop.force),
                if by_land { ", all that a land of structural steel bears" } else { "" },
                newtons(self.pull.likely)
            ),
            match by_land {
                true => {
                    "Warm and oil the seat to ease the pull, again and again; that it does not move at the stop is no reason to cut the ring."
                }
                false => {
                    "Use a puller with a thicker screw, or one of a higher marked class (--rod, --rod-class)."
                }
            },
            "the stop force against the likely pull",
        )
    }

    /// Every size, each told once.
    pub fn sizes(&self, spec: &Receiver) -> Vec<Size> {
        let (ring, bearing) = (&self.ring, &self.bearing);
        let formula = |what: &str| Origin::Formula(what.into());
        let body = ring.thickness - SlottedRing::PROUD;
        let on_all = |size: Size, extent: &dyn Fn() -> Extent| {
            [PATTERN, RING].into_iter().fold(size, |size, piece| size.shown_on(piece, extent()))
        };
        let round = |size: Size, z: f64| {
            let value = size.value;
            on_all(size, &|| Extent::diameter(Vector3::z(), value, vec![Point3::new(0.0, 0.0, z)]))
        };
        let upright = |size: Size, diameter: f64, from: f64, to: f64| {
            on_all(size, &|| {
                let places = [-0.5, 0.5].map(|side| [from, to].map(|z| Point3::new(side * diameter, 0.0, z)));
                Extent::any_between(Vector3::z(), places.to_vec())
            })
        };
        // A pattern is told to see a misprint.
        let hole = |size: Size| size.printed(Feature::Hole, 0.0).about(0.5);
        let outer = |size: Size| size.printed(Feature::Outside, 0.0).about(0.4);
        let travel =
            Origin::given_or(spec.seat_length.is_some(), "--seat-length", formula("the ring's width"));
        let torque = formula(&format!(
            "T = K·F·d (Shigley, eq. 8-27), greased, K {}, the least of a point",
            NutFactor::POINT.least
        ));
        let force = formula("what the slotted ring is checked for");
        let mut list = forces(spec, &self.joint, self.pull, (&self.stop, torque, force));
        list.push(Size::new("travel", "travel under force", self.travel, travel).at_bench(4));
        list.extend(of_bearing(bearing));
        let of = |key: &str, what: &str, value: f64, origin: Origin| {
            Size::new(format!("slotted_ring_{key}"), format!("slotted ring, {what}"), value, origin)
        };
        let slid = || {
            Origin::given_or(
                spec.gap_shaft.is_some(),
                "--gap-shaft",
                formula("bearing bore, chamfer and play"),
            )
        };
        let wide = formula("bearing outside and 6 mm for the jaws");
        let bent = formula("bending and twist between jaws at either side of the slot");
        let landed = formula("the inner ring's shoulder less play");
        let clear = Origin::Practice("clear of shield and outer ring".into());
        let gap = formula("slotted ring and 6 mm for the tips of the jaws");
        let mouth = [-0.5, 0.5].map(|side| Point3::new(side * ring.slot, 0.45 * ring.outside, body / 2.0));
        list.extend([
            hole(round(of("bore", "bore", ring.bore, slid()), body / 2.0)),
            hole(on_all(of("slot", "width of its slot", ring.slot, slid()), &|| {
                Extent::between(Vector3::x(), mouth[0], mouth[1])
            })),
            outer(round(of("outside", "outside", ring.outside, wide), body / 2.0)),
            outer(upright(of("thickness", "overall", ring.thickness, bent), ring.land, 0.0, ring.thickness)),
            outer(round(
                of("land", "outside of its land", ring.land, landed),
                ring.thickness - SlottedRing::PROUD / 2.0,
            )),
            upright(
                of("land_height", "height of its land", SlottedRing::PROUD, clear),
                ring.land,
                body,
                ring.thickness,
            ),
            Size::new("gap_needed", "gap behind the inner ring, at least", self.gap_needed(), gap)
                .at_bench(5),
        ]);
        if let Some((spigot, outside)) = self.plug {
            let what = || formula("the spindle's bore and the bearing's, less play");
            list.push(Size::new("plug_spigot", "plug, spigot", spigot, what()));
            list.push(Size::new("plug_outside", "plug, outside", outside, what()));
        }
        list
    }
}
