//! How deep the seated face lies, and the shaft that stands in a sleeve's way.

/// Where the reach came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReachFrom {
    /// `--reach`.
    Given,
    /// The sum of the shaft steps.
    Steps,
    /// Two bearing widths, nothing being known.
    Assumed,
}

use super::spec::{Drive, Ring, ShaftStep, Sleeve};
use crate::catalog::bearings::Bearing;
use crate::error::{Error, Result, number, within};
pub fn reach(spec: &Sleeve, bearing: &Bearing) -> Result<(f64, ReachFrom)> {
    let steps: f64 = spec.shaft.iter().map(|step| step.length).sum();
    match spec.reach {
        Some(reach) => Ok((within("--reach", reach.mm(), 0.0, 1000.0, "mm")?, ReachFrom::Given)),
        None if spec.ring == Ring::Inner && !spec.shaft.is_empty() => {
            Ok((within("the sum of the --shaft lengths", steps, 0.0, 1000.0, "mm")?, ReachFrom::Steps))
        }
        None => Ok(((2.0 * bearing.width).ceil(), ReachFrom::Assumed)),
    }
}

/// How far the shaft stands out past the seated face. For an inner ring that is the reach; for the
/// others a distance of its own, as long as the reach where nothing is said. A rod through the bearing
/// leaves no room for a shaft.
pub fn shaft_reach(spec: &Sleeve, reach: f64) -> Result<f64> {
    let steps: f64 = spec.shaft.iter().map(|step| step.length).sum();
    match (spec.ring, spec.shaft_reach) {
        (Ring::Inner, Some(given)) if (given.mm() - reach).abs() > 1e-9 => Err(Error::request(
            format!(
                "--shaft-reach {} and --reach {} are the same distance for an inner ring, and differ.",
                number(given.mm()),
                number(reach)
            ),
            "Give --reach alone.",
        )),
        (Ring::Inner, _) => Ok(reach),
        (_, Some(given)) => within("--shaft-reach", given.mm(), 0.0, 1000.0, "mm"),
        (_, None) if !spec.shaft.is_empty() => {
            within("the sum of the --shaft lengths", steps, 0.0, 1000.0, "mm")
        }
        (Ring::Outer, None) if spec.drive == Drive::Rod => Ok(0.0),
        (_, None) => Ok(reach),
    }
}

/// The shaft the sleeve goes over, from the seat outwards. What the steps leave of its length is as
/// thick as the bearing's bore.
pub fn shaft_in_the_way(spec: &Sleeve, bearing: &Bearing, shaft_reach: f64) -> Result<Vec<ShaftStep>> {
    let given: f64 = spec.shaft.iter().map(|step| step.length).sum();
    if given > shaft_reach + 1e-9 {
        let option = if spec.ring == Ring::Inner { "--reach" } else { "--shaft-reach" };
        return Err(Error::request(
            format!(
                "The --shaft steps add up to {} mm, but {option} is {} mm.",
                number(given),
                number(shaft_reach)
            ),
            format!(
                "List only the steps between the shaft's end and the seated bearing, or give a longer {option}."
            ),
        ));
    }
    if spec.ring.presses_inner()
        && let Some(step) = spec.shaft.iter().find(|step| step.diameter > bearing.bore + 0.05)
    {
        return Err(Error::geometry(
            format!(
                "A shaft step of {} mm lies before the seat, but the bearing's bore is {} mm: it could never get there.",
                number(step.diameter),
                number(bearing.bore)
            ),
            "Measure the step again, or take the part that stands in the way off the shaft first.",
        ));
    }
    let seat = ShaftStep { diameter: bearing.bore, length: shaft_reach - given };
    Ok(std::iter::once(seat)
        .filter(|step| step.length > 1e-9)
        .chain(spec.shaft.iter().rev().copied())
        .collect())
}
