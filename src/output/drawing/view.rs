//! A body seen along one of its axes: which stretches of its edges and silhouettes show.
//!
//! Edges and silhouettes are the boundary representation's own lines and circles. Whether a point
//! of them shows is asked of the body's mesh: the point is moved a little off the surface, to the
//! outside, and hidden if a triangle lies between it and the viewer. Where that changes along an
//! edge is found by halving.

use super::outline::{Outline, Stroke};
use crate::solid::body::{Curve, Edge, Face};
use crate::solid::surface::Kind;
use crate::solid::{Body, Mesh, Point2, Point3, Vector3};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// A direction of sight: right and up on the paper, and towards the viewer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// What the view is called.
    pub name: &'static str,
    /// Right on the paper.
    pub right: Vector3,
    /// Up on the paper.
    pub up: Vector3,
    /// Towards the viewer.
    pub toward: Vector3,
}

impl View {
    /// From the front, the side that faces −y.
    pub fn front() -> Self {
        Self { name: "Front", right: Vector3::x(), up: Vector3::z(), toward: -Vector3::y() }
    }

    /// From above; stands below the front view in first-angle projection.
    pub fn above() -> Self {
        Self { name: "From above", right: Vector3::x(), up: Vector3::y(), toward: Vector3::z() }
    }

    /// From the left; stands on the right of the front view in first-angle projection.
    pub fn left() -> Self {
        Self { name: "From the left", right: -Vector3::y(), up: Vector3::z(), toward: -Vector3::x() }
    }

    /// Where a point falls on the paper, mm of the part.
    pub fn see(&self, p: Point3) -> Point2 {
        Point2::new(p.coords.dot(&self.right), p.coords.dot(&self.up))
    }
}

/// What a view shows.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    /// Edges and silhouettes in sight.
    pub visible: Outline,
    /// Those behind something.
    pub hidden: Outline,
}

/// A curve in space with the outward direction at each of its points.
struct Wire<'a> {
    shape: Shape,
    outward: Box<dyn Fn(Point3) -> Vector3 + 'a>,
}

/// The forms a wire takes.
#[derive(Clone, Debug)]
enum Shape {
    Line(Point3, Point3),
    /// Centre, first axis, second axis (both of the radius' length), first angle, angle run through.
    Arc(Point3, Vector3, Vector3, f64, f64),
    Curve(Vec<Point3>),
}

impl Shape {
    fn point(&self, t: f64) -> Point3 {
        match self {
            Shape::Line(a, b) => a + (b - a) * t,
            Shape::Arc(centre, x, y, from, sweep) => {
                let angle = from + sweep * t;
                centre + x * angle.cos() + y * angle.sin()
            }
            Shape::Curve(points) => {
                let at = t * (points.len() - 1) as f64;
                let k = (at as usize).min(points.len() - 2);
                points[k] + (points[k + 1] - points[k]) * (at - k as f64)
            }
        }
    }

    fn length(&self) -> f64 {
        match self {
            Shape::Line(a, b) => (b - a).norm(),
            Shape::Arc(_, x, _, _, sweep) => x.norm() * sweep.abs(),
            Shape::Curve(points) => points.windows(2).map(|w| (w[1] - w[0]).norm()).sum(),
        }
    }

    /// The stretch from `t0` to `t1` as it falls on the paper.
    fn drawn(&self, view: &View, t0: f64, t1: f64) -> Stroke {
        match self {
            Shape::Line(..) => Stroke::Line(view.see(self.point(t0)), view.see(self.point(t1))),
            Shape::Arc(centre, x, y, from, sweep) => {
                let (a, b) = (from + sweep * t0, from + sweep * t1);
                let flat = x.cross(y).normalize().dot(&view.toward);
                if flat.abs() > 1.0 - 1e-9 {
                    let angle = |t: f64| {
                        let d = view.see(self.point(t)) - view.see(*centre);
                        d.y.atan2(d.x)
                    };
                    let start = if (b - a) * flat > 0.0 { angle(t0) } else { angle(t1) };
                    Stroke::Arc(view.see(*centre), x.norm(), start, (b - a).abs())
                } else if flat.abs() < 1e-9 {
                    edge_on(view, (*centre, *x, *y), (a.min(b), a.max(b)))
                } else {
                    Stroke::Curve(
                        (0..=48)
                            .map(|k| view.see(self.point(t0 + (t1 - t0) * f64::from(k) / 48.0)))
                            .collect(),
                    )
                }
            }
            Shape::Curve(_) => Stroke::Curve(
                (0..=48).map(|k| view.see(self.point(t0 + (t1 - t0) * f64::from(k) / 48.0))).collect(),
            ),
        }
    }
}

