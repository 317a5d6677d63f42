//! `fixwright fit`: tolerance classes, how tight a bearing sits, and plain press fits.

use super::tables::OwnTables;
use super::{Answer, InUnits};
use crate::catalog::bearings;
use crate::catalog::fits;
use crate::catalog::materials;
use crate::error::{Error, Result, number, within};
use crate::fit::{self, FitReport, Gauge, RingFit, Seat, Side, clearance};
use crate::mechanics::press_fit::{Elastic, Friction, Joint};
use crate::output::report::short;
use crate::units::Length;
use clap::{Args, Command};
use std::fmt::Write;

#[derive(Args)]
struct Question {
    /// Shaft diameter: nominal with --class, or measured
    #[arg(long, value_name = "MM", allow_hyphen_values = true, conflicts_with_all = ["hole", "diameter"])]
    shaft: Option<Length>,
    /// Housing bore: nominal with --class, or measured
    #[arg(long, value_name = "MM", allow_hyphen_values = true, conflicts_with = "diameter")]
    hole: Option<Length>,
    /// Tolerance class, ISO 286: k5 for a shaft, N7 for a hole
    #[arg(long, value_name = "CLASS")]
    class: Option<String>,
    /// The bearing on that shaft or in that hole: adds interference and force
    #[arg(long, value_name = "BEARING")]
    bearing: Option<String>,
    /// What a measured shaft or hole was measured with
    #[arg(long, value_enum, value_name = "GAUGE", default_value_t = Gauge::Micrometer)]
    measured_by: Gauge,
    /// Material of shaft or housing [default: steel for a shaft, cast iron for a hole]
    #[arg(long, value_name = "NAME")]
    metal: Option<String>,
    /// Outside diameter of the housing [default: thick]
    #[arg(long, value_name = "MM")]
    housing_outside: Option<Length>,

    /// Diameter of any two cylinders' joint
    #[arg(long, value_name = "MM", help_heading = "A plain press fit", requires_all = ["ring_outside", "interference_um"])]
    diameter: Option<Length>,
    /// Outside diameter of the outer one
    #[arg(long, value_name = "MM", help_heading = "A plain press fit")]
    ring_outside: Option<Length>,
    /// Diametral interference, µm
    #[arg(long, value_name = "UM", allow_negative_numbers = true, help_heading = "A plain press fit")]
    interference_um: Option<f64>,
    /// Bore of the inner one, or of the shaft [default: solid]
    #[arg(long, value_name = "MM")]
    shaft_bore: Option<Length>,
    /// Length of the joint, for the force
    #[arg(long, value_name = "MM", help_heading = "A plain press fit")]
    length: Option<Length>,
    /// Friction coefficient [default: 0.12; 0.08 to 0.15 for a bearing]
    #[arg(long, value_name = "MU")]
    friction: Option<f64>,
    /// Young's modulus of the outer one, MPa
    #[arg(long, value_name = "MPA", default_value_t = 207_000.0, help_heading = "A plain press fit")]
    ring_modulus: f64,
    /// Young's modulus of the inner one, MPa
    #[arg(long, value_name = "MPA", default_value_t = 207_000.0, help_heading = "A plain press fit")]
    shaft_modulus: f64,
    /// Poisson's ratio of the outer one
    #[arg(long, value_name = "NU", default_value_t = 0.292, help_heading = "A plain press fit")]
    ring_poisson: f64,
    /// Poisson's ratio of the inner one
    #[arg(long, value_name = "NU", default_value_t = 0.292, help_heading = "A plain press fit")]
    shaft_poisson: f64,
}

