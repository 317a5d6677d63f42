//! How near the guard's meshes come to what turns and slides, measured in sections at every place of the slide.

use super::layout::{CABLE, Layout, shifts};
use crate::error::Result;
use crate::parts::bracket::Settled;
use crate::parts::bracket::clearance::{Bar, Nearest};
use crate::solid::{Frame, Mesh, Point2, Point3, Vector3, polygon, probe};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// How far inside the ends of a body its sections are taken, mm, beside any corner of a mesh.
const INSIDE: f64 = 0.137;
/// Corners of the halves of a back nearer to each other than this lie on the line it is parted at, mm.
const PARTED: f64 = 0.05;
/// From how many places of a body's end the front is looked for.
const RAYS: usize = 16;

/// The guard's meshes as they stand: working coordinates.
pub(super) struct Standing {
    meshes: Vec<Mesh>,
    /// From front to rear.
    depth: (f64, f64),
    /// The outlines of each mesh at the depths that were looked at, by depth in nanometres.
    sections: RefCell<BTreeMap<i64, Sections>>,
}

/// The closed outlines of each mesh in one plane.
type Sections = Rc<Vec<Vec<Outline>>>;

impl Standing {
    /// The meshes, each with what puts it in its place.
    pub fn new(meshes: Vec<Mesh>) -> Standing {
        let ys = || meshes.iter().flat_map(|mesh| mesh.points.iter().map(|p| p.y));
        let depth = (ys().fold(f64::INFINITY, f64::min), ys().fold(f64::NEG_INFINITY, f64::max));
        Standing { meshes, depth, sections: RefCell::default() }
    }

    /// The nearest that what turns comes, anywhere in the slide.
    pub fn to_running(&self, layout: &Layout, s: &Settled) -> Result<Option<Nearest>> {
        self.over_the_slide(s, |shift| layout.running(s, shift))
    }

    /// The nearest that the bracket and its encoder come.
    pub fn to_sliding(&self, layout: &Layout, s: &Settled) -> Result<Option<Nearest>> {
        self.over_the_slide(s, |shift| layout.sliding(s, shift))
    }

    fn over_the_slide(&self, s: &Settled, bars: impl Fn(f64) -> Result<Vec<Bar>>) -> Result<Option<Nearest>> {
        let mut nearest: Option<Nearest> = None;
        for shift in shifts(s) {
            for bar in bars(shift)? {
                let gap = self.gap(&bar);
                if nearest.as_ref().is_none_or(|n| gap < n.gap) {
                    nearest = Some(Nearest { gap, what: bar.name.clone(), to: "the guard".into(), shift });
                }
            }
        }
        Ok(nearest)
    }

    /// The least distance of a body: across the shafts in sections, along them by rays from its ends.
    fn gap(&self, bar: &Bar) -> f64 {
        let (from, to) = (bar.y.0.max(self.depth.0), bar.y.1.min(self.depth.1));
        if to - from < 2.0 * INSIDE {
            return f64::INFINITY;
        }
        let across = [from + INSIDE, (from + to) / 2.0 + INSIDE / 3.0, to - INSIDE]
            .into_iter()
            .map(|y| self.across(bar, y))
            .fold(f64::INFINITY, f64::min);
        let ends = [(bar.y.0, -Vector3::y()), (bar.y.1, Vector3::y())];
        let along = ends.into_iter().filter(|(y, _)| y.is_finite()).map(|(y, way)| self.along(bar, y, way));
        along.fold(across, f64::min)
    }

    /// The widest gap between a standing guard's back and the walls round it, in the section at that depth; beside the
    /// cable's notch, the spindle's opening and over the face it stands on. The first `covers` meshes are the cover's.
    pub fn round_the_back(&self, y: f64, covers: usize, layout: &Layout) -> f64 {
        let (cable, spindle) = (layout.cable, layout.spindle.at);
        // Halves of a back have the opening for the spindle in their edge.
        let ring = if layout.back_hole() { layout.spindle_opening() / 2.0 + PARTED } else { 0.0 };
        let sections = self.sections(y);
        let (cover, back) = sections.split_at(covers.min(sections.len()));
        let notch = |p: &Point2| cable.is_some_and(|at| (p.x - at.x).abs() < CABLE / 2.0 + 1.0);
        let rims = back.iter().filter_map(|piece| piece.iter().max_by(|a, b| a.wide().total_cmp(&b.wide())));
        let halves: Vec<&Outline> = rims.collect();
        // Where it is parted, its halves' edges meet one another and no wall.
        let parted = |p: &Point2, of: &Outline| {
            halves
                .iter()
                .any(|other| !std::ptr::eq(*other, of) && polygon::distance(&other.points, p) < PARTED)
        };
        let rim = halves
            .iter()
            .flat_map(|of| of.points.iter().filter(|p| p.y > 1.0 && !notch(p) && !parted(p, of)))
            .filter(|p| (*p - spindle).norm() > ring);
        let to_wall = |p: &Point2| {
            let walls = cover.iter().flatten();
            walls.map(|wall| polygon::distance(&wall.points, p)).fold(f64::INFINITY, f64::min)
        };
        rim.map(to_wall).fold(0.0, f64::max)
    }

