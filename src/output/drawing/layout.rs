//! Which views a piece needs, how large they are drawn, and where they stand.

use super::dimensions::{Leader, Linear, Measured, Shown};
use super::frame::Sheet;
use super::lettering::width;
use super::outline::Stroke;
use super::page::{Anchor, Mark, Page, Pen, Text};
use super::section::hatching;
use super::view::{Seen, View};
use crate::solid::surface::Kind;
use crate::solid::{Body, Bounds, Point2, Point3, Vector2, Vector3};
use std::f64::consts::PI;

/// One view of the plan.
#[derive(Clone, Debug)]
pub struct Planned {
    /// Direction of sight.
    pub view: View,
    /// The plane cut through, for a section.
    pub cut: Option<Point3>,
    /// Column and row: front at (0, 0), from above below it, from the left beside it.
    pub cell: (usize, usize),
}

/// The views a piece needs: a turned part one section and its plan, a flat one its plan and a
/// section, anything else front, plan and left.
pub fn plan(body: &Body) -> Vec<Planned> {
    let bounds = body.bounds();
    let (size, middle) = (bounds.size(), bounds.centre());
    let front = |cut: Option<Point3>| Planned {
        view: View::front(),
        cut,
        cell: (0, 0),
    };
    let above = Planned {
        view: View::above(),
        cut: None,
        cell: (0, 1),
    };
    if let Some(axis) = turned_axis(body) {
        return vec![front(Some(axis)), above];
    }
    if size.z < 0.45 * size.x.min(size.y) {
        let through = Point3::new(middle.x, best_cut(body, &bounds), middle.z);
        return vec![front(Some(through)), above];
    }
    vec![
        front(None),
        above,
        Planned {
            view: View::left(),
            cut: None,
            cell: (1, 0),
        },
    ]
}

/// The upright axis every face turns about or is square to, if there is one.
fn turned_axis(body: &Body) -> Option<Point3> {
    let mut axis: Option<Point3> = None;
    for face in body.faces() {
        let frame = &face.surface.frame;
        if frame.z.cross(&Vector3::z()).norm() > 1e-9 {
            return None;
        }
        if !matches!(face.surface.kind, Kind::Plane) {
            let foot = Point3::new(frame.origin.x, frame.origin.y, 0.0);
            if axis.is_some_and(|axis| (axis - foot).norm() > 1e-6) {
                return None;
            }
            axis = Some(foot);
        }
    }
    axis
}

/// The depth y at which a plane square to y runs through the most upright holes; the middle for a
/// draw.
fn best_cut(body: &Body, bounds: &Bounds) -> f64 {
    let holes = axes(body)
        .into_iter()
        .filter(|a| a.direction.z.abs() > 1.0 - 1e-9)
        .map(|a| (a.at.y, a.radius));
    let holes: Vec<(f64, f64)> = holes.collect();
    let middle = bounds.centre().y;
    let count = |y: f64| {
        holes
            .iter()
            .filter(|(at, r)| (at - y).abs() < 0.5 * r)
            .count()
    };
    let mut best = (middle, count(middle));
    for &(y, _) in &holes {
        if count(y) > best.1 {
            best = (y, count(y));
        }
    }
    best.0
}

/// A straight axis that something round turns about.
struct Axis {
    at: Point3,
    direction: Vector3,
    /// Largest radius about it.
    radius: f64,
    /// How far along `direction` from `at` it reaches.
    reach: (f64, f64),
}