/// An arc seen edge-on: the straight line it covers.
fn edge_on(view: &View, (centre, x, y): (Point3, Vector3, Vector3), (from, to): (f64, f64)) -> Stroke {
    let at = |angle: f64| view.see(centre + x * angle.cos() + y * angle.sin());
    let (u, v) = (view.see(Point3::from(x)).coords, view.see(Point3::from(y)).coords);
    let d = if u.norm() > v.norm() { u.normalize() } else { v.normalize() };
    // The ends of the covered line are the arc's ends or where it turns back.
    let peak = v.dot(&d).atan2(u.dot(&d));
    let turns = (-2..=2).map(|k| peak + PI * f64::from(k)).filter(|&a| a > from && a < to);
    let spots: Vec<Point2> = [from, to].into_iter().chain(turns).map(at).collect();
    let place = |p: &Point2| p.coords.dot(&d);
    let (mut least, mut most) = (spots[0], spots[0]);
    for p in spots {
        if place(&p) < place(&least) {
            least = p;
        }
        if place(&p) > place(&most) {
            most = p;
        }
    }
    Stroke::Line(least, most)
}

/// Everything of `body` seen in a view; with `cut`, as if what lies in front of the plane through
/// that point, square to the line of sight, were taken away.
pub fn seen(body: &Body, mesh: &Mesh, view: &View, cut: Option<Point3>) -> Seen {
    let wall = cut.map(|p| p.coords.dot(&view.toward));
    let blocker = Blocker::new(mesh, view, wall);
    let mut seen = Seen::default();
    for wire in wires(body, view) {
        for (t0, t1, state) in stretches(&wire, &blocker, view, wall) {
            match state {
                State::Visible => seen.visible.add(wire.shape.drawn(view, t0, t1)),
                State::Hidden => seen.hidden.add(wire.shape.drawn(view, t0, t1)),
                State::Gone => {}
            }
        }
    }
    seen
}

/// Every edge and silhouette as it falls on the paper, hidden or not.
pub fn everything(body: &Body, view: &View) -> Outline {
    let mut outline = Outline::default();
    for wire in wires(body, view) {
        outline.add(wire.shape.drawn(view, 0.0, 1.0));
    }
    outline
}

#[derive(Clone, Copy, PartialEq)]
enum State {
    Visible,
    Hidden,
    /// In front of the cutting plane.
    Gone,
}

/// The outward unit normal of a face at a point of it.
pub fn outward(face: &Face, p: Point3) -> Vector3 {
    let normal = face.surface.normal(face.surface.parameters(p));
    if face.inward { -normal } else { normal }
}

fn wires<'a>(body: &'a Body, view: &View) -> Vec<Wire<'a>> {
    let edges = body.edges().iter().filter_map(|edge| edge_wire(body, edge));
    let silhouettes = body.faces().iter().flat_map(|face| silhouettes(face, view));
    edges.chain(silhouettes).collect()
}

/// An edge as a wire; none for one that is smooth, such as the seam of a bore or the end of a
/// fillet.
fn edge_wire<'a>(body: &'a Body, edge: &Edge) -> Option<Wire<'a>> {
    let [a, b] = edge.faces.map(|f| &body.faces()[f as usize]);
    let middle = body.edge_point(edge, 0.5);
    if outward(a, middle).dot(&outward(b, middle)) > 1.0 - 1e-6 {
        return None;
    }
    let shape = match edge.curve {
        Curve::Line => Shape::Line(body.edge_point(edge, 0.0), body.edge_point(edge, 1.0)),
        Curve::Arc { frame, radius, sweep } => {
            Shape::Arc(frame.origin, frame.x * radius, frame.y * radius, 0.0, sweep)
        }
    };
    let outward = move |p: Point3| outward(a, p) + outward(b, p);
    Some(Wire { shape, outward: Box::new(outward) })
}

/// Where a round face turns away from the viewer.
fn silhouettes<'a>(face: &'a Face, view: &View) -> Vec<Wire<'a>> {
    let surface = &face.surface;
    let (dx, dy, dz) = (
        view.toward.dot(&surface.frame.x),
        view.toward.dot(&surface.frame.y),
        view.toward.dot(&surface.frame.z),
    );
    let across = dx.hypot(dy);
    let mut shapes = Vec::new();
    match surface.kind {
        Kind::Plane => {}
        Kind::Cylinder { .. } if across < 1e-9 => {}
        Kind::Cylinder { .. } => {
            let middle = dy.atan2(dx);
            for u in [middle + FRAC_PI_2, middle - FRAC_PI_2] {
                shapes.extend(generators(face, u));
            }
        }
        Kind::Cone { slope, .. } if across <= (slope * dz).abs() + 1e-9 => {}
        Kind::Cone { slope, .. } => {
            let (middle, half) = (dy.atan2(dx), (slope * dz / across).acos());
            for u in [middle + half, middle - half] {
                shapes.extend(generators(face, u));
            }
        }
        Kind::Torus { .. } if across < 1e-9 => {
            for v in [0.0, PI] {
                shapes.extend(level_arcs(face, v));
            }
        }
        Kind::Torus { .. } => {
            if dz.abs() < 1e-9 {
                let middle = dy.atan2(dx);
                for u in [middle + FRAC_PI_2, middle - FRAC_PI_2] {
                    shapes.extend(tube_curves(face, u));
                }
            }
            for side in [0.0, PI] {
                shapes.extend(torus_curves(face, |u| (-(u.cos() * dx + u.sin() * dy)).atan2(dz) + side));
            }
        }
    }
    let outward = move |p: Point3| outward(face, p);
    shapes
        .into_iter()
        .map(|shape| Wire { shape, outward: Box::new(outward) as Box<dyn Fn(Point3) -> Vector3> })
        .collect()
}

