//! What a screw's parts are asked for by in a shop, metric or inch, and the lengths it is sold in.

use super::{ClearanceHole, Thread, clearance_hole, thread};
use crate::error::{Result, number};
use std::fmt;

/// The standards that a screw, its nut and its washers are made to.
#[derive(Debug, PartialEq, Eq)]
pub struct Standards {
    /// Clearance holes as they are drawn.
    pub hole: &'static str,
    /// Clearance holes that fit closely.
    pub close_hole: &'static str,
    /// Socket heads.
    pub socket_head: &'static str,
    /// Button heads.
    pub button_head: &'static str,
    /// Hexagon nuts.
    pub nut: &'static str,
    /// Plain washers.
    pub washer: &'static str,
    /// Wide washers.
    pub wide_washer: &'static str,
}

const METRIC: Standards = Standards {
    hole: "ISO 273 medium",
    close_hole: "ISO 273 fine",
    socket_head: "ISO 4762",
    button_head: "ISO 7380-1",
    nut: "ISO 4032",
    washer: "ISO 7089",
    wide_washer: "ISO 7093-1",
};

const INCH: Standards = Standards {
    hole: "ASME B18.2.8 normal",
    close_hole: "ASME B18.2.8 close",
    socket_head: "ASME B18.3",
    button_head: "ASME B18.3",
    nut: "ASME B18.2.2",
    washer: "ASME B18.21.1 type B narrow",
    wide_washer: "ASME B18.21.1 type B regular",
};

/// Whether a size is an inch screw's: its threads an inch stand behind a dash.
pub fn is_inch(size: &str) -> bool {
    size.contains('-')
}

/// The standards for a size.
pub fn standards(size: &str) -> &'static Standards {
    if is_inch(size) { &INCH } else { &METRIC }
}

/// The largest metric screw that passes an inch screw's normal hole, by its own close one; nothing for a metric screw.
pub fn passes(size: &str) -> Result<Option<Thread>> {
    let size = thread(size)?.size;
    if !is_inch(&size) {
        return Ok(None);
    }
    let hole = clearance_hole(&size)?.medium;
    let passing =
        |row: &&ClearanceHole| !row.size.starts_with('#') && !row.size.contains('/') && row.fine <= hole;
    let largest = ClearanceHole::rows()?.iter().filter(passing).max_by(|a, b| a.fine.total_cmp(&b.fine));
    largest.map(|row| thread(&row.size)).transpose()
}

/// A length screws are sold in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScrewLength {
    /// The length, mm.
    pub mm: f64,
    /// Sixteenths of an inch, where it is an inch screw's.
    sixteenths: Option<u32>,
}

/// As one asks for it: `16`, `3/4 in`.
impl fmt::Display for ScrewLength {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let Some(sixteenths) = self.sixteenths else { return f.write_str(&number(self.mm)) };
        let (whole, mut part, mut of) = (sixteenths / 16, sixteenths % 16, 16);
        while part > 0 && part % 2 == 0 {
            (part, of) = (part / 2, of / 2);
        }
        match (whole, part) {
            (0, _) => write!(f, "{part}/{of} in"),
            (_, 0) => write!(f, "{whole} in"),
            _ => write!(f, "{whole} {part}/{of} in"),
        }
    }
}

/// Nominal lengths of socket head screws, mm (ISO 4762, the preferred lengths).
const LENGTHS: [f64; 20] = [
    5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 80.0,
    90.0, 100.0,
];
/// Nominal lengths of inch screws, sixteenths of an inch: by sixteenths up to 1/2, eighths up to 1, quarters up to 4 in
/// (ASME B18.3, standard length increments, from memory).
const INCH_LENGTHS: [u32; 19] = [4, 5, 6, 7, 8, 10, 12, 14, 16, 20, 24, 28, 32, 36, 40, 44, 48, 56, 64];

/// The lengths that screws of a size are sold in, shortest first.
pub fn lengths(size: &str) -> Vec<ScrewLength> {
    let inch = |n: &u32| ScrewLength { mm: f64::from(*n) * 25.4 / 16.0, sixteenths: Some(*n) };
    match is_inch(size) {
        true => INCH_LENGTHS.iter().map(inch).collect(),
        false => LENGTHS.into_iter().map(|mm| ScrewLength { mm, sixteenths: None }).collect(),
    }
}

/// The shortest screw of a size that is so long, mm; nothing beyond the longest.
pub fn stock_length(size: &str, least: f64) -> Option<ScrewLength> {
    lengths(size).into_iter().find(|length| length.mm >= least - 1e-9)
}

/// The length to ask for, mm: the shortest that is so long, beyond them the next ten, or the next half inch.
pub fn asked_length(size: &str, least: f64) -> ScrewLength {
    let halves = (least / 12.7).ceil();
    stock_length(size, least).unwrap_or(match is_inch(size) {
        true => ScrewLength { mm: halves * 12.7, sixteenths: Some(8 * halves as u32) },
        false => ScrewLength { mm: (least / 10.0).ceil() * 10.0, sixteenths: None },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inch_screw_s_hole_passes_the_metric_screw_that_is_named_and_no_larger_one() {
        let named = |size: &str| passes(size).unwrap().map(|thread| thread.size);
        let by_hand =
            [("#4-40", "M3"), ("#6-32", "M4"), ("#10-24", "M5"), ("1/4-20", "M6"), ("5/16-18", "M8")];
        for (size, metric) in by_hand {
            assert_eq!(named(size).as_deref(), Some(metric), "{size}");
        }
        assert_eq!(named("M6"), None);
    }

    #[test]
    fn lengths_are_asked_for_as_a_shop_sells_them() {
        let asked = |size: &str, least: f64| asked_length(size, least).to_string();
        assert_eq!(asked("M5", 13.0), "16");
        assert_eq!(asked("1/4-20", 13.0), "5/8 in");
        assert_eq!(asked("1/4-20", 25.0), "1 in");
        assert_eq!(asked("#10-24", 30.0), "1 1/4 in");
        assert_eq!(asked("M5", 101.0), "110");
        assert_eq!(asked("1/4-20", 103.0), "4 1/2 in");
        assert_eq!(stock_length("1/4-20", 103.0), None);
        for size in ["M5", "1/4-20"] {
            assert!(lengths(size).windows(2).all(|pair| pair[0].mm < pair[1].mm));
        }
    }
}
