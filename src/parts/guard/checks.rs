//! The checks of a guard: what it keeps clear of, what its openings let through, its walls, its print.

use super::Settled;
use super::layout::{CABLE, Stand, WIDER};
use super::leaning::{HAND, HAND_SOURCE, Leaning};
use super::measure::Standing;
use super::shape::{back_feet, back_thickness};
use crate::catalog::least_strengths;
use crate::catalog::{pulleys, reach};
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::error::{Result, hundredth, number, to_thousandth};
use crate::mechanics::strength;
use crate::parts::bracket::clearance::{BESIDE, Nearest};
use crate::parts::bracket::hold::TEMPERATURE;
use crate::parts::bracket::{self, SpindleFrom, checks, shape};
use crate::parts::drilled::{bed_finding, sound_wall};
use crate::solid::{Point2, polygon};
use crate::workshop::Workshop;

/// Least running clearance, mm: a belt that flaps and a print that is off by a millimetre. Beneath the
/// second a belt may strike (common practice, no source).
const RUNNING: (f64, f64) = (2.0, 1.0);
/// How near to each other the walls are probed, mm.
const SPACING: f64 = 2.0;
/// How much warmer than the room it is in a closed guard, K (an estimate): a spindle's nose and an encoder
/// warm it.
const WARMER: f64 = 15.0;
/// The widest gap at an edge that no fingertip passes, mm.
const EDGE: f64 = 4.0;

/// Every finding.
pub(super) fn findings(s: &Settled, pieces: &[Piece], standing: &Standing) -> Result<Vec<Finding>> {
    let l = &s.layout;
    let mut all = vec![];
    all.extend(standing.to_running(l, &s.bracket)?.map(|nearest| running(s, &nearest)));
    all.extend(standing.to_sliding(l, &s.bracket)?.map(|nearest| sliding(&nearest)));
    all.extend(wall(s, pieces));
    all.extend(leant_on(s)?);
    all.extend(vents(s)?);
    all.extend(spindle(s)?);
    all.extend(cable(s)?);
    all.extend(edges(s, standing));
    all.extend(drill_room(s));
    all.push(temperature(s)?);
    all.extend(bed(s, pieces));
    all.push(overhang(s, pieces));
    Ok(all)
}

fn running(s: &Settled, nearest: &Nearest) -> Finding {
    Finding::at_least(
        "running-clearance",
        // The mesh is a few micrometres off the true walls.
        (to_thousandth(nearest.gap + 2.0 * s.workshop.chord_tolerance), RUNNING.0, "mm"),
        if nearest.gap < RUNNING.1 { Level::Stop } else { Level::Caution },
        format!(
            "Of all that turns, {} comes nearest to the guard: {} mm, measured on the mesh through the whole slide.",
            nearest.what,
            hundredth(nearest.gap)
        ),
        format!("Give --clearance {} or more.", number(RUNNING.0 + 1.0)),
        "common practice: 2 mm for a belt that flaps and a print that is off by a millimetre",
    )
}

fn sliding(nearest: &Nearest) -> Finding {
    Finding::at_least(
        "sliding-clearance",
        (to_thousandth(nearest.gap), BESIDE, "mm"),
        Level::Stop,
        format!(
            "Bracket and encoder keep {} mm from the guard, measured on the mesh through the whole slide.",
            hundredth(nearest.gap)
        ),
        "Give a greater --clearance.",
        "common practice: half a millimetre between things that do not run",
    )
}

/// The thinnest wall of all pieces.
fn wall(s: &Settled, pieces: &[Piece]) -> Option<Finding> {
    let least = sound_wall(s.workshop);
    let thinnest = pieces
        .iter()
        .filter_map(|piece| piece.mesh.thinnest_wall(SPACING))
        .map(|wall| wall.thickness)
        .reduce(f64::min)?;
    let line = s.workshop.printer.line_width;
    Some(Finding::at_least(
        "guard-wall",
        (to_thousandth(thinnest + 2.0 * s.workshop.chord_tolerance), least, "mm"),
        if thinnest < 2.0 * line { Level::Stop } else { Level::Caution },
        format!("The thinnest wall measures {} mm on the mesh.", hundredth(thinnest)),
        format!("Give --wall {}.", number(least)),
        "common practice: four lines of plastic, at least 2 mm",
    ))
}

