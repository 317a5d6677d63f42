//! Outlines in the plane: contours cut into pieces by parting lines, with the tongues and notches
//! of a parted edge.
//!
//! A contour is a rectangle with rounded corners about the origin, see [`Room`]. A parting line is
//! level; a band between two of them (or one, or none) is one piece of the plate.

use super::room::Room;
use crate::solid::piece::Piece;
use crate::solid::{EPSILON, Loop, Point2};
use std::f64::consts::{FRAC_PI_2, PI};

/// The part of the plane between two parting edges; `None` is no edge on that side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Height of the lower edge.
    pub low: Option<f64>,
    /// Height of the upper edge.
    pub high: Option<f64>,
}

impl Band {
    /// The whole plane.
    pub const WHOLE: Band = Band { low: None, high: None };

    /// Whether a point lies between its edges.
    pub fn holds(&self, at: Point2) -> bool {
        self.low.is_none_or(|low| at.y > low) && self.high.is_none_or(|high| at.y < high)
    }
}

/// Something that a parted edge goes round, at `at` along the edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Feature {
    /// Half an opening of that radius.
    Notch {
        /// Where its centre lies.
        at: f64,
        /// Its radius.
        radius: f64,
    },
    /// A rectangular tongue that stands out of the piece, or (negative height) a groove in it.
    Tongue {
        /// Where its middle lies.
        at: f64,
        /// Its width.
        width: f64,
        /// How far it stands out.
        height: f64,
    },
}

impl Feature {
    /// Where it begins and ends along the edge.
    pub fn span(&self) -> (f64, f64) {
        match *self {
            Feature::Notch { at, radius } => (at - radius, at + radius),
            Feature::Tongue { at, width, .. } => (at - width / 2.0, at + width / 2.0),
        }
    }
}

/// Half the width of a contour at height `y`, if it reaches there.
pub fn half_width_at(room: &Room, y: f64) -> Option<f64> {
    let over = y.abs() - (room.half_height - room.corner);
    if over <= 0.0 {
        return Some(room.half_width);
    }
    let left = room.corner * room.corner - over * over;
    (left >= 0.0).then(|| room.half_width - room.corner + left.sqrt())
}

/// The right side of a contour within a band, upwards.
pub fn right_side(room: &Room, band: Band) -> Vec<Piece> {
    let (w, h, c) = (room.half_width, room.half_height, room.corner);
    let low = band.low.unwrap_or(-h - 1.0);
    let high = band.high.unwrap_or(h + 1.0);
    let mut pieces = vec![];
    let mut line = |from: Point2, to: Point2| {
        if (to - from).norm() > EPSILON {
            pieces.push(Piece::line(from, to));
        }
    };
    if low <= -h {
        line(Point2::new(0.0, -h), Point2::new(w - c, -h));
    }
    if c > EPSILON {
        pieces.extend(corner(Point2::new(w - c, c - h), c, -FRAC_PI_2, (low, high)));
    }
    let (from, to) = ((c - h).max(low), (h - c).min(high));
    if to - from > EPSILON {
        pieces.push(Piece::line(Point2::new(w, from), Point2::new(w, to)));
    }
    if c > EPSILON {
        pieces.extend(corner(Point2::new(w - c, h - c), c, 0.0, (low, high)));
    }
    if high >= h && w - c > EPSILON {
        pieces.push(Piece::line(Point2::new(w - c, h), Point2::new(0.0, h)));
    }
    pieces
}

/// The part between two heights of the quarter circle that begins at the angle `start`.
fn corner(centre: Point2, radius: f64, start: f64, (low, high): (f64, f64)) -> Option<Piece> {
    let angle = |y: f64| ((y - centre.y) / radius).clamp(-1.0, 1.0).asin();
    let from = angle(low).clamp(start, start + FRAC_PI_2);
    let to = angle(high).clamp(start, start + FRAC_PI_2);
    ((to - from) * radius > EPSILON).then(|| Piece::sweep(centre, radius, from, to - from))
}

/// The left side of a contour within a band, downwards.
pub fn left_side(room: &Room, band: Band) -> Vec<Piece> {
    right_side(room, band).iter().rev().map(mirrored).collect()
}

/// A piece seen in the y axis, run backwards.
fn mirrored(piece: &Piece) -> Piece {
    let flip = |p: Point2| Point2::new(-p.x, p.y);
    match piece.bend {
        None => Piece::line(flip(piece.to), flip(piece.from)),
        Some(b) => Piece::sweep(flip(b.centre), b.radius, PI - b.start - b.sweep, b.sweep),
    }
}

