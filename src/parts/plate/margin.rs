//! A place for a tie on the margin, outside: a pair of slots with a bar between them.

use super::anchors::{Anchor, Bar};
use super::room::Room;
use crate::solid::{Point2, Vector2};
use std::f64::consts::TAU;

/// Wall kept round the slots, mm.
pub(super) const SLOT_WALL: f64 = 2.0;

/// A pair of slots through the margin with a channel between them on the side of the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarginAnchor {
    /// The middle of the bar between the slots.
    pub at: Point2,
    /// Away from the hole; the cable runs this way.
    pub outwards: Vector2,
    /// Length of the bar between the slots, mm.
    pub bar: f64,
    /// Width of a slot, along the bar, mm.
    pub slot: f64,
    /// Length of a slot, across the bar: the tie's width and play, mm.
    pub length: f64,
    /// Depth of the channel, mm.
    pub channel: f64,
}

impl MarginAnchor {
    pub fn of(shape: &Anchor, cable: f64) -> Self {
        let tie = shape.tie;
        Self {
            at: Point2::origin(),
            outwards: Vector2::x(),
            bar: (0.9 * cable).max(5.0),
            slot: tie.thickness + 0.8,
            length: tie.width + 0.6,
            channel: tie.thickness + 0.4,
        }
    }

    /// Half of what it takes up along the edge of the hole.
    pub fn half_along(&self) -> f64 {
        self.bar / 2.0 + self.slot + SLOT_WALL
    }

    /// Half of what it takes up across the margin.
    pub fn half_across(&self) -> f64 {
        self.length / 2.0 + SLOT_WALL
    }

    pub fn corners(&self) -> [Point2; 4] {
        let along = self.along() * self.half_along();
        let across = self.outwards * self.half_across();
        [
            self.at + along + across,
            self.at + along - across,
            self.at - along + across,
            self.at - along - across,
        ]
    }

    /// The bar, as far as its strength goes.
    pub fn as_bar(&self) -> Bar {
        Bar { bar: self.bar, length: self.length, channel: self.channel }
    }

    fn along(&self) -> Vector2 {
        Vector2::new(-self.outwards.y, self.outwards.x)
    }

    /// How far a point lies from what it takes up, mm; 0 inside.
    pub fn distance(&self, point: Point2) -> f64 {
        let from = point - self.at;
        let x = from.dot(&self.along()).abs() - self.half_along();
        let y = from.dot(&self.outwards).abs() - self.half_across();
        x.max(0.0).hypot(y.max(0.0))
    }

    /// Whether two anchors leave each other alone: two rectangles do when along a side of one of
    /// them their shadows do not meet.
    pub fn clear_of(&self, other: &MarginAnchor) -> bool {
        let shadow = |anchor: &MarginAnchor, axis: &Vector2| {
            let reach = anchor.corners().map(|corner| corner.coords.dot(axis));
            (
                reach.iter().copied().fold(f64::INFINITY, f64::min),
                reach.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        [self.outwards, self.along(), other.outwards, other.along()].iter().any(|axis| {
            let ((a, b), (c, d)) = (shadow(self, axis), shadow(other, axis));
            b <= c || d <= a
        })
    }
}

/// Places along a contour moved outwards by `offset`, with the direction away from the hole.
pub fn margin_places(hole: &Room, offset: f64) -> impl Iterator<Item = (Point2, Vector2)> {
    let room = hole.shrunk(-offset);
    let (w, h, c) = (room.half_width, room.half_height, room.corner);
    let step = 1.5;
    let mut places = vec![];
    let along = |length: f64| ((2.0 * length / step).ceil() as usize).max(1);
    for (length, make) in [
        (
            w - c,
            Box::new(move |s: f64| (Point2::new(s, h), Vector2::y()))
                as Box<dyn Fn(f64) -> (Point2, Vector2)>,
        ),
        (w - c, Box::new(move |s: f64| (Point2::new(s, -h), -Vector2::y()))),
        (h - c, Box::new(move |s: f64| (Point2::new(w, s), Vector2::x()))),
        (h - c, Box::new(move |s: f64| (Point2::new(-w, s), -Vector2::x()))),
    ] {
        if length > 0.0 {
            let count = along(length);
            places.extend((0..=count).map(|k| make((2.0 * k as f64 / count as f64 - 1.0) * length)));
        }
    }
    let turns = ((c * TAU / step).ceil() as usize).max(8);
    for k in 0..turns {
        let angle = k as f64 / turns as f64 * TAU;
        let away = Vector2::new(angle.cos(), angle.sin());
        let corner = Point2::new((w - c).copysign(away.x), (h - c).copysign(away.y));
        places.push((corner + away * c, away));
    }
    places.into_iter()
}
