//! Which bearings share an envelope, and what changes with each kind.

use super::kind::Kind;
use super::tables::{Entry, tables};
use crate::error::{Result, number, within};
use serde::Serialize;

/// Two dimensions this close are the same bearing to a caliper, mm.
const SAME: f64 = 0.05;
/// How many near misses are listed.
const NEAREST: usize = 8;
/// A section this near, as a share of bore and outside, lends its chamfer to a measured bearing.
const NEAR_SHARE: f64 = 0.08;

/// A bearing in an envelope search.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EnvelopeRow {
    /// Basic designation.
    pub designation: String,
    /// Its kind.
    pub kind: Kind,
    /// Bore, mm.
    pub bore: f64,
    /// Outside diameter, mm.
    pub outside: f64,
    /// Width, mm; for tapered bearings assembled.
    pub width: f64,
    /// Width with shields or seals, where it differs, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closed_width: Option<f64>,
    /// Least chamfer, mm.
    pub chamfer_min: f64,
    /// The directions in which it takes load.
    pub load: &'static str,
    /// Whether it must be set against another.
    pub adjustment: &'static str,
    /// What differs from the envelope asked for, in words; empty when nothing does.
    pub difference: String,
    /// Where the dimensions stand.
    pub source: String,
}

/// The answer to an envelope search.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Envelope {
    /// Bore asked for, mm.
    pub bore: f64,
    /// Outside diameter asked for, mm.
    pub outside: f64,
    /// Width asked for, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub width: Option<f64>,
    /// Everything that fits, in the tables' order.
    pub matches: Vec<EnvelopeRow>,
    /// Near misses, the nearest first: of another width when one was given, else of other diameters
    /// and only when nothing fits.
    pub nearest: Vec<EnvelopeRow>,
}

/// Every bearing of this bore and outside diameter, and width if given (mm, equal within 0.05 mm).
///
/// With a width, bearings of the same two diameters but another width come first among the nearest:
/// the seat takes them, the shoulder or cover must give way. Fails when a value is out of bounds.
pub fn by_envelope(bore: f64, outside: f64, width: Option<f64>) -> Result<Envelope> {
    within("--bore", bore, 0.5, 500.0, "mm")?;
    within("--outside", outside, bore, 1000.0, "mm")?;
    if let Some(width) = width {
        within("--width", width, 0.5, 500.0, "mm")?;
    }
    let fits =
        |entry: &&Entry| near(entry.bore, bore) && near(entry.outside, outside) && fits_width(entry, width);
    let entries = &tables().entries;
    let row = |entry: &Entry| describe(entry, bore, outside, width);
    let matches: Vec<EnvelopeRow> = entries.iter().filter(fits).map(row).collect();
    let nearest = if matches.is_empty() || width.is_some() {
        misses(entries, bore, outside, width).into_iter().map(row).collect()
    } else {
        Vec::new()
    };
    Ok(Envelope { bore, outside, width, matches, nearest })
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME
}

fn fits_width(entry: &Entry, width: Option<f64>) -> bool {
    width.is_none_or(|w| near(entry.width, w) || entry.closed_width.is_some_and(|c| near(c, w)))
}

fn width_gap(entry: &Entry, width: f64) -> f64 {
    let gap = (entry.width - width).abs();
    entry.closed_width.map_or(gap, |closed| gap.min((closed - width).abs()))
}

/// Everything of the same diameters but another width; then, if nothing fits the diameters, the
/// nearest by distance. A bore that differs cannot be made up, an outside hardly, a width often can:
/// they weigh 4, 2 and 1.
fn misses(entries: &[Entry], bore: f64, outside: f64, width: Option<f64>) -> Vec<&Entry> {
    let distance = |entry: &Entry| {
        4.0 * (entry.bore - bore).abs()
            + 2.0 * (entry.outside - outside).abs()
            + width.map_or(0.0, |w| width_gap(entry, w))
    };
    let seat = |entry: &Entry| near(entry.bore, bore) && near(entry.outside, outside);
    let mut ranked: Vec<(f64, &Entry)> = entries
        .iter()
        .filter(|entry| !(seat(entry) && fits_width(entry, width)))
        .map(|entry| (distance(entry), entry))
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let same_seat = ranked.iter().filter(|(_, entry)| seat(entry)).count();
    let any_fits = entries.iter().any(|entry| seat(entry) && fits_width(entry, width));
    let count = if any_fits { same_seat } else { same_seat.max(NEAREST) };
    ranked.into_iter().take(count).map(|(_, entry)| entry).collect()
}

fn describe(entry: &Entry, bore: f64, outside: f64, width: Option<f64>) -> EnvelopeRow {
    let mut differences = Vec::new();
    let mut compare = |what: &str, has: f64, asked: f64, more: &str, less: &str| {
        if !near(has, asked) {
            let word = if has > asked { more } else { less };
            differences.push(format!("{what} {} mm {word}", number((has - asked).abs())));
        }
    };
    compare("bore", entry.bore, bore, "larger", "smaller");
    compare("outside", entry.outside, outside, "larger", "smaller");
    if let Some(width) = width
        && !fits_width(entry, Some(width))
    {
        compare("width", entry.width, width, "wider", "narrower");
    }
    EnvelopeRow {
        designation: entry.designation.clone(),
        kind: entry.kind,
        bore: entry.bore,
        outside: entry.outside,
        width: entry.width,
        closed_width: entry.closed_width,
        chamfer_min: entry.chamfer_min,
        load: entry.kind.load(),
        adjustment: entry.kind.adjustment(),
        difference: differences.join(", "),
        source: entry.source.clone(),
    }
}

