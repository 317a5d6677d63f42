//! The least change that clears a finding, found by trying it.
//!
//! Each kind of change is a ladder of requests, least change first. The whole bracket is settled again
//! for a rung, and the rung serves when the finding is then kept and nothing else has become worse. A
//! rung that costs a caution elsewhere is told only where none is free.

use super::clearance::{BESIDE, Surroundings};
use super::spec::{Bracket, HubSide, Style};
use super::{Settled, checks, placed, screws, searched};
use crate::checks::{Finding, Level};
use crate::error::{Error, capital, number};
use crate::units::Length;
use crate::workshop::Workshop;
use std::collections::HashMap;

/// Most rungs between the first of a ladder and the last.
const RUNGS: i32 = 60;
/// Rungs passed over at first; the ones before the first that serves are tried again one by one.
const STRIDE: i32 = 6;
/// Most changes named in one remedy.
const NAMED: usize = 2;

/// Checks whose own advice has nothing to add to a change that clears them.
const WHOLE: [&str; 8] = [
    "belt-teeth-in-mesh",
    "belt-clearance",
    "gusset-clearance",
    "key-access",
    "slot-edge",
    "install-allowance",
    "take-up",
    "vent-web",
];

/// A request changed in one way.
struct Change {
    words: String,
    spec: Bracket,
}

/// A ladder: the change at a rung, nothing beyond its end.
type Ladder<'a> = Box<dyn Fn(i32) -> Option<Change> + 'a>;

type Levels = HashMap<&'static str, Level>;

/// What came of a request tried.
#[derive(Clone)]
struct Outcome {
    levels: Levels,
    /// Whether the machine's holes then lie elsewhere.
    holes_move: bool,
}

/// What came of the requests tried, by their words.
struct Trials<'a> {
    s: &'a Settled<'a>,
    before: Levels,
    done: HashMap<String, Option<Outcome>>,
}

/// Gives each finding that is not kept the least changes that clear it, before what its check says.
pub fn sharpen(s: &Settled, findings: &mut [Finding]) {
    let mut trials = Trials { s, before: levels(findings), done: HashMap::new() };
    for finding in findings.iter_mut().filter(|f| f.level != Level::Ok) {
        let Some(said) = finding.remedy.take() else {
            continue;
        };
        let ladders = ladders(s, finding.check);
        let found = trials.clearing(finding.check, &ladders);
        finding.remedy = Some(match (found.as_slice(), ladders.is_empty()) {
            (_, true) => said,
            ([], false) => format!("No single change that was tried clears it. {said}"),
            (words, false) if WHOLE.contains(&finding.check) => format!("{}.", words.join(", or ")),
            (words, false) => format!("{}. {said}", words.join(", or ")),
        });
    }
}

fn levels(findings: &[Finding]) -> Levels {
    let mut levels = Levels::new();
    for f in findings {
        let level = levels.entry(f.check).or_insert(f.level);
        *level = (*level).max(f.level);
    }
    levels
}

/// How a change serves.
#[derive(Clone, PartialEq)]
enum Serves {
    No,
    Free,
    /// Another check becomes a caution.
    At(Vec<&'static str>),
}

impl Trials<'_> {
    /// The changes that clear a check, in words: those that cost nothing, or else those that cost a
    /// caution.
    fn clearing(&mut self, check: &'static str, ladders: &[Ladder]) -> Vec<String> {
        let (mut free, mut dear) = (Vec::new(), Vec::new());
        for ladder in ladders {
            match self.least(check, ladder) {
                Some((words, Serves::Free)) => free.push(format!("{words}{}", self.aside(&words))),
                Some((words, Serves::At(cost))) => dear.push(format!(
                    "{words} (which then costs a caution: {}{})",
                    cost.join(", "),
                    if self.aside(&words).is_empty() { "" } else { "; and moves the machine's holes" }
                )),
                _ => {}
            }
            if free.len() == NAMED {
                break;
            }
        }
        if free.is_empty() {
            dear.truncate(1);
            return capital_first(dear);
        }
        capital_first(free)
    }

