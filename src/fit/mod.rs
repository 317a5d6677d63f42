//! How tight a bearing's ring sits and how hard it presses: the tables and the mechanics together.
//!
//! [`RingFit::reckon`] takes a ring, the seat it goes on (or into) and what is known of the partner,
//! and gives the interference and the press force, each as least, likely and most. The spread is
//! real: a tolerance class leaves tens of micrometres open, and friction doubles between an oiled
//! seat and a dry one. So each end of it gathers what belongs there:
//!
//! | | least | likely | most |
//! |---|---|---|---|
//! | sizes | smallest in largest | a third in from the go side | largest in smallest |
//! | rough peaks | pressed flat, turned seat | pressed flat, ground seat | pressed flat, ground seat |
//! | ring's section | to the raceway | to the shoulder | to the shoulder |
//! | friction | oiled | usual | dry |
//!
//! A measured seat leaves the bearing's own tolerance open, and the gauge's uncertainty.
//! [`plain`] is the bare Lamé case, for any two cylinders.

pub mod clearance;

pub use crate::catalog::bearings::Side;

use crate::catalog::bearings::{Bearing, Cover, Kind};
use crate::catalog::fits::{self, Limits, Precision, Series};
use crate::catalog::materials::{Metal, metal};
use crate::checks::{Finding, Level};
use crate::error::{Error, Result, number, within};
use crate::mechanics::press_fit::{
    Deviations, Finish, Friction, Interference, Joint, Pressed, Raceway, advised_limit_um, axial_force,
    effective_um,
};
use crate::mechanics::thermal::{Closure, Warming};
use serde::{Deserialize, Serialize};

/// Uncertainty of a caliper reading, µm: ISO 13385-1, permissible error of common calipers (from
/// memory). Assumed where the gauge is not named, since it is the worse of the two.
pub const CALIPER_UM: f64 = 20.0;

/// Uncertainty of a micrometer reading, µm: ISO 3611, permissible error up to 50 mm (from memory).
pub const MICROMETER_UM: f64 = 4.0;

/// What a seat was measured with.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, clap::ValueEnum, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Gauge {
    /// A micrometer: 4 µm either way.
    #[default]
    Micrometer,
    /// A caliper: 20 µm either way, as much as most fits are tight.
    Caliper,
}

impl Gauge {
    /// Uncertainty of its reading either way, µm.
    pub fn uncertainty_um(self) -> f64 {
        match self {
            Self::Micrometer => MICROMETER_UM,
            Self::Caliper => CALIPER_UM,
        }
    }
}

/// What is known of the seat.
#[derive(Clone, Debug, PartialEq)]
pub enum Seat {
    /// A tolerance class, such as `k5` or `N7`.
    Class(String),
    /// A diameter read off the part, mm, and the uncertainty of the reading, µm.
    Measured {
        /// Diameter, mm.
        diameter: f64,
        /// Uncertainty either way, µm: [`CALIPER_UM`], [`MICROMETER_UM`].
        uncertainty_um: f64,
    },
}

/// A bearing ring and its seat.
#[derive(Clone, Debug, PartialEq)]
pub struct RingFit {
    /// Which ring.
    pub side: Side,
    /// The bearing's bore, mm.
    pub bore: f64,
    /// The bearing's outside diameter, mm.
    pub outside: f64,
    /// The width of the seat, mm: of the ring (a tapered bearing's cone and cup differ), of both
    /// rings of a matched pair.
    pub width: f64,
    /// The family ISO 492 tolerances it with.
    pub series: Series,
    /// The class it is held to.
    pub precision: Precision,
    /// What a caliper leaves open of the bearing's own size, µm.
    pub bearing_uncertainty_um: f64,
    /// The kind of raceway, for the ring's thinnest section.
    pub raceway: Raceway,
    /// The ring's shoulder diameter, mm, where it is known.
    pub shoulder: Option<f64>,
    /// The seat.
    pub seat: Seat,
    /// The shaft's bore (0 for solid), or the housing's outside diameter (infinite for a block), mm.
    pub partner_other: f64,
    /// What shaft or housing is made of.
    pub partner: Metal,
    /// Friction of the seat.
    pub friction: Friction,
    /// What warmth or chill takes off the interference while the ring is pressed, µm; 0 for cold.
    pub eased_um: f64,
}