/// What is left before what turns when a hand presses the cover, and whether it holds.
fn leant_on(s: &Settled) -> Result<[Finding; 2]> {
    let (left, at) = s.leaning.left()?;
    let weakest = s.leaning.weakest()?;
    let stressed = s.leaning.stressed()?;
    let least = least_strengths::of(&s.workshop.material)?;
    let holds = least.across.min(least.tension);
    let safety = holds / stressed.stress;
    let thicker = "Give a thicker --wall.";
    Ok([
        Finding::at_least(
            "leant-on",
            (to_thousandth(left), RUNNING.1, "mm"),
            if left < 0.0 { Level::Stop } else { Level::Caution },
            format!(
                "Pressed with {} N, as with the back of a hand, the cover gives {} mm {}; {} mm are then left {}.",
                number(HAND),
                hundredth(weakest.gives),
                weakest.place,
                hundredth(left),
                at.place
            ),
            thicker,
            HAND_SOURCE,
        ),
        Finding::settled(
            "leant-on-strength",
            Relation::AtLeast,
            (to_thousandth(safety), strength::TRUSTED_LEAST, ""),
            strength::level_of_least(safety, strength::REFUSED_LEAST),
            format!(
                "Pressed with {} N {} the cover is strained with {:.1} MPa; the least a sound print of {} holds is {} MPa.",
                number(HAND),
                stressed.place,
                stressed.stress,
                s.workshop.material.label(),
                number(holds)
            ),
            thicker,
            format!("{HAND_SOURCE}; {}", least.source),
        ),
    ])
}

/// By what factor a leant-on cover misses being trusted, in stress or in what it may give: 1 and less does not.
pub(super) fn lacks(leaning: &Leaning, workshop: &Workshop) -> Result<f64> {
    let least = least_strengths::of(&workshop.material)?;
    let holds = least.across.min(least.tension) / strength::TRUSTED_LEAST;
    let (left, at) = leaning.left()?;
    let gives = at.room.unwrap_or(left) - left;
    let may = at.room.unwrap_or(left) - RUNNING.1;
    let gives = if may > 0.0 { gives / may } else { 1.0 };
    Ok((leaning.stressed()?.stress / holds).max(gives))
}

/// A slot of that width, so far before what turns.
fn reach(
    s: &Settled,
    check: &'static str,
    (what, width): (&str, f64),
    distance: f64,
    remedy: &str,
) -> Result<Finding> {
    let row = reach::row(s.layout.persons, width)?;
    Ok(Finding::at_least(
        check,
        (to_thousandth(distance), row.slot, "mm"),
        Level::Stop,
        format!(
            "{what} {} mm wide, {} mm before the nearest thing that turns; a slot of up to {} mm ({}) asks for {} mm.",
            hundredth(width),
            hundredth(distance),
            number(row.up_to),
            row.what,
            number(row.slot)
        ),
        remedy,
        row.source.clone(),
    ))
}

/// The vents of the front against what turns behind them.
fn vents(s: &Settled) -> Result<Option<Finding>> {
    let l = &s.layout;
    let Some(width) = l.opening.filter(|_| !l.vents.is_empty()) else { return Ok(None) };
    let mouth = l.inside - l.wall;
    let mut least = f64::INFINITY;
    for shift in super::layout::shifts(&s.bracket) {
        for bar in l.running(&s.bracket, shift)? {
            let deep = (bar.y.0 - mouth).max(0.0);
            for &(a, b) in &l.vents {
                let aside =
                    (0..=8).map(|k| a + (b - a) * (f64::from(k) / 8.0)).map(|p| beside(&bar.outline, p));
                let aside = aside.fold(f64::INFINITY, f64::min) - width / 2.0;
                least = least.min(deep.hypot(aside.max(0.0)));
            }
        }
    }
    let what = ("The vents are", width + WIDER);
    reach(s, "reach-vents", what, least, "Give a narrower --opening, or --closed.").map(Some)
}

/// How far a point lies beside an outline; nought within it.
fn beside(outline: &[Point2], p: Point2) -> f64 {
    if polygon::holds(outline, &p) { 0.0 } else { polygon::distance(outline, &p) }
}

/// The ring round the spindle where it goes through, and whether its diameter is known.
fn spindle(s: &Settled) -> Result<Vec<Finding>> {
    let l = &s.layout;
    let mut all = vec![];
    let gap = (l.spindle_opening() - l.wider + WIDER - l.spindle.diameter) / 2.0;
    let lever = s.bracket.layout.belt_lever;
    let half = s.bracket.drive.spindle_pulley.width / 2.0;
    let what = ("The ring round the spindle is", gap);
    let remedy = "Give a smaller --clearance.";
    let mut openings = vec![];
    if l.front_hole() {
        openings.push(-lever - l.nose.max(half) - (l.inside - l.wall));
    }
    if l.back_hole() {
        openings.push(l.rear - (half - lever));
    }
    for distance in &openings {
        all.push(reach(s, "reach-spindle", what, *distance, remedy)?);
    }
    if let Some(distance) = openings.into_iter().reduce(f64::min) {
        all.push(spindle_known(s, distance)?);
    }
    Ok(all)
}

