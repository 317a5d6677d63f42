//! The checks of a pulley: what is left about its bore, whether its teeth stand the belt, how true it runs.

use super::clamp::{Clamp, lasting};
use super::layout::{Layout, PRINTED};
use super::spec::Pulley;
use crate::belt_drive::LEAST_MESH;
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::error::{Result, hundredth, number, to_thousandth};
use crate::mechanics::clamp::HOLDS;
use crate::mechanics::strength;
use crate::solid::{Frame, Mesh, polygon};
use crate::workshop::Workshop;

/// Least web about the bore that is trusted, mm (common practice, no source): seven printed lines.
const TRUSTED_WEB: f64 = 3.0;
/// How near to each other the walls are probed, mm: several times on each flank of the smallest tooth.
const SPACING: f64 = 0.5;
/// Greatest run-out of a stocked pulley up to 203 mm across, mm: total indicator reading.
const TRUE: f64 = 0.13;
const TRUE_SOURCE: &str = "ANSI/RMA IP-24: 0.13 mm of radial run-out up to 203 mm across";

/// Every finding.
pub fn findings(spec: &Pulley, layout: &Layout, workshop: &Workshop, piece: &Piece) -> Result<Vec<Finding>> {
    let mut all = vec![least_teeth(layout), space(layout)];
    all.extend(webs(layout, workshop, &piece.mesh));
    all.extend(thinnest(workshop, &piece.mesh));
    all.extend(teeth(layout, workshop)?);
    all.extend(layout.clamp.as_ref().map(|clamp| grip(layout, clamp)));
    all.push(run_out(spec, layout));
    all.push(bed(workshop, piece));
    Ok(all)
}

fn least_teeth(layout: &Layout) -> Finding {
    let (count, least) = (layout.teeth.count, layout.profile.least_teeth);
    Finding::at_least(
        "pulley-teeth",
        (f64::from(count), f64::from(least), ""),
        Level::Caution,
        format!(
            "The pulley has {count} teeth; {} cords bend safely round {least} or more.",
            layout.profile.name
        ),
        format!("Give --teeth {least} or more and keep the ratio."),
        layout.profile.least_teeth_source.clone(),
    )
}

/// Whether the tooth space is published.
fn space(layout: &Layout) -> Finding {
    Finding::at_least(
        "tooth-space",
        (f64::from(u8::from(layout.space.published)), 1.0, ""),
        Level::Caution,
        match layout.space.published {
            true => format!(
                "The tooth space is the published one, {} mm deep, drawn {} mm wider for the print.",
                hundredth(layout.space.depth),
                hundredth(layout.clearance)
            ),
            false => format!(
                "No tooth space is published for {}: it is drawn after the belt's own tooth, {} mm deep.",
                layout.profile.name,
                hundredth(layout.space.depth)
            ),
        },
        "Print the trial segment first: the belt must lie on it without rocking and without standing off.",
        layout.space.source.clone(),
    )
}

/// The least web that a level section through the mesh shows between its outlines.
fn least_web(mesh: &Mesh, height: f64) -> Option<f64> {
    let outlines = mesh.slice(&Frame::level(height));
    let pairs = outlines.iter().enumerate().flat_map(|(k, a)| outlines[k + 1..].iter().map(move |b| (a, b)));
    pairs.map(|(a, b)| polygon::apart(a, b)).reduce(f64::min)
}

/// What is left between bore and tooth spaces, and about the nuts, measured in sections.
fn webs(layout: &Layout, workshop: &Workshop, mesh: &Mesh) -> Vec<Finding> {
    let line = workshop.printer.line_width;
    let mut all = Vec::new();
    // Beside the middle, where no corner of the mesh lies.
    let face = layout.face.0 + 0.487 * (layout.face.1 - layout.face.0);
    if let Some(web) = least_web(mesh, face) {
        all.push(Finding::at_least(
            "bore-web",
            (to_thousandth(web), TRUSTED_WEB, "mm"),
            if web < 4.0 * line { Level::Stop } else { Level::Caution },
            format!("Between the bore and the tooth spaces {} mm are left, measured in a section through the mesh.", hundredth(web)),
            "Take more --teeth, or have a metal pulley bored.",
            "common practice: seven printed lines; a stop below four",
        ));
    }
    if let Some(screws) = &layout.screws {
        let above = screws.height + screws.passage / 2.0 + 0.3;
        if let Some(web) = least_web(mesh, above) {
            all.push(Finding::at_least(
                "hub-wall",
                (to_thousandth(web), PRINTED * line, "mm"),
                Level::Stop,
                format!(
                    "The thinnest wall about a nut in the hub measures {} mm in a section through the mesh.",
                    hundredth(web)
                ),
                "Leave --hub out, or give a greater one.",
                "two printed lines from either side (common practice)",
            ));
        }
    }
    all
}

/// The thinnest wall anywhere, teeth and flanges with it: what is narrower than one line is left out of the print.
fn thinnest(workshop: &Workshop, mesh: &Mesh) -> Option<Finding> {
    let wall = mesh.thinnest_wall(SPACING)?;
    let line = workshop.printer.line_width;
    let radius = nalgebra::center(&wall.from, &wall.to).coords.xy().norm();
    Some(Finding::at_least(
        "thinnest-wall",
        (to_thousandth(wall.thickness), line, "mm"),
        Level::Stop,
        format!(
            "The thinnest wall of the print measures {} mm on its mesh, {} mm from the axis; a printed line is {} mm.",
            hundredth(wall.thickness),
            number((10.0 * radius).round() / 10.0),
            number(line)
        ),
        "Take more --teeth, a coarser --profile, or a printer with a finer nozzle.",
        "a wall narrower than one printed line is left out of the print",
    ))
}

