//! What may clear a finding: ladders of changes, which [`crate::design::advice`] tries on the whole bracket
//! before it names one.

use super::clearance::{BESIDE, Surroundings};
use super::spec::{Bracket, HubSide, Style};
use super::{Settled, checks, placed, screws, searched, settle};
use crate::catalog::fasteners;
use crate::checks::Finding;
use crate::design::Piece;
use crate::design::advice::{Ladder, advise_confirmed, by_steps};
use crate::design::change::Change;
use crate::error::{Error, hundredth, number};
use crate::units::Length;
use crate::workshop::Workshop;
use std::cell::RefCell;

/// Gives each finding that does not hold the least changes that clear it, and says where one of them moves
/// the machine's holes.
pub fn sharpen(s: &Settled, findings: &mut [Finding]) {
    let tried: RefCell<Vec<(Bracket, bool)>> = RefCell::default();
    let quick = |spec: &Bracket| all_findings(&searched(spec, s.workshop).ok()?);
    let whole = |spec: &Bracket| {
        let settled = settle(spec, s.workshop).ok()?;
        tried.borrow_mut().push((spec.clone(), holes_move(s, &settled)));
        all_findings(&settled)
    };
    let ladders = |finding: &Finding| ladders(s, finding.check);
    advise_confirmed(s.spec, &s.workshop.advice, findings, ladders, &quick, Some(&whole));
    let tried = tried.into_inner();
    let moves = |change: &Change| {
        change
            .made_on(s.spec)
            .is_some_and(|spec: Bracket| tried.iter().any(|(t, moves)| *moves && *t == spec))
    };
    for finding in findings {
        let which: Vec<bool> = finding.changes.iter().map(moves).collect();
        let says = match which[..] {
            [true] => " This moves the machine's holes.",
            [true, true] => " Either moves the machine's holes.",
            [true, false] => " The first moves the machine's holes.",
            [false, true] => " The second moves the machine's holes.",
            _ => continue,
        };
        if let Some(remedy) = &mut finding.remedy {
            *remedy += says;
        }
    }
}

/// The findings of a changed request, its print among them; nothing where it cannot be drawn.
fn all_findings(settled: &Settled) -> Option<Vec<Finding>> {
    let mut findings = checks::unprinted(settled).ok()?;
    let working = super::shape::body(&settled.layout).ok()?;
    let print = super::Print::of(&settled.layout, &working);
    let piece = Piece::new("", print.body(&working), COARSE).ok()?;
    findings.extend(checks::printed(settled, &piece, &print, COARSE).ok()?);
    Some(findings)
}

/// Chord tolerance of the bodies tried, mm: their roofs and webs need no finer one.
const COARSE: f64 = 0.05;

/// Whether the machine's holes lie elsewhere by more than one marks, from the spindle's axis or along it.
fn holes_move(before: &Settled, after: &Settled) -> bool {
    let places = |s: &Settled| screws::holes(s).map(|h| [h.from_spindle, h.over_spindle, h.behind_belt]);
    let mut pairs = places(before).into_iter().flatten().zip(places(after).into_iter().flatten());
    pairs.any(|(a, b)| (a - b).abs() > MARKED)
}

/// How exactly a hole is marked, mm (common practice, no source).
const MARKED: f64 = 0.1;

/// The error of a request whose screws were given too near together, with the least spacing at which the
/// whole bracket has room, where that alone mends it.
pub fn spaced(spec: &Bracket, workshop: &Workshop, error: Error) -> Error {
    let holes = spec.holes().ok().flatten();
    if holes.is_some() && !error.says.contains("between the holes") {
        return error;
    }
    let given = match holes {
        Some((near, far)) => Length::from_mm(far - near).ok(),
        None => spec.screw_spacing,
    };
    let Some(given) = given else { return error };
    let near = holes.and_then(|(near, far)| Length::from_mm(f64::midpoint(near, far)).ok()).or(spec.near);
    let free = Bracket { screw_spacing: None, hole_at: Vec::new(), near, ..spec.clone() };
    let Ok(settled) = searched(&free, workshop) else { return error };
    let mut wider = (1..=WIDER).map(|step| given.mm().floor() + f64::from(step));
    match wider.find(|spacing| has_room(&settled, *spacing)) {
        Some(spacing) if holes.is_some() => {
            let (size, old, new) = (&settled.layout.screw.size, number(given.mm()), number(spacing));
            let adapter = format!("fixwright adapter --old {size}x2@{old} --new {size}x2@{new}");
            let remedy =
                format!("Drill new holes {new} mm apart, or screw an adapter plate on these: {adapter}.");
            Error { remedy, ..error }
        }
        Some(spacing) => {
            let remedy = format!("Give --screw-spacing {}, or leave it out.", number(spacing));
            Error { remedy, ..error }
        }
        None => error,
    }
}