/// The thinnest spindle that is thought of where none is told, mm: the least that a pulley in makers' lists is
/// bored for, as far as one says so (else common practice).
const THINNEST: f64 = 3.0;

/// Whether the spindle's diameter is told; without it the ring round a thin one must keep its distance too.
fn spindle_known(s: &Settled, distance: f64) -> Result<Finding> {
    let l = &s.layout;
    let drive = &s.bracket.drive;
    let bored = pulleys::rows(drive.profile).filter(|row| row.teeth == drive.spindle_teeth);
    let thin =
        bored.filter_map(|row| row.bore_pilot).filter(|bore| *bore > 0.0).fold(f64::INFINITY, f64::min);
    let thin = if thin.is_finite() { thin } else { THINNEST }.min(l.spindle.diameter);
    let ring = (l.spindle_opening() - thin + WIDER) / 2.0;
    let row = reach::row(l.persons, ring);
    let reached = row.map_or(true, |row| row.slot > distance);
    Ok(Finding::at_least(
        "spindle-known",
        (f64::from(u8::from(l.spindle.known)), 1.0, ""),
        if reached { Level::Stop } else { Level::Caution },
        match l.spindle.known {
            true => format!("The opening is drawn for a spindle of {} mm.", number(l.spindle.diameter)),
            false => format!(
                "The spindle's diameter is not told: the opening is drawn for {} mm, the most its pulley can be bored for; round one of {} mm the ring is {} mm wide, {} mm before the nearest thing that turns.",
                hundredth(l.spindle.diameter),
                number(thin),
                hundredth(ring),
                hundredth(distance)
            ),
        },
        "Measure the spindle where it goes through the guard and give --shafts.",
        "the greatest bore in makers' lists, or 1 mm under the tooth gaps; ISO 13857:2019 table 4",
    ))
}

/// The notch for the encoder's cable.
fn cable(s: &Settled) -> Result<Option<Finding>> {
    let l = &s.layout;
    if l.cable.is_none() {
        return Ok(None);
    }
    let b = &s.bracket;
    let half = b.drive.spindle_pulley.width.max(b.drive.encoder_pulley.width) / 2.0;
    let hindmost = (half - b.layout.belt_lever).max(b.layout.thick.upright);
    let what = ("The notch for the cable is", CABLE);
    reach(s, "reach-cable", what, l.rear - hindmost, "Close what the cable leaves of its notch with tape.")
        .map(Some)
}

/// The gap between a standing guard's back and the cover round it, measured on the meshes.
fn edges(s: &Settled, standing: &Standing) -> Option<Finding> {
    let l = &s.layout;
    let Stand::Shelf(from) = l.stand else { return None };
    let covers = if l.split.is_some() { 2 } else { 1 };
    let gap = standing.round_the_back(from + back_thickness(l) / 2.0, covers, l);
    Some(Finding::at_most(
        "edge-gap",
        (to_thousandth(gap), EDGE, "mm"),
        Level::Stop,
        format!(
            "Between cover and back the gap is {} mm at its widest, measured on the meshes; both stand on the machine's face without a gap where that is flat.",
            hundredth(gap)
        ),
        "Pack the gap.",
        "ISO 13857:2019 tables 4 and 5: 4 mm, with 2 mm and more behind it",
    ))
}

/// How warm it is taken to be inside, °C.
pub(super) fn warm(bracket: &bracket::Settled) -> f64 {
    bracket.spec.temperature.unwrap_or(TEMPERATURE) + WARMER
}

fn temperature(s: &Settled) -> Result<Finding> {
    let room = s.bracket.spec.temperature.unwrap_or(TEMPERATURE);
    let least = least_strengths::of(&s.workshop.material)?;
    let better = least_strengths::that_bears(room + WARMER)
        .map_or("metal".to_string(), |row| row.material.to_uppercase());
    Ok(Finding::at_most(
        "temperature",
        (room + WARMER, least.top_c, "°C"),
        Level::Stop,
        format!(
            "Inside it is taken to be {} °C, {} K over the {} °C of the bracket; printed {} keeps its shape under its screws up to {} °C.",
            number(room + WARMER),
            number(WARMER),
            number(room),
            s.workshop.material.label(),
            number(least.top_c)
        ),
        format!("Print it of {better}, or measure the air and give --temperature."),
        least.source,
    ))
}

