//! Features: prisms with chamfered rims, and bores drawn on a face.
//!
//! A feature is drawn on a [`Frame`] laid on a flat face, z pointing out of the solid. Its footprint
//! must lie wholly on that face; one that crosses the face's edge is refused, not guessed at. Where
//! a shape is meant to cross edges, [`Body::join`] and [`Body::cut`] do that.

use super::body::Face;
use super::piece::Piece;
use super::surface::{Kind, Surface};
use super::{Body, EPSILON, Frame, Loop, Point2, Point3, Region};
use crate::error::{Error, Result, number};

/// A bevel: how far it reaches over the face, and how far down the wall (mm).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chamfer {
    /// Over the face, square to the rim.
    pub inset: f64,
    /// Down the wall.
    pub depth: f64,
}

impl Chamfer {
    /// A 45° chamfer `size` wide on either side.
    pub fn at_45(size: f64) -> Self {
        Self { inset: size, depth: size }
    }

    fn check(&self) -> Result<()> {
        let sound = |v: f64| v.is_finite() && v > 10.0 * EPSILON && v < 1e4;
        if sound(self.inset) && sound(self.depth) {
            return Ok(());
        }
        Err(Error::geometry(
            format!(
                "A chamfer {} mm over the face and {} mm down the wall cannot be cut.",
                number(self.inset),
                number(self.depth)
            ),
            "Give it a width and an angle between 0 and 90°.",
        ))
    }
}

/// The chamfers on the two rims of a wall.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Edging {
    /// On the lower rim.
    pub foot: Option<Chamfer>,
    /// On the upper rim.
    pub head: Option<Chamfer>,
}

impl Body {
    /// The right prism over a region of the xy plane from `z0` to `z1`, with chamfered rims: those
    /// of the outer wall as `outer` says, those of every hole as `holes` says. A corner between a
    /// line and an arc that are not tangent cannot be chamfered (the bevel's corner would be a
    /// conic), nor can a rounding be smaller than the chamfer it carries.
    pub fn edged_prism(region: &Region, z0: f64, z1: f64, outer: Edging, holes: Edging) -> Result<Body> {
        let region = Region::new(region.outer.clone(), region.holes.clone())?;
        let (z0, z1) = (z0.min(z1), z0.max(z1));
        let mut faces = Vec::new();
        let (mut foot, mut head) = (Vec::new(), Vec::new());
        for (i, outline) in region.loops().enumerate() {
            let edging = if i == 0 { outer } else { holes };
            let depth = |c: Option<Chamfer>| c.map_or(0.0, |c| c.depth);
            let (low, high) = (z0 + depth(edging.foot), z1 - depth(edging.head));
            if high - low < 10.0 * EPSILON {
                return Err(Error::geometry(
                    format!("The chamfers on a wall {} mm high leave nothing of it.", number(z1 - z0)),
                    "Make the chamfers smaller or the wall higher.",
                ));
            }
            let pieces = outline.pieces();
            faces.extend(pieces.iter().map(|piece| super::sweep::wall(piece, low, high)));
            foot.push(bevel(&pieces, edging.foot, low, z0, &mut faces)?);
            head.push(bevel(&pieces, edging.head, high, z1, &mut faces)?);
        }
        let cap = |mut loops: Vec<Loop>| {
            let outer = loops.remove(0);
            Region::new(outer, loops).map_err(|e| {
                Error::geometry(format!("A chamfer is too wide. {}", e.says), "Make the chamfer smaller.")
            })
        };
        faces.push((Surface::plane(Frame::level(z0)), true, cap(foot)?));
        faces.push((Surface::plane(Frame::level(z1)), false, cap(head)?));
        Body::from_faces(faces)
    }

    /// A hole of constant section right through the solid, from the face that lies on `frame` to
    /// the flat face opposite. The footprint must lie wholly on both.
    pub fn bore(&self, frame: &Frame, footprint: impl Into<Region>) -> Result<Body> {
        let footprint = footprint.into();
        self.face_under(frame, &footprint, "bore")?;
        let depth = self.depth_behind(frame, &footprint, "bore")?;
        self.cut(&Body::prism_on(frame, &footprint, -depth, 0.0)?)
    }

    /// Makes sure that one flat face on `frame` that faces along its z holds the footprint.
    fn face_under(&self, frame: &Frame, footprint: &Region, what: &str) -> Result<()> {
        let at = footprint.outer.centroid();
        let mut level = self.flat_faces(frame, 1.0).filter(|(h, _)| h.abs() < EPSILON).peekable();
        if level.peek().is_none() {
            let p = frame.point(at);
            return Err(Error::geometry(
                format!(
                    "There is no face for a {what} at ({}, {}, {}) mm.",
                    number(p.x),
                    number(p.y),
                    number(p.z)
                ),
                "Change the dimension that places it.",
            ));
        }
        match level.any(|(_, face)| holds(&face.on_frame(frame), footprint)) {
            true => Ok(()),
            false => Err(crossing(what, at)),
        }
    }

    /// How far behind the face on `frame` the opposite face lies.
    fn depth_behind(&self, frame: &Frame, footprint: &Region, what: &str) -> Result<f64> {
        let start = frame.point(footprint.outer.start);
        let behind = self
            .flat_faces(frame, -1.0)
            .filter(|(height, face)| *height < -EPSILON && face.holds(face.surface.parameters(start)))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match behind {
            Some((height, face)) if holds(&face.on_frame(frame), footprint) => Ok(-height),
            Some(_) => Err(crossing(what, footprint.outer.centroid())),
            None => Err(Error::geometry(
                format!("A {what} finds no flat face opposite its own."),
                "Draw it where the two faces are parallel.",
            )),
        }
    }

