//! Exact boundary representations, their closed meshes, and what can be measured on both.

pub mod body;
pub mod mesh;
pub mod profile;

pub use body::{Body, Bounds};
pub use mesh::Mesh;
pub use profile::{Loop, Region};

/// A point in the plane, mm.
pub type Point2 = nalgebra::Point2<f64>;
/// A point in space, mm.
pub type Point3 = nalgebra::Point3<f64>;
/// A direction or displacement in space, mm.
pub type Vector3 = nalgebra::Vector3<f64>;