    /// The first rung of a ladder that serves.
    fn least(&mut self, check: &'static str, ladder: &Ladder) -> Option<(String, Serves)> {
        let mut dear = None;
        let mut from = 0;
        while from < RUNGS {
            ladder(from)?;
            let to = (from..from + STRIDE).rev().find(|rung| ladder(*rung).is_some())?;
            if self.serves(check, &ladder(to)?) != Serves::No {
                for rung in from..=to {
                    let change = ladder(rung)?;
                    match self.serves(check, &change) {
                        Serves::Free => return Some((change.words, Serves::Free)),
                        Serves::At(cost) if dear.is_none() => {
                            dear = Some((change.words, Serves::At(cost)));
                        }
                        _ => {}
                    }
                }
                return dear;
            }
            from = to + 1;
        }
        dear
    }

    /// What has to be said of a change that moves the machine's holes.
    fn aside(&self, words: &str) -> &'static str {
        match self.done.get(words) {
            Some(Some(outcome)) if outcome.holes_move => " (which moves the machine's holes)",
            _ => "",
        }
    }

    fn serves(&mut self, check: &'static str, change: &Change) -> Serves {
        let after =
            self.done.entry(change.words.clone()).or_insert_with(|| tried(self.s, &change.spec)).clone();
        let Some(Outcome { levels: after, .. }) = after else {
            return Serves::No;
        };
        if after.get(check).is_some_and(|level| *level != Level::Ok) {
            return Serves::No;
        }
        let mut worse: Vec<(&'static str, Level)> = after
            .into_iter()
            .filter(|(name, level)| *level > *self.before.get(name).unwrap_or(&Level::Ok))
            .collect();
        worse.sort();
        if worse.iter().any(|(_, level)| *level == Level::Stop) {
            return Serves::No;
        }
        match worse.is_empty() {
            true => Serves::Free,
            false => Serves::At(worse.into_iter().map(|(name, _)| name).collect()),
        }
    }
}

fn capital_first(mut words: Vec<String>) -> Vec<String> {
    if let Some(first) = words.first_mut() {
        *first = capital(first);
    }
    words
}

/// The checks of a changed request, its print among them; nothing where it cannot be settled.
fn tried(s: &Settled, spec: &Bracket) -> Option<Outcome> {
    let settled = searched(spec, s.workshop).ok()?;
    let mut findings = checks::unprinted(&settled).ok()?;
    let working = super::shape::body(&settled.layout).ok()?;
    let print = super::Print::of(&settled.layout, &working);
    let piece = crate::design::Piece::new("", print.body(&working), COARSE).ok()?;
    findings.extend(checks::printed(&settled, &piece, &print, COARSE).ok()?);
    Some(Outcome { levels: levels(&findings), holes_move: holes_move(s, &settled) })
}

/// Whether the machine's holes lie elsewhere by more than one marks, from the spindle's axis or along it.
fn holes_move(before: &Settled, after: &Settled) -> bool {
    let places = |s: &Settled| screws::holes(s).map(|h| [h.from_spindle, h.over_spindle, h.behind_belt]);
    let pairs = places(before).into_iter().flatten().zip(places(after).into_iter().flatten());
    pairs.into_iter().any(|(a, b)| (a - b).abs() > MARKED)
}

/// How exactly a hole is marked, mm (common practice, no source).
const MARKED: f64 = 0.1;

/// The error of a request whose screws were given too near together, with the least spacing at which the
/// whole bracket has room, where that alone mends it.
pub fn spaced(spec: &Bracket, workshop: &Workshop, error: Error) -> Error {
    let Some(given) = spec.screw_spacing else { return error };
    let free = Bracket { screw_spacing: None, ..spec.clone() };
    let Ok(settled) = searched(&free, workshop) else { return error };
    let steps = (1..=WIDER).map(|step| (given.mm().floor() + f64::from(step), step));
    let room = steps.map(|(spacing, _)| spacing).find(|spacing| has_room(&settled, *spacing));
    match room {
        Some(spacing) => {
            let remedy = format!("Give --screw-spacing {}, or leave it out.", number(spacing));
            Error { remedy, ..error }
        }
        None => error,
    }
}

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

