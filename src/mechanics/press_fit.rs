//! How tight a ring sits on its shaft (or in its housing), and how hard it is to press there.
//!
//! Three steps, each a small function:
//!
//! 1. [`Interference::between`]: the sizes of the two partners give the least, likely and most
//!    interference (negative where there is clearance).
//! 2. [`effective_um`]: pressing flattens the rough peaks, so a little less of it acts.
//! 3. [`Joint::pressed`]: Lamé's thick-walled cylinders give the pressure in the joint, the stresses
//!    of both partners, and with [`axial_force`] the force that moves one over the other.
//!
//! Signs: tension and growth are positive. A ring pressed on a shaft has positive hoop stress, the
//! shaft negative.

use crate::error::{Error, Result, within};
use serde::Serialize;

/// How far the real size of a partner may lie from nominal, µm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Deviations {
    /// Deviation of the least size.
    pub least_um: f64,
    /// Deviation of the likely size.
    pub likely_um: f64,
    /// Deviation of the greatest size.
    pub most_um: f64,
}

impl Deviations {
    /// A measured size: its deviation from nominal, give or take the gauge's uncertainty (µm).
    pub fn measured(deviation_um: f64, uncertainty_um: f64) -> Self {
        Self {
            least_um: deviation_um - uncertainty_um,
            likely_um: deviation_um,
            most_um: deviation_um + uncertainty_um,
        }
    }
}

/// Diametral interference before the joint is made, µm; negative is clearance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Interference {
    /// The least that the sizes allow.
    pub least_um: f64,
    /// What is likely.
    pub likely_um: f64,
    /// The most that the sizes allow.
    pub most_um: f64,
}

impl Interference {
    /// What is left of it when warmth or chill opens the joint by `eased_um` (µm).
    pub fn eased(self, eased_um: f64) -> Self {
        Self {
            least_um: self.least_um - eased_um,
            likely_um: self.likely_um - eased_um,
            most_um: self.most_um - eased_um,
        }
    }

    /// The interference of a partner that goes in (`inner`, a shaft or an outer ring) with the one
    /// it goes into (`outer`, an inner ring or a housing). Least is the smallest inner in the
    /// largest outer, most the largest inner in the smallest outer.
    pub fn between(inner: Deviations, outer: Deviations) -> Self {
        Self {
            least_um: inner.least_um - outer.most_um,
            likely_um: inner.likely_um - outer.likely_um,
            most_um: inner.most_um - outer.least_um,
        }
    }
}

/// How a seat was finished; rough peaks are pressed flat when the joint is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Finish {
    /// Ground, or turned and polished.
    Ground,
    /// Turned.
    Turned,
}

/// The part of an interference that acts once the rough peaks are pressed flat, µm:
/// `d/(d+2)` of it for a ground seat, `d/(d+3)` for a turned one, `d` in millimetres.
///
/// Clearance (zero or less) comes back unchanged. Source: NSK Rolling Bearings (general catalogue),
/// "Fits", effective interference (from memory). DIN 7190-1:2017 takes off 0.4 Rz instead, which
/// needs a roughness nobody at a bench has.
pub fn effective_um(interference_um: f64, diameter_mm: f64, finish: Finish) -> f64 {
    if interference_um <= 0.0 {
        return interference_um;
    }
    let lost = match finish {
        Finish::Ground => 2.0,
        Finish::Turned => 3.0,
    };
    interference_um * diameter_mm / (diameter_mm + lost)
}

/// The elastic constants of one partner.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Elastic {
    /// Young's modulus, MPa.
    pub modulus: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

/// Two cylinders, one pressed over the other; they share the diameter of the joint.
///
/// For a bearing on a shaft the ring is its inner ring; for a bearing in a housing the `ring` here
/// is the housing and the `shaft` is the bearing's outer ring with its hollow.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Joint {
    /// Nominal diameter of the joint, mm.
    pub diameter: f64,
    /// Outside diameter of the outer partner, mm; infinite for a thick block.
    pub ring_outside: f64,
    /// Bore of the inner partner, mm; 0 for a solid shaft.
    pub shaft_bore: f64,
    /// Outer partner.
    pub ring: Elastic,
    /// Inner partner.
    pub shaft: Elastic,
}