/// The whole contour, counter-clockwise.
pub fn contour(room: &Room) -> Loop {
    let mut pieces = right_side(room, Band::WHOLE);
    pieces.extend(left_side(room, Band::WHOLE));
    closed(pieces)
}

/// An edge along x at height `y` from `from` to `to`, going round features given by their x.
/// The piece it bounds lies to the left of the run.
pub fn edge(y: f64, from: f64, to: f64, features: &[Feature]) -> Vec<Piece> {
    let way = if to > from { 1.0 } else { -1.0 };
    let mut ordered = features.to_vec();
    ordered.sort_by(|a, b| (a.span().0 * way).total_cmp(&(b.span().0 * way)));
    // Along the run, and to its left.
    let point = |x: f64, left: f64| Point2::new(x, y + way * left);
    let mut pieces = vec![];
    let mut at = from;
    for feature in &ordered {
        let (a, b) = feature.span();
        let (near, far) = if way > 0.0 { (a, b) } else { (b, a) };
        if (near - at).abs() > EPSILON {
            pieces.push(Piece::line(point(at, 0.0), point(near, 0.0)));
        }
        match *feature {
            Feature::Notch { at, radius } => {
                let start = if way > 0.0 { PI } else { 0.0 };
                pieces.push(Piece::sweep(Point2::new(at, y), radius, start, -PI));
            }
            Feature::Tongue { height, .. } => {
                let corners = [point(near, 0.0), point(near, -height), point(far, -height), point(far, 0.0)];
                pieces.extend(corners.windows(2).map(|pair| Piece::line(pair[0], pair[1])));
            }
        }
        at = far;
    }
    if (to - at).abs() > EPSILON {
        pieces.push(Piece::line(point(at, 0.0), point(to, 0.0)));
    }
    pieces
}

/// Pieces that follow each other, as a loop: straight runs made one, ends made to meet exactly.
pub fn closed(pieces: Vec<Piece>) -> Loop {
    let mut joined: Vec<Piece> = vec![];
    for piece in pieces {
        match joined.last_mut().filter(|last| straight_on(last, &piece)) {
            Some(last) => last.to = piece.to,
            None => joined.push(piece),
        }
    }
    if joined.len() > 1 && straight_on(&joined[joined.len() - 1], &joined[0]) {
        joined[0].from = joined[joined.len() - 1].from;
        joined.pop();
    }
    let count = joined.len();
    for i in 0..count {
        joined[i].from = joined[(i + count - 1) % count].to;
    }
    Loop::from_pieces(&joined)
}

fn straight_on(one: &Piece, next: &Piece) -> bool {
    let (a, b) = (one.to - one.from, next.to - next.from);
    one.bend.is_none()
        && next.bend.is_none()
        && (a.x * b.y - a.y * b.x).abs() < 1e-9 * a.norm() * b.norm()
        && a.dot(&b) > 0.0
}

/// The outline of a band of a contour, with what its upper and lower edges go round. Empty bands
/// give `None`.
pub fn band_outline(room: &Room, band: Band, high: &[Feature], low: &[Feature]) -> Option<Loop> {
    if band == Band::WHOLE {
        return Some(contour(room));
    }
    let mut pieces = right_side(room, band);
    if let Some(y) = band.high {
        let half = half_width_at(room, y)?;
        pieces.extend(edge(y, half, -half, high));
    }
    pieces.extend(left_side(room, band));
    if let Some(y) = band.low {
        let half = half_width_at(room, y)?;
        pieces.extend(edge(y, -half, half, low));
    }
    Some(closed(pieces))
}

