//! What may clear a finding: ladders of changes, which [`crate::design::advice`] tries on the whole bracket
//! before it names one.

use super::spec::{Bracket, Style};
use super::{Settled, checks, settle};
use crate::checks::Finding;
use crate::design::Piece;
use crate::design::advice::{Ladder, advise, by_steps};
use crate::design::change::Change;

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

/// Gives each finding that does not hold the least changes that clear it, before what its check says.
pub fn sharpen(s: &Settled, findings: &mut [Finding]) {
    let said: Vec<Option<String>> = findings.iter().map(|finding| finding.remedy.clone()).collect();
    let settled = |spec: &Bracket| all_findings(&settle(spec, s.workshop).ok()?);
    advise(s.spec, findings, |finding| ladders(s, finding.check), &settled);
    for (finding, said) in findings.iter_mut().zip(said) {
        let adds = !finding.changes.is_empty() && !WHOLE.contains(&finding.check);
        if let (true, Some(remedy), Some(said)) = (adds, &mut finding.remedy, said) {
            *remedy += &format!(" {said}");
        }
    }
}

/// The findings of a changed request, its print among them; nothing where it cannot be drawn.
fn all_findings(settled: &Settled) -> Option<Vec<Finding>> {
    let mut findings = checks::unprinted(settled).ok()?;
    let working = super::shape::body(&settled.layout).ok()?;
    let print = super::Print::of(&settled.layout, &working);
    let piece = Piece::new("", print.body(&working), COARSE).ok()?;
    findings.extend(checks::printed(settled, &piece));
    Some(findings)
}

/// Chord tolerance of the bodies tried, mm: their roofs need no finer one.
const COARSE: f64 = 0.05;

/// The ladders that may clear a check, the readiest change first.
fn ladders(s: &Settled, check: &str) -> Vec<Ladder> {
    let foot = s.layout.style == Style::Foot;
    match check {
        "deflection" | "root-stress" | "resonance" => vec![
            gussets(s),
            thickness(s, 0.5),
            axis_height(s, -0.5),
            infill(s),
            thickness(s, 0.5).into_iter().map(|change| change.and_give("infill", 100.0)).collect(),
        ],
        "belt-clearance" => {
            vec![belt_plane(s, 0.5), axis_height(s, 1.0), spacing(s), screw(s), thickness(s, -0.5)]
        }
        "gusset-clearance" | "key-access" => {
            let mut ladders = vec![spacing(s), axis_height(s, 1.0), screw(s), left(s, "screw-spacing")];
            if !foot {
                ladders.push(left(s, "axis-height"));
            }
            ladders
        }
        "shaft-grip" => vec![
            thickness(s, -0.5),
            belt_plane(s, -0.5),
            left(s, "belt-plane"),
            left(s, "upright-thickness"),
            width(s),
        ],
        "slot-edge" => vec![depth(s), left(s, "depth"), screw(s), left(s, "gusset-thickness")],
        "hole-edge" => vec![axis_height(s, 1.0)],
        "upright-wall" => vec![thickness(s, 0.5)],
        "vent-web" => vec![vent(s), no_vents()],
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

fn spacing(s: &Settled) -> Ladder {
    by_steps("screw-spacing", ((s.layout.screws[1] - s.layout.screws[0]).norm(), 1.0), (1.0, 500.0))
}

fn depth(s: &Settled) -> Ladder {
    by_steps("depth", (s.layout.depth, 0.5), (1.0, 500.0))
}

fn vent(s: &Settled) -> Ladder {
    by_steps("vent-width", (s.layout.vent_width, -0.5), (3.0, 30.0))
}

fn gussets(s: &Settled) -> Ladder {
    let wanted = s.layout.style == Style::Foot && s.layout.gussets < 2;
    wanted.then(|| Change::give("gussets", 2)).into_iter().collect()
}

fn infill(s: &Settled) -> Ladder {
    let now = super::hold::infill(s.spec);
    let more = (1..=10).map(|k| 10.0 * f64::from(k)).filter(|share| *share > now);
    more.map(|share| Change::give("infill", share)).collect()
}

/// Smaller screws, the next first.
fn screw(s: &Settled) -> Ladder {
    const SIZES: [&str; 7] = ["M12", "M10", "M8", "M6", "M5", "M4", "M3"];
    let now = SIZES.iter().position(|size| *size == s.layout.screw.size);
    let smaller = now.map_or(&[][..], |k| &SIZES[k + 1..]);
    smaller.iter().map(|size| Change::give("screw", *size)).collect()
}

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

fn no_vents() -> Ladder {
    vec![Change::give("no-vents", true)]
}

/// An answer left out that was given.
fn left(s: &Settled, key: &'static str) -> Ladder {
    let spec = s.spec;
    let given = match key {
        "tension" => spec.tension.is_some(),
        "travel-in" => spec.travel_in.is_some(),
        "travel-out" => spec.travel_out.is_some(),
        "depth" => spec.depth.is_some(),
        "belt-plane" => spec.belt_plane.is_some(),
        "screw-spacing" => spec.screw_spacing.is_some(),
        "axis-height" => spec.axis_height.is_some(),
        "upright-thickness" => spec.upright_thickness.is_some(),
        "gusset-thickness" => spec.gusset_thickness.is_some(),
        _ => false,
    };
    given.then(|| Change::leave(key)).into_iter().collect()
}

/// Most steps from the pulleys there are to others.
const STEPS: i32 = 60;

/// Pulleys other than those there are, as `teeth` counts them at each step; the belt is chosen again where it
/// was not given.
fn pulleys(teeth: impl Fn(i32) -> (i32, i32)) -> Ladder {
    let counts = (1..=STEPS).map(teeth).take_while(|(spindle, encoder)| *spindle >= 0 && *encoder >= 0);
    counts
        .map(|(spindle, encoder)| Change::give("pulleys", vec![i64::from(spindle), i64::from(encoder)]))
        .collect()
}

fn now(s: &Settled) -> (i32, i32) {
    (s.drive.spindle_teeth as i32, s.drive.encoder_teeth as i32)
}

fn small_pulley(s: &Settled) -> Ladder {
    let (spindle, encoder) = now(s);
    pulleys(|more| match spindle < encoder {
        true => (spindle + more, encoder.max(spindle + more)),
        false => (spindle.max(encoder + more), encoder + more),
    })
}

/// Both pulleys larger in their ratio.
fn both_pulleys(s: &Settled) -> Ladder {
    let (spindle, encoder) = now(s);
    let (small, least) = (spindle.min(encoder), s.drive.profile.least_teeth as i32);
    pulleys(|step| {
        let larger = small.max(least - 1) + step;
        (spindle * larger / small, encoder * larger / small)
    })
}

fn encoder_pulley(s: &Settled, step: i32) -> Ladder {
    let (spindle, encoder) = now(s);
    pulleys(|more| (spindle, encoder + step * more))
}
