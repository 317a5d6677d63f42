//! The pieces a sleeve is printed in: one, or a stack of tubes where it is taller than the printer.
//!
//! The cuts are level and lie where the wall is a plain tube, so each piece stands on the full wall of
//! the next; shaft or housing keep them in line.

use super::shape::Shape;
use crate::design::{Piece, Size};
use crate::error::Result;
use crate::solid::{Body, Loop, Point2, Vector3};

/// Height left free over a piece, mm (common practice).
const HEADROOM: f64 = 2.0;
/// How far a cut keeps off every corner of the profile, mm (common practice).
const OFF_CORNERS: f64 = 3.0;

/// One piece of the stack: the corners of its profile as it prints, and the height of its foot in the
/// whole sleeve.
#[derive(Clone, Debug, PartialEq)]
pub struct Tube {
    /// The piece's suffix.
    pub suffix: String,
    /// Height of its foot over the foot of the whole, mm.
    pub foot: f64,
    /// The closed profile, counter-clockwise, its foot at 0.
    pub corners: Vec<Point2>,
}

impl Tube {
    /// Height of the piece, mm.
    pub fn height(&self) -> f64 {
        self.corners.iter().map(|corner| corner.y).fold(0.0, f64::max)
    }

    /// The printed piece, in its place over the first.
    pub fn piece(&self, chord_tolerance: f64) -> Result<Piece> {
        let body = Body::revolve(&Loop::polygon(&self.corners))?;
        let piece = Piece::new(&self.suffix, body, chord_tolerance)?;
        Ok(if self.suffix.is_empty() { piece } else { piece.mounted(Vector3::z() * self.foot) })
    }
}

/// The pieces of a sleeve in a printer `height` mm high, from the bed up; one where it fits, or where no
/// place for a cut is found.
pub fn tubes(shape: &Shape, height: f64) -> Vec<Tube> {
    let corners = shape.corners();
    let whole = || vec![Tube { suffix: String::new(), foot: 0.0, corners: corners.clone() }];
    let room = height - HEADROOM;
    if shape.length() <= height || room <= 4.0 * OFF_CORNERS {
        return whole();
    }
    let Some(cuts) = cuts(&corners, shape.length(), room) else {
        return whole();
    };
    let levels: Vec<f64> = [0.0].into_iter().chain(cuts).chain([shape.length()]).collect();
    let last = levels.len() - 2;
    let (first_name, last_name) = if shape.nose_down() { ("nose", "drive") } else { ("drive", "nose") };
    levels
        .windows(2)
        .enumerate()
        .map(|(at, level)| {
            let suffix = match at {
                0 => first_name.to_string(),
                at if at == last => last_name.to_string(),
                at => format!("tube-{at}"),
            };
            let mut corners = clipped(&corners, level[0], 1.0);
            corners = clipped(&corners, level[1], -1.0);
            corners.iter_mut().for_each(|corner| corner.y -= level[0]);
            Tube { suffix, foot: level[0], corners }
        })
        .collect()
}

/// Levels at which to cut, as high as the room allows.
fn cuts(corners: &[Point2], length: f64, room: f64) -> Option<Vec<f64>> {
    let plain = |level: f64| {
        let crossings = corners
            .iter()
            .zip(corners.iter().cycle().skip(1))
            .filter(|(a, b)| (a.y - level) * (b.y - level) < 0.0)
            .count();
        crossings == 2 && corners.iter().all(|corner| (corner.y - level).abs() >= OFF_CORNERS)
    };
    let mut cuts = Vec::new();
    let mut foot = 0.0;
    while length - foot > room {
        // As high as the room allows, and down from there to where the wall is plain.
        let level = (0..).map(|step| foot + room - f64::from(step)).take_while(|z| *z > foot + OFF_CORNERS);
        foot = level.into_iter().find(|level| plain(*level))?;
        cuts.push(foot);
    }
    Some(cuts)
}

/// The part of a polygon over a level (`side` 1) or under it (−1): Sutherland and Hodgman's clipping.
fn clipped(corners: &[Point2], level: f64, side: f64) -> Vec<Point2> {
    let inside = |p: &Point2| side * (p.y - level) >= -1e-12;
    let mut kept: Vec<Point2> = Vec::new();
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        if inside(a) {
            kept.push(*a);
        }
        if inside(a) != inside(b) {
            let share = (level - a.y) / (b.y - a.y);
            kept.push(Point2::new(a.x + (b.x - a.x) * share, level));
        }
    }
    kept.dedup_by(|a, b| (*a - *b).norm() < 1e-9);
    if kept.len() > 1 && (kept[0] - kept[kept.len() - 1]).norm() < 1e-9 {
        kept.pop();
    }
    kept
}

/// The sizes of the whole sleeve as they can be seen on its pieces: each on the one it lies on.
pub fn shown_on_pieces(sizes: &mut [Size], tubes: &[Tube]) {
    if tubes.len() < 2 {
        return;
    }
    for size in sizes {
        size.shown = std::mem::take(&mut size.shown)
            .into_iter()
            .filter_map(|mut shown| {
                // What is turned stays as it is.
                if !shown.piece.is_empty() {
                    return Some(shown);
                }
                let (low, high) = shown.extent.heights();
                let on = |tube: &&Tube| low >= tube.foot - 1e-9 && high <= tube.foot + tube.height() + 1e-9;
                let tube = tubes.iter().find(on)?;
                shown.piece = tube.suffix.clone();
                shown.extent = shown.extent.moved(-Vector3::z() * tube.foot);
                Some(shown)
            })
            .collect();
        // What cannot be measured on any one piece is not asked to be.
        if size.shown.is_empty() {
            size.band = None;
        }
    }
}
