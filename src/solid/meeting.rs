//! Where two surfaces meet, and where a ray meets one.
//!
//! Only straight lines and circles that are level on a round surface (or run round the tube of a
//! torus) can bound a face. Surfaces that would meet in any other curve are [`Meeting::Askew`];
//! whether the faces on them really come across each other is then looked into by
//! [`cross_askew`].

use super::body::Face;
use super::piece::{Bend, Piece, line_and_circle};
use super::surface::{Kind, Surface};
use super::{EPSILON, Point2, Point3, Vector2, Vector3};
use std::f64::consts::TAU;

/// A whole line or circle in space.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Whole {
    Line { point: Point3, along: Vector3 },
    Circle { centre: Point3, axis: Vector3, radius: f64 },
}

/// How two surfaces lie to each other.
#[derive(Clone, Debug)]
pub(crate) enum Meeting {
    Same,
    Along(Vec<Whole>),
    Askew,
}

/// Where two canonical surfaces meet.
pub(crate) fn meeting(a: &Surface, b: &Surface) -> Meeting {
    match (a.kind, b.kind) {
        _ if a.same(b) => Meeting::Same,
        (Kind::Plane, Kind::Plane) => Meeting::Along(planes(a, b).into_iter().collect()),
        (Kind::Plane, _) => plane_and_round(a, b),
        (_, Kind::Plane) => plane_and_round(b, a),
        _ if a.coaxial(b) => Meeting::Along(coaxial(a, b)),
        (Kind::Cylinder { radius: r }, Kind::Cylinder { radius: s })
            if a.frame.z.cross(&b.frame.z).amax() < 1e-9 =>
        {
            Meeting::Along(parallel(a, r, b, s))
        }
        _ => Meeting::Askew,
    }
}

fn planes(a: &Surface, b: &Surface) -> Option<Whole> {
    let (m, n) = (a.frame.z, b.frame.z);
    let along = m.cross(&n);
    if along.norm() < 1e-9 {
        return None;
    }
    // The point of both planes nearest to the origin: d₁ (n × l) + d₂ (l × m), over |l|².
    let (d, e) = (m.dot(&a.frame.origin.coords), n.dot(&b.frame.origin.coords));
    let point = (n.cross(&along) * d + along.cross(&m) * e) / along.norm_squared();
    Some(Whole::Line { point: point.into(), along: along.normalize() })
}

fn plane_and_round(plane: &Surface, round: &Surface) -> Meeting {
    let (n, axis) = (plane.frame.z, round.frame.z);
    let away = -plane.frame.height(round.frame.origin);
    let tilt = n.dot(&axis);
    if n.cross(&axis).amax() < 1e-9 {
        return Meeting::Along(levels(round, away / tilt));
    }
    if tilt.abs() > 1e-9 {
        return Meeting::Askew;
    }
    // The plane is upright to the round surface; `away` is its distance from the axis along n.
    let foot = round.frame.origin + n * away;
    let side = axis.cross(&n);
    match round.kind {
        Kind::Cylinder { radius } if away.abs() > radius + EPSILON => Meeting::Along(Vec::new()),
        Kind::Cylinder { radius } => {
            let half = (radius * radius - away * away).max(0.0).sqrt();
            let line = |s: f64| Whole::Line { point: foot + side * s, along: axis };
            let touches = (away.abs() - radius).abs() < EPSILON * 1e-3 || half < EPSILON;
            Meeting::Along(if touches { vec![line(0.0)] } else { vec![line(half), line(-half)] })
        }
        Kind::Cone { radius, slope } if away.abs() < EPSILON => {
            let apex = round.frame.origin - axis * (radius / slope);
            let line = |s: f64| Whole::Line { point: apex, along: (axis + side * (slope * s)).normalize() };
            Meeting::Along(vec![line(1.0), line(-1.0)])
        }
        Kind::Torus { major, minor } if away.abs() < EPSILON => {
            let circle = |s: f64| Whole::Circle {
                centre: round.frame.origin + side * (major * s),
                axis: n,
                radius: minor,
            };
            Meeting::Along(if major.abs() < EPSILON {
                vec![circle(1.0)]
            } else {
                vec![circle(1.0), circle(-1.0)]
            })
        }
        _ => Meeting::Askew,
    }
}

