//! What the person says of the holes that are there and of those that come.

use crate::catalog::fasteners;
use crate::error::{Error, Result, within};
use crate::solid::{Point2, Vector2};
use crate::units::Length;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::f64::consts::{FRAC_PI_2, TAU};
use std::str::FromStr;

/// Most holes of one pattern.
const MOST_HOLES: usize = 12;

/// A pattern of screw holes about its own middle: `M4x2@25`, `M4x4@25x40`, `M4x3@d40`, `M5`.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Thread size.
    pub size: String,
    /// Where the holes are, from the pattern's middle.
    pub holes: Vec<Point2>,
    /// As it was written.
    written: String,
}

impl Serialize for Pattern {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.written)
    }
}

impl FromStr for Pattern {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let wrong = |what: &str| {
            Error::request(
                format!("The pattern '{text}' {what}."),
                "Write screw, number and pitch: M4x2@25 (two, 25 mm apart), M4x4@25x40 (a rectangle), M4x3@d40 (on a circle), M5 (one); an inch screw 1/4-20x2@25.",
            )
        };
        let (screws, pitch) = match text.split_once('@') {
            Some((screws, pitch)) => (screws.trim(), Some(pitch.trim())),
            None => (text.trim(), None),
        };
        let (size, count) = match screws.rsplit_once(['x', 'X', '×']) {
            Some((size, count)) => {
                let count = count.trim().parse::<usize>().ok().filter(|n| (1..=MOST_HOLES).contains(n));
                (size.trim(), count.ok_or_else(|| wrong("has no number of screws from 1 to 12"))?)
            }
            None => (screws, 1),
        };
        if !size.starts_with(['M', 'm']) && !fasteners::is_inch(size) {
            return Err(wrong("begins with no screw"));
        }
        let fasteners::Thread { size, diameter: thread, .. } = fasteners::thread(size)?;
        within("the screw of the pattern", thread, 2.0, 12.0, "mm")?;
        let length = |text: &str| within("the pitch", text.parse::<Length>()?.mm(), 0.0, 400.0, "mm");
        let holes = match (count, pitch) {
            (1, None) => vec![Point2::origin()],
            (1, Some(_)) => return Err(wrong("has one screw, which has no pitch")),
            (_, None) => return Err(wrong("does not say how far apart its screws are")),
            (n, Some(pitch)) => match (pitch.strip_prefix('d'), pitch.split_once(['x', 'X', '×'])) {
                (Some(circle), _) => circle_of(n, length(circle)?),
                (None, Some((along, across))) => {
                    let (along, across) = (length(along)?, length(across)?);
                    match n {
                        2 => vec![
                            Point2::new(-along / 2.0, -across / 2.0),
                            Point2::new(along / 2.0, across / 2.0),
                        ],
                        4 => rectangle_of(along, across),
                        _ => return Err(wrong("has two pitches, which 2 or 4 screws have")),
                    }
                }
                (None, None) if n == 4 => rectangle_of(length(pitch)?, length(pitch)?),
                (None, None) => row_of(n, length(pitch)?),
            },
        };
        for (i, one) in holes.iter().enumerate() {
            if holes[..i].iter().any(|other| (one - other).norm() < 1.5 * thread) {
                return Err(wrong("has screws nearer to each other than one and a half of their thread"));
            }
        }
        Ok(Self { size, holes, written: text.to_string() })
    }
}

fn row_of(count: usize, pitch: f64) -> Vec<Point2> {
    let middle = (count as f64 - 1.0) / 2.0;
    (0..count).map(|k| Point2::new((k as f64 - middle) * pitch, 0.0)).collect()
}

fn rectangle_of(along: f64, across: f64) -> Vec<Point2> {
    let (x, y) = (along / 2.0, across / 2.0);
    vec![Point2::new(-x, -y), Point2::new(x, -y), Point2::new(x, y), Point2::new(-x, y)]
}

/// On a circle of that diameter, the first one on top; two lie side by side.
fn circle_of(count: usize, diameter: f64) -> Vec<Point2> {
    let first = if count == 2 { 0.0 } else { FRAC_PI_2 };
    let angles = (0..count).map(|k| first + k as f64 / count as f64 * TAU);
    angles.map(|angle| Point2::new(angle.cos(), angle.sin()) * (diameter / 2.0)).collect()
}