/// What a [`Joint`] under interference carries. Stresses in MPa, tension positive.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pressed {
    /// Diametral interference that acts, µm.
    pub interference_um: f64,
    /// Pressure in the joint.
    pub pressure_mpa: f64,
    /// Hoop stress of the outer partner at the joint (its highest).
    pub ring_hoop_mpa: f64,
    /// Hoop stress of the inner partner at the joint.
    pub shaft_hoop_mpa: f64,
    /// Hoop stress of the inner partner at its own bore; for a solid shaft, at its centre.
    pub shaft_bore_hoop_mpa: f64,
    /// Von Mises stress of the outer partner at the joint.
    pub ring_equivalent_mpa: f64,
    /// How much the outer partner's outside diameter grows, µm; this closes a bearing's clearance.
    pub ring_growth_um: f64,
    /// How much the inner partner's bore shrinks, µm (negative); 0 for a solid shaft.
    pub shaft_bore_growth_um: f64,
}

impl Joint {
    /// Pressure, stresses and growth for a diametral interference of `interference_um` (µm).
    ///
    /// Lamé's thick-walled cylinders in plane stress: with `d` the joint, `D` the ring's outside,
    /// `b` the shaft's bore,
    ///
    /// ```text
    /// p = δ / { d·[ ((D²+d²)/(D²−d²) + νr)/Er + ((d²+b²)/(d²−b²) − νs)/Es ] }
    /// σ ring = p (D²+d²)/(D²−d²)      σ shaft = −p (d²+b²)/(d²−b²)
    /// ring's outside grows 2·p·d²·D / (Er·(D²−d²))
    /// ```
    ///
    /// Source: Budynas and Nisbett, *Shigley's Mechanical Engineering Design*, 9th ed., eqs. 7-39,
    /// 7-44, 7-45; Young and Budynas, *Roark's Formulas for Stress and Strain*, 7th ed., Table 13.5
    /// cases 1a and 1c. Valid while both stay elastic and are equally long; a shaft that runs on
    /// past the ring stiffens the edge, which this leaves out.
    ///
    /// Clearance (zero or less) gives no pressure. Fails for sizes that are not numbers, do not
    /// nest (`shaft_bore < diameter < ring_outside`), or elastic constants out of bounds.
    pub fn pressed(&self, interference_um: f64) -> Result<Pressed> {
        self.check()?;
        // A tenth of the diameter is far beyond any elastic joint; it only bars nonsense.
        let bound = self.diameter * 100.0;
        within("--interference-um", interference_um, -bound, bound, "µm")?;
        let inside_out = (self.diameter / self.ring_outside).powi(2);
        let hollow = (self.shaft_bore / self.diameter).powi(2);
        let ring_ratio = (1.0 + inside_out) / (1.0 - inside_out);
        let shaft_ratio = (1.0 + hollow) / (1.0 - hollow);
        let compliance = (ring_ratio + self.ring.poisson) / self.ring.modulus
            + (shaft_ratio - self.shaft.poisson) / self.shaft.modulus;
        let pressure = (interference_um / 1000.0).max(0.0) / (self.diameter * compliance);
        let ring_hoop = pressure * ring_ratio;
        let outside_growth_mm = if self.ring_outside.is_finite() {
            2.0 * pressure * inside_out / (1.0 - inside_out) * self.ring_outside / self.ring.modulus
        } else {
            0.0
        };
        let bore_hoop = match self.shaft_bore {
            // A solid shaft under outside pressure has one stress throughout.
            0.0 => -pressure,
            _ => -2.0 * pressure / (1.0 - hollow),
        };
        Ok(Pressed {
            interference_um,
            pressure_mpa: pressure,
            ring_hoop_mpa: ring_hoop,
            shaft_hoop_mpa: -pressure * shaft_ratio,
            shaft_bore_hoop_mpa: bore_hoop,
            ring_equivalent_mpa: (ring_hoop.powi(2) + ring_hoop * pressure + pressure.powi(2)).sqrt(),
            ring_growth_um: 1000.0 * outside_growth_mm,
            shaft_bore_growth_um: 1000.0 * bore_hoop * self.shaft_bore / self.shaft.modulus,
        })
    }

    fn check(&self) -> Result<()> {
        within("--diameter", self.diameter, 0.1, 5000.0, "mm")?;
        within("--shaft-bore", self.shaft_bore, 0.0, 5000.0, "mm")?;
        let infinite = self.ring_outside == f64::INFINITY;
        if !infinite {
            within("--ring-outside", self.ring_outside, 0.1, 1e6, "mm")?;
        }
        if self.ring_outside <= self.diameter {
            return Err(nesting("--ring-outside", self.ring_outside, "larger", self.diameter));
        }
        if self.shaft_bore >= self.diameter {
            return Err(nesting("--shaft-bore", self.shaft_bore, "smaller", self.diameter));
        }
        for (modulus, poisson, elastic) in [
            ("--ring-modulus", "--ring-poisson", self.ring),
            ("--shaft-modulus", "--shaft-poisson", self.shaft),
        ] {
            within(modulus, elastic.modulus, 1.0, 2e6, "MPa")?;
            within(poisson, elastic.poisson, 0.0, 0.5, "")?;
        }
        Ok(())
    }
}

