//! What the person says of the belt, the encoder and the place the bracket has.

use crate::belt_drive::{Flanges, Ratio};
use crate::catalog::encoders::{self, Encoder, Layout, Measured};
use crate::error::{Error, Result, number, within};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How the bracket sits on the machine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Style {
    /// An L: an upright square to the shaft on a base bolted to a face parallel to it.
    #[default]
    Foot,
    /// A flat plate on a face square to the shaft, with two straight slots.
    Face,
    /// A flat plate that pivots on one screw, with an arc slot for the other.
    Swing,
}

impl Style {
    /// The word users type.
    pub fn word(self) -> &'static str {
        match self {
            Style::Foot => "foot",
            Style::Face => "face",
            Style::Swing => "swing",
        }
    }
}

/// On which side of the encoder the spindle stands, seen from the belt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// To the left.
    #[default]
    Left,
    /// To the right.
    Right,
}

/// From which side of the belt the spindle comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SpindleFrom {
    /// From behind the belt, where the bracket stands, and ends in its pulley.
    Behind,
    /// From in front of the belt, and ends in its pulley.
    Front,
    /// It runs through its pulley, on both sides.
    Through,
}

/// Which way the hub of the encoder's pulley points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum HubSide {
    /// Away from the encoder.
    Away,
    /// Towards the encoder.
    Encoder,
    /// There is no hub: the set screws sit in the toothed part.
    None,
}

