//! What can be measured on a mesh or body once it is made: slices, wall thickness, overhangs,
//! bridges. The checks of a part use these to hold the design to what was really drawn.

use super::body::{Body, Face};
use super::surface::Kind;
use super::{EPSILON, Frame, Mesh, Point2, Point3, Vector3};
use bvh::aabb::{Aabb, Bounded};
use bvh::bounding_hierarchy::BHShape;
use bvh::bvh::Bvh;
use bvh::ray::Ray;
use foldhash::fast::FixedState;
use std::collections::HashMap;

/// The thinnest place of a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// From surface to surface along the inward normal, mm.
    pub thickness: f64,
    /// Where the wall begins.
    pub from: Point3,
    /// Where it ends.
    pub to: Point3,
}

/// A triangle that hangs over further than the limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overhang {
    /// The triangle, by its index in the mesh.
    pub triangle: usize,
    /// How far the surface leans out from the vertical, rad; a level ceiling leans 90°.
    pub lean: f64,
    /// Its area, mm².
    pub area: f64,
    /// Its centroid.
    pub at: Point3,
}

/// A level ceiling that the printer has to bridge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bridge {
    /// Twice the greatest distance of a point of the ceiling from a wall that holds it up, mm. For
    /// a ceiling between two walls that is the gap between them; one held on a single side counts
    /// double its overhang. Infinite where nothing holds it up.
    pub span: f64,
    /// The point furthest from any such wall.
    pub at: Point3,
    /// The ceiling's area, mm².
    pub area: f64,
}

impl Mesh {
    /// The outlines in which a plane cuts the mesh, on the frame's axes, closed, with the solid on
    /// their left. A corner that lies in the plane counts as above it, so a plane laid on a level
    /// face gives the section just below that face.
    pub fn slice(&self, plane: &Frame) -> Vec<Vec<Point2>> {
        let heights: Vec<f64> = self.points.iter().map(|p| plane.height(*p)).collect();
        let above = |i: u32| heights[i as usize] > -1e-9;
        let key = |a: u32, b: u32| (a.min(b), a.max(b));
        // Every triangle cut is left by one side and entered by another.
        let mut next: HashMap<(u32, u32), (u32, u32), FixedState> = HashMap::default();
        let mut order = Vec::new();
        for t in &self.triangles {
            let side = |k: usize| (t[k], t[(k + 1) % 3]);
            let down = (0..3).map(side).find(|&(a, b)| above(a) && !above(b));
            let up = (0..3).map(side).find(|&(a, b)| !above(a) && above(b));
            if let (Some((a, b)), Some((c, d))) = (down, up) {
                next.insert(key(a, b), key(c, d));
                order.push(key(a, b));
            }
        }
        let crossing = |(a, b): (u32, u32)| {
            let (p, q) = (self.points[a as usize], self.points[b as usize]);
            let (h, k) = (heights[a as usize], heights[b as usize]);
            plane.project(p + (q - p) * (h / (h - k)).clamp(0.0, 1.0))
        };
        let mut outlines = Vec::new();
        for first in order {
            let mut outline = Vec::new();
            let mut at = first;
            while let Some(on) = next.remove(&at) {
                outline.push(crossing(at));
                at = on;
            }
            outline.dedup_by(|a, b| (*a - *b).norm() < 1e-12);
            if outline.len() > 2 {
                outlines.push(outline);
            }
        }
        outlines
    }

    /// The outlines at a height; see [`Mesh::slice`].
    pub fn slice_at(&self, z: f64) -> Vec<Vec<Point2>> {
        self.slice(&Frame::level(z))
    }

    /// How many pieces the surface falls into; 1 for a solid of one lump without hollows.
    pub fn shells(&self) -> usize {
        let mut parent: Vec<u32> = (0..self.points.len() as u32).collect();
        fn root(parent: &mut [u32], mut i: u32) -> u32 {
            while parent[i as usize] != i {
                parent[i as usize] = parent[parent[i as usize] as usize];
                i = parent[i as usize];
            }
            i
        }
        for t in &self.triangles {
            let a = root(&mut parent, t[0]);
            for &other in &t[1..] {
                let b = root(&mut parent, other);
                parent[b as usize] = a;
            }
        }
        let mut roots: Vec<u32> = self.triangles.iter().map(|t| root(&mut parent, t[0])).collect();
        roots.sort_unstable();
        roots.dedup();
        roots.len()
    }

