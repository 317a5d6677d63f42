//! What the person says of the bearing, the shaft and the sleeve wanted.

use crate::error::{Error, Result, within};
use crate::fit::Gauge;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::str::FromStr;

/// Which ring is tight, and so takes the force.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Ring {
    /// Tight on the shaft.
    #[default]
    Inner,
    /// Tight in the housing.
    Outer,
    /// Tight on both.
    Both,
}

impl Ring {
    /// The word users type.
    pub fn word(self) -> &'static str {
        match self {
            Ring::Inner => "inner",
            Ring::Outer => "outer",
            Ring::Both => "both",
        }
    }

    /// Whether the inner ring is pressed.
    pub fn presses_inner(self) -> bool {
        self != Ring::Outer
    }

    /// Whether the outer ring is pressed.
    pub fn presses_outer(self) -> bool {
        self != Ring::Inner
    }
}

/// What pushes on the sleeve.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Drive {
    /// A flat end for an arbor press, a vice or a plate.
    #[default]
    Flat,
    /// A threaded rod through the end, with nut and washer.
    Rod,
    /// A puller's point in the head of a screw let into the end.
    Puller,
}

/// Whether a flat end is closed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Closure {
    /// A plate closes it.
    #[default]
    Closed,
    /// The bore runs through.
    Open,
}

/// What holds the far end of the rod, and so what the force goes back through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RodHolds {
    /// The thread in the end of the shaft.
    ShaftEnd,
    /// A plate on the far end of a hollow spindle, through which the rod passes.
    Spindle,
    /// A plate on the far face of the housing, through which the rod passes.
    Housing,
}

impl RodHolds {
    /// In words, for the steps: `… holds it`.
    pub fn words(self) -> &'static str {
        match self {
            RodHolds::ShaftEnd => "the thread in the shaft's end",
            RodHolds::Spindle => "a plate and nut on the spindle's far end",
            RodHolds::Housing => "a plate and nut on the housing's far face",
        }
    }
}

/// One length of shaft in the sleeve's way: diameter and length, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShaftStep {
    /// Diameter.
    pub diameter: f64,
    /// Length.
    pub length: f64,
}

impl FromStr for ShaftStep {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let wrong = || {
            Error::request(
                format!("--shaft has the step '{text}', which is not DIAMETERxLENGTH."),
                "Write each step from the shaft's end as diameter x length, such as --shaft 17x40,20x35.",
            )
        };
        let (diameter, length) = text.split_once(['x', 'X', '×']).ok_or_else(wrong)?;
        Ok(Self {
            diameter: within("--shaft diameter", diameter.parse::<Length>()?.mm(), 0.5, 1000.0, "mm")?,
            length: within("--shaft length", length.parse::<Length>()?.mm(), 0.1, 2000.0, "mm")?,
        })
    }
}

impl Serialize for ShaftStep {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.collect_str(&format_args!("{}x{}", self.diameter, self.length))
    }
}

impl<'de> Deserialize<'de> for ShaftStep {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for ShaftStep {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "ShaftStep".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "description": "A length of shaft as DIAMETERxLENGTH, such as \"20x35\".",
            "type": "string",
            "pattern": r"^[^xX×]+[xX×][^xX×]+$"
        })
    }
}