/// An encoder bracket. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Bracket {
    /// How the bracket sits on the machine
    #[arg(long, value_enum, default_value_t)]
    pub style: Style,

    /// Belt profile: MXL, XL, L, T2.5, T5, T10, AT5, 3M, 5M, 8M, 2GT, 3GT, 5GT [default: 2GT]
    #[arg(long, value_name = "NAME", help_heading = "Belt")]
    pub profile: Option<String>,
    /// Teeth of the spindle's pulley and of the encoder's, spindle first; pulleys you have are told in tables/pulleys.csv
    #[arg(long, value_name = "S,E", value_delimiter = ',', help_heading = "Belt")]
    #[schemars(length(min = 2, max = 2))]
    pub pulleys: Vec<u32>,
    /// Turns of the encoder to turns of the spindle, such as 1:1 or 2:1, in the place of --pulleys: kept pulleys of that ratio are taken; one index per spindle turn, for threading, comes only at 1:1
    #[arg(long, value_name = "E:S", help_heading = "Belt")]
    pub ratio: Option<Ratio>,
    /// Diameters the pulleys must be bored for: the spindle's, and the encoder's shaft where it is not its pattern's; without --pulleys the least sound pulleys are taken
    #[arg(long, value_name = "S,E", value_delimiter = ',', help_heading = "Belt")]
    #[schemars(length(min = 2, max = 2))]
    pub shafts: Vec<Length>,
    /// Teeth of the belt
    #[arg(long, value_name = "N", help_heading = "Belt")]
    pub belt_teeth: Option<u32>,
    /// Centre distance wanted: the nearest common stocked belt is taken
    #[arg(long, value_name = "MM", help_heading = "Belt")]
    pub near: Option<Length>,
    /// Least and greatest centre distance there is room for
    #[arg(long, value_name = "MIN,MAX", value_delimiter = ',', help_heading = "Belt")]
    #[schemars(length(min = 2, max = 2))]
    pub range: Vec<Length>,
    /// Belt width [default: the usual one, or a narrower one that spares the encoder's bearings]
    #[arg(long, value_name = "MM", help_heading = "Belt")]
    pub width: Option<Length>,
    /// Tension of each span at rest, N [default: the profile's for an instrument drive, or less to spare the encoder's bearings]
    #[arg(long, value_name = "N", help_heading = "Belt")]
    pub tension: Option<f64>,
    /// Pulleys whose flanges the belt must be lifted over; none where it goes on together with a pulley [default: one]
    #[arg(long, value_enum, help_heading = "Belt")]
    pub flanges: Option<Flanges>,
    /// Width of the encoder's pulley over its flanges, measured [default: the widest in makers' lists]
    #[arg(long, value_name = "MM", help_heading = "Belt")]
    pub pulley_width: Option<Length>,
    /// Length of the hub of the encoder's pulley, measured; 0 where it has none [default: the longest in makers' lists]
    #[arg(long, value_name = "MM", help_heading = "Belt")]
    pub hub_length: Option<Length>,
    /// Which way that hub points [default: away from the encoder, unless the shaft is too short for its set screws]
    #[arg(long, value_enum, help_heading = "Belt")]
    pub hub: Option<HubSide>,
    /// Middle of the belt from the face the encoder is screwed to [default: as near as its pulley allows]
    #[arg(long, value_name = "MM", help_heading = "Belt")]
    pub belt_plane: Option<Length>,

    /// Encoder flange: 58-clamp, 58-synchro, 36, 38, 40, nema17, nema23, one of your own tables/encoders.csv, or custom [default: 38]
    #[arg(long, value_name = "PATTERN", help_heading = "Encoder")]
    pub encoder: Option<String>,
    /// Register diameter, measured
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub register: Option<Length>,
    /// Height of the register, measured
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub register_height: Option<Length>,
    /// How the flange's screws lie
    #[arg(long, value_enum, help_heading = "Encoder")]
    pub bolt_layout: Option<Layout>,
    /// Bolt circle diameter, or side of the square
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub bolt_spacing: Option<Length>,
    /// Screws on the circle
    #[arg(long, value_name = "N", help_heading = "Encoder")]
    pub bolt_count: Option<u32>,
    /// Thread in the flange, such as M3 or #6-32
    #[arg(long, value_name = "M..", help_heading = "Encoder")]
    pub bolt_screw: Option<String>,
    /// Angle of the first flange screw, degrees [default: a circle's first screw points away from the spindle]
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, help_heading = "Encoder")]
    pub bolt_start: Option<f64>,
    /// Diameter or side of the encoder's body
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub body: Option<Length>,
    /// Length of the encoder's body
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub body_length: Option<Length>,
    /// Diameter of the encoder's shaft
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub encoder_shaft: Option<Length>,
    /// Length of the encoder's shaft beyond its flange face
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub encoder_shaft_length: Option<Length>,
    /// Radial load the encoder's bearings are rated for, N
    #[arg(long, value_name = "N", help_heading = "Encoder")]
    pub radial_load: Option<f64>,
    /// Mass of the encoder, g
    #[arg(long, value_name = "G", help_heading = "Encoder")]
    pub encoder_mass: Option<f64>,
    /// Greatest speed the encoder is made for, 1/min
    #[arg(long, value_name = "RPM", help_heading = "Encoder")]
    pub encoder_rpm: Option<f64>,
    /// Depth of the threads in the encoder's flange, measured; 0 where its holes are plain
    #[arg(long, value_name = "MM", help_heading = "Encoder")]
    pub thread_depth: Option<Length>,
    /// Pulses per turn of the encoder [default: 600, an assumption]
    #[arg(long, value_name = "N", help_heading = "Encoder")]
    pub pulses: Option<f64>,
    /// Top speed of the spindle, 1/min [default: 3000, an assumption]
    #[arg(long, value_name = "RPM", help_heading = "Encoder")]
    pub rpm: Option<f64>,
    /// Highest pulse frequency the encoder gives, Hz
    #[arg(long, value_name = "HZ", help_heading = "Encoder")]
    pub encoder_limit_hz: Option<f64>,
    /// Highest pulse frequency the controller reads, Hz
    #[arg(long, value_name = "HZ", help_heading = "Encoder")]
    pub controller_limit_hz: Option<f64>,

    /// Height of the encoder's axis over the face the foot stands on, or over the line of the slots (face) or the pivot (swing) [default: as low as the encoder allows]
    #[arg(long, value_name = "MM", help_heading = "Place")]
    pub axis_height: Option<Length>,
    /// Height of the spindle's axis, measured from the same place [default: the encoder's]
    #[arg(long, value_name = "MM", allow_hyphen_values = true, help_heading = "Place")]
    pub spindle_height: Option<Length>,
    /// The spindle stands to the encoder's left or right, seen from the belt
    #[arg(long, value_enum, default_value_t, help_heading = "Place")]
    pub spindle: Hand,
    /// The side of the belt from which the spindle comes [default: behind, the bracket's side]
    #[arg(long, value_enum, help_heading = "Place")]
    pub spindle_from: Option<SpindleFrom>,
    /// Screws that hold the bracket, M3 to M12, or inch ones such as 1/4-20 or #10-24 [default: M5, a plate's M6]
    #[arg(long, value_name = "M..", help_heading = "Place")]
    pub screw: Option<String>,
    /// Plain washers (ISO 7089) under those screws, where wide ones (ISO 7093-1) cannot be had: they hold less
    #[arg(long, help_heading = "Place")]
    pub plain_washers: bool,
    /// A jack screw, M3 to M6, or #6-32 to #10-32, with its nut in the bracket's end: it pushes the bracket out to tension the belt and keeps it from being drawn back
    #[arg(long, value_name = "M..", help_heading = "Place")]
    pub jack: Option<String>,
    /// A thin template to mark and drill the machine by, instead of the bracket
    #[arg(long, help_heading = "Place")]
    pub template: bool,
    /// Level distances from the spindle's axis, towards the encoder, of two holes the machine has already: belt and slots are settled by them
    #[arg(
        long,
        value_name = "A,B",
        value_delimiter = ',',
        allow_hyphen_values = true,
        help_heading = "Place"
    )]
    #[schemars(length(min = 2, max = 2))]
    pub hole_at: Vec<Length>,
    /// Distance between the two screws (a swing's from pivot to slot), where the machine has its holes already [default: what the encoder between them needs]
    #[arg(long, value_name = "MM", help_heading = "Place")]
    pub screw_spacing: Option<Length>,
    /// Greatest depth of a foot's base along the shaft that there is room for [default: what its gussets need]
    #[arg(long, value_name = "MM", help_heading = "Place")]
    pub depth: Option<Length>,
    /// Travel of the slots towards the spindle from the working place [default: what laying the belt on needs]
    #[arg(long, value_name = "MM", help_heading = "Place")]
    pub travel_in: Option<Length>,
    /// Travel of the slots away from the spindle [default: what tensioning needs]
    #[arg(long, value_name = "MM", help_heading = "Place")]
    pub travel_out: Option<Length>,

    /// Thickness of the upright or plate [default: from the stiffness it must give]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub upright_thickness: Option<Length>,
    /// Thickness of the base [default: 2 more than the upright]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub base_thickness: Option<Length>,
    /// Gussets of a foot: 0, 1 under the encoder, 2 at the ends, or 3 for both [default: 2]
    #[arg(long, value_name = "N", help_heading = "Answers of your own")]
    pub gussets: Option<u32>,
    /// Thickness of a gusset [default: the upright's]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub gusset_thickness: Option<Length>,
    /// Width of a vent [default: what leaves sound webs, at most 8]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub vent_width: Option<Length>,
    /// Leave the vents out
    #[arg(long, help_heading = "Answers of your own")]
    pub no_vents: bool,
    /// Temperature of the bracket at work, °C [default: 25]
    #[arg(long, value_name = "CELSIUS", help_heading = "Answers of your own")]
    pub temperature: Option<f64>,
    /// Infill, percent [default: 40]
    #[arg(long, value_name = "PERCENT", help_heading = "Answers of your own")]
    pub infill: Option<f64>,
}