/// Chord tolerance of the bodies tried, mm: their roofs need no finer one.
const COARSE: f64 = 0.05;

/// The ladders that may clear a check, the readiest change first.
fn ladders<'a>(s: &'a Settled<'a>, check: &str) -> Vec<Ladder<'a>> {
    let foot = s.layout.style == Style::Foot;
    match check {
        "deflection" | "root-stress" | "resonance" => vec![
            gussets(s),
            thickness(s, 0.5, None),
            axis_height(s, -0.5),
            infill(s),
            thickness(s, 0.5, Some(100.0)),
        ],
        "belt-clearance" => {
            vec![belt_plane(s, 0.5), axis_height(s, 1.0), spacing(s), screw(s), thickness(s, -0.5, None)]
        }
        "gusset-clearance" | "key-access" => {
            let mut ladders = vec![spacing(s), axis_height(s, 1.0), screw(s), left(s, "--screw-spacing")];
            if !foot {
                ladders.push(left(s, "--axis-height"));
            }
            ladders
        }
        "shaft-grip" => vec![
            thickness(s, -0.5, None),
            belt_plane(s, -0.5),
            left(s, "--belt-plane"),
            left(s, "--upright-thickness"),
            width(s),
            hub(s),
            left(s, "--hub"),
        ],
        "spindle-clearance" => vec![near(s), spacing_less(s), axis_height(s, 1.0), screw(s)],
        "slot-edge" => vec![depth(s), left(s, "--depth"), screw(s), left(s, "--gusset-thickness")],
        "hole-edge" => vec![axis_height(s, 1.0)],
        "upright-wall" => vec![thickness(s, 0.5, None)],
        "vent-web" => vec![vent(s), no_vents(s)],
        "belt-teeth-in-mesh" => vec![small_pulley(s)],
        "pulley-teeth" => vec![both_pulleys(s), small_pulley(s)],
        "face-clearance" => vec![axis_height(s, 1.0), encoder_pulley(s, -1)],
        "encoder-speed" => vec![encoder_pulley(s, 1)],
        "encoder-load" => vec![left(s, "--tension"), tension(s), width(s)],
        "belt-tension" => vec![left(s, "--tension")],
        "install-allowance" => vec![left(s, "--travel-in"), no_flanges(s)],
        "take-up" => vec![left(s, "--travel-out")],
        "overhang" => vec![left(s, "--travel-in"), no_flanges(s), screw(s), gussets(s)],
        "bed-size" => vec![left(s, "--travel-in"), left(s, "--screw-spacing"), no_flanges(s)],
        _ => Vec::new(),
    }
}

/// A ladder whose rung `k` gives an option the value `start + (k + 1)·step`, up to `bounds`.
fn by_steps<'a>(
    s: &'a Settled<'a>,
    option: &'static str,
    (start, step): (f64, f64),
    (least, most): (f64, f64),
    set: impl Fn(&mut Bracket, Length) + 'a,
) -> Ladder<'a> {
    // From a round number on, so that the advice is one too.
    let grid = step.abs();
    let first =
        if step > 0.0 { (start / grid + 1e-9).floor() * grid } else { (start / grid - 1e-9).ceil() * grid };
    Box::new(move |rung| {
        let value = first + step * f64::from(rung + 1);
        if value < least || value > most {
            return None;
        }
        let mut spec = s.spec.clone();
        set(&mut spec, Length::from_mm(value).ok()?);
        Some(Change { words: format!("give {option} {}", number(value)), spec })
    })
}

