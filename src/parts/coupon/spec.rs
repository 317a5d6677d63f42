//! What the person says of the coupon.

use crate::catalog::{bearings, fasteners};
use crate::error::{Error, Result, number, within};
use crate::units::Length;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::str::FromStr;

/// What the ladder of fits is to be tried with.
#[derive(Clone, Debug, PartialEq)]
pub struct With {
    /// As it was typed.
    pub text: String,
    /// In words: `a shaft of 20 mm`.
    pub what: String,
    /// Its diameter, mm.
    pub diameter: f64,
    /// Whether its edges are rounded, as a bearing's are, so that a corner goes in before the diameter does.
    pub rounded: bool,
}

/// Least and greatest diameter of a ladder, mm: below, a printed hole is drilled; above, it is no small print.
const DIAMETER: (f64, f64) = (3.0, 65.0);

impl FromStr for With {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let trimmed = text.trim();
        let screw = trimmed.starts_with(['M', 'm']) && !trimmed.ends_with('m')
            || fasteners::is_inch(trimmed) && fasteners::thread(trimmed).is_ok();
        let (what, diameter, rounded) = if screw {
            let thread = fasteners::thread(&trimmed.to_ascii_uppercase())?;
            (format!("an {} screw", thread.size), thread.diameter, false)
        } else {
            match trimmed.parse::<Length>() {
                // A bearing's number is no shaft's diameter.
                Ok(length) if length.mm() < 300.0 => {
                    (format!("a shaft of {} mm", number(length.mm())), length.mm(), false)
                }
                _ => {
                    let bearing = bearings::read(trimmed).map_err(|_| {
                        Error::unknown(
                            format!(
                                "--with '{trimmed}' is no shaft's diameter, no screw's size and no bearing that is known."
                            ),
                            "Give a diameter (20), a screw (M5) or a bearing's number (6204), or leave --with out.",
                        )
                    })?;
                    (format!("the outside of a {}", bearing.designation), bearing.outside, true)
                }
            }
        };
        within("--with", diameter, DIAMETER.0, DIAMETER.1, "mm")?;
        Ok(Self { text: trimmed.to_string(), what, diameter, rounded })
    }
}

impl Serialize for With {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl<'de> Deserialize<'de> for With {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged, expecting = "a shaft's diameter, a screw or a bearing: 20, \"M5\", \"6204\"")]
        enum Written {
            Number(f64),
            Text(String),
        }
        match Written::deserialize(deserializer)? {
            Written::Number(value) => number(value).parse(),
            Written::Text(text) => text.parse(),
        }
        .map_err(Error::on_lines)
    }
}

impl JsonSchema for With {
    fn schema_name() -> Cow<'static, str> {
        "With".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A shaft's diameter, a screw or a bearing: 20, \"M5\", \"6204\".",
            "type": ["number", "string"]
        })
    }
}

/// A small print to measure, from which a printer's preset is fitted.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Coupon {
    /// A ladder of fits to try with: a shaft's diameter (20), a screw (M5), a bearing's outside (6204) [default: no ladder]
    #[arg(long, value_name = "WHAT")]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub with: Option<With>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_a_shaft_until_it_is_a_bearing() {
        let with = |text: &str| text.parse::<With>().map(|with| with.diameter);
        assert_eq!(with("20"), Ok(20.0));
        assert_eq!(with("20mm"), Ok(20.0));
        assert_eq!(with("M5"), Ok(5.0));
        assert_eq!(with("m4"), Ok(4.0));
        assert_eq!(with("6204"), Ok(47.0));
        for wrong in ["", "1", "120", "M99", "nosuch", "-5", "6330"] {
            assert!(with(wrong).is_err(), "{wrong}");
        }
    }
}
