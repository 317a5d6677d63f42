//! What the person says of a panel: what is set into it, and where.

use crate::catalog::panel_parts::{self, PanelPart, Shape};
use crate::error::{Error, Result, within};
use crate::parts::plate::spec::Hole;
use crate::solid::Point2;
use crate::units::Length;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::str::FromStr;

/// Most things set into one panel.
pub const MOST_PLACES: usize = 60;

/// Something and its place: `button-22@0,0`, `estop@60,0:label=stop`, `round-19@0,30:flat=17.5`,
/// `d-sub-9@0,0:angle=90`.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// What is set in.
    pub part: PanelPart,
    /// Where its middle lies, seen from the front.
    pub at: Point2,
    /// How far it is turned, degrees counter-clockwise.
    pub angle: f64,
    /// What the person calls it.
    pub label: Option<String>,
    /// As it was asked.
    text: String,
}

impl Place {
    /// What it is called in reports.
    pub fn name(&self) -> &str {
        self.label.as_deref().unwrap_or(&self.part.name)
    }

    /// Width and height of something of that size, turned as this is.
    pub fn turned(&self, width: f64, height: f64) -> (f64, f64) {
        let (sin, cos) = self.angle.to_radians().sin_cos();
        (width * cos.abs() + height * sin.abs(), width * sin.abs() + height * cos.abs())
    }
}

impl FromStr for Place {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let wrong = |what: &str| {
            Error::request(
                format!("--place '{text}' {what}."),
                "Write what and where, such as --place button-22@0,0 or --place round-19@0,30:flat=17.5.",
            )
        };
        let (name, rest) = text.split_once('@').ok_or_else(|| wrong("does not say where"))?;
        let mut words = rest.split(':');
        let (x, y) = words
            .next()
            .and_then(|at| at.split_once(','))
            .ok_or_else(|| wrong("has no place X,Y after its @"))?;
        let place = |text: &str| within("--place", text.parse::<Length>()?.mm(), -500.0, 500.0, "mm");
        let mut made = Self {
            part: panel_parts::find(name)?,
            at: Point2::new(place(x)?, place(y)?),
            angle: 0.0,
            label: None,
            text: text.to_string(),
        };
        for word in words {
            let across = |value: &str| {
                let (least, most) = (0.55 * made.part.width, made.part.width);
                within("the distance of the flats", value.parse::<Length>()?.mm(), least, most, "mm")
            };
            match word.split_once('=') {
                Some(("angle", value)) => {
                    let degrees =
                        value.trim().parse::<f64>().map_err(|_| wrong("has an angle that is no number"))?;
                    made.angle = within("the angle", degrees, -360.0, 360.0, "degrees")?;
                }
                Some(("label", value)) if !value.trim().is_empty() => {
                    made.label = Some(value.trim().to_string())
                }
                Some((key @ ("flat" | "flats"), value)) if made.part.shape == Shape::Round => {
                    made.part.height = across(value)?;
                    made.part.shape = if key == "flat" { Shape::Flat } else { Shape::Flats };
                }
                _ => {
                    return Err(wrong(&format!(
                        "ends in '{word}', which is no angle=, label=, flat= or flats="
                    )));
                }
            }
        }
        Ok(made)
    }
}

impl Serialize for Place {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl<'de> Deserialize<'de> for Place {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for Place {
    fn schema_name() -> Cow<'static, str> {
        "PlaceOnPanel".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "What and where: \"button-22@0,0\", \"estop@60,0:label=stop\", \"round-19@0,30:flat=17.5\", \"d-sub-9@0,0:angle=90\".",
            "type": "string"
        })
    }
}

/// A panel with buttons, connectors, glands and meters where you say. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Panel {
    /// What and where, seen from the front: button-22@0,0, estop@60,0, c14@0,-50, gland-M20@40,-50, rect-92x45@0,60, round-19@0,30:flat=17.5 (repeatable)
    #[arg(long, value_name = "WHAT@X,Y", allow_hyphen_values = true)]
    pub place: Vec<Place>,
    /// The hole it closes: 60, 80x40, 80x40:r=5; its middle is 0,0 [default: it stands free]
    #[arg(long, value_name = "SIZE")]
    pub hole: Option<Hole>,
    /// Thickness [default: 3, or what everything in it clamps]
    #[arg(long, value_name = "MM")]
    pub thickness: Option<Length>,
    /// Mounting screws at the corners, M3 to M8, or inch ones such as #8-32; none for a panel that is glued or clamped [default: M4]
    #[arg(long, value_name = "M..")]
    pub screw: Option<String>,
    /// From what is set in, or from the hole, to the panel's edge [default: what the screws need]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub margin: Option<Length>,
    /// Free depth behind the panel
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub behind: Option<Length>,
    /// Temperature inside, °C [default: 50]
    #[arg(long, value_name = "C", help_heading = "Answers of your own")]
    pub cabinet_temperature: Option<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_read_with_all_their_words() {
        let place = |text: &str| text.parse::<Place>().unwrap();
        assert_eq!(place("button-22@0,0").at, Point2::origin());
        let stop = place("estop@60,-5mm:label=stop:angle=90");
        assert_eq!((stop.name(), stop.at.y, stop.angle), ("stop", -5.0, 90.0));
        assert_eq!(place("round-19@0,30:flat=17.5").part.shape, Shape::Flat);
        for wrong in [
            "",
            "estop",
            "estop@",
            "estop@0",
            "estop@0,0:flat=3",
            "round-19@0,0:flat=30",
            "x@0,0",
            "estop@nan,0",
        ] {
            assert!(wrong.parse::<Place>().is_err(), "{wrong}");
        }
    }
}
