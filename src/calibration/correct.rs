//! Allowances put right by what was read on a part's print: the weighted mean of what the preset holds and what the
//! readings say (JCGM 100), each by its uncertainty.

use super::Feature;
use super::fit::{APART, CALIPER, COVERAGE, IN_COMMON, REPEATABILITY};
use crate::error::{Error, Result, hundredth, to_thousandth};
use crate::workshop::Printer;
use serde::Serialize;
use toml_edit::{DocumentMut, Item, Table, value};

/// What was read at one place of a print.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// How the caliper table calls it.
    pub name: String,
    /// What sort of size it is.
    pub feature: Feature,
    /// What was drawn, mm.
    pub drawn: f64,
    /// What was read, mm.
    pub values: Vec<f64>,
}

/// An allowance and its expanded uncertainty (k = 2), mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Allowance {
    /// Added to what is drawn.
    pub value: f64,
    /// How far it may be off; nought where it was never fitted.
    pub uncertainty: f64,
}

/// One allowance of a preset, before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Correction {
    /// The preset's key.
    pub key: &'static str,
    /// What it was.
    pub old: Allowance,
    /// What the readings alone say.
    pub read: Allowance,
    /// What it is now.
    pub new: Allowance,
    /// How many readings it was corrected from.
    pub readings: usize,
}

/// Readings of one sort that differ from their mean by more than so many of its standard deviations contradict.
const CONTRADICTS: f64 = 3.0;

/// What the readings change in a preset.
///
/// Fails where none of them is of a hole or an outside, and where they contradict each other or what the preset was
/// fitted to.
pub fn corrections(printer: &Printer, places: &[Place]) -> Result<Vec<Correction>> {
    let sure = &printer.uncertainty;
    let held = [
        (Feature::Hole, "hole-allowance", printer.hole_allowance, sure.hole_allowance),
        (Feature::Outside, "outside-allowance", printer.outside_allowance, sure.outside_allowance),
    ];
    let mut list = vec![];
    for (feature, key, value, uncertainty) in held {
        let of: Vec<&Place> = places.iter().filter(|place| place.feature == feature).collect();
        if !of.is_empty() {
            list.push(corrected(printer, key, Allowance { value, uncertainty }, &of)?);
        }
    }
    if list.is_empty() {
        return Err(Error::request(
            "None of these readings is of a hole or an outside: no allowance comes of them.",
            "Read a bore, a slot or an outside diameter too, or print a coupon.",
        ));
    }
    Ok(list)
}

fn corrected(printer: &Printer, key: &'static str, old: Allowance, places: &[&Place]) -> Result<Correction> {
    let hole = places.iter().any(|place| place.feature == Feature::Hole);
    let (caliper, in_common) = if hole { (CALIPER.1, IN_COMMON.1) } else { (CALIPER.0, IN_COMMON.0) };
    let alone = caliper * caliper - in_common * in_common;
    // Of each place: what its allowance should have been, and the variance of that.
    let mut rows = vec![];
    for place in places {
        let count = place.values.len().max(1) as f64;
        let mean = place.values.iter().sum::<f64>() / count;
        if let Some(wild) = place.values.iter().find(|v| (*v - mean).abs() > APART.0) {
            return Err(contradiction(format!(
                "The readings of {} differ: {} mm is {} mm off their mean.",
                place.name,
                hundredth(*wild),
                hundredth((wild - mean).abs())
            )));
        }
        let scale =
            place.drawn * printer.uncertainty.scale[0].hypot(printer.uncertainty.scale[1]) / 2.0 / COVERAGE;
        let variance = REPEATABILITY.0.powi(2) / count + alone + scale * scale;
        rows.push((place, place.drawn - mean, variance));
    }
    let weight: f64 = rows.iter().map(|row| 1.0 / row.2).sum();
    let mean = rows.iter().map(|row| row.1 / row.2).sum::<f64>() / weight;
    let off = |row: &(&&Place, f64, f64)| (row.1 - mean).abs() / (row.2 - 1.0 / weight).max(1e-9).sqrt();
    if let Some(worst) = rows
        .iter()
        .filter(|row| rows.len() > 1 && off(row) > CONTRADICTS)
        .max_by(|a, b| off(a).total_cmp(&off(b)))
    {
        let says: Vec<String> =
            rows.iter().map(|row| format!("{} asks for {}", row.0.name, hundredth(row.1))).collect();
        return Err(contradiction(format!(
            "The readings contradict each other, {} most: as {key}, {} mm.",
            worst.0.name,
            says.join(", ")
        )));
    }
    let expanded = |variance: f64| COVERAGE * (variance + in_common * in_common).sqrt();
    let read = Allowance { value: mean, uncertainty: expanded(1.0 / weight) };
    let explained = read.uncertainty.hypot(old.uncertainty);
    let fitted = old.uncertainty > 0.0;
    // A few readings do not overturn a coupon: either they, or the coupon, or the spool are not what they seem.
    if fitted && (read.value - old.value).abs() > explained {
        return Err(Error::request(
            format!(
                "As {key} these readings ask for {} ± {} mm; the preset holds {} ± {}, from more of them.",
                hundredth(read.value),
                hundredth(read.uncertainty),
                hundredth(old.value),
                hundredth(old.uncertainty)
            ),
            "Nothing was written. Measure again, clear of the first layer; if it stays so, spool or printer have changed: print a coupon and fit a preset anew.",
        ));
    }
    let new = if fitted {
        // What the jaws have in common does not grow less by reading with them again.
        let before = ((old.uncertainty / COVERAGE).powi(2) - in_common * in_common).max(1e-6);
        let (a, b) = (1.0 / before, weight);
        Allowance { value: (old.value * a + read.value * b) / (a + b), uncertainty: expanded(1.0 / (a + b)) }
    } else {
        read
    };
    let rounded = |of: Allowance| Allowance {
        value: to_thousandth(of.value),
        uncertainty: to_thousandth(of.uncertainty),
    };
    let readings = places.iter().map(|place| place.values.len()).sum();
    Ok(Correction { key, old, read: rounded(read), new: rounded(new), readings })
}

