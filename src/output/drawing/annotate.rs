//! One view with all that is written round it: dimensions and leaders find places where no line runs
//! through a figure and no figure stands on another.
//!
//! Everything is reckoned in paper millimetres about the view's own origin, y down, so that a view
//! knows how much paper it takes before it has its place on the sheet.

use super::choices::{Choice, LETTERS, Outside, Rect, blank, leader_choices, linear_choices};
use super::dimensions::{Leader, Linear, Measured, Shown};
use super::outline::Stroke;
use super::page::{Anchor, Mark, Page, Pen, crosses};
use super::plan::{Planned, axes};
use super::section::hatching;
use super::view::Seen;
use crate::design::extent::Lettered;
use crate::solid::{Body, Bounds, Point2, Point3, Vector2};
use std::f64::consts::TAU;

/// What it costs to run a line through a figure, against a millimetre of a longer way.
const CROSSED: f64 = 1000.0;

/// A view ready to be drawn.
pub struct Ready<'a> {
    /// The piece.
    pub body: &'a Body,
    /// Which view.
    pub planned: &'a Planned,
    /// What it shows.
    pub seen: &'a Seen,
    /// What a section cuts.
    pub loops: &'a [Vec<Point2>],
    /// Its measured lines.
    pub measured: &'a Measured<'a>,
    /// Its dimensions.
    pub shown: &'a Shown,
    /// The plane in which another view cuts the piece, to be marked on this one.
    pub cutting: Option<Point3>,
    /// From which side it looks, in words.
    pub caption: Option<&'a str>,
    /// Places to be lettered.
    pub letters: &'a [Lettered],
    /// The boxes that letters cut into the piece lie in.
    pub engraved: &'a [Bounds],
    /// The letter of the section.
    pub section: &'a str,
}

/// A view as it is drawn.
pub struct Drawn {
    /// Lines and letters about the view's origin.
    pub marks: Vec<Mark>,
    /// The box they lie in.
    pub bounds: (Point2, Point2),
}

/// A pen on the paper in a view's own millimetres.
pub struct Board<'a> {
    /// The paper.
    pub page: &'a mut Page,
    /// Where the view's origin stands.
    pub origin: Point2,
    /// Paper over part.
    pub scale: f64,
}

impl Board<'_> {
    fn at(&self, p: Point2) -> Point2 {
        self.origin + Vector2::new(p.x * self.scale, -p.y * self.scale)
    }

    /// Draws a stroke of the view.
    pub fn stroke(&mut self, pen: Pen, stroke: &Stroke) {
        match stroke {
            Stroke::Line(a, b) => self.page.line(pen, [self.at(*a), self.at(*b)]),
            Stroke::Curve(points) => {
                self.page.line(pen, points.iter().map(|p| self.at(*p)).collect::<Vec<_>>())
            }
            // What runs counter-clockwise with y up runs backwards with y down.
            Stroke::Arc(centre, radius, from, sweep) => self.page.marks.push(Mark::Arc {
                pen,
                centre: self.at(*centre),
                radius: radius * self.scale,
                from: -from - sweep,
                sweep: *sweep,
            }),
        }
    }
}