pub(super) fn command() -> Command {
    Question::augment_args(
        InUnits::augment_args(OwnTables::augment_args(Command::new("fit"))).about("Tell a tolerance class's limits, how tight a bearing sits and how hard it presses, or a plain press fit"),
    )
    .after_help(super::examples(&[
        "fit --shaft 30 --class k5",
        "fit --shaft 30 --class k5 --bearing 6206",
        "fit --hole 62 --class N7 --bearing 6206",
    ]))
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    let question: Question = super::options(matches)?;
    if let Some(diameter) = question.diameter {
        refuse_unused(matches, &[OF_BEARING, &["housing_outside"]], "on the seat of a bearing")?;
        return Ok(plain(&question, diameter.mm())?.in_units(matches));
    }
    let (side, size) = match (question.shaft, question.hole) {
        (Some(shaft), None) => (Side::Inner, shaft.mm()),
        (None, Some(hole)) => (Side::Outer, hole.mm()),
        _ => {
            return Err(Error::request(
                "Neither a shaft, a hole nor a joint was given.",
                "Give --shaft 30 --class k5, --hole 62 --class N7, or --diameter, --ring-outside and --interference-um for a plain fit.",
            ));
        }
    };
    refuse_unused(matches, &[OF_PLAIN], "in a plain press fit (--diameter)")?;
    match side {
        Side::Inner => refuse_unused(matches, &[&["housing_outside"]], "with --hole")?,
        Side::Outer => refuse_unused(matches, &[&["shaft_bore"]], "with --shaft")?,
    }
    if question.bearing.is_none() {
        let only = ["shaft_bore", "housing_outside", "friction", "measured_by", "metal"];
        refuse_unused(matches, &[&only], "with --bearing")?;
    }
    let answer = match (&question.bearing, &question.class) {
        (Some(bearing), _) => with_bearing(&question, side, size, bearing),
        (None, Some(class)) => limits(side, size, class),
        (None, None) => Err(Error::request(
            format!("Nothing is asked of the {} mm seat.", number(size)),
            "Add --class k5 for its limits, or --bearing 6206 for the fit of a measured seat.",
        )),
    };
    Ok(answer?.in_units(matches))
}

/// What counts on the seat of a bearing alone, and in a plain press fit alone.
const OF_BEARING: &[&str] = &["bearing", "class", "measured_by", "metal"];
const OF_PLAIN: &[&str] = &[
    "ring_outside",
    "interference_um",
    "length",
    "ring_modulus",
    "shaft_modulus",
    "ring_poisson",
    "shaft_poisson",
];

/// Refuses the first of these answers that was given: nothing that is asked is dropped in silence.
fn refuse_unused(matches: &clap::ArgMatches, keys: &[&[&str]], when: &str) -> Result<()> {
    let given = |key: &&&str| matches.value_source(key) == Some(clap::parser::ValueSource::CommandLine);
    match keys.iter().copied().flatten().find(given) {
        None => Ok(()),
        Some(key) => Err(Error::request(
            format!("--{} counts only {when}.", key.replace('_', "-")),
            "Leave it out, or ask for that.",
        )),
    }
}

/// Looser than this on a seat no class is, mm: the reading is wrong, or the seat is worn out (common practice).
const WORN_OUT: f64 = 0.2;

/// The limits of a class, refused where the case of its letter is the other partner's.
fn limits(side: Side, size: f64, class: &str) -> Result<Answer> {
    let limits = fits::class(size, class)?;
    let hole = limits.feature == fits::Feature::Hole;
    if hole != (side == Side::Outer) {
        return Err(Error::request(
            format!(
                "The class {class} is one of a {}.",
                if hole { "hole, which capital letters mean" } else { "shaft, which small letters mean" }
            ),
            if hole {
                "Use --hole, or a class in small letters."
            } else {
                "Use --shaft, or a class in capital letters."
            },
        ));
    }
    let words = format!(
        "{} {}: {:+.1} / {:+.1} µm, so {:.3} to {:.3} mm\n  {}\n",
        number(size),
        limits.class,
        limits.upper_um,
        limits.lower_um,
        limits.least_mm(),
        limits.most_mm(),
        limits.source
    );
    Ok(Answer { words, json: super::to_json(&limits)?, error: None })
}

