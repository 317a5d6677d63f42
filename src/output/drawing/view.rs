//! A body seen along one of its axes: which stretches of its edges and silhouettes show.

use super::outline::{Outline, Stroke};
use crate::output::sight::{Blocker, Placed, Shape, Wire, stretches, wires};
use crate::solid::{Body, Mesh, Point2, Point3, Vector3};
use std::f64::consts::PI;

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

    /// Where a point lies before the viewer, mm.
    fn place(&self, p: Point3) -> Placed {
        [p.coords.dot(&self.right), p.coords.dot(&self.up), p.coords.dot(&self.toward)]
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

/// The stretch of a line from `t0` to `t1` as it falls on the paper.
fn drawn(shape: &Shape, view: &View, t0: f64, t1: f64) -> Stroke {
    let points = || (0..=48).map(|k| view.see(shape.point(t0 + (t1 - t0) * f64::from(k) / 48.0))).collect();
    match shape {
        Shape::Line(..) => Stroke::Line(view.see(shape.point(t0)), view.see(shape.point(t1))),
        Shape::Arc(centre, x, y, from, sweep) => {
            let (a, b) = (from + sweep * t0, from + sweep * t1);
            let flat = x.cross(y).normalize().dot(&view.toward);
            if flat.abs() > 1.0 - 1e-9 {
                let angle = |t: f64| {
                    let d = view.see(shape.point(t)) - view.see(*centre);
                    d.y.atan2(d.x)
                };
                let start = if (b - a) * flat > 0.0 { angle(t0) } else { angle(t1) };
                Stroke::Arc(view.see(*centre), x.norm(), start, (b - a).abs())
            } else if flat.abs() < 1e-9 {
                edge_on(view, (*centre, *x, *y), (a.min(b), a.max(b)))
            } else {
                Stroke::Curve(points())
            }
        }
        Shape::Curve(_) => Stroke::Curve(points()),
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
    let wall = cut.map_or(f64::INFINITY, |p| p.coords.dot(&view.toward));
    let triangles = mesh.triangles.iter().map(|&t| mesh.corners(t).map(|p| view.place(p)));
    let blocker = Blocker::new(triangles.collect());
    let mut seen = Seen::default();
    for wire in wires(body, &view.toward) {
        let steps = (wire.shape.length() / STEP).clamp(12.0, 400.0) as usize;
        for (t0, t1, state) in stretches(steps, |t| state(&wire, t, &blocker, view, wall)) {
            match state {
                State::Visible => seen.visible.add(drawn(&wire.shape, view, t0, t1)),
                State::Hidden => seen.hidden.add(drawn(&wire.shape, view, t0, t1)),
                State::Gone => {}
            }
        }
    }
    seen
}

fn state(wire: &Wire, t: f64, blocker: &Blocker, view: &View, wall: f64) -> State {
    let p = wire.shape.point(t);
    if p.coords.dot(&view.toward) > wall + 1e-6 {
        return State::Gone;
    }
    let off = wire.outward(p).try_normalize(1e-9).unwrap_or(view.toward);
    match blocker.hides(view.place(p + off * OFF), |_, depth| depth <= wall + 1e-9) {
        true => State::Hidden,
        false => State::Visible,
    }
}

#[derive(Clone, Copy, PartialEq)]
enum State {
    Visible,
    Hidden,
    /// In front of the cutting plane.
    Gone,
}

/// How often a line is looked at, mm.
const STEP: f64 = 0.5;

/// How far off the surface a point is asked from, mm: beyond the mesh's chord tolerance.
const OFF: f64 = 0.03;

/// The chord tolerance, mm, of the mesh that hides.
pub const CHORD: f64 = 0.01;
