//! What the bench is told about a pulley.

use super::layout::Layout;
use super::spec::Pulley;
use crate::catalog::belts::article;
use crate::design::{Hardware, Notes, PrintNotes};
use crate::error::{Result, hundredth, number};
use crate::workshop::Workshop;

/// Walls printed solid, in lines: teeth of a fine profile are walls alone.
const WALLS: u32 = 5;
/// Infill, percent.
const INFILL: f64 = 60.0;

/// The notes of a pulley whose solid has `volume` mm³.
pub fn notes(spec: &Pulley, layout: &Layout, workshop: &Workshop, volume: f64, trial: bool) -> Result<Notes> {
    let belt = format!("{} {}", article(&layout.profile.name), layout.profile.name);
    Ok(Notes {
        purpose: format!(
            "Runs {belt} belt, {} mm wide, on a shaft of {} mm with {} teeth.",
            number(layout.belt_width),
            number(layout.bore.shaft),
            layout.teeth.count
        ),
        mechanics: vec![format!(
            "The pitch line lies {} mm outside the teeth. The spaces are {} mm deep and {} mm wide at the outside, {} mm more than published for what the plastic spreads.",
            number(layout.profile.pitch_line_offset),
            hundredth(layout.teeth.depth),
            hundredth(layout.teeth.top_width),
            hundredth(layout.clearance)
        )],
        print: PrintNotes {
            lie: "on its lower face, the hub up, so that the teeth stand square to the bed".into(),
            layer_mm: workshop.printer.layer,
            walls: WALLS,
            infill_percent: INFILL,
            material: workshop.material.label(),
            mass_g: volume / 1000.0 * workshop.material.density,
            ..PrintNotes::default()
        },
        steps: steps(layout, trial),
        cautions: vec![
            "A printed pulley counts turns and carries an instrument's belt; it drives no machine. Guard belt and pulleys before the spindle turns.".into(),
            format!(
                "Keep it below {:.0} °C: {} creeps fast as it nears {:.0} °C, and a spindle warms its pulley.",
                layout_temperature(workshop),
                workshop.material.label(),
                workshop.material.softening_c
            ),
        ],
        hardware: hardware(layout)?,
        readings_wanted: wanted(spec, layout),
        print_readings: Vec::new(),
    })
}

fn layout_temperature(workshop: &Workshop) -> f64 {
    workshop.material.softening_c - 15.0
}

fn steps(layout: &Layout, trial: bool) -> Vec<String> {
    let mut steps = Vec::new();
    if trial {
        steps.push("Print the trial segment and lay the belt on it: its teeth must drop in by themselves and not rock. Else give more or less --tooth-clearance.".into());
    }
    steps.push(format!(
        "Ream or scrape the bore until the pulley slides on the shaft by hand without play; it is drawn {} mm.",
        hundredth(layout.bore.diameter)
    ));
    if let Some(clamp) = &layout.clamp {
        steps.push(format!(
            "Lay the cap on the shaft, put the {0} screws through cap and hub with a washer at either end on the flats, and draw both nuts in turn, held by a spanner, so that the gap is even on both sides; tighten each to {1:.2} N·m, and again after a day.",
            clamp.size, clamp.screw.torque_nm
        ));
        steps.push(format!(
            "Turn it once by hand: its screws turn within a circle of {} mm, {} mm long over the hub, and nothing may stand there.",
            number(clamp.swept.ceil()),
            number(clamp.length)
        ));
        if clamp.diameter > layout.flange.unwrap_or(2.0 * layout.teeth.outside) {
            steps.push("The hub is wider than the flanges: lay the belt on from the other end before the pulley goes on.".into());
        }
        steps.push("Turn the pulley on its shaft under an indicator before the last turn, and find the place where it runs truest.".into());
    } else if let Some(screws) = &layout.screws {
        steps.push(format!(
            "Push {} nut{} {} into the pockets from the hub's end and turn the set screws in until their tips show in the bore.",
            screws.count,
            if screws.count == 1 { "" } else { "s" },
            screws.size
        ));
        steps.push("Turn the pulley on its shaft under an indicator, find the place where it runs truest, and tighten the set screws in turn.".into());
    } else {
        steps.push(
            "Fix it on the shaft with a thread-locking retaining compound or a key, and stop it endways."
                .into(),
        );
    }
    steps
}

fn hardware(layout: &Layout) -> Result<Vec<Hardware>> {
    if let Some(clamp) = &layout.clamp {
        let length = number(clamp.screw_length);
        return Ok(vec![
            Hardware::new("hexagon socket head screw", format!("{} x {length}", clamp.size), "ISO 4762", 2),
            Hardware::new("wide washer", clamp.size, "ISO 7093-1", 4),
            Hardware::new("hexagon nut", clamp.size, "ISO 4032", 2),
            Hardware::torque_tool(clamp.screw.torque_nm),
        ]);
    }
    let Some(screws) = &layout.screws else { return Ok(Vec::new()) };
    let hub = layout.hub.map_or(0.0, |(diameter, _)| diameter);
    let length = ((hub - layout.bore.diameter) / 2.0).ceil();
    let item =
        |what: &str, size: String, standard: &str| Hardware::new(what, size, standard, screws.count as usize);
    Ok(vec![
        item("hexagon nut", screws.size.into(), "ISO 4032"),
        item(
            "set screw with a cup point",
            format!("{} x {} or the next longer", screws.size, number(length)),
            "ISO 4029",
        ),
    ])
}

fn wanted(spec: &Pulley, layout: &Layout) -> Vec<String> {
    let mut wanted = Vec::new();
    if spec.run_out.is_none() {
        wanted.push(format!(
            "Run-out of the pulley on its shaft, estimated at {} mm: measure it and give --run-out.",
            number(layout.run_out)
        ));
    }
    if !layout.space.published {
        wanted.push("The belt's own tooth, on the trial segment: the space is estimated.".into());
    }
    wanted
}