/// The error of a centre distance so small that no belt goes there, with the least distance at which a whole bracket was
/// seen to find room.
pub fn further(spec: &Bracket, workshop: &Workshop, error: Error) -> Error {
    let Some(near) = spec.near.filter(|_| error.says.starts_with("--near is")) else { return error };
    let next = ((near.mm() / FURTHER.0).floor() + 1.0) * FURTHER.0;
    let free = |near: &f64| {
        let changed: Option<Bracket> = Change::give("near", *near).made_on(spec);
        let stands = |changed: Bracket| {
            let settled = searched(&changed, workshop).ok()?;
            let stopped = all_findings(&settled)?.iter().any(Finding::stops);
            (!stopped).then(|| (settled.drive.designation(), settled.drive.centre))
        };
        changed.and_then(stands).map(|found| (*near, found))
    };
    let tried = (0..FURTHER.1).map(|step| next + FURTHER.0 * f64::from(step));
    match tried.into_iter().find_map(|near| free(&near)) {
        Some((near, (belt, centre))) => Error {
            remedy: format!(
                "Give --near {}: {belt} then puts the axes {} mm apart, and the bracket has room beside the spindle.",
                number(near),
                hundredth(centre)
            ),
            ..error
        },
        None => error,
    }
}

/// Steps in which a greater centre distance is tried, mm, and how many.
const FURTHER: (f64, u32) = (5.0, 40);

/// How much wider a spacing is tried, mm.
const WIDER: i32 = 150;

/// Whether screws so far apart leave room for heads, washers, keys and belt.
fn has_room(s: &Settled, spacing: f64) -> bool {
    let Ok(length) = Length::from_mm(spacing) else { return false };
    let spec = Bracket { screw_spacing: Some(length), ..s.spec.clone() };
    let Ok((encoder, place, layout)) = placed(&spec, s.workshop, &s.encoder, &s.drive, s.layout.thick) else {
        return false;
    };
    let around = Surroundings { layout: &layout, place: &place, drive: &s.drive, encoder: &encoder };
    let gaps = [
        (around.inside(), BESIDE),
        (around.key(), super::layout::KEY_ROOM - 0.01),
        (around.belt(), super::layout::GAP - 0.01),
    ];
    gaps.into_iter().all(|(gap, least)| gap.is_ok_and(|nearest| nearest.gap >= least))
}

/// The ladders that may clear a check, the readiest first.
fn ladders(s: &Settled, check: &str) -> Vec<Ladder> {
    let foot = s.layout.style == Style::Foot;
    match check {
        "deflection" | "root-stress" | "resonance" => vec![
            gussets(s),
            thickness(s, 1.0),
            propped(s),
            axis_height(s, -2.0),
            infill(s),
            thickness(s, 1.0).into_iter().map(|change| change.and_give("infill", 100.0)).collect(),
        ],
        "belt-clearance" => {
            vec![belt_plane(s, 0.5), axis_height(s, 1.0), spacing(s, 1.0), screw(s), thickness(s, -0.5)]
        }
        "gusset-clearance" | "key-access" => {
            let mut ladders = vec![spacing(s, 1.0), axis_height(s, 1.0), screw(s), left(s, "screw-spacing")];
            if !foot {
                ladders.push(left(s, "axis-height"));
            }
            ladders
        }
        "spindle-clearance" => vec![from_front(s), longer(s)],
        "shaft-grip" => vec![
            thickness(s, -0.5),
            belt_plane(s, -0.5),
            left(s, "belt-plane"),
            left(s, "upright-thickness"),
            left(s, "hub"),
            hub(s),
            width(s),
        ],
        "clamp-slip" => vec![left(s, "plain-washers"), jack(s), larger_screw(s)],
        "jack-thrust" => vec![jack(s), thickness(s, 1.0), left(s, "jack")],
        "slot-edge" => vec![depth(s), left(s, "depth"), screw(s), left(s, "gusset-thickness")],
        "hole-edge" => vec![axis_height(s, 1.0)],
        "upright-wall" => vec![thickness(s, 0.5)],
        "vent-web" => vec![vent(s), no_vents(s)],
        "belt-teeth-in-mesh" => vec![small_pulley(s)],
        "pulley-teeth" => vec![both_pulleys(s), small_pulley(s)],
        "face-clearance" => vec![axis_height(s, 1.0), encoder_pulley(s, -1)],
        "encoder-speed" => vec![encoder_pulley(s, 1)],
        "encoder-load" => vec![left(s, "tension"), tension(s), width(s)],
        "belt-tension" => vec![left(s, "tension")],
        "install-allowance" => vec![left(s, "travel-in"), no_flanges()],
        "take-up" => vec![left(s, "travel-out")],
        "overhang" => vec![left(s, "travel-in"), no_flanges(), screw(s), gussets(s)],
        "bed-size" => vec![left(s, "travel-in"), left(s, "screw-spacing"), no_flanges()],
        _ => Vec::new(),
    }
}

