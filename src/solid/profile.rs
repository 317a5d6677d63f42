//! Closed loops of lines and circular arcs in a plane, and the regions they bound.
//!
//! Everything a loop is asked for (area, centroid, what it contains, how far a point lies from it)
//! is exact: arcs are arcs, never polygons. Constructors of usual shapes are in [`super::shapes`].

use super::piece::{Piece, distance, hold};
use super::{EPSILON, Point2, Vector2};
use crate::error::{Error, Result, number};
use std::f64::consts::PI;

/// One piece of a loop, from the end of the piece before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// A straight line to `to`.
    Line {
        /// Where it ends.
        to: Point2,
    },
    /// A circular arc to `to` round `centre`. One that ends where it began is a full circle.
    Arc {
        /// Where it ends.
        to: Point2,
        /// The centre.
        centre: Point2,
        /// Counter-clockwise as seen against the plane's normal.
        ccw: bool,
    },
}

impl Segment {
    /// Where it ends.
    pub fn to(&self) -> Point2 {
        match *self {
            Segment::Line { to } | Segment::Arc { to, .. } => to,
        }
    }
}

/// A closed loop; the last segment ends at `start`.
#[derive(Clone, Debug, PartialEq)]
pub struct Loop {
    /// Where the first segment begins.
    pub start: Point2,
    /// The segments in order.
    pub segments: Vec<Segment>,
}

/// A planar region: everything inside `outer` and outside every hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// The outer boundary.
    pub outer: Loop,
    /// Boundaries of the holes.
    pub holes: Vec<Loop>,
}

impl Loop {
    /// A loop from segments, checked: finite, closed, every arc true to its centre, no piece
    /// shorter than what can be told apart, nowhere touching or crossing itself.
    pub fn new(start: Point2, segments: Vec<Segment>) -> Result<Self> {
        let made = Self { start, segments };
        made.check()?;
        Ok(made)
    }

    /// The loop of lines and arcs given as pieces that follow each other. Not checked.
    pub(crate) fn from_pieces(pieces: &[Piece]) -> Self {
        let segments = pieces
            .iter()
            .map(|piece| match piece.bend {
                None => Segment::Line { to: piece.to },
                Some(b) => Segment::Arc { to: piece.to, centre: b.centre, ccw: b.sweep > 0.0 },
            })
            .collect();
        Self { start: pieces.first().map_or(Point2::origin(), |p| p.from), segments }
    }

    /// Its segments as pieces that know where they begin; arcs are cut so that none turns more
    /// than half a circle.
    pub fn pieces(&self) -> Vec<Piece> {
        let mut from = self.start;
        let mut pieces = Vec::with_capacity(self.segments.len() + 1);
        for segment in &self.segments {
            match *segment {
                Segment::Line { to } => pieces.push(Piece::line(from, to)),
                Segment::Arc { to, centre, ccw } => {
                    pieces.extend(Piece::arc(from, to, centre, ccw).split(PI))
                }
            }
            from = segment.to();
        }
        // A loop that rounding leaves open by a hair is closed: counting crossings relies on it.
        if let Some(last) = pieces.last_mut()
            && (last.to - self.start).norm() < EPSILON
        {
            last.to = self.start;
        }
        pieces
    }

    /// Whether it is a sound loop; the error names the first trouble and where it is.
    pub fn check(&self) -> Result<()> {
        let pieces = self.pieces();
        if pieces.len() < 2 {
            return Err(unsound(self.start, "has fewer than two sides"));
        }
        let last = self.segments.last().map_or(self.start, Segment::to);
        let finite = |p: Point2| p.x.is_finite() && p.y.is_finite() && p.coords.amax() < 1e5;
        for piece in &pieces {
            if !finite(piece.from) || !finite(piece.to) || piece.bend.is_some_and(|b| !finite(b.centre)) {
                return Err(unsound(piece.from, "leaves the space of 100 m that can be drawn"));
            }
            if piece.length() < 2.0 * EPSILON {
                return Err(unsound(piece.from, "has a side too short to be told from a point"));
            }
            if let Some(b) = piece.bend
                && ((piece.from - b.centre).norm() - (piece.to - b.centre).norm()).abs() > EPSILON
            {
                return Err(unsound(
                    piece.from,
                    "has an arc whose ends lie at different distances from its centre",
                ));
            }
        }
        if (last - self.start).norm() > EPSILON {
            return Err(unsound(last, "does not close"));
        }
        self.check_simple(&pieces)
    }

