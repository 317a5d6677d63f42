//! The two ways a solid begins: a profile turned round an axis, and a region drawn out straight.

use super::piece::Piece;
use super::surface::{Kind, Surface};
use super::{Body, EPSILON, Frame, Loop, Point2, Point3, Region, Vector3};
use crate::error::{Error, Result, number};
use std::f64::consts::PI;

type Faces = Vec<(Surface, bool, Region)>;

/// A rectangle of parameters.
pub(crate) fn patch(u: (f64, f64), v: (f64, f64)) -> Region {
    let (u, v) = ((u.0.min(u.1), u.0.max(u.1)), (v.0.min(v.1), v.0.max(v.1)));
    let corners = [(u.0, v.0), (u.1, v.0), (u.1, v.1), (u.0, v.1)].map(|(u, v)| Point2::new(u, v));
    let sides: Vec<Piece> = (0..4).map(|i| Piece::line(corners[i], corners[(i + 1) % 4])).collect();
    Region { outer: Loop::from_pieces(&sides), holes: Vec::new() }
}

/// Corners nearer than this are one, mm.
const ONE_CORNER: f64 = 1e-9;

impl Body {
    /// What is turned by its corners, each a diameter and a height, mm; corners that fall together are one.
    pub fn turned(corners: &[(f64, f64)]) -> Result<Body> {
        let mut points: Vec<Point2> = corners.iter().map(|&(d, z)| Point2::new(d / 2.0, z)).collect();
        points.dedup_by(|a, b| (*a - *b).norm() < ONE_CORNER);
        Body::revolve(&Loop::polygon(&points))
    }

    /// The solid a closed profile in the (r, z) half-plane sweeps round the z axis. x of the
    /// profile is the radius and may touch but not cross 0.
    pub fn revolve(profile: &Loop) -> Result<Body> {
        profile.check()?;
        let profile = profile.oriented(true);
        let least = profile.bounds().0.x;
        if least < -EPSILON {
            return Err(Error::geometry(
                format!("A turned profile reaches {} mm across its own axis.", number(-least)),
                "Keep every radius of the profile at 0 or more.",
            ));
        }
        let mut faces = Faces::new();
        for piece in profile.pieces() {
            turned(&snapped(piece), &mut faces);
        }
        Body::from_faces(faces)
    }

    /// The right prism over a region of the xy plane from `z0` to `z1`.
    pub fn prism(region: &Region, z0: f64, z1: f64) -> Result<Body> {
        let region = Region::new(region.outer.clone(), region.holes.clone())?;
        let (z0, z1) = (z0.min(z1), z0.max(z1));
        if !(z0.is_finite() && z1.is_finite() && z1 - z0 > 2.0 * EPSILON) {
            return Err(Error::geometry(
                format!("A solid from z = {} to z = {} mm has no thickness.", number(z0), number(z1)),
                "Make it thicker.",
            ));
        }
        let mut faces: Faces = vec![
            (Surface::plane(Frame::level(z0)), true, region.clone()),
            (Surface::plane(Frame::level(z1)), false, region.clone()),
        ];
        for piece in region.loops().flat_map(Loop::pieces) {
            faces.push(wall(&piece, z0, z1));
        }
        Body::from_faces(faces)
    }

    /// The right prism over a region drawn on a frame's x-y plane, from `z0` to `z1` along its z.
    pub fn prism_on(frame: &Frame, region: &Region, z0: f64, z1: f64) -> Result<Body> {
        Ok(Body::prism(region, z0, z1)?.placed(frame))
    }
}

/// The upright wall over a piece of an outline with the material on its left.
pub(crate) fn wall(piece: &Piece, z0: f64, z1: f64) -> (Surface, bool, Region) {
    match piece.bend {
        None => {
            let run = piece.to - piece.from;
            let out = Vector3::new(run.y, -run.x, 0.0).normalize();
            let x = Vector3::new(run.x, run.y, 0.0).normalize();
            let frame =
                Frame { origin: Point3::new(piece.from.x, piece.from.y, 0.0), x, y: Vector3::z(), z: out };
            (Surface::plane(frame), false, patch((0.0, run.norm()), (z0, z1)))
        }
        Some(b) => {
            let frame = Frame { origin: Point3::new(b.centre.x, b.centre.y, 0.0), ..Frame::world() };
            let surface = Surface { frame, kind: Kind::Cylinder { radius: b.radius } };
            (surface, b.sweep < 0.0, patch((b.start, b.start + b.sweep), (z0, z1)))
        }
    }
}

/// Radii that are nought but for rounding are nought.
fn snapped(piece: Piece) -> Piece {
    let snap = |p: Point2| {
        if p.x.abs() < EPSILON { Point2::new(0.0, p.y) } else { p }
    };
    Piece { from: snap(piece.from), to: snap(piece.to), ..piece }
}

/// The faces a piece of a counter-clockwise profile sweeps, in two halves so that none closes on
/// itself.
fn turned(piece: &Piece, faces: &mut Faces) {
    const HALVES: [(f64, f64); 2] = [(0.0, PI), (PI, 2.0 * PI)];
    let (p, q) = (piece.from, piece.to);
    if let Some(b) = piece.bend {
        let frame = Frame::level(b.centre.y);
        let surface = Surface { frame, kind: Kind::Torus { major: b.centre.x, minor: b.radius } };
        faces.extend(HALVES.map(|u| (surface, b.sweep < 0.0, patch(u, (b.start, b.start + b.sweep)))));
        return;
    }
    let (dr, dz) = (q.x - p.x, q.y - p.y);
    if p.x == 0.0 && q.x == 0.0 {
        return; // Along the axis: sweeps nothing.
    }
    if dz.abs() < EPSILON * 1e-3 {
        faces.push((Surface::plane(Frame::level(p.y)), dr > 0.0, annulus(p.x.min(q.x), p.x.max(q.x))));
        return;
    }
    let kind = if dr.abs() < EPSILON * 1e-3 {
        Kind::Cylinder { radius: p.x }
    } else {
        Kind::Cone { radius: p.x - dr / dz * p.y, slope: dr / dz }
    };
    let surface = Surface { frame: Frame::world(), kind };
    faces.extend(HALVES.map(|u| (surface, dz < 0.0, patch(u, (p.y, q.y)))));
}

fn annulus(inner: f64, outer: f64) -> Region {
    let circle =
        |radius: f64| Loop::from_pieces(&Piece::sweep(Point2::origin(), radius, 0.0, 2.0 * PI).split(PI));
    let holes = if inner > 0.0 { vec![circle(inner)] } else { Vec::new() };
    Region::oriented(circle(outer), holes)
}
