//! The checks of drawing a bearing off.

use super::drawing_off::{Bearer, Settled, pulled_one_way, settle, spares, wide_face_of_pair};
use super::puller;
use super::spec::{By, From, Receiver, WideFace};
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::design::advice::{self, by_steps};
use crate::design::change::Change;
use crate::error::{newtons, number, to_thousandth};
use crate::mechanics::strength;
use crate::parts::sleeve::rod;
use crate::workshop::Workshop;

/// All findings that need no mesh.
pub fn findings(spec: &Receiver, workshop: &Workshop, settled: &Settled) -> Vec<Finding> {
    let mut found = tube(settled);
    found.push(screw(settled));
    found.extend(stops_short(settled));
    found.push(passes(settled));
    found.push(plate(settled));
    found.extend(settled.bearers.iter().map(bends));
    found.extend(face(spec, settled));
    found.extend(survives(spec, settled));
    found.extend(held_back(spec));
    found.extend(scrap(spec, settled));
    found.extend(wide_face(spec, settled));
    found.extend(bed(workshop, settled));
    found
}

/// Puts the changes that were seen to clear a finding in the place of its remedy.
pub fn advise(findings: &mut [Finding], spec: &Receiver, workshop: &Workshop, settled: &Settled) {
    let bearing = spec.pressed().bearing_text().ok();
    let request = Receiver { bearing, designation: vec![], ..spec.clone() };
    let wall = settled.tube.wall();
    let ladders = |finding: &Finding| match finding.check {
        "screw-proof" | "rod-passes" => vec![rod::marked(settled.widest.0)],
        "stops-short" if spec.from == From::Shaft => {
            vec![rod::marked(settled.widest.0), vec![by_puller(spec)]]
        }
        "stops-short" => vec![rod::marked(settled.widest.0)],
        "rim-crushing" | "window-crushing" | "column-bowing" => {
            vec![by_steps("wall", (wall, 1.0), (wall, 60.0))]
        }
        "face-width" => vec![by_steps("wall", (wall, -0.5), (2.0, wall))],
        // On which side the wide face lies is for the eye to say.
        "wide-face" if wide_face_of_pair(&settled.bearing).or(spec.wide_face).is_none() => vec![],
        "bearing-survives" | "bearing-scrap" | "wide-face" if spec.from == From::Shaft => {
            vec![vec![by_puller(spec)]]
        }
        "bearing-survives" => vec![vec![Change::leave("keep").after("count the bearing as scrap")]],
        _ => vec![],
    };
    advice::advise(&request, &workshop.advice, findings, ladders, &|changed: &Receiver| match changed.by {
        By::Rod => Some(self::findings(changed, workshop, &settle(changed, workshop).ok()?)),
        By::Puller => Some(puller::settle(changed).ok()?.findings(changed, workshop)),
    });
}

/// A screw puller in the rod's place, without the answers that count beside the rod alone.
fn by_puller(spec: &Receiver) -> Change {
    let given = [
        ("keep", spec.keep),
        ("shoulder", spec.shoulder),
        ("reach", spec.reach.is_some()),
        ("through", spec.through.is_some()),
        ("face", spec.face.is_some()),
        ("wall", spec.wall.is_some()),
        ("wide-face", spec.wide_face.is_some()),
        ("crush-reading", spec.crush_reading.is_some()),
    ];
    let left = given.into_iter().filter(|(_, given)| *given);
    left.fold(Change::give("by", "puller").after("take a screw puller"), |change, (key, _)| {
        change.and_leave(key)
    })
}

fn tube(settled: &Settled) -> Vec<Finding> {
    let words = |mode: &str| match mode {
        "rim-crushing" => "Compression at the rims, on the housing's face and under the steel plate",
        "window-crushing" => "Compression beside the window, bending with it",
        _ => "Bowing of the receiver as a column, window taken off",
    };
    let reached = settled.modes.iter().filter(|mode| mode.factor.is_finite());
    reached
        .map(|mode| {
            Finding::at_least(
                mode.mode,
                (to_thousandth(mode.factor), strength::TRUSTED_LEAST, ""),
                strength::level_of_least(mode.factor, strength::REFUSED_LEAST),
                format!(
                    "{}: {:.1} MPa under {} against {:.1} MPa, the least a sound print has; safety factor {:.2}.",
                    words(mode.mode),
                    mode.stress_mpa,
                    newtons(settled.checked),
                    mode.strength_mpa,
                    mode.factor
                ),
                "Warm the seat and soak it to ease the pull, or use a steel tube.",
                "force over area and Johnson's column, Shigley's Mechanical Engineering Design, against the least compressive strength; 1.5 is trusted (common practice)",
            )
        })
        .collect()
}

