//! A body's lines: its edges, and where its round faces turn away from the viewer.

use crate::solid::body::{Curve, Edge, Face};
use crate::solid::surface::Kind;
use crate::solid::{Body, Point2, Point3, Vector3};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// A line of a body, with the faces it bounds.
pub struct Wire<'a> {
    /// Where it runs, in the body's axes.
    pub shape: Shape,
    beside: Beside<'a>,
}

/// What lies along a wire.
enum Beside<'a> {
    /// The two faces that meet.
    Faces(&'a Face, &'a Face),
    /// The round face that turns away.
    Silhouette(&'a Face),
}

/// The forms a wire takes.
#[derive(Clone, Debug)]
pub enum Shape {
    /// From one point to another.
    Line(Point3, Point3),
    /// Centre, first axis, second axis (both of the radius' length), first angle, angle run through.
    Arc(Point3, Vector3, Vector3, f64, f64),
    /// Through these points.
    Curve(Vec<Point3>),
}

impl Shape {
    /// The point at `t` of it, 0 to 1.
    pub fn point(&self, t: f64) -> Point3 {
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

    /// Its length, mm.
    pub fn length(&self) -> f64 {
        match self {
            Shape::Line(a, b) => (b - a).norm(),
            Shape::Arc(_, x, _, _, sweep) => x.norm() * sweep.abs(),
            Shape::Curve(points) => points.windows(2).map(|w| (w[1] - w[0]).norm()).sum(),
        }
    }
}

impl Wire<'_> {
    /// The direction out of the body at a point of it.
    pub fn outward(&self, p: Point3) -> Vector3 {
        match self.beside {
            Beside::Faces(a, b) => outward(a, p) + outward(b, p),
            Beside::Silhouette(face) => outward(face, p),
        }
    }

    /// Whether the body ends here for the viewer: of the two faces one looks away from him.
    pub fn is_contour(&self, p: Point3, toward: &Vector3) -> bool {
        match self.beside {
            Beside::Faces(a, b) => {
                (outward(a, p).dot(toward) > GRAZING) != (outward(b, p).dot(toward) > GRAZING)
            }
            Beside::Silhouette(_) => true,
        }
    }
}

/// A face whose normal leans towards the viewer by less than this is seen edge-on.
const GRAZING: f64 = 1e-9;

fn outward(face: &Face, p: Point3) -> Vector3 {
    face.outward(face.surface.parameters(p))
}

/// Every edge of a body that is no smooth seam, and every silhouette as seen from `toward` (a unit
/// vector in the body's axes).
pub fn wires<'a>(body: &'a Body, toward: &Vector3) -> Vec<Wire<'a>> {
    let edges = body.edges().iter().filter_map(|edge| edge_wire(body, edge));
    let silhouettes = body.faces().iter().flat_map(|face| silhouettes(face, toward));
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
    Some(Wire { shape, beside: Beside::Faces(a, b) })
}

/// Where a round face turns away from the viewer.
fn silhouettes<'a>(face: &'a Face, toward: &Vector3) -> Vec<Wire<'a>> {
    let surface = &face.surface;
    let (dx, dy, dz) =
        (toward.dot(&surface.frame.x), toward.dot(&surface.frame.y), toward.dot(&surface.frame.z));
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
    shapes.into_iter().map(|shape| Wire { shape, beside: Beside::Silhouette(face) }).collect()
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
