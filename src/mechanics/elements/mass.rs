//! Masses that move with a rigid body.

use crate::solid::{Frame, Point3, Vector3};
use nalgebra::{Matrix3, Matrix6};
use serde::Serialize;

/// A body that swings, as a cylinder of even density; radius and length 0 for a point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Mass {
    /// What it is.
    pub name: &'static str,
    /// Its mass, g.
    pub mass_g: f64,
    /// Its centre of mass.
    pub centre: Point3,
    /// Direction of its axis, a unit vector.
    pub axis: Vector3,
    /// Its radius, mm.
    pub radius: f64,
    /// Its length, mm.
    pub length: f64,
}

impl Mass {
    /// The same in the coordinates that a frame stands in.
    pub fn placed(&self, frame: &Frame) -> Mass {
        Mass { centre: frame.point3(self.centre), axis: frame.direction(self.axis), ..self.clone() }
    }

    /// Rotary inertia about its centre, g·mm².
    fn inertia(&self) -> Matrix3<f64> {
        let (along, r2) = (self.axis * self.axis.transpose(), self.radius * self.radius);
        let across = self.length * self.length / 12.0 + r2 / 4.0;
        ((Matrix3::identity() - along) * across + along * (r2 / 2.0)) * self.mass_g
    }

    /// Its inertia against movements and turns of a body about a point, tonnes and millimetres.
    pub(super) fn about(&self, at: &Point3) -> Matrix6<f64> {
        let s = (self.centre - at).cross_matrix();
        let mut all = Matrix6::zeros();
        all.fixed_view_mut::<3, 3>(0, 0).copy_from(&(Matrix3::identity() * self.mass_g));
        all.fixed_view_mut::<3, 3>(0, 3).copy_from(&(s * -self.mass_g));
        all.fixed_view_mut::<3, 3>(3, 0).copy_from(&(s * self.mass_g));
        all.fixed_view_mut::<3, 3>(3, 3).copy_from(&(self.inertia() - s * s * self.mass_g));
        all * 1e-6
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mass_off_the_point_adds_its_distance_squared() {
        let disc = Mass {
            name: "disc",
            mass_g: 100.0,
            centre: Point3::new(0.0, 30.0, 0.0),
            axis: Vector3::y(),
            radius: 20.0,
            length: 0.0,
        };
        let all = disc.about(&Point3::origin()) * 1e6;
        // About its own axis r²/2; about a diameter r²/4, and 30² for the way off.
        assert!((all[(4, 4)] - 100.0 * 200.0).abs() < 1e-9);
        assert!((all[(3, 3)] - 100.0 * (100.0 + 900.0)).abs() < 1e-9);
        // Turning about x by ω moves its centre along z by 30·ω.
        assert!((all[(2, 3)] - 100.0 * 30.0).abs() < 1e-9 && (all - all.transpose()).norm() < 1e-9);
    }
}