/// The axes of round faces that go at least half round.
fn axes(body: &Body) -> Vec<Axis> {
    let mut found: Vec<(Axis, f64)> = Vec::new();
    for face in body.faces().iter().filter(|face| face.surface.is_round()) {
        let (frame, (least, most)) = (&face.surface.frame, face.region.bounds());
        let heights = [face.surface.height(least.y), face.surface.height(most.y)];
        let reach = (heights[0].min(heights[1]), heights[0].max(heights[1]));
        let radius = face
            .surface
            .radius(least.y)
            .max(face.surface.radius(most.y));
        let turn = most.x - least.x;
        let same = found.iter_mut().find(|(axis, _)| {
            let d = frame.origin - axis.at;
            axis.direction.cross(&frame.z).norm() < 1e-9
                && (d - axis.direction * d.dot(&axis.direction)).norm() < 1e-6
        });
        match same {
            Some((axis, turned)) => {
                let shift = (frame.origin - axis.at).dot(&axis.direction);
                axis.reach = (
                    axis.reach.0.min(reach.0 + shift),
                    axis.reach.1.max(reach.1 + shift),
                );
                axis.radius = axis.radius.max(radius);
                *turned += turn;
            }
            None => found.push((
                Axis {
                    at: frame.origin,
                    direction: frame.z,
                    radius,
                    reach,
                },
                turn,
            )),
        }
    }
    found
        .into_iter()
        .filter(|(axis, turned)| *turned > 0.9 * PI && axis.radius > 0.4)
        .map(|(axis, _)| axis)
        .collect()
}

/// Free paper round a view for its dimensions, mm: left, right, above, below.
#[derive(Clone, Copy, Debug, Default)]
struct Margins {
    left: f64,
    right: f64,
    above: f64,
    below: f64,
}

/// Paper between a view's outline and its first dimension line, and from line to line, mm.
const FIRST: f64 = 8.0;
const NEXT: f64 = 6.5;
/// Capitals of dimensions, mm.
const LETTERS: f64 = 2.5;

/// A view ready to be drawn.
pub struct Ready<'a> {
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
}

impl Ready<'_> {
    /// Below or left of the view, or on the far side: small sizes of the far half go there.
    fn far_side(&self, linear: &Linear) -> bool {
        let (least, most) = self.measured.bounds();
        let across = 1 - linear.axis;
        let middle = |span: (f64, f64)| (span.0 + span.1) / 2.0;
        let at = (middle(linear.from[0]) + middle(linear.from[1])) / 2.0;
        // With leaders at the right, upright dimensions keep to the left.
        let crowded = linear.axis == 1 && !self.shown.leaders.is_empty();
        at > (least[across] + most[across]) / 2.0 + 1e-6 && !crowded
    }

    /// The dimensions of one side, shortest first, each with the level it stands on.
    fn levels(&self, axis: usize, far: bool, scale: f64) -> Vec<(&Linear, usize)> {
        let mut list: Vec<&Linear> = self
            .shown
            .linear
            .iter()
            .filter(|l| l.axis == axis && self.far_side(l) == far)
            .collect();
        list.sort_by(|a, b| (a.ends[1] - a.ends[0]).total_cmp(&(b.ends[1] - b.ends[0])));
        let mut taken: Vec<Vec<(f64, f64)>> = Vec::new();
        let mut out = Vec::new();
        for linear in list {
            let room = taken_up(linear, scale);
            let free = taken
                .iter()
                .position(|level| level.iter().all(|o| room.1 < o.0 || room.0 > o.1));
            let level = free.unwrap_or(taken.len());
            if level == taken.len() {
                taken.push(Vec::new());
            }
            taken[level].push(room);
            out.push((linear, level));
        }
        out
    }

    fn margins(&self, scale: f64) -> Margins {
        let side = |axis, far| {
            let levels = self
                .levels(axis, far, scale)
                .iter()
                .map(|(_, level)| level + 1)
                .max()
                .unwrap_or(0);
            if levels == 0 {
                5.0
            } else {
                FIRST + NEXT * (levels - 1) as f64 + 2.0 + if far || axis == 0 { 0.0 } else { 3.0 }
            }
        };
        let leaders = self
            .shown
            .leaders
            .iter()
            .map(|l| width(&l.text, LETTERS))
            .fold(0.0, f64::max);
        let leaders = if leaders > 0.0 { leaders + 10.0 } else { 0.0 };
        Margins {
            left: side(1, false),
            right: side(1, true).max(leaders),
            above: side(0, true)
                + if self.planned.cut.is_some() {
                    10.0
                } else {
                    4.0
                },
            below: side(0, false) + if self.planned.cut.is_some() { 0.0 } else { 3.0 },
        }
    }
}

