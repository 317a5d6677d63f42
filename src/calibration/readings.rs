//! A readings file: a list a letter, `A = [59.83, 59.86, 59.84]`. Each reading is held against what the coupon
//! draws there, so that what was read in another place or unit is said at once.

use super::Reading;
use crate::error::{Error, Result, hundredth, number};
use crate::text;
use std::path::Path;
use toml::{Table, Value};

/// What was read at one letter.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken<'a> {
    /// What was to be read.
    pub reading: &'a Reading,
    /// What was read, mm.
    pub values: Vec<f64>,
}

/// More than this many readings of one size are a mistake.
const MOST: usize = 50;

/// Reads a readings file against the coupon's list; see [`parse`].
pub fn open<'a>(path: &Path, wanted: &'a [Reading]) -> Result<Vec<Taken<'a>>> {
    const LONGEST: u64 = 64 << 10;
    let step = "Give the path of a TOML file with a list a letter, such as A = [59.83, 59.86, 59.84].";
    parse(&text::read(path, "The readings file", LONGEST, step)?, wanted)
}

/// What was read, letter by letter in the coupon's order.
///
/// Fails, with all that is wrong at once, where a letter is missing, unknown or holds no list of numbers, and where
/// a number cannot be a reading of that letter.
pub fn parse<'a>(text: &str, wanted: &'a [Reading]) -> Result<Vec<Taken<'a>>> {
    let table: Table = text.parse().map_err(|e: toml::de::Error| {
        Error::request(
            format!("The readings file cannot be read: {}.", e.message()),
            "Write a list a letter, such as A = [59.83, 59.86, 59.84], with points for decimals.",
        )
    })?;
    let letters: Vec<String> = wanted.iter().map(|r| r.letter.to_string()).collect();
    let mut errors: Vec<Error> = table
        .keys()
        .filter(|key| !letters.contains(key))
        .map(|key| {
            Error::request(
                format!("The readings file has '{}', which is no letter to be read.", text::display(key)),
                format!("Use the coupon's capital letters: {}.", letters.join(", ")),
            )
        })
        .collect();
    let mut taken = vec![];
    for reading in wanted {
        match values_of(&table, reading) {
            Ok(values) => taken.push(Taken { reading, values }),
            Err(error) => errors.push(error),
        }
    }
    if errors.is_empty() {
        errors.extend(wild(&taken));
    }
    Error::all(errors).map_or(Ok(taken), Err)
}

fn values_of(table: &Table, reading: &Reading) -> Result<Vec<f64>> {
    let letter = reading.letter;
    let bounds = format!("{} to {} mm", hundredth(reading.least), hundredth(reading.most));
    let example = format!("Measure {} and write {letter} = [{}, …].", reading.what, hundredth(reading.drawn));
    let Some(value) = table.get(&letter.to_string()) else {
        return Err(Error::request(
            format!("The readings file has no {letter} ({}, {bounds}).", reading.what),
            example,
        ));
    };
    let Value::Array(list) = value else {
        return Err(Error::request(
            format!(
                "{letter} is {}, which is no list of readings ({bounds}).",
                text::display(&value.to_string())
            ),
            example,
        ));
    };
    let number_of = |value: &Value| match value {
        Value::Float(mm) if mm.is_finite() => Some(*mm),
        Value::Integer(mm) => Some(*mm as f64),
        _ => None,
    };
    if list.is_empty() || list.len() > MOST {
        return Err(Error::request(
            format!("{letter} is a list of {} readings; it takes 1 to {MOST}.", list.len()),
            format!("{example} Three are enough."),
        ));
    }
    list.iter()
        .map(|value| {
            number_of(value).ok_or_else(|| {
                Error::request(
                    format!(
                        "{letter} holds {}, which is no reading in millimetres ({bounds}).",
                        text::display(&value.to_string())
                    ),
                    "Write plain numbers of millimetres with a point, such as 19.83.",
                )
            })
        })
        .collect()
}

/// Letters whose readings cannot be of what is drawn there. A single wild reading among three or more is left to
/// the fit, which sets it aside and says so.
fn wild(taken: &[Taken]) -> Vec<Error> {
    let fits = |value: f64, reading: &Reading| (reading.least..=reading.most).contains(&value);
    let mut errors = vec![];
    for one in taken {
        let (letter, reading) = (one.reading.letter, one.reading);
        let bad: Vec<f64> = one.values.iter().copied().filter(|v| !fits(*v, reading)).collect();
        let Some(&first) = bad.first() else { continue };
        let negative = one.values.iter().copied().find(|v| *v <= 0.0);
        if negative.is_none() && bad.len() == 1 && one.values.len() >= 3 {
            continue;
        }
        let says = |value: f64, more: String| {
            format!(
                "{letter} reads {} mm; {} is drawn {} mm and must lie between {} and {} mm{more}.",
                number(value),
                reading.what,
                hundredth(reading.drawn),
                hundredth(reading.least),
                hundredth(reading.most)
            )
        };
        let other = taken.iter().find(|other| {
            let theirs = other.reading;
            theirs.letter != letter
                && bad.iter().all(|v| fits(*v, theirs))
                && !other.values.iter().all(|v| fits(*v, theirs))
        });
        errors.push(match (negative, other) {
            (Some(value), _) => {
                Error::request(says(value, String::new()), "Zero the caliper with its jaws closed, then measure again.")
            }
            (None, _) if bad.iter().all(|v| fits(25.4 * v, reading)) => Error::request(
                says(first, format!("; {} inches would", number(first))),
                "Switch the caliper to millimetres, or multiply each reading by 25.4.",
            ),
            (None, Some(other)) => Error::request(
                says(first, format!("; it would do for {} ({})", other.reading.letter, other.reading.what)),
                format!("See whether {letter} and {} were swapped.", other.reading.letter),
            ),
            (None, None) => Error::request(
                says(first, String::new()),
                format!("Measure {letter} again at its letter; see that the coupon was printed at 100 % scale with that preset."),
            ),
        });
    }
    errors
}