/// Interference and force of a [`RingFit`].
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FitReport {
    /// Which ring.
    pub side: Side,
    /// Nominal diameter of the seat, mm.
    pub nominal: f64,
    /// The seat's tolerance class, or `measured`.
    pub class: String,
    /// Upper limit deviation of the seat, µm.
    pub upper_um: f64,
    /// Lower limit deviation of the seat, µm.
    pub lower_um: f64,
    /// Upper limit deviation of the bearing, µm.
    pub bearing_upper_um: f64,
    /// Lower limit deviation of the bearing, µm.
    pub bearing_lower_um: f64,
    /// Least interference by the sizes, µm; negative is clearance.
    pub interference_min_um: f64,
    /// Likely interference by the sizes, µm.
    pub interference_likely_um: f64,
    /// Most interference by the sizes, µm.
    pub interference_max_um: f64,
    /// Pressure in the seat at the least, MPa.
    pub pressure_min_mpa: f64,
    /// Likely pressure in the seat, MPa.
    pub pressure_likely_mpa: f64,
    /// Pressure in the seat at the most, MPa.
    pub pressure_max_mpa: f64,
    /// Hoop stress of the bearing's ring at the most, MPa; an outer ring is squeezed (negative).
    pub ring_hoop_max_mpa: f64,
    /// Press force at the end of the stroke, at the least, N.
    pub press_force_min_n: f64,
    /// Likely press force at the end of the stroke, N.
    pub press_force_likely_n: f64,
    /// Press force at the end of the stroke, at the most, N.
    pub press_force_max_n: f64,
    /// Diameter the ring's section was taken to, mm.
    pub ring_section: f64,
    /// Friction counted on at the least, likely and most.
    pub friction: Friction,
    /// What each figure rests on.
    pub basis: Vec<String>,
}

impl RingFit {
    /// A ring of `bearing` cold in its seat, with the friction of pressing on. `partner_other` is the
    /// shaft's bore (0 for solid) or the housing's outside diameter (infinite for a block), mm; the
    /// shaft is taken as steel, the housing as cast iron.
    pub fn of(bearing: &Bearing, side: Side, seat: Seat, partner_other: f64) -> Result<Self> {
        let (partner, width) = match side {
            Side::Inner => ("steel", bearing.tapered.map(|t| t.cone_width)),
            Side::Outer => ("cast iron", bearing.tapered.map(|t| t.cup_width)),
        };
        Ok(Self {
            side,
            bore: bearing.bore,
            outside: bearing.outside,
            width: width.unwrap_or(bearing.width) * f64::from(bearing.count()),
            series: bearing.series(),
            precision: bearing.precision,
            bearing_uncertainty_um: bearing.size_uncertainty_um,
            raceway: raceway(bearing.kind),
            // The ring itself, not its land: where a shield begins it is no thinner.
            shoulder: bearing.section(side),
            seat,
            partner_other,
            partner: metal(partner)?,
            friction: Friction::PRESS_ON,
            eased_um: 0.0,
        })
    }

    /// What the fit takes of the bearing's radial clearance, µm: how far the pressed ring's raceway
    /// moves, with the ring taken as a tube to its raceway.
    ///
    /// Fails as [`RingFit::reckon`] does.
    pub fn clearance_taken(&self) -> Result<Interference> {
        self.check()?;
        let nominal = self.nominal();
        let interference = Self { eased_um: 0.0, ..self.clone() }.interference()?;
        let (section, _) = self.section()?;
        let joint = self.joint(self.groove(section))?;
        let taken = |um: f64, finish: Finish| -> Result<f64> {
            let pressed = joint.pressed(effective_um(um, nominal, finish))?;
            Ok(match self.side {
                Side::Inner => pressed.ring_growth_um,
                Side::Outer => -pressed.shaft_bore_growth_um,
            })
        };
        Ok(Interference {
            least_um: taken(interference.least_um, Finish::Turned)?,
            likely_um: taken(interference.likely_um, Finish::Ground)?,
            most_um: taken(interference.most_um, Finish::Ground)?,
        })
    }