    fn check_simple(&self, pieces: &[Piece]) -> Result<()> {
        let boxes: Vec<_> = pieces.iter().map(Piece::bounds).collect();
        let count = pieces.len();
        for i in 0..count {
            for j in i + 1..count {
                if !boxes_touch(&boxes[i], &boxes[j]) {
                    continue;
                }
                let shared = |p: &Point2| {
                    (j == i + 1 && (p - pieces[i].to).norm() < 2.0 * EPSILON)
                        || (i == 0 && j == count - 1 && (p - pieces[0].from).norm() < 2.0 * EPSILON)
                };
                if let Some(p) = pieces[i].meets(&pieces[j]).into_iter().find(|p| !shared(p)) {
                    return Err(unsound(p, "touches or crosses itself"));
                }
            }
        }
        Ok(())
    }

    /// The area it encloses, mm²: positive where it runs counter-clockwise.
    pub fn area(&self) -> f64 {
        self.pieces().iter().map(Piece::doubled_area).sum::<f64>() / 2.0
    }

    /// Whether it runs counter-clockwise.
    pub fn is_ccw(&self) -> bool {
        self.area() > 0.0
    }

    /// The centroid of the area it encloses.
    pub fn centroid(&self) -> Point2 {
        let (area, moment) = first_moments(&self.pieces());
        Point2::from(moment / area)
    }

    /// The same run the other way round.
    pub fn reversed(&self) -> Self {
        let mut from = self.start;
        let mut back = Vec::with_capacity(self.segments.len());
        for segment in &self.segments {
            back.push(match *segment {
                Segment::Line { .. } => Segment::Line { to: from },
                Segment::Arc { centre, ccw, .. } => Segment::Arc { to: from, centre, ccw: !ccw },
            });
            from = segment.to();
        }
        back.reverse();
        Self { start: self.start, segments: back }
    }

    /// The same, run counter-clockwise (`true`) or clockwise.
    pub fn oriented(&self, ccw: bool) -> Self {
        if self.is_ccw() == ccw { self.clone() } else { self.reversed() }
    }

    /// Whether `p` lies inside (points on the loop may go either way).
    pub fn contains(&self, p: Point2) -> bool {
        hold(&self.pieces(), p)
    }

    /// How far `p` lies from the loop itself, mm; never negative.
    pub fn distance(&self, p: Point2) -> f64 {
        distance(&self.pieces(), p)
    }

    /// The least and greatest corner of its box.
    pub fn bounds(&self) -> (Point2, Point2) {
        let start = (self.start, self.start);
        self.pieces().iter().map(Piece::bounds).fold(start, |(a, b), (c, d)| (a.inf(&c), b.sup(&d)))
    }

    /// Every point through `map`, which must keep lengths; `mirrors` tells that it turns left
    /// into right.
    pub(crate) fn mapped(&self, map: impl Fn(Point2) -> Point2, mirrors: bool) -> Self {
        let segments = self
            .segments
            .iter()
            .map(|segment| match *segment {
                Segment::Line { to } => Segment::Line { to: map(to) },
                Segment::Arc { to, centre, ccw } => {
                    Segment::Arc { to: map(to), centre: map(centre), ccw: ccw != mirrors }
                }
            })
            .collect();
        Self { start: map(self.start), segments }
    }

    /// Moved by a displacement.
    pub fn moved(&self, by: Vector2) -> Self {
        self.mapped(|p| p + by, false)
    }

    /// Turned counter-clockwise about `centre` by `angle` (rad).
    pub fn turned(&self, centre: Point2, angle: f64) -> Self {
        let turn = nalgebra::Rotation2::new(angle);
        self.mapped(|p| centre + turn * (p - centre), false)
    }

    /// Whether it touches or crosses `other` anywhere.
    pub fn meets(&self, other: &Loop) -> bool {
        let (ours, theirs) = (self.pieces(), other.pieces());
        ours.iter().any(|a| {
            let bounds = a.bounds();
            theirs.iter().any(|b| boxes_touch(&bounds, &b.bounds()) && !a.meets(b).is_empty())
        })
    }

    /// Points along it, none of its chords further than `chord_tolerance` from it; the first is
    /// not repeated at the end.
    pub fn points(&self, chord_tolerance: f64) -> Vec<Point2> {
        let mut points = Vec::new();
        for piece in self.pieces() {
            let step = piece.bend.map_or(PI, |b| chord_step(b.radius, chord_tolerance));
            points.extend(piece.split(step).iter().map(|part| part.from));
        }
        points
    }
}

/// The greatest angle (rad) a chord of a circle may span so that it stays within `tolerance` of the
/// circle: the sagitta is r (1 − cos(a/2)). Never more than an eighth of a turn, so that small
/// holes stay round.
pub(crate) fn chord_step(radius: f64, tolerance: f64) -> f64 {
    let cosine = 1.0 - tolerance / radius.max(tolerance);
    (2.0 * cosine.clamp(-1.0, 1.0).acos()).min(PI / 4.0)
}

pub(crate) fn boxes_touch(a: &(Point2, Point2), b: &(Point2, Point2)) -> bool {
    (0..2).all(|i| a.0[i] <= b.1[i] + EPSILON && b.0[i] <= a.1[i] + EPSILON)
}