fn screw(settled: &Settled) -> Finding {
    let screw = &settled.screw;
    let factor = screw.safety(settled.checked).unwrap_or(0.0).min(999.0);
    Finding::at_least(
        "screw-proof",
        (to_thousandth(factor), 1.0, ""),
        Level::Caution,
        format!(
            "The {} screw of class {}, twisted as it is turned, holds {factor:.2} times the pull it is wanted for; it is stopped at its torque in any case. A stronger rod is stopped at more, up to what the receiver bears.",
            screw.thread, screw.class
        ),
        "It is stopped at its torque: soak the seat again rather than turn on, or have it drawn hydraulically.",
        "ISO 898-1:2013, proof stress times stress area, over 1.3 for the twist of the nut (VDI 2230, from memory)",
    )
}

/// A stop that comes before the likely pull draws nothing, and says nothing of the seat.
fn stops_short(settled: &Settled) -> Option<Finding> {
    let (force, likely) = (settled.stop.force, settled.pull.likely);
    let by_balls = settled.stopped_for_balls();
    let by_face = settled.bearers.iter().filter_map(Bearer::face_bears).any(|bears| force >= 0.99 * bears);
    let remedy = match (by_balls, by_face) {
        (true, _) => {
            "Soak it again and again; or draw the bearing by the ring that is tight alone; or cut the ring."
        }
        (false, true) => {
            "Soak it again and again: the face by which steel bears on the bearing or spindle stands no more; a wider --opening, where there is one, would."
        }
        (false, false) => {
            "Warm nothing with the print in place; have it drawn with a stronger rod or a hydraulic puller."
        }
    };
    (force < likely).then(|| {
        Finding::at_least(
            "stops-short",
            (force.round(), likely.round(), "N"),
            Level::Caution,
            match by_balls {
                true => "It is stopped where the balls may give, before the pull that is likely needed: that it does not move then says nothing of the seat.",
                false => "It is stopped before the pull that is likely needed: that it does not move then says nothing of the seat, and is no reason to cut the ring.",
            },
            remedy,
            "the stop force against the likely pull",
        )
    })
}

fn passes(settled: &Settled) -> Finding {
    Finding::at_most(
        "rod-passes",
        (settled.screw.diameter, to_thousandth(settled.widest.0), "mm"),
        Level::Stop,
        format!("The rod is {} and has to go through {}.", settled.screw.thread, settled.widest.1),
        "No rod this is drawn for gets through: draw it with a screw puller whose jaws go behind the ring, and leave the receiver.",
        "common practice: half a millimetre of play for a rod, six tenths of a shaft's end for a thread",
    )
}

fn plate(settled: &Settled) -> Finding {
    let (thickness, factor) = settled.plate;
    Finding::at_least(
        "top-plate",
        (to_thousandth(factor.min(999.0)), strength::STEEL_FACTOR, ""),
        Level::Stop,
        format!(
            "A steel plate {} mm thick over the receiver's bore of {:.1} mm.",
            number(thickness),
            settled.tube.bore
        ),
        "Warm the seat to ease the pull; beyond 30 mm of plate this is work for a hydraulic puller.",
        "Roark's Formulas for Stress and Strain, table 11.2; S235 at 225 MPa, EN 10025-2",
    )
}