impl<'de> Deserialize<'de> for Pattern {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for Pattern {
    fn schema_name() -> Cow<'static, str> {
        "ScrewPattern".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "Screw, number and pitch: \"M4x2@25\", \"M4x4@25x40\", \"M4x3@d40\", \"M5\".",
            "type": "string"
        })
    }
}

/// How far the new pattern's middle lies from the old one's: `0,8`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Offset(pub Vector2);

impl Serialize for Offset {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.serialize_str(&format!("{},{}", self.0.x, self.0.y))
    }
}

impl FromStr for Offset {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let Some((x, y)) = text.split_once(',') else {
            return Err(Error::request(
                format!("--offset '{text}' is not two lengths."),
                "Write how far across and how far up, such as --offset 0,8.",
            ));
        };
        let length = |text: &str| within("--offset", text.parse::<Length>()?.mm(), -400.0, 400.0, "mm");
        Ok(Self(Vector2::new(length(x)?, length(y)?)))
    }
}

impl<'de> Deserialize<'de> for Offset {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for Offset {
    fn schema_name() -> Cow<'static, str> {
        "Offset".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "description": "Across and up, in millimetres: \"0,8\".", "type": "string" })
    }
}

/// How the heads of the old screws sit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Heads {
    /// ISO 4762 socket heads in a counterbore.
    #[default]
    Counterbored,
    /// ISO 10642 heads, flush.
    Countersunk,
}

/// What the new screws go into.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Fixing {
    /// Hexagon nuts in pockets underneath.
    #[default]
    Nut,
    /// Brass inserts melted in from above.
    Insert,
    /// Clearance holes; what is behind takes the thread.
    Through,
}

/// A plate between two hole patterns, what is there and what comes. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Adapter {
    /// The holes that are there: M4x2@25, M4x4@25x40, M4x3@d40, M5
    #[arg(long, value_name = "PATTERN")]
    pub old: Option<Pattern>,
    /// The holes of what comes, written the same way
    #[arg(long, value_name = "PATTERN")]
    pub new: Option<Pattern>,
    /// From the old pattern's middle to the new one's, across and up [default: 0,0]
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    pub offset: Option<Offset>,
    /// How far the new pattern is turned, degrees counter-clockwise [default: 0]
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub rotate: Option<f64>,
    /// How far the new part must stand over the old face [default: what the screws need]
    #[arg(long, value_name = "MM")]
    pub height: Option<Length>,
    /// How the heads of the old screws sit
    #[arg(long, value_enum, default_value_t)]
    pub heads: Heads,
    /// What the new screws go into
    #[arg(long, value_enum, default_value_t)]
    pub fixing: Fixing,
    /// Slots for the new screws, along y, with that much travel [default: none]
    #[arg(long, value_name = "MM")]
    pub slot: Option<Length>,
    /// Force on the new part, N [default: 50]
    #[arg(long, value_name = "N", help_heading = "Answers of your own")]
    pub load: Option<f64>,
    /// How far over the new face that force acts [default: 30]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub reach: Option<Length>,
    /// Temperature of the adapter, °C [default: 40]
    #[arg(long, value_name = "C", help_heading = "Answers of your own")]
    pub temperature: Option<f64>,
    /// Wall from a hole or pocket to the edge [default: four lines, 3 mm at least]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub wall: Option<Length>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_are_read_in_every_shape() {
        let pattern = |text: &str| text.parse::<Pattern>().unwrap();
        assert_eq!(pattern("M4x2@25").holes, [Point2::new(-12.5, 0.0), Point2::new(12.5, 0.0)]);
        assert_eq!(pattern("m3x2@0x20").holes[1], Point2::new(0.0, 10.0));
        assert_eq!(pattern("M4x4@25x40").holes.len(), 4);
        assert!((pattern("M4x3@d40").holes[0] - Point2::new(0.0, 20.0)).norm() < 1e-9);
        assert_eq!(pattern("M2.5x3@10").holes[2].x, 10.0);
        assert_eq!(pattern("M5").holes.len(), 1);
        for wrong in
            ["", "4x2@25", "M4x2", "M4@25", "M4x2@1", "M4x20@5", "M4x3@10x10", "M4x2@nan", "M99x2@25"]
        {
            assert!(wrong.parse::<Pattern>().is_err(), "{wrong}");
        }
        assert_eq!("0,-8mm".parse::<Offset>().unwrap().0, Vector2::new(0.0, -8.0));
        assert!("8".parse::<Offset>().is_err());
    }
}
