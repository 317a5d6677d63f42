//! A face of a body laid flat, and what cuts it.

use super::arrangement::{Arrangement, point_inside};
use super::body::{Curve, Face, curve};
use super::meeting::{Whole, within_turns};
use super::piece::{Piece, distance, hold};
use super::surface::{Kind, Surface};
use super::{EPSILON, Point2, Point3, Region, Vector2};
use std::f64::consts::{PI, TAU};

/// A face on its way: its boundary with both parameters in millimetres, and what cuts it.
pub(super) struct Sheet<'a> {
    pub face: &'a Face,
    pub scale: Vector2,
    pub pieces: Vec<Piece>,
    /// The corners of its box, in the same measure.
    low: Point2,
    high: Point2,
    pub cuts: Vec<Piece>,
}

impl<'a> Sheet<'a> {
    pub fn new(face: &'a Face) -> Self {
        let sides = || face.rims.iter().flatten().map(|side| &side.piece);
        let scale = match face.surface.kind {
            Kind::Plane => Vector2::new(1.0, 1.0),
            Kind::Torus { major, minor } => Vector2::new(major + minor, minor),
            _ => Vector2::new(sides().map(|p| face.surface.radius(p.from.y)).fold(0.0, f64::max), 1.0),
        };
        let pieces: Vec<Piece> = match face.surface.kind {
            Kind::Plane => sides().copied().collect(),
            _ => sides().map(|p| Piece::line(by(p.from, scale), by(p.to, scale))).collect(),
        };
        let boxes = pieces.iter().map(Piece::bounds);
        let (low, high) = boxes.reduce(|a, b| (a.0.inf(&b.0), a.1.sup(&b.1))).unwrap_or_default();
        Self { face, scale, pieces, low, high, cuts: Vec::new() }
    }

    /// From this sheet's millimetres to the surface's parameters.
    pub fn back(&self, p: Point2) -> Point2 {
        by(p, Vector2::new(1.0 / self.scale.x, 1.0 / self.scale.y))
    }

    pub fn surface(&self) -> &Surface {
        &self.face.surface
    }

    /// A whole line or circle of the surface as pieces that run right across the region.
    pub fn trace(&self, whole: &Whole) -> Vec<Piece> {
        let (low, high) = (self.low, self.high);
        let surface = self.surface();
        let frame = &surface.frame;
        let scale = |p: Point2| by(p, self.scale);
        match (*whole, surface.kind) {
            (Whole::Line { point, along }, Kind::Plane) => {
                let (p, d) = (frame.project(point), Vector2::new(along.dot(&frame.x), along.dot(&frame.y)));
                let (middle, reach) = (nalgebra::center(&low, &high), (high - low).norm());
                let foot = p + d * (middle - p).dot(&d);
                vec![Piece::line(foot - d * reach, foot + d * reach)]
            }
            (Whole::Circle { centre, radius, .. }, Kind::Plane) => {
                Piece::sweep(frame.project(centre), radius, 0.0, TAU).split(PI)
            }
            (Whole::Line { point, along }, _) => {
                // A point of the line off the apex tells its angle.
                let height = self.back(nalgebra::center(&low, &high)).y;
                let p = point + along * ((height - frame.height(point)) / along.dot(&frame.z));
                self.uprights(scale(surface.parameters(p)).x, low, high)
            }
            (Whole::Circle { centre, axis, radius }, Kind::Torus { .. })
                if axis.dot(&frame.z).abs() < 0.5 =>
            {
                // Round the tube: an upright. On a sphere it is one on either side.
                let out = centre - frame.origin;
                let across = axis.cross(&frame.z) * radius;
                let sides = if out.norm() < EPSILON {
                    vec![frame.origin + across, frame.origin - across]
                } else {
                    vec![centre + out.normalize() * radius]
                };
                sides
                    .into_iter()
                    .flat_map(|p| self.uprights(scale(surface.parameters(p)).x, low, high))
                    .collect()
            }
            (Whole::Circle { centre, radius, .. }, _) => {
                let v = surface.parameters(centre + frame.x * radius);
                let turns = within_turns(self.face, v).map(|p| scale(p).y);
                let mut vs: Vec<f64> =
                    turns.filter(|v| *v > low.y - EPSILON && *v < high.y + EPSILON).collect();
                vs.dedup();
                let margin = self.scale.x;
                vs.into_iter()
                    .map(|v| Piece::line(Point2::new(low.x - margin, v), Point2::new(high.x + margin, v)))
                    .collect()
            }
        }
    }

    fn uprights(&self, u: f64, low: Point2, high: Point2) -> Vec<Piece> {
        let turns = [-1.0, 0.0, 1.0].map(|k| u + k * TAU * self.scale.x);
        let inside = turns.into_iter().filter(|u| *u > low.x - EPSILON && *u < high.x + EPSILON);
        inside.map(|u| Piece::line(Point2::new(u, low.y - 1.0), Point2::new(u, high.y + 1.0))).collect()
    }

