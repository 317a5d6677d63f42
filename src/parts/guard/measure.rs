//! How near the guard's meshes come to what turns and slides, measured in sections at every place of the slide.

use super::layout::{Layout, shifts};
use crate::error::Result;
use crate::parts::bracket::Settled;
use crate::parts::bracket::clearance::Bar;
use crate::solid::piece::{Piece as Side, distance};
use crate::solid::{Frame, Mesh, Point2, Point3, Vector3, probe};

/// How far inside the ends of a body its sections are taken, mm, beside any corner of a mesh.
const INSIDE: f64 = 0.137;
/// From how many places of a body's end the front is looked for.
const RAYS: usize = 48;

/// The nearest that something comes to the guard.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Nearest {
    /// Distance, mm; less than nothing where it cuts in.
    pub gap: f64,
    /// What comes near.
    pub what: String,
    /// At which shift of the slide.
    pub shift: f64,
}

/// The guard's meshes as they stand: working coordinates.
pub(super) struct Standing {
    meshes: Vec<Mesh>,
    /// From front to rear.
    depth: (f64, f64),
}

impl Standing {
    /// The meshes, each with what puts it in its place.
    pub fn new(meshes: Vec<Mesh>) -> Standing {
        let ys = || meshes.iter().flat_map(|mesh| mesh.points.iter().map(|p| p.y));
        let depth = (ys().fold(f64::INFINITY, f64::min), ys().fold(f64::NEG_INFINITY, f64::max));
        Standing { meshes, depth }
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
                    nearest = Some(Nearest { gap, what: bar.name.clone(), shift });
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

    fn across(&self, bar: &Bar, y: f64) -> f64 {
        let outline = sides(&bar.outline);
        let plane = Frame::facing_minus_y(y);
        let mut gap = f64::INFINITY;
        for mesh in &self.meshes {
            let section = mesh.slice(&plane);
            let inside = section.iter().filter(|walls| holds(walls, bar.outline[0])).count() % 2 == 1;
            for walls in &section {
                let near = least(walls, &outline).min(least(&bar.outline, &sides(walls)));
                let crosses = walls.iter().any(|p| holds(&bar.outline, *p));
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
            .flat_map(|p| [0.995, 0.71, 0.37].map(|share| middle + (p - middle) * share));
        rim.map(|p| Point3::new(p.x, y, p.y))
            .flat_map(|p| {
                self.meshes.iter().filter_map(move |mesh| probe::crossings(mesh, p, way).first().copied())
            })
            .fold(f64::INFINITY, f64::min)
    }
}

fn sides(outline: &[Point2]) -> Vec<Side> {
    outline.iter().zip(outline.iter().cycle().skip(1)).map(|(p, q)| Side::line(*p, *q)).collect()
}

fn least(points: &[Point2], sides: &[Side]) -> f64 {
    points.iter().map(|p| distance(sides, *p)).fold(f64::INFINITY, f64::min)
}

/// Whether a closed polygon holds a point.
fn holds(outline: &[Point2], p: Point2) -> bool {
    let pairs = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = pairs
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x));
    crossed.count() % 2 == 1
}
