//! Drawing a bearing off its shaft by a screw puller: a ring slotted to one side, slid behind the inner ring, which the
//! jaws hook behind at either side of the slot. Nothing of the pull goes through the balls.

use super::drawing_off::{PLAY, Pull, holds, pull};
use super::sizes::{forces, of_bearing};
use super::spec::Receiver;
use crate::catalog::bearings::{self, Bearing};
use crate::checks::{Finding, Level};
use crate::design::{Extent, Feature, Origin, Size};
use crate::error::{Error, Result, newtons, number, to_thousandth, within};
use crate::mechanics::screws::{self, NutFactor, Stop};
use crate::mechanics::strength;
use crate::parts::sleeve::press::{self, Joint};
use crate::parts::sleeve::rod::{self, Screw};
use crate::parts::sleeve::strength::Plastic;
use crate::solid::{Point3, Vector3};
use crate::workshop::Workshop;

/// Share of the likely pull that the ring is checked for (common practice).
const WANTED: f64 = 1.5;
/// How far the ring stands out past the bearing for a puller's jaws, mm on the radius (common practice).
const JAW: f64 = 6.0;
/// Room the tips of a puller's jaws need behind the ring, mm (common practice).
const TIPS: f64 = 6.0;
/// Room that lets the ring slide into the gap, mm (common practice).
const SLIDES: f64 = 0.3;
/// How much narrower the slot is than the bore, mm: its sides end in the bore (common practice).
const NARROWER: f64 = 0.2;
/// Share of the land that counts under two jaws, which press on a quarter round each (common practice).
const BEARS: f64 = 0.5;
/// Safety of the screw over the force that the ring is checked for (common practice).
const SCREW: f64 = 1.3;
/// What the ring is called by, and the print of it that is tried in the gap before one is turned.
pub const RING: &str = "slotted-ring";
/// The printed pattern of a ring that is turned.
pub const PATTERN: &str = "pattern";

/// A ring behind the inner ring, slotted to one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlottedRing {
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
    /// Whether plastic of that thickness bears the pull; else it is turned from steel.
    pub printed: bool,
    /// How thick a printed one would have to be, mm.
    pub printed_needs: f64,
    /// What half of its land, which counts under two jaws, bears on the inner ring, N.
    pub bears: f64,
}

impl SlottedRing {
    /// How far the land stands over the rest, mm: clear of shield and outer ring (common practice).
    pub const PROUD: f64 = 1.0;

    /// The ring under a wanted force (N), and the force it is made for: less where its land bears less.
    fn new(
        spec: &Receiver,
        bearing: &Bearing,
        (plastic, allowance): (&Plastic, f64),
        wanted: f64,
    ) -> Result<(SlottedRing, f64)> {
        let usual = bearing.bore + 2.0 * bearing.chamfer_max_radial_inner;
        let shaft = match spec.gap_shaft {
            Some(shaft) => within("--gap-shaft", shaft.mm(), 1.0, bearing.inner_shoulder - 2.0, "mm")?,
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
        let face = BEARS * std::f64::consts::FRAC_PI_4 * (land * land - bore.max(usual).powi(2));
        let bears = face * strength::STEEL_YIELD / strength::STEEL_FACTOR;
        let force = wanted.min(bears);
        let outside = bearing.outside + 2.0 * JAW;
        let (width, arm) = ((outside - bore) / 2.0, (bearing.outside + JAW) / 2.0 - (bore + land) / 4.0);
        let safe = |stress: f64| stress / strength::STEEL_FACTOR;
        let steel = (safe(strength::STEEL_YIELD), safe(strength::STEEL_YIELD) / 3f64.sqrt());
        let print = plastic.printed;
        let least = |stress: f64| stress / strength::TRUSTED_LEAST;
        let plastic = (least(print.tensile_in_plane), least(print.shear_across.min(print.tensile_across)));
        let thick = |stresses| strength::slotted_ring(force, width, arm, stresses) + Self::PROUD;
        let crushed = force / face * strength::TRUSTED_LEAST > print.compressive_yield;
        let room = spec.gap.map(|gap| gap.mm() - SLIDES - TIPS);
        let printed_needs = thick(plastic);
        let printed = !crushed && room.is_some_and(|room| room >= printed_needs);
        let thickness = if printed { printed_needs } else { thick(steel) };
        let bore = if printed { bore + allowance } else { bore };
        let slot = bore - NARROWER;
        let ring = SlottedRing { bore, slot, outside, thickness, land, printed, printed_needs, bears };
        Ok((ring, force))
    }

    /// The pieces it is seen on: the print alone, or the pattern and what is turned.
    pub fn pieces(&self) -> &'static [&'static str] {
        if self.printed { &[RING] } else { &[PATTERN, RING] }
    }
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
pub fn settle(spec: &Receiver, workshop: &Workshop) -> Result<Settled> {
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
    let plastic = Plastic::of(&pressed, &workshop.material, press.nose_c)?;
    let gap = spec.gap.map(|gap| within("--gap", gap.mm(), 0.1, 200.0, "mm")).transpose()?;
    let travel = match spec.seat_length {
        Some(length) => within("--seat-length", length.mm(), 1.0, 500.0, "mm")?,
        None => bearing.tapered.as_ref().map_or(bearing.stack_width(), |rings| rings.cone_width),
    };
    let wanted = (WANTED * pull.likely).min(pull.most);
    let (ring, wanted) =
        SlottedRing::new(spec, &bearing, (&plastic, workshop.printer.hole_allowance), wanted)?;
    let any = rod::Room { screw: f64::INFINITY, washer: f64::INFINITY };
    let screw = rod::choose(spec.rod.as_deref(), spec.rod_class.as_deref(), any, (wanted, SCREW))?;
    let stop = screws::stop(wanted, screw.diameter, screw.proof_stress, screw.stress_area, NutFactor::POINT)?;
    let hollow = spec.shaft_bore.map(|bore| bore.mm()).filter(|bore| *bore > 0.0);
    let plug = hollow.map(|bore| (bore - PLAY, bearing.bore - PLAY)).filter(|(spigot, _)| *spigot > 1.0);
    Ok(Settled { bearing, joint, pull, ring, screw, stop, travel, plug, gap })
}

impl Settled {
    /// The gap that ring and jaws need, mm.
    pub fn gap_needed(&self) -> f64 {
        self.ring.thickness + SLIDES + TIPS
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
    pub fn sizes(&self, spec: &Receiver, allowance: f64) -> Vec<Size> {
        let (ring, bearing) = (&self.ring, &self.bearing);
        let formula = |what: &str| Origin::Formula(what.into());
        let body = ring.thickness - SlottedRing::PROUD;
        let on_all = |size: Size, extent: &dyn Fn() -> Extent| {
            ring.pieces().iter().fold(size, |size, piece| size.shown_on(*piece, extent()))
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
        // Only what is printed is told what its printer makes of it.
        let hole = |size: Size| {
            if ring.printed { size.printed(Feature::Hole, allowance).good(0.3, 0.5) } else { size }
        };
        let outer =
            |size: Size| if ring.printed { size.printed(Feature::Outside, 0.0).about(0.4) } else { size };
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
