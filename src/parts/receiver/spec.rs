//! What the person says of the bearing that is to come off.

use crate::parts::sleeve::{Ring, Sleeve};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the bearing is tight on, and is drawn from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum From {
    /// The spindle is drawn out of the inner ring.
    #[default]
    Shaft,
    /// The bearing is drawn out of its housing by the outer ring.
    Housing,
}

/// How long the seat has sat.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Seat {
    /// For years or decades: dry, fretted, perhaps rusted.
    #[default]
    Old,
    /// Fitted not long ago, and oiled.
    Fresh,
}

/// What draws it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// A rod, on a receiver round the bearing.
    #[default]
    Rod,
    /// From a shaft: a screw puller, its jaws behind a slotted ring on the inner ring alone; spares the balls.
    Puller,
}

/// Where an angular contact bearing's outer ring has its wide face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WideFace {
    /// On the receiver's side, in sight: the pull presses the balls against its shoulder.
    Near,
    /// On the far side: the pull takes the bearing apart.
    Far,
}

/// A receiver to draw an old bearing. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Receiver {
    /// The bearing as stamped (6204-2Z), or measured as BORExOUTSIDExWIDTH (20x47x14)
    #[arg(value_name = "BEARING", num_args = 0..)]
    #[serde(skip)]
    pub designation: Vec<String>,
    /// The bearing, as an option: as stamped (6204-2Z), or measured as BORExOUTSIDExWIDTH (20x47x14)
    #[arg(long, value_name = "BEARING")]
    pub bearing: Option<String>,
    /// What the bearing is tight on
    #[arg(long, value_enum, default_value_t)]
    pub from: From,
    /// What draws it
    #[arg(long, value_enum, default_value_t)]
    pub by: By,
    /// How long the seat has sat
    #[arg(long, value_enum, default_value_t)]
    pub seat: Seat,
    /// From a shaft: how far the spindle stands out past the face the receiver stands on; from a housing: how deep the bearing's face lies behind it [default: two bearing widths, or 0]
    #[arg(long, value_name = "MM")]
    pub reach: Option<Length>,
    /// Length of tight seat [default: the ring's width]
    #[arg(long, value_name = "MM")]
    pub seat_length: Option<Length>,
    /// From a shaft: a shoulder or bolted cover of the housing holds the outer ring on the receiver's side
    #[arg(long)]
    pub shoulder: bool,
    /// The bearing must survive: no force through its balls
    #[arg(long)]
    pub keep: bool,

    /// Shaft tolerance class, ISO 286 [default: k5]
    #[arg(
        long,
        value_name = "CLASS",
        conflicts_with = "shaft_measured",
        help_heading = "Readings that take the table's place"
    )]
    pub shaft_class: Option<String>,
    /// Shaft seat diameter by micrometer
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
    /// Housing bore by inside micrometer
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub housing_measured: Option<Length>,
    /// Bore of a hollow spindle, through which the rod passes [default: solid]
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
    /// Angular contact bearing: whether the outer ring's wide face lies on the receiver's side (near) or behind (far); of a pair, that of the bearing next to the receiver
    #[arg(long, value_enum, value_name = "SIDE", help_heading = "Readings that take the table's place")]
    pub wide_face: Option<WideFace>,
    /// Width of the opening behind the bearing, for the step washer [default: what a maker's shoulder leaves]
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub opening: Option<Length>,
    /// Gap behind the inner ring, in which slotted ring and puller's jaws must find room [default: as much as they need]
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub gap: Option<Length>,
    /// Diameter of the shaft in that gap [default: the bearing's bore and a shoulder]
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub gap_shaft: Option<Length>,
    /// Length the rod passes through to its far end, where it passes a spindle or housing
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub through: Option<Length>,
    /// Diameter of the flat face round the bearing that the receiver can stand on
    #[arg(long, value_name = "MM", help_heading = "Readings that take the table's place")]
    pub face: Option<Length>,
    /// Stress at which a solid block of the same spool, printed upright, was crushed, MPa
    #[arg(long, value_name = "MPA", help_heading = "Readings that take the table's place")]
    pub crush_reading: Option<f64>,

    /// Threaded rod, or the puller's screw, M6 to M20 [default: the smallest that carries the force]
    #[arg(long, value_name = "M..", help_heading = "Answers of your own")]
    pub rod: Option<String>,
    /// Property class of the rod and nut, ISO 898-1
    #[arg(long, value_name = "CLASS", help_heading = "Answers of your own")]
    pub rod_class: Option<String>,
    /// Wall of the receiver [default: as the force asks]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub wall: Option<Length>,
}

impl Receiver {
    /// The same seat as the request of a pressing, which knows how tight it is.
    pub fn pressed(&self) -> Sleeve {
        Sleeve {
            designation: self.designation.clone(),
            bearing: self.bearing.clone(),
            ring: match self.from {
                From::Shaft => Ring::Inner,
                From::Housing => Ring::Outer,
            },
            shaft_class: self.shaft_class.clone(),
            shaft_measured: self.shaft_measured,
            housing_class: self.housing_class.clone(),
            housing_measured: self.housing_measured,
            shaft_bore: self.shaft_bore,
            housing_outside: self.housing_outside,
            shaft_material: self.shaft_material.clone(),
            housing_material: self.housing_material.clone(),
            crush_reading: self.crush_reading,
            ..Sleeve::default()
        }
    }
}
