//! The ways to draw a dimension or a leader beside a view, each with what it costs in itself.

use super::dimensions::{Leader, Linear, holds};
use super::lettering::width;
use super::page::{Anchor, Mark, Page, Pen, Text};
use crate::solid::{Point2, Vector2};

/// Paper between a view's outline and its first dimension line, and from line to line, mm.
const FIRST: f64 = 8.0;
const NEXT: f64 = 6.5;
/// Dimension lines beside a view at most, on each side.
const LEVELS: usize = 14;
/// Capitals of dimensions, mm.
pub const LETTERS: f64 = 2.5;
/// Free paper round a figure, mm.
pub const CLEAR: f64 = 0.3;
/// What it costs to lead a leader through another hole.
const THROUGH_A_HOLE: f64 = 60.0;

/// A box on the paper.
pub type Rect = (Point2, Point2);

/// The view's outline on the paper.
pub struct Outside {
    pub least: Point2,
    pub most: Point2,
}

/// One way to draw a dimension or leader.
pub struct Choice {
    pub marks: Vec<Mark>,
    /// The box of its figure.
    pub text: Rect,
    /// Its lines.
    pub strokes: Vec<[Point2; 2]>,
    /// The strip its dimension line keeps for itself.
    pub lane: Option<Rect>,
    /// The dimension line where it runs on beyond its arrows.
    pub tail: Option<[Point2; 2]>,
    /// What it costs in itself.
    pub cost: f64,
}

impl Choice {
    pub fn new(page: Page, cost: f64) -> Self {
        let text = page.marks.iter().find_map(|mark| match mark {
            Mark::Text(text) => Some(text.bounds()),
            _ => None,
        });
        let (a, b) = text.unwrap_or((Point2::origin(), Point2::origin()));
        let clear = Vector2::new(CLEAR, CLEAR);
        Self {
            text: (a - clear, b + clear),
            strokes: page.marks.iter().flat_map(Mark::stretches).collect(),
            lane: None,
            tail: None,
            cost,
            marks: page.marks,
        }
    }
}

pub fn blank() -> Page {
    Page { width: 0.0, height: 0.0, title: String::new(), marks: Vec::new() }
}

/// How a dimension's arrows and text stand between its extension lines.
#[derive(Clone, Copy, PartialEq)]
enum Stand {
    /// All between them, the figure this far off the middle.
    Inside(f64),
    /// The figure between them, the arrows outside.
    ArrowsOutside,
    /// All outside, the figure at the far end.
    After,
    /// All outside, the figure at the near end.
    Before,
}

fn stands(span: f64, text: f64) -> Vec<Stand> {
    let outside = [Stand::After, Stand::Before];
    if span >= text + 8.0 {
        let play = (span - text - 8.0) / 2.0;
        let mut list = vec![Stand::Inside(0.0)];
        let steps = (play / 2.0).floor().min(12.0) as usize;
        for k in 1..=steps {
            let off = play * k as f64 / steps as f64;
            list.extend([Stand::Inside(off), Stand::Inside(-off)]);
        }
        return list;
    }
    if span >= text + 1.5 {
        return [&[Stand::ArrowsOutside][..], &outside].concat();
    }
    outside.to_vec()
}

/// Every way to draw a dimension: side, distance, and where its figure stands.
pub fn linear_choices(linear: &Linear, outline: &Outside, scale: f64) -> Vec<Choice> {
    let text = width(&linear.text, LETTERS);
    let span = (linear.ends[1] - linear.ends[0]) * scale;
    let mut list = vec![];
    for high in [false, true] {
        for level in 0..LEVELS {
            for (k, stand) in stands(span, text).into_iter().enumerate() {
                list.push(linear_choice(linear, outline, scale, (high, level), (stand, k)));
            }
        }
    }
    list
}

/// One dimension: extension lines, dimension line, arrows, figure. `high` is the side of greater
/// coordinates: right, or above.
fn linear_choice(
    linear: &Linear,
    outline: &Outside,
    scale: f64,
    (high, level): (bool, usize),
    (stand, order): (Stand, usize),
) -> Choice {
    let mut page = blank();
    let off = FIRST + NEXT * level as f64;
    let flat = linear.axis == 0;
    // On the paper: along the dimension, and across it.
    let spot = |along: f64, across: f64| {
        if flat { Point2::new(along, across) } else { Point2::new(across, along) }
    };
    let sign = if flat == high { -1.0 } else { 1.0 };
    let edge = match (flat, high) {
        (true, true) => outline.least.y,
        (true, false) => outline.most.y,
        (false, true) => outline.most.x,
        (false, false) => outline.least.x,
    };
    let at = edge + sign * off;
    let along = |value: f64| if flat { value * scale } else { -value * scale };
    let across = |value: f64| if flat { -value * scale } else { value * scale };
    let mut reach = 0.0;
    for k in 0..2 {
        let start = across(if high { linear.from[k].1 } else { linear.from[k].0 });
        reach += (edge - start).abs();
        let ends =
            [spot(along(linear.ends[k]), start + sign * 0.8), spot(along(linear.ends[k]), at + sign * 1.8)];
        page.line(Pen::Narrow, ends);
    }
    let [a, b] = [0, 1].map(|k| spot(along(linear.ends[k]), at));
    let (from, to) = figure(&mut page, (a, b), &linear.text, stand);
    let cost = 2.0 * level as f64 + 0.15 * reach + if high { 0.5 } else { 0.0 } + 0.4 * order as f64;
    let mut choice = Choice::new(page, cost);
    let half = Vector2::new(0.9, 0.9);
    choice.lane = Some((from.inf(&to) - half, from.sup(&to) + half));
    choice.tail = match stand {
        Stand::After => Some([b + (to - from).normalize() * 0.9, to]),
        Stand::Before => Some([from, a - (to - from).normalize() * 0.9]),
        _ => None,
    };
    choice
}