/// The level circles of a round surface at a height over its frame's origin.
fn levels(round: &Surface, height: f64) -> Vec<Whole> {
    let circle = |radius: f64| Whole::Circle {
        centre: round.frame.origin + round.frame.z * height,
        axis: round.frame.z,
        radius,
    };
    let radii = match round.kind {
        Kind::Torus { major, minor } => {
            let half = (minor * minor - height * height).max(0.0).sqrt();
            match height.abs() {
                h if h > minor + EPSILON => vec![],
                _ if half < EPSILON => vec![major],
                _ => vec![major + half, major - half],
            }
        }
        _ => vec![round.radius(height)],
    };
    radii.into_iter().filter(|r| *r > EPSILON).map(circle).collect()
}

/// The meridian of a round surface in the half-plane of radius and height over `base`.
fn meridian(surface: &Surface, base: Point3) -> Piece {
    let z = surface.frame.z;
    let lift = (surface.frame.origin - base).dot(&z);
    let line = |radius: f64, slope: f64| {
        Piece::line(Point2::new(radius, lift), Point2::new(radius + slope, lift + 1.0))
    };
    match surface.kind {
        Kind::Torus { major, minor } => Piece::sweep(Point2::new(major, lift), minor, 0.0, TAU),
        Kind::Cone { radius, slope } => line(radius, slope),
        Kind::Cylinder { radius } => line(radius, 0.0),
        Kind::Plane => line(0.0, 0.0),
    }
}

fn coaxial(a: &Surface, b: &Surface) -> Vec<Whole> {
    let base = a.frame.origin;
    let crossings = meridian(a, base).crossings(&meridian(b, base));
    let circle = |p: Point2| Whole::Circle { centre: base + a.frame.z * p.y, axis: a.frame.z, radius: p.x };
    crossings.into_iter().filter(|p| p.x > EPSILON).map(circle).collect()
}

fn parallel(a: &Surface, r: f64, b: &Surface, s: f64) -> Vec<Whole> {
    let centre = a.frame.project(b.frame.origin);
    let circle = |centre: Point2, radius: f64| Piece::sweep(centre, radius, 0.0, TAU);
    let line = |p: Point2| Whole::Line { point: a.frame.point(p), along: a.frame.z };
    circle(Point2::origin(), r).crossings(&circle(centre, s)).into_iter().map(line).collect()
}

/// Where a ray meets a surface: how far along it, and whether it only grazes there.
pub(crate) fn hits(surface: &Surface, from: Point3, along: Vector3) -> Vec<(f64, bool)> {
    let frame = &surface.frame;
    let p = Point3::new(
        (from - frame.origin).dot(&frame.x),
        (from - frame.origin).dot(&frame.y),
        frame.height(from),
    );
    let d = Vector3::new(along.dot(&frame.x), along.dot(&frame.y), along.dot(&frame.z));
    let roots = match surface.kind {
        Kind::Plane if d.z.abs() < 1e-12 => Vec::new(),
        Kind::Plane => vec![-p.z / d.z],
        Kind::Cylinder { radius } => {
            let b = Bend { centre: Point2::origin(), radius, start: 0.0, sweep: TAU };
            let flat = d.xy();
            if flat.norm() < 1e-12 {
                return Vec::new();
            }
            line_and_circle(p.xy(), flat, &b)
                .into_iter()
                .map(|q| (q - p.xy()).dot(&flat) / flat.norm_squared())
                .collect()
        }
        Kind::Cone { radius, slope } => {
            let r = radius + slope * p.z;
            let a = d.xy().norm_squared() - (slope * d.z).powi(2);
            let b = p.xy().coords.dot(&d.xy()) - r * slope * d.z;
            let c = p.xy().coords.norm_squared() - r * r;
            quadratic(a, b, c).into_iter().filter(|t| r + slope * d.z * t > 0.0).collect()
        }
        Kind::Torus { major, minor } => torus_hits(p, d, major, minor),
    };
    let grazes =
        |t: f64| surface.normal(surface.parameters(from + along * t)).dot(&along).abs() < 1e-4 * along.norm();
    roots.into_iter().map(|t| (t, grazes(t))).collect()
}

/// Real roots of a t² + 2 b t + c.
fn quadratic(a: f64, b: f64, c: f64) -> Vec<f64> {
    if a.abs() < 1e-14 {
        return if b.abs() < 1e-14 { Vec::new() } else { vec![-c / (2.0 * b)] };
    }
    let inner = b * b - a * c;
    if inner < 0.0 {
        return Vec::new();
    }
    let root = inner.sqrt();
    vec![(-b - root) / a, (-b + root) / a]
}

