//! A hub that clamps its shaft: one half is part of the pulley, the other a cap that two screws draw onto the shaft.
//!
//! Nothing has to bend for it to grip, so the screws' whole force presses the shaft. Each half presses it with the
//! force of both screws, and rubs at the shaft's radius: T = 2·µ·2F·d/2, with even pressure's gain over it left uncounted.
//! A screw is tightened no harder than its washer's seat and the cap bent between its screws bear for good.
//!
//! The washers lie on flats right across the hub, so that the cap is one beam without a step in it, and nowhere thinner
//! than over the shaft, where its moment is greatest. A bore prints a little wider than its shaft, so the shaft is taken
//! to press the cap along a line in its middle.

use super::bore::Bore;
use super::spec::Pulley;
use crate::catalog::fasteners::{self, HexNut, Washer};
use crate::error::{Error, Result, number, within};
use crate::mechanics::clamp::{Clamped, FRICTION, HOLDS};
use crate::mechanics::strength::Printed;
use crate::workshop::Workshop;
use std::f64::consts::FRAC_PI_4;

/// Half of the gap between the halves, mm: what the screws draw together (common practice, no source).
pub const GAP: f64 = 0.5;
/// Least plastic between bore and flat, between bore and screw, and round a washer, mm (common practice, no source).
const PLASTIC: (f64, f64, f64) = (5.0, 2.0, 1.5);
/// Least play between the two washers, half of it, mm (common practice, no source).
const PLAY: f64 = 0.5;
/// Greatest thickness of a cap over half of its span that is counted: of a deeper beam the outside is strained harder
/// than its section says (finite cells, in the tests below).
const DEEP: f64 = 1.5;
/// How much thicker a cap is tried that does not grip, mm.
const THICKER: f64 = 0.5;

/// The screws by the shaft they clamp, mm (common practice, no source).
const SCREWS: [(f64, &str); 4] = [(8.0, "M3"), (16.0, "M4"), (30.0, "M5"), (f64::INFINITY, "M6")];

/// The screws for a shaft, the usual ones first, then greater ones.
fn sizes(shaft: f64) -> impl Iterator<Item = &'static str> {
    SCREWS.into_iter().skip_while(move |(most, _)| shaft > *most).map(|(_, size)| size)
}

/// Temperature of a pulley at work, °C: a shop, and a spindle that runs warm (common practice).
const TEMPERATURE: f64 = 35.0;

/// Strengths of the print for good, at work.
pub(super) fn lasting(workshop: &Workshop) -> Result<Printed> {
    let material = &workshop.material;
    material.lasting(100.0, TEMPERATURE.min(material.softening_c - 1.0))
}

/// A clamp hub, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamp {
    /// Diameter and length of the hub.
    pub diameter: f64,
    pub length: f64,
    /// The screws, how far from the axis they run, and their holes.
    pub size: &'static str,
    pub aside: f64,
    pub hole: f64,
    /// What the printer takes off that hole.
    pub hole_allowance: f64,
    /// How far from the shaft's axis the flats lie that the washers press, and the cap's thickness over the bore.
    pub flat: f64,
    pub thick: f64,
    /// A screw as far as cap and seats bear, and what bends the cap by then, MPa.
    pub screw: Clamped,
    pub bent_mpa: f64,
    /// Length of the screws, and diameter of the circle that hub, heads and ends turn within.
    pub screw_length: f64,
    pub swept: f64,
    /// Torque it grips with, and the belt's, N·mm.
    pub grips: f64,
    pub asked: f64,
}

impl Clamp {
    /// The least hub that grips the shaft against a belt's torque (N·mm), or one of the diameter given; where none grips
    /// twice over, the one that grips hardest.
    pub fn new(spec: &Pulley, bore: &Bore, asked: f64, allowance: f64, lasting: &Printed) -> Result<Clamp> {
        if spec.set_screws.is_some() {
            return Err(Error::request(
                "--clamp and --set-screws are both given.",
                "A hub clamps its shaft or is held by set screws: leave one out.",
            ));
        }
        let given = spec.hub.map(|hub| within("--hub", hub.mm(), bore.shaft, 300.0, "mm")).transpose()?;
        let mut best: Option<Clamp> = None;
        for size in sizes(bore.shaft) {
            let screws = Screws::new(size, bore, allowance, lasting)?;
            for thick in screws.thicknesses(given) {
                let clamp = screws.clamp(thick, given, asked)?;
                if clamp.factor() >= HOLDS {
                    return Ok(clamp);
                }
                if best.as_ref().is_none_or(|best| clamp.factor() > best.factor() + 1e-9) {
                    best = Some(clamp);
                }
            }
        }
        best.ok_or_else(|| {
            Error::geometry(
                format!(
                    "--hub is {} mm, which leaves no room for screws beside a shaft of {} mm.",
                    number(given.unwrap_or_default()),
                    number(bore.shaft)
                ),
                "Leave --hub out, and the least that grips is taken.",
            )
        })
    }

