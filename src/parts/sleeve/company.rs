//! The bearing and the shaft the sleeve works with, for pictures: in the sleeve's own coordinates
//! as it prints.

use super::sizing::Sizing;
use crate::catalog::bearings::Bearing;
use crate::error::Result;
use crate::solid::{Body, Loop, Point2};

/// Length of shaft shown behind the bearing, in bearing widths.
const SHAFT_BEHIND: f64 = 0.8;

/// Bearing rings and shaft, each with its name.
pub fn company(bearing: &Bearing, sizing: &Sizing) -> Result<Vec<(String, Body)>> {
    let place = Place {
        length: sizing.shape.length(),
        nose_down: sizing.shape.nose_down(),
    };
    let width = bearing.width;
    let mut bodies = vec![
        (
            "inner ring".to_string(),
            place.tube(bearing.bore, bearing.inner_shoulder, -width, 0.0)?,
        ),
        (
            "outer ring".to_string(),
            place.tube(bearing.outer_shoulder, bearing.outside, -width, 0.0)?,
        ),
    ];
    // The space between the rings, closed by shield or balls, a little behind the faces.
    let behind = 0.06 * width;
    bodies.push((
        "shield".to_string(),
        place.tube(
            bearing.inner_shoulder,
            bearing.outer_shoulder,
            -width + behind,
            -behind,
        )?,
    ));
    bodies.push(("shaft".to_string(), place.shaft(sizing, width)?));
    Ok(bodies)
}

/// Where heights over the nose face lie as the sleeve prints.
struct Place {
    length: f64,
    nose_down: bool,
}

impl Place {
    fn height(&self, over_nose: f64) -> f64 {
        if self.nose_down {
            over_nose
        } else {
            self.length - over_nose
        }
    }

    fn tube(&self, inner: f64, outer: f64, from: f64, to: f64) -> Result<Body> {
        let (a, b) = (self.height(from), self.height(to));
        let (low, high) = (a.min(b), a.max(b));
        Body::revolve(&Loop::polygon(&[
            Point2::new(inner / 2.0, low),
            Point2::new(outer / 2.0, low),
            Point2::new(outer / 2.0, high),
            Point2::new(inner / 2.0, high),
        ]))
    }

    /// The shaft from behind the bearing to its end, step by step.
    fn shaft(&self, sizing: &Sizing, width: f64) -> Result<Body> {
        let mut profile = vec![(0.0, -(1.0 + SHAFT_BEHIND) * width)];
        let mut height = -(1.0 + SHAFT_BEHIND) * width;
        let mut steps = sizing.steps.clone();
        if let Some(first) = steps.first_mut() {
            first.length += -height;
        }
        for step in &steps {
            profile.push((step.diameter, height));
            height += step.length;
            profile.push((step.diameter, height));
        }
        profile.push((0.0, height));
        let mut points: Vec<Point2> = profile
            .into_iter()
            .map(|(d, z)| Point2::new(d / 2.0, self.height(z)))
            .collect();
        points.dedup_by(|a, b| (*a - *b).norm() < 1e-9);
        if !self.nose_down {
            points.reverse();
        }
        Body::revolve(&Loop::polygon(&points))
    }
}
