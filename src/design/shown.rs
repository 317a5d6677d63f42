//! A design as people read it. Where sizes are told in two systems of units, every sentence has the second beside the
//! first; programs are told the design as it was made.

use super::{Design, Hardware, Lettered, Notes, Origin, Piece, PrintReading, Size};
use crate::checks::Finding;
use crate::units::Units;
use std::borrow::Cow;

impl Design {
    /// The design with its sentences in its units.
    pub fn as_shown(&self) -> Cow<'_, Design> {
        let units = self.units;
        if units == Units::Metric {
            return Cow::Borrowed(self);
        }
        let pieces = |all: &[Piece]| all.iter().map(|piece| shown_piece(piece, units)).collect();
        Cow::Owned(Design {
            sizes: self.sizes.iter().map(|size| shown_size(size, units)).collect(),
            findings: self.findings.iter().map(|finding| shown_finding(finding, units)).collect(),
            pieces: pieces(&self.pieces),
            turned: pieces(&self.turned),
            notes: shown_notes(&self.notes, units),
            ..self.clone()
        })
    }
}

fn told(text: &str, units: Units) -> String {
    units.sentence(text).into_owned()
}

fn each(texts: &[String], units: Units) -> Vec<String> {
    texts.iter().map(|text| told(text, units)).collect()
}

/// A size as one asks for it in a shop: behind a metric screw's designation stands what its length is in the other unit.
fn asked_for(size: &str, units: Units) -> String {
    let length = size.strip_prefix('M').and_then(|rest| rest.rsplit_once([' ', '\u{a0}'])).and_then(
        |(before, last)| {
            let by = before.ends_with(['×', 'x']);
            last.parse().ok().filter(|_| by)
        },
    );
    match length.and_then(|mm| units.beside(mm, "mm")) {
        Some(beside) => format!("{size} mm ({beside})"),
        None => told(size, units),
    }
}

fn shown_size(size: &Size, units: Units) -> Size {
    let origin = match &size.origin {
        Origin::Table(source) => Origin::Table(told(source, units)),
        Origin::Formula(source) => Origin::Formula(told(source, units)),
        Origin::Given(source) => Origin::Given(told(source, units)),
        Origin::Preset(source) => Origin::Preset(told(source, units)),
        Origin::Practice(source) => Origin::Practice(told(source, units)),
        Origin::Estimate(source) => Origin::Estimate(told(source, units)),
    };
    Size { label: told(&size.label, units), origin, ..size.clone() }
}

fn shown_finding(finding: &Finding, units: Units) -> Finding {
    Finding {
        says: told(&finding.says, units),
        remedy: finding.remedy.as_ref().map(|remedy| told(remedy, units)),
        basis: told(&finding.basis, units),
        ..finding.clone()
    }
}

fn shown_piece(piece: &Piece, units: Units) -> Piece {
    let letter = |lettered: &Lettered| Lettered { what: told(&lettered.what, units), ..lettered.clone() };
    Piece {
        letters: piece.letters.iter().map(letter).collect(),
        purpose: piece.purpose.as_ref().map(|purpose| told(purpose, units)),
        making: each(&piece.making, units),
        ..piece.clone()
    }
}

fn shown_notes(notes: &Notes, units: Units) -> Notes {
    let hardware = |item: &Hardware| Hardware { size: asked_for(&item.size, units), ..item.clone() };
    let reading = |one: &PrintReading| PrintReading { what: told(&one.what, units), ..one.clone() };
    let mut print = notes.print.clone();
    print.lie = told(&print.lie, units);
    Notes {
        purpose: told(&notes.purpose, units),
        mechanics: each(&notes.mechanics, units),
        print,
        steps: each(&notes.steps, units),
        cautions: each(&notes.cautions, units),
        hardware: notes.hardware.iter().map(hardware).collect(),
        readings_wanted: each(&notes.readings_wanted, units),
        print_readings: notes.print_readings.iter().map(reading).collect(),
    }
}
