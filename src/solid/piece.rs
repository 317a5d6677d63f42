//! One straight line or circular arc in the plane, and where two of them meet.

use super::{EPSILON, Point2, Vector2};
use std::f64::consts::{PI, TAU};

/// A directed straight line or circular arc (at most half a turn where it comes from
/// [`Loop::pieces`](super::Loop::pieces)).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Where it begins.
    pub from: Point2,
    /// Where it ends.
    pub to: Point2,
    /// How it bends; a straight line does not.
    pub bend: Option<Bend>,
}

/// The circle an arc lies on and the part of it that is run through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// The centre.
    pub centre: Point2,
    /// The radius, mm.
    pub radius: f64,
    /// The angle at which it begins, rad.
    pub start: f64,
    /// The angle run through, rad; positive is counter-clockwise.
    pub sweep: f64,
}

/// An angle brought into `0..TAU`.
pub(crate) fn turn(angle: f64) -> f64 {
    let angle = angle.rem_euclid(TAU);
    if angle >= TAU { 0.0 } else { angle }
}

pub(crate) fn cross(a: Vector2, b: Vector2) -> f64 {
    a.x * b.y - a.y * b.x
}

pub(crate) fn unit(angle: f64) -> Vector2 {
    Vector2::new(angle.cos(), angle.sin())
}

impl Piece {
    /// A straight line.
    pub fn line(from: Point2, to: Point2) -> Self {
        Self { from, to, bend: None }
    }

    /// An arc round `centre`. One that ends where it began is a full turn.
    pub fn arc(from: Point2, to: Point2, centre: Point2, ccw: bool) -> Self {
        let (a, b) = (from - centre, to - centre);
        let start = a.y.atan2(a.x);
        let ahead = turn(b.y.atan2(b.x) - start);
        let full = (to - from).norm() < EPSILON;
        let sweep = match (full, ccw) {
            (true, true) => TAU,
            (true, false) => -TAU,
            (false, true) => ahead,
            (false, false) => ahead - TAU,
        };
        Self { from, to, bend: Some(Bend { centre, radius: (a.norm() + b.norm()) / 2.0, start, sweep }) }
    }

    /// An arc by its angles (rad); positive `sweep` is counter-clockwise.
    pub fn sweep(centre: Point2, radius: f64, start: f64, sweep: f64) -> Self {
        Self {
            from: centre + unit(start) * radius,
            to: centre + unit(start + sweep) * radius,
            bend: Some(Bend { centre, radius, start, sweep }),
        }
    }

    /// The same run backwards.
    pub fn reversed(&self) -> Self {
        Self {
            from: self.to,
            to: self.from,
            bend: self.bend.map(|b| Bend { start: b.start + b.sweep, sweep: -b.sweep, ..b }),
        }
    }

    /// Its length, mm.
    pub fn length(&self) -> f64 {
        match self.bend {
            None => (self.to - self.from).norm(),
            Some(b) => b.radius * b.sweep.abs(),
        }
    }

    /// The point at `t` of its length, 0 to 1.
    pub fn at(&self, t: f64) -> Point2 {
        match self.bend {
            None => self.from + (self.to - self.from) * t,
            Some(b) => b.centre + unit(b.start + b.sweep * t) * b.radius,
        }
    }

    /// The unit direction it runs in at `t`.
    pub fn tangent(&self, t: f64) -> Vector2 {
        match self.bend {
            None => (self.to - self.from).normalize(),
            Some(b) => {
                let e = unit(b.start + b.sweep * t);
                Vector2::new(-e.y, e.x) * b.sweep.signum()
            }
        }
    }

    /// Curvature, 1/mm; positive bends to the left.
    pub fn curvature(&self) -> f64 {
        self.bend.map_or(0.0, |b| b.sweep.signum() / b.radius)
    }

    /// The part from `t0` to `t1` of its length; the ends are given so that they stay exact.
    pub fn part(&self, (t0, from): (f64, Point2), (t1, to): (f64, Point2)) -> Self {
        Self {
            from,
            to,
            bend: self.bend.map(|b| Bend { start: b.start + b.sweep * t0, sweep: b.sweep * (t1 - t0), ..b }),
        }
    }

    /// Cut into equal parts none of which turns more than `most` (rad).
    pub(crate) fn split(&self, most: f64) -> Vec<Piece> {
        let Some(b) = self.bend else {
            return vec![*self];
        };
        let count = (b.sweep.abs() / most - 1e-9).ceil().max(1.0) as usize;
        let point = |i: usize| match i {
            0 => self.from,
            i if i == count => self.to,
            i => self.at(i as f64 / count as f64),
        };
        let share = |i: usize| (i as f64 / count as f64, point(i));
        (0..count).map(|i| self.part(share(i), share(i + 1))).collect()
    }

