//! A ratio of turns as another way to say the pulleys: kept ones whose counts stand in it exactly.

use super::LEAST_MESH;
use super::bores::can_be_bored;
use crate::catalog::belts::Profile;
use crate::catalog::pulleys;
use crate::error::{Error, Result, number};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::{borrow::Cow, fmt, str::FromStr};

/// Greatest number on either side of a ratio.
const MOST: u32 = 20;

/// Turns of the encoder to turns of the spindle in lowest terms, written `2:1`: so stand the teeth of the spindle's
/// pulley to those of the encoder's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    encoder: u32,
    spindle: u32,
}

impl FromStr for Ratio {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let whole = |part: &str| part.trim().parse::<u32>().ok().filter(|n| (1..=MOST).contains(n));
        let (encoder, spindle) =
            text.split_once(':').and_then(|(a, b)| Some((whole(a)?, whole(b)?))).ok_or_else(|| {
                Error::request(
                    format!("--ratio is '{text}', which is not two whole numbers of 1 to {MOST}."),
                    "Give the encoder's turns to the spindle's: --ratio 1:1, or --ratio 2:1 for an encoder that turns twice as fast.",
                )
            })?;
        let common = (1..=MOST).rev().find(|n| encoder % n == 0 && spindle % n == 0).unwrap_or(1);
        Ok(Self { encoder: encoder / common, spindle: spindle / common })
    }
}

impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}:{}", self.encoder, self.spindle)
    }
}

impl Serialize for Ratio {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Ratio {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for Ratio {
    fn schema_name() -> Cow<'static, str> {
        "Ratio".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "Turns of the encoder to turns of the spindle, such as 1:1 or 2:1.",
            "pattern": r"^\s*[0-9]+\s*:\s*[0-9]+\s*$"
        })
    }
}

/// Teeth of the spindle's pulley and of the encoder's.
pub type Teeth = (u32, u32);

impl Ratio {
    /// Whether pulleys of these counts keep it.
    pub fn is_kept_by(self, (spindle, encoder): Teeth) -> bool {
        u64::from(spindle) * u64::from(self.spindle) == u64::from(encoder) * u64::from(self.encoder)
    }

    /// The pairs of kept pulleys in this ratio, those of the user's own first, then the smallest: with no fewer teeth
    /// than the belt bends round, and each bored for its shaft, as far as that is known.
    ///
    /// Fails where there is none, naming the kept pair that comes nearest.
    pub fn pairs(self, profile: &Profile, shafts: [Option<f64>; 2]) -> Result<Vec<Teeth>> {
        let kept = pulleys::stocked_teeth(profile);
        let bends: Vec<u32> = kept.into_iter().filter(|teeth| *teeth >= profile.least_teeth).collect();
        let all = || bends.iter().flat_map(|spindle| bends.iter().map(|encoder| (*spindle, *encoder)));
        let bored = |(spindle, encoder): &Teeth| {
            let goes = |teeth, shaft: Option<f64>| shaft.is_none_or(|mm| can_be_bored(profile, teeth, mm));
            goes(*spindle, shafts[0]) && goes(*encoder, shafts[1])
        };
        let mut pairs: Vec<Teeth> = all().filter(|pair| self.is_kept_by(*pair) && bored(pair)).collect();
        let others =
            |pair: &Teeth| [pair.0, pair.1].iter().filter(|n| !pulleys::is_own(profile, **n)).count();
        pairs.sort_by_key(|pair| (others(pair), pair.0));
        if !pairs.is_empty() {
            return Ok(pairs);
        }
        let wanted = f64::from(self.encoder) / f64::from(self.spindle);
        let off = |pair: &Teeth| (f64::from(pair.0) / f64::from(pair.1) / wanted).ln().abs();
        let nearest = all().filter(bored).min_by(|a, b| off(a).total_cmp(&off(b)).then(a.cmp(b)));
        Err(self.not_kept(profile, shafts, nearest))
    }

    fn not_kept(self, profile: &Profile, shafts: [Option<f64>; 2], nearest: Option<Teeth>) -> Error {
        let shafts: Vec<String> = shafts.iter().flatten().map(|mm| number(*mm)).collect();
        let bored = match shafts.is_empty() {
            true => String::new(),
            false => format!(" and can be bored for {} mm", shafts.join(" and ")),
        };
        let nearest = nearest.map_or(String::new(), |(spindle, encoder)| {
            format!("Give --pulleys {spindle},{encoder}, the kept pair that comes nearest, or say other counts with --pulleys: ")
        });
        Error::geometry(
            format!("No two {} pulleys that are kept stand in --ratio {self}{bored}.", profile.name),
            format!(
                "{nearest}fixwright pulley prints one of any count, bored for a thick shaft; another --profile may have both."
            ),
        )
    }
}

/// What comes of the first pair that carries its belt on enough teeth; where none does, of the first that has a belt.
pub fn first_that_meshes<T>(
    pairs: &[Teeth],
    settle: impl Fn(Teeth) -> Result<T>,
    mesh: impl Fn(&T) -> u32,
) -> Result<T> {
    let mut first: Option<Result<T>> = None;
    for pair in pairs {
        let settled = settle(*pair);
        match (&settled, &first) {
            (Ok(found), _) if mesh(found) >= LEAST_MESH => return settled,
            (Ok(_), Some(Err(_))) | (_, None) => first = Some(settled),
            _ => {}
        }
    }
    first.unwrap_or_else(|| Err(Error::internal("A ratio came without a pair of pulleys.")))
}

/// How often the encoder's index comes, and what that means for threading; turns of the encoder to turns of the
/// spindle in lowest terms.
pub fn index([encoder, spindle]: [u32; 2]) -> String {
    if encoder == spindle {
        return "one pulse per spindle turn, as threading needs".into();
    }
    format!(
        "{encoder} in {spindle} turn{} of the spindle; threading needs one in each turn: take equal pulleys for it (--ratio 1:1)",
        if spindle == 1 { "" } else { "s" }
    )
}