fn with_bearing(question: &Question, side: Side, size: f64, text: &str) -> Result<Answer> {
    let bearing = bearings::read(text)?;
    let nominal = if side == Side::Inner { bearing.bore } else { bearing.outside };
    let seat = match &question.class {
        Some(class) if (size - nominal).abs() < 0.5 => Seat::Class(class.clone()),
        Some(_) => {
            return Err(Error::geometry(
                format!("{} has {} mm there, not {} mm.", bearing.designation, number(nominal), number(size)),
                format!(
                    "Give the nominal diameter {} with --class, or leave --class out for a measured one.",
                    number(nominal)
                ),
            ));
        }
        None => Seat::Measured { diameter: size, uncertainty_um: question.measured_by.uncertainty_um() },
    };
    let loose = if side == Side::Inner { nominal - size } else { size - nominal };
    if loose > WORN_OUT {
        return Err(Error::geometry(
            format!(
                "A seat of {} mm is {} mm looser than the {} mm of {}: no class is as loose.",
                number(size),
                number(loose),
                number(nominal),
                bearing.designation
            ),
            "Measure it again. A seat that is worn so far is bushed or built up before a bearing goes on.",
        ));
    }
    let metal = question.metal.as_deref().unwrap_or(if side == Side::Inner { "steel" } else { "cast iron" });
    let partner_other = match side {
        Side::Inner => question
            .shaft_bore
            .map_or(Ok(0.0), |b| within("--shaft-bore", b.mm(), 0.0, 0.95 * nominal, "mm"))?,
        Side::Outer => question.housing_outside.map_or(Ok(f64::INFINITY), |o| {
            within("--housing-outside", o.mm(), 1.02 * nominal, 5000.0, "mm")
        })?,
    };
    let ring = RingFit {
        partner: materials::metal(metal)?,
        friction: question.friction.map_or(Ok(Friction::PRESS_ON), Friction::exactly)?,
        ..RingFit::of(&bearing, side, seat, partner_other)?
    };
    let fit = ring.reckon()?;
    let mut words = format!(
        "{} on a seat of {} mm, {}: {:+.1} / {:+.1} µm\n",
        bearing.designation,
        number(fit.nominal),
        fit.class,
        fit.upper_um,
        fit.lower_um
    );
    let _ = writeln!(
        words,
        "  interference  {:.0} to {:.0} µm, likely {:.0} (negative is clearance)",
        fit.interference_min_um, fit.interference_max_um, fit.interference_likely_um
    );
    let _ = writeln!(
        words,
        "  press force   {:.0} to {:.0} N, likely {:.0}",
        fit.press_force_min_n, fit.press_force_max_n, fit.press_force_likely_n
    );
    let _ = writeln!(words, "  pressure      up to {:.1} MPa", fit.pressure_max_mpa);
    let left = clearance::left(&bearing, &[&ring])?;
    if let Some(left) = &left {
        let _ = writeln!(words, "  clearance     {}", left.says);
    }
    for line in bearings::seat_lines(&bearing, side) {
        let _ = writeln!(words, "{line}");
    }
    // A spring moves no ring that is tight.
    let slides = side == Side::Inner || fit.interference_max_um <= 0.0;
    match bearing.spring_words() {
        Some(spring) if slides => {
            let _ = writeln!(words, "  spring        {spring}");
        }
        Some(_) => {
            let _ =
                writeln!(words, "  spring        none: this outer ring may be tight, and no spring moves it");
        }
        None => {}
    }
    for basis in &fit.basis {
        let _ = writeln!(words, "  - {basis}");
    }
    Ok(Answer {
        words,
        json: super::to_json(&Told {
            fit,
            clearance: left,
            spring_preload: bearing.spring_preload().filter(|_| slides),
        })?,
        error: None,
    })
}

/// What a bearing's fit is told as.
#[derive(serde::Serialize)]
struct Told {
    #[serde(flatten)]
    fit: FitReport,
    /// What the fit leaves of the clearance; `null` where it is set when the bearing is mounted.
    clearance: Option<clearance::ClearanceLeft>,
    /// The spring preload makers give; `null` for kinds that are not preloaded so, and for an outer ring that
    /// may be tight.
    spring_preload: Option<bearings::SpringPreload>,
}

fn plain(question: &Question, diameter: f64) -> Result<Answer> {
    let joint = Joint {
        diameter,
        ring_outside: question.ring_outside.map_or(f64::INFINITY, Length::mm),
        shaft_bore: question.shaft_bore.map_or(0.0, Length::mm),
        ring: Elastic { modulus: question.ring_modulus, poisson: question.ring_poisson },
        shaft: Elastic { modulus: question.shaft_modulus, poisson: question.shaft_poisson },
    };
    let found = fit::plain(
        &joint,
        question.interference_um.unwrap_or(0.0),
        question.length.map(Length::mm),
        question.friction,
    )?;
    let mut words = format!("Plain press fit at {} mm\n", number(diameter));
    let _ = writeln!(words, "  pressure           {} MPa", short(found.pressed.pressure_mpa));
    let _ = writeln!(words, "  hoop, outer one    {} MPa", short(found.pressed.ring_hoop_mpa));
    let _ = writeln!(words, "  hoop, inner one    {} MPa", short(found.pressed.shaft_hoop_mpa));
    if let (Some(force), Some(friction)) = (found.force_n, found.friction) {
        let _ = writeln!(words, "  force to slide it  {} N at friction {friction}", short(force));
    }
    Ok(Answer { words, json: super::to_json(&found)?, error: None })
}
