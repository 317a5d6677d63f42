//! What the person says of the guard, beside all that is said of the bracket it covers.

use crate::parts::bracket::Bracket;
use crate::units::Length;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer, Serialize};
use std::borrow::Cow;

/// The cover itself. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Cover {
    /// Running clearance from everything that turns or slides to the inside of the guard [default: 3]
    #[arg(long, value_name = "MM", help_heading = "Guard")]
    pub clearance: Option<Length>,
    /// Thickness of the guard's walls [default: 2.4, or four lines]
    #[arg(long, value_name = "MM", help_heading = "Guard")]
    pub wall: Option<Length>,
    /// Screws that hold the guard on the machine, M3 to M6, or #6-32 to #10-32 [default: M4]
    #[arg(long, value_name = "M..", help_heading = "Guard")]
    pub guard_screw: Option<String>,
    /// Width of the vents [default: 3.6, which no fingertip passes]
    #[arg(long, value_name = "MM", help_heading = "Guard")]
    pub opening: Option<Length>,
    /// Leave the guard's vents out
    #[arg(long, help_heading = "Guard")]
    pub closed: bool,
    /// Children from 3 years on may come near: the distances for their fingers are kept
    #[arg(long, help_heading = "Guard")]
    pub children: bool,
    /// From the belt's middle to the foremost of the spindle's pulley, its hub, nut or nose, measured [default: the longest hub in makers' lists]
    #[arg(long, value_name = "MM", help_heading = "Guard")]
    pub nose: Option<Length>,
    /// The spindle's pulley cannot come off: the back of a foot's guard is parted at the spindle, so that its halves go round it
    #[arg(long, help_heading = "Guard")]
    pub halves: bool,
}

/// A guard over the belt of an encoder's bracket: the bracket's answers and its own.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Serialize)]
pub struct Guard {
    /// The bracket whose belt it covers.
    #[command(flatten)]
    #[serde(flatten)]
    pub bracket: Bracket,
    /// The cover.
    #[command(flatten)]
    #[serde(flatten)]
    pub cover: Cover,
}

/// The keys of a cover, as a job file spells them.
fn cover_keys() -> Vec<String> {
    let value = serde_json::to_value(Cover::default()).unwrap_or_default();
    value.as_object().map(|keys| keys.keys().cloned().collect()).unwrap_or_default()
}

impl<'de> Deserialize<'de> for Guard {
    // serde cannot both flatten two tables into one and refuse unknown keys.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let mut bracket = toml::Table::deserialize(deserializer)?;
        let mut cover = toml::Table::new();
        for key in cover_keys() {
            if let Some(value) = bracket.remove(&key) {
                cover.insert(key, value);
            }
        }
        let wrong = |error: toml::de::Error| serde::de::Error::custom(error.to_string().trim());
        Ok(Self { bracket: bracket.try_into().map_err(wrong)?, cover: cover.try_into().map_err(wrong)? })
    }
}

impl JsonSchema for Guard {
    fn schema_name() -> Cow<'static, str> {
        "Guard".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let mut schema = Bracket::json_schema(generator);
        let cover = Cover::json_schema(generator);
        let of_cover = cover.get("properties").and_then(|keys| keys.as_object()).cloned();
        if let Some(keys) = schema.get_mut("properties").and_then(|keys| keys.as_object_mut()) {
            keys.extend(of_cover.unwrap_or_default());
        }
        schema.insert(
            "description".into(),
            "A guard over the belt of an encoder's bracket: the bracket's answers and its own. Lengths are millimetres or carry a unit.".into(),
        );
        schema
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_holds_the_bracket_s_keys_and_the_guard_s_and_no_others() {
        let read = |text: &str| toml::from_str::<Guard>(text);
        let guard = read("pulleys = [36, 24]\nnear = 110\nclearance = 4\nclosed = true").unwrap();
        assert_eq!(guard.bracket.pulleys, vec![36, 24]);
        assert_eq!((guard.cover.clearance.map(Length::mm), guard.cover.closed), (Some(4.0), true));
        let again: Guard = toml::Table::try_from(&guard).unwrap().try_into().unwrap();
        assert_eq!(again, guard);
        assert!(read("clearence = 4").unwrap_err().to_string().contains("clearence"));
        assert!(read("clearance = \"wide\"").is_err());
    }

    #[test]
    fn no_key_of_the_guard_is_one_of_the_bracket_s() {
        let bracket = serde_json::to_value(Bracket::default()).unwrap();
        assert_eq!(cover_keys().len(), 8);
        assert!(cover_keys().iter().all(|key| bracket.get(key).is_none()));
    }
}