/// A sphere's quadratic, or the torus's quartic: (|x|² + R² − m²)² = 4 R² (x² + y²).
fn torus_hits(p: Point3, d: Vector3, major: f64, minor: f64) -> Vec<f64> {
    let (dd, pd, pp) = (d.norm_squared(), p.coords.dot(&d), p.coords.norm_squared());
    if major == 0.0 {
        return quadratic(dd, pd, pp - minor * minor);
    }
    let k = pp + major * major - minor * minor;
    let (ff, pf, qf) = (d.xy().norm_squared(), p.xy().coords.dot(&d.xy()), p.xy().coords.norm_squared());
    let r = 4.0 * major * major;
    let quartic = [
        k * k - r * qf,
        4.0 * pd * k - 2.0 * r * pf,
        2.0 * dd * k + 4.0 * pd * pd - r * ff,
        4.0 * dd * pd,
        dd * dd,
    ];
    // Every hit lies within the ball that holds the torus.
    let reach = (pp.sqrt() + major.abs() + minor) / dd.sqrt() * 1.01;
    let on_the_tube = |t: f64| {
        let q = p + d * t;
        ((q.xy().coords.norm() - major).hypot(q.z) - minor).abs() < 1e-4 * (1.0 + major.abs() + minor)
    };
    roots(&quartic, -reach, reach).into_iter().filter(|&t| on_the_tube(t)).collect()
}

/// The real roots between `low` and `high` of a polynomial (constant term first) at which it
/// changes sign. Between two neighbouring roots of its derivative it has one or none.
fn roots(polynomial: &[f64], low: f64, high: f64) -> Vec<f64> {
    let value = |t: f64| polynomial.iter().rev().fold(0.0, |sum, c| sum * t + c);
    if polynomial.len() < 2 {
        return Vec::new();
    }
    let derivative: Vec<f64> = polynomial.iter().enumerate().skip(1).map(|(i, c)| i as f64 * c).collect();
    let mut stops = vec![low];
    stops.extend(roots(&derivative, low, high));
    stops.push(high);
    let bisect = |mut a: f64, mut b: f64| {
        let rising = value(b) > 0.0;
        for _ in 0..80 {
            let middle = (a + b) / 2.0;
            if (value(middle) > 0.0) == rising { b = middle } else { a = middle }
        }
        (a + b) / 2.0
    };
    stops
        .windows(2)
        .filter(|w| (value(w[0]) > 0.0) != (value(w[1]) > 0.0))
        .map(|w| bisect(w[0], w[1]))
        .collect()
}

/// Whether two faces on askew surfaces come across each other: upright lines of the one, close by
/// each other, are tried against the other.
pub(crate) fn cross_askew(a: &Face, b: &Face) -> bool {
    let tubular = |f: &Face| matches!(f.surface.kind, Kind::Plane | Kind::Torus { .. });
    match (tubular(a), tubular(b)) {
        (false, _) => uprights_cross(a, b),
        (true, false) => uprights_cross(b, a),
        // A torus askew to a plane or another torus: their boxes overlap, and that is enough.
        (true, true) => true,
    }
}

fn uprights_cross(a: &Face, b: &Face) -> bool {
    const LINES: usize = 181;
    let (low, high) = a.region.bounds();
    (0..LINES).any(|i| {
        // Off the round numbers, at which corners tend to lie.
        let u = low.x + (high.x - low.x) * (i as f64 + 0.5 + 0.01 * (i % 7) as f64) / (LINES as f64 + 1.0);
        let (foot, head) = (a.surface.point(Point2::new(u, low.y)), a.surface.point(Point2::new(u, high.y)));
        let inside = |t: f64| {
            let p = foot + (head - foot) * t;
            let q = Point2::new(u, low.y + (high.y - low.y) * t);
            strictly(a, q) && within_turns(b, b.surface.parameters(p)).any(|q| strictly(b, q))
        };
        hits(&b.surface, foot, head - foot).into_iter().any(|(t, _)| (0.0..=1.0).contains(&t) && inside(t))
    })
}

fn strictly(face: &Face, p: Point2) -> bool {
    face.region.contains(p) && face.region.distance(p) > 10.0 * EPSILON
}

/// A point of a face's parameters with every number of turns that may bring it into the region.
pub(crate) fn within_turns(face: &Face, p: Point2) -> impl Iterator<Item = Point2> + use<> {
    let round = face.surface.is_round();
    let torus = matches!(face.surface.kind, Kind::Torus { .. });
    let turns = move |turning: bool| if turning { -1..=1 } else { 0..=0 };
    turns(round).flat_map(move |i| {
        turns(torus).map(move |j| p + Vector2::new(f64::from(i) * TAU, f64::from(j) * TAU))
    })
}