impl Bracket {
    /// The encoder: its row, with the caliper's word in place of the table's.
    pub fn encoder(&self) -> Result<Encoder> {
        let mm = |length: &Option<Length>| length.map(Length::mm);
        let shaft = self.shaft()?;
        encoders::encoder(self.encoder.as_deref().unwrap_or("38"))?.with(&Measured {
            register: mm(&self.register),
            register_height: mm(&self.register_height),
            layout: self.bolt_layout,
            spacing: mm(&self.bolt_spacing),
            count: self.bolt_count,
            screw: self.bolt_screw.clone(),
            start_angle: self.bolt_start,
            body: mm(&self.body),
            body_length: mm(&self.body_length),
            shaft,
            shaft_length: mm(&self.encoder_shaft_length),
            radial_load: self.radial_load,
            mass: self.encoder_mass,
            greatest_rpm: self.encoder_rpm,
            thread_depth: mm(&self.thread_depth),
        })
    }

    /// The encoder's shaft, where it is given: by itself, or as the second of the shafts the pulleys are bored for.
    fn shaft(&self) -> Result<Option<f64>> {
        let (bored, shaft) = match &self.shafts[..] {
            [] | [_] => return Ok(self.encoder_shaft.map(Length::mm)),
            [_, bored] => (bored.mm(), self.encoder_shaft.map(Length::mm)),
            some => {
                return Err(Error::request(
                    format!("--shafts has {} values; a drive has two shafts.", some.len()),
                    "Give the spindle's diameter and the encoder's: --shafts 25,6.",
                ));
            }
        };
        match shaft.filter(|shaft| (shaft - bored).abs() > 1e-6) {
            Some(shaft) => Err(Error::request(
                format!(
                    "--encoder-shaft is {} mm, but the second of --shafts bores its pulley for {} mm.",
                    number(shaft),
                    number(bored)
                ),
                "Measure the encoder's shaft and give it once.",
            )),
            None => Ok(Some(within("--shafts", bored, 2.0, 40.0, "mm")?)),
        }
    }