    fn interference(&self) -> Result<Interference> {
        let (_, seat, _) = self.seat_deviations(self.nominal())?;
        let mut ring = deviations(&self.bearing_limits()?);
        ring.least_um -= self.bearing_uncertainty_um;
        ring.most_um += self.bearing_uncertainty_um;
        let between = match self.side {
            Side::Inner => Interference::between(seat, ring),
            Side::Outer => Interference::between(ring, seat),
        };
        Ok(between.eased(self.eased_um))
    }

    /// Interference and press force, least, likely and most.
    ///
    /// Fails for a class or size the tables lack, a class of the wrong kind (an inner ring wants a
    /// shaft's), a measured diameter more than half a millimetre off the bearing's, diameters that
    /// do not nest, and numbers out of bounds.
    pub fn reckon(&self) -> Result<FitReport> {
        self.check()?;
        let nominal = self.nominal();
        let bearing = self.bearing_limits()?;
        let (class, seat, seat_from) = self.seat_deviations(nominal)?;
        let interference = self.interference()?;
        let (section, section_from) = self.section()?;
        let press = |um: f64, section: f64, friction: f64| -> Result<(Pressed, f64)> {
            let pressed = self.joint(section)?.pressed(um)?;
            let force = axial_force(pressed.pressure_mpa, nominal, self.width, friction)?;
            Ok((pressed, force))
        };
        let least_um = effective_um(interference.least_um, nominal, Finish::Turned);
        let likely_um = effective_um(interference.likely_um, nominal, Finish::Ground);
        let (least, force_least) = press(least_um, self.groove(section), self.friction.least)?;
        let (likely, force_likely) = press(likely_um, section, self.friction.likely)?;
        let most_um = effective_um(interference.most_um, nominal, Finish::Ground);
        let (most, force_most) = press(most_um, section, self.friction.most)?;
        Ok(FitReport {
            side: self.side,
            nominal,
            class,
            upper_um: seat.most_um,
            lower_um: seat.least_um,
            bearing_upper_um: bearing.upper_um,
            bearing_lower_um: bearing.lower_um,
            interference_min_um: interference.least_um,
            interference_likely_um: interference.likely_um,
            interference_max_um: interference.most_um,
            pressure_min_mpa: least.pressure_mpa,
            pressure_likely_mpa: likely.pressure_mpa,
            pressure_max_mpa: most.pressure_mpa,
            ring_hoop_max_mpa: match self.side {
                Side::Inner => most.ring_hoop_mpa,
                Side::Outer => most.shaft_bore_hoop_mpa,
            },
            press_force_min_n: force_least,
            press_force_likely_n: force_likely,
            press_force_max_n: force_most,
            ring_section: section,
            friction: self.friction,
            basis: vec![
                seat_from,
                bearing.source,
                section_from,
                "Pressure: Lamé's thick-walled cylinders, Shigley's Mechanical Engineering Design, eq. 7-39".to_string(),
                "Rough peaks pressed flat: NSK Rolling Bearings, effective interference d/(d+2) ground, d/(d+3) turned (from memory)".to_string(),
                "Friction of a press fit: likely, NTN Ball and Roller Bearings, Table 17.6.1; most, dry steel, van Beek, Advanced Engineering Design; least, oiled, DIN 7190-1 (from memory)".to_string(),
                format!("Elastic constants of the partner: {}", self.partner.source),
            ],
        })
    }

