//! The outlines parts are drawn with: rectangle, circle, obround, arc slot, teardrop, and any
//! polygon with rounded corners. All run counter-clockwise.

use super::piece::{Piece, cross, unit};
use super::{EPSILON, Loop, Point2, Segment, Vector2};
use crate::error::{Error, Result, number};
use std::f64::consts::{PI, TAU};

/// A length an outline is drawn with: finite, and large enough to be told from nothing.
fn length(what: &str, value: f64) -> Result<f64> {
    if value.is_finite() && value > 10.0 * EPSILON && value < 1e5 {
        return Ok(value);
    }
    Err(Error::geometry(
        format!("The {what} is {}; an outline needs it between 0.00001 and 100000 mm.", number(value)),
        "Change the dimension it follows from.",
    ))
}

impl Loop {
    /// A polygon through `corners`, run in the order given. It is not checked here: what it is
    /// made into ([`Region::new`](super::Region::new), [`Body::revolve`](super::Body::revolve),
    /// [`Body::prism`](super::Body::prism)) refuses one that is unsound.
    pub fn polygon(corners: &[Point2]) -> Self {
        let start = corners.first().copied().unwrap_or(Point2::origin());
        let rest = corners.iter().skip(1).copied().chain([start]);
        Self { start, segments: rest.map(|to| Segment::Line { to }).collect() }
    }

    /// A polygon whose corners are rounded. `radii` gives one radius a corner, or one for all;
    /// 0 leaves a corner sharp. Refused where two roundings would overlap on one side.
    pub fn filleted(corners: &[Point2], radii: &[f64]) -> Result<Self> {
        let count = corners.len();
        if count < 3 || radii.is_empty() || (radii.len() != 1 && radii.len() != count) {
            return Err(Error::geometry(
                format!("A polygon of {count} corners with {} corner radii cannot be drawn.", radii.len()),
                "Give three corners or more, and one radius for all or one for each.",
            ));
        }
        let mut pieces: Vec<Piece> = Vec::with_capacity(2 * count);
        let rounded = (0..count)
            .map(|i| {
                round(
                    corners[(i + count - 1) % count],
                    corners[i],
                    corners[(i + 1) % count],
                    radii[i % radii.len()],
                )
            })
            .collect::<Result<Vec<_>>>()?;
        for i in 0..count {
            let (this, next) = (&rounded[i], &rounded[(i + 1) % count]);
            pieces.extend(this.arc);
            let run = next.from - this.to;
            let side = corners[(i + 1) % count] - corners[i];
            if run.norm() < EPSILON {
                continue; // Two roundings meet in the middle of the side.
            }
            if run.dot(&side) < 0.0 {
                return Err(Error::geometry(
                    format!(
                        "The side of {} mm is too short for the roundings at its two ends.",
                        number(side.norm())
                    ),
                    "Make the corner radii smaller or the side longer.",
                ));
            }
            pieces.push(Piece::line(this.to, next.from));
        }
        join_ends(&mut pieces);
        let made = Loop::from_pieces(&pieces);
        made.check()?;
        Ok(made.oriented(true))
    }

    /// A rectangle `width` along x and `height` along y.
    pub fn rectangle(centre: Point2, width: f64, height: f64) -> Result<Self> {
        Self::rounded_rectangle(centre, width, height, 0.0)
    }

    /// A rectangle with corners of radius `radius`; half the shorter side makes an obround.
    pub fn rounded_rectangle(centre: Point2, width: f64, height: f64, radius: f64) -> Result<Self> {
        let (w, h) = (length("width", width)? / 2.0, length("height", height)? / 2.0);
        let corners = [(-w, -h), (w, -h), (w, h), (-w, h)].map(|(x, y)| centre + Vector2::new(x, y));
        Self::filleted(&corners, &[radius])
    }

    /// A circle.
    pub fn circle(centre: Point2, radius: f64) -> Result<Self> {
        let radius = length("radius", radius)?;
        let made = Loop::from_pieces(&Piece::sweep(centre, radius, 0.0, 2.0 * PI).split(PI));
        made.check()?;
        Ok(made)
    }