fn nesting(field: &str, value: f64, how: &str, diameter: f64) -> Error {
    let (value, diameter) = (crate::error::number(value), crate::error::number(diameter));
    Error::geometry(
        format!("{field} is {value} mm; it must be {how} than the joint's diameter, {diameter} mm."),
        format!("Measure again, or give a {field} that is {how} than {diameter} mm."),
    )
}

/// A range of friction coefficients.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Friction {
    /// The least one may count on.
    pub least: f64,
    /// What is likely.
    pub likely: f64,
    /// The most one must be ready for.
    pub most: f64,
}

impl Friction {
    /// Pressing a steel bearing ring on or in a steel seat.
    ///
    /// * likely 0.12: press fit onto a cylindrical shaft or into a bore, NTN *Ball and Roller
    ///   Bearings*, Table 17.6.1.
    /// * most 0.15: steel on steel, dry, A. van Beek, *Advanced Engineering Design*, press fits (dry
    ///   0.10 to 0.15, lubricated 0.05 to 0.10); also what Jones's formula for pressing a ring on a
    ///   shaft rests on (Harris and Kotzalas, *Rolling Bearing Analysis*; from memory).
    /// * least 0.08: steel on steel, oiled, lengthwise press fit, DIN 7190-1 (from memory).
    ///
    /// A scored or rusty seat goes beyond that, up to the 0.18 of a pull-off; a sleeve trusted at
    /// 1.3 times the most force still bears it.
    pub const PRESS_ON: Friction = Friction { least: 0.08, likely: 0.12, most: 0.15 };

    /// Pulling the same ring off again: 0.18 likely (NTN *Ball and Roller Bearings*, Table 17.6.1),
    /// a third either way (common practice, no source).
    pub const PULL_OFF: Friction = Friction { least: 0.12, likely: 0.18, most: 0.24 };

    /// One known coefficient, 0 to 1.5. Fails out of those bounds.
    pub fn exactly(coefficient: f64) -> Result<Self> {
        within("--friction", coefficient, 0.0, 1.5, "")?;
        Ok(Self { least: coefficient, likely: coefficient, most: coefficient })
    }
}

/// The axial force (N) that slides a joint under pressure: `F = µ·p·π·d·L`.
///
/// Pressure in MPa, diameter and length of contact in mm. It is the force at the end of the stroke,
/// when the whole length is in contact; on the way it grows with the length already on. Source: NTN
/// *Ball and Roller Bearings*, eqs. 17.1 and 17.2. Fails for negative or missing numbers and a
/// length beyond 5 m.
pub fn axial_force(pressure_mpa: f64, diameter: f64, length: f64, friction: f64) -> Result<f64> {
    within("the joint pressure", pressure_mpa, 0.0, 1e6, "MPa")?;
    within("--diameter", diameter, 0.1, 5000.0, "mm")?;
    within("--length", length, 0.0, 5000.0, "mm")?;
    within("--friction", friction, 0.0, 1.5, "")?;
    Ok(friction * pressure_mpa * std::f64::consts::PI * diameter * length)
}

/// Mean raceway (groove) diameters of a bearing from its boundary dimensions, mm: what is left of
/// the inner ring is bore to the first, of the outer ring the second to outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Raceway {
    /// Deep groove and other ball bearings: `(4d+D)/5` and `(d+4D)/5`.
    Ball,
    /// Cylindrical and tapered roller bearings: `(3d+D)/4` and `(d+3D)/4`.
    Roller,
}

impl Raceway {
    /// Mean raceway diameter of the inner ring, mm.
    ///
    /// Source: NTN *Ball and Roller Bearings*, "Average groove diameter" (with Table 17.5.1) for
    /// ball bearings; for roller bearings from memory of the same table.
    pub fn inner(self, bore: f64, outside: f64) -> f64 {
        match self {
            Raceway::Ball => (4.0 * bore + outside) / 5.0,
            Raceway::Roller => (3.0 * bore + outside) / 4.0,
        }
    }

    /// Mean raceway diameter of the outer ring, mm. Source as [`Raceway::inner`].
    pub fn outer(self, bore: f64, outside: f64) -> f64 {
        match self {
            Raceway::Ball => (bore + 4.0 * outside) / 5.0,
            Raceway::Roller => (bore + 3.0 * outside) / 4.0,
        }
    }
}