    /// The joint with its partners at temperatures of their own, °C: around it the bearing (for an inner
    /// ring) or the housing, in it the shaft or the bearing.
    pub fn at_temperatures(&self, outer_c: f64, inner_c: f64) -> Result<Warming> {
        let steel = metal("bearing steel")?.expansion;
        let (outer_expansion, inner_expansion) = match self.side {
            Side::Inner => (steel, self.partner.expansion),
            Side::Outer => (self.partner.expansion, steel),
        };
        Ok(Warming { diameter: self.nominal(), outer_expansion, inner_expansion, outer_c, inner_c })
    }

    fn nominal(&self) -> f64 {
        match self.side {
            Side::Inner => self.bore,
            Side::Outer => self.outside,
        }
    }

    fn check(&self) -> Result<()> {
        within("the bearing's bore", self.bore, 0.5, 500.0, "mm")?;
        within("the bearing's outside diameter", self.outside, 1.0, 500.0, "mm")?;
        within("the ring's width", self.width, 0.3, 500.0, "mm")?;
        if self.bore >= self.outside {
            return Err(Error::geometry(
                format!(
                    "The bearing's bore {} mm is not smaller than its outside diameter {} mm.",
                    number(self.bore),
                    number(self.outside)
                ),
                "Give bore, outside diameter and width in that order.",
            ));
        }
        Ok(())
    }

    fn bearing_limits(&self) -> Result<Limits> {
        match self.side {
            Side::Inner => fits::bearing_bore(self.bore, self.series, self.precision),
            Side::Outer => fits::bearing_outside(self.outside, self.series, self.precision),
        }
    }

    fn seat_deviations(&self, nominal: f64) -> Result<(String, Deviations, String)> {
        match &self.seat {
            Seat::Class(class) => {
                let limits = fits::class(nominal, class)?;
                let wanted = match self.side {
                    Side::Inner => fits::Feature::Shaft,
                    Side::Outer => fits::Feature::Hole,
                };
                if limits.feature != wanted {
                    return Err(wrong_feature(class, self.side));
                }
                Ok((limits.class.clone(), deviations(&limits), limits.source))
            }
            Seat::Measured { diameter, uncertainty_um } => {
                let field = match self.side {
                    Side::Inner => "the measured shaft",
                    Side::Outer => "the measured housing bore",
                };
                within(field, *diameter, nominal - 0.5, nominal + 0.5, "mm")?;
                within("the gauge's uncertainty", *uncertainty_um, 0.0, 200.0, "µm")?;
                let read = Deviations::measured((diameter - nominal) * 1000.0, *uncertainty_um);
                let from = format!("{field}: {} mm ± {} µm", number(*diameter), number(*uncertainty_um));
                Ok(("measured".to_string(), read, from))
            }
        }
    }

    /// The diameter to which the ring counts as a plain tube when it is at its stiffest.
    fn section(&self) -> Result<(f64, String)> {
        let height = self.outside - self.bore;
        let Some(shoulder) = self.shoulder else {
            let section = match self.side {
                Side::Inner => self.bore + 0.4 * height,
                Side::Outer => self.outside - 0.4 * height,
            };
            return Ok((
                section,
                format!(
                    "Ring's section to {} mm: estimate, 0.4 of the bearing's section, stiffer than shoulders are",
                    number(section)
                ),
            ));
        };
        within("the ring's shoulder", shoulder, self.bore, self.outside, "mm")?;
        Ok((shoulder, format!("Ring's section to its shoulder, {} mm", number(shoulder))))
    }

    /// The diameter to which the ring counts as a tube when it is at its softest: its raceway, or
    /// the shoulder where that leaves less.
    fn groove(&self, section: f64) -> f64 {
        match self.side {
            Side::Inner => self.raceway.inner(self.bore, self.outside).min(section),
            Side::Outer => self.raceway.outer(self.bore, self.outside).max(section),
        }
    }

