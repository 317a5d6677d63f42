//! What of the cut bodies is taken away: everything in front of one or two upright planes.

use super::camera::Camera;
use super::{Cut, Role, Scene};
use crate::solid::{Point3, Vector3};
use std::f64::consts::FRAC_PI_4;

/// The planes; a point is taken away where it lies in front of all of them. Each looks towards the
/// viewer, so that along every line of sight what is taken away is all that is nearer than one place.
#[derive(Default)]
pub(super) struct Cutting {
    pub planes: Vec<Plane>,
}

/// An upright plane.
pub(super) struct Plane {
    /// Towards what is taken away.
    pub normal: Vector3,
    /// A point of it.
    pub on: Point3,
    /// Its distance towards the viewer at the picture's corner, and its growth a pixel right and down.
    depth: [f64; 3],
}

impl Cutting {
    pub fn of(scene: &Scene, camera: &Camera) -> Self {
        let toward = camera.axes.toward;
        let Some(level) = Vector3::new(toward.x, toward.y, 0.0).try_normalize(1e-9) else {
            return Self::default();
        };
        let turns: &[f64] = match scene.cut {
            Cut::Nothing => &[],
            Cut::Quarter => &[FRAC_PI_4, -FRAC_PI_4],
        };
        let on = scene.axis();
        let plane = |&turn: &f64| {
            let normal = nalgebra::Rotation3::from_axis_angle(&Vector3::z_axis(), turn) * level;
            let at = |x: f64, y: f64| (on - camera.foot(x, y)).dot(&normal) / normal.dot(&toward);
            let corner = at(0.0, 0.0);
            Plane { normal, on, depth: [corner, at(1.0, 0.0) - corner, at(0.0, 1.0) - corner] }
        };
        Self { planes: turns.iter().map(plane).collect() }
    }

    /// The distance towards the viewer beyond which everything is taken away, and the plane that ends
    /// it; none where nothing is cut.
    pub fn far(&self, x: f64, y: f64) -> Option<(f64, usize)> {
        let depths = self.planes.iter().map(|plane| plane.depth[0] + plane.depth[1] * x + plane.depth[2] * y);
        depths.zip(0..).max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Whether a point is taken away: in front of every plane, by more than `room` (mm).
    pub fn removes(&self, p: Point3, room: f64) -> bool {
        !self.planes.is_empty() && self.planes.iter().all(|plane| (p - plane.on).dot(&plane.normal) > room)
    }
}

impl Scene<'_> {
    /// The upright axis the planes go through: the middle of the printed parts' box, or of all.
    pub(super) fn axis(&self) -> Point3 {
        let printed = self.points(Some(Role::Part)).next().is_some();
        let role = printed.then_some(Role::Part);
        let (mut least, mut most) = (Point3::from([f64::MAX; 3]), Point3::from([f64::MIN; 3]));
        for p in self.points(role) {
            (least, most) = (least.inf(&p), most.sup(&p));
        }
        nalgebra::center(&least, &most)
    }
}
