//! Which of a piece's figures a view can show, and where.
//!
//! The design says of every size on which feature it lies ([`Figure`]); a figure is drawn only where
//! the view holds lines (or a circle) of the boundary representation at that very place. So a drawing
//! cannot say a number that the solid does not have, nor put one to a feature that happens to be as
//! large. The overall sizes are added where no figure tells them, in parentheses, as auxiliary
//! dimensions are written (ISO 129-1).

use super::outline::{Outline, Stroke};
use super::view::View;
use crate::design::{Extent, Figure};
use crate::error::{hundredth, to_hundredth};
use crate::solid::{Point2, Point3, Vector3};
use crate::units::Units;
use std::f64::consts::{PI, TAU};

/// Places nearer than this are the same, mm: less than a drawing prints.
const SAME: f64 = 2e-3;
/// How far across a line may end from the place a figure names, mm: chamfers and roundings.
const SLACK: f64 = 2.5;
/// Smaller sizes are left to the report, mm.
const LEAST: f64 = 0.3;
/// Linear dimensions a view carries at most, overall sizes not counted.
const MOST: usize = 14;

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

/// A diameter or radius written at the end of a leader.
#[derive(Clone, Debug, PartialEq)]
pub struct Leader {
    /// Centre of the circle pointed at.
    pub centre: Point2,
    /// Its radius.
    pub radius: f64,
    /// Where it runs: first angle and angle run through, of each stretch.
    pub runs: Vec<(f64, f64)>,
    /// Whether it is no edge, and has to be drawn as a centre line.
    pub pitch: bool,
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

/// A stretch of line on one coordinate, or the centre of something round.
#[derive(Clone, Copy, Debug)]
struct Rule {
    at: f64,
    /// Where across.
    span: (f64, f64),
}

impl Rule {
    /// How far across the place lies from the line.
    fn off(&self, across: f64) -> f64 {
        (self.span.0 - across).max(across - self.span.1).max(0.0)
    }
}

/// Arcs about one centre with one radius.
#[derive(Clone, Debug)]
struct Round {
    centre: Point2,
    radius: f64,
    runs: Vec<(f64, f64)>,
}

impl Round {
    fn turn(&self) -> f64 {
        self.runs.iter().map(|(_, sweep)| sweep).sum()
    }
}

/// A view's lines by coordinate, ready to be measured between.
pub struct Measured<'a> {
    view: &'a View,
    /// By axis.
    lines: [Vec<Rule>; 2],
    rounds: Vec<Round>,
    bounds: (Point2, Point2),
    /// Whether it is a section.
    cut: bool,
    units: Units,
}

impl<'a> Measured<'a> {
    /// What can be measured in a view: its visible strokes, and the loops cut in a section.
    pub fn new(view: &'a View, visible: &Outline, loops: &[Vec<Point2>]) -> Self {
        let far = f64::MAX;
        let mut measured = Self {
            view,
            lines: Default::default(),
            rounds: Vec::new(),
            bounds: (Point2::new(far, far), Point2::new(-far, -far)),
            cut: !loops.is_empty(),
            units: Units::default(),
        };
        let edges = loops.iter().flat_map(|points| {
            (0..points.len()).map(|k| Stroke::Line(points[k], points[(k + 1) % points.len()]))
        });
        for stroke in visible.strokes().into_iter().chain(edges) {
            match stroke {
                Stroke::Line(a, b) => measured.line(a, b),
                Stroke::Arc(c, r, from, sweep) => measured.arc(c, r, (from, sweep)),
                Stroke::Curve(points) => points.into_iter().for_each(|p| measured.corner(p)),
            }
        }
        let centres: Vec<Point2> = measured
            .rounds
            .iter()
            .filter(|round| round.turn() > 0.45 * PI)
            .map(|round| round.centre)
            .collect();
        for c in centres {
            measured.lines[0].push(Rule { at: c.x, span: (c.y, c.y) });
            measured.lines[1].push(Rule { at: c.y, span: (c.x, c.x) });
        }
        measured
    }

    /// The same, told in these units.
    pub fn told_in(self, units: Units) -> Self {
        Self { units, ..self }
    }

    /// A length as its figure writes it: `20.5`, or `20.5 [0.8071]` with the inches in brackets.
    fn figure(&self, mm: f64) -> String {
        match self.units.inches(to_hundredth(mm)) {
            Some(inches) => format!("{} [{inches}]", hundredth(mm)),
            None => hundredth(mm),
        }
    }