/// The range of a face's region along a parameter: least and most over its outer loop.
fn range(face: &Face, axis: usize) -> (f64, f64) {
    let (least, most) = face.region.bounds();
    (least[axis], most[axis])
}

/// Whether a region holds a point, give or take whole turns of `u` and, on a torus, of `v`.
fn holds(face: &Face, u: f64, v: f64) -> bool {
    let turns_v: &[f64] =
        if matches!(face.surface.kind, Kind::Torus { .. }) { &[-1.0, 0.0, 1.0] } else { &[0.0] };
    [-1.0, 0.0, 1.0]
        .iter()
        .flat_map(|k| turns_v.iter().map(move |l| Point2::new(u + k * TAU, v + l * TAU)))
        .any(|p| face.region.contains(p))
}

/// Runs of a parameter from `from` to `to` within which `inside` holds, ends found by halving.
fn runs((from, to): (f64, f64), inside: impl Fn(f64) -> bool) -> Vec<(f64, f64)> {
    const STEPS: usize = 200;
    let at = |k: usize| from + (to - from) * (k as f64 + 0.5) / STEPS as f64;
    let edge = |mut a: f64, mut b: f64| {
        for _ in 0..40 {
            let middle = (a + b) / 2.0;
            if inside(middle) == inside(a) { a = middle } else { b = middle }
        }
        (a + b) / 2.0
    };
    let mut out = Vec::new();
    let mut open = None;
    for k in 0..STEPS {
        match (inside(at(k)), open) {
            (true, None) => open = Some(if k == 0 { from } else { edge(at(k - 1), at(k)) }),
            (false, Some(start)) => {
                out.push((start, edge(at(k - 1), at(k))));
                open = None;
            }
            _ => {}
        }
    }
    out.extend(open.map(|start| (start, to)));
    out
}

/// The stretches of a cylinder's or cone's generator that lie on the face.
fn generators(face: &Face, u: f64) -> Vec<Shape> {
    let point = |v: f64| face.surface.point(Point2::new(u, v));
    runs(range(face, 1), |v| holds(face, u, v))
        .into_iter()
        .map(|(a, b)| Shape::Line(point(a), point(b)))
        .collect()
}

/// The stretches of a torus' level circle that lie on the face.
fn level_arcs(face: &Face, v: f64) -> Vec<Shape> {
    let frame = &face.surface.frame;
    let radius = face.surface.radius(v);
    runs(range(face, 0), |u| holds(face, u, v))
        .into_iter()
        .map(|(a, b)| {
            let centre = face.surface.point(Point2::new(0.0, v)) - frame.x * radius;
            Shape::Arc(centre, frame.x * radius, frame.y * radius, a, b - a)
        })
        .collect()
}

/// The stretches of a torus' tube circle at `u` that lie on the face.
fn tube_curves(face: &Face, u: f64) -> Vec<Shape> {
    let Kind::Torus { major, minor } = face.surface.kind else {
        return Vec::new();
    };
    let frame = &face.surface.frame;
    let out = frame.x * u.cos() + frame.y * u.sin();
    runs(range(face, 1), |v| holds(face, u, v))
        .into_iter()
        .map(|(a, b)| Shape::Arc(frame.origin + out * major, out * minor, frame.z * minor, a, b - a))
        .collect()
}

/// The stretches of a curve v(u) of a torus that lie on the face, as points.
fn torus_curves(face: &Face, v: impl Fn(f64) -> f64) -> Vec<Shape> {
    runs(range(face, 0), |u| holds(face, u, v(u)))
        .into_iter()
        .map(|(a, b)| {
            let point = |k: i32| {
                let u = a + (b - a) * f64::from(k) / 64.0;
                face.surface.point(Point2::new(u, v(u)))
            };
            Shape::Curve((0..=64).map(point).collect())
        })
        .collect()
}

