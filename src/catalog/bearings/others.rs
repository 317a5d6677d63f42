//! Kinds that no sleeve is for: known by their numbers and, where possible, by their sizes, so that
//! they are named and refused instead of being taken for a bearing of the same size.

use super::super::table::Table;
use crate::error::Error;
use serde::Deserialize;

static NUMBERS: Table<NumberRow> = Table::new("bearings/others.csv", include_str!("others.csv"));
static SIZES: Table<OtherSize> = Table::new("bearings/other_sizes.csv", include_str!("other_sizes.csv"));

/// Least digits of a number whose length is not told.
const LEAST_DIGITS: usize = 3;

/// How the numbers of a kind begin.
#[derive(Debug, Deserialize)]
struct NumberRow {
    starts: String,
    digits: Option<usize>,
    kind: String,
    what_to_do: String,
    #[allow(dead_code, reason = "every row names its source; a test reads it")]
    source: String,
}

/// A size of a kind that is not held, mm.
#[derive(Debug, Deserialize)]
pub struct OtherSize {
    /// Its designation.
    pub designation: String,
    /// Its kind, in words.
    pub kind: String,
    /// Bore.
    pub bore: f64,
    /// Outside diameter.
    pub outside: f64,
    /// Width or height.
    pub width: f64,
    #[allow(dead_code, reason = "every row names its source; a test reads it")]
    source: String,
}

/// The error that names the kind of a tidied stamp, if its number is of a kind that is not held.
pub fn named(asked: &str, stamp: &str) -> Option<Error> {
    // A maker's mark may stand in front.
    let behind = stamp.split([' ', '-']).next().is_some_and(|word| word.chars().all(char::is_alphabetic));
    let tails = [Some(stamp), stamp.split_once([' ', '-']).map(|(_, tail)| tail).filter(|_| behind)];
    tails.into_iter().flatten().find_map(|tail| numbered(asked, tail))
}

fn numbered(asked: &str, stamp: &str) -> Option<Error> {
    let plain: String = stamp.chars().filter(char::is_ascii_alphanumeric).collect();
    let digits = |text: &str| text.chars().take_while(char::is_ascii_digit).count();
    let fits = |row: &&NumberRow| {
        let Some(rest) = plain.strip_prefix(row.starts.as_str()) else { return false };
        let lead = digits(&row.starts);
        match row.digits {
            Some(wanted) => lead + digits(rest) == wanted,
            None => digits(rest) + lead >= LEAST_DIGITS,
        }
    };
    let row = NUMBERS.all().iter().filter(fits).max_by_key(|row| row.starts.len())?;
    Some(refused(
        &format!("--bearing '{}' is the number of {}", asked.trim(), with_article(&row.kind)),
        &row.what_to_do,
    ))
}

/// The error for a size that only kinds that are not held have.
pub fn refused_size(text: &str, sizes: &[&OtherSize]) -> Option<Error> {
    let first = sizes.first()?;
    let names: Vec<&str> = sizes.iter().map(|size| size.designation.as_str()).collect();
    let row = NUMBERS.all().iter().find(|row| row.kind == first.kind)?;
    let says = format!(
        "--bearing {} is the size of {}, {}",
        text.trim(),
        names.join(", "),
        with_article(&first.kind)
    );
    Some(refused(&says, &row.what_to_do))
}

fn refused(says: &str, what_to_do: &str) -> Error {
    Error::unknown(
        format!("{says}; no sleeve here is for that kind."),
        format!("{what_to_do} If it is another bearing, give what is stamped on it."),
    )
}

/// Every size of a kind that is not held that `fits`.
pub fn sizes(fits: impl Fn(&OtherSize) -> bool) -> Vec<&'static OtherSize> {
    SIZES.all().iter().filter(|size| fits(size)).collect()
}

/// `an insert bearing`, `a thrust ball bearing`.
fn with_article(kind: &str) -> String {
    let article = if kind.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {kind}")
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use super::*;

    #[test]
    fn every_row_reads_and_every_kind_with_sizes_has_numbers() {
        assert!(NUMBERS.rows().unwrap().iter().all(|row| row.source.len() > 6 && row.what_to_do.len() > 20));
        for size in SIZES.rows().unwrap() {
            assert!(size.bore < size.outside && size.source.len() > 6, "{}", size.designation);
            assert!(NUMBERS.all().iter().any(|row| row.kind == size.kind), "{}", size.designation);
            let error = read(&size.designation).unwrap_err();
            assert!(error.says.contains(&size.kind), "{}: {error}", size.designation);
        }
    }

    #[test]
    fn a_kind_that_is_not_held_is_named_by_its_number_and_refused_with_what_to_do() {
        for (stamp, kind) in [
            ("51104", "thrust ball"),
            ("NSK 51205", "thrust ball"),
            ("NA4904", "needle"),
            ("HK 2012", "needle"),
            ("UC204", "insert"),
            ("22208 EK", "spherical roller"),
            ("LM11749/10", "inch tapered"),
            ("HM88649", "inch tapered"),
            ("QJ206", "four-point"),
            ("29412 E", "spherical roller thrust"),
        ] {
            let error = read(stamp).unwrap_err();
            assert!(error.says.contains(kind), "{stamp}: {error}");
            assert!(error.remedy.len() > 60, "{error}");
        }
    }
}