    fn sections(&self, y: f64) -> Sections {
        let cut = |mesh: &Mesh| mesh.slice(&Frame::facing_minus_y(y)).into_iter().map(Outline::new).collect();
        let mut known = self.sections.borrow_mut();
        let made = || Rc::new(self.meshes.iter().map(cut).collect());
        known.entry((y * 1e6).round() as i64).or_insert_with(made).clone()
    }

    fn across(&self, bar: &Bar, y: f64) -> f64 {
        let body = Outline::new(bar.outline.clone());
        let mut gap = f64::INFINITY;
        for section in self.sections(y).iter() {
            let inside = section.iter().filter(|walls| walls.holds(&bar.outline[0])).count() % 2 == 1;
            for walls in section {
                let near = body.apart(walls, gap.abs());
                let crosses = walls.points.iter().any(|p| body.holds(p));
                gap = gap.min(if crosses || inside { -near } else { near });
            }
        }
        gap
    }

    /// How far a body's end is from what lies before it.
    fn along(&self, bar: &Bar, y: f64, way: Vector3) -> f64 {
        let middle = bar.outline.iter().fold(Point2::origin(), |sum, p| sum + p.coords)
            / bar.outline.len().max(1) as f64;
        let step = (bar.outline.len() / RAYS).max(1);
        let rim = bar
            .outline
            .iter()
            .step_by(step)
            .flat_map(|p| [0.995, 0.53].map(|share| middle + (p - middle) * share));
        rim.map(|p| Point3::new(p.x, y, p.y))
            .flat_map(|p| {
                self.meshes.iter().filter_map(move |mesh| probe::crossings(mesh, p, way).first().copied())
            })
            .fold(f64::INFINITY, f64::min)
    }
}

/// A closed polygon and the box it lies in.
struct Outline {
    points: Vec<Point2>,
    least: Point2,
    most: Point2,
}

impl Outline {
    fn new(points: Vec<Point2>) -> Outline {
        let (mut least, mut most) = (Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN));
        for p in &points {
            least = Point2::new(least.x.min(p.x), least.y.min(p.y));
            most = Point2::new(most.x.max(p.x), most.y.max(p.y));
        }
        Outline { points, least, most }
    }

    /// How far its box reaches from corner to corner.
    fn wide(&self) -> f64 {
        (self.most - self.least).norm()
    }

    /// Whether it holds a point.
    fn holds(&self, p: &Point2) -> bool {
        if p.x < self.least.x || p.x > self.most.x || p.y < self.least.y || p.y > self.most.y {
            return false;
        }
        polygon::holds(&self.points, p)
    }

    /// The distance between the sides of two that do not cross, where it is less than `limit`.
    fn apart(&self, other: &Outline, limit: f64) -> f64 {
        let there = self.points.iter().fold(limit, |least, p| other.to_sides(p, least));
        other.points.iter().fold(there, |least, p| self.to_sides(p, least))
    }

    /// The distance of a point to the sides, where it is less than `limit`.
    fn to_sides(&self, p: &Point2, limit: f64) -> f64 {
        let beside = |v: f64, least: f64, most: f64| (least - v).max(v - most).max(0.0);
        if beside(p.x, self.least.x, self.most.x).hypot(beside(p.y, self.least.y, self.most.y)) >= limit {
            return limit;
        }
        let mut least = limit * limit;
        let mut a = &self.points[self.points.len() - 1];
        for b in &self.points {
            let (dx, dy, ex, ey) = (b.x - a.x, b.y - a.y, p.x - a.x, p.y - a.y);
            let length = dx * dx + dy * dy;
            let share = if length > 0.0 { ((ex * dx + ey * dy) / length).clamp(0.0, 1.0) } else { 0.0 };
            let (fx, fy) = (ex - dx * share, ey - dy * share);
            least = least.min(fx * fx + fy * fy);
            a = b;
        }
        least.sqrt()
    }
}
