//! How tight the rings are, and so how hard they press on.

use super::spec::{Ring, Sleeve};
use crate::catalog::bearings::{Basis, Bearing};
use crate::catalog::fits::{self, Series};
use crate::catalog::materials::{self, Metal};
use crate::error::{Error, Result, number, within};
use crate::job::units::Length;
use crate::mechanics::press_fit::{self, Deviations, Elastic, Finish, Friction, Interference, Joint};
use crate::mechanics::thermal::{self, WarmFit, Warming};

/// Shop temperature everything is reckoned from, °C.
pub const SHOP_C: f64 = 20.0;
/// What a careful micrometer reading may be off by, µm (common practice).
const MICROMETER_UM: f64 = 3.0;
/// A domestic freezer, °C, where a shaft may be chilled (common practice).
const FREEZER_C: f64 = -18.0;

/// Three forces, N.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Force {
    /// The least that the sizes and a well-oiled seat allow.
    pub least: f64,
    /// What is likely.
    pub likely: f64,
    /// The most that the sizes and a dry seat allow.
    pub most: f64,
}

/// One tight joint: a ring on the shaft, or a ring in the housing.
#[derive(Clone, Debug)]
pub struct Seat {
    /// `shaft` or `housing`.
    pub partner: &'static str,
    /// The partner's sizes in words: `shaft k5` or `shaft measured 20.012 mm`.
    pub sizes: String,
    /// Where those sizes stand.
    pub source: String,
    /// Whether the class was taken for want of a word from the user.
    pub assumed: bool,
    /// Diametral interference as the sizes give it, the warming taken off.
    pub interference: Interference,
    /// Pressure at the most interference, MPa.
    pub pressure_most: f64,
    /// Tension in the outer partner at the most interference, MPa.
    pub hoop_most: f64,
    /// Axial force to press the ring home.
    pub force: Force,
    /// What warming the outer partner does, with the inner one at shop temperature.
    pub warm: WarmFit,
    /// What it takes off to chill the inner partner in a freezer, µm.
    pub chilled_off_um: f64,
}

/// Every joint the sleeve closes, and the force that takes.
#[derive(Clone, Debug)]
pub struct Press {
    /// The joint on the shaft.
    pub shaft: Option<Seat>,
    /// The joint in the housing.
    pub housing: Option<Seat>,
    /// The force on the sleeve: the joints' sum.
    pub force: Force,
}

/// Works out the joints the pressed ring makes.
///
/// Fails for sizes, classes and materials out of bounds, and where warming would tighten the joint.
pub fn press(spec: &Sleeve, bearing: &Bearing) -> Result<Press> {
    let warm_k = match spec.warm {
        Some(warm) => within("--warm", warm, SHOP_C, 150.0, "°C")? - SHOP_C,
        None => 0.0,
    };
    if warm_k > 0.0 && spec.ring != Ring::Inner {
        return Err(Error::request(
            format!("--warm {} °C would make a ring that is tight in its housing tighter still.", number(warm_k + SHOP_C)),
            "Warm the housing instead, or chill the bearing; leave --warm to --ring inner.",
        ));
    }
    let shaft = spec.ring.presses_inner().then(|| on_shaft(spec, bearing, warm_k)).transpose()?;
    let housing = spec.ring.presses_outer().then(|| in_housing(spec, bearing)).transpose()?;
    let mut force = Force::default();
    for seat in shaft.iter().chain(&housing) {
        force.least += seat.force.least;
        force.likely += seat.force.likely;
        force.most += seat.force.most;
    }
    Ok(Press { shaft, housing, force })
}

/// A partner's deviations from the bearing's nominal size, with how to say them.
struct Sizes {
    deviations: Deviations,
    words: String,
    source: String,
    assumed: bool,
}

fn sizes(partner: &str, nominal: f64, measured: Option<Length>, class: &Option<String>, otherwise: &str, hole: bool) -> Result<Sizes> {
    if let Some(measured) = measured {
        let slack = 0.01 * nominal + 0.2;
        let option = format!("--{partner}-measured");
        let mm = within(&option, measured.mm(), nominal - slack, nominal + slack, "mm")?;
        return Ok(Sizes {
            deviations: Deviations::measured((mm - nominal) * 1000.0, MICROMETER_UM),
            words: format!("{partner} measured {} mm", number(mm)),
            source: format!("{option}, give or take {} µm of a micrometer (common practice)", number(MICROMETER_UM)),
            assumed: false,
        });
    }
    let name = class.as_deref().unwrap_or(otherwise).trim();
    if name.starts_with(|c: char| c.is_ascii_uppercase()) != hole {
        return Err(Error::request(
            format!("--{partner}-class {name} is written for a {}.", if hole { "shaft" } else { "hole" }),
            format!("A {partner} takes a class in {} letters, such as {otherwise}.", if hole { "capital" } else { "small" }),
        ));
    }
    let limits = fits::class(nominal, name)?;
    Ok(Sizes {
        deviations: limits.deviations(),
        words: format!("{partner} {name}"),
        source: limits.source.clone(),
        assumed: class.is_none(),
    })
}

