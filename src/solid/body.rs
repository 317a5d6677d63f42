//! A closed solid: faces, the edges where two of them meet, and the points where edges end.

use super::piece::{Piece, distance, hold, turn};
use super::surface::{Kind, Surface};
use super::{EPSILON, Frame, Point2, Point3, Region, Vector3};
use crate::error::{Error, Result};
use foldhash::fast::FixedState;
use std::collections::HashMap;
use std::f64::consts::{PI, TAU};

/// An axis-aligned box, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Least corner.
    pub least: Point3,
    /// Greatest corner.
    pub most: Point3,
}

impl Bounds {
    /// The box that holds just `p`.
    pub fn at(p: Point3) -> Bounds {
        Bounds { least: p, most: p }
    }

    /// The smallest box that holds both.
    pub fn union(&self, other: &Bounds) -> Bounds {
        Bounds { least: self.least.inf(&other.least), most: self.most.sup(&other.most) }
    }

    /// Width, depth and height.
    pub fn size(&self) -> Vector3 {
        self.most - self.least
    }

    /// The middle.
    pub fn centre(&self) -> Point3 {
        nalgebra::center(&self.least, &self.most)
    }

    /// Whether the two come within [`EPSILON`] of each other.
    pub fn touches(&self, other: &Bounds) -> bool {
        (0..3).all(|i| self.least[i] <= other.most[i] + EPSILON && other.least[i] <= self.most[i] + EPSILON)
    }
}

/// A face: a region of a surface, with the solid on one side of it.
#[derive(Clone, Debug)]
pub struct Face {
    /// The surface, in its canonical frame.
    pub surface: Surface,
    /// Whether the solid's outside is on the side opposite to the surface's own normal, as in the
    /// wall of a hole.
    pub inward: bool,
    /// The part of the surface, in its parameters; the outer loop runs counter-clockwise and the
    /// holes clockwise there.
    pub region: Region,
    /// The sides of each loop of `region`, in its order.
    pub(crate) rims: Vec<Vec<Side>>,
    /// The box it fits in.
    pub(crate) bounds: Bounds,
}

/// One piece of a face's boundary and the edge it lies on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Side {
    /// In the surface's parameters.
    pub piece: Piece,
    /// The edge; none where the piece shrinks to a point, at the apex of a cone or a sphere's pole.
    pub edge: Option<u32>,
    /// Whether the edge runs the way the piece does.
    pub along: bool,
}

/// The curve of an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// A straight line.
    Line,
    /// A circular arc that runs counter-clockwise about the frame's z, from its x axis.
    Arc {
        /// The centre, and the axes the arc starts from.
        frame: Frame,
        /// The radius, mm.
        radius: f64,
        /// The angle it spans, rad, more than 0 and at most half a turn.
        sweep: f64,
    },
}

/// Where two faces meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Indices of the points where it begins and ends.
    pub ends: [u32; 2],
    /// How it gets from one to the other.
    pub curve: Curve,
    /// Indices of the two faces: the one that keeps it on the left as seen from outside, and the
    /// other.
    pub faces: [u32; 2],
}

/// A closed solid.
#[derive(Clone, Debug)]
pub struct Body {
    pub(crate) faces: Vec<Face>,
    pub(crate) edges: Vec<Edge>,
    pub(crate) points: Vec<Point3>,
}

impl Body {
    /// The solid these faces close. Each is a surface, whether the outside is on the side opposite
    /// to its normal, and the region in its parameters.
    pub(crate) fn from_faces(faces: Vec<(Surface, bool, Region)>) -> Result<Body> {
        let mut sewing = Sewing::default();
        for (surface, inward, region) in faces {
            let (surface, change) = surface.canonical();
            let region = surface.settled(&change.region(&region));
            sewing.add(surface, inward != change.flips, region);
        }
        sewing.close()
    }

    /// The faces.
    pub fn faces(&self) -> &[Face] {
        &self.faces
    }

    /// The edges.
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// The points where edges end.
    pub fn points(&self) -> &[Point3] {
        &self.points
    }

    /// The box it fits in, exact.
    pub fn bounds(&self) -> Bounds {
        let boxes = self.faces.iter().map(|f| f.bounds);
        boxes.reduce(|a, b| a.union(&b)).unwrap_or(Bounds::at(Point3::origin()))
    }

    /// Moved by a displacement.
    pub fn moved(&self, by: Vector3) -> Body {
        self.placed(&Frame::world().moved(by))
    }