fn contradiction(says: String) -> Error {
    Error::request(
        says,
        "Nothing was written. Measure those places again, clear of the first layer and of strands, and correct then.",
    )
}

/// The text of a preset with its allowances corrected: all else of it stays, comments too.
///
/// Fails where the text is no preset, and where the corrected values are out of a preset's bounds.
pub fn rewritten(
    (name, text): (&str, &str),
    list: &[Correction],
    (part, material): (&str, &str),
) -> Result<String> {
    let mut preset: DocumentMut = text.parse().map_err(|e: toml_edit::TomlError| {
        Error::request(
            format!("The printer preset '{name}' cannot be read: {}.", e.message()),
            "Compare it with the files in presets/printers/.",
        )
    })?;
    for one in list {
        preset[one.key] = value_like(preset.get(one.key), one.new.value);
        if let Some(mut key) = preset.key_mut(one.key) {
            let before = key.leaf_decor().prefix().and_then(|p| p.as_str()).unwrap_or("").to_string();
            let told = with_uncertainty(&before, one.new.uncertainty);
            key.leaf_decor_mut().set_prefix(format!(
                "{told}# Corrected from {} reading{} on the print of '{part}': {} ± {} mm; it was {}{}.\n",
                one.readings,
                if one.readings == 1 { "" } else { "s" },
                one.new.value,
                one.new.uncertainty,
                one.old.value,
                match one.old.uncertainty {
                    0.0 => ", never fitted".to_string(),
                    off => format!(" ± {off} mm"),
                }
            ));
        }
        if !preset.contains_table("uncertainty") {
            preset["uncertainty"] = Item::Table(Table::new());
        }
        preset["uncertainty"][one.key] = value_like(preset["uncertainty"].get(one.key), one.new.uncertainty);
    }
    // What was never fitted was of no material yet.
    if preset.get("material").is_none() {
        preset["material"] = value(material);
    }
    let text = preset.to_string();
    Printer::read(name, &text)?;
    Ok(text)
}

/// A number with the decoration of the one it replaces.
fn value_like(old: Option<&Item>, number: f64) -> Item {
    let mut new = value(number);
    if let (Some(old), Some(new)) = (old.and_then(Item::as_value), new.as_value_mut()) {
        *new.decor_mut() = old.decor().clone();
    }
    new
}

/// A comment with another uncertainty where it tells one: `± 0.083 mm`.
fn with_uncertainty(comment: &str, off: f64) -> String {
    let told = comment.split_once("± ").and_then(|(before, rest)| Some((before, rest.split_once(" mm")?)));
    match told {
        Some((before, (number, after))) if number.parse::<f64>().is_ok() => {
            format!("{before}± {off:.3} mm{after}")
        }
        _ => comment.to_string(),
    }
}
