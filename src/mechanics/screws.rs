//! The screw that does the pressing: force from torque, torque from force, and what the thread
//! holds.
//!
//! Torque at a nut goes almost wholly into friction, under the nut and in the thread, so the same
//! hand gives forces that differ by two to one. Every figure here is therefore a range.

use crate::error::{Result, within};
use serde::Serialize;

/// The nut factor `K` of `T = K·F·d`, as a range.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct NutFactor {
    /// The least: well greased.
    pub least: f64,
    /// What is likely.
    pub likely: f64,
    /// The most: dry, rough or dirty.
    pub most: f64,
}

impl NutFactor {
    /// Thread and nut face oiled or greased: 0.12 to 0.20, likely 0.16.
    ///
    /// Source: Budynas and Nisbett, *Shigley's Mechanical Engineering Design*, Table 8-15:
    /// lubricated 0.18, with anti-seize 0.12; Bickford, *An Introduction to the Design and Behavior
    /// of Bolted Joints* (from memory), machine oil 0.10 to 0.26.
    pub const GREASED: NutFactor = NutFactor { least: 0.12, likely: 0.16, most: 0.20 };

    /// A puller's screw, greased, that pushes with its point: the thread alone rubs, 0.06 to 0.14, likely 0.10.
    ///
    /// Source: thread part of Shigley eq. 8-5, `K = d2·(tan λ + µ/cos 30°)/(2·d)`: µ 0.08 on a fine thread of
    /// a tenth of its diameter gives 0.06, µ 0.15 on a coarse one 0.11; a blunt point adds its own friction.
    pub const POINT: NutFactor = NutFactor { least: 0.06, likely: 0.10, most: 0.14 };

    /// As bought, zinc plated or black, not cleaned, no grease: 0.17 to 0.35, likely 0.20.
    ///
    /// Source: Shigley Table 8-15: zinc plated 0.20, not plated 0.30; range for zinc on steel 0.17
    /// to 0.35, Zip Fastener Products, "Nut factor equation".
    pub const DRY: NutFactor = NutFactor { least: 0.17, likely: 0.20, most: 0.35 };
}

/// Torque (N·mm) at the nut for an axial force (N) on a thread of nominal diameter `d` (mm):
/// `T = K·F·d`.
///
/// Source: Shigley eq. 8-27. Valid for standard coarse threads with a flat nut face. Fails for a
/// force outside 0 to 10 MN, a diameter outside 1 to 200 mm, or `K` outside 0.01 to 1.
pub fn torque(force: f64, diameter: f64, nut_factor: f64) -> Result<f64> {
    check(diameter, nut_factor)?;
    within("the force on the screw", force, 0.0, 1e7, "N")?;
    Ok(nut_factor * force * diameter)
}

/// Axial force (N) from a torque (N·mm) at the nut: [`torque`] the other way round.
///
/// For the force a sleeve must survive use the least `K`, for the force to count on the most.
pub fn force(torque: f64, diameter: f64, nut_factor: f64) -> Result<f64> {
    check(diameter, nut_factor)?;
    within("the torque at the nut", torque, 0.0, 1e8, "N·mm")?;
    Ok(torque / (nut_factor * diameter))
}

fn check(diameter: f64, nut_factor: f64) -> Result<()> {
    within("the thread diameter", diameter, 1.0, 200.0, "mm")?;
    within("the nut factor K", nut_factor, 0.01, 1.0, "")?;
    Ok(())
}

/// Force (N) a thread carries without lasting stretch: proof stress (MPa) times stress area (mm²).
///
/// Source: ISO 898-1:2013. Fails for numbers that are not positive.
pub fn proof_load(proof_stress: f64, stress_area: f64) -> Result<f64> {
    within("the proof stress", proof_stress, 1.0, 3000.0, "MPa")?;
    within("the stress area", stress_area, 0.1, 1e5, "mm²")?;
    Ok(proof_stress * stress_area)
}

/// How much of a thread a given force uses, with the twist of the nut taken in.
///
/// Turning the nut twists the rod while it pulls. The twist takes about 1.3 times the plain tension
/// at usual friction, the factor VDI 2230 and the bolt trade reckon with (from memory: combined
/// stress is 1.2 to 1.4 of tension for µ 0.10 to 0.16). Returns proof load over 1.3 times the
/// force; 1 or more holds. A force of nought gives infinity.
pub fn thread_safety(force: f64, proof_stress: f64, stress_area: f64) -> Result<f64> {
    within("the force on the screw", force, 0.0, 1e7, "N")?;
    Ok(proof_load(proof_stress, stress_area)? / (TWIST * force))
}