fn thickness(s: &Settled, step: f64) -> Ladder {
    by_steps("upright-thickness", (s.layout.thick.upright, step), (2.5, 20.0))
}

fn axis_height(s: &Settled, step: f64) -> Ladder {
    by_steps("axis-height", (s.layout.axis_height, step), (s.layout.least_axis_height, 300.0))
}

fn belt_plane(s: &Settled, step: f64) -> Ladder {
    by_steps("belt-plane", (s.layout.belt_lever + s.layout.thick.upright, step), (1.0, 200.0))
}

fn spacing(s: &Settled, step: f64) -> Ladder {
    let now = (s.layout.screws[1] - s.layout.screws[0]).norm();
    by_steps("screw-spacing", (now, step), (1.0, 500.0))
}

fn depth(s: &Settled) -> Ladder {
    by_steps("depth", (s.layout.depth, 0.5), (1.0, 500.0))
}

fn vent(s: &Settled) -> Ladder {
    by_steps("vent-width", (s.layout.vent_width, -0.5), (3.0, 30.0))
}

/// The spindle on the belt's other side, which only the machine can say.
fn from_front(s: &Settled) -> Ladder {
    let seen = "make sure that the spindle comes from in front of the belt";
    let asked = s.spec.spindle_from.is_none();
    asked.then(|| Change::give("spindle-from", "front").after(seen)).into_iter().collect()
}

/// A greater centre distance, or the next longer belts that are stocked.
fn longer(s: &Settled) -> Ladder {
    if let Some(near) = s.spec.near {
        return by_steps("near", (near.mm(), 5.0), (1.0, 1000.0));
    }
    let longer = s.drive.profile.lengths().filter(|row| row.teeth > s.drive.belt_teeth);
    longer.map(|row| Change::give("belt-teeth", i64::from(row.teeth))).collect()
}

fn gussets(s: &Settled) -> Ladder {
    let more = if s.layout.style == Style::Foot { i64::from(s.layout.gussets).max(1) + 1..4 } else { 0..0 };
    more.map(|count| Change::give("gussets", count)).collect()
}

/// Thicker, with gussets where there are none.
fn propped(s: &Settled) -> Ladder {
    let bare = s.layout.style == Style::Foot && s.layout.gussets == 0;
    let thicker = thickness(s, 1.0).into_iter().map(|change| change.and_give("gussets", 2));
    if bare { thicker.collect() } else { Vec::new() }
}

fn infill(s: &Settled) -> Ladder {
    let now = super::hold::infill(s.spec);
    let more = (1..=10).map(|k| 10.0 * f64::from(k)).filter(|share| *share > now);
    more.map(|share| Change::give("infill", share)).collect()
}

/// Screws a bracket may be held with, the largest first: metric, and in inches.
const SIZES: [&str; 7] = ["M12", "M10", "M8", "M6", "M5", "M4", "M3"];
const INCH_SIZES: [&str; 6] = ["3/8-16", "5/16-18", "1/4-20", "#10-24", "#8-32", "#6-32"];

/// The sizes that are smaller than the screw there is, and those that are larger, each the next first.
fn other_screws(s: &Settled) -> [Vec<&'static str>; 2] {
    let size = &s.layout.screw.size;
    let all: &[&str] = if fasteners::is_inch(size) { &INCH_SIZES } else { &SIZES };
    let diameter = |size: &str| fasteners::thread(size).map_or(0.0, |thread| thread.diameter);
    let now = diameter(size);
    let smaller = all.iter().copied().filter(|size| diameter(size) < now - 0.01).collect();
    let larger = all.iter().rev().copied().filter(|size| diameter(size) > now + 0.01).collect();
    [smaller, larger]
}

