//! Which of the design's dimensions a view can show, and where.
//!
//! A dimension is drawn only where both sides agree: the design resolves a value, and the view holds
//! two lines (or a circle) of the boundary representation that far apart. So a drawing cannot say a
//! number that the solid does not have, nor show a size the design does not know. The overall sizes
//! are added where the design has none of that value, in parentheses, as auxiliary dimensions are
//! written (ISO 129-1).

use super::outline::{Outline, Stroke};
use super::view::View;
use crate::error::number;
use crate::parts::Design;
use crate::solid::body::Curve;
use crate::solid::{Body, Point2, Vector3};
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// Two sizes nearer than this are the same when compared, mm: less than a drawing prints.
const SAME: f64 = 2e-3;
/// Smaller sizes are left to the report, mm.
const LEAST: f64 = 0.3;
/// Keys that begin so tell of what the part works with, of a gap or of how it bends: not of a size
/// that two of its own lines are apart. (The least web lies between two circles, aslant.)
const ELSEWHERE: [&str; 21] = [
    "bearing_",
    "land_",
    "chamfer_min",
    "washer_",
    "encoder_",
    "belt_",
    "pulley_",
    "outside_diameter_",
    "centre_distance",
    "span_",
    "take_up",
    "slot_travel",
    "deflection",
    "vent_",
    "hole_",
    "sheet_",
    "margin",
    "min_",
    "largest_",
    "spigot_clearance",
    "reach",
];
/// Words in the keys of diameters.
const ROUND: [&str; 4] = ["diameter", "bore", "hole", "clearance"];
/// Words in the keys of distances to the centre of something round.
const CENTRED: [&str; 3] = ["spacing", "row", "axis_height"];
/// Linear dimensions a view carries at most, overall sizes not counted.
const MOST: usize = 9;

/// How much line a mere corner counts for, mm.
const CORNER: f64 = 0.05;

/// A dimension along one of the view's axes.
#[derive(Clone, Debug, PartialEq)]
pub struct Linear {
    /// 0 along the view's right, 1 along its up.
    pub axis: usize,
    /// The two coordinates along that axis, lesser first.
    pub ends: [f64; 2],
    /// For each end, the stretch across the axis where the line it is taken from runs.
    pub from: [(f64, f64); 2],
    /// What is written.
    pub text: String,
}

/// A diameter written at the end of a leader.
#[derive(Clone, Debug, PartialEq)]
pub struct Leader {
    /// Centre of the circle pointed at.
    pub centre: Point2,
    /// Its radius.
    pub radius: f64,
    /// What is written.
    pub text: String,
}

/// The dimensions of one view.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shown {
    /// Along the axes.
    pub linear: Vec<Linear>,
    /// Of circles seen face on.
    pub leaders: Vec<Leader>,
}

/// What lies on one coordinate.
#[derive(Clone, Copy, Debug)]
struct Rule {
    at: f64,
    /// How much line lies on it, mm.
    weight: f64,
    /// Where across.
    span: (f64, f64),
    /// Whether the centre of something round lies on it, rather than an edge.
    centre: bool,
}

/// A view's lines by coordinate, ready to be measured between.
pub struct Measured<'a> {
    view: &'a View,
    /// By axis.
    lines: [Vec<Rule>; 2],
    circles: Vec<(Point2, f64)>,
    /// Radii of everything round.
    arcs: Vec<f64>,
    bounds: (Point2, Point2),
}