fn thickness<'a>(s: &'a Settled<'a>, step: f64, infill: Option<f64>) -> Ladder<'a> {
    let set = move |spec: &mut Bracket, value| {
        spec.upright_thickness = Some(value);
        spec.infill = infill.or(spec.infill);
    };
    let now = s.layout.thick.upright;
    let ladder = by_steps(s, "--upright-thickness", (now, step), (2.5, 20.0), set);
    Box::new(move |rung| {
        let mut change = ladder(rung)?;
        if let Some(infill) = infill {
            change.words += &format!(" --infill {}", number(infill));
        }
        Some(change)
    })
}

fn axis_height<'a>(s: &'a Settled<'a>, step: f64) -> Ladder<'a> {
    let least = s.layout.least_axis_height;
    by_steps(s, "--axis-height", (s.layout.axis_height, step), (least, 300.0), |spec, v| {
        spec.axis_height = Some(v);
    })
}

fn belt_plane<'a>(s: &'a Settled<'a>, step: f64) -> Ladder<'a> {
    let now = s.layout.belt_lever + s.layout.thick.upright;
    by_steps(s, "--belt-plane", (now, step), (1.0, 200.0), |spec, v| {
        spec.belt_plane = Some(v);
    })
}

fn spacing<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let now = (s.layout.screws[1] - s.layout.screws[0]).norm();
    by_steps(s, "--screw-spacing", (now, 1.0), (1.0, 500.0), |spec, v| {
        spec.screw_spacing = Some(v);
    })
}

fn depth<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    by_steps(s, "--depth", (s.layout.depth, 0.5), (1.0, 500.0), |spec, v| {
        spec.depth = Some(v);
    })
}

fn vent<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    by_steps(s, "--vent-width", (s.layout.vent_width, -0.5), (3.0, 30.0), |spec, v| {
        spec.vent_width = Some(v);
    })
}

/// A ladder of changes listed out.
fn listed<'a>(changes: Vec<Change>) -> Ladder<'a> {
    Box::new(move |rung| {
        let change = changes.get(usize::try_from(rung).ok()?)?;
        Some(Change { words: change.words.clone(), spec: change.spec.clone() })
    })
}

fn change(s: &Settled, words: impl Into<String>, set: impl FnOnce(&mut Bracket)) -> Change {
    let mut spec = s.spec.clone();
    set(&mut spec);
    Change { words: words.into(), spec }
}

fn gussets<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let more = if s.layout.style == Style::Foot { s.layout.gussets.max(1) + 1..4 } else { 0..0 };
    let give = |count: u32| change(s, format!("give --gussets {count}"), |spec| spec.gussets = Some(count));
    listed(more.map(give).collect())
}

fn infill<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let now = super::hold::infill(s.spec);
    let rungs = (1..=10).map(|k| 10.0 * f64::from(k)).filter(|v| *v > now);
    listed(
        rungs
            .map(|v| change(s, format!("give --infill {}", number(v)), |spec| spec.infill = Some(v)))
            .collect(),
    )
}

/// Smaller screws, the next first.
fn screw<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    const SIZES: [&str; 7] = ["M12", "M10", "M8", "M6", "M5", "M4", "M3"];
    let now = SIZES.iter().position(|size| *size == s.layout.screw.size);
    let smaller = now.map_or(&[][..], |k| &SIZES[k + 1..]);
    listed(
        smaller
            .iter()
            .map(|size| {
                change(s, format!("give --screw {size}"), |spec| {
                    spec.screw = Some((*size).into());
                })
            })
            .collect(),
    )
}

/// Narrower belts that are sold.
fn width<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let sold = s.drive.profile.usual_widths();
    let narrower = sold.into_iter().rev().filter(|w| *w < s.drive.width - 0.01);
    listed(
        narrower
            .map(|w| {
                change(s, format!("give --width {}", number(w)), |spec| {
                    spec.width = Length::from_mm(w).ok();
                })
            })
            .collect(),
    )
}

/// Less tension, by what the bearings bear.
fn tension<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let most = s.drive.tension * s.encoder.radial_load / s.drive.hub_load();
    let rounded = (most * 10.0 - 1e-6).floor() / 10.0;
    listed(vec![change(s, format!("give --tension {}", number(rounded)), |spec| {
        spec.tension = Some(rounded);
    })])
}

