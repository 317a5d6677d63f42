//! Closed loops of lines and circular arcs in a plane, and the regions they bound.

use super::Point2;

/// One piece of a loop, from the end of the piece before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// A straight line to `to`.
    Line {
        /// Where it ends.
        to: Point2,
    },
    /// A circular arc to `to` round `centre`.
    Arc {
        /// Where it ends.
        to: Point2,
        /// The centre.
        centre: Point2,
        /// Counter-clockwise as seen against the plane's normal.
        ccw: bool,
    },
}

/// A closed loop; the last segment ends at `start`.
#[derive(Clone, Debug, PartialEq)]
pub struct Loop {
    /// Where the first segment begins.
    pub start: Point2,
    /// The segments in order.
    pub segments: Vec<Segment>,
}

/// A planar region: everything inside `outer` and outside every hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// The outer boundary.
    pub outer: Loop,
    /// Boundaries of the holes.
    pub holes: Vec<Loop>,
}
