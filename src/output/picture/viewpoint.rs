//! From which corner a scene is looked at: the one that shows most, told from a few hundred points.

use super::surface::Surface;
use super::{Scene, View};
use crate::output::sight::Blocker;
use crate::solid::{Point3, Vector3};
use std::f64::consts::FRAC_PI_4;

/// A point of a face and the share of its area it stands for.
struct Spot {
    face: usize,
    at: Point3,
    /// Outward, its length the area, mm².
    area: Vector3,
}

/// Points to a face at most.
const SPOTS: usize = 12;

/// What another corner must show more of than the front right one.
const BETTER: f64 = 1.05;

impl Scene<'_> {
    /// The same scene seen from the one of the four upper corners that shows the most faces, and most
    /// evenly: the sum over faces of the root of their area in sight, so that many faces seen fairly
    /// beat one seen large. The front right corner wins a draw.
    pub(in crate::output) fn on_the_side_that_shows_most(mut self) -> Self {
        let spots = self.spots();
        let corners =
            [1.0, -1.0, 3.0, -3.0].map(|quarter| View { azimuth: quarter * FRAC_PI_4, ..self.view });
        let mut best = (self.view, 0.0);
        for view in corners {
            let shown = self.shown(view, &spots);
            if shown > best.1 * BETTER {
                best = (view, shown);
            }
        }
        self.view = best.0;
        self
    }

    fn spots(&self) -> Vec<Spot> {
        let mut spots = Vec::new();
        let mut faces = 0;
        for figure in &self.figures {
            let mesh = &figure.mesh;
            let surface = Surface::of(mesh);
            let mut of_face = vec![Vec::new(); surface.faces as usize];
            for (t, &face) in mesh.triangles.iter().zip(&surface.face) {
                of_face[face as usize].push(*t);
            }
            for triangles in of_face {
                let every = triangles.len().div_ceil(SPOTS);
                for t in triangles.iter().step_by(every) {
                    let [a, b, c] = mesh.corners(*t);
                    let middle = Point3::from((a.coords + b.coords + c.coords) / 3.0);
                    let area = mesh.doubled_normal(*t) * (every as f64 / 2.0);
                    let (at, area) = (figure.axes.point3(middle), figure.axes.direction(area));
                    spots.push(Spot { face: faces, at, area });
                }
                faces += 1;
            }
        }
        spots
    }

    fn shown(&self, view: View, spots: &[Spot]) -> f64 {
        let axes = view.axes();
        let see = |p: Point3| [axes.right, axes.up, axes.toward].map(|axis| p.coords.dot(&axis));
        let mut triangles = Vec::new();
        for figure in &self.figures {
            let seen: Vec<_> = figure.points().map(see).collect();
            triangles.extend(figure.mesh.triangles.iter().map(|t| t.map(|at| seen[at as usize])));
        }
        let blocker = Blocker::new(triangles);
        let mut faces = vec![0.0; spots.last().map_or(0, |spot| spot.face + 1)];
        for spot in spots {
            let seen = spot.area.dot(&axes.toward);
            let off = axes.toward * (3.0 * self.chord_tolerance);
            if seen > 0.0 && !blocker.hides(see(spot.at + off), |_, _| true) {
                faces[spot.face] += seen;
            }
        }
        faces.iter().map(|seen| seen.sqrt()).sum()
    }
}
