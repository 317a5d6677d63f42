//! The faces of a plate, gathered one by one and sewn into a solid.
//!
//! Every horizontal face is a region at a height; every wall stands over a piece of an outline, or
//! leans from one piece to its fellow (parallel or concentric) at another height. All outlines are
//! run with the solid on their left, holes too.

use crate::error::Result;
use crate::solid::piece::Piece;
use crate::solid::surface::{Kind, Surface};
use crate::solid::sweep::{patch, wall};
use crate::solid::{Body, EPSILON, Frame, Loop, Point2, Point3, Region, Vector2, Vector3};
use std::f64::consts::PI;

/// Faces not yet sewn.
#[derive(Default)]
pub struct Shell {
    faces: Vec<(Surface, bool, Region)>,
}

impl Shell {
    /// A level face at height `z` with the solid below it.
    pub fn top(&mut self, region: Region, z: f64) {
        self.faces.push((Surface::plane(Frame::level(z)), false, region));
    }

    /// A level face at height `z` with the solid above it.
    pub fn bottom(&mut self, region: Region, z: f64) {
        self.faces.push((Surface::plane(Frame::level(z)), true, region));
    }

    /// Upright walls over pieces of an outline.
    pub fn walls(&mut self, pieces: &[Piece], z0: f64, z1: f64) {
        self.faces.extend(pieces.iter().map(|piece| wall(piece, z0, z1)));
    }

    /// Leaning walls from an outline at `z0` to its fellow at `z1`, piece by piece.
    pub fn slopes(&mut self, low: &[Piece], z0: f64, high: &[Piece], z1: f64) {
        for (foot, head) in low.iter().zip(high) {
            let face = match (foot.bend, head.bend) {
                (Some(a), Some(b)) if (a.radius - b.radius).abs() > EPSILON => cone(foot, z0, b.radius, z1),
                (Some(_), Some(_)) => wall(foot, z0, z1),
                _ => slope(foot, z0, head, z1),
            };
            self.faces.push(face);
        }
    }

    /// The wall of a round opening: the profile gives heights upwards, each with its radius.
    /// `angles` is the part of the turn it takes, at most half a turn.
    pub fn bore(&mut self, centre: Point2, profile: &[(f64, f64)], angles: (f64, f64)) {
        for step in profile.windows(2) {
            let ((z0, r0), (z1, r1)) = (step[0], step[1]);
            if (z1 - z0).abs() < EPSILON {
                continue;
            }
            let frame = Frame { origin: Point3::new(centre.x, centre.y, 0.0), ..Frame::world() };
            let surface = Surface { frame, kind: round(z0, r0, z1, r1) };
            self.faces.push((surface, true, patch(angles, (z0, z1))));
        }
    }

    /// The wall of a whole round opening.
    pub fn full_bore(&mut self, centre: Point2, profile: &[(f64, f64)]) {
        self.bore(centre, profile, (0.0, PI));
        self.bore(centre, profile, (PI, 2.0 * PI));
    }

    /// An upright flat face along x at the height `y` of the plan. `way` is 1 where the solid lies
    /// towards +y and -1 where it lies towards -y. Its left and right boundary are given upwards as
    /// (along the run, z).
    pub fn parting(&mut self, y: f64, way: f64, left: &[(f64, f64)], right: &[(f64, f64)]) {
        let frame = Frame {
            origin: Point3::new(0.0, y, 0.0),
            x: Vector3::new(way, 0.0, 0.0),
            y: Vector3::z(),
            z: Vector3::new(0.0, -way, 0.0),
        };
        let point = |&(s, z): &(f64, f64)| Point2::new(s, z);
        let corners: Vec<Point2> = right.iter().map(point).chain(left.iter().rev().map(point)).collect();
        let count = corners.len();
        let sides: Vec<Piece> = (0..count)
            .map(|i| Piece::line(corners[i], corners[(i + 1) % count]))
            .filter(|side| side.length() > EPSILON)
            .collect();
        let region = Region { outer: super::outline::closed(sides), holes: vec![] };
        self.faces.push((Surface::plane(frame), false, region));
    }

    /// An upright flat face over a straight piece, with windows in it; windows are loops in
    /// (distance along the piece, height).
    pub fn window_wall(&mut self, piece: &Piece, z0: f64, z1: f64, windows: Vec<Loop>) {
        let (surface, inward, region) = wall(piece, z0, z1);
        let holes = windows.into_iter().map(|window| window.oriented(false)).collect();
        self.faces.push((surface, inward, Region { holes, ..region }));
    }

