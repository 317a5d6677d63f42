//! What the person at the bench is told of an adapter.

use super::sizing::{Sizing, Whose};
use super::spec::Fixing;
use crate::catalog::fasteners;
use crate::design::{Hardware, Notes};
use crate::error::{Result, hundredth, number};
use crate::parts::drilled::print_notes;
use crate::workshop::Workshop;

pub(super) fn notes(sizing: &Sizing, workshop: &Workshop, volume: f64) -> Result<Notes> {
    let (old, new) = (sizing.places(Whose::Old).len(), sizing.places(Whose::New).len());
    let torque = |whose: Whose| sizing.clamped(whose).map(|screw| hundredth(screw.torque_nm));
    let (old_torque, new_torque) = (torque(Whose::Old)?, torque(Whose::New)?);
    Ok(Notes {
        purpose: format!(
            "Fits what has {new} {} screw{} on the {old} {} hole{} that are there.",
            sizing.new.size,
            plural(new),
            sizing.old.size,
            plural(old)
        ),
        mechanics: vec![
            format!(
                "{} N on the new part, {} mm over its face, was taken; say what it bears with --load and --reach.",
                number(sizing.load),
                number(sizing.reach)
            ),
            format!(
                "Tighten by hand: the old holes' {} screws to {} N·m, the new part's {} screws to {} N·m. Plastic yields under a head for weeks: tighten again after a day.",
                sizing.old.size,
                old_torque,
                sizing.new.size,
                new_torque
            ),
        ],
        print: print_notes("Back on the bed, heads' seats upwards; no support.", volume, workshop),
        steps: steps(sizing),
        cautions: cautions(),
        hardware: hardware(sizing, old, new),
        readings_wanted: vec![
            "Both hole patterns by caliper, from inner edge to inner edge plus one hole: a millimetre out, and a screw does not start.".into(),
            "What the old screws go into: they must reach one and a half of their thread deep, and no deeper than the hole.".into(),
        ],
        print_readings: vec![],
    })
}

fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}

fn steps(sizing: &Sizing) -> Vec<String> {
    let mut steps = vec!["Switch the machine off, lock it off and prove it dead.".to_string()];
    match sizing.fixing() {
        Fixing::Nut => {
            steps.push(format!("Press the {} nuts into their pockets from the back.", sizing.new.size))
        }
        Fixing::Insert => steps.push(format!(
            "Melt the {} inserts in from the front with an iron, flush or a hair below; let them cool.",
            sizing.new.size
        )),
        Fixing::Through => {}
    }
    steps.push(format!(
        "Screw the adapter onto the old holes; every {} head must lie below its face.",
        sizing.old.size
    ));
    steps.push("Set the new part on, start all its screws, then tighten them evenly.".into());
    if sizing.slot > 0.0 {
        steps.push(
            "Set the new part along its slots, tighten, and mark its place with a line of paint.".into(),
        );
    }
    steps.push("Try it by hand through its whole travel before power comes on.".into());
    steps
}

fn cautions() -> Vec<String> {
    [
        "If what it carries guards people (a guard or limit switch that stops a machine): its contacts must open positively, it must not be defeated with simple means, its fixing must need a tool and be secured against coming loose, and its actuator must stay within the maker's alignment tolerance after years of heat and creep (ISO 14119). A printed adapter proves none of this: use metal, and let a competent person judge it.",
        "A switch is no stop: something solid must end the travel before the switch's body does.",
        "Local code and the machine's maker decide what may replace a safety part.",
    ]
    .map(String::from)
    .to_vec()
}

/// What is bought: screws through plate and floor, nuts or inserts.
fn hardware(sizing: &Sizing, old: usize, new: usize) -> Vec<Hardware> {
    let up = |length: f64| 2.0 * (length / 2.0).ceil();
    let length = sizing.floor_under_heads() + 1.5 * sizing.old.thread;
    let size = &sizing.old.size;
    let sold = match fasteners::is_inch(size) {
        true => fasteners::asked_length(size, length).to_string(),
        false => number(up(length)),
    };
    let size = format!("{size} x {sold}, at least");
    let mut list = vec![Hardware::new("screw into the old holes", size, sizing.head_standard(), old)];
    if let Some((least, most)) = sizing.new_screw_reach() {
        let size = format!(
            "{} x the part's own thickness and {} to {} mm, never more: a longer one pushes against what is behind",
            sizing.new.size,
            hundredth(least),
            hundredth(most)
        );
        list.push(Hardware::new("screw of the new part", size, "", new));
    }
    if sizing.fixing() == Fixing::Through {
        let size = format!(
            "{} x the part's own thickness and {} mm, with a washer and a nut",
            sizing.new.size,
            number(sizing.thickness.0)
        );
        list.push(Hardware::new("screw of the new part", size, "", new));
    }
    let held = match sizing.fixing() {
        Fixing::Nut => Some(("hexagon nut", fasteners::standards(&sizing.new.size).nut)),
        Fixing::Insert => Some(("heat-set insert", "")),
        Fixing::Through => None,
    };
    list.extend(held.map(|(what, standard)| Hardware::new(what, sizing.new.size.clone(), standard, new)));
    list
}
