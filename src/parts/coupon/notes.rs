//! What the person at the bench is told of a coupon.

use super::layout::{LADDER, Layout, OVERHANG, RUNGS, SCREW, UNDER};
use super::spec::Coupon;
use crate::calibration::Reading;
use crate::design::{Extent, Notes, PrintNotes};
use crate::error::{hundredth, number};
use crate::workshop::Workshop;

/// What is looked at or tried instead of measured: its letter, and what is good.
pub(super) fn looks(spec: &Coupon, layout: &Layout) -> Vec<(char, String)> {
    let mut looks = vec![
        (OVERHANG, "the 45° overhang of the tower: no strand hangs from it".to_string()),
        (
            UNDER,
            format!(
                "the bridge of {} mm beside it: no strand hangs by more than a layer",
                number(layout.bridge())
            ),
        ),
    ];
    if let Some(with) = &spec.with {
        looks.push((LADDER, format!("the ladder of fits, to be tried with {}", with.what)));
    }
    looks
}

pub(super) fn notes(
    spec: &Coupon,
    layout: &Layout,
    readings: &[(Reading, Extent)],
    workshop: &Workshop,
    print: PrintNotes,
) -> Notes {
    Notes {
        purpose: "Shows by how much this printer's holes, outsides, walls, first layer and axes are off, so that parts can be drawn for it.".into(),
        mechanics: vec![
            "Everything on it is drawn bare, with no allowance: what you read less what is drawn is the printer's own error. Holes mostly print small by a constant, outsides by another, and x and y differ on one machine.".into(),
            "Calipers are good to 0.03 mm outside and 0.05 mm inside on prints; in the holes E, F and G drill shanks or pins are better: the largest that slides in by its own weight is the reading.".into(),
        ],
        print,
        steps: steps(spec, layout, readings, workshop),
        cautions: vec!["The readings hold for this printer, this material and this slicer profile. Leave the slicer's own hole, contour, first-layer and shrinkage compensation as it is now, whenever a part is printed with the fitted preset: else the same error is corrected twice.".into()],
        hardware: vec![],
        readings_wanted: vec![],
        print_readings: vec![],
    }
}

fn steps(spec: &Coupon, layout: &Layout, readings: &[(Reading, Extent)], workshop: &Workshop) -> Vec<String> {
    let mut steps = vec![
        "Let the print cool on the bed, take it off, and remove strings, not edges.".to_string(),
        "Zero the caliper with its jaws closed. Take each letter three times, at three places, off the seam; a diameter three ways round.".to_string(),
        "S and T are the slab's own edges, with the jaws down to the bed's side; A to D are taken above the slab. P and R are taken over the bed's side, slab included.".to_string(),
        format!("Try an {SCREW} screw in U, and its nut in V: the nut goes in by thumb and does not turn."),
    ];
    for (letter, what) in looks(spec, layout).iter().filter(|(letter, _)| *letter != LADDER) {
        steps.push(format!("Look at {letter}, {what}."));
    }
    if let Some(with) = &spec.with {
        let rungs = layout.rungs();
        let list: Vec<String> = rungs
            .iter()
            .rev()
            .map(|(drawn, depth)| format!("{} mm down: {}", hundredth(*depth), hundredth(*drawn)))
            .collect();
        let corner = match with.rounded {
            true => {
                " Its rounded corner goes in first: count from where its full diameter begins, or the steps as they are felt."
            }
            false => "",
        };
        steps.push(format!(
            "Set {} into the ladder ({LADDER}) from above, first by hand, then pressed: how deep it goes tells the step.{corner} Steps of {} mm in diameter, to {}.",
            with.what,
            hundredth(RUNGS[1] - RUNGS[0]),
            list.join("; ")
        ));
    }
    let first = readings.first().map_or('A', |(reading, _)| reading.letter);
    steps.push(format!(
        "Write what you read into a file readings.toml, a line a letter in millimetres: {first} = [first, second, third], and so on through all {} letters of the table.",
        readings.len()
    ));
    steps.push(format!(
        "Fit the preset: fixwright printer mine --from {} --coupon readings.toml --material {}; then name --printer mine.toml for the parts.",
        workshop.printer.name, workshop.material.name
    ));
    steps
}
