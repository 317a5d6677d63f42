//! What the bench is told of a guard.

use super::layout::{FLANGE, RIB, Stand, Strap};
use super::shape::{back_feet, back_flange, cover_feet, depths, ribs};
use super::sizes::machine_holes;
use super::{Settled, checks};
use crate::catalog::fasteners;
use crate::design::{Hardware, Notes, PrintNotes};
use crate::error::{Result, hundredth, number};
use crate::parts::bracket::SpindleFrom;
use crate::parts::drilled::sound_wall;

/// Thread engaged in the machine, in diameters: enough for cast iron and aluminium (common practice).
const IN_MACHINE: f64 = 1.5;
/// Infill, percent: the walls are solid anyway.
const INFILL: f64 = 40.0;

/// The notes of a guard whose pieces have `volume` mm³ together.
pub(super) fn notes(s: &Settled, volume: f64) -> Result<Notes> {
    let l = &s.layout;
    let walls = (l.wall / s.workshop.printer.line_width).ceil().max(3.0) as u32;
    Ok(Notes {
        purpose: purpose(s),
        mechanics: mechanics(s),
        print: PrintNotes {
            lie: lie(s),
            layer_mm: s.workshop.printer.layer,
            walls: walls.max((sound_wall(s.workshop) / s.workshop.printer.line_width).ceil() as u32),
            infill_percent: INFILL,
            material: s.workshop.material.label(),
            mass_g: volume * s.workshop.material.density / 1000.0,
            ..PrintNotes::default()
        },
        steps: steps(s)?,
        cautions: cautions(s),
        hardware: hardware(s)?,
        readings_wanted: readings_wanted(s),
        print_readings: vec![],
    })
}

fn purpose(s: &Settled) -> String {
    let on = match s.layout.stand {
        Stand::Face(_) => "on the face its bracket slides on",
        Stand::Shelf(_) => "on the face its bracket's foot stands on",
    };
    format!(
        "Keeps hands from a {} belt and its pulleys of {} and {} teeth at any place of the slide, {on}.",
        s.bracket.drive.designation(),
        s.bracket.drive.spindle_teeth,
        s.bracket.drive.encoder_teeth
    )
}

fn mechanics(s: &Settled) -> Vec<String> {
    let l = &s.layout;
    let air = match l.vents.len() {
        0 => "It is closed all round and sheds heat through its walls alone: feel it after an hour at speed, and open it where it is more than hand-warm.".to_string(),
        count => format!(
            "{count} slots with {} mm² of open area stand at its lower and upper edge, so that warm air rises out; a belt that carries an encoder makes next to no heat, the spindle's nose and the encoder do.",
            number(s.layout.vent_area().round())
        ),
    };
    let back = match l.stand {
        Stand::Face(_) => "The machine's face is its back: nothing is open but the vents.",
        Stand::Shelf(_) => {
            "Its back stands behind bracket and encoder, so that the bracket slides inside and no gap opens beside it."
        }
    };
    vec![
        format!(
            "Belt and pulleys have {} mm of room all round at both ends of the slide and between. {back}",
            number(l.clearance)
        ),
        air,
        format!(
            "It fits the bracket of the same answers, printer and material: an upright or plate {} mm thick, the belt's middle {} mm before its face.",
            number(s.bracket.layout.thick.upright),
            hundredth(s.bracket.layout.belt_lever)
        ),
        "Screws of its own hold it, not the bracket's: those hold the belt's tension, and the guard must come off and go on without it being lost.".into(),
    ]
}

fn lie(s: &Settled) -> String {
    match s.layout.stand {
        Stand::Face(_) => "on its front, the face away from the machine: every wall stands up from the bed; no support.".into(),
        Stand::Shelf(_) => "cover and back each on the side that looks away from the machine, the back's flange upwards; no support.".into(),
    }
}

