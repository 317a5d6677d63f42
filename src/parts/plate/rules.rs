//! The rules of a packing, each one distance that must not fall below one number.

use super::room::{Room, sign};
use crate::solid::Point2;
use nalgebra::Vector2;

/// Something a rule holds at a distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Thing {
    Wall,
    Line(usize),
    Opening(usize),
    Post(usize),
}

impl Thing {
    pub fn opening(self, count: usize) -> Option<usize> {
        match self {
            Thing::Opening(i) | Thing::Post(i) if i < count => Some(i),
            _ => None,
        }
    }
}

/// A distance that must not be less than `need`; moving `one` along `direction` makes it grow.
pub(super) struct Rule {
    pub one: Thing,
    pub other: Thing,
    pub have: f64,
    pub need: f64,
    pub direction: Vector2<f64>,
}

impl Rule {
    pub fn short(&self) -> f64 {
        self.need - self.have
    }

    pub fn apart(one: Thing, at: Point2, other: Thing, from: Point2, need: f64) -> Self {
        let between = at - from;
        let have = between.norm();
        let direction = if have > 1e-9 { between / have } else { Vector2::x() };
        Self { one, other, have, need, direction }
    }

    pub fn wall(room: &Room, one: Thing, at: Point2, need: f64) -> Self {
        let (have, direction) = room.depth(at);
        // A disc wider than the corner's rounding needs only the straight walls; measured from a
        // room shrunk by the disc, the corner is sharp.
        let (have, direction) = if need > room.corner && have < need {
            let (inside, direction) = room.shrunk(need).depth(at);
            (inside + need, direction)
        } else {
            (have, direction)
        };
        Self { one, other: Thing::Wall, have, need, direction }
    }

    /// No further from the wall than `most`.
    pub fn near_wall(room: &Room, one: Thing, at: Point2, most: f64) -> Self {
        let (depth, inwards) = room.depth(at);
        Self { one, other: Thing::Wall, have: -depth, need: -most, direction: -inwards }
    }

    pub fn beside(one: Thing, at: Point2, k: usize, height: f64, need: f64) -> Self {
        let above = at.y - height;
        Self {
            one,
            other: Thing::Line(k),
            have: above.abs(),
            need,
            direction: Vector2::new(0.0, sign(above)),
        }
    }
}
