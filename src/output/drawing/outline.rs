//! Lines and arcs in a view, with what lies on top of each other joined into one.

use crate::solid::Point2;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// One piece of a view's outline, mm of the part, y up.
#[derive(Clone, Debug, PartialEq)]
pub enum Stroke {
    /// A straight line.
    Line(Point2, Point2),
    /// An arc round a centre: radius, first angle, angle run through counter-clockwise.
    Arc(Point2, f64, f64, f64),
    /// Any other curve, as points.
    Curve(Vec<Point2>),
}

/// Strokes gathered by the line or circle they lie on, as stretches along it.
#[derive(Clone, Debug, Default)]
pub struct Outline {
    lines: BTreeMap<[i64; 2], Stretches>,
    circles: BTreeMap<[i64; 3], Stretches>,
    curves: Vec<Vec<Point2>>,
}

#[derive(Clone, Debug)]
struct Stretches {
    /// The line's foot and direction, or the circle's centre and radius.
    base: (Point2, Point2),
    spans: Vec<(f64, f64)>,
}

/// Strokes nearer than this lie on the same line, mm.
const SAME: f64 = 1e-3;

fn whole(value: f64, step: f64) -> i64 {
    (value / step).round() as i64
}

impl Outline {
    /// Adds one stroke; one shorter than a hundredth of a millimetre is no stroke.
    pub fn add(&mut self, stroke: Stroke) {
        match stroke {
            Stroke::Line(a, b) => self.add_line(a, b),
            Stroke::Arc(centre, radius, from, sweep) => self.add_arc(centre, radius, from, sweep),
            Stroke::Curve(points) => self.curves.push(points),
        }
    }

    fn add_line(&mut self, a: Point2, b: Point2) {
        let along = b - a;
        if along.norm() < 0.01 {
            return;
        }
        let mut d = along.normalize();
        if d.x < -1e-9 || (d.x.abs() <= 1e-9 && d.y < 0.0) {
            d = -d;
        }
        let off = a.x * -d.y + a.y * d.x;
        let key = [whole(d.y.atan2(d.x), 1e-5), whole(off, SAME)];
        let foot = Point2::new(-d.y * off, d.x * off);
        let base = (foot, Point2::from(d));
        let place = |p: Point2| (p - foot).dot(&d);
        let span = (place(a).min(place(b)), place(a).max(place(b)));
        self.lines.entry(key).or_insert(Stretches { base, spans: Vec::new() }).spans.push(span);
    }

    fn add_arc(&mut self, centre: Point2, radius: f64, from: f64, sweep: f64) {
        if radius * sweep < 0.01 {
            return;
        }
        let key = [whole(centre.x, SAME), whole(centre.y, SAME), whole(radius, SAME)];
        let base = (centre, Point2::new(radius, 0.0));
        let from = from.rem_euclid(TAU);
        let spans = &mut self.circles.entry(key).or_insert(Stretches { base, spans: Vec::new() }).spans;
        let to = from + sweep.min(TAU);
        spans.push((from, to.min(TAU)));
        if to > TAU {
            spans.push((0.0, to - TAU));
        }
    }

    /// Every stretch once, joined where they meet.
    pub fn strokes(&self) -> Vec<Stroke> {
        self.less(&Outline::default())
    }

    /// The strokes with what `other` covers taken away.
    pub fn less(&self, other: &Outline) -> Vec<Stroke> {
        let mut strokes = Vec::new();
        for (key, stretches) in &self.lines {
            let (foot, d) = stretches.base;
            let taken = other.lines.get(key).map_or(&[][..], |s| &s.spans);
            for (from, to) in remaining(&stretches.spans, taken, 0.01) {
                strokes.push(Stroke::Line(foot + d.coords * from, foot + d.coords * to));
            }
        }
        for (key, stretches) in &self.circles {
            let (centre, radius) = (stretches.base.0, stretches.base.1.x);
            let taken = other.circles.get(key).map_or(&[][..], |s| &s.spans);
            for (from, to) in rejoined(remaining(&stretches.spans, taken, 0.01 / radius)) {
                strokes.push(Stroke::Arc(centre, radius, from, to - from));
            }
        }
        strokes.extend(self.curves.iter().cloned().map(Stroke::Curve));
        strokes
    }
}

/// The union of spans without the union of others, each longer than `least`.
fn remaining(spans: &[(f64, f64)], taken: &[(f64, f64)], least: f64) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    for (mut from, to) in union(spans, least) {
        for &(a, b) in &union(taken, least) {
            if b <= from || a >= to {
                continue;
            }
            if a - from > least {
                out.push((from, a));
            }
            from = from.max(b);
        }
        if to - from > least {
            out.push((from, to));
        }
    }
    out
}

/// Spans joined where they meet or nearly meet, in order.
fn union(spans: &[(f64, f64)], near: f64) -> Vec<(f64, f64)> {
    let mut sorted = spans.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<(f64, f64)> = Vec::new();
    for (from, to) in sorted {
        match out.last_mut() {
            Some(last) if from <= last.1 + near => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}

/// Arcs that end and begin at the angle 0 as one.
fn rejoined(mut arcs: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let (first, last) = (arcs.first().copied(), arcs.last().copied());
    if let (Some(first), Some(last)) = (first, last)
        && arcs.len() > 1
        && first.0 < 1e-6
        && last.1 > TAU - 1e-6
    {
        arcs.remove(0);
        let end = arcs.len() - 1;
        arcs[end] = (last.0, first.1 + TAU);
    }
    arcs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: f64, y: f64) -> Point2 {
        Point2::new(x, y)
    }

    #[test]
    fn lines_over_each_other_become_one() {
        let mut outline = Outline::default();
        outline.add(Stroke::Line(p(0.0, 2.0), p(5.0, 2.0)));
        outline.add(Stroke::Line(p(9.0, 2.0), p(4.0, 2.0)));
        assert_eq!(outline.strokes(), [Stroke::Line(p(0.0, 2.0), p(9.0, 2.0))]);
    }

    #[test]
    fn a_hidden_line_shows_only_where_no_visible_one_covers_it() {
        let (mut hidden, mut visible) = (Outline::default(), Outline::default());
        hidden.add(Stroke::Line(p(0.0, 0.0), p(0.0, 10.0)));
        visible.add(Stroke::Line(p(0.0, 6.0), p(0.0, 4.0)));
        assert_eq!(
            hidden.less(&visible),
            [Stroke::Line(p(0.0, 0.0), p(0.0, 4.0)), Stroke::Line(p(0.0, 6.0), p(0.0, 10.0))]
        );
    }

    #[test]
    fn four_quarters_are_a_circle() {
        let mut outline = Outline::default();
        for k in [3, 0, 2, 1] {
            outline.add(Stroke::Arc(p(1.0, 1.0), 4.0, f64::from(k) * TAU / 4.0 - 0.3, TAU / 4.0));
        }
        let strokes = outline.strokes();
        let [Stroke::Arc(_, _, _, sweep)] = strokes[..] else { panic!("{strokes:?}") };
        assert!((sweep - TAU).abs() < 1e-9);
    }
}
