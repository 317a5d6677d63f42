//! The outline of an adapter: a band of even width round the hull of its holes.

use super::sizing::{Sizing, Whose};
use crate::error::Result;
use crate::solid::{Loop, Point2, Vector2};

impl Sizing {
    /// The outline: a band of even width round the hull of all holes, slots at both their ends.
    pub(super) fn outline(&self) -> Result<Loop> {
        let corners = self.corners();
        Loop::hull(&corners.into_iter().map(|at| (at, self.radius())).collect::<Vec<_>>())
    }

    /// The holes and slots' ends that the outline turns about.
    pub fn corners(&self) -> Vec<Point2> {
        let half = Vector2::new(0.0, self.slot / 2.0);
        let ends = self.places(Whose::New).iter().flat_map(|&at| [at + half, at - half]);
        hull(self.places(Whose::Old).iter().copied().chain(ends).collect())
    }
}

/// The convex hull of some points, counter-clockwise (Andrew's monotone chain); two for points in one line.
fn hull(mut points: Vec<Point2>) -> Vec<Point2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup_by(|a, b| (*a - *b).norm() < 1e-6);
    let half = |points: &mut dyn Iterator<Item = Point2>| {
        let mut chain: Vec<Point2> = vec![];
        for p in points {
            while let [.., a, b] = chain.as_slice() {
                let (one, two) = (b - a, p - a);
                if one.x * two.y - one.y * two.x > 1e-6 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    if points.len() < 2 {
        return points;
    }
    let mut chain = half(&mut points.iter().copied());
    chain.extend(half(&mut points.iter().rev().copied()));
    chain
}
