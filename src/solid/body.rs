//! Solids built by features.

use super::{Loop, Mesh, Point3, Region, Vector3};
use crate::error::Result;

/// An axis-aligned box, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Least corner.
    pub least: Point3,
    /// Greatest corner.
    pub most: Point3,
}

impl Bounds {
    /// The smallest box that holds both.
    pub fn union(&self, other: &Bounds) -> Bounds {
        Bounds {
            least: self.least.inf(&other.least),
            most: self.most.sup(&other.most),
        }
    }

    /// Width, depth and height.
    pub fn size(&self) -> Vector3 {
        self.most - self.least
    }
}

/// A closed solid.
#[derive(Clone, Debug)]
pub struct Body {}

impl Body {
    /// The solid a closed profile in the (r, z) half-plane sweeps round the z axis. x of the
    /// profile is the radius and may touch but not cross 0.
    pub fn revolve(_profile: &Loop) -> Result<Body> {
        unimplemented!()
    }

    /// The right prism over a region of the xy plane from `z0` to `z1`.
    pub fn prism(_region: &Region, _z0: f64, _z1: f64) -> Result<Body> {
        unimplemented!()
    }

    /// The exact volume, mm³, from the boundary representation.
    pub fn volume(&self) -> f64 {
        unimplemented!()
    }

    /// The box it fits in.
    pub fn bounds(&self) -> Bounds {
        unimplemented!()
    }

    /// Moved by a displacement.
    pub fn moved(&self, _by: Vector3) -> Body {
        unimplemented!()
    }

    /// A closed mesh no further than `chord_tolerance` from the surface.
    pub fn mesh(&self, _chord_tolerance: f64) -> Result<Mesh> {
        unimplemented!()
    }
}