/// Whether what bears on bearing or spindle bends; its face never bears more than it is stopped at.
fn bends(bearer: &Bearer) -> Finding {
    let drift = bearer.what == "drift";
    Finding::at_least(
        if drift { "drift-bends" } else { "washer-bends" },
        (to_thousandth(bearer.bends), strength::STEEL_FACTOR, ""),
        Level::Stop,
        format!(
            "The {}, of steel and {} mm thick, bends between the rod's washer and the edge it bears on.",
            bearer.what,
            number(bearer.thickness)
        ),
        "Warm the seat to ease the pull; beyond 30 mm of steel this is work for a hydraulic puller.",
        "Roark's Formulas for Stress and Strain, table 11.2, its hole doubling the stress (Peterson); S235 at 225 MPa, EN 10025-2",
    )
}

fn face(spec: &Receiver, settled: &Settled) -> Option<Finding> {
    let (face, what) = match (spec.face, spec.housing_outside) {
        (Some(face), _) => (face.mm(), "the flat face it stands on"),
        (None, Some(housing)) if spec.from == From::Housing => (housing.mm(), "the housing it stands on"),
        (None, _) => return None,
    };
    Some(Finding::at_least(
        "face-width",
        (face, to_thousandth(settled.tube.outside), "mm"),
        Level::Stop,
        format!("The receiver is {:.1} mm outside; {what} is {} mm.", settled.tube.outside, number(face)),
        "Lay a flat steel ring under the receiver that spans the face.",
        "the rim must stand on metal all round",
    ))
}

/// A bearing that is to survive takes no force through its balls, and one that comes apart can take none
/// through its rollers.
fn survives(spec: &Receiver, settled: &Settled) -> Option<Finding> {
    if !spares(spec, &settled.bearing) {
        return None;
    }
    let washer = settled.bearers.iter().find(|bearer| bearer.what == "step washer");
    let (room, says, remedy) = match (spec.from, washer) {
        (From::Housing, Some(washer)) => (
            (washer.outside - settled.bearing.outer_shoulder) / 2.0,
            "How far the step washer reaches over the outer ring's own face from behind; less than nothing is short of it.",
            "Measure the opening behind the bearing and give --opening; where it shows no outer ring, nothing draws it without harm.",
        ),
        _ => (
            0.0,
            "Whatever holds the bearing while its spindle is drawn, a shoulder or cover, holds its outer ring: the pull goes through the balls.",
            "Give --by puller: its jaws hook behind a slotted ring on the inner ring's back face, and its screw presses on the spindle's end.",
        ),
    };
    Some(Finding::at_least(
        "bearing-survives",
        (to_thousandth(room), 0.5, "mm"),
        Level::Stop,
        says,
        remedy,
        "common practice: force through the balls dents the raceways",
    ))
}

/// A bearing that was pulled through its balls is never fitted again: its raceways are dented, felt or not.
fn scrap(spec: &Receiver, settled: &Settled) -> Option<Finding> {
    let force = settled.stop.force;
    (!spares(spec, &settled.bearing)).then(|| {
        Finding::settled(
            "bearing-scrap",
            Relation::AtMost,
            (force.round(), 0.0, "N"),
            Level::Caution,
            format!(
                "Up to {} go through the balls: the bearing is scrap after it, even where it still turns smoothly.",
                newtons(force)
            ),
            match spec.from {
                From::Shaft => "Never fit it again. To use it again give --by puller, which takes the inner ring alone.",
                From::Housing => "Never fit it again. To use it again give --keep and the --opening that shows the outer ring from behind.",
            },
            "common practice: force through the balls dents the raceways; what a used bearing would bear is not known",
        )
    })
}