    /// What can be measured of a view's hidden strokes; nothing in a section, which shows none.
    pub fn of_hidden(view: &'a View, hidden: &Outline, cut: bool) -> Self {
        if cut {
            return Self::new(view, &Outline::default(), &[]);
        }
        Self::new(view, hidden, &[])
    }

    fn corner(&mut self, p: Point2) {
        self.bounds = (self.bounds.0.inf(&p), self.bounds.1.sup(&p));
    }

    fn line(&mut self, a: Point2, b: Point2) {
        for p in [a, b] {
            self.corner(p);
            for axis in 0..2 {
                let (at, across) = (p[axis], p[1 - axis]);
                self.lines[axis].push(Rule { at, span: (across, across) });
            }
        }
        for axis in 0..2 {
            if (b[axis] - a[axis]).abs() < 1e-6 {
                let (p, q) = (a[1 - axis], b[1 - axis]);
                self.lines[axis].push(Rule { at: a[axis], span: (p.min(q), p.max(q)) });
            }
        }
    }

    fn arc(&mut self, c: Point2, r: f64, (from, sweep): (f64, f64)) {
        for (k, (dx, dy)) in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)].into_iter().enumerate() {
            if holds((from, sweep), k as f64 * PI / 2.0) {
                let p = Point2::new(c.x + r * dx, c.y + r * dy);
                self.corner(p);
                let axis = k % 2;
                self.lines[axis].push(Rule { at: p[axis], span: (p[1 - axis], p[1 - axis]) });
            }
        }
        for angle in [from, from + sweep] {
            let p = Point2::new(c.x + r * angle.cos(), c.y + r * angle.sin());
            self.corner(p);
            for axis in 0..2 {
                self.lines[axis].push(Rule { at: p[axis], span: (p[1 - axis], p[1 - axis]) });
            }
        }
        let same =
            self.rounds.iter_mut().find(|o| (o.centre - c).norm() < SAME && (o.radius - r).abs() < SAME);
        match same {
            Some(round) => round.runs.push((from, sweep)),
            None => self.rounds.push(Round { centre: c, radius: r, runs: vec![(from, sweep)] }),
        }
    }

    /// The circles that holes and pins show as: middle and radius.
    pub fn circles(&self) -> Vec<(Point2, f64)> {
        let size = (self.bounds.1 - self.bounds.0).max();
        let small = self.rounds.iter().filter(|round| round.turn() > 0.9 * TAU && round.radius < size / 4.0);
        small.map(|round| (round.centre, round.radius)).collect()
    }

    /// The box of all that shows.
    pub fn bounds(&self) -> (Point2, Point2) {
        self.bounds
    }

    /// The view's axis that runs along a direction of space, if one does.
    fn axis_along(&self, way: Vector3) -> Option<usize> {
        [self.view.right, self.view.up].iter().position(|d| d.dot(&way).abs() > 1.0 - 1e-9)
    }

    /// The line on which a place lies, for a size along an axis.
    fn rule(&self, axis: usize, place: Point2) -> Option<Rule> {
        let off = |rule: &Rule| rule.off(place[1 - axis]);
        let long = |rule: &Rule| rule.span.1 - rule.span.0;
        self.lines[axis]
            .iter()
            .filter(|rule| (rule.at - place[axis]).abs() < SAME && off(rule) <= SLACK)
            .min_by(|a, b| off(a).total_cmp(&off(b)).then(long(b).total_cmp(&long(a))))
            .copied()
    }

    /// The dimension between two places, if both lie on lines of the view.
    fn between(&self, axis: usize, places: [Point2; 2]) -> Option<Linear> {
        let [a, b] = [self.rule(axis, places[0])?, self.rule(axis, places[1])?];
        let (a, b) = if a.at <= b.at { (a, b) } else { (b, a) };
        Some(Linear { axis, ends: [a.at, b.at], from: [a.span, b.span], text: self.figure(b.at - a.at) })
    }

    /// The circles or arcs of a radius about places.
    fn rounds_at(&self, at: &[Point3], radius: f64, least: f64) -> Vec<&Round> {
        let mut found: Vec<&Round> = Vec::new();
        for place in at.iter().map(|p| self.view.see(*p)) {
            let here = self.rounds.iter().find(|round| {
                (round.centre - place).norm() < SAME
                    && (round.radius - radius).abs() < SAME
                    && round.turn() >= least
            });
            if let Some(round) = here
                && !found.iter().any(|o| std::ptr::eq(*o, round))
            {
                found.push(round);
            }
        }
        found
    }
}