    /// A slot with round ends whose end circles stand at `a` and `b`; a circle where they coincide.
    pub fn obround(a: Point2, b: Point2, width: f64) -> Result<Self> {
        let radius = length("width", width)? / 2.0;
        let run = b - a;
        if run.norm() < 10.0 * EPSILON {
            return Self::circle(a, radius);
        }
        let ahead = run.y.atan2(run.x);
        let near = Piece::sweep(a, radius, ahead + PI / 2.0, PI);
        let far = Piece::sweep(b, radius, ahead - PI / 2.0, PI);
        let made =
            Loop::from_pieces(&[near, Piece::line(near.to, far.from), far, Piece::line(far.to, near.from)]);
        made.check()?;
        Ok(made)
    }

    /// A slot with round ends bent round `centre`: its middle line has `radius` and runs
    /// counter-clockwise from the angle `from` to `to` (rad).
    pub fn arc_slot(centre: Point2, radius: f64, from: f64, to: f64, width: f64) -> Result<Self> {
        let (radius, half) = (length("radius", radius)?, length("width", width)? / 2.0);
        let sweep = to - from;
        if !(sweep > 0.0 && sweep < 2.0 * PI) || half >= radius {
            return Err(Error::geometry(
                format!(
                    "An arc slot {} mm wide on a radius of {} mm over {}° cannot be drawn.",
                    number(width),
                    number(radius),
                    number(sweep.to_degrees())
                ),
                "Make it narrower than twice its radius, and its arc longer than nothing and shorter than a full turn.",
            ));
        }
        let (start, end) = (centre + unit(from) * radius, centre + unit(to) * radius);
        let outside = Piece::sweep(centre, radius + half, from, sweep);
        let inside = Piece::sweep(centre, radius - half, to, -sweep);
        let made = Loop::from_pieces(&[
            outside,
            Piece::sweep(end, half, to, PI),
            inside,
            Piece::sweep(start, half, from + PI, PI),
        ]);
        made.check()?;
        Ok(made)
    }

    /// A round hole with a 45° peak towards the angle `up` (rad), so that it prints lying down
    /// without support. `flat` cuts the peak off level at that distance from the centre, between
    /// the radius and √2 times it; `None` leaves it sharp.
    pub fn teardrop(centre: Point2, radius: f64, up: f64, flat: Option<f64>) -> Result<Self> {
        let radius = length("radius", radius)?;
        let round = Piece::sweep(centre, radius, up + PI / 4.0, 1.5 * PI);
        let peak = radius * 2f64.sqrt();
        let mut pieces = round.split(PI);
        match flat {
            Some(height) if height < peak - EPSILON => {
                if height <= radius + EPSILON {
                    return Err(Error::geometry(
                        format!(
                            "A teardrop of radius {} mm cannot be cut off {} mm above its centre.",
                            number(radius),
                            number(height)
                        ),
                        format!("Cut it off between {} and {} mm.", number(radius), number(peak)),
                    ));
                }
                let (e, side) = (unit(up), unit(up + PI / 2.0));
                let (right, left) = (
                    centre + e * height - side * (peak - height),
                    centre + e * height + side * (peak - height),
                );
                pieces.extend([
                    Piece::line(round.to, right),
                    Piece::line(right, left),
                    Piece::line(left, round.from),
                ]);
            }
            _ => {
                let tip = centre + unit(up) * peak;
                pieces.extend([Piece::line(round.to, tip), Piece::line(tip, round.from)]);
            }
        }
        let made = Loop::from_pieces(&pieces);
        made.check()?;
        Ok(made)
    }