/// A bearing-press sleeve. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Sleeve {
    /// The bearing as stamped (6204-2Z, NU204, 32004 X), or measured as BORExOUTSIDExWIDTH (20x47x14)
    #[arg(value_name = "BEARING", num_args = 0..)]
    #[serde(skip)]
    pub designation: Vec<String>,
    /// The bearing, as an option: as stamped (6204-2Z), or measured as BORExOUTSIDExWIDTH (20x47x14)
    #[arg(long, value_name = "BEARING")]
    pub bearing: Option<String>,
    /// The ring that is tight and takes the force
    #[arg(long, value_enum, default_value_t)]
    pub ring: Ring,
    /// What pushes on the sleeve
    #[arg(long, value_enum, default_value_t)]
    pub drive: Drive,
    /// Whether a flat drive end is closed
    #[arg(long, value_enum, default_value_t)]
    pub end: Closure,
    /// How deep the seated bearing's face lies: past the shaft's end, or for --ring outer and both behind the housing's face [default: the shaft steps, or two bearing widths]
    #[arg(long, value_name = "MM")]
    pub reach: Option<Length>,
    /// Shaft in the way, from its end inwards to the seated bearing, as DIAMETERxLENGTH (20x35,17x40) [default: as thick as the bore]
    #[arg(long, value_name = "DxL,...", value_delimiter = ',')]
    pub shaft: Vec<ShaftStep>,
    /// For --ring outer and both: how far the shaft stands out past the seated bearing [default: the shaft steps, or --reach]
    #[arg(long, value_name = "MM")]
    pub shaft_reach: Option<Length>,

    /// What holds the rod's far end [default: shaft-end for an inner ring on a solid shaft, spindle on a hollow one, else housing]
    #[arg(long, value_enum, help_heading = "The set-up")]
    pub rod_holds: Option<RodHolds>,
    /// Length of the spindle, or depth of the housing, that the rod passes: from its end or face on the sleeve's side to the one the far plate stands on
    #[arg(long, value_name = "MM", help_heading = "The set-up")]
    pub through: Option<Length>,
    /// Width of the opening the far plate spans [default: the spindle's bore, or the bearing's outside]
    #[arg(long, value_name = "MM", help_heading = "The set-up")]
    pub far_opening: Option<Length>,
    /// Depth of the thread in the shaft's end
    #[arg(long, value_name = "MM", help_heading = "The set-up")]
    pub thread_depth: Option<Length>,
    /// Length of seat the ring is pushed along [default: the ring's width]
    #[arg(long, value_name = "MM", help_heading = "The set-up")]
    pub seat_length: Option<Length>,
    /// Free room before the shaft's end (or the housing's face), for sleeve, nut and spanner
    #[arg(long, value_name = "MM", help_heading = "The set-up")]
    pub room: Option<Length>,
    /// Diameter of the ram or plate that pushes on a closed flat end [default: half the bore]
    #[arg(long, value_name = "MM", help_heading = "The set-up")]
    pub ram: Option<Length>,
    /// Temperature of the shop, °C [default: 20]
    #[arg(long, value_name = "CELSIUS", help_heading = "The set-up")]
    pub shop: Option<f64>,
    /// Temperature of what is warmed, °C: the bearing for an inner ring, the housing for an outer one
    #[arg(long, value_name = "CELSIUS", help_heading = "The set-up")]
    pub warm: Option<f64>,
    /// Temperature of what is chilled, °C: the shaft, or the bearing for an outer ring (a freezer has -18)
    #[arg(long, value_name = "CELSIUS", help_heading = "The set-up")]
    pub chill: Option<f64>,

    /// Inner ring's shoulder diameter by caliper: the sleeve stays inside it
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub inner_land: Option<Length>,
    /// Outer ring's shoulder (or recess) diameter by caliper: the sleeve stays outside it
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub outer_land: Option<Length>,
    /// Shaft tolerance class, ISO 286 [default: k5]
    #[arg(
        long,
        value_name = "CLASS",
        conflicts_with = "shaft_measured",
        help_heading = "Readings that take the table's place"
    )]
    pub shaft_class: Option<String>,
    /// Shaft seat diameter, measured
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub shaft_measured: Option<Length>,
    /// Housing tolerance class, ISO 286 [default: N7]
    #[arg(
        long,
        value_name = "CLASS",
        conflicts_with = "housing_measured",
        help_heading = "Readings that take the table's place"
    )]
    pub housing_class: Option<String>,
    /// Housing bore, measured
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub housing_measured: Option<Length>,
    /// What shaft and housing were measured with: a caliper leaves 0.02 mm open either way [default: micrometer]
    #[arg(long, value_enum, value_name = "GAUGE", help_heading = "Readings that take the table's place")]
    pub measured_by: Option<Gauge>,
    /// Bore of a hollow shaft [default: solid]
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub shaft_bore: Option<Length>,
    /// Outside diameter of the housing round the bearing [default: thick]
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub housing_outside: Option<Length>,
    /// Shaft material [default: steel]
    #[arg(long, value_name = "NAME", help_heading = "Readings that take the table's place")]
    pub shaft_material: Option<String>,
    /// Housing material [default: cast-iron]
    #[arg(long, value_name = "NAME", help_heading = "Readings that take the table's place")]
    pub housing_material: Option<String>,
    /// Stress at which a solid block of the same spool, printed upright, was crushed, MPa: force over area
    #[arg(long, value_name = "MPA", help_heading = "Readings that take the table's place")]
    pub crush_reading: Option<f64>,

    /// Threaded rod, or the screw a puller's point presses, M6 to M20 [default: the smallest that carries the force]
    #[arg(long, value_name = "M..", help_heading = "Answers of your own")]
    pub rod: Option<String>,
    /// Property class of the rod and nut, ISO 898-1
    #[arg(long, value_name = "CLASS", help_heading = "Answers of your own")]
    pub rod_class: Option<String>,
    /// Diametral play of the sleeve's bore over the shaft [default: by size, 0.2 to 0.5]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub play: Option<Length>,
    /// Outer diameter of the nose on an inner ring
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub nose_diameter: Option<Length>,
    /// Length of the nose before the body grows
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub nose_length: Option<Length>,
    /// Outer diameter of the body
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub body_diameter: Option<Length>,
    /// Bore of the body behind the nose, for an outer ring
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub body_bore: Option<Length>,
    /// Thickness of the closed end
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub end_thickness: Option<Length>,
    /// Put a turned steel ring between sleeve and bearing; its sizes are given
    #[arg(long, help_heading = "Answers of your own")]
    pub steel_nose: bool,
    /// Infill, percent [default: 100]
    #[arg(long, value_name = "PERCENT", help_heading = "Answers of your own")]
    pub infill: Option<f64>,
}

impl Sleeve {
    /// The bearing as the person wrote it.
    pub fn bearing_text(&self) -> Result<String> {
        let said = self.designation.join(" ");
        match (&self.bearing, said.trim()) {
            (None, "") => Err(Error::request(
                "No bearing was named.",
                "Give what is stamped on it (6204-2Z), or its measures as --bearing 20x47x14.",
            )),
            (None, said) => Ok(said.to_string()),
            (Some(bearing), "") => Ok(bearing.clone()),
            (Some(bearing), said) => Err(Error::request(
                format!("Two bearings were named: '{said}' and --bearing '{bearing}'."),
                "Give the bearing once.",
            )),
        }
    }
}