    /// The least and greatest corner of its box.
    pub fn bounds(&self) -> (Point2, Point2) {
        let (mut least, mut most) = (self.from.inf(&self.to), self.from.sup(&self.to));
        if let Some(b) = self.bend {
            for quarter in 0..4 {
                let angle = f64::from(quarter) * PI / 2.0;
                if self.share_of_angle(angle).is_some() {
                    let p = b.centre + unit(angle) * b.radius;
                    (least, most) = (least.inf(&p), most.sup(&p));
                }
            }
        }
        (least, most)
    }

    /// Where in the arc's length an angle lies, if it lies on the arc.
    fn share_of_angle(&self, angle: f64) -> Option<f64> {
        let b = self.bend?;
        let ahead = turn((angle - b.start) * b.sweep.signum());
        let (slack, span) = (EPSILON / b.radius.max(EPSILON), b.sweep.abs());
        match ahead {
            a if a <= span + slack => Some((a / span).min(1.0)),
            a if TAU - a <= slack => Some(0.0),
            _ => None,
        }
    }

    /// Where along it `p` lies, if it lies on it.
    pub fn share(&self, p: Point2) -> Option<f64> {
        if (p - self.from).norm() < EPSILON {
            return Some(0.0);
        }
        if (p - self.to).norm() < EPSILON {
            return Some(1.0);
        }
        match self.bend {
            None => {
                let d = self.to - self.from;
                let t = (p - self.from).dot(&d) / d.norm_squared();
                ((0.0..=1.0).contains(&t) && (self.at(t) - p).norm() < EPSILON).then_some(t)
            }
            Some(b) => {
                let v = p - b.centre;
                if (v.norm() - b.radius).abs() >= EPSILON {
                    return None;
                }
                self.share_of_angle(v.y.atan2(v.x))
            }
        }
    }

    /// The point on it nearest to `p`.
    pub fn nearest(&self, p: Point2) -> Point2 {
        match self.bend {
            None => {
                let d = self.to - self.from;
                let t = ((p - self.from).dot(&d) / d.norm_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
                self.at(t)
            }
            Some(b) => {
                let v = p - b.centre;
                let (start, end) = (self.from - b.centre, self.to - b.centre);
                let (first, last) = if b.sweep > 0.0 { (start, end) } else { (end, start) };
                let beside = match b.sweep.abs() <= PI + 1e-9 {
                    true => cross(first, v) >= 0.0 && cross(v, last) >= 0.0,
                    false => self.share_of_angle(v.y.atan2(v.x)).is_some(),
                };
                match v.norm() {
                    far if beside && far > 0.0 => b.centre + v * (b.radius / far),
                    _ if (p - self.from).norm() <= (p - self.to).norm() => self.from,
                    _ => self.to,
                }
            }
        }
    }

    /// Twice the area swept from the origin, mm²: closed loops of pieces add up to twice their area.
    pub(crate) fn doubled_area(&self) -> f64 {
        match self.bend {
            None => cross(self.from.coords, self.to.coords),
            Some(b) => cross(b.centre.coords, self.to - self.from) + b.radius * b.radius * b.sweep,
        }
    }

    /// How often it passes the level ray that runs from `p` towards +x: 1 for each time upwards, −1
    /// for each time downwards. A closed loop adds up to the number of turns it makes round `p`.
    /// The piece may turn no more than half a circle.
    pub(crate) fn passes(&self, p: Point2) -> i32 {
        let (a, b) = (self.from, self.to);
        let across = cross(b - a, p - a);
        let (up, down) = (a.y <= p.y && p.y < b.y, b.y <= p.y && p.y < a.y);
        let chord = i32::from(up && across > 0.0) - i32::from(down && across < 0.0);
        let Some(bend) = self.bend else { return chord };
        if (p - bend.centre).norm_squared() >= bend.radius * bend.radius {
            return chord;
        }
        // Between the chord and the arc the two differ by a full turn. A point on the chord goes to
        // the side the rule above puts it on.
        let left = match across {
            0.0 if up => false,
            0.0 if down => true,
            0.0 => b.x > a.x,
            _ => across > 0.0,
        };
        match (left, bend.sweep > 0.0) {
            (false, true) => chord + 1,
            (true, false) => chord - 1,
            _ => chord,
        }
    }

    /// The points two pieces share. Where they run on top of each other, the ends of the overlap.
    pub fn meets(&self, other: &Piece) -> Vec<Point2> {
        let mut found: Vec<Point2> = Vec::new();
        let mut add = |p: Point2| {
            if !found.iter().any(|q| (q - p).norm() < EPSILON) {
                found.push(p);
            }
        };
        for p in [other.from, other.to] {
            if self.share(p).is_some() {
                add(p);
            }
        }
        for p in [self.from, self.to] {
            if other.share(p).is_some() {
                add(p);
            }
        }
        for p in self.crossings(other) {
            if self.share(p).is_some() && other.share(p).is_some() {
                add(p);
            }
        }
        found
    }

    /// Where the whole line or circle of one crosses that of the other.
    pub(crate) fn crossings(&self, other: &Piece) -> Vec<Point2> {
        match (self.bend, other.bend) {
            (None, None) => {
                let (d, e) = (self.to - self.from, other.to - other.from);
                let det = cross(d, e);
                if det.abs() <= 1e-12 * d.norm() * e.norm() {
                    return Vec::new();
                }
                vec![self.from + d * (cross(other.from - self.from, e) / det)]
            }
            (Some(b), None) => line_and_circle(other.from, other.to - other.from, &b),
            (None, Some(b)) => line_and_circle(self.from, self.to - self.from, &b),
            (Some(a), Some(b)) => circle_and_circle(&a, &b),
        }
    }
}

/// Whether closed loops of pieces, holes run the other way round, hold `p`.
pub(crate) fn hold<'a>(pieces: impl IntoIterator<Item = &'a Piece>, p: Point2) -> bool {
    pieces.into_iter().map(|piece| piece.passes(p)).sum::<i32>() != 0
}

