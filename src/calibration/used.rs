//! What a part is told that is made with a fitted preset: how its files are corrected, what is left to the hands, and
//! which fits are too narrow for the printer. With a preset that nothing was fitted to, nothing changes.

use crate::checks::{Finding, Level};
use crate::design::{Design, Extent, Size};
use crate::error::{hundredth, number};
use crate::workshop::{Printer, Workshop};

/// Tells a design of the fitted preset it is made with.
pub fn tell(design: &mut Design, workshop: &Workshop) {
    let printer = &workshop.printer;
    if !printer.is_fitted() {
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
    design.findings.extend(too_narrow(design, printer));
    design.notes.cautions.push(once(printer));
    design.notes.mechanics.push(left_over(printer));
}

/// How far a printed diameter of that size may be off what is expected, mm.
fn off(printer: &Printer, diameter: f64) -> f64 {
    let sure = &printer.uncertainty;
    let constant = sure.hole_allowance.max(sure.outside_allowance);
    constant.hypot(diameter * sure.scale[0].hypot(sure.scale[1]) / 2.0)
}

/// The diameter whose band is narrowest beside what the printer is known to keep.
fn too_narrow(design: &Design, printer: &Printer) -> Option<Finding> {
    let round = |size: &&Size| size.shown.iter().any(|shown| matches!(shown.extent, Extent::Round { .. }));
    let room = |size: &Size| Some((size.band?.under + size.band?.over) / 2.0);
    let bands = design.sizes.iter().filter(round).filter_map(|size| Some((size, room(size)?)));
    let (size, room) =
        bands.min_by(|a, b| (a.1 / off(printer, a.0.value)).total_cmp(&(b.1 / off(printer, b.0.value))))?;
    let off = off(printer, size.value);
    Some(Finding::at_most(
        "print-spread",
        (off, room, "mm"),
        Level::Caution,
        format!(
            "A diameter of this printer is known to ± {} mm; {} has {} mm either way.",
            hundredth(off),
            size.label,
            hundredth(room)
        ),
        "Measure it on the print before it is used: a hole too small is drilled or reamed, an outside too large is sanded, what is too loose is shimmed or printed anew.",
        format!("expanded uncertainty (k = 2) of printer preset {}", printer.name),
    ))
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

/// What is not drawn into the part.
fn left_over(printer: &Printer) -> String {
    let out = -printer.outside_allowance;
    let how = if out > 0.0 { "large" } else { "small" };
    format!(
        "On this printer outsides come out {} mm {how} (± {}), for which nothing is drawn: measure them before they are used. The first layer bulges {} mm a side (± {}): take that off with a knife or in the slicer's first-layer setting.",
        hundredth(out.abs()),
        hundredth(printer.uncertainty.outside_allowance),
        hundredth(printer.first_layer),
        hundredth(printer.uncertainty.first_layer)
    )
}