/// Whether an arc runs through an angle.
pub fn holds((from, sweep): (f64, f64), angle: f64) -> bool {
    (angle - from + 1e-9).rem_euclid(TAU) <= sweep + 2e-9
}

/// A size that is told: along a direction, or of something round.
type Said = (Option<Vector3>, f64);

/// Shares a piece's figures out over the views that can show them. The diameters of a turned part are
/// told in its section, which is the first view. What no view shows plainly is told on the hidden
/// lines, which are drawn too; `hidden` holds those of each view, and none of a section. `whole` is the piece's
/// size along the three axes.
pub fn shared_out(
    figures: &[Figure],
    views: &[Measured],
    hidden: &[Measured],
    (turned, whole): (bool, Vector3),
) -> Vec<Shown> {
    let mut shown = vec![Shown::default(); views.len()];
    let mut said: Vec<Said> = Vec::new();
    for figure in figures.iter().filter(|f| f.value() >= LEAST) {
        if let Some(one) =
            tell(figure, views, &mut shown, turned).or_else(|| tell(figure, hidden, &mut shown, turned))
        {
            said.push(one);
        }
    }
    for (view, shown) in views.iter().zip(&mut shown) {
        overall(view, shown, &mut said, (turned, whole));
    }
    shown
}

/// Puts a figure into the view that shows it best; what is told by it, if one does.
fn tell(figure: &Figure, views: &[Measured], shown: &mut [Shown], turned: bool) -> Option<Said> {
    let size = to_hundredth(figure.value());
    match &figure.extent {
        Extent::Between { along, places } => {
            linear((*along, places), views, shown).then_some((Some(*along), size))
        }
        Extent::Round { axis, radius, at, diameter } => {
            let face = |shown: &mut [Shown]| face_on((*axis, *radius, at, *diameter), views, shown);
            let side = |shown: &mut [Shown]| *diameter && side_on((*axis, *radius, at), views, shown);
            let told = match turned {
                true => side(shown) || face(shown),
                false => face(shown) || side(shown),
            };
            told.then_some((None, size))
        }
        Extent::Pitch { .. } => pitch(&figure.extent, views, shown).then_some((None, size)),
    }
}

/// Adds a dimension unless the view has one between the same lines, or has its fill.
fn add(shown: &mut Shown, linear: Linear) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < SAME;
    let known = shown
        .linear
        .iter()
        .any(|o| o.axis == linear.axis && near(o.ends[0], linear.ends[0]) && near(o.ends[1], linear.ends[1]));
    if !known && shown.linear.len() >= MOST {
        return false;
    }
    if !known {
        shown.linear.push(linear);
    }
    true
}

/// Puts a distance into the first view that has lines at one of its pairs of places. Of several the
/// one nearest the view's edge, where its extension lines are short.
fn linear((way, places): (Vector3, &[[Point3; 2]]), views: &[Measured], shown: &mut [Shown]) -> bool {
    for (view, shown) in views.iter().zip(shown) {
        let Some(axis) = view.axis_along(way) else {
            continue;
        };
        let edge = |linear: &Linear| {
            let (least, most) = (view.bounds.0[1 - axis], view.bounds.1[1 - axis]);
            let low = linear.from[0].0.min(linear.from[1].0) - least;
            let high = most - linear.from[0].1.max(linear.from[1].1);
            low.min(high)
        };
        let best = places
            .iter()
            .filter_map(|pair| view.between(axis, pair.map(|p| view.view.see(p))))
            .min_by(|a, b| edge(a).total_cmp(&edge(b)));
        if let Some(linear) = best
            && add(shown, linear)
        {
            return true;
        }
    }
    false
}