fn unsound(at: Point2, trouble: &str) -> Error {
    Error::geometry(
        format!("The outline {trouble}, near ({}, {}) mm.", number(at.x), number(at.y)),
        "Change the dimensions that meet there.",
    )
}

/// Area and first moments by Green's theorem: ∬x = ½∮x² dy, ∬y = −½∮y² dx.
fn first_moments(pieces: &[Piece]) -> (f64, Vector2) {
    let mut area = 0.0;
    let mut moment = Vector2::zeros();
    for piece in pieces {
        area += piece.doubled_area() / 2.0;
        let (p, q) = (piece.from, piece.to);
        match piece.bend {
            None => {
                moment.x += (q.y - p.y) * (p.x * p.x + p.x * q.x + q.x * q.x) / 6.0;
                moment.y -= (q.x - p.x) * (p.y * p.y + p.y * q.y + q.y * q.y) / 6.0;
            }
            Some(b) => {
                let (c, r, t0, t1) = (b.centre, b.radius, b.start, b.start + b.sweep);
                let x = |t: f64| {
                    let (s, k) = (t.sin(), (2.0 * t).sin());
                    c.x * c.x * s + 2.0 * c.x * r * (t / 2.0 + k / 4.0) + r * r * (s - s * s * s / 3.0)
                };
                let y = |t: f64| {
                    let (k, d) = (t.cos(), (2.0 * t).sin());
                    -c.y * c.y * k + 2.0 * c.y * r * (t / 2.0 - d / 4.0) + r * r * (k * k * k / 3.0 - k)
                };
                moment.x += r * (x(t1) - x(t0)) / 2.0;
                moment.y += r * (y(t1) - y(t0)) / 2.0;
            }
        }
    }
    (area, moment)
}

impl Region {
    /// A checked region: every loop sound, every hole inside the outer loop, none touching
    /// another. The outer loop is turned counter-clockwise and the holes clockwise.
    pub fn new(outer: Loop, holes: Vec<Loop>) -> Result<Self> {
        outer.check()?;
        for hole in &holes {
            hole.check()?;
        }
        let region = Self::oriented(outer, holes);
        region.check_apart()?;
        Ok(region)
    }

    /// The region with its loops turned the usual way round; not checked.
    pub(crate) fn oriented(outer: Loop, holes: Vec<Loop>) -> Self {
        Self { outer: outer.oriented(true), holes: holes.iter().map(|h| h.oriented(false)).collect() }
    }

    fn check_apart(&self) -> Result<()> {
        for (i, hole) in self.holes.iter().enumerate() {
            let at = hole.centroid();
            let near = format!("near ({}, {}) mm", number(at.x), number(at.y));
            if hole.meets(&self.outer) || !self.outer.contains(hole.start) {
                return Err(Error::geometry(
                    format!("The opening {near} crosses the edge of its face."),
                    "Move it inwards, make it smaller or make the face larger.",
                ));
            }
            let clash = |other: &Loop| {
                let boxes = boxes_touch(&hole.bounds(), &other.bounds());
                boxes && (hole.meets(other) || other.contains(hole.start) || hole.contains(other.start))
            };
            if self.holes[..i].iter().any(clash) {
                return Err(Error::geometry(
                    format!("The opening {near} runs into another opening."),
                    "Move the two apart or make one of them smaller.",
                ));
            }
        }
        Ok(())
    }

    /// All loops: the outer one, then the holes.
    pub fn loops(&self) -> impl Iterator<Item = &Loop> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// The area, mm²: outer less holes.
    pub fn area(&self) -> f64 {
        self.outer.area().abs() - self.holes.iter().map(|h| h.area().abs()).sum::<f64>()
    }

    /// The centroid of the area.
    pub fn centroid(&self) -> Point2 {
        let outer = first_moments(&self.outer.oriented(true).pieces());
        let (area, moment) = self.holes.iter().fold(outer, |(area, moment), hole| {
            let (a, m) = first_moments(&hole.oriented(false).pieces());
            (area + a, moment + m)
        });
        Point2::from(moment / area)
    }

    /// Whether `p` lies inside the outer loop and in no hole.
    pub fn contains(&self, p: Point2) -> bool {
        self.outer.contains(p) && !self.holes.iter().any(|h| h.contains(p))
    }

    /// How far `p` lies from the nearest boundary, mm; never negative.
    pub fn distance(&self, p: Point2) -> f64 {
        self.loops().map(|l| l.distance(p)).fold(f64::INFINITY, f64::min)
    }

    /// The least and greatest corner of its box.
    pub fn bounds(&self) -> (Point2, Point2) {
        self.outer.bounds()
    }

