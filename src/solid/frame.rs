//! Where something stands in space and which way it faces.

use super::{Point2, Point3, Vector3};
use crate::error::{Error, Result};

/// A right-handed set of axes of unit length. A loop drawn on it lies in its x-y plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Where (0, 0, 0) is.
    pub origin: Point3,
    /// Unit x axis.
    pub x: Vector3,
    /// Unit y axis.
    pub y: Vector3,
    /// Unit z axis: x × y.
    pub z: Vector3,
}

impl Frame {
    /// The world's own axes.
    pub fn world() -> Self {
        Self { origin: Point3::origin(), x: Vector3::x(), y: Vector3::y(), z: Vector3::z() }
    }

    /// Axes at `origin` with z along `z` and x as near to `x` as it can be. Refused where the two
    /// are parallel or not finite.
    pub fn new(origin: Point3, z: Vector3, x: Vector3) -> Result<Self> {
        let make = || {
            let z = clean(z)?;
            let x = clean(x - z * x.dot(&z))?;
            origin.coords.iter().all(|c| c.is_finite()).then(|| Self { origin, x, y: z.cross(&x), z })
        };
        make().ok_or_else(|| {
            Error::geometry(
                "A direction to draw along has no length or is not a number.",
                "Change the dimensions it follows from.",
            )
        })
    }

    /// The axes every surface along `z` is measured in, whatever it came from: x is the world's x
    /// where z is upright, else level. `z` must be of unit length.
    pub(crate) fn along(origin: Point3, z: Vector3) -> Self {
        let x = if z.x.abs() < 1e-9 && z.y.abs() < 1e-9 {
            Vector3::x()
        } else {
            Vector3::new(-z.y, z.x, 0.0).normalize()
        };
        let x = tidy(x);
        Self { origin, x, y: tidy(z.cross(&x)), z }
    }

    /// A plane parallel to the world's y-z plane at `x`, facing +x: its x axis is the world's y,
    /// its y axis the world's z.
    pub fn facing_x(x: f64) -> Self {
        Self { origin: Point3::new(x, 0.0, 0.0), x: Vector3::y(), y: Vector3::z(), z: Vector3::x() }
    }

    /// A plane parallel to the world's z-x plane at `y`, facing −y: its x axis is the world's x,
    /// its y axis the world's z.
    pub fn facing_minus_y(y: f64) -> Self {
        Self { origin: Point3::new(0.0, y, 0.0), x: Vector3::x(), y: Vector3::z(), z: -Vector3::y() }
    }

    /// A level plane at height `z`, facing up.
    pub fn level(z: f64) -> Self {
        Self { origin: Point3::new(0.0, 0.0, z), ..Self::world() }
    }

    /// The point of space at (`x`, `y`) of the x-y plane.
    pub fn point(&self, p: Point2) -> Point3 {
        self.origin + self.x * p.x + self.y * p.y
    }

    /// The point of space at `p` of these axes.
    pub fn point3(&self, p: Point3) -> Point3 {
        self.origin + self.x * p.x + self.y * p.y + self.z * p.z
    }

    /// The direction of space that is `v` in these axes.
    pub fn direction(&self, v: Vector3) -> Vector3 {
        self.x * v.x + self.y * v.y + self.z * v.z
    }

    /// Where the foot of `p` on the x-y plane lies.
    pub fn project(&self, p: Point3) -> Point2 {
        let d = p - self.origin;
        Point2::new(d.dot(&self.x), d.dot(&self.y))
    }

    /// How far `p` lies in front of the x-y plane; negative behind it.
    pub fn height(&self, p: Point3) -> f64 {
        (p - self.origin).dot(&self.z)
    }

    /// Moved by a displacement.
    pub fn moved(&self, by: Vector3) -> Self {
        Self { origin: self.origin + by, ..*self }
    }
}

/// A direction of unit length, without the noise that rounding leaves in a nought.
fn clean(v: Vector3) -> Option<Vector3> {
    let norm = v.norm();
    (norm.is_finite() && norm > 1e-9).then(|| tidy(v / norm))
}

/// Sets components that are nought but for rounding to nought.
pub(crate) fn tidy(v: Vector3) -> Vector3 {
    v.map(|c| if c.abs() < 1e-12 { 0.0 } else { c }).normalize()
}