    /// How many times over it holds the belt's torque.
    pub fn factor(&self) -> f64 {
        self.grips / self.asked
    }
}

/// The two screws of one size beside a bore, and what they need, mm.
struct Screws<'a> {
    size: &'static str,
    bore: &'a Bore,
    washer: Washer,
    nut: HexNut,
    hole: f64,
    allowance: f64,
    aside: f64,
    length: f64,
    /// Force that a washer's seat bears for good, N; tension within the layers that the print bears, MPa.
    seat: f64,
    tensile: f64,
}

impl<'a> Screws<'a> {
    fn new(size: &'static str, bore: &'a Bore, allowance: f64, lasting: &Printed) -> Result<Self> {
        let (washer, nut) = (fasteners::wide_washer(size)?, fasteners::hex_nut(size)?);
        let hole = fasteners::clearance_hole(size)?.medium + allowance;
        // Neither may a hole come near the bore nor a washer lie on the other.
        let aside = (bore.diameter / 2.0 + PLASTIC.1 + hole / 2.0).max(washer.outer / 2.0 + PLAY);
        let length = (washer.outer + 2.0 * PLASTIC.1 + 2.0).ceil();
        let seat = lasting.compressive_yield * FRAC_PI_4 * (washer.outer.powi(2) - hole.powi(2));
        let tensile = lasting.tensile_in_plane;
        Ok(Screws { size, bore, washer, nut, hole, allowance, aside, length, seat, tensile })
    }

    /// How far from the axis a washer and the plastic round it reach.
    fn reach(&self) -> f64 {
        self.aside + self.washer.outer / 2.0 + PLASTIC.2
    }

    /// The bore's radius, and a keyway's depth with it: the key lies in the pulley's half.
    fn hollow(&self) -> f64 {
        self.bore.diameter / 2.0 + self.bore.key.map_or(0.0, |(_, depth)| depth)
    }

    /// Thicknesses over the bore to try, the least first, up to one beyond which the screws may press no harder; of a hub whose diameter is given the greatest that has room for the washers.
    fn thicknesses(&self, given: Option<f64>) -> Vec<f64> {
        let useful = (self.seat * 6.0 * self.aside / (self.tensile * self.length)).sqrt();
        let useful = useful.min(DEEP * self.aside).max(PLASTIC.0);
        let Some(given) = given else {
            let more = ((useful - PLASTIC.0) / THICKER).ceil() as u32;
            return (0..=more).map(|step| useful.min(PLASTIC.0 + THICKER * f64::from(step))).collect();
        };
        let room = (given * given / 4.0 - self.reach().powi(2)).max(0.0).sqrt() - self.hollow();
        if room >= PLASTIC.0 { vec![room.min(useful)] } else { vec![] }
    }

    /// The clamp whose cap is so thick over its bore.
    fn clamp(&self, thick: f64, given: Option<f64>, asked: f64) -> Result<Clamp> {
        let flat = self.hollow() + thick;
        let least = (2.0 * self.reach().hypot(flat) * 2.0 - 1e-6).ceil() / 2.0;
        // A beam that the screws draw down at both ends and the shaft presses in the middle: 2F over a span of 2a.
        let section = self.length * thick * thick / 6.0;
        let screw = Clamped::new(
            self.seat.min(self.tensile * section / self.aside),
            fasteners::thread(self.size)?.diameter,
        )?;
        let bent_mpa = screw.force * self.aside / section;
        let grips = 2.0 * FRICTION * screw.relied_on * self.bore.shaft;
        let diameter = given.unwrap_or(least);
        let screw_length = self.screw_length(flat)?;
        Ok(Clamp {
            diameter,
            length: self.length,
            size: self.size,
            aside: self.aside,
            hole: self.hole,
            hole_allowance: self.allowance,
            flat,
            thick,
            screw,
            bent_mpa,
            screw_length,
            swept: self.swept(flat, screw_length)?.max(diameter),
            grips,
            asked,
        })
    }

    /// Stock length of the screws, mm: both halves, two washers, the nut and two turns beyond.
    fn screw_length(&self, flat: f64) -> Result<f64> {
        let pitch = fasteners::thread(self.size)?.pitch;
        let least = 2.0 * (flat + self.washer.thickness + pitch) + self.nut.height;
        Ok(fasteners::asked_length(self.size, least).mm)
    }

    /// Diameter of the circle that heads, nuts and ends of the screws turn within, mm.
    fn swept(&self, flat: f64, screw_length: f64) -> Result<f64> {
        let head = fasteners::socket_head(self.size)?;
        let on = flat + self.washer.thickness;
        let heads = (self.aside + head.head_diameter / 2.0).hypot(on + head.head_height);
        let nuts = (self.aside + self.nut.across_corners() / 2.0).hypot(on + self.nut.height);
        let ends = (self.aside + self.hole / 2.0).hypot(screw_length - on);
        Ok(2.0 * heads.max(nuts).max(ends))
    }
}

