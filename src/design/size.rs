//! One size: told once, and drawn from there.
//!
//! A [`Size`] is a number with its key, its label, where it came from, the places on the printed pieces
//! where it can be seen, the band in which its print is good, and whether hands need it at the bench.
//! Report, drawing, caliper table, bench sheet and JSON are all written from a design's one list of them.

use super::extent::Extent;
use crate::catalog::fasteners;
use crate::error::{Error, Result};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Where a dimension came from. Printed behind every number, so nobody takes a guess for a fact.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "origin", content = "source", rename_all = "kebab-case")]
pub enum Origin {
    /// A row of a standard's or a maker's table, named.
    Table(String),
    /// A formula, with the handbook it stands in.
    Formula(String),
    /// What the user measured or asked for, with the option it came by.
    Given(String),
    /// A printer's or material's preset, named.
    Preset(String),
    /// Common practice, no source.
    Practice(String),
    /// An estimate on the safe side; says what reading would settle it.
    Estimate(String),
}

impl Origin {
    /// The option it came by where it was given, `otherwise` where not.
    pub fn given_or(given: bool, option: &str, otherwise: Origin) -> Self {
        match given {
            true => Self::Given(option.into()),
            false => otherwise,
        }
    }

    /// The standard's hole for a screw of that size, and the metric screw that passes it too.
    pub fn hole(size: &str) -> String {
        let hole = fasteners::standards(size).hole;
        match fasteners::passes(size) {
            Ok(Some(metric)) => format!("{hole} for {size}, which {} passes too", metric.size),
            _ => format!("{hole} for {size}"),
        }
    }

    /// A printed clearance hole for a screw of that size.
    pub fn clearance_hole(size: &str) -> Self {
        Self::Table(format!("{}, + the printer's hole allowance", Self::hole(size)))
    }
}

/// What sort of size is measured: each has an error of its own on a printer, and is worked over in its own way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Feature {
    /// The diameter or width of a hole or slot.
    Hole,
    /// The diameter or width of what stands.
    Outside,
    /// Upwards from the bed.
    Height,
    /// A wall, between two of its faces.
    Wall,
    /// The outside at the layer that lies on the bed.
    FirstLayer,
    /// Between two middles.
    Distance,
}

/// How far the print of a size may be off and still be good, mm. Both are distances from the size that is
/// wanted after printing, never less than nought, so that least ≤ wanted ≤ most however a band came about.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Band {
    /// How much smaller the print may be.
    pub under: f64,
    /// How much larger it may be.
    pub over: f64,
    /// Whether what it fits sets these limits. If not they only tell of a misprint, and a printer that is known
    /// less well has wider ones.
    pub firm: bool,
}

/// Where a size can be seen: on which piece, and between which places of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// The piece's suffix.
    pub piece: String,
    /// Where it runs, in the coordinates the piece prints in.
    pub extent: Extent,
}

/// One size. Millimetres unless the key ends in a unit
/// (`_deg`, `_n`, `_nm`, `_mpa`, `_um`, `_rpm`, `_hz`, `_g`, `_c`).
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// The stable JSON key, such as `nose_outer_diameter`.
    pub key: String,
    /// What a drawing or report calls it.
    pub label: String,
    /// The value, in the unit the key tells.
    pub value: f64,
    /// Where it came from.
    pub origin: Origin,
    /// Where it can be seen on the pieces; nowhere for a force or a bearing's size.
    pub shown: Vec<Shown>,
    /// What sort of size it is, for one that is measured on the print.
    pub feature: Option<Feature>,
    /// How much more is drawn than is wanted after printing, mm.
    pub allowance: f64,
    /// The band its print must keep, for a size that is measured on the print.
    pub band: Option<Band>,
    /// Whether its form works as it prints, so that no hand can work it over: teeth.
    pub as_printed: bool,
    /// Place in the list of numbers that hands need at the bench, the first first.
    pub bench: Option<u8>,
}

/// How far a size's value and the places it is shown at may differ, mm: the noise of the arithmetic.
const SAME: f64 = 1e-6;

impl Size {
    /// A size that is shown nowhere on the piece.
    pub fn new(key: impl Into<String>, label: impl Into<String>, value: f64, origin: Origin) -> Self {
        let (key, label) = (key.into(), label.into());
        Self {
            key,
            label,
            value,
            origin,
            shown: vec![],
            feature: None,
            allowance: 0.0,
            band: None,
            as_printed: false,
            bench: None,
        }
    }

    /// A size that is what its place says: its value is measured between the places given.
    pub fn at(
        key: impl Into<String>,
        label: impl Into<String>,
        piece: impl Into<String>,
        extent: Extent,
        origin: Origin,
    ) -> Self {
        Self::new(key, label, extent.value(), origin).shown_on(piece, extent)
    }

    /// The same size, seen at one more place.
    pub fn shown_on(mut self, piece: impl Into<String>, extent: Extent) -> Self {
        self.shown.push(Shown { piece: piece.into(), extent });
        self
    }

    /// The same size as the printed feature it is, drawn that much larger than it is to come out, mm.
    pub fn printed(self, feature: Feature, allowance: f64) -> Self {
        Self { feature: Some(feature), allowance, ..self }
    }

