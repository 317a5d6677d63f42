//! The solids of a receiver as they print.

use super::drawing_off::{Bearer, RELIEF, RIM, Settled, Tube};
use crate::design::Piece;
use crate::error::Result;
use crate::solid::{Body, Loop, Point2, Region};

/// The tube.
pub fn pieces(settled: &Settled, chord_tolerance: f64) -> Result<Vec<Piece>> {
    Ok(vec![Piece::new("", tube(&settled.tube)?, chord_tolerance)?])
}

/// What bears on bearing or spindle, turned from steel.
pub fn turned(settled: &Settled, chord_tolerance: f64) -> Result<Vec<Piece>> {
    let piece = |bearer: &Bearer| {
        let making = vec![
            "Both sides flat and parallel within 0.05 mm; edges free of burr.".into(),
            "Diameters within 0.1 mm.".into(),
        ];
        let purpose = match bearer.what {
            "drift" => "Drift on the spindle's far end: spreads the nut's force and keeps the thread free.",
            _ => "Step washer behind the bearing, which the rod draws it by.",
        };
        let piece = Piece::new(bearer.what.replace(' ', "-"), disc(bearer)?, chord_tolerance)?;
        Ok(piece.turned_of("steel, S235 or better (EN 10025-2), turned", purpose, making))
    };
    settled.bearers.iter().map(piece).collect()
}

/// A tube with both rims chamfered and a window on the side of the x axis.
pub fn tube(tube: &Tube) -> Result<Body> {
    let (inside, outside, length) = (tube.bore / 2.0, tube.outside / 2.0, tube.length);
    let corners = [
        (inside + RIM, 0.0),
        (outside - RIM, 0.0),
        (outside, RIM),
        (outside, length - RIM),
        (outside - RIM, length),
        (inside + RIM, length),
        (inside, length - RIM),
        (inside, RIM),
    ]
    .map(|(x, y)| Point2::new(x, y));
    let whole = Body::revolve(&Loop::polygon(&corners))?;
    let (width, height) = tube.window;
    let through = Loop::rectangle(Point2::new(1.5 * outside, 0.0), 3.0 * outside, width)?;
    let (low, high) = window_heights(tube, height);
    whole.cut(&Body::prism(&Region::new(through, vec![])?, low, high)?)
}

/// From where to where the window reaches over the foot, mm.
pub fn window_heights(tube: &Tube, height: f64) -> (f64, f64) {
    let middle = tube.length / 2.0;
    (middle - height / 2.0, middle + height / 2.0)
}

/// A disc with a hole for the rod and a spigot that centres it.
fn disc(bearer: &Bearer) -> Result<Body> {
    let (hole, outside, thickness) = (bearer.bore / 2.0, bearer.outside / 2.0, bearer.thickness);
    let (spigot, rise) = (bearer.spigot.0 / 2.0, bearer.spigot.1);
    let mut corners = vec![(hole, 0.0), (outside, 0.0), (outside, thickness)];
    let relief = bearer.relief / 2.0;
    let centres = bearer.centres();
    let inward = if centres { spigot } else { hole };
    let mut face = thickness;
    if relief > inward {
        face -= RELIEF;
        corners.extend([(relief, thickness), (relief, face)]);
    }
    corners.push((inward, face));
    if centres {
        corners.extend([(spigot, thickness + rise), (hole, thickness + rise)]);
    }
    let points: Vec<Point2> = corners.into_iter().map(|(x, y)| Point2::new(x, y)).collect();
    Body::revolve(&Loop::polygon(&points))
}