#[cfg(test)]
mod tests {
    use super::super::layout::Layout;
    use super::super::shape;
    use super::*;
    use crate::mechanics::clamp::PRESSED;
    use crate::mechanics::elements::{Disc, Grid, Part, Rigid};
    use crate::solid::{Point3, Vector3};
    use crate::units::Length;

    fn layout(profile: &str, teeth: u32, bore: f64, hub: Option<f64>) -> Layout {
        let mm = |value| Length::from_mm(value).unwrap();
        let spec = Pulley {
            profile: profile.into(),
            teeth,
            bore: Some(mm(bore)),
            clamp: true,
            hub: hub.map(mm),
            ..Pulley::default()
        };
        Layout::new(&spec, &Workshop::find("bed-220", "petg", 0.05).unwrap()).unwrap()
    }

    /// The greatest stress of a printed cap's outer half over the shaft, at the most its screws' torque makes, by finite
    /// cells: one washer draws, the shaft holds along a line and the other washer stands. Beside the washers, whose
    /// standing one is clamped, and away from that line, which is no edge of a shaft.
    fn by_cells(layout: &Layout) -> (f64, Point3) {
        let clamp = layout.clamp.as_ref().unwrap();
        let mesh = shape::cap(layout, clamp).unwrap().mesh(0.05).unwrap();
        let (middle, down) = (clamp.length / 2.0, -Vector3::y());
        let radius = fasteners::wide_washer(clamp.size).unwrap().outer / 2.0;
        let washer = |side: f64| Disc {
            centre: Point3::new(side * clamp.aside, -clamp.flat, middle),
            normal: down,
            radius,
            inner: clamp.hole / 2.0,
        };
        let crown = |height: f64| Disc {
            centre: Point3::new(0.0, -layout.bore.diameter / 2.0, height),
            normal: -down,
            radius: 1.0,
            inner: 0.0,
        };
        let line = (0..clamp.length as u32 / 2).map(|k| crown(1.0 + 2.0 * f64::from(k)));
        let held: Vec<Disc> = line.chain([washer(-1.0)]).collect();
        let body = Rigid { at: washer(1.0).centre, discs: vec![washer(1.0)] };
        let part = Part { mesh: &mesh, poisson: 0.35, held: &held, body: &body };
        let answer = part.solve(&Grid { size: 2.5, layer: 0.5, merge: 0.8 }).unwrap();
        let outer = -clamp.flat + clamp.thick / 2.0;
        let load = answer.load(Vector3::y() * clamp.screw.force, body.at);
        let peak = answer.peak_among(&load, |at| at.y < outer && (0.1..clamp.aside - radius).contains(&at.x));
        (peak.stress, peak.at)
    }

    #[test]
    fn finite_cells_strain_a_cap_no_harder_than_its_plastic_bears_for_good() {
        let workshop = Workshop::find("bed-220", "petg", 0.05).unwrap();
        let bears = lasting(&workshop).unwrap().tensile_in_plane;
        for (profile, teeth, bore, hub) in
            [("MXL", 60, 24.0, None), ("2GT", 40, 8.0, Some(44.0)), ("T5", 30, 30.0, None)]
        {
            let layout = layout(profile, teeth, bore, hub);
            let clamp = layout.clamp.as_ref().unwrap();
            let (stress, at) = by_cells(&layout);
            assert!(clamp.bent_mpa <= bears / PRESSED + 1e-9, "{profile}: {clamp:?}");
            // The greatest is in the middle of the outside, where the section is reckoned, and no more than that.
            assert!(
                (0.8..1.1).contains(&(stress / clamp.bent_mpa)),
                "{profile}: {stress} MPa at {at}, {clamp:?}"
            );
            assert!(at.x < clamp.aside / 3.0 && at.y + clamp.flat < 0.1, "{profile}: {at}, {clamp:?}");
        }
    }

    #[test]
    fn a_wider_hub_has_a_thicker_cap_until_its_seats_bear_no_more() {
        let of = |hub: f64| layout("MXL", 60, 24.0, Some(hub)).clamp.unwrap();
        let clamps: Vec<Clamp> = [64.0, 68.0, 72.0, 76.0].map(of).into();
        for pair in clamps.windows(2) {
            assert!(pair[0].thick + 0.5 < pair[1].thick && pair[0].grips < pair[1].grips, "{pair:?}");
            assert!((pair[0].bent_mpa - pair[1].bent_mpa).abs() < 1e-9 && pair[0].size == pair[1].size);
        }
        let (wide, wider) = (of(110.0), of(140.0));
        assert_eq!((wide.thick, wide.grips), (wider.thick, wider.grips));
    }
}