    /// The same size, measured on the print, which fits as far as it is smaller than wanted by `under` and larger by
    /// `over`, mm.
    pub fn good(self, under: f64, over: f64) -> Self {
        Self { band: Some(Band { under, over, firm: true }), ..self }
    }

    /// The same size, of which the printer takes off that much and which fits from `least` to `most`, mm. What the print is
    /// to measure is what this printer makes of it, or where that does not fit the nearest that does.
    pub fn fits(self, feature: Feature, taken_off: f64, (least, most): (f64, f64)) -> Self {
        let wanted = (self.value - taken_off).clamp(least.min(most), most);
        let allowance = self.value - wanted;
        self.printed(feature, allowance).good(wanted - least.min(most), most - wanted)
    }

    /// The same size, measured on the print to see a misprint: nothing fits there.
    pub fn about(self, off: f64) -> Self {
        Self { band: Some(Band { under: off, over: off, firm: false }), ..self }
    }

    /// The same size of a form that no hand can work over.
    pub fn as_printed(self) -> Self {
        Self { as_printed: true, ..self }
    }

    /// What the print is to measure: the value, less what is drawn more.
    pub fn wanted(&self) -> f64 {
        self.value - self.allowance
    }

    /// The same size among the numbers for the bench, at that place of their list.
    pub fn at_bench(self, place: u8) -> Self {
        Self { bench: Some(place), ..self }
    }

    /// Least and most that are good on the print, mm.
    pub fn limits(&self) -> Option<(f64, f64)> {
        self.band.map(|band| (self.wanted() - band.under, self.wanted() + band.over))
    }

    /// Whether a report in words names it: a wall that is not there, 0 thick, is left to the JSON.
    pub fn is_worth_words(&self) -> bool {
        self.value != 0.0 || !self.key.ends_with("_thickness")
    }

    /// The unit the key tells.
    pub fn unit(&self) -> &'static str {
        const UNITS: [(&str, &str); 11] = [
            ("pieces", ""),
            ("_factor", ""),
            ("_deg", "°"),
            ("_nm", "N·m"),
            ("_n", "N"),
            ("_mpa", "MPa"),
            ("_um", "µm"),
            ("_rpm", "1/min"),
            ("_hz", "Hz"),
            ("_g", "g"),
            ("_c", "°C"),
        ];
        UNITS.iter().find(|(suffix, _)| self.key.ends_with(suffix)).map_or("mm", |&(_, unit)| unit)
    }

    /// Fails where the size contradicts itself: no number, a band that leaves out what is wanted or is of nothing
    /// that can be measured, or a place of another length than its value.
    pub fn check(&self) -> Result<()> {
        let fault = |what: String| Err(Error::internal(format!("The size '{}' {what}.", self.key)));
        if !self.value.is_finite() || !self.allowance.is_finite() {
            return fault("is no number".into());
        }
        if let Some(Band { under, over, .. }) = self.band {
            if !(under >= 0.0 && over >= 0.0) {
                return fault(format!("is wanted {under} over its least and {over} under its most"));
            }
            if self.feature.is_none() {
                return fault(
                    "has a band, and whether it is a hole, an outside or a height is not said".into(),
                );
            }
        }
        match self.shown.iter().find(|shown| (shown.extent.value() - self.value).abs() > SAME) {
            Some(shown) => fault(format!(
                "is {} and lies between places {} apart on '{}'",
                self.value,
                shown.extent.value(),
                shown.piece
            )),
            None => Ok(()),
        }
    }
}

/// Sizes being gathered.
#[derive(Default)]
pub struct Sizes(pub Vec<Size>);

impl Sizes {
    /// Adds one at the end that is shown nowhere on the pieces.
    pub fn add(&mut self, key: impl Into<String>, label: impl Into<String>, value: f64, origin: Origin) {
        self.0.push(Size::new(key, label, value, origin));
    }

    /// Puts those of these keys that there are among the numbers for the bench, in this order.
    pub fn for_bench(&mut self, keys: &[&str]) {
        for size in &mut self.0 {
            size.bench = keys.iter().position(|key| *key == size.key).and_then(|at| u8::try_from(at).ok());
        }
    }

    /// Adds one at the end.
    pub fn push(&mut self, size: Size) {
        self.0.push(size);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_that_contradicts_itself_is_a_fault() {
        let size = || Size::new("wall", "wall", 2.0, Origin::Practice("two lines".into()));
        let wall = || size().printed(Feature::Wall, 0.0);
        assert!(wall().good(0.2, 0.1).check().is_ok());
        assert_eq!(wall().good(0.5, 0.25).limits(), Some((1.5, 2.25)));
        assert!(wall().good(-0.2, 0.1).check().is_err());
        assert!(size().good(0.2, 0.1).check().is_err(), "a band of nothing that can be measured");
        let hole = size().printed(Feature::Hole, 0.25).good(0.0, 0.5);
        assert_eq!((hole.wanted(), hole.limits()), (1.75, Some((1.75, 2.25))));
        assert!(Size { value: f64::NAN, ..size() }.check().is_err());
    }
}
