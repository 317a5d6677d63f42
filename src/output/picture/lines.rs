//! The lines of the picture: the bodies' own edges and silhouettes, and the outlines of their cuts,
//! as far as they show.

use super::camera::Camera;
use super::cutting::{Cutting, Plane};
use super::{Figure, Role, Scene};
use crate::output::sight::{Blocker, Shape, Wire, stretches, wires};
use crate::solid::probe::crossings;
use crate::solid::{Frame, Point3, Vector3};

/// A line that shows.
pub(super) struct Line {
    pub role: Role,
    /// Whether its body ends there for the viewer, so that it is drawn heavier.
    pub contour: bool,
    pub path: Path,
}

/// A line on the picture, pixels.
pub(super) struct Path {
    pub start: [f64; 2],
    pub steps: Vec<Step>,
}

/// How a path goes on.
pub(super) enum Step {
    /// Straight to a point.
    To([f64; 2]),
    /// Along a cubic Bézier curve: its two control points and its end.
    Bend([[f64; 2]; 3]),
}

/// Pixels between the places at which a line is looked at.
const STEP: f64 = 3.0;

/// Every line that shows.
pub(super) fn lines(scene: &Scene, camera: &Camera, cutting: &Cutting) -> Vec<Line> {
    let sight = Sight::new(scene, camera, cutting);
    let mut lines = Vec::new();
    for figure in &scene.figures {
        let toward = on_axes(figure, camera.axes.toward);
        for wire in wires(figure.body, &toward) {
            let state = |t: f64| sight.wire(figure, &wire, &toward, t);
            sight.add(&mut lines, figure, &wire.shape, state);
        }
        if figure.cut {
            for (at, plane) in cutting.planes.iter().enumerate() {
                sight.section(&mut lines, figure, plane, at);
            }
            sight.corner(&mut lines, figure);
        }
    }
    lines
}

/// A displacement of the scene on a figure's own axes.
fn on_axes(figure: &Figure, v: Vector3) -> Vector3 {
    Vector3::new(v.dot(&figure.axes.x), v.dot(&figure.axes.y), v.dot(&figure.axes.z))
}

/// What is to be seen of a line at a point.
#[derive(Clone, Copy, PartialEq)]
enum State {
    Unseen,
    Crease,
    Contour,
}

/// The scene before the viewer, ready to be asked what shows.
struct Sight<'a> {
    camera: &'a Camera,
    cutting: &'a Cutting,
    blocker: Blocker,
    /// Where each figure's triangles end in the blocker's numbering; whether it is printed and cut.
    figures: Vec<(usize, Role, bool)>,
    /// How far off the surface a point is asked from, mm: beyond the meshes' chord tolerance.
    off: f64,
}

impl<'a> Sight<'a> {
    fn new(scene: &Scene, camera: &'a Camera, cutting: &'a Cutting) -> Self {
        let mut triangles = Vec::new();
        let mut figures = Vec::new();
        for figure in &scene.figures {
            let seen: Vec<_> = figure.points().map(|p| camera.see(&p)).collect();
            triangles.extend(figure.mesh.triangles.iter().map(|t| t.map(|at| seen[at as usize])));
            figures.push((triangles.len(), figure.role, figure.cut));
        }
        Self { camera, cutting, blocker: Blocker::new(triangles), figures, off: 3.0 * scene.chord_tolerance }
    }

    /// Whether a body hides a point of a line from the viewer. A printed part's lines are seen
    /// through what is not printed.
    fn hides(&self, role: Role, p: Point3) -> bool {
        let [x, y, depth] = self.camera.see(&p);
        let far = self.cutting.far(x, y).map_or(f64::INFINITY, |far| far.0);
        self.blocker.hides([x, y, depth], |triangle, height| {
            let at = self.figures.partition_point(|figure| figure.0 <= triangle);
            let (_, of, cut) = self.figures[at];
            (of == Role::Part || role != Role::Part) && !(cut && height > far)
        })
    }

    fn wire(&self, figure: &Figure, wire: &Wire, toward: &Vector3, t: f64) -> State {
        let local = wire.shape.point(t);
        let p = figure.axes.point3(local);
        if figure.cut && self.cutting.removes(p, 1e-6) {
            return State::Unseen;
        }
        let outward = figure.axes.direction(wire.outward(local)).try_normalize(1e-9);
        // Bodies that lie against each other are no further apart than their meshes are wrong.
        let asked = p + (outward.unwrap_or_else(Vector3::zeros) + self.camera.axes.toward * 2.0) * self.off;
        match self.hides(figure.role, asked) {
            true => State::Unseen,
            false if wire.is_contour(local, toward) => State::Contour,
            false => State::Crease,
        }
    }

    /// The outline of a figure's cut by one of the planes.
    fn section(&self, lines: &mut Vec<Line>, figure: &Figure, plane: &Plane, at: usize) {
        let on = Point3::from(on_axes(figure, plane.on - figure.axes.origin));
        let (normal, up) = (on_axes(figure, plane.normal), on_axes(figure, Vector3::z()));
        let Ok(frame) = Frame::new(on, normal, up) else {
            return;
        };
        let beyond = |p: Point3| {
            let others = self.cutting.planes.iter().enumerate().filter(|(k, _)| *k != at);
            others.into_iter().any(|(_, other)| (p - other.on).dot(&other.normal) < -1e-6)
        };
        let state = |shape: &Shape, t: f64| {
            let p = figure.axes.point3(shape.point(t));
            match beyond(p) || self.hides(figure.role, p + plane.normal * self.off) {
                true => State::Unseen,
                false => State::Contour,
            }
        };
        for outline in figure.mesh.slice(&frame) {
            let closed = outline.iter().chain(outline.first());
            let shape = Shape::Curve(closed.map(|&p| frame.point(p)).collect());
            self.add(lines, figure, &shape, |t| state(&shape, t));
        }
    }

