//! The ways a sleeve can give, each leg under the force of its own joint.

use super::press::Press;
use super::rod::Screw;
use super::shape::{End, FOOT_CHAMFER, Shape};
use super::sizing::{Sizing, pushed_diameter};
use super::spec::{Drive, Sleeve};
use crate::catalog::materials::Material;
use crate::checks::Level;
use crate::error::{Result, within};
use crate::mechanics::strength::{self, Conditions, Printed, Ring, Safety};
use std::f64::consts::FRAC_PI_4;

/// Half angle of every flare, radians.
const FLARE: f64 = FRAC_PI_4;

/// The plastic of a sleeve as it is when it presses.
#[derive(Clone, Copy, Debug)]
pub struct Plastic {
    /// Strengths as printed, filled and warm.
    pub printed: Printed,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Temperature of the nose, °C.
    pub temperature_c: f64,
    /// The warmest it may be under load, °C.
    pub top_c: f64,
    /// Compression it bears for weeks, MPa.
    pub standing_compression: f64,
    /// Infill, percent.
    pub infill: f64,
}

impl Plastic {
    /// The material under the sleeve's infill and temperature; a crushed test block's strength in the
    /// place of the preset's.
    pub fn of(spec: &Sleeve, material: &Material, nose_c: f64) -> Result<Plastic> {
        let infill = match spec.infill {
            Some(infill) => within("--infill", infill, 10.0, 100.0, "%")?,
            None => 100.0,
        };
        let conditions = Conditions {
            infill_percent: infill,
            // Warmer than it may be under load is the softening check's to stop, not every mode's.
            temperature_c: nose_c.min(material.loaded_top_c),
            softening_c: material.softening_c,
            // A pressing takes minutes.
            long_term: 1.0,
        };
        let mut solid = material.printed();
        if let Some(crushed) = spec.crush_reading {
            solid.compressive_yield = within("--crush-reading", crushed, 5.0, 150.0, "MPa")?;
        }
        Ok(Plastic {
            printed: solid.under(&conditions)?,
            poisson: material.poisson,
            temperature_c: nose_c,
            top_c: material.loaded_top_c,
            standing_compression: material.standing_compression * infill / 100.0,
            infill,
        })
    }
}

/// One face of the sleeve and the wall behind it, with the force it carries.
struct Leg {
    contact: Ring,
    nose: Ring,
    force: f64,
}

/// The legs of the nose: one, or two that a relief parts, each under its own joint's force (N).
fn legs(shape: &Shape, (on_shaft, in_housing): (f64, f64)) -> Result<Vec<Leg>> {
    let bore = shape.bore.first().map_or(0.0, |step| step.diameter);
    let contact = Ring::new(shape.contact.inner, shape.contact.outer)?;
    Ok(match shape.outer_contact {
        None => {
            let nose = Ring::new(bore, shape.nose_diameter)?;
            vec![Leg { contact, nose, force: on_shaft + in_housing }]
        }
        Some(outer) => vec![
            Leg { contact, nose: Ring::new(bore, shape.contact.outer)?, force: on_shaft },
            Leg {
                contact: Ring::new(outer.inner, outer.outer)?,
                nose: Ring::new(outer.inner, shape.nose_diameter)?,
                force: in_housing,
            },
        ],
    })
}

/// The widest bore behind the nose.
fn body_bore(shape: &Shape) -> f64 {
    let behind = shape.bore.iter().filter(|step| step.to > shape.nose_length);
    let widest = behind.map(|step| step.diameter).fold(0.0, f64::max);
    if widest > 0.0 { widest } else { shape.bore.last().map_or(0.0, |step| step.diameter) }
}

/// The ring of plastic that nut, point or plate pushes on.
fn driven(shape: &Shape, screw: Option<&Screw>) -> Result<Ring> {
    let chamfered = shape.body_diameter - 2.0 * FOOT_CHAMFER;
    let bore = shape.bore.last().map_or(0.0, |step| step.diameter);
    match (shape.end, screw) {
        (End::Rod { hole }, Some(screw)) => {
            Ring::new(hole + 2.0 * FOOT_CHAMFER, screw.washer.outer.min(chamfered))
        }
        (End::Puller { shank, .. }, Some(screw)) => Ring::new(shank, screw.washer.outer),
        (End::Open, _) => Ring::new(bore + 2.0 * FOOT_CHAMFER, chamfered),
        _ => Ring::new(0.0, chamfered),
    }
}

/// Every way the sleeve can give under the forces (N) of shaft and housing, the end plate's included;
/// of two legs the weaker.
pub fn modes(
    spec: &Sleeve,
    shape: &Shape,
    screw: Option<&Screw>,
    plastic: &Plastic,
    forces: (f64, f64),
) -> Result<Vec<Safety>> {
    let mut modes: Vec<Safety> = Vec::new();
    let body = Ring::new(body_bore(shape), shape.body_diameter)?;
    let flared = shape.body_diameter > shape.nose_diameter + 1e-9;
    let whole = forces.0 + forces.1;
    let driven = driven(shape, screw)?;
    for leg in legs(shape, forces)? {
        let reduced = strength::Sleeve {
            contact: leg.contact,
            nose: leg.nose,
            body,
            length: shape.length(),
            flare: if flared { FLARE } else { 0.0 },
            drive: driven,
        };
        let nose_alone = |mode: &Safety| mode.mode.starts_with("contact") || mode.mode.starts_with("nose");
        let of_leg = reduced.safety(leg.force, &plastic.printed, plastic.poisson)?;
        let of_whole = reduced.safety(whole, &plastic.printed, plastic.poisson)?;
        let here = of_leg.into_iter().filter(nose_alone);
        for mode in here.chain(of_whole.into_iter().filter(|mode| !nose_alone(mode))) {
            match modes.iter_mut().find(|known| known.mode == mode.mode) {
                Some(known) if known.factor <= mode.factor => {}
                Some(known) => *known = mode,
                None => modes.push(mode),
            }
        }
    }
    if shape.end != End::Open {
        let span = shape.bore.last().map_or(0.0, |step| step.diameter);
        let hole = if let End::Rod { hole } = shape.end { hole } else { 0.0 };
        let pushed = pushed_diameter(spec, screw, span);
        let plate = strength::end_plate(whole, span, pushed, hole, shape.end_thickness, plastic.poisson)?;
        modes.push(Safety::new("end-bending", plate.bending_mpa, plastic.printed.tensile_in_plane));
        modes.push(Safety::new("end-shear", plate.shear_mpa, plastic.printed.shear_across));
    }
    Ok(modes)
}

/// The modes of a sized sleeve under the force it is checked for.
pub fn checked(spec: &Sleeve, sizing: &Sizing, plastic: &Plastic, press: &Press) -> Result<Vec<Safety>> {
    modes(spec, &sizing.shape, sizing.screw.as_ref(), plastic, forces(press))
}

/// Checked forces of the joint on the shaft and the one in the housing, N.
pub fn forces(press: &Press) -> (f64, f64) {
    let of = |joint: &Option<super::press::Joint>| joint.as_ref().map_or(0.0, |joint| joint.force.checked);
    (of(&press.shaft), of(&press.housing))
}

/// The factor below which no file is written: a screw stops at its torque, a press does not.
pub fn refused(spec: &Sleeve) -> f64 {
    match spec.drive {
        Drive::Flat => strength::REFUSED_UNGAUGED,
        _ => strength::REFUSED_LEAST,
    }
}

/// What a factor of a printed part means.
pub fn level(spec: &Sleeve, factor: f64) -> Level {
    strength::level_of_least(factor, refused(spec))
}