    /// The convex hull of circles: arcs and their common tangents, counter-clockwise.
    ///
    /// In every direction one circle reaches furthest. The directions in which two reach equally far
    /// part the turn into the arcs of the hull.
    pub fn hull(circles: &[(Point2, f64)]) -> Result<Self> {
        let reach =
            |k: usize, angle: f64| circles[k].0.x * angle.cos() + circles[k].0.y * angle.sin() + circles[k].1;
        let mut turns = Vec::new();
        for (i, a) in circles.iter().enumerate() {
            for b in &circles[..i] {
                let d = b.0 - a.0;
                let share = (a.1 - b.1) / d.norm();
                if share.abs() < 1.0 {
                    let towards = d.y.atan2(d.x);
                    turns.extend(
                        [towards + share.acos(), towards - share.acos()].map(|t: f64| t.rem_euclid(TAU)),
                    );
                }
            }
        }
        turns.sort_by(f64::total_cmp);
        turns.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let furthest =
            |angle: f64| (0..circles.len()).max_by(|&a, &b| reach(a, angle).total_cmp(&reach(b, angle)));
        let mut arcs: Vec<(usize, f64, f64)> = Vec::new();
        for (k, &from) in turns.iter().enumerate() {
            let to = turns.get(k + 1).copied().unwrap_or(turns[0] + TAU);
            let Some(best) = furthest((from + to) / 2.0) else {
                continue;
            };
            match arcs.last_mut() {
                Some(last) if last.0 == best => last.2 = to,
                _ => arcs.push((best, from, to)),
            }
        }
        if arcs.len() > 1 && arcs[0].0 == arcs[arcs.len() - 1].0 {
            let last = arcs.remove(arcs.len() - 1);
            arcs[0].1 = last.1 - TAU;
        }
        match arcs[..] {
            [] => circles.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or_else(
                || Err(Error::internal("The hull of no circles was asked for.")),
                |&(centre, radius)| Self::circle(centre, radius),
            ),
            _ => trace(circles, &arcs),
        }
    }
}

fn trace(circles: &[(Point2, f64)], arcs: &[(usize, f64, f64)]) -> Result<Loop> {
    let at = |k: usize, angle: f64| {
        let (centre, radius) = circles[k];
        Point2::new(centre.x + radius * angle.cos(), centre.y + radius * angle.sin())
    };
    let start = at(arcs[0].0, arcs[0].1);
    let mut here = start;
    let mut segments = Vec::new();
    for &(k, from, to) in arcs {
        let begin = at(k, from);
        if (begin - here).norm() > 1e-6 {
            segments.push(Segment::Line { to: begin });
        }
        let end = at(k, to);
        if (end - begin).norm() > 1e-6 || to - from > PI {
            segments.push(Segment::Arc { to: end, centre: circles[k].0, ccw: true });
        }
        here = end;
    }
    if (start - here).norm() > 1e-6 {
        segments.push(Segment::Line { to: start });
    } else if let Some(Segment::Line { to } | Segment::Arc { to, .. }) = segments.last_mut() {
        *to = start;
    }
    Loop::new(start, segments)
}

/// Makes each piece begin exactly where the one before it ends.
fn join_ends(pieces: &mut [Piece]) {
    for i in 0..pieces.len() {
        pieces[i].from = pieces[(i + pieces.len() - 1) % pieces.len()].to;
    }
}

/// A corner after rounding: where the side before it ends, the arc, where the side after it begins.
struct Corner {
    from: Point2,
    arc: Option<Piece>,
    to: Point2,
}