fn no_flanges<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let words = "slip the belt on together with a pulley and give --flanges none";
    listed(vec![change(s, words, |spec| {
        spec.flanges = Some(crate::belt_drive::Flanges::None);
    })])
}

fn no_vents<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    listed(vec![change(s, "give --no-vents", |spec| {
        spec.no_vents = true;
        spec.vent_width = None;
    })])
}

/// The hub turned round.
fn hub<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let (words, side) = match s.layout.hub {
        HubSide::Encoder => ("give --hub away", HubSide::Away),
        _ => ("give --hub encoder", HubSide::Encoder),
    };
    listed(vec![change(s, words, |spec| spec.hub = Some(side))])
}

/// A greater centre distance, where one was wished for.
fn near<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    match s.spec.near {
        Some(near) => by_steps(s, "--near", (near.mm(), 5.0), (1.0, 1000.0), |spec, v| spec.near = Some(v)),
        None => listed(Vec::new()),
    }
}

fn spacing_less<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let now = (s.layout.screws[1] - s.layout.screws[0]).norm();
    by_steps(s, "--screw-spacing", (now, -1.0), (1.0, 500.0), |spec, v| spec.screw_spacing = Some(v))
}

/// An option left out that was given.
fn left<'a>(s: &'a Settled<'a>, option: &'static str) -> Ladder<'a> {
    let mut spec = s.spec.clone();
    let given = match option {
        "--tension" => spec.tension.take().is_some(),
        "--travel-in" => spec.travel_in.take().is_some(),
        "--travel-out" => spec.travel_out.take().is_some(),
        "--depth" => spec.depth.take().is_some(),
        "--belt-plane" => spec.belt_plane.take().is_some(),
        "--hub" => spec.hub.take().is_some(),
        "--screw-spacing" => spec.screw_spacing.take().is_some(),
        "--axis-height" => spec.axis_height.take().is_some(),
        "--upright-thickness" => spec.upright_thickness.take().is_some(),
        "--gusset-thickness" => spec.gusset_thickness.take().is_some(),
        _ => false,
    };
    listed(if given { vec![Change { words: format!("leave {option} out"), spec }] } else { Vec::new() })
}

/// Pulleys other than those there are; the belt is chosen again where it was not given.
fn pulleys<'a>(s: &'a Settled<'a>, teeth: impl Fn(i32) -> Option<(i32, i32)> + 'a) -> Ladder<'a> {
    Box::new(move |rung| {
        let (spindle, encoder) = teeth(rung + 1)?;
        let (spindle, encoder) = (u32::try_from(spindle).ok()?, u32::try_from(encoder).ok()?);
        Some(change(s, format!("give --pulleys {spindle},{encoder}"), |spec| {
            spec.pulleys = vec![spindle, encoder];
        }))
    })
}

fn now(s: &Settled) -> (i32, i32) {
    (s.drive.spindle_teeth as i32, s.drive.encoder_teeth as i32)
}

fn small_pulley<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let (spindle, encoder) = now(s);
    pulleys(s, move |more| {
        Some(if spindle < encoder {
            (spindle + more, encoder.max(spindle + more))
        } else {
            (spindle.max(encoder + more), encoder + more)
        })
    })
}

/// Both pulleys larger in their ratio.
fn both_pulleys<'a>(s: &'a Settled<'a>) -> Ladder<'a> {
    let (spindle, encoder) = now(s);
    let (small, least) = (spindle.min(encoder), s.drive.profile.least_teeth as i32);
    pulleys(s, move |rung| {
        let small_now = small.max(least - 1) + rung;
        Some((spindle * small_now / small, encoder * small_now / small))
    })
}

fn encoder_pulley<'a>(s: &'a Settled<'a>, step: i32) -> Ladder<'a> {
    let (spindle, encoder) = now(s);
    pulleys(s, move |rung| Some((spindle, encoder + step * rung)))
}
