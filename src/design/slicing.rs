//! Test slices: the millimetres of a part that decide whether it fits, as a closed solid of their own. Minutes of
//! printing tell what hours would.

use super::{Design, Extent, Figure, Lettered, Piece};
use crate::error::{Error, Result};
use crate::solid::{Body, Loop, Point3, Region, Vector2, Vector3};

/// What of a part is printed to try a fit on: a layer of one piece between two heights.
#[derive(Clone, Debug, PartialEq)]
pub struct Slice {
    /// What it is asked for by: `nose`, `opening`.
    pub name: &'static str,
    /// The suffix of the piece it is of.
    pub piece: String,
    /// From which height of the piece to which, as it prints, mm.
    pub heights: (f64, f64),
    /// What to try on it: a sentence.
    pub to_try: String,
    /// The keys of the readings that decide, which can be taken on it though the part is drawn with them elsewhere; a key
    /// stands for those numbered after it too.
    pub readings: &'static [&'static str],
}

impl Slice {
    /// Whether a reading of that key decides.
    fn decides(&self, key: &str) -> bool {
        let numbered = |rest: &str| rest.strip_prefix('_').is_some_and(|n| n.parse::<u32>().is_ok());
        let named =
            |known: &&str| key.strip_prefix(known).is_some_and(|rest| rest.is_empty() || numbered(rest));
        self.readings.iter().any(named)
    }
}

/// A part that prints longer than this is worth a slice first, minutes.
const LONG: f64 = 60.0;

/// Makes the design that of one of its slices.
///
/// Fails where there is none of that name.
pub fn slice(design: &mut Design, name: &str) -> Result<()> {
    let Some(slice) = design.slices.iter().find(|slice| slice.name == name).cloned() else {
        let names: Vec<&str> = design.slices.iter().map(|slice| slice.name).collect();
        let next = match names.is_empty() {
            true => format!("This {} has no slice: leave --slice out.", design.kind),
            false => format!("Use one of {}.", names.join(", ")),
        };
        return Err(Error::unknown(
            format!("--slice {name}: no slice of this {} is called that.", design.kind),
            next,
        ));
    };
    let piece = design.pieces.iter().find(|piece| piece.suffix == slice.piece);
    let whole =
        piece.ok_or_else(|| Error::internal(format!("There is no piece '{}' to slice.", slice.piece)))?;
    let (body, by) = between(&whole.body, slice.heights)?;
    let share = body.volume() / design.pieces.iter().map(|p| p.body.volume() * p.count as f64).sum::<f64>();
    let top = body.bounds().most.z;
    let place = |extent: &Extent, decides: bool| -> Option<Extent> {
        if lies_in(extent, slice.heights) {
            return Some(extent.clone().moved(by));
        }
        decides.then(|| extent.clone().levelled(top / 2.0)).flatten()
    };
    let figures = whole.figures.iter().filter_map(|figure| {
        Some(Figure { what: figure.what.clone(), extent: place(&figure.extent, true)? })
    });
    let letters = whole
        .letters
        .iter()
        .map(|letter| Lettered { at: Point3::new(letter.at.x, letter.at.y, top), ..letter.clone() });
    let piece = Piece {
        seen_from: whole.seen_from,
        figures: figures.collect(),
        letters: letters.collect(),
        ..Piece::new("", body, design.chord_tolerance)?
    };
    design.lettered_as = design.readings().into_iter().map(|reading| (reading.key, reading.letter)).collect();
    design.sizes.retain_mut(|size| {
        let decides = slice.decides(&size.key);
        // A bracket's sizes are shown by its figures alone.
        let told = decides && size.shown.is_empty();
        size.shown.retain_mut(|shown| match place(&shown.extent, decides) {
            Some(extent) if shown.piece == slice.piece => {
                shown.piece.clear();
                shown.extent = extent;
                true
            }
            _ => false,
        });
        told || !size.shown.is_empty()
    });
    design.pieces = vec![piece];
    design.lists.clear();
    design.mating.clear();
    (design.flat, design.stands) = (None, None);
    let notes = &mut design.notes;
    notes.purpose = format!("Test slice '{name}' of {}: {}", design.name, slice.to_try);
    design.name = format!("{}-{name}", design.name);
    notes.mechanics.clear();
    notes.hardware.clear();
    notes.print_readings.retain(|reading| slice.decides(&reading.key));
    notes.print_readings.iter_mut().for_each(|reading| reading.on.clear());
    notes.print.mass_g *= share;
    notes.print.lie += " This is a slice of it, with the cut face down or up as it comes.";
    notes.steps = vec![
        slice.to_try.clone(),
        "If it fits, print the part with the same printer, spool and settings. If not, read it with the caliper and let fixwright check say what to change.".into(),
    ];
    notes.cautions.insert(0, "A slice is for trying a fit, and bears nothing: do no work with it.".into());
    Ok(())
}

/// Tells of the slice to print first, where the part takes long.
pub fn recommend(design: &mut Design) {
    let (Some(first), true) = (design.slices.first(), design.notes.print.time_min > LONG) else {
        return;
    };
    design.notes.steps.insert(
        0,
        format!(
            "It prints for over an hour: print its test slice first (--slice {0}, or in a job slice = \"{0}\"). {1}",
            first.name, first.to_try
        ),
    );
}

/// What of a body lies between two heights, set on the bed, and how far it was moved.
fn between(body: &Body, (low, high): (f64, f64)) -> Result<(Body, Vector3)> {
    let bounds = body.bounds();
    let size = bounds.size();
    let beyond = Region::new(
        Loop::rectangle(bounds.centre().xy() + Vector2::zeros(), size.x + 20.0, size.y + 20.0)?,
        vec![],
    )?;
    let mut cut = body.clone();
    if high < bounds.most.z - 1e-6 {
        cut = cut.cut(&Body::prism(&beyond, high, bounds.most.z + 10.0)?)?;
    }
    if low > bounds.least.z + 1e-6 {
        cut = cut.cut(&Body::prism(&beyond, bounds.least.z - 10.0, low)?)?;
    }
    let by = Vector3::z() * -cut.bounds().least.z;
    Ok((cut.moved(by), by))
}

/// Whether a size is on the slice from end to end.
fn lies_in(extent: &Extent, (low, high): (f64, f64)) -> bool {
    let (from, to) = extent.heights();
    from >= low - 1e-6 && to <= high + 1e-6
}
