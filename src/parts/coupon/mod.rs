//! The coupon: a small print with what the parts rest on, measured letter by letter, from which a printer's preset is
//! fitted.
//!
//! * [`spec`]: what the person says;
//! * `layout`: what stands where, and the solid;
//! * `notes`: what the bench is told.
//!
//! Everything is drawn bare, without allowances and scales: what is read is then the printer's own error.

mod layout;
mod notes;
pub mod spec;

pub use spec::{Coupon, With};

use super::drilled::bed_finding;
use crate::calibration::Reading;
use crate::checks::{Finding, Level};
use crate::design::{Design, Extent, FreeFace, Lettered, Origin, Part, Piece, PrintNotes, Size};
use crate::error::{Error, Result, to_hundredth, to_thousandth};
use crate::solid::Vector3;
use crate::workshop::{Printer, Workshop};
use layout::Layout;
use serde_json::{Map, Value, json};

/// Longest printing time, minutes, and greatest mass, g, of a coupon one prints without thinking twice.
const MOST: (f64, f64) = (25.0, 15.0);

/// What a coupon printed with that preset is read for, letter by letter.
pub fn readings(printer: &Printer) -> Result<Vec<Reading>> {
    Ok(Layout::new(printer, None)?.readings().into_iter().map(|(reading, _)| reading).collect())
}

impl Part for Coupon {
    fn default_name(&self) -> String {
        match &self.with {
            Some(with) => format!("coupon-{}", with.text.to_lowercase().replace(['/', '\\', ' ', '"'], "-")),
            None => "coupon".into(),
        }
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let printer = &workshop.printer;
        if printer.is_fitted() {
            return Err(Error::request(
                format!(
                    "The printer preset '{}' is fitted already: its coupon would hide what is corrected.",
                    printer.name
                ),
                "Print the coupon with the preset it was fitted from, such as --printer bed-220.",
            ));
        }
        let layout = Layout::new(printer, self.with.as_ref())?;
        let body = layout.body()?;
        let middle = body.bounds().centre();
        let by = Vector3::new(-middle.x, -middle.y, 0.0);
        let letters = layout.looked_at(&notes::looks(self, &layout));
        let letters = letters.into_iter().map(|letter| Lettered { at: letter.at + by, ..letter }).collect();
        let piece = Piece { letters, ..Piece::new("", body.moved(by), workshop.chord_tolerance)? };
        let readings: Vec<(Reading, Extent)> =
            layout.readings().into_iter().map(|(reading, extent)| (reading, extent.moved(by))).collect();
        let print = print_notes(&piece, workshop);
        let taken = print.takes(&piece.mesh, printer.line_width, &printer.speeds);
        let (minutes, mass) = (taken.seconds / 60.0, taken.volume * workshop.material.density / 1000.0);
        let letters = readings.iter().map(|(reading, _)| (key(reading.letter), reading.letter.to_string()));
        Ok(Design {
            kind: "coupon",
            name: name.to_string(),
            sizes: sizes(&readings),
            lists: lists(self, &layout, &readings, minutes),
            findings: findings(self, &piece, (minutes, mass), workshop),
            notes: notes::notes(self, &layout, &readings, workshop, print),
            chord_tolerance: workshop.chord_tolerance,
            pieces: vec![piece],
            lettered_as: letters.collect(),
            letters_raised: true,
            free_face: FreeFace::Tab {
                piece: String::new(),
                at: layout::tab() + by,
                size: (layout.slab(), layout::TAB),
            },
            ..Design::default()
        })
    }
}

fn print_notes(piece: &Piece, workshop: &Workshop) -> PrintNotes {
    PrintNotes {
        lie: "Slab on the bed, as drawn, x along the printer's x; no support, no brim.".into(),
        layer_mm: workshop.printer.layer,
        walls: 3,
        infill_percent: 100.0,
        material: workshop.material.label(),
        mass_g: piece.body.volume() * workshop.material.density / 1000.0,
        ..PrintNotes::default()
    }
}

fn sizes(readings: &[(Reading, Extent)]) -> Vec<Size> {
    readings
        .iter()
        .zip(0u8..)
        .map(|((reading, extent), at)| {
            let label = format!("{}: {}", reading.letter, reading.what);
            let bare = Origin::Practice("drawn bare, without allowance".into());
            let (under, over) = (reading.drawn - reading.least, reading.most - reading.drawn);
            let size = Size::at(key(reading.letter), label, "", extent.clone(), bare)
                .printed(reading.feature, 0.0)
                .good(under, over);
            if at < 4 { size.at_bench(at) } else { size }
        })
        .collect()
}

fn key(letter: char) -> String {
    format!("{}_drawn", letter.to_ascii_lowercase())
}

fn lists(spec: &Coupon, layout: &Layout, readings: &[(Reading, Extent)], minutes: f64) -> Map<String, Value> {
    let rows = readings.iter().map(|(reading, _)| {
        let mut row = json!(reading);
        for key in ["drawn", "least", "most"] {
            row[key] = json!(row[key].as_f64().map(to_thousandth));
        }
        row
    });
    let rungs = layout.rungs();
    let ladder = rungs
        .iter()
        .map(|(drawn, depth)| json!({ "drawn": to_hundredth(*drawn), "depth": to_hundredth(*depth) }));
    let looks = notes::looks(spec, layout);
    let looks = looks.iter().map(|(letter, what)| json!({ "letter": letter, "what": what }));
    Map::from_iter([
        ("readings".to_string(), rows.collect()),
        ("looks".to_string(), looks.collect()),
        ("ladder".to_string(), ladder.collect()),
        ("print_time_min".to_string(), json!(minutes.ceil())),
    ])
}

fn findings(spec: &Coupon, piece: &Piece, (minutes, mass): (f64, f64), workshop: &Workshop) -> Vec<Finding> {
    let remedy = match spec.with {
        Some(_) => "Leave --with out, or let it take its time.",
        None => "Let it take its time: a fine nozzle lays less plastic a second.",
    };
    vec![
        bed_finding(piece, workshop),
        Finding::at_most(
            "print-time",
            (minutes, MOST.0, "min"),
            Level::Caution,
            format!("It prints in about {minutes:.0} minutes."),
            remedy,
            PrintNotes::TIME_BASIS,
        ),
        Finding::at_most(
            "mass",
            (mass, MOST.1, "g"),
            Level::Caution,
            format!("It weighs about {mass:.1} g, solid."),
            "Leave --with out.",
            PrintNotes::TIME_BASIS,
        ),
    ]
}