fn steps(s: &Settled) -> Result<Vec<String>> {
    let l = &s.layout;
    let mut steps = vec![
        "Stop the spindle, switch the machine off, lock it off and prove it dead before a hand goes near the belt.".to_string(),
    ];
    steps.push("Print the bracket first (fixwright bracket with the same answers) and compare its report's thickness with this one's.".into());
    if l.back_hole() {
        steps.push(match l.back_split {
            Some(at) if at == l.spindle.at.x => {
                "Set the halves of the back round the spindle behind its pulley.".to_string()
            }
            _ => "Put the back on the spindle before its pulley goes on.".to_string(),
        });
    }
    steps.push("Fit bracket, belt and pulleys and set the tension as the bracket's sheet says. The guard goes on after that, and comes off before it is set again.".into());
    if l.strap.is_some() {
        steps.push(format!(
            "Push an {0} button head screw from inside through the hole beside the seam of each half, and lock it with a nut outside: afterwards no hand reaches it.",
            Strap::SCREW
        ));
    }
    if l.split.is_some() {
        steps.push(format!(
            "Screw the halves together through their ribs with {} {} screws and nuts{}.",
            2 * ribs(l).len(),
            l.screw.size,
            if l.front_hole() { ", round the spindle" } else { "" }
        ));
    }
    if l.strap.is_some() {
        steps.push("Lay the strap over both locked nuts, low on the front, and hold it with a washer and a nut on each screw: it keeps a hand from pressing one half past the other.".into());
    }
    steps.push(holes_in_words(s));
    steps.push("Before the last screw turn the spindle by hand through a whole turn with the bracket at each end of its slide and in its place: nothing may touch or rub. Look in through the vents with a lamp.".into());
    steps.push(
        "Tighten by hand: plastic yields under a washer for weeks, so tighten again after a day.".into(),
    );
    steps.push("Run it at the lowest speed first, from a distance, and listen; then at working speed for an hour, stop, lock off, and feel whether it is more than hand-warm.".into());
    steps.push(
        "To look at the belt's tension stop, lock off and take the guard off. Never run the belt without it."
            .into(),
    );
    Ok(steps)
}

fn holes_in_words(s: &Settled) -> String {
    let l = &s.layout;
    let towards = |x: f64| if x < 0.0 { "left" } else { "right" };
    let places: Vec<String> = machine_holes(s)
        .into_iter()
        .map(|(x, over, behind)| match l.stand {
            Stand::Face(_) => format!(
                "{} mm {} and {} mm {}",
                hundredth(x.abs()),
                towards(x),
                hundredth(over.abs()),
                if over < 0.0 { "below" } else { "above" }
            ),
            Stand::Shelf(_) => format!(
                "{} mm {} and {} mm {} the belt's middle",
                hundredth(x.abs()),
                towards(x),
                hundredth(behind.abs()),
                if behind < 0.0 { "before" } else { "behind" }
            ),
        })
        .collect();
    format!(
        "Hold the guard in its place, mark its holes through it, check them against these, drill and tap {}; from the spindle's axis, seen from the belt: {}.",
        l.screw.size,
        places.join("; ")
    )
}

fn cautions(s: &Settled) -> Vec<String> {
    let mut all = vec![
        "A rotating shaft and a running belt take a finger, a sleeve or hair before anybody can let go. No gloves, no loose sleeves, no rings near them.".to_string(),
        "A guard made at home is not a certified guard: nobody has tested this one for strength, and plastic grows brittle with oil, cold and years. Local code and a competent person decide whether it may stand there.".to_string(),
        "It must need a tool to come off, and its screws must stay with it (ISO 14120). Where a switch stops the machine when a guard opens, that switch's rules hold (ISO 14119): this guard replaces none.".to_string(),
    ];
    all.push(match s.layout.persons {
        crate::catalog::reach::Persons::Adults => "Its openings keep out fingers of persons from 14 years on; where children come near ask for it with --children.".to_string(),
        crate::catalog::reach::Persons::Children => "Its openings keep out the fingers of children from 3 years on; it does not keep them from the machine.".to_string(),
    });
    if checks::runs_through(s) || s.layout.spindle.from == SpindleFrom::Front {
        all.push("The spindle goes out through the front and turns there uncovered: cover its end too, a smooth shaft catches hair and cloth.".into());
    } else if s.layout.back_hole() {
        all.push("Behind the guard the spindle turns uncovered up to the machine: cover what is left, a smooth shaft catches hair and cloth.".into());
    }
    all.push("Look at it every month: cracks at the screws, rub marks inside, a loose screw. Replace it then, do not glue it.".into());
    all
}