/// The stretch of its dimension line a dimension takes up, in paper millimetres of the view.
fn taken_up(linear: &Linear, scale: f64) -> (f64, f64) {
    let (a, b) = (linear.ends[0] * scale, linear.ends[1] * scale);
    let text = width(&linear.text, LETTERS);
    match fit(b - a, text) {
        Fit::Inside => (a, b),
        Fit::ArrowsOutside => (a - 7.0, b + 7.0),
        Fit::TextOutside => (a - 7.0, b + 9.0 + text),
    }
}

/// How a dimension's arrows and text fit between its extension lines.
enum Fit {
    Inside,
    ArrowsOutside,
    TextOutside,
}

fn fit(span: f64, text: f64) -> Fit {
    match span {
        s if s >= text + 8.0 => Fit::Inside,
        s if s >= text + 1.5 => Fit::ArrowsOutside,
        _ => Fit::TextOutside,
    }
}

/// Recommended scales (ISO 5455), largest first.
const SCALES: [(f64, &str); 7] = [
    (5.0, "5:1"),
    (2.0, "2:1"),
    (1.0, "1:1"),
    (0.5, "1:2"),
    (0.2, "1:5"),
    (0.1, "1:10"),
    (0.05, "1:20"),
];

/// A scale, the sheet it fits and where each view's own origin stands on the paper.
pub struct Placing {
    /// Paper over part.
    pub scale: f64,
    /// As it is written.
    pub scale_text: &'static str,
    /// The sheet.
    pub sheet: Sheet,
    /// For each view.
    pub origins: Vec<Point2>,
    /// A free corner of the field, if the views leave one.
    pub free: Option<(Point2, Point2)>,
}

/// The largest recommended scale at which the views fit an A4 sheet one way or the other. Parts
/// are not drawn larger than 2:1 unless they are under 25 mm.
pub fn place(views: &[Ready], largest: f64) -> Option<Placing> {
    let most = if largest < 25.0 {
        5.0
    } else if largest < 60.0 {
        2.0
    } else {
        1.0
    };
    for (scale, scale_text) in SCALES.into_iter().filter(|(scale, _)| *scale <= most) {
        for sheet in [Sheet::landscape(), Sheet::portrait(), Sheet::wide()] {
            if let Some((origins, free)) = fitted(views, scale, &sheet) {
                return Some(Placing {
                    scale,
                    scale_text,
                    sheet,
                    origins,
                    free,
                });
            }
        }
    }
    None
}

type Corner = Option<(Point2, Point2)>;