    /// The upright line in which the two planes of a quarter meet, where it runs through the figure.
    fn corner(&self, lines: &mut Vec<Line>, figure: &Figure) {
        let [first, second] = &self.cutting.planes[..] else {
            return;
        };
        // A hair beside the axis, where a body of revolution has no corner.
        let on = first.on - (first.normal + second.normal * 0.618) * 1e-4;
        let up = on_axes(figure, Vector3::z());
        let (on, bounds) = (Point3::from(on_axes(figure, on - figure.axes.origin)), figure.body.bounds());
        let from = on - up * (bounds.size().norm() + (bounds.centre() - on).norm());
        for ends in crossings(&figure.mesh, from, up).chunks_exact(2) {
            let shape = Shape::Line(from + up * ends[0], from + up * ends[1]);
            let state = |t: f64| {
                let p = figure.axes.point3(shape.point(t)) + (first.normal + second.normal) * self.off;
                if self.hides(figure.role, p) { State::Unseen } else { State::Crease }
            };
            self.add(lines, figure, &shape, state);
        }
    }

    /// Adds the stretches of a line that show.
    fn add(&self, lines: &mut Vec<Line>, figure: &Figure, shape: &Shape, state: impl Fn(f64) -> State) {
        let length = shape.length() * self.camera.scale;
        let steps = (length / STEP).clamp(4.0, 600.0) as usize;
        for (from, to, state) in stretches(steps, state) {
            if state != State::Unseen && (to - from) * length > 0.2 {
                let path = self.path(figure, shape, from, to);
                lines.push(Line { role: figure.role, contour: state == State::Contour, path });
            }
        }
    }

    /// A stretch of a line on the picture.
    fn path(&self, figure: &Figure, shape: &Shape, from: f64, to: f64) -> Path {
        let see = |p: Point3| {
            let [x, y, _] = self.camera.see(&figure.axes.point3(p));
            [x, y]
        };
        let steps = match shape {
            Shape::Line(..) => vec![Step::To(see(shape.point(to)))],
            Shape::Arc(_, x, y, start, sweep) => {
                let fall = |v: &Vector3| self.camera.fall(&figure.axes.direction(*v));
                let (first, run) = (start + sweep * from, sweep * (to - from));
                bends(see(shape.point(from)), fall(x), fall(y), first, run)
            }
            Shape::Curve(points) => {
                let last = (points.len() - 1) as f64;
                let between = points.iter().zip(0..).filter(|(_, k)| {
                    let t = f64::from(*k) / last;
                    t > from && t < to
                });
                between.map(|(p, _)| *p).chain([shape.point(to)]).map(|p| Step::To(see(p))).collect()
            }
        };
        Path { start: see(shape.point(from)), steps }
    }
}

/// An arc of an ellipse with these conjugate half-axes as cubic curves of at most 60° each, which stray
/// from it by less than 3 · 10⁻⁵ of its size.
fn bends(start: [f64; 2], x: [f64; 2], y: [f64; 2], first: f64, run: f64) -> Vec<Step> {
    let count = (run.abs() / std::f64::consts::FRAC_PI_3).ceil().max(1.0);
    let step = run / count;
    let pull = 4.0 / 3.0 * (step / 4.0).tan();
    let on = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        [0, 1].map(|k| x[k] * cos + y[k] * sin)
    };
    let ahead = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        [0, 1].map(|k| y[k] * cos - x[k] * sin)
    };
    let centre = [0, 1].map(|k| start[k] - on(first)[k]);
    let bend = |k: i32| {
        let (a, b) = (first + step * f64::from(k), first + step * f64::from(k + 1));
        let from = [0, 1].map(|i| centre[i] + on(a)[i] + pull * ahead(a)[i]);
        let to = [0, 1].map(|i| centre[i] + on(b)[i]);
        Step::Bend([from, [0, 1].map(|i| to[i] - pull * ahead(b)[i]), to])
    };
    (0..count as i32).map(bend).collect()
}

impl Path {
    /// Its points, close enough together to be joined by straight lines.
    pub fn points(&self) -> Vec<[f64; 2]> {
        let mut points = vec![self.start];
        let mut at = self.start;
        for step in &self.steps {
            match *step {
                Step::To(end) => at = end,
                Step::Bend([p, q, end]) => {
                    let long = (end[0] - at[0]).hypot(end[1] - at[1]);
                    // The rise of a chord of 60° is an eighth of its length; halves leave a quarter of it.
                    let count = (long * 0.6).sqrt().ceil().max(1.0) as i32;
                    points.extend((1..count).map(|k| {
                        let t = f64::from(k) / f64::from(count);
                        let s = 1.0 - t;
                        let mix = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
                        [0, 1].map(|i| mix[0] * at[i] + mix[1] * p[i] + mix[2] * q[i] + mix[3] * end[i])
                    }));
                    at = end;
                }
            }
            points.push(at);
        }
        points
    }
}