    /// The parts of a piece that lie in the region, its boundary included.
    pub fn clip(&self, piece: &Piece) -> Vec<Piece> {
        let mut stops = vec![(0.0, piece.from), (1.0, piece.to)];
        for side in &self.pieces {
            stops.extend(piece.meets(side).into_iter().filter_map(|p| Some((piece.share(p)?, p))));
        }
        stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        stops.dedup_by(|a, b| (a.1 - b.1).norm() < EPSILON);
        let inside = |p: Point2| hold(&self.pieces, p) || distance(&self.pieces, p) < 10.0 * EPSILON;
        stops.windows(2).map(|w| piece.part(w[0], w[1])).filter(|part| inside(part.at(0.5))).collect()
    }

    /// A piece of this sheet as a run of a line or arc in space.
    pub fn lifted(&self, piece: &Piece) -> Run {
        let unscale = |p: Point2| self.back(p);
        let piece = match piece.bend {
            Some(_) => *piece,
            None => Piece::line(unscale(piece.from), unscale(piece.to)),
        };
        Run {
            from: self.surface().point(piece.from),
            to: self.surface().point(piece.to),
            curve: curve(self.surface(), &piece),
        }
    }

    /// A run in space that lies on this surface, as a piece of this sheet, at every turn at which
    /// it may cross the region.
    pub fn laid(&self, run: &Run) -> Vec<Piece> {
        let surface = self.surface();
        let frame = &surface.frame;
        let (p, q) = (surface.parameters(run.from), surface.parameters(run.to));
        let Kind::Plane = surface.kind else {
            return self.laid_round(run, p, q);
        };
        match run.curve {
            Curve::Line => vec![Piece::line(p, q)],
            Curve::Arc { frame: arc, radius, sweep } => {
                let centre = frame.project(arc.origin);
                let start = (p - centre).y.atan2((p - centre).x);
                let piece = Piece::sweep(centre, radius, start, sweep * arc.z.dot(&frame.z).signum());
                vec![Piece { from: p, to: q, ..piece }]
            }
        }
    }

    fn laid_round(&self, run: &Run, p: Point2, q: Point2) -> Vec<Piece> {
        let surface = self.surface();
        let frame = &surface.frame;
        // At an apex the angle is that of the other end.
        let on_axis = |p: Point3| frame.project(p).coords.norm() < EPSILON;
        let (from, to) = match run.curve {
            Curve::Arc { frame: arc, sweep, .. } if arc.z.dot(&frame.z).abs() > 0.5 => {
                (p, Point2::new(p.x + sweep * arc.z.dot(&frame.z).signum(), p.y))
            }
            Curve::Arc { frame: arc, sweep, radius } => {
                let middle =
                    arc.origin + (arc.x * (sweep / 2.0).cos() + arc.y * (sweep / 2.0).sin()) * radius;
                let u = surface.parameters(middle).x;
                let e = frame.x * u.cos() + frame.y * u.sin();
                (Point2::new(u, p.y), Point2::new(u, p.y + sweep * arc.z.dot(&e.cross(&frame.z)).signum()))
            }
            Curve::Line => {
                let u = if on_axis(run.from) { q.x } else { p.x };
                (Point2::new(u, p.y), Point2::new(u, q.y))
            }
        };
        let (low, high) = (self.low, self.high);
        let scale = |p: Point2| by(p, self.scale);
        within_turns(self.face, Point2::origin())
            .map(|turns| Piece::line(scale(from + turns.coords), scale(to + turns.coords)))
            .filter(|piece| super::profile::boxes_touch(&piece.bounds(), &(low, high)))
            .collect()
    }

    /// The cells the cuts make of the face's region, in the surface's parameters.
    pub fn cells(&self) -> Vec<Region> {
        if self.cuts.is_empty() {
            return vec![self.face.region.clone()];
        }
        let pieces: Vec<Piece> = self.pieces.iter().chain(&self.cuts).copied().collect();
        let inside = |cell: &Region| point_inside(cell, 0.5).is_some_and(|p| hold(&self.pieces, p));
        let cells = Arrangement::of(&pieces).cells();
        cells
            .iter()
            .filter(|c| inside(c))
            .map(|c| scaled(c, self.back(Point2::new(1.0, 1.0)).coords))
            .collect()
    }
}

/// A directed part of a line or circle in space.
pub(super) struct Run {
    pub from: Point3,
    pub to: Point3,
    curve: Curve,
}

fn by(p: Point2, scale: Vector2) -> Point2 {
    Point2::new(p.x * scale.x, p.y * scale.y)
}

pub(super) fn scaled(region: &Region, scale: Vector2) -> Region {
    if scale.x == 1.0 && scale.y == 1.0 {
        return region.clone();
    }
    region.mapped(|p| by(p, scale), false)
}