fn hardware(s: &Settled) -> Result<Vec<Hardware>> {
    let l = &s.layout;
    let diameter = fasteners::thread(&l.screw.size)?.diameter;
    let made = fasteners::standards(&l.screw.size);
    let mut all = vec![];
    let mut screws = |through: f64, beyond: f64, count: usize| {
        let least = through + l.screw.washer.thickness + beyond;
        let size = format!("{} x {}", l.screw.size, fasteners::asked_length(&l.screw.size, least));
        all.push(Hardware::new("hexagon socket head screw", size, made.socket_head, count));
    };
    let mut count = 0;
    match &l.stand {
        Stand::Face(columns) => {
            screws(l.depth(), IN_MACHINE * diameter, columns.len());
            count += columns.len();
        }
        Stand::Shelf(_) => {
            let feet = cover_feet(l).len() + back_feet(l).len();
            screws(FLANGE, IN_MACHINE * diameter, feet);
            count += feet;
        }
    }
    let joints = ribs(l).len() * depths(l).len();
    if joints > 0 {
        let nut = fasteners::hex_nut(&l.screw.size)?;
        screws(2.0 * RIB.0 + l.screw.washer.thickness, nut.height, joints);
        all.push(Hardware::new("hexagon nut", l.screw.size.clone(), made.nut, joints));
        count += 2 * joints;
    }
    if let Some(strap) = &l.strap {
        let nut = fasteners::hex_nut(Strap::SCREW)?.height;
        let washer = fasteners::washer(Strap::SCREW)?.thickness;
        // Wall, the floor of the pocket over its nut, washer, nut, and two turns beyond.
        let least = l.wall + strap.thickness + washer + nut + 2.0 * fasteners::thread(Strap::SCREW)?.pitch;
        let screw = format!("{} x {}", Strap::SCREW, fasteners::asked_length(Strap::SCREW, least));
        all.push(Hardware::new("hexagon socket button head screw", screw, "ISO 7380-1", 2));
        all.push(Hardware::new("hexagon nut", Strap::SCREW, "ISO 4032", 4));
        all.push(Hardware::new("washer", Strap::SCREW, "ISO 7089", 2));
    }
    all.push(Hardware::new("wide washer", l.screw.size.clone(), made.wide_washer, count));
    Ok(all)
}

fn readings_wanted(s: &Settled) -> Vec<String> {
    let l = &s.layout;
    let mut all = vec![];
    if s.cover.nose.is_none() {
        all.push(format!(
            "How far the spindle's pulley, its hub, nut or nose stands out before the belt's middle: {} mm was taken (--nose).",
            hundredth(l.nose)
        ));
    }
    if !l.spindle.known && (l.front_hole() || l.back_hole()) {
        all.push("The spindle's diameter where it goes through the guard (--shafts).".into());
    }
    all.push(match l.stand {
        Stand::Face(_) => format!(
            "Whether the machine's face is flat and free {} mm round the bracket, and no gap of more than 4 mm is left under the rim.",
            number((l.column() + l.wall + l.clearance).ceil())
        ),
        Stand::Shelf(_) => format!(
            "Whether the face the foot stands on runs on under the whole guard, from {} mm before the belt's middle to {} mm behind it, and the spindle is free there.",
            number((-(l.inside - l.wall) - s.bracket.layout.belt_lever).ceil()),
            number((l.rear + back_flange(l) + s.bracket.layout.belt_lever).ceil())
        ),
    });
    all.push("The pulleys' flanges and the belt by caliper: makers' lists were taken for them.".into());
    all
}