/// Whether the teeth stand the belt: the whole pull of one span, on the six teeth a belt is rated at.
fn teeth(layout: &Layout, workshop: &Workshop) -> Result<Vec<Finding>> {
    let printed = lasting(workshop)?;
    // The most two spans can differ by before one hangs slack is twice the tension at rest.
    let pull = 2.0 * layout.tension;
    let carrying = f64::from((layout.teeth.count / 2).clamp(1, LEAST_MESH));
    let (root, lever) = layout.teeth.bent_section();
    let depth = layout.teeth.depth;
    let each = pull / carrying;
    let shear = each / (root * layout.belt_width);
    let bending = 6.0 * each * lever / (root * root * layout.belt_width);
    let pressure = each / (depth * layout.belt_width);
    let stress = (bending.powi(2) + 3.0 * shear.powi(2)).sqrt();
    // Layers lie square to the axis, so teeth bend and shear within them.
    let safety = printed.tensile_in_plane / stress;
    let crushing = printed.compressive_yield / pressure;
    let why = format!("{} N, twice the tension at rest, on {} teeth", hundredth(pull), number(carrying));
    let remedy = "Take a wider belt (--width), a coarser --profile, or less --tension.";
    Ok(vec![
        Finding::settled(
            "tooth-strength",
            Relation::AtLeast,
            (to_thousandth(safety), strength::TRUSTED, ""),
            strength::level(safety),
            format!(
                "{why}: a tooth stands {stress:.2} MPa at its root in bending and shear, safety {safety:.1}."
            ),
            remedy,
            "Shigley, a short beam under the load on its flank; lasting strength within the layers",
        ),
        Finding::settled(
            "tooth-pressure",
            Relation::AtLeast,
            (to_thousandth(crushing), strength::TRUSTED, ""),
            strength::level(crushing),
            format!("{why}: the belt presses a flank with {pressure:.2} MPa, safety {crushing:.1}."),
            remedy,
            "the pull over the flank's height and the belt's width; lasting compressive yield",
        ),
    ])
}

/// Whether a clamp holds the shaft against the belt.
fn grip(layout: &Layout, clamp: &Clamp) -> Finding {
    let factor = clamp.factor();
    Finding::at_least(
        "clamp-grip",
        (to_thousandth(factor), HOLDS, ""),
        if factor < 1.0 { Level::Stop } else { Level::Caution },
        format!(
            "Two {} tightened to {:.2} N·m press the seats and bend the cap, {} mm thick over the shaft, no harder than they bear; after months they grip a shaft of {} mm with {:.2} N·m, {factor:.1} times the belt's {:.2} N·m.",
            clamp.size,
            clamp.screw.torque_nm,
            hundredth(clamp.thick),
            number(layout.bore.shaft),
            clamp.grips / 1000.0,
            clamp.asked / 1000.0
        ),
        "Have a metal pulley bored that clamps or is keyed.",
        "common practice: friction holds twice the pull; µ 0.2 of plastic on steel, the least of 0.2 to 0.3",
    )
}

/// How true it runs, and what that does to belt and count.
fn run_out(spec: &Pulley, layout: &Layout) -> Finding {
    let off_axis = layout.run_out / 2.0;
    let ripple = (off_axis / (layout.pitch_diameter() / 2.0)).atan().to_degrees();
    let strain = layout.tension / (layout.profile.stiffness * layout.belt_width);
    // Equal pulleys part by half the stretch; the axis wanders by its whole offset either way.
    let shortest = 4.0 * off_axis / strain;
    let measured = if spec.run_out.is_some() { "" } else { ", estimated until it is measured," };
    Finding::at_most(
        "run-out",
        (layout.run_out, TRUE, "mm"),
        Level::Caution,
        format!(
            "A run-out of {} mm{measured} turns the belt ahead and back by {ripple:.2}° once a turn, and moves its pitch line in and out by {} mm; belts shorter than {shortest:.0} mm then lose more than half of their tension once a turn.",
            hundredth(layout.run_out),
            hundredth(off_axis)
        ),
        "Measure it with an indicator on the shaft and give --run-out; turn the pulley on its shaft until it is least, or true the bore.",
        TRUE_SOURCE,
    )
}

fn bed(workshop: &Workshop, piece: &Piece) -> Finding {
    let size = piece.body.bounds().size();
    let bed = workshop.printer.bed;
    let worst =
        [0, 1, 2].into_iter().max_by(|&a, &b| (size[a] - bed[a]).total_cmp(&(size[b] - bed[b]))).unwrap_or(0);
    Finding::at_most(
        "bed-size",
        (to_thousandth(size[worst]), bed[worst], "mm"),
        Level::Stop,
        format!(
            "The pulley prints {:.0} mm across and {:.0} mm high; the bed of {} takes {:.0} × {:.0} × {:.0} mm.",
            size.x, size.z, workshop.printer.name, bed[0], bed[1], bed[2]
        ),
        "Take a larger --printer, or fewer --teeth.",
        "the printer's preset",
    )
}