fn screws_given(sizes: &[&'static str]) -> Ladder {
    sizes.iter().map(|size| Change::give("screw", *size)).collect()
}

/// Smaller screws, the next first.
fn screw(s: &Settled) -> Ladder {
    screws_given(&other_screws(s)[0])
}

/// Larger screws, the next first.
fn larger_screw(s: &Settled) -> Ladder {
    screws_given(&other_screws(s)[1])
}

/// A jack screw, or a larger one.
fn jack(s: &Settled) -> Ladder {
    let now = s.layout.jack.as_ref().map(|jack| jack.screw.size.as_str());
    let after = now.and_then(|now| JACKS.iter().position(|size| *size == now)).map_or(0, |k| k + 1);
    let sizes = if s.layout.style == Style::Swing { &[][..] } else { &JACKS[after..] };
    sizes.iter().map(|size| Change::give("jack", *size)).collect()
}

/// Jack screws, the smallest first.
const JACKS: [&str; 3] = ["M3", "M4", "M5"];

/// Narrower belts that are sold.
fn width(s: &Settled) -> Ladder {
    let sold = s.drive.profile.usual_widths();
    let narrower = sold.into_iter().rev().filter(|width| *width < s.drive.width - 0.01);
    narrower.map(|width| Change::give("width", width)).collect()
}

/// Less tension, by what the bearings bear.
fn tension(s: &Settled) -> Ladder {
    let most = s.drive.tension * s.encoder.radial_load / s.drive.hub_load();
    vec![Change::give("tension", (most * 10.0 - 1e-6).floor() / 10.0)]
}

fn no_flanges() -> Ladder {
    vec![Change::give("flanges", "none").after("slip the belt on together with a pulley")]
}

fn no_vents(s: &Settled) -> Ladder {
    let change = Change::give("no-vents", true);
    vec![if s.spec.vent_width.is_some() { change.and_leave("vent-width") } else { change }]
}

/// The hub turned round.
fn hub(s: &Settled) -> Ladder {
    vec![Change::give("hub", if s.layout.hub == HubSide::Encoder { "away" } else { "encoder" })]
}

/// An option left out that was given.
fn left(s: &Settled, key: &'static str) -> Ladder {
    let given = toml::Table::try_from(s.spec).is_ok_and(|answers| answers.contains_key(key));
    if given { vec![Change::leave(key)] } else { Vec::new() }
}

/// Pulleys other than those there are, in the ratio asked for where one was; the belt is chosen again where it was not
/// given.
fn pulleys(s: &Settled, teeth: impl Fn(i64) -> (i64, i64)) -> Ladder {
    let rungs = (1..=60).map(teeth).filter(|(spindle, encoder)| *spindle > 0 && *encoder > 0);
    let give = |(spindle, encoder)| Change::give("pulleys", vec![spindle, encoder]);
    match s.spec.ratio.filter(|_| s.spec.pulleys.is_empty()) {
        None => rungs.map(give).collect(),
        Some(ratio) => rungs
            .filter(|(spindle, encoder)| ratio.is_kept_by((*spindle as u32, *encoder as u32)))
            .map(|teeth| give(teeth).and_leave("ratio"))
            .collect(),
    }
}

fn now(s: &Settled) -> (i64, i64) {
    (i64::from(s.drive.spindle_teeth), i64::from(s.drive.encoder_teeth))
}

fn small_pulley(s: &Settled) -> Ladder {
    let (spindle, encoder) = now(s);
    pulleys(s, |more| match spindle < encoder {
        true => (spindle + more, encoder.max(spindle + more)),
        false => (spindle.max(encoder + more), encoder + more),
    })
}

/// Both pulleys larger in their ratio.
fn both_pulleys(s: &Settled) -> Ladder {
    let (spindle, encoder) = now(s);
    let (small, least) = (spindle.min(encoder), i64::from(s.drive.profile.least_teeth));
    pulleys(s, |rung| {
        let small_now = small.max(least - 1) + rung;
        (spindle * small_now / small, encoder * small_now / small)
    })
}

fn encoder_pulley(s: &Settled, step: i64) -> Ladder {
    let (spindle, encoder) = now(s);
    pulleys(s, |rung| (spindle, encoder + step * rung))
}
