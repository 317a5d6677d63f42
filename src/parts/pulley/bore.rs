//! The bore of a pulley for its shaft, with a keyway or flat.

use super::spec::Pulley;
use super::tooth::Teeth;
use crate::error::{Error, Result, number, within};
use crate::units::Length;
use crate::workshop::Workshop;

/// The bore, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bore {
    /// Diameter of the shaft.
    pub shaft: f64,
    /// Diameter drawn.
    pub diameter: f64,
    /// Width and depth of a keyway.
    pub key: Option<(f64, f64)>,
    /// From a flat to the far side.
    pub flat: Option<f64>,
}

impl Bore {
    /// The bore that is asked for, within what the teeth leave.
    pub fn new(spec: &Pulley, workshop: &Workshop, teeth: &Teeth) -> Result<Bore> {
        let Some(shaft) = given("--bore", spec.bore, (1.0, 200.0))? else {
            return Err(Error::request(
                "--bore is missing, so the shaft is unknown.",
                "Measure the shaft and give its diameter: --bore 24.",
            ));
        };
        let diameter = shaft + workshop.printer.hole_allowance;
        let most = 2.0 * (teeth.root() - 4.0 * workshop.printer.line_width) - workshop.printer.hole_allowance;
        if shaft > most {
            return Err(Error::geometry(
                format!(
                    "--bore is {} mm, but {} teeth measure {:.2} mm across the bottom of their spaces.",
                    number(shaft),
                    teeth.count,
                    2.0 * teeth.root()
                ),
                format!(
                    "Take more --teeth; these can be bored up to {:.1} mm.",
                    (10.0 * most).floor() / 10.0
                ),
            ));
        }
        let key = match (spec.key_width, spec.key_depth) {
            (Some(width), Some(depth)) => Some((
                within("--key-width", width.mm(), 1.0, 0.6 * shaft, "mm")? + workshop.printer.hole_allowance,
                within("--key-depth", depth.mm(), 0.4, 0.4 * shaft, "mm")?,
            )),
            (None, None) => None,
            _ => {
                return Err(Error::request(
                    "--key-width and --key-depth belong together.",
                    "Measure the key and give both, or leave both out.",
                ));
            }
        };
        let flat = given("--flat", spec.flat, (0.55 * shaft, 0.99 * shaft))?;
        let flat = flat.map(|flat| flat + workshop.printer.hole_allowance);
        if key.is_some() && flat.is_some() {
            return Err(Error::request(
                "--flat and --key-width are both given.",
                "A shaft is held by its flat or by its key: leave one out.",
            ));
        }
        Ok(Bore { shaft, diameter, key, flat })
    }
}

/// A length that may be given, within its bounds.
pub(super) fn given(field: &str, value: Option<Length>, (least, most): (f64, f64)) -> Result<Option<f64>> {
    value.map(|value| within(field, value.mm(), least, most, "mm")).transpose()
}