fn round(before: Point2, at: Point2, after: Point2, radius: f64) -> Result<Corner> {
    let sharp = Corner { from: at, arc: None, to: at };
    if radius == 0.0 {
        return Ok(sharp);
    }
    let radius = length("corner radius", radius)?;
    let (a, b) = (before - at, after - at);
    if a.norm() < EPSILON || b.norm() < EPSILON {
        return Err(Error::geometry(
            format!("Two corners of the outline coincide at ({}, {}) mm.", number(at.x), number(at.y)),
            "Change the dimensions that meet there.",
        ));
    }
    let (a, b) = (a.normalize(), b.normalize());
    let bend = cross(-a, b);
    if bend.abs() < 1e-9 {
        return Ok(sharp); // Straight on: nothing to round.
    }
    // The arc touches both sides at r / tan(half the inside angle) from the corner.
    let half = (a.dot(&b).clamp(-1.0, 1.0).acos()) / 2.0;
    let reach = radius / half.tan();
    let (from, to) = (at + a * reach, at + b * reach);
    let centre = at + (a + b).normalize() * (radius / half.sin());
    Ok(Corner { from, arc: Some(Piece::arc(from, to, centre, bend > 0.0)), to })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: f64, y: f64) -> Point2 {
        Point2::new(x, y)
    }

    #[test]
    fn every_outline_has_the_area_of_its_closed_form() {
        let near = |l: Loop, area: f64| assert!((l.area() - area).abs() < 1e-9, "{} for {area}", l.area());
        near(Loop::rectangle(p(3.0, 4.0), 10.0, 6.0).unwrap(), 60.0);
        near(Loop::rounded_rectangle(p(3.0, 4.0), 10.0, 6.0, 2.0).unwrap(), 60.0 - (4.0 - PI) * 4.0);
        near(Loop::rounded_rectangle(p(3.0, 4.0), 10.0, 6.0, 3.0).unwrap(), 24.0 + 9.0 * PI);
        near(Loop::rounded_rectangle(p(3.0, 4.0), 6.0, 6.0, 3.0).unwrap(), 9.0 * PI);
        near(Loop::circle(p(1.0, 2.0), 3.0).unwrap(), 9.0 * PI);
        near(Loop::obround(p(0.0, 0.0), p(3.0, 4.0), 2.0).unwrap(), 10.0 + PI);
        near(Loop::arc_slot(p(1.0, 1.0), 20.0, 0.3, 1.3, 4.0).unwrap(), 20.0 * 4.0 + 4.0 * PI);
        near(Loop::teardrop(p(0.0, 0.0), 2.0, PI / 2.0, None).unwrap(), 4.0 * (0.75 * PI + 1.0));
        let cut = 2f64.sqrt() * 2.0 - 2.3;
        near(Loop::teardrop(p(0.0, 0.0), 2.0, 0.7, Some(2.3)).unwrap(), 4.0 * (0.75 * PI + 1.0) - cut * cut);
        near(Loop::polygon(&[p(0.0, 0.0), p(4.0, 0.0), p(0.0, 3.0)]), 6.0);
    }

    #[test]
    fn an_inside_corner_is_filled_by_its_fillet() {
        let corners = [p(0.0, 0.0), p(30.0, 0.0), p(30.0, 5.0), p(5.0, 5.0), p(5.0, 40.0), p(0.0, 40.0)];
        let angle = Loop::filleted(&corners, &[0.0, 0.0, 0.0, 4.0, 0.0, 0.0]).unwrap();
        assert!((angle.area() - (30.0 * 5.0 + 35.0 * 5.0 + (4.0 - PI) * 4.0)).abs() < 1e-9);
        assert!(angle.contains(p(5.5, 5.5)) && !angle.contains(p(8.0, 8.0)));
    }

    #[test]
    fn outlines_that_cannot_be_are_refused() {
        assert!(Loop::circle(p(0.0, 0.0), 0.0).is_err());
        assert!(Loop::circle(p(0.0, f64::NAN), 1.0).is_err());
        assert!(Loop::rounded_rectangle(p(0.0, 0.0), 4.0, 4.0, 2.5).is_err());
        assert!(Loop::arc_slot(p(0.0, 0.0), 5.0, 0.0, 6.2, 4.0).is_err(), "its ends overlap");
        assert!(Loop::teardrop(p(0.0, 0.0), 2.0, 0.0, Some(1.0)).is_err());
        assert!(Loop::polygon(&[p(0.0, 0.0), p(1.0, 0.0), p(2.0, 0.0)]).check().is_err());
        assert!(Loop::polygon(&[]).check().is_err());
    }

    #[test]
    fn a_hull_of_two_circles_has_the_belts_length() {
        let hull = Loop::hull(&[(Point2::new(0.0, 0.0), 10.0), (Point2::new(60.0, 0.0), 40.0)]).unwrap();
        // An open belt: two straight runs, leaning by the difference of the radii, and both wraps.
        let lean = (30.0_f64 / 60.0).asin();
        let by_hand = 2.0 * 60.0 * lean.cos() + PI * (10.0 + 40.0) + 2.0 * lean * (40.0 - 10.0);
        assert!(
            (hull.pieces().iter().map(|piece| piece.length()).sum::<f64>() - by_hand).abs() < 1e-9
                && hull.is_ccw()
        );
    }

    #[test]
    fn a_hull_swallows_what_lies_inside() {
        let circles = [(Point2::new(0.0, 0.0), 5.0), (Point2::new(1.0, 0.0), 1.0)];
        assert!((Loop::hull(&circles).unwrap().area() - 25.0 * PI).abs() < 1e-9);
        let square = [(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0), (0.0, 0.0)]
            .map(|(x, y)| (Point2::new(x, y), 2.0));
        let rounded = Loop::hull(&square).unwrap();
        assert!((rounded.area() - (400.0 + 4.0 * 20.0 * 2.0 + 4.0 * PI)).abs() < 1e-9);
    }
}