    /// Drawn on other axes: what stood on the world's axes now stands on `frame`.
    pub fn placed(&self, frame: &Frame) -> Body {
        let place = |f: &Frame| Frame {
            origin: frame.point3(f.origin),
            x: frame.direction(f.x),
            y: frame.direction(f.y),
            z: frame.direction(f.z),
        };
        let mut body = self.clone();
        for face in &mut body.faces {
            let (surface, change) = Surface { frame: place(&face.surface.frame), ..face.surface }.canonical();
            face.surface = surface;
            face.inward ^= change.flips;
            let old = std::mem::take(&mut face.rims);
            face.region = surface.settled(&change.region(&face.region));
            // Where left becomes right, the loops run the other way and so do their sides.
            let sides = |l: &super::Loop, old: Vec<Side>| {
                let turned = |side: &Side| Side { along: side.along != change.mirrors, ..*side };
                let pieces = l.pieces().into_iter();
                match change.mirrors {
                    false => pieces.zip(&old).map(|(piece, s)| Side { piece, ..turned(s) }).collect(),
                    true => {
                        pieces.zip(old.iter().rev()).map(|(piece, s)| Side { piece, ..turned(s) }).collect()
                    }
                }
            };
            face.rims = face.region.loops().zip(old).map(|(l, old)| sides(l, old)).collect();
        }
        for edge in &mut body.edges {
            if let Curve::Arc { frame, .. } = &mut edge.curve {
                *frame = place(frame);
            }
        }
        for p in &mut body.points {
            *p = frame.point3(*p);
        }
        body.measure_boxes();
        body
    }

    /// Settles the box of every face: that of its edges, of the poles it closes at, and of what
    /// bulges out between.
    fn measure_boxes(&mut self) {
        let edges: Vec<Bounds> = self.edges.iter().map(|e| self.edge_box(e)).collect();
        for face in &mut self.faces {
            let side = |side: &Side| match side.edge {
                Some(e) => edges[e as usize],
                None => Bounds::at(face.surface.point(side.piece.from)),
            };
            let sides = face.rims.iter().flatten().map(side).reduce(|a, b| a.union(&b));
            let whole = sides.unwrap_or(Bounds::at(Point3::origin()));
            face.bounds = bulges(face).fold(whole, |a, p| a.union(&Bounds::at(p)));
        }
    }

    fn edge_box(&self, edge: &Edge) -> Bounds {
        let [a, b] = edge.ends.map(|i| Bounds::at(self.points[i as usize]));
        let ends = a.union(&b);
        let Curve::Arc { frame, radius, sweep } = edge.curve else {
            return ends;
        };
        (0..3).fold(ends, |bounds, axis| {
            let (x, y) = (frame.x[axis], frame.y[axis]);
            let reach = x.hypot(y);
            // The circle stands out furthest along the axis at ± (x, y) / reach.
            [1.0, -1.0]
                .into_iter()
                .filter(|sign| reach > 1e-12 && turn((sign * y).atan2(sign * x)) < sweep)
                .map(|sign| frame.point(Point2::new(sign * x, sign * y) * (radius / reach)))
                .fold(bounds, |bounds, p| bounds.union(&Bounds::at(p)))
        })
    }
}

/// Points inside a face that stand out further along a world axis than its edges may.
fn bulges(face: &Face) -> impl Iterator<Item = Point3> {
    let (surface, region) = (&face.surface, &face.region);
    let torus = matches!(surface.kind, Kind::Torus { .. });
    let axes = if torus { 3 } else { 0 };
    (0..axes).flat_map(|axis| [1.0, -1.0].map(|sign| (axis, sign))).flat_map(move |(axis, sign)| {
        let d = Vector3::from_fn(|i, _| if i == axis { sign } else { 0.0 });
        let frame = &surface.frame;
        let (u, lift) = (d.dot(&frame.y).atan2(d.dot(&frame.x)), d.dot(&frame.z).clamp(-1.0, 1.0));
        let v = lift.asin();
        [(u, v), (u + PI, PI - v)]
            .into_iter()
            .flat_map(|(u, v)| [-1.0, 0.0, 1.0].map(|k| (u + k * TAU, v)))
            .flat_map(|(u, v)| [-1.0, 0.0, 1.0].map(|k| Point2::new(u, v + k * TAU)))
            .filter(|&p| region.contains(p))
            .map(|p| surface.point(p))
            .collect::<Vec<_>>()
    })
}

