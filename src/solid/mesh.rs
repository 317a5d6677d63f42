//! Closed triangle meshes.

use super::Point3;

/// A closed, consistently oriented triangle mesh; triangles index `points`, counter-clockwise seen
/// from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh {
    /// Corners, each stored once, mm.
    pub points: Vec<Point3>,
    /// Triangles.
    pub triangles: Vec<[u32; 3]>,
}