impl Ready<'_> {
    /// The view with everything on it at a scale.
    pub fn drawn(&self, scale: f64) -> Drawn {
        let mut page = blank();
        let mut board = Board { page: &mut page, origin: Point2::origin(), scale };
        self.geometry(&mut board);
        if let Some(cut) = self.cutting {
            self.cutting_line(&mut board, cut);
        }
        for right in [false, true] {
            if let Some(cut) = self.cutting {
                let letter = self.section_letter(cut, right, &page.marks, scale);
                page.marks.extend(letter);
            }
        }
        let placed = self.annotations(&page.marks, scale);
        page.marks.extend(placed);
        for lettered in self.letters.iter().filter(|lettered| !lettered.raised) {
            let letter = self.letter(lettered, &page.marks, scale);
            page.marks.extend(letter);
        }
        let (least, most) = around(&page.marks);
        let (left, right) = self.measured.bounds();
        let middle = (left.x + right.x) / 2.0 * scale;
        if self.planned.cut.is_some() {
            page.heading(
                Point2::new(middle, least.y - 2.5),
                3.5,
                Anchor::Middle,
                format!("{0}–{0}", self.section),
            );
        }
        if let Some(caption) = self.caption {
            page.text(Point2::new(middle, most.y + 4.5), 2.0, Anchor::Middle, caption);
        }
        let (least, most) = around(&page.marks);
        let room = Vector2::new(1.0, 1.0);
        Drawn { marks: page.marks, bounds: (least - room, most + room) }
    }

    /// Hatching, hidden lines, centre lines and outlines.
    fn geometry(&self, board: &mut Board) {
        for line in hatching(self.loops, 2.2 / board.scale) {
            board.stroke(Pen::Narrow, &Stroke::Line(line[0], line[1]));
        }
        if self.planned.cut.is_none() {
            // Letters on the far face would be read from the wrong side.
            let hidden = self.seen.hidden.less(&self.seen.visible);
            for stroke in hidden.into_iter().filter(|stroke| !self.is_engraved(stroke)) {
                board.stroke(Pen::Dashed, &stroke);
            }
        }
        centre_lines(board, self.body, self.planned, self.measured.bounds());
        for leader in self.shown.leaders.iter().filter(|leader| leader.pitch) {
            for &(from, sweep) in &leader.runs {
                let arc = Stroke::Arc(leader.centre, leader.radius, from, sweep);
                board.stroke(Pen::Chain, &arc);
            }
        }
        for stroke in self.seen.visible.strokes() {
            board.stroke(Pen::Wide, &stroke);
        }
        for points in self.loops {
            let points = points.iter().map(|p| board.at(*p)).collect();
            board.page.marks.push(Mark::Closed { pen: Pen::Wide, points });
        }
    }

    /// Whether a stroke is of letters cut into the piece.
    fn is_engraved(&self, stroke: &Stroke) -> bool {
        let corners = self.engraved.iter().map(|b| {
            let (p, q) = (self.planned.view.see(b.least), self.planned.view.see(b.most));
            let room = Vector2::new(0.01, 0.01);
            (p.inf(&q) - room, p.sup(&q) + room)
        });
        let points = match stroke {
            Stroke::Line(a, b) => vec![*a, *b],
            Stroke::Curve(points) => points.clone(),
            Stroke::Arc(centre, radius, from, sweep) => [*from, from + sweep / 2.0, from + sweep]
                .map(|angle| centre + Vector2::new(angle.cos(), angle.sin()) * *radius)
                .to_vec(),
        };
        let mut boxes = corners;
        boxes.any(|(low, high)| points.iter().all(|p| (0..2).all(|k| low[k] <= p[k] && p[k] <= high[k])))
    }

    /// The line along which a section is taken: chain, heavy at its ends, with arrows the way one
    /// looks.
    fn cutting_line(&self, board: &mut Board, cut: Point3) {
        let (least, most) = self.measured.bounds();
        let over = 3.5 / board.scale;
        let [a, b] = [least.x - over, most.x + over].map(|x| board.at(Point2::new(x, cut.y)));
        board.page.line(Pen::Chain, [a, b]);
        for (end, inward) in [(a, 1.0), (b, -1.0)] {
            board.page.line(Pen::Wide, [end, end + Vector2::new(3.0 * inward, 0.0)]);
            // One looks from the front, which is the lower edge of the view from above.
            let foot = end + Vector2::new(0.0, 7.0);
            board.page.line(Pen::Narrow, [foot, end]);
            board.page.arrow(end + Vector2::new(0.0, 0.3), Vector2::new(0.0, -1.0));
        }
    }

    /// The section's letter at the arrow at one of the cutting line's ends, where no line runs.
    fn section_letter(&self, cut: Point3, right: bool, drawn: &[Mark], scale: f64) -> Vec<Mark> {
        let (least, most) = self.measured.bounds();
        let (x, outward) = match right {
            true => (most.x * scale + 3.5, 1.0),
            false => (least.x * scale - 3.5, -1.0),
        };
        let foot = Point2::new(x, -cut.y * scale + 7.0);
        let taken = Taken::all(drawn);
        let mut choices = vec![];
        for down in [4.2, -0.5, -4.0, 8.0, -9.0, 12.0, -13.0] {
            for out in [0.0, 3.2, 6.0, 9.0, -3.2] {
                let mut page = blank();
                let at = foot + Vector2::new(outward * out, down);
                page.heading(at, 3.5, Anchor::Middle, self.section);
                let cost = f64::from(down as i32 - 4).abs() + out.abs();
                choices.push(Choice::new(page, cost));
            }
        }
        match taken.best(&choices) {
            Some(best) => choices.swap_remove(best).marks,
            None => vec![],
        }
    }

    /// Dimensions and leaders, each at the best of the places there are for it; then each is taken up
    /// again and put where it now lies best, since later ones may have come to stand in its way.
    fn annotations(&self, drawn: &[Mark], scale: f64) -> Vec<Mark> {
        let (least, most) = self.measured.bounds();
        let outline = Outside {
            least: Point2::new(least.x * scale, -most.y * scale),
            most: Point2::new(most.x * scale, -least.y * scale),
        };
        let mut linear: Vec<&Linear> = self.shown.linear.iter().collect();
        linear.sort_by(|a, b| (a.ends[1] - a.ends[0]).total_cmp(&(b.ends[1] - b.ends[0])));
        let mut choices: Vec<Vec<Choice>> =
            linear.iter().map(|linear| linear_choices(linear, &outline, scale)).collect();
        let mut leaders: Vec<&Leader> = self.shown.leaders.iter().collect();
        leaders.sort_by(|a, b| b.centre.y.total_cmp(&a.centre.y));
        let circles = self.measured.circles();
        choices.extend(leaders.iter().map(|leader| leader_choices(leader, &circles, &outline, scale)));
        let base = Taken::of(drawn.iter(), &outline);
        let mut chosen: Vec<Option<usize>> = vec![None; choices.len()];
        for _ in 0..4 {
            let before = chosen.clone();
            for k in 0..choices.len() {
                let mut taken = base.clone();
                for (other, choice) in chosen.iter().enumerate() {
                    if let Some(choice) = choice.filter(|_| other != k) {
                        taken.add(&choices[other][choice]);
                    }
                }
                chosen[k] = taken.best(&choices[k]);
            }
            if chosen == before {
                break;
            }
        }
        chosen
            .iter()
            .zip(&choices)
            .filter_map(|(choice, of)| choice.map(|choice| of[choice].marks.clone()))
            .flatten()
            .collect()
    }
}

