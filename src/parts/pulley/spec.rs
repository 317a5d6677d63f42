//! What the person says of the belt, the shaft and how the pulley is held on it.

use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Flanges that keep the belt on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sides {
    /// None.
    None,
    /// The one that lies on the bed.
    One,
    /// Both; the upper one slopes out at 45° so that it prints without support.
    #[default]
    Both,
}

/// A belt pulley. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Pulley {
    /// Belt profile: MXL, XL, L, T2.5, T5, T10, AT5, 3M, 5M, 8M, 2GT, 3GT, 5GT
    #[arg(long, value_name = "NAME")]
    pub profile: String,
    /// Teeth
    #[arg(long, value_name = "N")]
    pub teeth: u32,
    /// Diameter of the shaft, measured
    #[arg(long, value_name = "MM")]
    pub bore: Option<Length>,

    /// Belt width [default: the profile's usual one]
    #[arg(long, value_name = "MM", help_heading = "Belt")]
    pub width: Option<Length>,
    /// Tension of each span at rest, N [default: the profile's for an instrument drive]
    #[arg(long, value_name = "N", help_heading = "Belt")]
    pub tension: Option<f64>,
    /// Wider tooth spaces than published, for what this printer's plastic spreads [default: the printer's hole allowance]
    #[arg(long, value_name = "MM", help_heading = "Belt")]
    pub tooth_clearance: Option<Length>,
    /// Flanges [default: both]
    #[arg(long, value_enum, help_heading = "Belt")]
    pub flanges: Option<Sides>,

    /// Width of the shaft's key; with --key-depth
    #[arg(long, value_name = "MM", help_heading = "Shaft")]
    pub key_width: Option<Length>,
    /// Depth of the keyway in the pulley, from the bore out
    #[arg(long, value_name = "MM", help_heading = "Shaft")]
    pub key_depth: Option<Length>,
    /// From the shaft's flat to its far side, where it has one
    #[arg(long, value_name = "MM", help_heading = "Shaft")]
    pub flat: Option<Length>,
    /// Set screws in the hub, each with a nut in a pocket: 0 to 3 [default: 2]
    #[arg(long, value_name = "N", help_heading = "Shaft")]
    pub set_screws: Option<u32>,
    /// A hub that clamps the shaft, with a cap on two screws, instead of set screws: it marks no shaft
    #[arg(long, help_heading = "Shaft")]
    pub clamp: bool,
    /// Diameter of the hub [default: what its nuts need, and a clamp to grip]
    #[arg(long, value_name = "MM", help_heading = "Shaft")]
    pub hub: Option<Length>,
    /// Run-out of the finished pulley on its shaft, measured with an indicator [default: 0.2, an estimate]
    #[arg(long, value_name = "MM", help_heading = "Shaft")]
    pub run_out: Option<Length>,

    /// Print a segment of five teeth to try with the belt first [default: where no tooth space is published]
    #[arg(long)]
    pub trial: bool,
}