impl<'a> Measured<'a> {
    /// What can be measured in a view: its visible strokes, and the loops cut in a section.
    pub fn new(view: &'a View, visible: &Outline, loops: &[Vec<Point2>]) -> Self {
        let mut lines: [BTreeMap<(i64, bool), Rule>; 2] = Default::default();
        let (mut circles, mut arcs) = (Vec::new(), Vec::new());
        let (mut least, mut most) = (
            Point2::new(f64::MAX, f64::MAX),
            Point2::new(f64::MIN, f64::MIN),
        );
        let mut corner = |p: Point2| {
            least = Point2::new(least.x.min(p.x), least.y.min(p.y));
            most = Point2::new(most.x.max(p.x), most.y.max(p.y));
        };
        let mut add = |axis: usize, at: f64, weight: f64, span: (f64, f64), centre: bool| {
            let rule = Rule {
                at,
                weight: 0.0,
                span,
                centre,
            };
            let entry = lines[axis]
                .entry(((at / 1e-3).round() as i64, centre))
                .or_insert(rule);
            entry.weight += weight;
            entry.span = (entry.span.0.min(span.0), entry.span.1.max(span.1));
        };
        let edges = loops.iter().flat_map(|points| {
            (0..points.len()).map(|k| Stroke::Line(points[k], points[(k + 1) % points.len()]))
        });
        for stroke in visible.strokes().into_iter().chain(edges) {
            match stroke {
                Stroke::Line(a, b) => {
                    [a, b].into_iter().for_each(&mut corner);
                    for end in [a, b] {
                        add(0, end.x, CORNER, (end.y, end.y), false);
                        add(1, end.y, CORNER, (end.x, end.x), false);
                    }
                    let along = b - a;
                    if along.x.abs() < 1e-6 {
                        add(0, a.x, along.norm(), (a.y.min(b.y), a.y.max(b.y)), false);
                    } else if along.y.abs() < 1e-6 {
                        add(1, a.y, along.norm(), (a.x.min(b.x), a.x.max(b.x)), false);
                    }
                }
                Stroke::Arc(c, r, from, sweep) => {
                    let holds = |angle: f64| (angle - from).rem_euclid(2.0 * PI) <= sweep + 1e-9;
                    for (k, (dx, dy)) in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
                        .into_iter()
                        .enumerate()
                    {
                        if holds(k as f64 * PI / 2.0) {
                            corner(Point2::new(c.x + r * dx, c.y + r * dy));
                            let (axis, at, across) = if dx != 0.0 {
                                (0, c.x + r * dx, c.y)
                            } else {
                                (1, c.y + r * dy, c.x)
                            };
                            add(axis, at, r, (across, across), false);
                        }
                    }
                    for angle in [from, from + sweep] {
                        corner(Point2::new(c.x + r * angle.cos(), c.y + r * angle.sin()));
                    }
                    arcs.push(r);
                    // Centres of holes and slot ends, not of rounded corners.
                    if sweep > 0.9 * PI {
                        add(0, c.x, r, (c.y, c.y), true);
                        add(1, c.y, r, (c.x, c.x), true);
                    }
                    if sweep > 1.9 * PI {
                        circles.push((c, r));
                    }
                }
                Stroke::Curve(points) => points.into_iter().for_each(&mut corner),
            }
        }
        let lines = lines.map(|by| by.into_values().collect());
        Self {
            view,
            lines,
            circles,
            arcs,
            bounds: (least, most),
        }
    }

    /// The box of all that shows.
    pub fn bounds(&self) -> (Point2, Point2) {
        self.bounds
    }

    /// Whether everything round in the view has one centre.
    fn concentric(&self) -> bool {
        self.circles
            .windows(2)
            .all(|pair| (pair[0].0 - pair[1].0).norm() < SAME)
    }

    /// The pair of lines `size` apart along an axis that has the most line on its shorter side.
    /// From centre to centre is better than from edge to edge of two holes.
    fn pair(&self, axis: usize, size: f64, to_centre: bool) -> Option<(f64, Linear)> {
        let lines = &self.lines[axis];
        let mut best: Option<(f64, Linear)> = None;
        let centres = !self.concentric();
        for a in lines.iter().filter(|line| centres || !line.centre) {
            for b in lines
                .iter()
                .filter(|line| centres || !line.centre)
                .filter(|b| (b.at - a.at - size).abs() < SAME)
            {
                let kind = if a.centre && b.centre {
                    4.0
                } else if a.centre || b.centre {
                    0.8
                } else {
                    1.0
                };
                if to_centre && !a.centre && !b.centre {
                    continue;
                }
                // From a centre to its own rim is a radius, and told as a diameter if at all.
                if a.centre != b.centre && self.arcs.iter().any(|r| (r - size).abs() < SAME) {
                    continue;
                }
                let weight = a.weight.min(b.weight) * kind;
                if best.as_ref().is_none_or(|(w, _)| weight > *w + 1e-9) {
                    let linear = Linear {
                        axis,
                        ends: [a.at, b.at],
                        from: [a.span, b.span],
                        text: number(round(size)),
                    };
                    best = Some((weight, linear));
                }
            }
        }
        best
    }

    /// The direction of space that runs along a view's axis.
    fn direction(&self, axis: usize) -> Vector3 {
        if axis == 0 {
            self.view.right
        } else {
            self.view.up
        }
    }
}