    /// An upright wall with a point more on its edges at the beginning and end of its piece, at those heights:
    /// where faces beside it end halfway up. The piece runs straight or counter-clockwise.
    pub fn stepped_wall(&mut self, piece: &Piece, (z0, z1): (f64, f64), steps: [Option<f64>; 2]) {
        let (surface, inward, region) = wall(piece, z0, z1);
        let (least, most) = region.outer.bounds();
        let mut corners = vec![least, Point2::new(most.x, least.y)];
        corners.extend(steps[1].map(|z| Point2::new(most.x, z)));
        corners.extend([most, Point2::new(least.x, most.y)]);
        corners.extend(steps[0].map(|z| Point2::new(least.x, z)));
        self.faces.push((surface, inward, Region { outer: Loop::polygon(&corners), holes: vec![] }));
    }

    /// The fillet between an upright wall over a piece and the level face at `z0` it stands on. An arc is one
    /// that bulges outwards.
    pub fn fillet(&mut self, piece: &Piece, z0: f64, radius: f64) {
        let face = match piece.bend {
            Some(b) => {
                let origin = Point3::new(b.centre.x, b.centre.y, z0 + radius);
                let frame = Frame { origin, ..Frame::world() };
                let kind = Kind::Torus { major: b.radius + radius, minor: radius };
                let angles = (b.start, b.start + b.sweep);
                (Surface { frame, kind }, true, patch(angles, (-PI, -PI / 2.0)))
            }
            None => {
                let run = piece.to - piece.from;
                let z = Vector3::new(run.x, run.y, 0.0).normalize();
                let inwards = Vector3::z().cross(&z);
                let origin = Point3::new(piece.from.x, piece.from.y, z0 + radius) - inwards * radius;
                let frame = Frame { origin, x: inwards, y: Vector3::z(), z };
                let surface = Surface { frame, kind: Kind::Cylinder { radius } };
                (surface, true, patch((-PI / 2.0, 0.0), (0.0, run.norm())))
            }
        };
        self.faces.push(face);
    }

    /// The flat end of a fillet at `at`, where a wall turns `towards` a side that has none.
    pub fn fillet_end(&mut self, (at, right): (Point2, bool), towards: Vector2, z0: f64, radius: f64) {
        let z = Vector3::new(towards.x, towards.y, 0.0);
        let frame =
            Frame { origin: Point3::new(at.x, at.y, z0), x: Vector3::z().cross(&z), y: Vector3::z(), z };
        let (p, r) = (Point2::new, radius);
        let outer = match right {
            true => Loop::from_pieces(&[
                Piece::line(p(0.0, 0.0), p(0.0, r)),
                Piece::sweep(p(-r, r), r, 0.0, -PI / 2.0),
                Piece::line(p(-r, 0.0), p(0.0, 0.0)),
            ]),
            false => Loop::from_pieces(&[
                Piece::line(p(0.0, 0.0), p(r, 0.0)),
                Piece::sweep(p(r, r), r, -PI / 2.0, -PI / 2.0),
                Piece::line(p(0.0, r), p(0.0, 0.0)),
            ]),
        };
        self.faces.push((Surface::plane(frame), false, Region { outer, holes: vec![] }));
    }

    /// The solid the faces close.
    pub fn sew(self) -> Result<Body> {
        Body::from_faces(self.faces)
    }
}

fn round(z0: f64, r0: f64, z1: f64, r1: f64) -> Kind {
    if (r1 - r0).abs() < EPSILON {
        return Kind::Cylinder { radius: r0 };
    }
    let slope = (r1 - r0) / (z1 - z0);
    Kind::Cone { radius: r0 - slope * z0, slope }
}

fn cone(foot: &Piece, z0: f64, radius: f64, z1: f64) -> (Surface, bool, Region) {
    let Some(b) = foot.bend else {
        return wall(foot, z0, z1);
    };
    let frame = Frame { origin: Point3::new(b.centre.x, b.centre.y, 0.0), ..Frame::world() };
    let surface = Surface { frame, kind: round(z0, b.radius, z1, radius) };
    (surface, b.sweep < 0.0, patch((b.start, b.start + b.sweep), (z0, z1)))
}

/// The plane through two parallel straight pieces at their heights.
fn slope(foot: &Piece, z0: f64, head: &Piece, z1: f64) -> (Surface, bool, Region) {
    let lift = |p: Point2, z: f64| Point3::new(p.x, p.y, z);
    let corners = [lift(foot.from, z0), lift(foot.to, z0), lift(head.to, z1), lift(head.from, z1)];
    let x = (corners[1] - corners[0]).normalize();
    let up = corners[3] - corners[0];
    let y = (up - x * up.dot(&x)).normalize();
    let frame = Frame { origin: corners[0], x, y, z: x.cross(&y) };
    let flat = corners.map(|corner| frame.project(corner));
    let sides: Vec<Piece> = (0..4).map(|i| Piece::line(flat[i], flat[(i + 1) % 4])).collect();
    (Surface::plane(frame), false, Region { outer: Loop::from_pieces(&sides), holes: vec![] })
}
