//! Lengths as people write them: `40`, `40mm`, `4cm`, `1.5in`, `3/8in`; and every quantity as people read it, in one
//! system of units or in two.

mod sentence;

use crate::error::{Error, Result};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::{borrow::Cow, fmt, str::FromStr};

/// The units that sizes are told in. Requests take either whatever is told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Millimetres, newtons, degrees Celsius.
    #[default]
    Metric,
    /// The same, with inches, pounds and degrees Fahrenheit beside.
    Inch,
}

impl Units {
    /// A length in the figures that stand beside its own, such as `0.8071`; nothing where none do.
    pub fn inches(self, mm: f64) -> Option<String> {
        (self == Self::Inch).then(|| Other::of("mm", mm).map(|other| other.figures(mm))).flatten()
    }

    /// The value in the unit that stands beside its own, such as `0.8071 in`; nothing where none does.
    pub fn beside(self, value: f64, unit: &str) -> Option<String> {
        let other = Other::of(unit, value).filter(|_| self == Self::Inch)?;
        Some(format!("{} {}", other.figures(value), other.name))
    }

    /// What is said of a value, and the same in the unit beside: `20.5 mm (0.8071 in)`.
    pub fn said(self, words: String, value: f64, unit: &str) -> String {
        let words = format!("{words} {unit}").trim_end().to_string();
        match self.beside(value, unit) {
            Some(beside) => format!("{words} ({beside})"),
            None => words,
        }
    }

    /// A sentence as it is shown: each quantity in it with the unit beside, `10 to 12 mm (0.3937 to 0.4724 in)`.
    pub fn sentence(self, text: &str) -> Cow<'_, str> {
        if self == Self::Metric {
            return Cow::Borrowed(text);
        }
        sentence::with_beside(text, |values, unit| {
            let largest = values.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
            let other = Other::of(unit, largest)?;
            Some((values.iter().map(|value| other.figures(*value)).collect(), other.name))
        })
    }

    /// An error as it is shown.
    pub fn error(self, error: &Error) -> Error {
        Error {
            kind: error.kind,
            says: self.sentence(&error.says).into_owned(),
            remedy: self.sentence(&error.remedy).into_owned(),
            more: error.more.iter().map(|error| self.error(error)).collect(),
        }
    }
}

/// The unit that stands beside another.
struct Other {
    name: &'static str,
    /// How many of it one of the other is, and what is added to that.
    scale: f64,
    offset: f64,
    digits: usize,
}

impl Other {
    /// The unit beside `unit` for values up to `largest`.
    fn of(unit: &str, largest: f64) -> Option<Self> {
        /// Newtons in a pound-force, grams in an ounce (exact: NIST SP 811, appendix B).
        const POUND: f64 = 4.448_221_615_260_5;
        const OUNCE: f64 = 28.349_523_125;
        /// Newton metres under which a torque is told in pound-force inches: the scale of a small driver ends there.
        const FIVE_FOOT_POUNDS: f64 = 5.0 * POUND * 12.0 * INCH / 1000.0;
        let largest = largest.abs();
        let (name, scale, digits) = match unit {
            "mm" => ("in", 1.0 / INCH, 4),
            "µm" => ("in", 1.0 / INCH / 1000.0, 5),
            "N" => ("lbf", 1.0 / POUND, if largest < 4450.0 { 1 } else { 0 }),
            "kN" => ("lbf", 1000.0 / POUND, 0),
            "N·m" if largest < FIVE_FOOT_POUNDS => ("lbf·in", 1000.0 / POUND / INCH, 1),
            "N·m" => ("lbf·ft", 1000.0 / POUND / INCH / 12.0, 1),
            "MPa" => ("psi", INCH * INCH / POUND, 0),
            "°C" => ("°F", 1.8, 0),
            "g" => ("oz", 1.0 / OUNCE, 2),
            "kg" => ("lb", 1000.0 / OUNCE / 16.0, 1),
            _ => return None,
        };
        Some(Self { name, scale, offset: if unit == "°C" { 32.0 } else { 0.0 }, digits })
    }

    /// A value in this unit; what rounds to nought is nought.
    fn figures(&self, value: f64) -> String {
        let figures = format!("{:.*}", self.digits, value * self.scale + self.offset);
        let nought = figures.chars().all(|c| matches!(c, '-' | '0' | '.'));
        if nought { "0".into() } else { figures }
    }
}

const INCH: f64 = 25.4;

/// A finite length, held in millimetres. Bounds are checked where the length is used, since
/// only there is it known what the length is of.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// A length in millimetres. Fails for NaN and infinities.
    pub fn from_mm(mm: f64) -> Result<Self> {
        if mm.is_finite() {
            Ok(Self(mm))
        } else {
            Err(Error::request(
                format!("'{mm}' is not a length."),
                "Give a plain number of millimetres, such as 40.",
            ))
        }
    }

    /// The length in millimetres.
    pub fn mm(self) -> f64 {
        self.0
    }
}