/// Where the views stand on a sheet at a scale; none where they do not fit.
fn fitted(views: &[Ready], scale: f64, sheet: &Sheet) -> Option<(Vec<Point2>, Corner)> {
    let margins: Vec<Margins> = views.iter().map(|v| v.margins(scale)).collect();
    let most = |cell: &dyn Fn(&Ready) -> bool, of: &dyn Fn(usize) -> f64| {
        (0..views.len())
            .filter(|&k| cell(&views[k]))
            .map(of)
            .fold(0.0, f64::max)
    };
    let size = |k: usize, axis: usize| {
        let (least, most) = views[k].measured.bounds();
        (most[axis] - least[axis]) * scale
    };
    let column = |c: usize| {
        let of = move |v: &Ready| v.planned.cell.0 == c;
        (
            most(&of, &|k| margins[k].left),
            most(&of, &|k| size(k, 0)),
            most(&of, &|k| margins[k].right),
        )
    };
    let row = |r: usize| {
        let of = move |v: &Ready| v.planned.cell.1 == r;
        (
            most(&of, &|k| margins[k].above),
            most(&of, &|k| size(k, 1)),
            most(&of, &|k| margins[k].below),
        )
    };
    let (columns, rows) = ([column(0), column(1)], [row(0), row(1)]);
    let sum = |(a, b, c): (f64, f64, f64)| a + b + c;
    let (a, b) = sheet.field;
    let spare = Vector2::new(
        b.x - a.x - columns.iter().map(|c| sum(*c)).sum::<f64>(),
        b.y - a.y - rows.iter().map(|r| sum(*r)).sum::<f64>(),
    );
    if spare.x < 0.0 || spare.y < 0.0 {
        return None;
    }
    // Spare paper is shared out before, between and behind.
    let two = |widths: f64| if widths > 0.0 { 3.0 } else { 2.0 };
    let gap = Vector2::new(spare.x / two(columns[1].1), spare.y / two(rows[1].1));
    let origins = views.iter().map(|view| {
        let (c, r) = view.planned.cell;
        let (least, most) = view.measured.bounds();
        let before =
            |cells: [(f64, f64, f64); 2], at: usize| if at == 0 { 0.0 } else { sum(cells[0]) };
        let left = a.x + gap.x * (c + 1) as f64 + before(columns, c) + columns[c].0;
        let top = a.y + gap.y * (r + 1) as f64 + before(rows, r) + rows[r].0;
        Point2::new(left - least.x * scale, top + most.y * scale)
    });
    let corner = (
        Point2::new(
            a.x + 2.0 * gap.x + sum(columns[0]),
            a.y + 2.0 * gap.y + sum(rows[0]),
        ),
        Point2::new(b.x - 3.0, b.y - 3.0),
    );
    let corner = if columns[1].1 > 0.0 {
        corner
    } else {
        (
            Point2::new(a.x + sum(columns[0]) + gap.x, a.y + 3.0),
            corner.1,
        )
    };
    let roomy = corner.1.x - corner.0.x > 32.0 && corner.1.y - corner.0.y > 32.0;
    Some((origins.collect(), roomy.then_some(corner)))
}

/// A pen on the paper in a view's own millimetres.
struct Board<'a> {
    page: &'a mut Page,
    origin: Point2,
    scale: f64,
}

