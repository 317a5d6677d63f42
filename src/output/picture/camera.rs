//! Where the scene is seen from, and how it fits the frame.

use super::{Role, Scene};
use crate::solid::{Point3, Vector3};
use std::f64::consts::FRAC_PI_4;

/// A direction of sight for a parallel projection, radians. The front is the side that faces −y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// How far the viewer stands to the right of the front; π/2 looks at the right-hand side.
    pub azimuth: f64,
    /// How far the viewer looks from above; π/2 is a plan.
    pub elevation: f64,
}

impl View {
    /// From the front right corner and above, the three axes equally foreshortened:
    /// elevation asin(1/√3).
    pub const ISOMETRIC: View = View { azimuth: FRAC_PI_4, elevation: 0.615_479_708_670_387_3 };

    /// Right and up on the picture, and towards the viewer: a right-handed orthonormal triad.
    pub(super) fn axes(self) -> Axes {
        let (sin_a, cos_a) = self.azimuth.sin_cos();
        let (sin_e, cos_e) = self.elevation.sin_cos();
        let toward = Vector3::new(sin_a * cos_e, -cos_a * cos_e, sin_e);
        let right = Vector3::new(cos_a, sin_a, 0.0);
        Axes { right, up: toward.cross(&right), toward }
    }
}

/// The picture's own axes in the scene.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axes {
    pub right: Vector3,
    pub up: Vector3,
    pub toward: Vector3,
}

/// A scene's place on the sample grid: samples = `scale` · millimetres + `origin`, y down.
#[derive(Clone, Copy, Debug)]
pub(super) struct Camera {
    pub axes: Axes,
    pub scale: f64,
    origin: (f64, f64),
}

/// Share of each side of the frame that stays free.
const MARGIN: f64 = 0.05;

impl Camera {
    /// The largest the scene can be drawn, in the middle of the frame.
    pub fn framing(scene: &Scene, width: f64, height: f64) -> Self {
        let axes = scene.view.axes();
        let (mut x, mut y) = ((f64::MAX, f64::MIN), (f64::MAX, f64::MIN));
        // The shadow belongs to the picture, and its soft edge to the margin.
        let shadow = scene.bench();
        let shadow =
            shadow.iter().flat_map(|bench| scene.corners(Some(Role::Part)).map(|p| bench.shadow_of(p)));
        for p in scene.corners(None).copied().chain(shadow) {
            let (h, v) = (p.coords.dot(&axes.right), -p.coords.dot(&axes.up));
            x = (x.0.min(h), x.1.max(h));
            y = (y.0.min(v), y.1.max(v));
        }
        let span = |(least, most): (f64, f64)| (most - least).max(1e-6);
        let room = 1.0 - 2.0 * MARGIN;
        let scale = (width * room / span(x)).min(height * room / span(y));
        let origin = (width / 2.0 - scale * (x.0 + x.1) / 2.0, height / 2.0 - scale * (y.0 + y.1) / 2.0);
        Self { axes, scale, origin }
    }

    /// Width over height of what is drawn.
    pub fn shape(scene: &Scene) -> f64 {
        let unit = Self::framing(scene, 1e6, 1e6);
        let (mut x, mut y) = ((f64::MAX, f64::MIN), (f64::MAX, f64::MIN));
        for p in scene.corners(None) {
            let (h, v, _) = unit.see(p);
            x = (x.0.min(h), x.1.max(h));
            y = (y.0.min(v), y.1.max(v));
        }
        (x.1 - x.0) / (y.1 - y.0).max(1e-9)
    }

    /// Where a point falls, in samples, and its distance towards the viewer, mm.
    pub fn see(&self, p: &Point3) -> (f64, f64, f64) {
        let x = self.scale * p.coords.dot(&self.axes.right) + self.origin.0;
        let y = -self.scale * p.coords.dot(&self.axes.up) + self.origin.1;
        (x, y, p.coords.dot(&self.axes.toward))
    }

    /// A vector in right, up, towards the viewer.
    pub fn turn(&self, v: &Vector3) -> Vector3 {
        Vector3::new(v.dot(&self.axes.right), v.dot(&self.axes.up), v.dot(&self.axes.toward))
    }

    /// The line of sight through a sample: its point at distance 0 towards the viewer.
    pub fn foot(&self, x: f64, y: f64) -> Point3 {
        let h = (x - self.origin.0) / self.scale;
        let v = -(y - self.origin.1) / self.scale;
        Point3::from(self.axes.right * h + self.axes.up * v)
    }
}