/// A size as a drawing prints it: to a hundredth.
fn round(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

/// Shares the design's dimensions out over the views that can show them best.
pub fn shared_out(design: &Design, body: &Body, views: &[Measured]) -> Vec<Shown> {
    let mut shown = vec![Shown::default(); views.len()];
    let mut said: Vec<(bool, f64)> = Vec::new();
    // A turned part is told by its section alone.
    let turned = views.iter().all(Measured::concentric) && views.len() > 1;
    let telling = if turned { &views[..1] } else { views };
    let own = |key: &str| !ELSEWHERE.iter().any(|word| key.starts_with(word));
    let sizes = design
        .dimensions
        .iter()
        .filter(|d| d.unit() == "mm" && d.value >= LEAST && own(d.key));
    for dimension in sizes.filter(|d| d.value.is_finite()) {
        let size = round(dimension.value);
        let is_round = ROUND.iter().any(|word| dimension.key.contains(word));
        let to_centre = CENTRED.iter().any(|word| dimension.key.contains(word));
        if said.contains(&(is_round, size)) {
            continue;
        }
        let placed = (is_round && !turned && circle(dimension.value, views, &mut shown))
            || span(
                (dimension.value, is_round, to_centre),
                body,
                telling,
                &mut shown,
                &mut said,
            )
            || (!is_round && !turned && circle(dimension.value, views, &mut shown));
        if placed {
            said.push((is_round, size));
        }
    }
    if !turned {
        for size in listed_diameters(design) {
            if !said.contains(&(true, round(size))) && circle(size, views, &mut shown) {
                said.push((true, round(size)));
            }
        }
    }
    for (view, shown) in views.iter().zip(&mut shown) {
        overall(view, shown, &mut said);
    }
    shown
}

/// The diameters in the design's lists (openings, screws), each once, largest first.
fn listed_diameters(design: &Design) -> Vec<f64> {
    let entries = design
        .lists
        .values()
        .filter_map(|list| list.as_array())
        .flatten();
    let mut sizes: Vec<f64> = entries
        .filter_map(|entry| entry["diameter"].as_f64())
        .collect();
    sizes.sort_by(|a, b| b.total_cmp(a));
    sizes.dedup();
    sizes
}

/// Puts a diameter on the circles of that size, if a view shows any face on.
fn circle(size: f64, views: &[Measured], shown: &mut [Shown]) -> bool {
    for (view, shown) in views.iter().zip(shown) {
        let same: Vec<_> = view
            .circles
            .iter()
            .filter(|(_, r)| (2.0 * r - size).abs() < SAME)
            .collect();
        let Some((centre, radius)) = same
            .iter()
            .max_by(|a, b| (a.0.x + a.0.y).total_cmp(&(b.0.x + b.0.y)))
        else {
            continue;
        };
        let count = if same.len() > 1 {
            format!("{} × ", same.len())
        } else {
            String::new()
        };
        let text = format!("{count}Ø{}", number(round(size)));
        shown.leaders.push(Leader {
            centre: *centre,
            radius: *radius,
            text,
        });
        return true;
    }
    false
}

/// Puts a size between two lines, in the view and along the axis that has the longest. A diameter
/// goes only where the solid is that wide about an axis.
fn span(
    (size, is_round, to_centre): (f64, bool, bool),
    body: &Body,
    views: &[Measured],
    shown: &mut [Shown],
    said: &mut Vec<(bool, f64)>,
) -> bool {
    let mut best: Option<(f64, usize, Linear, bool)> = None;
    for (k, view) in views
        .iter()
        .enumerate()
        .filter(|(k, _)| shown[*k].linear.len() < MOST)
    {
        for axis in 0..2 {
            let Some((weight, linear)) = view.pair(axis, size, to_centre) else {
                continue;
            };
            let diameter = is_diameter(body, view, &linear);
            // The first view comes first unless another shows the size a good deal better.
            let weight = weight * if k == 0 { 1.0 } else { 0.7 };
            // Across the axis a turned part has nothing but diameters.
            let across = axis == 0 && views.len() == 1;
            if (diameter || !(is_round || across))
                && best.as_ref().is_none_or(|(w, ..)| weight > *w + 1e-9)
            {
                best = Some((weight, k, linear, diameter));
            }
        }
    }
    let Some((_, k, mut linear, diameter)) = best else {
        return false;
    };
    if diameter {
        linear.text = format!("Ø{}", linear.text);
        said.push((true, round(size)));
    }
    shown[k].linear.push(linear);
    true
}

/// Whether a span is the width of something round about an axis in the plane of the view.
fn is_diameter(body: &Body, view: &Measured, linear: &Linear) -> bool {
    let along = view.direction(1 - linear.axis);
    let across = view.direction(linear.axis);
    let [a, b] = linear.ends;
    body.edges().iter().any(|edge| match edge.curve {
        Curve::Arc {
            frame,
            radius,
            sweep,
        } => {
            sweep > 0.9 * PI
                && frame.z.dot(&along).abs() > 1.0 - 1e-9
                && (2.0 * radius - (b - a)).abs() < SAME
                && (frame.origin.coords.dot(&across) - (a + b) / 2.0).abs() < SAME
        }
        Curve::Line => false,
    })
}

/// Adds the view's overall sizes: those the design has no dimension for, in parentheses.
fn overall(view: &Measured, shown: &mut Shown, said: &mut Vec<(bool, f64)>) {
    for axis in 0..2 {
        let ends = [view.bounds.0[axis], view.bounds.1[axis]];
        let size = round(ends[1] - ends[0]);
        if size < LEAST || said.iter().any(|(_, s)| (s - size).abs() < 0.006) {
            continue;
        }
        said.push((false, size));
        let from = |at: f64| {
            let line = view.lines[axis]
                .iter()
                .find(|l| (l.at - at).abs() < SAME && !l.centre);
            line.map_or((view.bounds.0[1 - axis], view.bounds.0[1 - axis]), |l| {
                l.span
            })
        };
        shown.linear.push(Linear {
            axis,
            ends,
            from: ends.map(from),
            text: format!("({})", number(size)),
        });
    }
}
