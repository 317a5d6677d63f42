//! Exact boundary representations, their closed meshes, and what can be measured on both.
//!
//! # The shape of this room
//!
//! A [`Body`] is a set of faces. Each face is a region of one surface (plane, cylinder, cone, torus)
//! drawn in that surface's own two parameters with straight lines and circular arcs. On a plane the
//! parameters are millimetres along two axes. On a round surface they are the angle round the axis
//! and the distance along it, so that every boundary is either a true circle (a level line) or a
//! straight generator (an upright line). Everything else follows from these two facts:
//!
//! - areas and volumes are closed integrals along lines and arcs, exact to rounding ([`Body::volume`]);
//! - edges are found by matching the boundary pieces of two faces, each exactly twice, and a body of
//!   which any piece has no partner is never handed out;
//! - joining and cutting bodies is drawing on faces in the plane ([`Body::join`], [`Body::cut`]);
//! - a mesh is a strip between shared angles on round faces and ear clipping on flat ones, over
//!   points that are each made once, so it is closed by construction ([`Body::mesh`]);
//! - STEP entities are the faces, edges and points as they stand.
//!
//! All profiles of the parts this program draws are of lines and arcs, square or coaxial to each
//! other. Where two faces would meet in any other curve (two pipes crossing, a round hole through a
//! slope), the body is refused with an error that says so. Nothing is approximated quietly.
//!
//! Two points nearer than [`EPSILON`] are the same point. No other tolerance lives here.

mod arrangement;
pub mod body;
pub mod features;
pub mod frame;
mod joining;
pub mod lumps;
pub mod marks;
pub mod measures;
mod meeting;
pub mod mesh;
pub mod piece;
pub mod polygon;
pub mod probe;
pub mod profile;
pub mod section;
pub mod shapes;
mod sheet;
pub mod surface;
pub mod sweep;
mod tessellate;
mod touching;
mod volume;

pub use body::{Body, Bounds};
pub use features::{Chamfer, Edging};
pub use frame::Frame;
pub use mesh::Mesh;
pub use profile::{Loop, Region, Segment};

/// A point in the plane, mm.
pub type Point2 = nalgebra::Point2<f64>;
/// A displacement in the plane, mm.
pub type Vector2 = nalgebra::Vector2<f64>;
/// A point in space, mm.
pub type Point3 = nalgebra::Point3<f64>;
/// A direction or displacement in space, mm.
pub type Vector3 = nalgebra::Vector3<f64>;

/// Two points nearer than this are the same point, mm. A thousandth of what a printer resolves, and
/// a thousand times what rounding does to lengths of a metre.
pub const EPSILON: f64 = 1e-6;