fn on_shaft(spec: &Sleeve, bearing: &Bearing, warm_k: f64) -> Result<Seat> {
    let metal = materials::metal(spec.shaft_material.as_deref().unwrap_or("steel"))?;
    let steel = materials::bearing_steel();
    // Bearing makers advise k5 for usual loads on a turning inner ring, j5 below 18 mm.
    let usual = if bearing.bore <= 18.0 { "j5" } else { "k5" };
    let shaft = sizes("shaft", bearing.bore, spec.shaft_measured, &spec.shaft_class, usual, false)?;
    let bore = fits::bearing_bore(bearing.bore, series(bearing))?;
    let expanded = thermal::growth_um(bearing.bore, steel.expansion, warm_k);
    let shaft_bore = match spec.shaft_bore {
        Some(hollow) => within("--shaft-bore", hollow.mm(), 0.0, 0.95 * bearing.bore, "mm")?,
        None => 0.0,
    };
    let joint = Joint {
        diameter: bearing.bore,
        ring_outside: inner_ring_outside(bearing),
        shaft_bore,
        ring: elastic(&steel),
        shaft: elastic(&metal),
    };
    let apart = Interference::between(shaft.deviations, bore.deviations());
    let warming = Warming {
        diameter: bearing.bore,
        outer_expansion: steel.expansion,
        inner_expansion: metal.expansion,
        shop_c: SHOP_C,
        inner_c: SHOP_C,
    };
    seat("shaft", shaft, apart.less(expanded), joint, inner_length(bearing), warming, bearing)
}

fn in_housing(spec: &Sleeve, bearing: &Bearing) -> Result<Seat> {
    let metal = materials::metal(spec.housing_material.as_deref().unwrap_or("cast-iron"))?;
    let steel = materials::bearing_steel();
    let housing = sizes("housing", bearing.outside, spec.housing_measured, &spec.housing_class, "N7", true)?;
    let outside = fits::bearing_outside(bearing.outside, series(bearing))?;
    let joint = Joint {
        diameter: bearing.outside,
        ring_outside: match spec.housing_outside {
            Some(around) => within("--housing-outside", around.mm(), 1.02 * bearing.outside, 5000.0, "mm")?,
            None => f64::INFINITY,
        },
        shaft_bore: outer_ring_inside(bearing),
        ring: elastic(&metal),
        shaft: elastic(&steel),
    };
    let apart = Interference::between(outside.deviations(), housing.deviations);
    let warming = Warming {
        diameter: bearing.outside,
        outer_expansion: metal.expansion,
        inner_expansion: steel.expansion,
        shop_c: SHOP_C,
        inner_c: SHOP_C,
    };
    seat("housing", housing, apart, joint, outer_length(bearing), warming, bearing)
}

fn seat(
    partner: &'static str,
    sizes: Sizes,
    interference: Interference,
    joint: Joint,
    length: f64,
    warming: Warming,
    bearing: &Bearing,
) -> Result<Seat> {
    let friction = Friction::PRESS_ON;
    let smoothed = |um: f64| press_fit::effective_um(um, joint.diameter, Finish::Turned);
    let force = |um: f64, friction: f64| -> Result<f64> {
        press_fit::axial_force(joint.pressed(um)?.pressure_mpa, joint.diameter, length, friction)
    };
    let most = joint.pressed(interference.most_um)?;
    Ok(Seat {
        partner,
        sizes: sizes.words,
        source: sizes.source,
        assumed: sizes.assumed,
        interference,
        pressure_most: most.pressure_mpa,
        hoop_most: most.ring_hoop_mpa,
        force: Force {
            least: force(smoothed(interference.least_um), friction.least)?,
            likely: force(smoothed(interference.likely_um), friction.likely)?,
            // No peak is counted on to give way where the sleeve must bear the force.
            most: force(interference.most_um, friction.most)?,
        },
        warm: warming.plan(interference.most_um, bearing.closure_for_heat())?,
        chilled_off_um: thermal::growth_um(joint.diameter, warming.inner_expansion, SHOP_C - FREEZER_C),
    })
}

fn elastic(metal: &Metal) -> Elastic {
    Elastic { modulus: metal.modulus, poisson: metal.poisson }
}

fn series(bearing: &Bearing) -> Series {
    if bearing.tapered.is_some() { Series::Tapered } else { Series::Radial }
}

/// Width of the ring on the shaft, mm.
fn inner_length(bearing: &Bearing) -> f64 {
    bearing.tapered.as_ref().map_or(bearing.width, |tapered| tapered.cone_width)
}

/// Width of the ring in the housing, mm.
fn outer_length(bearing: &Bearing) -> f64 {
    bearing.tapered.as_ref().map_or(bearing.width, |tapered| tapered.cup_width)
}

/// Outside diameter the inner ring is reckoned with: its shoulder, the thicker of what is likely, so
/// that the force is not made light of. An estimated shoulder errs low for the land's sake, so here
/// two fifths of the section stand in for it where that is more.
fn inner_ring_outside(bearing: &Bearing) -> f64 {
    match bearing.shoulder_basis {
        Basis::Estimated(_) => bearing.inner_shoulder.max(bearing.bore + 0.4 * (bearing.outside - bearing.bore)),
        _ => bearing.inner_shoulder,
    }
}

/// Inside diameter the outer ring is reckoned with; as [`inner_ring_outside`].
fn outer_ring_inside(bearing: &Bearing) -> f64 {
    match bearing.shoulder_basis {
        Basis::Estimated(_) => bearing.outer_shoulder.min(bearing.outside - 0.4 * (bearing.outside - bearing.bore)),
        _ => bearing.outer_shoulder,
    }
}