/// Combined stress over plain tension while the nut is turned, see [`thread_safety`].
pub const TWIST: f64 = 1.3;

/// The torque at which to stop turning a nut, and the most force it can then have made.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stop {
    /// N·mm.
    pub torque: f64,
    /// N.
    pub force: f64,
}

/// The one torque to stop at so that neither `allowed` (N) nor the screw's proof load with the nut's
/// twist is passed, however well the thread is greased: reckoned with the least nut factor.
///
/// Fails as [`torque`] and [`proof_load`] do.
pub fn stop(
    allowed: f64,
    diameter: f64,
    proof_stress: f64,
    stress_area: f64,
    nut: NutFactor,
) -> Result<Stop> {
    let force = allowed.min(proof_load(proof_stress, stress_area)? / TWIST);
    Ok(Stop { torque: torque(force, diameter, nut.least)?, force })
}

/// Length of steel thread that carries a rod's proof load in a tapped hole, in diameters of the thread:
/// steel 1.0, cast iron 1.3, aluminium 2.0, anything else 2.0.
///
/// Source: engagement of class 4.6 to 5.8 screws, Roloff/Matek, *Maschinenelemente*, table of least
/// engagement (from memory: steel 0.8 to 1.0, cast iron 1.2 to 1.3, aluminium alloys 1.6 to 2.2).
pub fn least_engagement(metal: &str) -> f64 {
    match metal {
        "carbon steel" | "bearing steel" | "stainless steel" => 1.0,
        "cast iron" => 1.3,
        _ => 2.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn torque_and_force_undo_each_other() {
        // M10 at 5 kN, K 0.2: 10 N·m.
        let found = torque(5000.0, 10.0, 0.2).unwrap();
        assert!((found - 10_000.0).abs() < 1e-9);
        assert!((force(found, 10.0, 0.2).unwrap() - 5000.0).abs() < 1e-9);
    }

    #[test]
    fn proof_loads_match_iso_898_1() {
        // ISO 898-1:2013 Table 5 (coarse thread): M10 4.6 13 000 N, M8 8.8 21 200 N, M20 10.9 203 000 N.
        for (stress, area, load) in
            [(225.0, 58.0, 13_000.0), (580.0, 36.6, 21_200.0), (830.0, 245.0, 203_000.0)]
        {
            assert!((proof_load(stress, area).unwrap() / load - 1.0).abs() < 0.006, "{load}");
        }
    }

    #[test]
    fn a_greased_nut_pulls_harder_than_a_dry_one() {
        assert!(
            force(10_000.0, 10.0, NutFactor::GREASED.likely).unwrap()
                > force(10_000.0, 10.0, NutFactor::DRY.likely).unwrap()
        );
        for k in [NutFactor::GREASED, NutFactor::DRY] {
            assert!(k.least < k.likely && k.likely < k.most);
        }
    }

    #[test]
    fn thread_safety_counts_the_twist() {
        assert!((thread_safety(10_000.0, 225.0, 58.0).unwrap() - 13_050.0 / 13_000.0).abs() < 1e-12);
        assert_eq!(thread_safety(0.0, 225.0, 58.0).unwrap(), f64::INFINITY);
    }

    #[test]
    fn the_stop_torque_passes_neither_the_force_allowed_nor_the_proof_load() {
        // M10 4.6: 13 050 N of proof, a tenth less for each of three parts of twist.
        let held = stop(4000.0, 10.0, 225.0, 58.0, NutFactor::GREASED).unwrap();
        assert_eq!((held.force, held.torque), (4000.0, 4800.0));
        let weak = stop(50_000.0, 10.0, 225.0, 58.0, NutFactor::GREASED).unwrap();
        assert!((weak.force - 13_050.0 / TWIST).abs() < 1e-9);
        assert!((thread_safety(weak.force, 225.0, 58.0).unwrap() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_thread_in_a_weaker_metal_is_screwed_in_further() {
        // Roloff/Matek, least engagement, in diameters (from memory): steel 0.8 to 1.0, iron 1.2 to 1.3, aluminium
        // 1.6 to 2.2.
        let named = [("carbon steel", 1.0), ("cast iron", 1.3), ("aluminium", 2.0), ("bronze", 2.0)];
        assert!(named.iter().all(|(metal, diameters)| least_engagement(metal) == *diameters));
    }

    #[test]
    fn senseless_numbers_are_refused() {
        assert!(torque(f64::NAN, 10.0, 0.2).is_err());
        assert!(force(-1.0, 10.0, 0.2).is_err());
        assert!(torque(1.0, 0.0, 0.2).is_err());
        assert!(proof_load(0.0, 58.0).is_err());
    }
}
