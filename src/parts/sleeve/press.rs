//! How tight the rings are, and so how hard they press on.

use super::spec::{Ring, Sleeve};
use crate::catalog::bearings::Bearing;
use crate::catalog::materials::{self, Metal};
use crate::error::{Error, Result, number, within};
use crate::fit::{self, FitReport, MICROMETER_UM, RingFit, Seat, Side};
use crate::mechanics::thermal::{self, WarmFit};
use crate::units::Length;

/// Shop temperature everything is reckoned from, °C.
pub const SHOP_C: f64 = 20.0;
/// A domestic freezer, °C, where a shaft or a bearing may be chilled (common practice).
const FREEZER_C: f64 = -18.0;

/// Three forces, N.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Force {
    /// The least that the sizes and a well-oiled seat allow.
    pub least: f64,
    /// What is likely.
    pub likely: f64,
    /// The most that the sizes allow on a seat oiled as the steps say: what the sleeve is checked for.
    /// A factor of 1.3 on it leaves a dry seat, at a quarter more friction, covered too.
    pub checked: f64,
    /// The most that the sizes and a dry seat allow.
    pub most: f64,
}

/// One tight joint: a ring on the shaft, or a ring in the housing.
#[derive(Clone, Debug)]
pub struct Joint {
    /// `shaft` or `housing`.
    pub partner: &'static str,
    /// The partner's sizes in words: `shaft k5`, `shaft measured`.
    pub sizes: String,
    /// Whether the class was taken for want of a word from the user.
    pub assumed: bool,
    /// Interference, pressure and force.
    pub fit: FitReport,
    /// What warming the outer partner does, with the inner one at shop temperature.
    pub warm: WarmFit,
    /// What it takes off to chill the inner partner in a freezer, µm.
    pub chilled_off_um: f64,
}

/// Every joint the sleeve closes, and the force that takes.
#[derive(Clone, Debug)]
pub struct Press {
    /// The joint on the shaft.
    pub shaft: Option<Joint>,
    /// The joint in the housing.
    pub housing: Option<Joint>,
    /// The force on the sleeve: the joints' sum.
    pub force: Force,
}

impl Press {
    /// The joints, the shaft's first.
    pub fn joints(&self) -> impl Iterator<Item = &Joint> {
        self.shaft.iter().chain(&self.housing)
    }
}

/// Works out the joints the pressed ring makes.
///
/// Fails for sizes, classes and materials out of bounds, and where warming would tighten the joint.
pub fn press(spec: &Sleeve, bearing: &Bearing) -> Result<Press> {
    let warmed_by = match spec.warm {
        Some(warm) => within("--warm", warm, SHOP_C, 150.0, "°C")? - SHOP_C,
        None => 0.0,
    };
    if warmed_by > 0.0 && spec.ring != Ring::Inner {
        return Err(Error::request(
            format!(
                "--warm {} °C would make a ring that is tight in its housing tighter still.",
                number(warmed_by + SHOP_C)
            ),
            "Warm the housing instead, or chill the bearing; leave --warm to --ring inner.",
        ));
    }
    let shaft = spec.ring.presses_inner().then(|| on_shaft(spec, bearing, warmed_by)).transpose()?;
    let housing = spec.ring.presses_outer().then(|| in_housing(spec, bearing)).transpose()?;
    let mut force = Force::default();
    for joint in shaft.iter().chain(&housing) {
        force.least += joint.fit.press_force_min_n;
        force.likely += joint.fit.press_force_likely_n;
        let friction = joint.fit.friction;
        force.checked += joint.fit.press_force_max_n * friction.likely / friction.most.max(1e-9);
        force.most += joint.fit.press_force_max_n;
    }
    Ok(Press { shaft, housing, force })
}

fn on_shaft(spec: &Sleeve, bearing: &Bearing, warmed_by: f64) -> Result<Joint> {
    let metal = materials::metal(spec.shaft_material.as_deref().unwrap_or("steel"))?;
    let hollow = match spec.shaft_bore {
        Some(hollow) => within("--shaft-bore", hollow.mm(), 0.0, 0.95 * bearing.bore, "mm")?,
        None => 0.0,
    };
    // Turning inner ring, usual loads: j5 up to 18 mm, k5 above (SKF Rolling bearings, 2018,
    // "Tolerance classes for solid steel shafts, radial ball bearings").
    let usual = if bearing.bore <= 18.0 { "j5" } else { "k5" };
    let seat = seat("shaft", bearing.bore, spec.shaft_measured, &spec.shaft_class, usual)?;
    let eased_um = thermal::growth_um(bearing.bore, materials::metal("bearing steel")?.expansion, warmed_by);
    joint(
        bearing,
        Side::Inner,
        seat,
        hollow,
        metal,
        eased_um,
        spec.shaft_class.is_none() && spec.shaft_measured.is_none(),
    )
}

fn in_housing(spec: &Sleeve, bearing: &Bearing) -> Result<Joint> {
    let metal = materials::metal(spec.housing_material.as_deref().unwrap_or("cast iron"))?;
    let around = match spec.housing_outside {
        Some(around) => within("--housing-outside", around.mm(), 1.02 * bearing.outside, 5000.0, "mm")?,
        None => f64::INFINITY,
    };
    // Turning outer ring, usual loads: N7 (SKF Rolling bearings, 2018, "Tolerance classes for
    // cast iron and steel housings").
    let seat = seat("housing", bearing.outside, spec.housing_measured, &spec.housing_class, "N7")?;
    joint(
        bearing,
        Side::Outer,
        seat,
        around,
        metal,
        0.0,
        spec.housing_class.is_none() && spec.housing_measured.is_none(),
    )
}

fn seat(
    partner: &str,
    nominal: f64,
    measured: Option<Length>,
    class: &Option<String>,
    usual: &str,
) -> Result<Seat> {
    match (measured, class) {
        (Some(_), Some(class)) => Err(Error::request(
            format!("{partner}-class {class} and {partner}-measured were both given."),
            "Give the measured diameter alone; it is the better of the two.",
        )),
        (Some(measured), None) => {
            let option = format!("--{partner}-measured");
            let diameter = within(&option, measured.mm(), nominal - 0.5, nominal + 0.5, "mm")?;
            Ok(Seat::Measured { diameter, uncertainty_um: MICROMETER_UM })
        }
        (None, class) => Ok(Seat::Class(class.as_deref().unwrap_or(usual).trim().to_string())),
    }
}

fn joint(
    bearing: &Bearing,
    side: Side,
    seat: Seat,
    other: f64,
    partner: Metal,
    eased_um: f64,
    assumed: bool,
) -> Result<Joint> {
    let word = if side == Side::Inner { "shaft" } else { "housing" };
    let sizes = match &seat {
        Seat::Class(class) => format!("{word} {class}"),
        Seat::Measured { diameter, .. } => format!("{word} measured {} mm", number(*diameter)),
    };
    let chilled =
        if side == Side::Inner { partner.expansion } else { materials::metal("bearing steel")?.expansion };
    let ring = RingFit { partner, eased_um, ..RingFit::of(bearing, side, seat, other)? };
    let fit = ring.reckon()?;
    let diameter = fit.nominal;
    Ok(Joint {
        partner: word,
        sizes,
        assumed,
        warm: ring.warmed(fit::heat_closure(bearing), SHOP_C, SHOP_C)?,
        chilled_off_um: thermal::growth_um(diameter, chilled, SHOP_C - FREEZER_C),
        fit,
    })
}
