//! The room openings must stay in: a round hole, an obround and a rectangle are one shape, a rectangle whose
//! corners are rounded by none, some or all of half its height.

use crate::solid::Point2;
use nalgebra::Vector2;

/// The room openings must stay in: a rectangle about the origin with rounded corners, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Half the width (x).
    pub half_width: f64,
    /// Half the height (y).
    pub half_height: f64,
    /// Corner radius; half the height (or width) makes an obround, both make a circle.
    pub corner: f64,
}

impl Room {
    /// A circular room.
    #[cfg(test)]
    pub fn circle(radius: f64) -> Self {
        Self { half_width: radius, half_height: radius, corner: radius }
    }

    /// The room with its wall moved inwards (or outwards, if negative) by `by`.
    pub fn shrunk(&self, by: f64) -> Self {
        Self {
            half_width: self.half_width - by,
            half_height: self.half_height - by,
            corner: (self.corner - by).max(0.0),
        }
    }

    /// Distance from the wall to a point inside, negative outside, and the direction in which it
    /// grows.
    pub fn depth(&self, point: Point2) -> (f64, Vector2<f64>) {
        let away = Vector2::new(sign(point.x), sign(point.y));
        let past = Vector2::new(
            point.x.abs() - self.half_width + self.corner,
            point.y.abs() - self.half_height + self.corner,
        );
        let (distance, outward) = if past.x > 0.0 && past.y > 0.0 {
            let length = past.norm();
            (length, past / length)
        } else if past.x > past.y {
            (past.x, Vector2::x())
        } else {
            (past.y, Vector2::y())
        };
        (self.corner - distance, -outward.component_mul(&away))
    }
}

pub(super) fn sign(value: f64) -> f64 {
    if value < 0.0 { -1.0 } else { 1.0 }
}