/// Puts a diameter or radius on the circles of that size at those places, if a view shows any face on.
fn face_on(
    (axis, radius, at, diameter): (Vector3, f64, &[Point3], bool),
    views: &[Measured],
    shown: &mut [Shown],
) -> bool {
    for (view, shown) in views.iter().zip(shown) {
        if view.view.toward.dot(&axis).abs() < 1.0 - 1e-9 {
            continue;
        }
        let least = if diameter { 0.7 * PI } else { 0.2 * PI };
        let same = view.rounds_at(at, radius, least);
        // The one furthest to the upper right has the shortest way to the figures beside the view.
        let Some(at) =
            same.iter().max_by(|a, b| (a.centre.x + a.centre.y).total_cmp(&(b.centre.x + b.centre.y)))
        else {
            continue;
        };
        let count = if same.len() > 1 { format!("{} × ", same.len()) } else { String::new() };
        let text = match diameter {
            true => format!("{count}Ø{}", view.figure(2.0 * radius)),
            false => format!("{count}R{}", view.figure(radius)),
        };
        shown.leaders.push(Leader { centre: at.centre, radius, runs: at.runs.clone(), pitch: false, text });
        return true;
    }
    false
}

/// Puts a diameter across its axis, in a view that lies along it.
fn side_on((axis, radius, at): (Vector3, f64, &[Point3]), views: &[Measured], shown: &mut [Shown]) -> bool {
    for (view, shown) in views.iter().zip(shown) {
        let Some(along) = view.axis_along(axis) else {
            continue;
        };
        let across = 1 - along;
        let way = if across == 0 { view.view.right } else { view.view.up };
        let found = at.iter().find_map(|centre| {
            let ends = [-radius, radius].map(|r| view.view.see(centre + way * r));
            view.between(across, ends)
        });
        if let Some(mut linear) = found {
            linear.text = format!("Ø{}", linear.text);
            if add(shown, linear) {
                return true;
            }
        }
    }
    false
}

/// Puts the circle on which holes lie, or the middle line of an arc slot, into a view that shows all
/// that lies on it.
fn pitch(extent: &Extent, views: &[Measured], shown: &mut [Shown]) -> bool {
    let Extent::Pitch { axis, centre, radius, arc, through } = extent else {
        return false;
    };
    for (view, shown) in views.iter().zip(shown) {
        let lie_on = through.iter().all(|p| {
            let p = view.view.see(*p);
            ((p - view.view.see(*centre)).norm() - radius).abs() < SAME
                && view.rounds.iter().any(|r| (r.centre - p).norm() < SAME)
        });
        if view.view.toward.dot(axis).abs() < 1.0 - 1e-9 || !lie_on {
            continue;
        }
        let centre = view.view.see(*centre);
        let runs = match arc {
            None => (0.0, TAU),
            Some(ends) => {
                let [a, b] = ends.map(|p| {
                    let d = view.view.see(p) - centre;
                    d.y.atan2(d.x)
                });
                let turn = (b - a).rem_euclid(TAU);
                if turn < PI { (a, turn) } else { (b, TAU - turn) }
            }
        };
        let text = match arc {
            None => format!("Ø{}", view.figure(2.0 * radius)),
            Some(_) => format!("R{}", view.figure(*radius)),
        };
        shown.leaders.push(Leader { centre, radius: *radius, runs: vec![runs], pitch: true, text });
        return true;
    }
    false
}

/// Adds the view's overall sizes: those no figure tells, in parentheses. A section may show less than the whole,
/// whose size it then does not tell.
fn overall(view: &Measured, shown: &mut Shown, said: &mut Vec<Said>, (turned, whole): (bool, Vector3)) {
    for axis in if view.cut && !turned { 1..2 } else { 0..2 } {
        let ends = [view.bounds.0[axis], view.bounds.1[axis]];
        let size = to_hundredth(ends[1] - ends[0]);
        let way = [view.view.right, view.view.up][axis];
        let told = |(along, s): &Said| {
            (s - size).abs() < 0.006 && along.is_none_or(|a| a.dot(&way).abs() > 1.0 - 1e-9)
        };
        let part = (ends[1] - ends[0] - whole.dot(&way).abs()).abs() > 0.02;
        if size < LEAST || part || said.iter().any(told) {
            continue;
        }
        said.push((Some(way), size));
        let from = |at: f64| {
            let on = view.lines[axis]
                .iter()
                .filter(|rule| (rule.at - at).abs() < SAME)
                .max_by(|a, b| (a.span.1 - a.span.0).total_cmp(&(b.span.1 - b.span.0)));
            on.map_or((view.bounds.0[1 - axis], view.bounds.0[1 - axis]), |rule| rule.span)
        };
        shown.linear.push(Linear {
            axis,
            ends,
            from: ends.map(from),
            text: format!("({})", view.figure(size)),
        });
    }
}
