//! Lengths as people write them: `40`, `40mm`, `4cm`, `1.5in`, `3/8in`.

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
        (self == Self::Inch).then(|| format!("{:.4}", mm / INCH))
    }

    /// The value in the unit that stands beside its own, such as `0.8071 in`; nothing where none does.
    pub fn beside(self, value: f64, unit: &str) -> Option<String> {
        const FORCE: f64 = 4.448_221_615;
        let (other, name, digits) = match unit {
            "mm" => return self.inches(value).map(|inches| format!("{inches} in")),
            "\u{b5}m" => (value / INCH / 1000.0, "in", 5),
            "N" => (value / FORCE, "lbf", 1),
            "N\u{b7}m" => (value / FORCE / INCH * 1000.0 / 12.0, "lbf\u{b7}ft", 2),
            "MPa" => (value / FORCE * INCH * INCH, "psi", 0),
            "\u{b0}C" => (value * 1.8 + 32.0, "\u{b0}F", 0),
            "g" => (value / 28.349_523_125, "oz", 2),
            _ => return None,
        };
        (self == Self::Inch).then(|| format!("{other:.digits$} {name}"))
    }

    /// What is said of a value, and the same in the unit beside: `20.5 mm (0.8071 in)`.
    pub fn said(self, words: String, value: f64, unit: &str) -> String {
        let words = format!("{words} {unit}").trim_end().to_string();
        match self.beside(value, unit) {
            Some(beside) => format!("{words} ({beside})"),
            None => words,
        }
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
    fn what_is_no_length_is_refused_with_the_units_that_are() {
        for text in ["1.25 furlong", "", "mm", "NaN", "inf", "1/0in", "4,5", "1 2", "--3", "e3"] {
            let error = text.parse::<Length>().unwrap_err();
            assert!(error.remedy.contains("mm, cm, m, um or in"), "{text}");
        }
    }
}