/// An angular contact bearing takes a pull one way only, and comes apart the other way.
fn wide_face(spec: &Receiver, settled: &Settled) -> Option<Finding> {
    let bearing = &settled.bearing;
    if !pulled_one_way(spec, bearing) {
        return None;
    }
    let side = wide_face_of_pair(bearing).or(spec.wide_face);
    let says = match side {
        Some(WideFace::Near) => {
            "The outer ring's wide face lies on the receiver's side: the pull presses the balls against its shoulder."
        }
        Some(WideFace::Far) => {
            "The outer ring's wide face lies on the far side: the pull takes the bearing apart at once, and what is under tension flies."
        }
        None => {
            "It is not known on which side the outer ring has its wide face. Pulled the wrong way an angular contact bearing comes apart at once, and what is under tension flies."
        }
    };
    let remedy = match (side, spec.from) {
        (None, _) => {
            "Look at the bearing from the receiver's side: where the outer ring's face is wide and the inner ring's narrow give --wide-face near; the other way about --wide-face far."
        }
        (_, From::Shaft) => {
            "Give --by puller, which takes the inner ring alone, or draw it from its other side."
        }
        (_, From::Housing) => {
            "Draw it from its other side; or give --keep and the --opening that shows the outer ring from behind."
        }
    };
    Some(Finding::at_least(
        "wide-face",
        (if side == Some(WideFace::Near) { 1.0 } else { 0.0 }, 1.0, ""),
        Level::Stop,
        says,
        remedy,
        "single row angular contact bearings carry an axial load one way only (SKF Rolling bearings, 2018)",
    ))
}

/// Whether anything keeps the bearing from coming out with its spindle.
fn held_back(spec: &Receiver) -> Option<Finding> {
    (spec.from == From::Shaft).then(|| {
        Finding::at_least(
            "bearing-held",
            (if spec.shoulder { 1.0 } else { 0.0 }, 1.0, ""),
            Level::Caution,
            match spec.shoulder {
                true => "A shoulder or bolted cover of the housing holds the outer ring on the receiver's side, as was said.",
                false => "Nothing is known to hold the bearing on the receiver's side: a bearing that slides in its housing comes out with the spindle, still on it.",
            },
            "Look: where a shoulder or a bolted cover stands over the outer ring on the side the receiver stands on, give --shoulder. Where none does, draw spindle and bearing out together, and take the bearing off the bare spindle with a screw puller.",
            "the force goes round through whatever holds the outer ring",
        )
    })
}

fn bed(workshop: &Workshop, settled: &Settled) -> Vec<Finding> {
    let [x, y, z] = workshop.printer.bed;
    let basis = format!("printer preset {}", workshop.printer.name);
    let tube = &settled.tube;
    vec![
        Finding::at_most(
            "bed-size",
            (to_thousandth(tube.outside), x.min(y), "mm"),
            Level::Stop,
            format!("The receiver is {:.1} mm wide on a bed of {x:.0} × {y:.0} mm.", tube.outside),
            "Use a larger --printer.",
            basis.clone(),
        ),
        Finding::at_most(
            "bed-height",
            (to_thousandth(tube.length), z, "mm"),
            Level::Stop,
            format!("The receiver is {:.1} mm tall in a printer {z:.0} mm high.", tube.length),
            "Use a taller --printer, or a steel tube of the same bore.",
            basis,
        ),
    ]
}

/// What is measured on the meshes that are written: the wall, and the roof over the window.
pub fn measured(workshop: &Workshop, settled: &Settled, pieces: &[Piece]) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(piece) = pieces.first() {
        let wall = settled.tube.wall();
        // Rays at the height of the rims, where there is no window.
        let through = crate::solid::probe::crossings(
            &piece.mesh,
            crate::solid::Point3::new(0.0, 0.0, 2.0),
            crate::solid::Vector3::new(0.123_f64.cos(), 0.123_f64.sin(), 0.0),
        );
        let measured = match through.as_slice() {
            [inside, outside] => outside - inside,
            _ => 0.0,
        };
        let slack = 2.0 * workshop.chord_tolerance + 1e-6;
        found.push(Finding::at_most(
            "wall-measured",
            (to_thousandth((wall - measured).abs()), to_thousandth(slack), "mm"),
            Level::Stop,
            format!("Measured through the mesh the wall is {measured:.2} mm; designed {wall:.2} mm."),
            "This is a fault in fixwright: report it with the command you typed.",
            "ray casting through the mesh against the design",
        ));
    }
    let (width, bridge) = (settled.tube.window.0, workshop.printer.bridge);
    found.push(Finding::at_most(
        "window-bridge",
        (to_thousandth(width), bridge, "mm"),
        Level::Caution,
        format!("The window's head is bridged over {width:.1} mm."),
        "Print with support in the window.",
        format!("printer preset {}", workshop.printer.name),
    ));
    found
}