/// The curve in space of a boundary piece, run the way the piece runs.
pub(crate) fn curve(surface: &Surface, piece: &Piece) -> Curve {
    let arc = |centre: Point3, axis: Vector3, radius: f64, sweep: f64| {
        let x = (surface.point(piece.from) - centre).normalize();
        Curve::Arc { frame: Frame { origin: centre, x, y: axis.cross(&x), z: axis }, radius, sweep }
    };
    let frame = &surface.frame;
    let (du, dv) = (piece.to.x - piece.from.x, piece.to.y - piece.from.y);
    match (surface.kind, piece.bend) {
        (Kind::Plane, None) => Curve::Line,
        (Kind::Plane, Some(b)) => {
            arc(frame.point(b.centre), frame.z * b.sweep.signum(), b.radius, b.sweep.abs())
        }
        (Kind::Torus { major, minor }, _) if dv.abs() > du.abs() => {
            let e = frame.x * piece.from.x.cos() + frame.y * piece.from.x.sin();
            arc(frame.origin + e * major, e.cross(&frame.z) * dv.signum(), minor, dv.abs())
        }
        _ if du.abs() > dv.abs() * 1e-9 && is_level(surface, piece) => {
            let (radius, height) = (surface.radius(piece.from.y), surface.height(piece.from.y));
            arc(frame.origin + frame.z * height, frame.z * du.signum(), radius, du.abs())
        }
        _ => Curve::Line,
    }
}

/// Whether a boundary piece of a round surface runs round the axis rather than along it.
pub(crate) fn is_level(surface: &Surface, piece: &Piece) -> bool {
    let (du, dv) = ((piece.to.x - piece.from.x).abs(), (piece.to.y - piece.from.y).abs());
    surface.is_round() && du * surface.radius(piece.from.y).abs().max(EPSILON) > dv
        || (surface.is_round() && dv < 1e-9)
}

/// Matches the boundary pieces of faces into edges.
#[derive(Default)]
struct Sewing {
    faces: Vec<Face>,
    edges: Vec<(Edge, Point3)>,
    points: Points,
    between: HashMap<(u32, u32), Vec<u32>, FixedState>,
}

const NO_FACE: u32 = u32::MAX;

impl Sewing {
    fn add(&mut self, surface: Surface, inward: bool, region: Region) {
        let index = self.faces.len() as u32;
        let loops: Vec<Vec<Piece>> = region.loops().map(super::Loop::pieces).collect();
        let rims = loops
            .into_iter()
            .map(|pieces| pieces.into_iter().map(|piece| self.side(index, &surface, inward, piece)).collect())
            .collect();
        self.faces.push(Face { surface, inward, region, rims, bounds: Bounds::at(Point3::origin()) });
    }

    fn side(&mut self, face: u32, surface: &Surface, inward: bool, piece: Piece) -> Side {
        let (from, to) = (surface.point(piece.from), surface.point(piece.to));
        let middle = surface.point(piece.at(0.5));
        let (a, b) = (self.points.find(from), self.points.find(to));
        if a == b && (middle - from).norm() < EPSILON {
            return Side { piece, edge: None, along: true };
        }
        let near = |edges: &[(Edge, Point3)], e: u32| (edges[e as usize].1 - middle).norm() < 10.0 * EPSILON;
        let key = (a.min(b), a.max(b));
        let candidates = self.between.entry(key).or_default();
        // An edge runs with the face that keeps it on its left; a face seen from behind runs it backwards.
        let open = candidates.iter().copied().find(|&e| {
            let edge = &self.edges[e as usize].0;
            let along = edge.ends[0] == a && (a != b);
            let slot = usize::from(along == inward);
            near(&self.edges, e) && edge.faces[slot] == NO_FACE
        });
        if let Some(e) = open {
            let edge = &mut self.edges[e as usize].0;
            let along = edge.ends[0] == a;
            edge.faces[usize::from(along == inward)] = face;
            return Side { piece, edge: Some(e), along };
        }
        let e = self.edges.len() as u32;
        let mut faces = [NO_FACE; 2];
        faces[usize::from(inward)] = face;
        self.edges.push((Edge { ends: [a, b], curve: curve(surface, &piece), faces }, middle));
        candidates.push(e);
        Side { piece, edge: Some(e), along: true }
    }

