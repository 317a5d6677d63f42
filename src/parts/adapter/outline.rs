//! The outline of an adapter: a band of even width round the hull of its holes.

use super::sizing::{Sizing, Whose};
use crate::error::{Error, Result};
use crate::solid::piece::Piece;
use crate::solid::{Loop, Point2, Vector2};
use std::f64::consts::PI;

impl Sizing {
    /// The outline: a band of even width round the hull of all holes, slots at both their ends.
    pub(super) fn outline(&self) -> Result<Loop> {
        match self.corners().as_slice() {
            [] => Err(Error::internal("An adapter has no holes.")),
            [one] => Loop::circle(*one, self.radius()),
            [a, b] => Loop::obround(*a, *b, 2.0 * self.radius()),
            corners => Ok(round_hull(corners, self.radius())),
        }
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

/// A hull moved outwards by a radius: straight sides and an arc at each corner.
fn round_hull(corners: &[Point2], radius: f64) -> Loop {
    let count = corners.len();
    let out = |a: Point2, b: Point2| {
        let run = (b - a).normalize();
        Vector2::new(run.y, -run.x)
    };
    let mut pieces: Vec<Piece> = vec![];
    for k in 0..count {
        let (before, here, after) = (corners[(k + count - 1) % count], corners[k], corners[(k + 1) % count]);
        let (from, to) = (out(before, here), out(here, after));
        let start = from.y.atan2(from.x);
        let sweep = (to.y.atan2(to.x) - start).rem_euclid(2.0 * PI);
        let arc = Piece::sweep(here, radius, start, sweep);
        if let Some(last) = pieces.last().copied() {
            pieces.push(Piece::line(last.to, arc.from));
        }
        pieces.push(arc);
    }
    if let (Some(first), Some(last)) = (pieces.first().copied(), pieces.last().copied()) {
        pieces.push(Piece::line(last.to, first.from));
    }
    Loop::from_pieces(&pieces)
}
