//! What a part is told that is made with a fitted preset: how it is drawn and its files are corrected, what is left to
//! the hands, and which fits are too narrow for the printer. With a preset that nothing was fitted to, nothing changes.

use crate::checks::{Finding, Level};
use crate::design::{Design, Feature, PrintReading};
use crate::error::{hundredth, number};
use crate::workshop::{Printer, Workshop};

/// Tells a design of the fitted preset it is made with.
pub fn tell(design: &mut Design, workshop: &Workshop) {
    let printer = &workshop.printer;
    if !printer.is_fitted() {
        // What its preset says of it may still come out of a band, where it is not drawn by all of an allowance.
        design.findings.extend(too_narrow(design, printer).filter(|finding| finding.level != Level::Ok));
        return;
    }
    let of = workshop.material.label();
    if !printer.material.is_empty() && printer.material != of {
        design.notes.cautions.insert(
            0,
            format!(
                "Printer {} was fitted from a coupon of {}, and this is printed of {of}, which shrinks by another amount: print a coupon of {of}, and fit a preset to it.",
                printer.name, printer.material
            ),
        );
    }
    widen(design, printer);
    design.findings.extend(too_narrow(design, printer));
    design.notes.cautions.push(once(printer));
    design.notes.mechanics.push(drawn_in(design, printer));
    // What is read on a coupon is this very bulge.
    if design.kind != "coupon" {
        design.notes.steps.splice(0..0, trim(printer));
    }
}

/// A band that only tells of a misprint is no narrower than what the printer is known to keep.
fn widen(design: &mut Design, printer: &Printer) {
    for size in &mut design.sizes {
        let spread = size.feature.map_or(0.0, |feature| printer.spread(feature, size.value));
        if let Some(band) = size.band.as_mut().filter(|band| !band.firm) {
            (band.under, band.over) = (band.under.max(spread), band.over.max(spread));
        }
    }
}

/// The reading that strays farthest from its band by what the printer is known to keep.
fn too_narrow(design: &Design, printer: &Printer) -> Option<Finding> {
    let made = |r: &PrintReading| {
        let (middle, off) = (r.nominal - printer.allowance(r.feature), printer.spread(r.feature, r.nominal));
        (middle - off, middle + off)
    };
    let readings = design.readings();
    let strays = |r: &PrintReading| (r.least - made(r).0).max(made(r).1 - r.most);
    let worst = readings.iter().max_by(|a, b| strays(a).total_cmp(&strays(b)))?;
    let others: Vec<&str> = readings
        .iter()
        .filter(|r| strays(r) > NO_MORE && r.key != worst.key)
        .map(|r| r.what.as_str())
        .collect();
    let others = match others.is_empty() {
        true => String::new(),
        false => format!(" So do: {}.", others.join(", ")),
    };
    let (low, high) = made(worst);
    let middle = (low + high) / 2.0;
    let short = middle < worst.least - NO_MORE || middle > worst.most + NO_MORE;
    Some(Finding::at_most(
        "print-spread",
        // A hundredth is the caliper's last figure.
        (if strays(worst) > NO_MORE { strays(worst) } else { 0.0 }, 0.0, "mm"),
        Level::Caution,
        format!(
            "The print of {} is good from {} to {} mm, and may come from {} to {} off this printer.{others}",
            worst.what,
            hundredth(worst.least),
            hundredth(worst.most),
            hundredth(low),
            hundredth(high)
        ),
        work_over(worst, low < worst.least - NO_MORE, high > worst.most + NO_MORE, short),
        match printer.is_fitted() {
            true => format!("expanded uncertainty (k = 2) of printer preset {}", printer.name),
            false => format!("allowances of printer preset {}, not fitted", printer.name),
        },
    ))
}

/// Half of a caliper's last figure, mm.
const NO_MORE: f64 = 0.005;

/// What does where a print may come small or large, and where it is known to, being drawn short of the printer's error.
fn work_over(reading: &PrintReading, small: bool, large: bool, short: bool) -> String {
    let does = match reading.feature {
        _ if reading.as_printed => ("print it anew", "print it anew"),
        Feature::Hole => ("drill or ream it up to its band", "print it anew"),
        Feature::Outside | Feature::FirstLayer => ("print it anew", "sand it down to its band"),
        Feature::Height | Feature::Wall => ("print it anew", "sand it down to its band"),
        Feature::Distance => ("print it anew", "print it anew"),
    };
    let small = if small { format!(" Too small, {}.", does.0) } else { String::new() };
    let large = if large { format!(" Too large, {}.", does.1) } else { String::new() };
    let short = match short {
        true => {
            " It is not drawn by the whole of the printer's error, which would harm where a print comes out true: put the printer right first (flow, the steps of its axes), and fit a preset anew."
        }
        false => "",
    };
    format!("Measure it on the print before it is used.{small}{large}{short}")
}

/// How not to correct twice.
fn once(printer: &Printer) -> String {
    let scaled = match printer.scale == [1.0; 3] {
        true => String::new(),
        false => format!(
            " Its STL and 3MF files are scaled by {} in x, {} in y and {} in z; drawing and STEP are not.",
            number(1.0 / printer.scale[0]),
            number(1.0 / printer.scale[1]),
            number(1.0 / printer.scale[2])
        ),
    };
    format!(
        "Drawn for printer {}.{scaled} Print it at 100 %, as it lies, with the slicer's hole, contour and shrinkage compensation as it was for the coupon: else the same error is corrected twice.",
        printer.name
    )
}

/// What is drawn into the part, and what is not.
fn drawn_in(design: &Design, printer: &Printer) -> String {
    let readings = design.readings();
    let by = |feature: Feature| {
        readings.iter().any(|r| r.feature == feature && (r.nominal - r.wanted).abs() > 1e-9)
    };
    let mm = |value: f64| format!("{} mm", hundredth(value));
    let holes = match by(Feature::Hole) {
        true => format!("Holes that something goes into are drawn {} wider", mm(printer.hole_allowance)),
        false => "No hole of it that is read is drawn wider".into(),
    };
    let out = printer.outside_allowance;
    let outsides = match by(Feature::Outside) {
        true if out < 0.0 => format!("outsides that go into something {} smaller", mm(-out)),
        true => format!("outsides that go into something {} larger", mm(out)),
        false => format!(
            "outsides are drawn as they are told, and come out {} {}",
            mm(out.abs()),
            if out < 0.0 { "larger" } else { "smaller" }
        ),
    };
    format!(
        "{holes} (± {}); {outsides} (± {}). The caliper table says what each should measure; other faces are drawn as they are told.",
        mm(printer.uncertainty.hole_allowance),
        mm(printer.uncertainty.outside_allowance)
    )
}

/// What the first layer's bulge asks of the hands before anything is measured.
fn trim(printer: &Printer) -> Option<String> {
    (printer.first_layer > 0.02).then(|| {
        format!(
            "The layer on the bed bulges {} mm a side on this printer (± {}): cut that off all round with a deburring knife, in every hole that opens on the bed too, before the print is measured or put on anything. Measure clear of that layer.",
            hundredth(printer.first_layer),
            hundredth(printer.uncertainty.first_layer)
        )
    })
}