    fn close(self) -> Result<Body> {
        let open = self.edges.iter().find(|(edge, _)| edge.faces.contains(&NO_FACE));
        if let Some((_, at)) = open {
            return Err(Error::internal(format!(
                "A solid would be left open near ({:.3}, {:.3}, {:.3}) mm.",
                at.x, at.y, at.z
            )));
        }
        // More than two faces at one edge would mean two lumps that touch along a line.
        for edges in self.between.values() {
            for (i, &e) in edges.iter().enumerate() {
                let at = self.edges[e as usize].1;
                if edges[..i].iter().any(|&f| (self.edges[f as usize].1 - at).norm() < 10.0 * EPSILON) {
                    return Err(Error::geometry(
                        format!(
                            "Two lumps of the solid would touch along a line near ({:.3}, {:.3}, {:.3}) mm.",
                            at.x, at.y, at.z
                        ),
                        "Move them apart or let them overlap.",
                    ));
                }
            }
        }
        let mut body = Body {
            faces: self.faces,
            edges: self.edges.into_iter().map(|(edge, _)| edge).collect(),
            points: self.points.all,
        };
        body.measure_boxes();
        Ok(body)
    }
}

/// Points, each within [`EPSILON`] of another stored but once.
#[derive(Default)]
pub(crate) struct Points {
    pub all: Vec<Point3>,
    /// The last point stored in each cell of space, and for every point the one before it there.
    cells: HashMap<[i64; 3], u32, FixedState>,
    before: Vec<u32>,
}

const NO_POINT: u32 = u32::MAX;

impl Points {
    /// The index of `p`, stored if it is new.
    pub fn find(&mut self, p: Point3) -> u32 {
        const CELL: f64 = 1000.0 * EPSILON;
        let cell = |shift: f64| [0, 1, 2].map(|i: usize| ((p[i] + shift) / CELL).floor() as i64);
        let (low, high) = (cell(-EPSILON), cell(EPSILON));
        let corner =
            |bits: usize| [0, 1, 2].map(|i: usize| if bits >> i & 1 == 0 { low[i] } else { high[i] });
        let corners = if low == high { 0..1 } else { 0..8 };
        if let Some(found) = corners.into_iter().find_map(|bits| self.near(&corner(bits), p)) {
            return found;
        }
        let index = self.all.len() as u32;
        self.all.push(p);
        self.before.push(self.cells.insert(cell(0.0), index).unwrap_or(NO_POINT));
        index
    }

    fn near(&self, cell: &[i64; 3], p: Point3) -> Option<u32> {
        let mut at = *self.cells.get(cell)?;
        while at != NO_POINT {
            if (self.all[at as usize] - p).norm_squared() < EPSILON * EPSILON {
                return Some(at);
            }
            at = self.before[at as usize];
        }
        None
    }
}

impl Face {
    /// Whether the point of the surface at `p` lies in the face (points on its border may go
    /// either way).
    pub fn holds(&self, p: Point2) -> bool {
        hold(self.rims.iter().flatten().map(|side| &side.piece), p)
    }

    /// The edges along each loop of its region and whether each runs the way the loop does.
    pub fn sides(&self) -> impl Iterator<Item = impl Iterator<Item = (usize, bool)> + use<'_>> + use<'_> {
        self.rims.iter().map(|rim| rim.iter().filter_map(|side| Some((side.edge? as usize, side.along))))
    }

    /// A flat face's region on the axes of a frame parallel to it.
    pub(crate) fn on_frame(&self, frame: &Frame) -> Region {
        let plane = &self.surface.frame;
        let mirrors = plane.z.dot(&frame.z) < 0.0;
        self.region.mapped(|p| frame.project(plane.point(p)), mirrors)
    }

    /// How far `p` lies from the face's border, in the surface's parameters.
    pub fn border_distance(&self, p: Point2) -> f64 {
        distance(self.rims.iter().flatten().map(|side| &side.piece), p)
    }
}

impl Body {
    /// The edge's point at `t` of its length, 0 to 1.
    pub fn edge_point(&self, edge: &Edge, t: f64) -> Point3 {
        let [a, b] = edge.ends.map(|i| self.points[i as usize]);
        match edge.curve {
            _ if t <= 0.0 => a,
            _ if t >= 1.0 => b,
            Curve::Line => a + (b - a) * t,
            Curve::Arc { frame, radius, sweep } => {
                let angle = sweep * t;
                frame.point(Point2::new(angle.cos() * radius, angle.sin() * radius))
            }
        }
    }
}