impl Ready<'_> {
    /// A letter beside its opening, or within it, where no line runs; at the end of a short line
    /// where there is no room nearer.
    fn letter(&self, lettered: &Lettered, drawn: &[Mark], scale: f64) -> Vec<Mark> {
        let seen = self.planned.view.see(lettered.at);
        let middle = Point2::new(seen.x * scale, -seen.y * scale);
        let radius = lettered.radius * scale;
        let outer = [2.2, 3.0, 4.0, 5.5, 7.5, 10.0, 13.0, 17.0, 22.0, 28.0].map(|out| radius + out);
        let inner = [0.6 * radius, radius - 2.5];
        let taken = Taken::all(drawn);
        let mut choices = vec![];
        for (k, reach) in inner.into_iter().chain(outer).enumerate() {
            for turn in 0..48 {
                let angle = TAU * (f64::from(turn) + 0.5) / 48.0;
                let way = Vector2::new(angle.cos(), angle.sin());
                let mut page = blank();
                let at = middle + way * reach + Vector2::new(0.0, LETTERS / 2.0);
                page.heading(at, LETTERS, Anchor::Middle, lettered.letter.clone());
                if reach > radius + 3.5 {
                    let ends = [middle + way * (radius + 0.3), middle + way * (reach - 2.3)];
                    page.line(Pen::Narrow, ends);
                }
                if reach > 0.0 && (reach >= radius || reach + 2.0 < radius) {
                    choices.push(Choice::new(page, k as f64));
                }
            }
        }
        match taken.best(&choices) {
            Some(best) if taken.cost(&choices[best]) < CROSSED => choices.swap_remove(best).marks,
            _ => vec![],
        }
    }
}

fn around(marks: &[Mark]) -> (Point2, Point2) {
    marks
        .iter()
        .map(Mark::bounds)
        .fold((Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN)), |(a, b), (c, d)| {
            (a.inf(&c), b.sup(&d))
        })
}

fn overlap(a: &Rect, b: &Rect) -> bool {
    (0..2).all(|k| a.0[k] < b.1[k] && b.0[k] < a.1[k])
}

/// What is drawn already.
#[derive(Clone, Default)]
struct Taken {
    texts: Vec<Rect>,
    strokes: Vec<[Point2; 2]>,
    lanes: Vec<Rect>,
}