/// A wire told apart into what shows, what is hidden and what is cut away.
fn stretches(wire: &Wire, blocker: &Blocker, view: &View, wall: Option<f64>) -> Vec<(f64, f64, State)> {
    let state = |t: f64| {
        let p = wire.shape.point(t);
        if wall.is_some_and(|wall| p.coords.dot(&view.toward) > wall + 1e-6) {
            return State::Gone;
        }
        let off = (wire.outward)(p).try_normalize(1e-9).unwrap_or(view.toward);
        if blocker.blocks(p + off * OFF) { State::Hidden } else { State::Visible }
    };
    let steps = (wire.shape.length() / 0.5).clamp(12.0, 400.0) as usize;
    let at = |k: usize| (k as f64 + 0.5) / steps as f64;
    let mut out = Vec::new();
    let (mut from, mut now) = (0.0, state(at(0)));
    for k in 1..steps {
        let next = state(at(k));
        if next != now {
            let (mut a, mut b) = (at(k - 1), at(k));
            for _ in 0..16 {
                let middle = (a + b) / 2.0;
                if state(middle) == now { a = middle } else { b = middle }
            }
            out.push((from, b, now));
            (from, now) = (b, next);
        }
    }
    out.push((from, 1.0, now));
    out
}

/// How far off the surface a point is asked from, mm: beyond the mesh's chord tolerance.
const OFF: f64 = 0.03;

/// The chord tolerance, mm, of the mesh that hides.
pub const CHORD: f64 = 0.01;

/// The mesh as seen in the view, ready to be asked what stands before a point.
struct Blocker<'a> {
    view: &'a View,
    /// Distance towards the viewer beyond which everything is cut away.
    wall: f64,
    /// Corners: right, up, towards.
    triangles: Vec<[[f64; 3]; 3]>,
    least: Point2,
    cell: f64,
    columns: usize,
    cells: Vec<Vec<u32>>,
}

impl<'a> Blocker<'a> {
    fn new(mesh: &Mesh, view: &'a View, wall: Option<f64>) -> Self {
        let corner = |at: u32| {
            let p = mesh.points[at as usize];
            let q = view.see(p);
            [q.x, q.y, p.coords.dot(&view.toward)]
        };
        let triangles: Vec<[[f64; 3]; 3]> = mesh.triangles.iter().map(|t| t.map(corner)).collect();
        let (mut least, mut most) = (Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN));
        for [x, y, _] in triangles.iter().flatten() {
            least = Point2::new(least.x.min(*x), least.y.min(*y));
            most = Point2::new(most.x.max(*x), most.y.max(*y));
        }
        let cell = ((most.x - least.x).max(most.y - least.y) / 64.0).max(1e-6);
        let columns = ((most.x - least.x) / cell) as usize + 1;
        let rows = ((most.y - least.y) / cell) as usize + 1;
        let mut cells = vec![Vec::new(); columns * rows];
        for (k, t) in triangles.iter().enumerate() {
            let bound = |axis: usize, origin: f64| {
                let (a, b, c) = (t[0][axis], t[1][axis], t[2][axis]);
                let first = ((a.min(b).min(c) - origin) / cell) as usize;
                first..=((a.max(b).max(c) - origin) / cell) as usize
            };
            for y in bound(1, least.y) {
                for x in bound(0, least.x) {
                    cells[y * columns + x].push(k as u32);
                }
            }
        }
        Self { view, wall: wall.unwrap_or(f64::INFINITY), triangles, least, cell, columns, cells }
    }

    /// Whether the body lies between a point and the viewer.
    fn blocks(&self, p: Point3) -> bool {
        let (q, depth) = (self.view.see(p), p.coords.dot(&self.view.toward));
        let (x, y) = ((q.x - self.least.x) / self.cell, (q.y - self.least.y) / self.cell);
        if x < 0.0 || y < 0.0 || x as usize >= self.columns {
            return false;
        }
        let Some(list) = self.cells.get(y as usize * self.columns + x as usize) else {
            return false;
        };
        list.iter().any(|&k| {
            height(&self.triangles[k as usize], q).is_some_and(|h| h > depth && h <= self.wall + 1e-9)
        })
    }
}

/// The distance towards the viewer of a triangle over a point of the paper, if it lies over it.
fn height([a, b, c]: &[[f64; 3]; 3], q: Point2) -> Option<f64> {
    let area = |p: &[f64; 3], r: &[f64; 3]| (p[0] - q.x) * (r[1] - q.y) - (p[1] - q.y) * (r[0] - q.x);
    let (u, v, w) = (area(b, c), area(c, a), area(a, b));
    let whole = u + v + w;
    let inside = (u >= 0.0 && v >= 0.0 && w >= 0.0) || (u <= 0.0 && v <= 0.0 && w <= 0.0);
    (inside && whole != 0.0).then(|| (u * a[2] + v * b[2] + w * c[2]) / whole)
}