    /// The thinnest wall: rays are sent inwards from points of every triangle no further than
    /// `spacing` (mm) apart, and measured to where they come out. A wall is two surfaces that face
    /// away from each other within 45°: where a wedge runs out to its edge there is no wall.
    pub fn thinnest_wall(&self, spacing: f64) -> Option<Wall> {
        let mut shapes: Vec<Shape> = (0..self.triangles.len()).map(|i| Shape::new(self, i)).collect();
        let tree = Bvh::build(&mut shapes);
        let mut least: Option<Wall> = None;
        for (index, t) in self.triangles.iter().enumerate() {
            let normal = self.normal(*t);
            for from in samples(self.corners(*t), spacing.max(0.01)) {
                let limit = least.map_or(f64::INFINITY, |w| w.thickness);
                if let Some(thickness) = self.through(&tree, &shapes, index, from, -normal, limit) {
                    least = Some(Wall { thickness, from, to: from - normal * thickness });
                }
            }
        }
        least
    }

    /// How far a ray inside the solid runs before it comes out, if that is less than `limit` and
    /// through a surface that faces its way.
    fn through(
        &self,
        tree: &Bvh<f64, 3>,
        shapes: &[Shape],
        source: usize,
        from: Point3,
        along: Vector3,
        limit: f64,
    ) -> Option<f64> {
        let ray = Ray::new(from, along);
        let hits = tree.traverse_iterator(&ray, shapes).filter(|s| s.triangle != source);
        let (distance, facing) = hits
            .filter_map(|s| Some((s.hit(from, along)?, self.normal(self.triangles[s.triangle]).dot(&along))))
            .filter(|(distance, facing)| *facing > 0.0 && *distance > EPSILON)
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        (facing > std::f64::consts::FRAC_1_SQRT_2 - 1e-6 && distance < limit).then_some(distance)
    }

    /// Triangles that lean out further than `limit` (rad from the vertical) over nothing. What lies
    /// on the bed, the mesh's lowest level, does not count.
    pub fn overhangs(&self, limit: f64) -> Vec<Overhang> {
        let bed = self.bounds().least.z + 1e-4;
        let found = |(triangle, t): (usize, &[u32; 3])| {
            let corners = self.corners(*t);
            let doubled = self.doubled_normal(*t);
            let lean = (-doubled.z / doubled.norm()).clamp(-1.0, 1.0).asin();
            let hangs = lean > limit + 1e-6 && corners.iter().any(|p| p.z > bed);
            hangs.then(|| Overhang { triangle, lean, area: doubled.norm() / 2.0, at: centroid(corners) })
        };
        self.triangles.iter().enumerate().filter_map(found).collect()
    }
}

fn centroid(corners: [Point3; 3]) -> Point3 {
    Point3::from((corners[0].coords + corners[1].coords + corners[2].coords) / 3.0)
}

/// Points spread over a triangle, none further than `spacing` from the next, at most a few hundred.
fn samples([a, b, c]: [Point3; 3], spacing: f64) -> Vec<Point3> {
    let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
    let count = ((longest / spacing).ceil() as usize).clamp(1, 24);
    let share = |i: usize| (i as f64 + 1.0 / 3.0) / count as f64;
    (0..count)
        .flat_map(|i| (0..count - i).map(move |j| (share(i), share(j))))
        .map(|(s, t)| a + (b - a) * s + (c - a) * t)
        .collect()
}

/// A triangle in the search tree.
struct Shape {
    triangle: usize,
    corners: [Point3; 3],
    node: usize,
}

impl Shape {
    fn new(mesh: &Mesh, triangle: usize) -> Self {
        Self { triangle, corners: mesh.corners(mesh.triangles[triangle]), node: 0 }
    }