impl Taken {
    /// Of the view itself only what stands out of its outline can be in the way.
    fn of<'a>(marks: impl Iterator<Item = &'a Mark>, outline: &Outside) -> Self {
        let mut taken = Self::default();
        let out = |p: &Point2| {
            p.x < outline.least.x || p.x > outline.most.x || p.y < outline.least.y || p.y > outline.most.y
        };
        for mark in marks {
            if let Mark::Text(text) = mark {
                taken.texts.push(text.bounds());
            }
            let stretches = mark.stretches().into_iter();
            taken.strokes.extend(stretches.filter(|[a, b]| out(a) || out(b)));
        }
        taken
    }

    /// All that is drawn.
    fn all(marks: &[Mark]) -> Self {
        let texts = marks.iter().filter_map(|mark| match mark {
            Mark::Text(text) => Some(text.bounds()),
            _ => None,
        });
        Self {
            texts: texts.collect(),
            strokes: marks.iter().flat_map(Mark::stretches).collect(),
            lanes: vec![],
        }
    }

    fn add(&mut self, choice: &Choice) {
        self.texts.push(choice.text);
        self.strokes.extend(&choice.strokes);
        self.lanes.extend(choice.lane);
    }

    fn cost(&self, choice: &Choice) -> f64 {
        self.cost_below(choice, f64::INFINITY)
    }

    /// What a choice costs, or some figure above `limit` once that is passed.
    fn cost_below(&self, choice: &Choice, limit: f64) -> f64 {
        let through = |rect: &Rect, strokes: &[[Point2; 2]]| {
            strokes.iter().filter(|s| crosses(s, *rect)).count() as f64
        };
        let mut cost = choice.cost;
        for text in &self.texts {
            cost += CROSSED * through(text, &choice.strokes);
            cost += CROSSED * f64::from(u8::from(overlap(text, &choice.text)));
        }
        if cost > limit {
            return cost;
        }
        cost += CROSSED * through(&choice.text, &self.strokes);
        if cost > limit {
            return cost;
        }
        for lane in &self.lanes {
            let meets = choice.lane.is_some_and(|own| overlap(&own, lane));
            cost += 0.5 * CROSSED * f64::from(u8::from(meets));
            cost += 3.0 * through(lane, &choice.strokes);
        }
        if let Some(lane) = &choice.lane {
            cost += 3.0 * through(lane, &self.strokes);
        }
        if let Some([a, b]) = choice.tail {
            // A line that ends on a neighbour's looks as if it were measured from there.
            let clear = Vector2::new(0.4, 0.4);
            let strip = (a.inf(&b) - clear, a.sup(&b) + clear);
            cost += 40.0 * through(&strip, &self.strokes);
        }
        cost
    }

    fn best(&self, choices: &[Choice]) -> Option<usize> {
        let mut best: Option<(usize, f64)> = None;
        for (at, choice) in choices.iter().enumerate() {
            let limit = best.map_or(f64::INFINITY, |best| best.1);
            if choice.cost >= limit {
                continue;
            }
            let cost = self.cost_below(choice, limit);
            if cost < limit {
                best = Some((at, cost));
            }
        }
        best.map(|best| best.0)
    }
}

/// Centre lines of everything round: a cross where it is seen along its axis, a line along the axis
/// otherwise.
fn centre_lines(board: &mut Board, body: &Body, planned: &Planned, (least, most): (Point2, Point2)) {
    let (view, over) = (&planned.view, 2.5 / board.scale);
    let behind =
        |p: Point3, radius: f64| planned.cut.is_none_or(|cut| (p - cut).dot(&view.toward).abs() < radius);
    let mut drawn: Vec<(Point2, Point2)> = Vec::new();
    let mut line = |board: &mut Board, a: Point2, b: Point2| {
        let near = |p: Point2, q: Point2| (p - q).norm() < 1e-3;
        if !drawn.iter().any(|&(p, q)| (near(p, a) && near(q, b)) || (near(p, b) && near(q, a))) {
            drawn.push((a, b));
            board.page.line(Pen::Chain, [board.at(a), board.at(b)]);
        }
    };
    for axis in axes(body) {
        let facing = axis.direction.dot(&view.toward).abs();
        if facing > 1.0 - 1e-9 {
            let c = view.see(axis.at);
            let arm = axis.radius + over;
            // The middle of a part cut in two may lie outside it: its lines end with the view.
            let (low, high) = (least - Vector2::new(over, over), most + Vector2::new(over, over));
            let ends = |axis: usize| [(c[axis] - arm).max(low[axis]), (c[axis] + arm).min(high[axis])];
            let ([left, right], [foot, head]) = (ends(0), ends(1));
            if (low.y..=high.y).contains(&c.y) && left < right {
                line(board, Point2::new(left, c.y), Point2::new(right, c.y));
            }
            if (low.x..=high.x).contains(&c.x) && foot < head {
                line(board, Point2::new(c.x, foot), Point2::new(c.x, head));
            }
        } else if facing < 1e-9 && behind(axis.at, axis.radius) {
            let end = |reach: f64| view.see(axis.at + axis.direction * reach);
            let (a, b) = (end(axis.reach.0), end(axis.reach.1));
            let inside = |axis: usize| a[axis] > least[axis] - over && a[axis] < most[axis] + over;
            if !(inside(0) && inside(1)) {
                continue;
            }
            let along = (b - a).try_normalize(1e-9).unwrap_or(Vector2::x());
            line(board, a - along * over, b + along * over);
        }
    }
}