    /// Every loop through `map` as [`Loop::mapped`], turned the usual way round again.
    pub(crate) fn mapped(&self, map: impl Fn(Point2) -> Point2 + Copy, mirrors: bool) -> Self {
        let turn = |l: &Loop| {
            let l = l.mapped(map, mirrors);
            if mirrors { l.reversed() } else { l }
        };
        Self { outer: turn(&self.outer), holes: self.holes.iter().map(turn).collect() }
    }

    /// Moved by a displacement.
    pub fn moved(&self, by: Vector2) -> Self {
        self.mapped(|p| p + by, false)
    }
}

impl From<Loop> for Region {
    fn from(outer: Loop) -> Self {
        Self::oriented(outer, Vec::new())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: f64, y: f64) -> Point2 {
        Point2::new(x, y)
    }

    #[test]
    fn area_and_centroid_of_a_half_disc_are_the_closed_form() {
        let half = Loop::new(
            p(3.0, 2.0),
            vec![
                Segment::Arc { to: p(-1.0, 2.0), centre: p(1.0, 2.0), ccw: true },
                Segment::Line { to: p(3.0, 2.0) },
            ],
        )
        .unwrap();
        assert!((half.area() - 2.0 * PI).abs() < 1e-12);
        assert!((half.centroid() - p(1.0, 2.0 + 8.0 / (3.0 * PI))).norm() < 1e-12);
        assert!((half.reversed().centroid() - half.centroid()).norm() < 1e-12);
        assert!((half.reversed().area() + half.area()).abs() < 1e-12);
    }

    #[test]
    fn points_between_an_arc_and_its_chord_are_told_apart() {
        let bump = Loop::new(
            p(0.0, 0.0),
            vec![
                Segment::Line { to: p(10.0, 0.0) },
                Segment::Arc { to: p(0.0, 0.0), centre: p(5.0, 0.0), ccw: true },
            ],
        )
        .unwrap();
        for (x, y, inside) in [
            (5.0, 4.9, true),
            (5.0, 5.1, false),
            (1.0, 3.0 - 0.01, true),
            (1.0, 3.01, false),
            (5.0, -0.1, false),
        ] {
            assert_eq!(bump.contains(p(x, y)), inside, "({x}, {y})");
        }
        let bite = Loop::new(
            p(0.0, 0.0),
            vec![
                Segment::Line { to: p(10.0, 0.0) },
                Segment::Line { to: p(10.0, 10.0) },
                Segment::Line { to: p(8.0, 10.0) },
                Segment::Arc { to: p(2.0, 10.0), centre: p(5.0, 10.0), ccw: false },
                Segment::Line { to: p(0.0, 10.0) },
                Segment::Line { to: p(0.0, 0.0) },
            ],
        )
        .unwrap();
        assert!(!bite.contains(p(5.0, 7.1)) && bite.contains(p(5.0, 6.9)));
        assert!((bite.area() - (100.0 - 4.5 * PI)).abs() < 1e-12);
    }

    #[test]
    fn points_level_with_the_ends_of_its_arcs_lie_in_a_circle() {
        let circle = Loop::circle(p(-4.0, 2.0), 3.0).unwrap();
        for step in -8..8 {
            let y = 2.0 + f64::from(step) * f64::EPSILON;
            for x in [-6.9, -5.0, -4.0, -1.1] {
                assert!(circle.contains(p(x, y)), "({x}, {y:?})");
            }
            assert!(!circle.contains(p(-0.9, y)) && !circle.contains(p(-7.1, y)));
        }
    }

    #[test]
    fn a_loop_that_crosses_itself_is_refused_with_the_place() {
        let bow = Loop::new(
            p(0.0, 0.0),
            [p(4.0, 4.0), p(4.0, 0.0), p(0.0, 4.0), p(0.0, 0.0)].map(|to| Segment::Line { to }).to_vec(),
        );
        assert!(bow.unwrap_err().says.contains("near (2, 2) mm"));
    }

    #[test]
    fn a_region_refuses_openings_that_cross_its_edge_or_each_other() {
        let face = Loop::rectangle(p(0.0, 0.0), 20.0, 20.0).unwrap();
        let at = |x: f64| Loop::circle(p(x, 0.0), 3.0).unwrap();
        assert!(Region::new(face.clone(), vec![at(-5.0), at(5.0)]).is_ok());
        assert!(Region::new(face.clone(), vec![at(8.0)]).unwrap_err().says.contains("crosses the edge"));
        assert!(Region::new(face.clone(), vec![at(30.0)]).is_err());
        assert!(
            Region::new(face.clone(), vec![at(0.0), at(5.9)]).unwrap_err().says.contains("another opening")
        );
        let region = Region::new(face, vec![at(-5.0), at(5.0)]).unwrap();
        assert!((region.area() - (400.0 - 18.0 * PI)).abs() < 1e-9);
        assert!(region.centroid().coords.norm() < 1e-12);
    }
}