    fn joint(&self, section: f64) -> Result<Joint> {
        let steel = metal("bearing steel")?.elastic();
        Ok(match self.side {
            Side::Inner => Joint {
                diameter: self.bore,
                ring_outside: section,
                shaft_bore: self.partner_other,
                ring: steel,
                shaft: self.partner.elastic(),
            },
            Side::Outer => Joint {
                diameter: self.outside,
                ring_outside: self.partner_other,
                shaft_bore: section,
                ring: self.partner.elastic(),
                shaft: steel,
            },
        })
    }
}

impl FitReport {
    /// Whether the most interference keeps to what the ring should bear: a caution beyond a
    /// thousandth of the diameter.
    pub fn finding(&self) -> Finding {
        let limit = advised_limit_um(self.nominal);
        let most = self.interference_max_um;
        Finding::at_most(
            "fit-interference",
            (most, limit, "µm"),
            Level::Caution,
            format!(
                "The fit may be as tight as {most:.1} µm; a ring of {} mm should be given no more than {limit:.1} µm.",
                number(self.nominal)
            ),
            format!(
                "Measure the seat; if it is that tight, dress it down by {:.0} µm.",
                (most - limit).ceil()
            ),
            "NTN Ball and Roller Bearings, 7.3.3: at most 1/1000 of the shaft's diameter",
        )
    }
}

/// Balls or rollers, for the ring's thinnest section; an unknown kind counts as balls, whose rings
/// are the thicker and so press the harder.
fn raceway(kind: Kind) -> Raceway {
    match kind {
        Kind::CylindricalRollerN
        | Kind::CylindricalRollerNu
        | Kind::CylindricalRollerNj
        | Kind::CylindricalRollerNup
        | Kind::TaperedRoller => Raceway::Roller,
        _ => Raceway::Ball,
    }
}

/// How warm a bearing may be made, by what closes it.
pub fn heat_closure(bearing: &Bearing) -> Closure {
    match bearing.closure.cover {
        Cover::Open => Closure::Open,
        Cover::Shield => Closure::Shielded,
        Cover::LowFrictionSeal | Cover::ContactSeal => Closure::Sealed,
    }
}

fn wrong_feature(class: &str, side: Side) -> Error {
    let (partner, case, example) = match side {
        Side::Inner => ("a shaft", "lower", "k5"),
        Side::Outer => ("a housing", "upper", "N7"),
    };
    Error::request(
        format!("The class '{class}' is not one of {partner}, which is written in {case} case."),
        format!("Give a class such as {example}."),
    )
}

fn deviations(limits: &Limits) -> Deviations {
    Deviations { least_um: limits.lower_um, likely_um: limits.likely_um(), most_um: limits.upper_um }
}

/// What [`plain`] gives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PlainReport {
    /// The joint's nominal diameter, mm.
    pub diameter: f64,
    /// Pressure, stresses and growth.
    #[serde(flatten)]
    pub pressed: Pressed,
    /// Axial force at the end of the stroke, N, where a length was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub force_n: Option<f64>,
    /// The friction coefficient that force is for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub friction: Option<f64>,
}

/// The bare Lamé case: two cylinders and their interference (µm), and with the length of contact
/// (mm) the force that slides them. Friction is [`Friction::PRESS_ON`]'s likely value unless given.
///
/// Fails as [`Joint::pressed`] and [`axial_force`] do.
pub fn plain(
    joint: &Joint,
    interference_um: f64,
    length: Option<f64>,
    friction: Option<f64>,
) -> Result<PlainReport> {
    let pressed = joint.pressed(interference_um)?;
    let coefficient = friction.unwrap_or(Friction::PRESS_ON.likely);
    Friction::exactly(coefficient)?;
    let force_n = length
        .map(|length| axial_force(pressed.pressure_mpa, joint.diameter, length, coefficient))
        .transpose()?;
    Ok(PlainReport { diameter: joint.diameter, pressed, force_n, friction: force_n.map(|_| coefficient) })
}

#[cfg(test)]
mod tests;