/// The most interference a bearing ring should be given, µm: a thousandth of its diameter.
///
/// Source: NTN *Ball and Roller Bearings*, 7.3.3. Beyond it the ring may crack in service.
pub fn advised_limit_um(diameter_mm: f64) -> f64 {
    diameter_mm
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEEL: Elastic = Elastic { modulus: 207_000.0, poisson: 0.292 };

    fn joint(shaft_bore: f64, diameter: f64, ring_outside: f64) -> Joint {
        Joint { diameter, ring_outside, shaft_bore, ring: STEEL, shaft: STEEL }
    }

    fn near(value: f64, expected: f64, within: f64) {
        assert!((value / expected - 1.0).abs() < within, "{value} against {expected}");
    }

    #[test]
    fn one_material_on_a_solid_shaft_has_the_short_form() {
        // Shigley eq. 7-40: p = E·δ·(D²−d²)/(2·d·D²).
        let found = joint(0.0, 40.0, 80.0).pressed(59.0).unwrap();
        near(found.pressure_mpa, 207_000.0 * 0.059 * (6400.0 - 1600.0) / (2.0 * 40.0 * 6400.0), 1e-12);
        near(found.ring_hoop_mpa, found.pressure_mpa * 8000.0 / 4800.0, 1e-12);
        // Stretched by 5/3 of what presses it: √(25/9 + 5/3 + 1) of the pressure (von Mises).
        near(found.ring_equivalent_mpa, found.pressure_mpa * 2.333_333, 1e-6);
        assert_eq!(found.shaft_hoop_mpa, -found.pressure_mpa);
        assert_eq!(found.shaft_bore_hoop_mpa, -found.pressure_mpa);
    }

    #[test]
    fn what_is_left_of_a_ring_ends_at_its_raceway() {
        // A 6206, 30 × 62 (NTN, average groove diameter): 36.4 and 55.6; rollers as thick as a quarter: 38 and 54.
        near(Raceway::Ball.inner(30.0, 62.0), 36.4, 1e-12);
        near(Raceway::Ball.outer(30.0, 62.0), 55.6, 1e-12);
        near(Raceway::Roller.inner(30.0, 62.0), 38.0, 1e-12);
        near(Raceway::Roller.outer(30.0, 62.0), 54.0, 1e-12);
    }

    #[test]
    fn the_jacket_shrunk_on_a_tube_matches_the_textbook() {
        // Bhandari, Design of Machine Elements, Example 22.6: tube 20/40, jacket to 60, jacket's
        // hoop stress 100 N/mm², E = 207 kN/mm²: jacket bored 39.9683, so 31.7 µm interference.
        let tube = joint(20.0, 40.0, 60.0);
        let found = tube.pressed(31.711).unwrap();
        near(found.ring_hoop_mpa, 100.0, 1e-4);
        near(found.pressure_mpa, 38.46, 1e-3);
        near(found.shaft_bore_hoop_mpa, -2.0 * 38.4615 * 1600.0 / 1200.0, 1e-3);
    }

    #[test]
    fn the_two_walls_close_exactly_the_interference() {
        // Independent of the formula for p: radial displacements from the stresses by Hooke's law.
        let joint = Joint {
            diameter: 101.6,
            ring_outside: 127.0,
            shaft_bore: 50.8,
            ring: Elastic { modulus: 206_700.0, poisson: 0.29 },
            shaft: Elastic { modulus: 103_400.0, poisson: 0.32 },
        };
        let found = joint.pressed(51.0).unwrap();
        let hooke = |hoop: f64, e: Elastic| {
            1000.0 * joint.diameter * (hoop + e.poisson * found.pressure_mpa) / e.modulus
        };
        let closed = hooke(found.ring_hoop_mpa, joint.ring) - hooke(found.shaft_hoop_mpa, joint.shaft);
        near(closed, 51.0, 1e-12);
        // The ring's outside carries hoop stress alone.
        let outside_hoop = found.ring_hoop_mpa - found.pressure_mpa;
        near(found.ring_growth_um, 1000.0 * joint.ring_outside * outside_hoop / joint.ring.modulus, 1e-12);
    }

    #[test]
    fn a_thick_block_is_the_limit_of_a_growing_ring() {
        let block = joint(0.0, 40.0, f64::INFINITY).pressed(59.0).unwrap();
        let huge = joint(0.0, 40.0, 1e5).pressed(59.0).unwrap();
        near(huge.pressure_mpa, block.pressure_mpa, 1e-6);
        near(block.ring_hoop_mpa, block.pressure_mpa, 1e-12);
    }

    #[test]
    fn a_hollow_shaft_and_a_thin_ring_press_less() {
        let full = joint(0.0, 30.0, 40.0).pressed(20.0).unwrap().pressure_mpa;
        assert!(joint(15.0, 30.0, 40.0).pressed(20.0).unwrap().pressure_mpa < full);
        assert!(joint(0.0, 30.0, 36.0).pressed(20.0).unwrap().pressure_mpa < full);
    }

    #[test]
    fn clearance_presses_nothing() {
        let found = joint(0.0, 30.0, 40.0).pressed(-5.0).unwrap();
        assert_eq!((found.pressure_mpa, found.ring_hoop_mpa, found.ring_growth_um), (0.0, 0.0, 0.0));
        assert_eq!(effective_um(-5.0, 30.0, Finish::Ground), -5.0);
    }

    #[test]
    fn smoothing_takes_least_from_a_ground_seat() {
        assert_eq!(effective_um(16.0, 30.0, Finish::Ground), 15.0);
        assert!(effective_um(16.0, 30.0, Finish::Turned) < 15.0);
    }

    #[test]
    fn interference_pairs_smallest_with_largest() {
        // 30 k5 (+2 to +11) in a Normal bore (−10 to 0): SKF Rolling Bearings (2018), "Tolerances
        // and resultant fits", theoretical interference 2 to 21 µm.
        let shaft = Deviations { least_um: 2.0, likely_um: 8.0, most_um: 11.0 };
        let bore = Deviations { least_um: -10.0, likely_um: -6.7, most_um: 0.0 };
        let found = Interference::between(shaft, bore);
        assert_eq!((found.least_um, found.most_um), (2.0, 21.0));
        let measured = Interference::between(Deviations::measured(9.0, 2.0), bore);
        assert_eq!((measured.least_um, measured.most_um), (7.0, 21.0));
    }

    #[test]
    fn force_is_friction_times_pressure_times_contact() {
        near(axial_force(100.0, 40.0, 50.0, 0.12).unwrap(), 75_398.22, 1e-6);
        assert!(axial_force(100.0, 40.0, -1.0, 0.12).is_err());
        assert!(axial_force(100.0, 40.0, 50.0, f64::NAN).is_err());
    }

    proptest::proptest! {
        #[test]
        fn wild_joints_are_refused_or_close_their_interference(
            bore in -5.0..300.0f64, diameter in -5.0..300.0f64, outside in -5.0..600.0f64,
            soft in 0.5..3e6f64, poisson in -0.1..0.6f64, um in -500.0..500.0f64,
        ) {
            let mut wild = joint(bore, diameter, outside);
            wild.ring = Elastic { modulus: soft, poisson };
            if let Ok(found) = wild.pressed(um) {
                proptest::prop_assert!(found.pressure_mpa >= 0.0 && found.pressure_mpa.is_finite());
                let hooke = |hoop: f64, e: Elastic| 1000.0 * diameter * (hoop + e.poisson * found.pressure_mpa) / e.modulus;
                let closed = hooke(found.ring_hoop_mpa, wild.ring) - hooke(found.shaft_hoop_mpa, wild.shaft);
                proptest::prop_assert!((closed - um.max(0.0)).abs() < 1e-6 * (1.0 + um.abs()), "{} of {}", closed, um);
            }
        }
    }

    #[test]
    fn sizes_that_do_not_nest_are_refused_by_name() {
        for (joint, field) in [
            (joint(0.0, 40.0, 40.0), "--ring-outside"),
            (joint(40.0, 40.0, 80.0), "--shaft-bore"),
            (joint(-1.0, 40.0, 80.0), "--shaft-bore"),
            (joint(0.0, f64::NAN, 80.0), "--diameter"),
            (joint(0.0, 40.0, f64::NAN), "--ring-outside"),
            (joint(0.0, 40.0, f64::NEG_INFINITY), "--ring-outside"),
        ] {
            let error = joint.pressed(10.0).unwrap_err();
            assert!(error.says.contains(field), "{}", error.says);
        }
        let mut soft = joint(0.0, 40.0, 80.0);
        soft.ring.poisson = 0.6;
        assert!(soft.pressed(10.0).unwrap_err().says.contains("--ring-poisson"));
        assert!(joint(0.0, 40.0, 80.0).pressed(f64::INFINITY).is_err());
    }
}
