//! Where the scene is seen from, and how it fits the frame.

use super::{Bench, Role, Scene};
use crate::output::sight::Placed;
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

/// A scene's place on the picture: pixels = `scale` · millimetres + `origin`, y down.
#[derive(Clone, Copy, Debug)]
pub(super) struct Camera {
    pub axes: Axes,
    pub scale: f64,
    origin: (f64, f64),
}

/// Share of each side of the frame that stays free.
const MARGIN: f64 = 0.05;

/// A range of right and down, mm.
#[derive(Clone, Copy)]
struct Reach {
    least: (f64, f64),
    most: (f64, f64),
}

impl Reach {
    fn of(axes: &Axes, points: impl Iterator<Item = Point3>) -> Self {
        let nothing = Self { least: (f64::MAX, f64::MAX), most: (f64::MIN, f64::MIN) };
        points.fold(nothing, |reach, p| {
            let (h, v) = (p.coords.dot(&axes.right), -p.coords.dot(&axes.up));
            Self {
                least: (reach.least.0.min(h), reach.least.1.min(v)),
                most: (reach.most.0.max(h), reach.most.1.max(v)),
            }
        })
    }

    fn size(&self) -> (f64, f64) {
        ((self.most.0 - self.least.0).max(1e-6), (self.most.1 - self.least.1).max(1e-6))
    }
}

impl Camera {
    /// The largest the scene can be drawn, in the middle of the frame.
    pub fn framing(scene: &Scene, width: f64, height: f64) -> Self {
        let axes = scene.view.axes();
        // The shadow belongs to the picture, and its soft edge to the margin.
        let bench = Bench::of(scene);
        let shadow = bench.iter().flat_map(|b| scene.points(Some(Role::Part)).map(|p| b.shadow_of(&p)));
        let reach = Reach::of(&axes, scene.points(None).chain(shadow));
        let room = 1.0 - 2.0 * MARGIN;
        let (across, down) = reach.size();
        let scale = (width * room / across).min(height * room / down);
        let middle = |least: f64, most: f64, frame: f64| frame / 2.0 - scale * (least + most) / 2.0;
        let origin =
            (middle(reach.least.0, reach.most.0, width), middle(reach.least.1, reach.most.1, height));
        Self { axes, scale, origin }
    }

    /// Width over height of the scene's bodies.
    pub fn shape(scene: &Scene) -> f64 {
        let (across, down) = Reach::of(&scene.view.axes(), scene.points(None)).size();
        across / down
    }

    /// Where a point falls, in pixels, and its distance towards the viewer, mm.
    pub fn see(&self, p: &Point3) -> Placed {
        let [x, y] = self.fall(&p.coords);
        [x + self.origin.0, y + self.origin.1, p.coords.dot(&self.axes.toward)]
    }

    /// A displacement on the picture, pixels.
    pub fn fall(&self, v: &Vector3) -> [f64; 2] {
        [self.scale * v.dot(&self.axes.right), -self.scale * v.dot(&self.axes.up)]
    }

    /// A vector in right, up, towards the viewer.
    pub fn turn(&self, v: &Vector3) -> Vector3 {
        Vector3::new(v.dot(&self.axes.right), v.dot(&self.axes.up), v.dot(&self.axes.toward))
    }

    /// The line of sight through a place on the picture: its point at distance 0 towards the viewer.
    pub fn foot(&self, x: f64, y: f64) -> Point3 {
        let h = (x - self.origin.0) / self.scale;
        let v = -(y - self.origin.1) / self.scale;
        Point3::from(self.axes.right * h + self.axes.up * v)
    }
}