/// How far `p` lies from the nearest piece.
pub(crate) fn distance<'a>(pieces: impl IntoIterator<Item = &'a Piece>, p: Point2) -> f64 {
    let squares = pieces.into_iter().map(|piece| (piece.nearest(p) - p).norm_squared());
    squares.fold(f64::INFINITY, f64::min).sqrt()
}

/// Where a straight line through `from` along `d` meets a circle; once where it touches.
pub(crate) fn line_and_circle(from: Point2, d: Vector2, b: &Bend) -> Vec<Point2> {
    let d = d.normalize();
    let foot = from + d * (b.centre - from).dot(&d);
    let away = (foot - b.centre).norm();
    if away > b.radius + EPSILON {
        return Vec::new();
    }
    // Within EPSILON of touching counts as touching: the two crossings of a line that dips in by
    // less lie apart by far more than EPSILON, so both the foot and the crossings are kept.
    let half = (b.radius * b.radius - away * away).max(0.0).sqrt();
    if (b.radius - away).abs() < EPSILON * 1e-3 {
        return vec![foot];
    }
    vec![foot - d * half, foot + d * half]
}

fn circle_and_circle(a: &Bend, b: &Bend) -> Vec<Point2> {
    let d = b.centre - a.centre;
    let apart = d.norm();
    if apart < EPSILON
        || apart > a.radius + b.radius + EPSILON
        || apart < (a.radius - b.radius).abs() - EPSILON
    {
        return Vec::new();
    }
    let along = (apart * apart + a.radius * a.radius - b.radius * b.radius) / (2.0 * apart);
    let e = d / apart;
    let foot = a.centre + e * along.clamp(-a.radius, a.radius);
    let half = (a.radius * a.radius - along * along).max(0.0).sqrt();
    if half < EPSILON {
        return vec![foot];
    }
    let side = Vector2::new(-e.y, e.x) * half;
    vec![foot + side, foot - side]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: f64, y: f64) -> Point2 {
        Point2::new(x, y)
    }

    #[test]
    fn a_line_meets_a_circle_where_pythagoras_says() {
        let circle = Piece::sweep(p(0.0, 0.0), 5.0, 0.0, PI);
        let met = circle.meets(&Piece::line(p(-10.0, 3.0), p(10.0, 3.0)));
        assert_eq!(met.len(), 2);
        assert!(met.iter().all(|m| (m.y - 3.0).abs() < 1e-12 && (m.x.abs() - 4.0).abs() < 1e-12), "{met:?}");
        assert!(circle.meets(&Piece::line(p(-10.0, -3.0), p(10.0, -3.0))).is_empty());
        assert_eq!(circle.meets(&Piece::line(p(-10.0, 5.0), p(10.0, 5.0))).len(), 1);
    }

    #[test]
    fn overlapping_pieces_meet_at_the_ends_of_the_overlap() {
        let met = Piece::line(p(0.0, 0.0), p(4.0, 0.0)).meets(&Piece::line(p(6.0, 0.0), p(1.0, 0.0)));
        assert_eq!(met, vec![p(1.0, 0.0), p(4.0, 0.0)]);
        let met = Piece::sweep(p(0.0, 0.0), 2.0, 0.0, 2.0).meets(&Piece::sweep(p(0.0, 0.0), 2.0, 1.0, 2.0));
        assert_eq!(met.len(), 2);
    }

    #[test]
    fn an_arc_knows_its_box_its_length_and_its_nearest_point() {
        let arc = Piece::sweep(p(1.0, 1.0), 2.0, 0.0, PI / 2.0 + 0.1);
        let (least, most) = arc.bounds();
        assert!(
            (most.y - 3.0).abs() < 1e-12 && (most.x - 3.0).abs() < 1e-12 && (least.y - 1.0).abs() < 1e-12
        );
        assert!((arc.length() - 2.0 * (PI / 2.0 + 0.1)).abs() < 1e-12);
        assert!((arc.nearest(p(5.0, 5.0)) - p(1.0 + 2f64.sqrt(), 1.0 + 2f64.sqrt())).norm() < 1e-12);
        assert!((arc.nearest(p(2.0, -4.0)) - p(3.0, 1.0)).norm() < 1e-12);
    }
}