impl FromStr for Length {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let trimmed = text.trim();
        let split = trimmed
            .find(|c: char| c.is_ascii_alphabetic() || c == '"' || c == '\u{b5}')
            // An exponent (1e3) belongs to the number.
            .filter(|&at| {
                !(trimmed[at..].starts_with(['e', 'E'])
                    && trimmed[at + 1..].starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+'))
            })
            .unwrap_or(trimmed.len());
        let (digits, unit) = (trimmed[..split].trim(), trimmed[split..].trim());
        let wrong = |says: String| {
            Error::request(
                says,
                "Write a number of millimetres, or add mm, cm, m, um or in: 40, 40mm, 1.5in, 3/8in.",
            )
        };
        let scale = match unit {
            "" | "mm" => 1.0,
            "cm" => 10.0,
            "m" => 1000.0,
            "um" | "\u{b5}m" => 0.001,
            "in" | "inch" | "\"" => INCH,
            other => {
                return Err(wrong(format!(
                    "'{text}' has the unit '{other}', which is not a length fixwright knows."
                )));
            }
        };
        let value = match digits.split_once('/') {
            Some((over, under)) => {
                over.trim().parse::<f64>().ok().zip(under.trim().parse::<f64>().ok()).map(|(a, b)| a / b)
            }
            None => digits.parse::<f64>().ok(),
        };
        match value {
            Some(value) if value.is_finite() => Self::from_mm(value * scale),
            _ => Err(wrong(format!("'{text}' is not a length."))),
        }
    }
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&crate::error::number(self.0))
    }
}

impl Serialize for Length {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.0)
    }
}

impl<'de> Deserialize<'de> for Length {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged, expecting = "a length: a number of millimetres, or text such as \"1.5in\"")]
        enum Written {
            Whole(i64),
            Number(f64),
            Text(String),
        }
        match Written::deserialize(deserializer)? {
            Written::Whole(mm) => Length::from_mm(mm as f64),
            Written::Number(mm) => Length::from_mm(mm),
            Written::Text(text) => text.parse(),
        }
        .map_err(Error::on_lines)
    }
}

impl JsonSchema for Length {
    fn schema_name() -> Cow<'static, str> {
        "Length".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A length: a number of millimetres, or text with a unit (mm, cm, m, um, in).",
            "anyOf": [
                { "type": "number" },
                { "type": "string", "pattern": r"^\s*[-+]?[0-9./]+([eE][-+]?[0-9]+)?\s*(mm|cm|m|um|in|inch)?\s*$" }
            ]
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_read_as_people_write_them() {
        for (text, mm) in [
            ("40", 40.0),
            ("40mm", 40.0),
            (" 4 cm", 40.0),
            ("1.25in", 31.75),
            ("3/8in", 9.525),
            ("1e1", 10.0),
            ("25um", 0.025),
            ("-3", -3.0),
        ] {
            assert!((text.parse::<Length>().unwrap().mm() - mm).abs() < 1e-12, "{text}");
        }
    }

    #[test]
    fn every_quantity_of_a_sentence_has_the_other_unit_beside_it_once() {
        for (metric, both) in [
            ("It is 12.5 mm wide.", "It is 12.5 mm (0.4921 in) wide."),
            ("Give 10 to 12 mm.", "Give 10 to 12 mm (0.3937 to 0.4724 in)."),
            ("probes of 12.5, 2.5 and 1 mm", "probes of 12.5, 2.5 and 1 mm (0.4921, 0.0984 and 0.0394 in)"),
            ("a 6204 (20 × 47 × 14 mm)", "a 6204 (20 × 47 × 14 mm [0.7874 × 1.8504 × 0.5512 in])"),
            ("bearing 6204, 14 mm wide", "bearing 6204, 14 mm (0.5512 in) wide"),
            ("screw M8 × 1.25 × 30 mm", "screw M8 × 1.25 × 30 mm (1.1811 in)"),
            ("bundle of 12 × 6 mm", "bundle of 12 × 6 mm (0.2362 in)"),
            ("Ø20.5 mm, ±0.1 mm", "Ø20.5 mm (0.8071 in), ±0.1 mm (0.0039 in)"),
            ("STOP at 7.8 N·m.", "STOP at 7.8 N·m (5.8 lbf·ft)."),
            ("Tighten to 0.53 N·m.", "Tighten to 0.53 N·m (4.7 lbf·in)."),
            ("5 to 10 N·m", "5 to 10 N·m (3.7 to 7.4 lbf·ft)"),
            ("under 5.4 kN, then 24 N", "under 5.4 kN (1214 lbf), then 24 N (5.4 lbf)"),
            ("at 80 °C, chilled to -18 °C", "at 80 °C (176 °F), chilled to -18 °C (0 °F)"),
            ("presses with 9 MPa", "presses with 9 MPa (1305 psi)"),
            ("grips by 15 µm, 4.8 g", "grips by 15 µm (0.00059 in), 4.8 g (0.17 oz)"),
        ] {
            assert_eq!(Units::Inch.sentence(metric), both);
            assert_eq!(Units::Inch.sentence(both), both, "not twice");
            assert_eq!(Units::Metric.sentence(metric), metric);
        }
        for left in [
            "M8 × 1.25 and Ø20.5",
            "10 K over the rest",
            "30 mm² of 0.3 N/mm, 4 N·mm, 12 mm/s",
            "IEC 60335-1, 25.15",
            "318-2GT",
            "318-2 mm",
        ] {
            assert_eq!(Units::Inch.sentence(left), left);
        }
    }

    #[test]
    fn small_torques_are_told_in_pound_inches_and_what_is_nothing_as_nought() {
        let beside = |value, unit| Units::Inch.beside(value, unit).unwrap();
        assert_eq!(beside(6.7, "N·m"), "59.3 lbf·in");
        assert_eq!(beside(6.9, "N·m"), "5.1 lbf·ft");
        assert_eq!(beside(-0.033, "µm"), "0 in");
    }

    #[test]
    fn what_is_no_length_is_refused_with_the_units_that_are() {
        for text in ["1.25 furlong", "", "mm", "NaN", "inf", "1/0in", "4,5", "1 2", "--3", "e3"] {
            let error = text.parse::<Length>().unwrap_err();
            assert!(error.remedy.contains("mm, cm, m, um or in"), "{text}");
        }
    }
}