    /// Flat faces square to the frame's z that face along (1) or against (−1) it, and their height
    /// on the frame.
    fn flat_faces(&self, frame: &Frame, sign: f64) -> impl Iterator<Item = (f64, &Face)> {
        let z = frame.z * sign;
        let faces = move |face: &&Face| {
            matches!(face.surface.kind, Kind::Plane) && (face.outward(Point2::origin()) - z).amax() < 1e-9
        };
        self.faces.iter().filter(faces).map(|face| (frame.height(face.surface.frame.origin), face))
    }
}

fn crossing(what: &str, at: Point2) -> Error {
    Error::geometry(
        format!(
            "The {what} at ({}, {}) mm on its face crosses the face's edge or another opening.",
            number(at.x),
            number(at.y)
        ),
        "Move it inwards, make it smaller or make the face larger.",
    )
}

/// Whether a face's region holds a footprint whole: no boundary touches, and no hole of the face
/// lies under it.
fn holds(region: &Region, footprint: &Region) -> bool {
    let apart = footprint.loops().all(|a| region.loops().all(|b| !a.meets(b)));
    let inside = footprint.loops().all(|l| region.contains(l.start));
    apart && inside && !region.holes.iter().any(|h| footprint.contains(h.start))
}

/// The bevel faces from a wall's rim at height `rim` to the cap at `cap`, and the cap's loop.
fn bevel(
    pieces: &[Piece],
    chamfer: Option<Chamfer>,
    rim: f64,
    cap: f64,
    faces: &mut Vec<(Surface, bool, Region)>,
) -> Result<Loop> {
    let Some(chamfer) = chamfer else {
        return Ok(Loop::from_pieces(pieces));
    };
    chamfer.check()?;
    let inset = inset(pieces, chamfer.inset)?;
    for (piece, moved) in pieces.iter().zip(&inset) {
        faces.push(slope(piece, moved, rim, cap));
    }
    Ok(Loop::from_pieces(&inset))
}

/// Every piece moved to its left, into the material, by `by`; corners mitred.
fn inset(pieces: &[Piece], by: f64) -> Result<Vec<Piece>> {
    let count = pieces.len();
    let corner = |i: usize| -> Result<Point2> {
        let (a, b) = (&pieces[i], &pieces[(i + 1) % count]);
        let (s, t) = (a.tangent(1.0), b.tangent(0.0));
        let left = |v: nalgebra::Vector2<f64>| nalgebra::Vector2::new(-v.y, v.x);
        if super::piece::cross(s, t).abs() < 1e-9 && s.dot(&t) > 0.0 {
            return Ok(a.to + left(s) * by);
        }
        if a.bend.is_some() || b.bend.is_some() {
            return Err(Error::geometry(
                format!(
                    "The corner at ({}, {}) mm between a line and an arc cannot be chamfered.",
                    number(a.to.x),
                    number(a.to.y)
                ),
                "Round the corner so that the two run smoothly into each other, or leave out the chamfer.",
            ));
        }
        let half = left(s) + left(t);
        Ok(a.to + half * (2.0 * by / half.norm_squared()))
    };
    let corners = (0..count).map(corner).collect::<Result<Vec<_>>>()?;
    let too_small = |at: Point2| {
        Error::geometry(
            format!(
                "A chamfer {} mm wide does not fit on the side or rounding at ({}, {}) mm.",
                number(by),
                number(at.x),
                number(at.y)
            ),
            "Make the chamfer smaller, or the side longer or its radius larger.",
        )
    };
    (0..count)
        .map(|i| {
            let (piece, from, to) = (&pieces[i], corners[(i + count - 1) % count], corners[i]);
            match piece.bend {
                None if (to - from).dot(&piece.tangent(0.0)) > EPSILON => Ok(Piece::line(from, to)),
                Some(b) if b.radius - by * b.sweep.signum() > EPSILON => {
                    let bend = super::piece::Bend { radius: b.radius - by * b.sweep.signum(), ..b };
                    Ok(Piece { from, to, bend: Some(bend) })
                }
                _ => Err(too_small(piece.at(0.5))),
            }
        })
        .collect()
}

/// The sloping face between a rim piece at one height and its inset at another.
fn slope(piece: &Piece, inset: &Piece, rim: f64, cap: f64) -> (Surface, bool, Region) {
    let Some(b) = piece.bend else {
        let lift = |p: Point2, z: f64| Point3::new(p.x, p.y, z);
        let x = (lift(piece.to, rim) - lift(piece.from, rim)).normalize();
        let down = lift(inset.from, cap) - lift(piece.from, rim);
        let normal = if cap < rim { down.cross(&x) } else { x.cross(&down) }.normalize();
        let frame = Frame { origin: lift(piece.from, rim), x, y: normal.cross(&x), z: normal };
        let corners = [(piece.from, rim), (piece.to, rim), (inset.to, cap), (inset.from, cap)]
            .map(|(p, z)| frame.project(lift(p, z)));
        return (Surface::plane(frame), false, Region::oriented(Loop::polygon(&corners), Vec::new()));
    };
    let radius = inset.bend.map_or(b.radius, |i| i.radius);
    let growth = (radius - b.radius) / (cap - rim);
    let frame = Frame { origin: Point3::new(b.centre.x, b.centre.y, rim), ..Frame::world() };
    let surface = Surface { frame, kind: Kind::Cone { radius: b.radius, slope: growth } };
    (surface, b.sweep < 0.0, super::sweep::patch((b.start, b.start + b.sweep), (0.0, cap - rim)))
}