impl Envelope {
    /// What a colleague would write on the back of an envelope.
    pub fn note(&self) -> String {
        let width = self.width.map_or(String::new(), |w| format!(" x {}", number(w)));
        let asked = format!("{} x {}{width} mm", number(self.bore), number(self.outside));
        let mut lines = Vec::new();
        match self.matches.len() {
            0 => lines.push(format!("Nothing in the tables is {asked}.")),
            1 => lines.push(format!("One bearing is {asked}:")),
            n => lines.push(format!("{n} bearings are {asked}:")),
        }
        lines.extend(self.matches.iter().flat_map(row_lines));
        if !self.nearest.is_empty() {
            lines.push(String::new());
            lines.push("Near misses:".to_string());
            lines.extend(self.nearest.iter().flat_map(row_lines));
        }
        lines.join("\n") + "\n"
    }
}

fn row_lines(row: &EnvelopeRow) -> Vec<String> {
    let closed = row.closed_width.map_or(String::new(), |w| format!(" ({} closed)", number(w)));
    let size = format!("{} x {} x {}{closed}", number(row.bore), number(row.outside), number(row.width));
    let difference = match row.difference.as_str() {
        "" => String::new(),
        text => format!("   {text}"),
    };
    vec![
        format!("  {:<9} {:<22} {}{difference}", row.designation, size, row.kind),
        format!("            takes {}", row.load),
        format!("            {}", row.adjustment),
    ]
}

/// The largest least-chamfer of any bearing but the tapered with nearly this bore and outside, mm;
/// of the nearest if none is that near.
pub fn largest_chamfer_near(bore: f64, outside: f64) -> f64 {
    let gap =
        |entry: &Entry| ((entry.bore - bore).abs() / bore).max((entry.outside - outside).abs() / outside);
    let radial = || tables().entries.iter().filter(|entry| entry.tapered.is_none());
    let close = radial().filter(|entry| gap(entry) <= NEAR_SHARE);
    let largest = close.map(|entry| entry.chamfer_min).fold(0.0, f64::max);
    if largest > 0.0 {
        return largest;
    }
    radial()
        .min_by(|a, b| gap(a).total_cmp(&gap(b)))
        .map_or(0.1 * (outside - bore), |entry| entry.chamfer_min)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(rows: &[EnvelopeRow]) -> Vec<&str> {
        rows.iter().map(|r| r.designation.as_str()).collect()
    }

    #[test]
    fn an_old_seat_is_told_every_kind_that_fits_it() {
        let found = by_envelope(30.0, 55.0, Some(13.0)).unwrap();
        for wanted in ["6006", "7006", "NU1006"] {
            assert!(names(&found.matches).contains(&wanted), "{:?}", names(&found.matches));
        }
        for other in ["32006", "33006", "16006", "63006"] {
            assert!(names(&found.nearest).contains(&other), "{:?}", names(&found.nearest));
        }
        let tapered = found.nearest.iter().find(|r| r.designation == "32006").unwrap();
        assert_eq!(tapered.difference, "width 4 mm wider");
        assert!(tapered.adjustment.contains("adjusted axially"));
        assert!(found.note().contains("32006"));
    }

    #[test]
    fn without_a_width_every_width_fits() {
        let found = by_envelope(30.0, 55.0, None).unwrap();
        for wanted in ["6006", "16006", "7006", "32006"] {
            assert!(names(&found.matches).contains(&wanted));
        }
        assert!(found.nearest.is_empty());
    }

    #[test]
    fn a_near_miss_lists_the_nearest_first() {
        let found = by_envelope(20.0, 46.5, None).unwrap();
        assert!(found.matches.is_empty());
        assert_eq!((found.nearest[0].bore, found.nearest[0].outside), (20.0, 47.0));
        assert!(found.nearest[0].difference.contains("outside 0.5 mm larger"));
        assert!(found.nearest.len() >= NEAREST);
    }

    #[test]
    fn nonsense_is_refused() {
        for (bore, outside, width) in [
            (f64::NAN, 47.0, None),
            (20.0, f64::INFINITY, None),
            (20.0, 10.0, None),
            (-1.0, 47.0, None),
            (20.0, 47.0, Some(0.0)),
        ] {
            assert!(by_envelope(bore, outside, width).is_err());
        }
    }

    #[test]
    fn a_measured_bearing_borrows_the_largest_chamfer_around() {
        assert_eq!(largest_chamfer_near(20.0, 47.0), 1.0);
        assert_eq!(largest_chamfer_near(20.5, 50.0), 1.1);
        assert!(largest_chamfer_near(200.0, 310.0) >= 2.1);
    }
}