    /// The shaft of the encoder's row, where another was given.
    pub fn other_shaft(&self) -> Option<f64> {
        let row = encoders::encoder(self.encoder.as_deref().unwrap_or("38")).ok()?.shaft_diameter;
        let given = self.shaft().ok()??;
        ((row - given).abs() > 1e-6).then_some(row)
    }

    /// The holes the machine has, the nearer first: level from the spindle's axis, mm.
    pub fn holes(&self) -> Result<Option<(f64, f64)>> {
        let hole = |at: &Length| within("--hole-at", at.mm(), -2000.0, 2000.0, "mm");
        match &self.hole_at[..] {
            [] => Ok(None),
            // Refused before: a swing's pivot settles the place.
            _ if self.style == Style::Swing => Ok(None),
            [a, b] => {
                let (a, b) = (hole(a)?, hole(b)?);
                if self.axis_height.is_some() != self.spindle_height.is_some() {
                    return Err(Error::request(
                        "--hole-at settles the belt, and with it needs both heights or neither.",
                        "Give --axis-height and --spindle-height, or leave both out where the axes lie at one height.",
                    ));
                }
                Ok(Some((a.min(b), a.max(b))))
            }
            some => Err(Error::request(
                format!("--hole-at has {} value(s); a bracket is held by two screws.", some.len()),
                "Give both level distances from the spindle's axis: --hole-at 85,145.",
            )),
        }
    }

    /// The jack screw's size, where the slide is straight.
    pub fn jack_size(&self) -> Option<&str> {
        self.jack.as_deref().filter(|_| self.style != Style::Swing)
    }

    /// Gussets of a foot.
    pub fn gusset_count(&self) -> Result<u32> {
        match (self.style, self.gussets) {
            (Style::Foot, None) => Ok(2),
            (Style::Foot, Some(count @ 0..=3)) => Ok(count),
            (Style::Foot, Some(count)) => Err(Error::request(
                format!("--gussets is {count}; a foot has 0 to 3."),
                "Give 3 for the stiffest bracket: two at the ends and one under the encoder.",
            )),
            (_, None | Some(0)) => Ok(0),
            (style, Some(count)) => Err(Error::request(
                format!("--gussets is {count}, but a {} bracket is a flat plate.", style.word()),
                "Leave --gussets out, or give --style foot.",
            )),
        }
    }
}