/// What of a band lies between two contours: one ring or horseshoe, or two ends where both edges
/// cut it. `high` and `low` are what the edges go round outside the inner contour.
pub fn between(
    outer: &Room,
    inner: &Room,
    band: Band,
    high: &[Feature],
    low: &[Feature],
) -> Option<Vec<(Loop, Option<Loop>)>> {
    let back = |pieces: Vec<Piece>| pieces.iter().rev().map(Piece::reversed).collect::<Vec<_>>();
    let right =
        |features: &[Feature]| features.iter().copied().filter(|f| f.span().0 > 0.0).collect::<Vec<_>>();
    let left =
        |features: &[Feature]| features.iter().copied().filter(|f| f.span().0 <= 0.0).collect::<Vec<_>>();
    let halves = |y: f64| Some((half_width_at(outer, y)?, half_width_at(inner, y)?));
    match (band.low, band.high) {
        (None, None) => Some(vec![(contour(outer), Some(contour(inner)))]),
        (None, Some(y)) => {
            let (o, i) = halves(y)?;
            let mut pieces = right_side(outer, band);
            pieces.extend(edge(y, o, i, &right(high)));
            pieces.extend(back(right_side(inner, band)));
            pieces.extend(back(left_side(inner, band)));
            pieces.extend(edge(y, -i, -o, &left(high)));
            pieces.extend(left_side(outer, band));
            Some(vec![(closed(pieces), None)])
        }
        (Some(y), None) => {
            let (o, i) = halves(y)?;
            let mut pieces = right_side(outer, band);
            pieces.extend(left_side(outer, band));
            pieces.extend(edge(y, -o, -i, &left(low)));
            pieces.extend(back(left_side(inner, band)));
            pieces.extend(back(right_side(inner, band)));
            pieces.extend(edge(y, i, o, &right(low)));
            Some(vec![(closed(pieces), None)])
        }
        (Some(bottom), Some(top)) => {
            let ((ob, ib), (ot, it)) = (halves(bottom)?, halves(top)?);
            let mut east = right_side(outer, band);
            east.extend(edge(top, ot, it, &right(high)));
            east.extend(back(right_side(inner, band)));
            east.extend(edge(bottom, ib, ob, &right(low)));
            let mut west = left_side(outer, band);
            west.extend(edge(bottom, -ob, -ib, &left(low)));
            west.extend(back(left_side(inner, band)));
            west.extend(edge(top, -it, -ot, &left(high)));
            Some(vec![(closed(east), None), (closed(west), None)])
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::Region;

    const ROUND: Room = Room { half_width: 30.0, half_height: 30.0, corner: 30.0 };
    const BOX: Room = Room { half_width: 40.0, half_height: 20.0, corner: 5.0 };

    #[test]
    fn bands_of_a_contour_add_up_to_the_whole() {
        for room in [ROUND, BOX, Room { corner: 0.0, ..BOX }, Room { corner: 20.0, ..BOX }] {
            let whole = contour(&room).area();
            for cuts in [vec![0.0], vec![-7.5, 4.0], vec![-3.0, 17.0]] {
                let mut edges: Vec<Option<f64>> = cuts.iter().copied().map(Some).collect();
                edges.insert(0, None);
                edges.push(None);
                let sum: f64 = edges
                    .windows(2)
                    .map(|pair| {
                        let outline =
                            band_outline(&room, Band { low: pair[0], high: pair[1] }, &[], &[]).unwrap();
                        outline.check().unwrap();
                        assert!(outline.is_ccw());
                        outline.area()
                    })
                    .sum();
                assert!((sum - whole).abs() < 1e-9 * whole, "{room:?} cut at {cuts:?}: {sum} of {whole}");
            }
        }
    }

    #[test]
    fn notches_and_tongues_change_the_area_by_theirs() {
        let band = Band { low: Some(-2.0), high: Some(12.0) };
        let plain = band_outline(&ROUND, band, &[], &[]).unwrap().area();
        let features =
            [Feature::Notch { at: -4.0, radius: 3.0 }, Feature::Tongue { at: 15.0, width: 4.0, height: 2.0 }];
        let high = band_outline(&ROUND, band, &features, &[]).unwrap();
        high.check().unwrap();
        assert!((high.area() - (plain - 4.5 * PI + 8.0)).abs() < 1e-9);
        let low = band_outline(&ROUND, band, &[], &features).unwrap();
        low.check().unwrap();
        assert!((low.area() - (plain - 4.5 * PI + 8.0)).abs() < 1e-9);
    }

    #[test]
    fn what_lies_between_two_contours_is_their_difference() {
        let inner = BOX.shrunk(6.0);
        for band in [
            Band::WHOLE,
            Band { low: None, high: Some(3.0) },
            Band { low: Some(3.0), high: None },
            Band { low: Some(-8.0), high: Some(3.0) },
        ] {
            let area = |room: &Room| band_outline(room, band, &[], &[]).unwrap().area();
            let rings = between(&BOX, &inner, band, &[], &[]).unwrap();
            let sum: f64 = rings
                .iter()
                .map(|(outer, hole)| {
                    Region { outer: outer.clone(), holes: hole.iter().cloned().collect() }.area()
                })
                .sum();
            assert!((sum - (area(&BOX) - area(&inner))).abs() < 1e-9, "{band:?}");
            for (outer, _) in &rings {
                outer.check().unwrap();
                assert!(outer.is_ccw());
            }
        }
    }
}