/// A dimension line from `a` to `b` with its arrows, and the figure over it; where the line begins
/// and ends.
fn figure(page: &mut Page, (a, b): (Point2, Point2), text: &str, stand: Stand) -> (Point2, Point2) {
    let along = (b - a).normalize();
    let upright = along.y.abs() > 0.5;
    let letters = width(text, LETTERS);
    let lift = if upright { Vector2::new(-1.0, 0.0) } else { Vector2::new(0.0, -1.0) };
    let (at, anchor) = match stand {
        Stand::Inside(off) => (nalgebra::center(&a, &b) + along * off, Anchor::Middle),
        Stand::ArrowsOutside => (nalgebra::center(&a, &b), Anchor::Middle),
        // Upright text begins at its foot, which for a line drawn upwards is the near end.
        Stand::After => (b + along * 7.0, Anchor::Start),
        Stand::Before => (a - along * 7.0, Anchor::End),
    };
    page.marks.push(Mark::Text(Text {
        at: at + lift,
        height: LETTERS,
        anchor,
        upright,
        bold: false,
        text: text.into(),
    }));
    let (from, to) = match stand {
        Stand::Inside(_) => (a, b),
        Stand::ArrowsOutside => (a - along * 6.0, b + along * 6.0),
        Stand::After => (a - along * 6.0, b + along * (7.0 + letters)),
        Stand::Before => (a - along * (7.0 + letters), b + along * 6.0),
    };
    page.line(Pen::Narrow, [from, to]);
    let out = if matches!(stand, Stand::Inside(_)) { 1.0 } else { -1.0 };
    page.arrow(a, -along * out);
    page.arrow(b, along * out);
    (from, to)
}

/// Every way to draw a leader: on either side of the view, at any height.
pub fn leader_choices(
    leader: &Leader,
    circles: &[(Point2, f64)],
    outline: &Outside,
    scale: f64,
) -> Vec<Choice> {
    const STEP: f64 = 2.5;
    let mut list = vec![];
    let (top, foot) = (outline.least.y - 15.0, outline.most.y + 15.0);
    let rows = ((foot - top) / STEP) as usize;
    for right in [true, false] {
        for out in [5.0, 14.0, 23.0, 32.0, 41.0] {
            for row in 0..=rows {
                let y = top + row as f64 * STEP;
                let x = if right { outline.most.x + out } else { outline.least.x - out };
                list.extend(leader_choice(leader, circles, Point2::new(x, y), (right, scale)));
            }
        }
    }
    list
}

fn leader_choice(
    leader: &Leader,
    circles: &[(Point2, f64)],
    elbow: Point2,
    (right, scale): (bool, f64),
) -> Option<Choice> {
    let centre = Point2::new(leader.centre.x * scale, -leader.centre.y * scale);
    let way = elbow - centre;
    // Towards the elbow where the arc runs there, else to the middle of its longest run.
    let toward = (-way.y).atan2(way.x);
    let longest =
        leader.runs.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map(|(from, sweep)| from + sweep / 2.0)?;
    let on_it = leader.runs.iter().any(|run| holds(*run, toward));
    let angle = if on_it { toward } else { longest };
    let tip = centre + Vector2::new(angle.cos(), -angle.sin()) * leader.radius * scale;
    let run = (elbow - tip).try_normalize(1e-6)?;
    let mut page = blank();
    let letters = width(&leader.text, LETTERS) + 2.0;
    let sign = if right { 1.0 } else { -1.0 };
    let end = elbow + Vector2::new(sign * letters, 0.0);
    page.line(Pen::Narrow, [tip, elbow, end]);
    page.arrow(tip, -run);
    let anchor = if right { Anchor::Start } else { Anchor::End };
    page.text(elbow + Vector2::new(sign, -1.0), LETTERS, anchor, leader.text.clone());
    // Steep leaders run along edges; flat ones look like dimension lines.
    let slope = (run.y.abs() - 0.5).abs();
    let square = Vector2::new(angle.cos(), -angle.sin()).dot(&run);
    // A hole it runs through seems to be meant.
    let through = circles.iter().filter(|(centre, radius)| {
        let middle = Point2::new(centre.x * scale, -centre.y * scale);
        let along = (middle - tip).dot(&run).clamp(0.0, (elbow - tip).norm());
        let other = (centre - leader.centre).norm() > 0.01;
        other && (tip + run * along - middle).norm() < radius * scale + CLEAR
    });
    let cost = 0.12 * (elbow - tip).norm()
        + THROUGH_A_HOLE * through.count() as f64
        + 4.0 * slope
        + 6.0 * (1.0 - square.max(0.0))
        + if right { 0.0 } else { 3.0 };
    let mut choice = Choice::new(page, cost);
    let strip = Vector2::new(0.0, 0.9);
    choice.lane = Some((elbow.inf(&end) - strip, elbow.sup(&end) + strip));
    Some(choice)
}
