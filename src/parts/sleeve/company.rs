//! The bearing and the shaft the sleeve works with, for pictures: in the sleeve's own coordinates
//! as it prints.

use super::sizing::Sizing;
use super::spec::Ring;
use crate::catalog::bearings::{Bearing, Tapered};
use crate::design::Mating;
use crate::error::Result;
use crate::solid::{Body, Loop, Point2};

/// Length of shaft shown behind the bearing, in bearing widths.
const SHAFT_BEHIND: f64 = 0.8;

/// Bearing rings and shaft: the ring that is tight is pressed on, all else is kept clear of.
pub fn mating(bearing: &Bearing, sizing: &Sizing, ring: Ring) -> Result<Vec<Mating>> {
    let place = Place { length: sizing.shape.length(), nose_down: sizing.shape.nose_down() };
    let mut bodies = match &bearing.tapered {
        Some(tapered) => cone_and_cup(bearing, tapered, &place, ring)?,
        None => rings(bearing, &place, ring)?,
    };
    bodies.push(Mating::clear("shaft", place.shaft(sizing, bearing.width)?).left_whole());
    Ok(bodies)
}

/// A ring that is pressed, or kept clear of.
fn pressed(name: &str, body: Body, is_pressed: bool) -> Mating {
    match is_pressed {
        true => Mating::touching(name, body),
        false => Mating::clear(name, body),
    }
}

/// Two straight rings, and between them shield or balls, a little behind the faces.
fn rings(bearing: &Bearing, place: &Place, ring: Ring) -> Result<Vec<Mating>> {
    let width = bearing.width;
    let behind = 0.06 * width;
    let (inner, outer) = (bearing.inner_shoulder, bearing.outer_shoulder);
    Ok(vec![
        pressed("inner ring", place.tube(bearing.bore, inner, -width, 0.0)?, ring.presses_inner()),
        pressed("outer ring", place.tube(outer, bearing.outside, -width, 0.0)?, ring.presses_outer()),
        Mating::clear("shield", place.tube(inner, outer, -width + behind, -behind)?),
    ])
}

/// The rings of a tapered roller bearing, the one that is pressed with its back face at the nose.
/// How steep the raceways are is drawn by eye: nothing is pressed there.
fn cone_and_cup(bearing: &Bearing, tapered: &Tapered, place: &Place, ring: Ring) -> Result<Vec<Mating>> {
    let (assembled, cone, cup) = (tapered.assembled_width, tapered.cone_width, tapered.cup_width);
    // Heights from the cone's back face down; the cup's back face is what is pressed for a cup.
    let height = |down: f64| match ring {
        Ring::Outer => down - assembled,
        _ => -down,
    };
    let turned = |at: [(f64, f64); 4]| place.turned(&at.map(|(diameter, down)| (diameter, height(down))));
    let rib = tapered.cone_back_shoulder.unwrap_or(bearing.inner_shoulder);
    let middle = (rib + bearing.outer_shoulder) / 2.0;
    let nose = (bearing.bore + rib) / 2.0;
    let cone = turned([(bearing.bore, 0.0), (rib, 0.0), (nose, cone), (bearing.bore, cone)])?;
    let cup = turned([
        (bearing.outer_shoulder.max(middle), assembled - cup),
        (bearing.outside, assembled - cup),
        (bearing.outside, assembled),
        (middle.min(bearing.outer_shoulder), assembled),
    ])?;
    Ok(vec![pressed("cone", cone, ring.presses_inner()), pressed("cup", cup, ring.presses_outer())])
}

/// Where heights over the nose face lie as the sleeve prints.
struct Place {
    length: f64,
    nose_down: bool,
}

impl Place {
    fn height(&self, over_nose: f64) -> f64 {
        if self.nose_down { over_nose } else { self.length - over_nose }
    }

    fn tube(&self, inner: f64, outer: f64, from: f64, to: f64) -> Result<Body> {
        self.turned(&[(inner, from), (outer, from), (outer, to), (inner, to)])
    }

    /// A ring by its corners: diameter and height over the nose face.
    fn turned(&self, corners: &[(f64, f64)]) -> Result<Body> {
        let at = |&(diameter, over): &(f64, f64)| Point2::new(diameter / 2.0, self.height(over));
        let mut points: Vec<Point2> = corners.iter().map(at).collect();
        let turns = |points: &[Point2]| -> f64 {
            let next = points.iter().cycle().skip(1);
            points.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum()
        };
        if turns(&points) < 0.0 {
            points.reverse();
        }
        Body::revolve(&Loop::polygon(&points))
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
        let mut points: Vec<Point2> =
            profile.into_iter().map(|(d, z)| Point2::new(d / 2.0, self.height(z))).collect();
        points.dedup_by(|a, b| (*a - *b).norm() < 1e-9);
        if !self.nose_down {
            points.reverse();
        }
        Body::revolve(&Loop::polygon(&points))
    }
}
