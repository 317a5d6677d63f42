//! What clears a guard's findings, each change tried on the whole guard before it is named. A foot's guard that has no room
//! for a thicker wall under its spindle asks for a higher axis, and so for another bracket: that is tried as well.

use super::layout::{OTHER_STYLE, half_up, over_the_shelf};
use super::spec::Guard;
use super::{Printed, Settled, WALL, checks, first_wall, laid_out, thicker};
use crate::checks::Finding;
use crate::design::advice::{Ladder, advise, by_steps};
use crate::design::change::Change;
use crate::error::{Error, Result, number};
use crate::parts::bracket::{self, Style};
use crate::workshop::Workshop;
use std::cell::RefCell;

/// How often a higher axis is tried.
const TRIES: usize = 8;

/// A changed guard and the bracket it then covers.
fn settled<'a>(guard: &'a Guard, workshop: &'a Workshop) -> Result<Settled<'a>> {
    let bracket = bracket::settle(&guard.bracket, workshop)?;
    let (layout, leaning) = laid_out(guard, &bracket, workshop, first_wall(workshop))?;
    Ok(Settled { cover: &guard.cover, bracket, layout, leaning, workshop })
}

/// Its findings, the bracket's among them.
fn found(s: &Settled) -> Result<Vec<Finding>> {
    let printed = Printed::new(&s.layout, s.workshop.chord_tolerance)?;
    let mut findings = checks::findings(s, &printed.pieces, &printed.standing())?;
    findings.push(checks::of_bracket(s)?);
    Ok(findings)
}

/// The error of a foot's guard that has no room under its spindle, with the least axis height seen to make room for the
/// wall that bears a hand too.
pub(super) fn raised(guard: &Guard, b: &bracket::Settled, workshop: &Workshop, error: Error) -> Error {
    let free = guard.bracket.style == Style::Foot && guard.bracket.spindle_height.is_none();
    let room = over_the_shelf(guard, b, first_wall(workshop));
    if !free || room >= 0.0 {
        return error;
    }
    let mut height = half_up(b.layout.axis_height - room);
    for _ in 0..TRIES {
        let Some(changed): Option<Guard> = Change::give("axis-height", height).made_on(guard) else { break };
        let Ok(s) = settled(&changed, workshop) else {
            height += 0.5;
            continue;
        };
        let more = match guard.cover.wall {
            Some(_) => None,
            None => thicker(&(s.layout.clone(), s.leaning.clone()), workshop).ok().flatten(),
        };
        if let Some(wall) = more {
            height = half_up(height + wall - s.layout.wall);
            continue;
        }
        let Ok(findings) = found(&s) else { break };
        let stopped: Vec<&str> = findings.iter().filter(|f| f.stops()).map(|f| f.check).collect();
        let seen = match stopped.is_empty() {
            true => format!(
                "with walls of {} mm guard and bracket then hold what they are checked for",
                number(s.layout.wall)
            ),
            false => format!("{} then still stops it", stopped.join(", ")),
        };
        return Error {
            remedy: format!("Give --axis-height {} ({seen}), {OTHER_STYLE}", number(height)),
            ..error
        };
    }
    error
}

/// Walls that leave no room under the spindle, each with the axis height that makes room; the axis alone where the wall
/// follows from the hand.
fn with_a_higher_axis(guard: &Guard, s: &Settled) -> Ladder {
    if guard.bracket.style != Style::Foot || guard.bracket.spindle_height.is_some() {
        return vec![];
    }
    let (now, axis) = (s.layout.wall, s.bracket.layout.axis_height);
    let bare = Guard { cover: super::Cover { wall: None, ..guard.cover.clone() }, ..guard.clone() };
    let walls = (1..).map(|k| now + 0.5 * f64::from(k)).take_while(|wall| *wall <= WALL.1 + 0.5);
    let rung = |wall: f64| {
        let lacks = -over_the_shelf(&bare, &s.bracket, wall);
        let height = half_up(axis + lacks);
        let change = Change::give("axis-height", height);
        (lacks > 0.0).then(|| match guard.cover.wall {
            Some(_) => change.and_give("wall", wall),
            None => change,
        })
    };
    let mut ladder: Ladder = walls.filter_map(rung).collect();
    ladder.dedup();
    ladder
}

/// Gives each finding that does not hold the least changes that clear it; the bracket stays as far as it may.
pub(super) fn sharpen(guard: &Guard, settled: &mut Settled, findings: &mut [Finding]) {
    let (now, when) = (settled.layout.clone(), settled.workshop.advice.clone());
    let higher = with_a_higher_axis(guard, settled);
    let ladders = |finding: &Finding| -> Vec<Ladder> {
        match finding.check {
            "running-clearance" | "sliding-clearance" => {
                vec![by_steps("clearance", (now.clearance, 0.5), (0.5, 30.0))]
            }
            "leant-on" | "leant-on-strength" => {
                vec![by_steps("wall", (now.wall, 0.2), (0.8, 10.0)), higher.clone()]
            }
            "guard-wall" => vec![by_steps("wall", (now.wall, 0.2), (0.8, 10.0))],
            "reach-vents" => {
                let closed = Change::give("closed", true);
                let closed = if guard.cover.opening.is_some() { closed.and_leave("opening") } else { closed };
                let narrower =
                    now.opening.map_or(vec![], |width| by_steps("opening", (width, -0.2), (1.0, 30.0)));
                vec![narrower, vec![closed]]
            }
            "reach-spindle" => vec![by_steps("clearance", (now.clearance, -0.1), (0.5, 30.0))],
            _ => vec![],
        }
    };
    let settled = RefCell::new(settled);
    let tried = |changed: &Guard| {
        let mut settled = settled.borrow_mut();
        if changed.bracket != guard.bracket {
            return self::settled(changed, settled.workshop).and_then(|s| found(&s)).ok();
        }
        let (layout, leaning) = laid_out(changed, &settled.bracket, settled.workshop, now.wall).ok()?;
        let layout = std::mem::replace(&mut settled.layout, layout);
        let leaning = std::mem::replace(&mut settled.leaning, leaning);
        let printed = Printed::new(&settled.layout, settled.workshop.chord_tolerance).ok();
        let found = printed.and_then(|p| checks::findings(&settled, &p.pieces, &p.standing()).ok());
        (settled.layout, settled.leaning) = (layout, leaning);
        found
    };
    advise(guard, &when, findings, ladders, &tried);
}