    /// How far along a ray it is met.
    fn hit(&self, from: Point3, along: Vector3) -> Option<f64> {
        let [a, b, c] = self.corners;
        let (e, f) = (b - a, c - a);
        let p = along.cross(&f);
        let det = e.dot(&p);
        if det.abs() < 1e-14 {
            return None;
        }
        let s = from - a;
        let u = s.dot(&p) / det;
        let q = s.cross(&e);
        let v = along.dot(&q) / det;
        const EDGE: f64 = -1e-9;
        (u >= EDGE && v >= EDGE && u + v <= 1.0 - EDGE).then(|| f.dot(&q) / det).filter(|t| *t > 0.0)
    }
}

impl Bounded<f64, 3> for Shape {
    fn aabb(&self) -> Aabb<f64, 3> {
        let [a, b, c] = self.corners;
        Aabb::with_bounds(a.inf(&b).inf(&c), a.sup(&b).sup(&c))
    }
}

impl BHShape<f64, 3> for Shape {
    fn set_bh_node_index(&mut self, index: usize) {
        self.node = index;
    }

    fn bh_node_index(&self) -> usize {
        self.node
    }
}

impl Body {
    /// Level ceilings over the bed: every flat face that looks straight down, but for those on the
    /// body's lowest level.
    pub fn bridges(&self) -> Vec<Bridge> {
        let bed = self.bounds().least.z;
        let level = |face: &&Face| {
            let out = face.outward(Point2::origin());
            matches!(face.surface.kind, Kind::Plane)
                && out.z < -1.0 + 1e-9
                && face.surface.frame.origin.z > bed + 1e-6
        };
        self.faces.iter().filter(level).map(|face| self.bridge(face)).collect()
    }

    fn bridge(&self, face: &Face) -> Bridge {
        let held: Vec<_> = face
            .rims
            .iter()
            .flatten()
            .filter(|s| s.edge.is_some_and(|e| self.holds_up(face, e)))
            .map(|s| s.piece)
            .collect();
        let distance =
            |p: Point2| held.iter().map(|piece| (piece.nearest(p) - p).norm()).fold(f64::INFINITY, f64::min);
        let (low, high) = face.region.bounds();
        // A grid over the face, and a finer one round its best point, again and again.
        const STEPS: i32 = 40;
        let mut best = (0.0, face.region.outer.start);
        let (mut centre, mut reach) = (nalgebra::center(&low, &high), (high - low) / 2.0);
        for round in 0..4 {
            let cells = (-STEPS..=STEPS).flat_map(|i| (-STEPS..=STEPS).map(move |j| (i, j)));
            let spot = |(i, j): (i32, i32)| {
                centre
                    + nalgebra::Vector2::new(reach.x * f64::from(i), reach.y * f64::from(j))
                        / f64::from(STEPS)
            };
            for p in cells.map(spot).filter(|p| face.region.contains(*p)) {
                let far = distance(p);
                if far > best.0 {
                    best = (far, p);
                }
            }
            for p in face.region.loops().flat_map(|l| l.points(0.01)).filter(|_| round == 0) {
                let far = distance(p);
                if far > best.0 {
                    best = (far, p);
                }
            }
            (centre, reach) = (best.1, reach / 15.0);
        }
        Bridge { span: 2.0 * best.0, at: face.surface.point(best.1), area: face.area() }
    }

    /// Whether the face beyond an edge runs down from it, and so carries what is printed there.
    fn holds_up(&self, ceiling: &Face, edge: u32) -> bool {
        let edge = &self.edges[edge as usize];
        let first = std::ptr::eq(&self.faces[edge.faces[0] as usize], ceiling);
        let beyond = &self.faces[edge.faces[usize::from(first)] as usize];
        let (p, q) = (self.edge_point(edge, 0.5), self.edge_point(edge, 0.5 + 1e-4));
        // The face that keeps the edge on its left stretches to out × along.
        let along = (q - p).normalize() * if first { -1.0 } else { 1.0 };
        let into = beyond.outward(beyond.surface.parameters(p)).cross(&along);
        into.z < -0.1
    }
}

impl Face {
    /// The unit outward normal at a point of its parameters.
    pub fn outward(&self, p: Point2) -> Vector3 {
        self.surface.normal(p) * if self.inward { -1.0 } else { 1.0 }
    }
}