impl Board<'_> {
    fn at(&self, p: Point2) -> Point2 {
        self.origin + Vector2::new(p.x * self.scale, -p.y * self.scale)
    }

    fn stroke(&mut self, pen: Pen, stroke: &Stroke) {
        match stroke {
            Stroke::Line(a, b) => self.page.line(pen, [self.at(*a), self.at(*b)]),
            Stroke::Curve(points) => self
                .page
                .line(pen, points.iter().map(|p| self.at(*p)).collect::<Vec<_>>()),
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

/// Draws one view with everything on it.
pub fn draw(page: &mut Page, body: &Body, ready: &Ready, origin: Point2, scale: f64) {
    let mut board = Board {
        page,
        origin,
        scale,
    };
    for line in hatching(ready.loops, 2.2 / scale) {
        board.stroke(Pen::Narrow, &Stroke::Line(line[0], line[1]));
    }
    if ready.planned.cut.is_none() {
        for stroke in ready.seen.hidden.less(&ready.seen.visible) {
            board.stroke(Pen::Dashed, &stroke);
        }
    }
    centre_lines(&mut board, body, ready.planned, ready.measured.bounds());
    for stroke in ready.seen.visible.strokes() {
        board.stroke(Pen::Wide, &stroke);
    }
    for points in ready.loops {
        let points = points.iter().map(|p| board.at(*p)).collect();
        board.page.marks.push(Mark::Closed {
            pen: Pen::Wide,
            points,
        });
    }
    for axis in 0..2 {
        for far in [false, true] {
            for (linear, level) in ready.levels(axis, far, scale) {
                draw_linear(&mut board, ready, linear, far, level);
            }
        }
    }
    draw_leaders(&mut board, ready);
    if ready.planned.cut.is_some() {
        let (least, most) = ready.measured.bounds();
        let above = ready.margins(scale).above;
        let top = board.at(Point2::new((least.x + most.x) / 2.0, most.y))
            - Vector2::new(0.0, above - 4.0);
        board.page.heading(top, 3.5, Anchor::Middle, "A–A");
    }
}

/// Centre lines of everything round: a cross where it is seen along its axis, a line along the axis
/// otherwise.
fn centre_lines(
    board: &mut Board,
    body: &Body,
    planned: &Planned,
    (least, most): (Point2, Point2),
) {
    let (view, over) = (&planned.view, 2.5 / board.scale);
    let behind = |p: Point3, radius: f64| {
        planned
            .cut
            .is_none_or(|cut| (p - cut).dot(&view.toward).abs() < radius)
    };
    let mut drawn: Vec<(Point2, Point2)> = Vec::new();
    let mut line = |board: &mut Board, a: Point2, b: Point2| {
        let near = |p: Point2, q: Point2| (p - q).norm() < 1e-3;
        if !drawn
            .iter()
            .any(|&(p, q)| (near(p, a) && near(q, b)) || (near(p, b) && near(q, a)))
        {
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
            let (low, high) = (
                least - Vector2::new(over, over),
                most + Vector2::new(over, over),
            );
            let ends = |axis: usize| {
                [
                    (c[axis] - arm).max(low[axis]),
                    (c[axis] + arm).min(high[axis]),
                ]
            };
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

/// One dimension: extension lines, dimension line, arrows, figure.
fn draw_linear(board: &mut Board, ready: &Ready, linear: &Linear, far: bool, level: usize) {
    let (least, most) = ready.measured.bounds();
    let across = 1 - linear.axis;
    let off = (FIRST + NEXT * level as f64) / board.scale;
    let at = if far {
        most[across] + off
    } else {
        least[across] - off
    };
    let spot = |along: f64, across: f64| {
        if linear.axis == 0 {
            Point2::new(along, across)
        } else {
            Point2::new(across, along)
        }
    };
    let [a, b] = [0, 1].map(|k| board.at(spot(linear.ends[k], at)));
    for k in 0..2 {
        let start = if far {
            linear.from[k].1
        } else {
            linear.from[k].0
        };
        let sign = if far { 1.0 } else { -1.0 };
        let (gap, over) = (sign * 0.8 / board.scale, sign * 1.8 / board.scale);
        let ends = [
            spot(linear.ends[k], start + gap),
            spot(linear.ends[k], at + over),
        ];
        board.page.line(Pen::Narrow, ends.map(|p| board.at(p)));
    }
    figure(board.page, a, b, &linear.text);
}

/// A dimension line from `a` to `b` with its arrows, and the figure over it.
fn figure(page: &mut Page, a: Point2, b: Point2, text: &str) {
    let along = (b - a).normalize();
    let upright = along.y.abs() > 0.5;
    let letters = width(text, LETTERS);
    let lift = if upright {
        Vector2::new(-1.0, 0.0)
    } else {
        Vector2::new(0.0, -1.0)
    };
    let mut write = |at: Point2, anchor: Anchor| {
        let text = Text {
            at: at + lift,
            height: LETTERS,
            anchor,
            upright,
            bold: false,
            text: text.into(),
        };
        page.marks.push(Mark::Text(text));
    };
    match fit((b - a).norm(), letters) {
        Fit::Inside => {
            write(nalgebra::center(&a, &b), Anchor::Middle);
            page.line(Pen::Narrow, [a, b]);
            page.arrow(a, -along);
            page.arrow(b, along);
            return;
        }
        Fit::ArrowsOutside => {
            write(nalgebra::center(&a, &b), Anchor::Middle);
            page.line(Pen::Narrow, [a - along * 6.0, b + along * 6.0]);
        }
        Fit::TextOutside => {
            // Upright text begins at its foot, which for a line drawn upwards is the near end.
            write(b + along * 7.0, Anchor::Start);
            page.line(Pen::Narrow, [a - along * 6.0, b + along * (7.0 + letters)]);
        }
    }
    page.arrow(a, along);
    page.arrow(b, -along);
}

/// Diameters of circles seen face on, in a column at the right of the view.
fn draw_leaders(board: &mut Board, ready: &Ready) {
    let (_, most) = ready.measured.bounds();
    let right = board.at(most).x + 5.0;
    let mut leaders: Vec<&Leader> = ready.shown.leaders.iter().collect();
    leaders.sort_by(|a, b| {
        b.centre
            .y
            .total_cmp(&a.centre.y)
            .then(b.radius.total_cmp(&a.radius))
    });
    let wanted: Vec<f64> = leaders
        .iter()
        .map(|l| board.at(l.centre).y - l.radius * board.scale * 0.7 - 4.0)
        .collect();
    let mut last = f64::MIN;
    for (leader, wanted) in leaders.into_iter().zip(wanted) {
        let y = wanted.max(last + 5.5);
        last = y;
        let (centre, elbow) = (board.at(leader.centre), Point2::new(right, y));
        let toward = (elbow - centre).normalize();
        let tip = centre + toward * leader.radius * board.scale;
        let end = Point2::new(right + width(&leader.text, LETTERS) + 2.0, y);
        board.page.line(Pen::Narrow, [tip, elbow, end]);
        board.page.arrow(tip, -toward);
        board.page.text(
            elbow + Vector2::new(1.0, -1.0),
            LETTERS,
            Anchor::Start,
            leader.text.clone(),
        );
    }
}

/// The line along which a section is taken, on the view from above: chain, heavy at its ends, with
/// arrows the way one looks.
pub fn cutting_line(page: &mut Page, above: &Ready, cut: Point3, origin: Point2, scale: f64) {
    let board = Board {
        page,
        origin,
        scale,
    };
    let (least, most) = above.measured.bounds();
    let over = 3.5 / scale;
    let [a, b] = [least.x - over, most.x + over].map(|x| board.at(Point2::new(x, cut.y)));
    board.page.line(Pen::Chain, [a, b]);
    for (end, inward) in [(a, 1.0), (b, -1.0)] {
        board
            .page
            .line(Pen::Wide, [end, end + Vector2::new(4.0 * inward, 0.0)]);
        // One looks from the front, which is the lower edge of the view from above.
        let foot = end + Vector2::new(0.0, 7.0);
        board.page.line(Pen::Narrow, [foot, end]);
        board
            .page
            .arrow(end + Vector2::new(0.0, 0.3), Vector2::new(0.0, -1.0));
        board
            .page
            .heading(foot + Vector2::new(0.0, 4.2), 3.5, Anchor::Middle, "A");
    }
}

/// A small line picture in a free corner, hidden lines left out.
pub fn corner_picture(page: &mut Page, seen: &Seen, (a, b): (Point2, Point2)) {
    let strokes = seen.visible.strokes();
    let (mut least, mut most) = (
        Point2::new(f64::MAX, f64::MAX),
        Point2::new(f64::MIN, f64::MIN),
    );
    for p in strokes.iter().flat_map(|stroke| match stroke {
        Stroke::Line(p, q) => vec![*p, *q],
        Stroke::Curve(points) => points.clone(),
        Stroke::Arc(c, r, ..) => vec![c + Vector2::new(*r, *r), c - Vector2::new(*r, *r)],
    }) {
        least = Point2::new(least.x.min(p.x), least.y.min(p.y));
        most = Point2::new(most.x.max(p.x), most.y.max(p.y));
    }
    let scale = ((b.x - a.x).min(60.0) / (most.x - least.x))
        .min((b.y - a.y).min(60.0) / (most.y - least.y))
        * 0.9;
    let (middle, centre) = (nalgebra::center(&least, &most), nalgebra::center(&a, &b));
    let origin = centre - Vector2::new(middle.x * scale, -middle.y * scale);
    let mut board = Board {
        page,
        origin,
        scale,
    };
    for stroke in &strokes {
        board.stroke(Pen::Narrow, stroke);
    }
}