/// The piece that leaves the least of the bed.
fn bed(s: &Settled, pieces: &[Piece]) -> Option<Finding> {
    let all = pieces.iter().map(|piece| bed_finding(piece, s.workshop));
    all.min_by(|a, b| a.margin().total_cmp(&b.margin()))
}

fn overhang(s: &Settled, pieces: &[Piece]) -> Finding {
    let bridges = pieces.iter().flat_map(|piece| piece.body.bridges());
    let longest = bridges.map(|bridge| bridge.span).fold(0.0, f64::max);
    Finding::at_most(
        "overhang",
        (to_thousandth(longest), s.workshop.printer.bridge, "mm"),
        Level::Stop,
        match longest > 0.0 {
            true => format!("The longest bridge is {} mm.", hundredth(longest)),
            false => "Nothing is bridged: every wall stands up from the bed.".to_string(),
        },
        "Name a printer that bridges as far.",
        format!("bridge of printer preset {}", s.workshop.printer.name),
    )
}

/// Half of a drill's chuck, mm (common practice).
const CHUCK: f64 = 15.0;

/// Whether the holes behind a foot's guard can be drilled and tapped beside a spindle that stands over them.
fn drill_room(s: &Settled) -> Option<Finding> {
    let l = &s.layout;
    if !l.back_hole() {
        return None;
    }
    let beside = back_feet(l).into_iter().map(|at| (at.x - l.spindle.at.x).abs());
    Some(room_beside(beside.reduce(f64::min)? - l.spindle.diameter / 2.0))
}

/// The room beside the spindle from the middle of the nearest hole, mm; less than nothing where it stands over it.
fn room_beside(room: f64) -> Finding {
    let says = match room > 0.0 {
        true => format!(
            "From the nearest hole of the back to the spindle, which stands over it, {} mm are left beside.",
            hundredth(room)
        ),
        false => format!(
            "The nearest hole of the back lies {} mm under the spindle's side: nothing is left beside it.",
            hundredth(-room)
        ),
    };
    Finding::at_least(
        "drill-room",
        (to_thousandth(room.max(0.0)), CHUCK, "mm"),
        Level::Caution,
        says,
        "Drill and tap that hole with the spindle out of the machine, or with a long drill and a tap holder that pass beside it; turn its screw with a short key.",
        "half of a drill's chuck, common practice",
    )
}

/// Whether the bracket whose belt is covered may be printed at all.
pub(super) fn of_bracket(s: &Settled) -> Result<Finding> {
    let working = shape::body(&s.bracket.layout)?;
    let print = shape::Print::of(&s.bracket.layout, &working);
    let piece = Piece::new("", print.body(&working), s.workshop.chord_tolerance)?;
    let findings = checks::findings(&s.bracket, &piece, &print, s.workshop.chord_tolerance)?;
    let mut stopped: Vec<&str> = findings.iter().filter(|f| f.stops()).map(|f| f.check).collect();
    stopped.dedup();
    Ok(Finding::at_most(
        "bracket",
        (stopped.len() as f64, 0.0, ""),
        Level::Stop,
        match stopped.is_empty() {
            true => "The bracket of these answers holds what it is checked for.".to_string(),
            false => format!(
                "The bracket of these answers is stopped by {}; mended, it may need another guard.",
                stopped.join(", ")
            ),
        },
        "Ask for the bracket with the same answers first (fixwright bracket), and follow its advice.",
        "the bracket's own checks",
    ))
}

/// Whether a spindle runs through both sides of the belt.
pub(super) fn runs_through(s: &Settled) -> bool {
    s.layout.spindle.from == SpindleFrom::Through
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_to_drill_is_told_as_it_is_shown_where_the_spindle_covers_the_hole_too() {
        let beside = room_beside(4.2);
        assert!(beside.value == 4.2 && beside.says.contains("4.2 mm are left"), "{beside:?}");
        let under = room_beside(-0.5);
        assert!(under.value == 0.0 && under.says.contains("0.5 mm under"), "{under:?}");
        assert!([beside, under].iter().all(|found| found.level == Level::Caution));
        assert_eq!(room_beside(15.0).level, Level::Ok);
    }
}
