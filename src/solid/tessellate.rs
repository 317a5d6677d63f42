//! From exact faces to a closed mesh.
//!
//! Every edge is split once, and both its faces use the same points, so the mesh is closed by
//! construction; that it is, is checked all the same before it is handed out.
//!
//! Round faces that share an axis and touch each other form a group with one set of angles: the
//! angles of all their corners, and even steps between those no larger than the tolerance allows
//! on the group's largest circle. Every circle and every wall of the group breaks at those angles,
//! so a wall is a row of slabs between neighbouring angles, each bounded by level lines below and
//! above, and a slab is two triangles. Flat faces are cut into ears, and the ears then turned
//! (Lawson's flips) until none is thinner than it must be.
//!
//! Where an arc bulges out of a flat face its chords run through the face, and another outline that
//! comes nearer to the arc than they do would lie on them or cross them. Such chords are halved,
//! with the whole of their group, until they run clear.

use super::body::{Body, Curve, Edge, Face, Side, is_level};
use super::piece::{cross, turn};
use super::profile::chord_step;
use super::surface::Kind;
use super::{EPSILON, Mesh, Point2, Point3, Vector2};
use crate::error::{Error, Result, within};
use earcut::{Earcut, Refiner};
use foldhash::fast::FixedState;
use std::collections::HashSet;
use std::f64::consts::TAU;

/// Two angles nearer than this are the same angle, rad: below it a metre's radius moves less than
/// EPSILON.
const SAME_ANGLE: f64 = EPSILON * 1e-3;

impl Body {
    /// A closed mesh no further than `chord_tolerance` (mm) from the surface. Fails for a
    /// tolerance that is no length.
    pub fn mesh(&self, chord_tolerance: f64) -> Result<Mesh> {
        mesh(self, chord_tolerance)
    }
}

fn mesh(body: &Body, tolerance: f64) -> Result<Mesh> {
    let tolerance = within("chord tolerance", tolerance, 1e-4, 10.0, "mm")?;
    let mut work = Work::new(body, Grids::of(body, tolerance), tolerance);
    loop {
        let flat = body.faces.iter().filter(|f| !f.surface.is_round());
        let in_the_way: Vec<Break> = flat.flat_map(|f| work.chords_in_the_way(f)).collect();
        if !in_the_way.iter().fold(false, |any, at| any | work.grids.add(body, at)) {
            break;
        }
        work = Work::new(body, work.grids, tolerance);
    }
    let mut flat = Flat::default();
    for (index, face) in body.faces.iter().enumerate() {
        match face.surface.kind {
            Kind::Plane => flat.cover(&mut work, face)?,
            _ => Round::new(&work, index, face).cover(&mut work, face)?,
        }
    }
    let mesh = Mesh { points: work.points, triangles: work.triangles };
    mesh.check()?;
    Ok(mesh)
}

struct Work<'a> {
    body: &'a Body,
    grids: Grids,
    points: Vec<Point3>,
    /// Point indices along each edge, ends included.
    edges: Vec<Vec<u32>>,
    triangles: Vec<[u32; 3]>,
}

/// A place where a side of a round face is to break.
struct Break {
    face: u32,
    side: Side,
    /// The share of its length.
    share: f64,
}

impl<'a> Work<'a> {
    fn new(body: &'a Body, grids: Grids, tolerance: f64) -> Self {
        let edges = Vec::with_capacity(body.edges.len());
        let mut work = Self { body, grids, points: body.points.clone(), edges, triangles: Vec::new() };
        for edge in &body.edges {
            let split = work.split(edge, tolerance);
            work.edges.push(split);
        }
        work
    }

    /// The round face beside an edge, and its side there.
    fn round_side(&self, edge: &Edge) -> Option<(u32, Side)> {
        let round = edge.faces.into_iter().find(|&f| self.body.faces[f as usize].surface.is_round())?;
        Some((round, self.body.side_of(round, edge)?))
    }

    /// The middles of those arcs of a flat face between which and their chords, or on these, lies a
    /// point or the middle of a side of its outlines. A chord within EPSILON of its arc is let be.
    fn chords_in_the_way(&self, face: &Face) -> Vec<Break> {
        let flat = |i: u32| face.surface.frame.project(self.points[i as usize]);
        let runs: Vec<(&Side, Vec<u32>)> = face.rims.iter().flatten().map(|s| (s, self.side(s))).collect();
        let sides = || runs.iter().flat_map(|(_, run)| run.windows(2).map(|w| [w[0], w[1]]));
        let stops: Vec<(Point2, [u32; 2])> = sides()
            .flat_map(|[a, b]| [(flat(a), [a, a]), (nalgebra::center(&flat(a), &flat(b)), [a, b])])
            .collect();
        let mut found = Vec::new();
        for (side, run) in &runs {
            let Some(bend) = side.piece.bend.filter(|b| b.sweep > 0.0) else {
                continue;
            };
            let beside = side.edge.and_then(|e| self.round_side(&self.body.edges[e as usize]));
            let Some((round, beside)) = beside else {
                continue;
            };
            let share = |v: Vector2| turn(v.y.atan2(v.x) - bend.start) / bend.sweep;
            let mut shares: Vec<f64> = run.iter().map(|&i| share(flat(i) - bend.centre)).collect();
            (shares[0], shares[run.len() - 1]) = (0.0, 1.0);
            let rise =
                |k: usize| bend.radius * (1.0 - (bend.sweep * (shares[k] - shares[k - 1]) / 2.0).cos());
            let highest = (1..run.len()).map(rise).fold(0.0, f64::max);
            for &(p, ends) in &stops {
                let v = p - bend.centre;
                let below = bend.radius - v.norm();
                if below < -EPSILON || below > highest + EPSILON {
                    continue;
                }
                let k = shares.partition_point(|&s| s < share(v)).max(1);
                if k == run.len() || rise(k) < EPSILON {
                    continue;
                }
                let chord = [run[k - 1], run[k]];
                let [a, b] = chord.map(flat);
                let own = ends == chord || ends[0] == ends[1] && chord.contains(&ends[0]);
                if !own && cross(b - a, p - a) < EPSILON * (b - a).norm() {
                    let middle = (shares[k - 1] + shares[k]) / 2.0;
                    let share = if side.along == beside.along { middle } else { 1.0 - middle };
                    found.push(Break { face: round, side: beside, share });
                }
            }
        }
        found
    }

    /// The points along an edge: its ends, and between them the breaks its round face asks for.
    fn split(&mut self, edge: &Edge, tolerance: f64) -> Vec<u32> {
        let Curve::Arc { radius, sweep, .. } = edge.curve else {
            return edge.ends.to_vec();
        };
        let shares: Vec<f64> = match self.round_side(edge) {
            Some((f, side)) => {
                let breaks = self.grids.breaks(self.body, f, &side);
                let shares = breaks.into_iter().map(|(share, _)| share);
                if side.along { shares.collect() } else { shares.rev().map(|s| 1.0 - s).collect() }
            }
            None => {
                let count = (sweep / chord_step(radius, tolerance)).ceil() as usize;
                (1..count).map(|i| i as f64 / count as f64).collect()
            }
        };
        let first = self.points.len() as u32;
        let between: Vec<Point3> = shares.iter().map(|&t| self.body.edge_point(edge, t)).collect();
        self.points.extend(between);
        let mut along = vec![edge.ends[0]];
        along.extend(first..self.points.len() as u32);
        along.push(edge.ends[1]);
        along
    }

    /// The points of a side in the order its piece runs, ends included.
    fn side(&self, side: &Side) -> Vec<u32> {
        let Some(edge) = side.edge else {
            return Vec::new();
        };
        let points = &self.edges[edge as usize];
        if side.along { points.clone() } else { points.iter().rev().copied().collect() }
    }

    fn triangle(&mut self, face: &Face, [a, b, c]: [u32; 3]) {
        if a == b || b == c || c == a {
            return; // At an apex two corners are one.
        }
        self.triangles.push(if face.inward { [a, c, b] } else { [a, b, c] });
    }
}

impl Body {
    fn side_of(&self, face: u32, edge: &Edge) -> Option<Side> {
        let is = |side: &&Side| side.edge.is_some_and(|e| std::ptr::eq(&self.edges[e as usize], edge));
        self.faces[face as usize].rims.iter().flatten().find(is).copied()
    }
}

/// The shared angles of every group of round faces.
struct Grids {
    /// The group of each face; flat faces have none.
    group: Vec<usize>,
    /// Angles round the axis, ascending in 0..TAU.
    around: Vec<Vec<f64>>,
    /// Angles round the tube, for groups with a torus: per face, ascending, as its region has them.
    tube: Vec<Vec<f64>>,
}

impl Grids {
    fn of(body: &Body, tolerance: f64) -> Self {
        let mut group: Vec<usize> = (0..body.faces.len()).collect();
        let root = |group: &[usize], mut i: usize| {
            while group[i] != i {
                i = group[i];
            }
            i
        };
        for edge in &body.edges {
            let [a, b] = edge.faces.map(|f| f as usize);
            if body.faces[a].surface.coaxial(&body.faces[b].surface) {
                let (a, b) = (root(&group, a), root(&group, b));
                group[a.max(b)] = a.min(b);
            }
        }
        let group: Vec<usize> = (0..group.len()).map(|i| root(&group, i)).collect();
        // Where a fillet along a straight edge runs on into one round a corner, their tubes meet in one arc and
        // must break at the same angles.
        let mut meets_tube = vec![false; group.len()];
        for edge in &body.edges {
            let [a, b] = edge.faces.map(|f| f as usize);
            let is_torus = |f: usize| matches!(body.faces[f].surface.kind, Kind::Torus { .. });
            if group[a] != group[b] && is_torus(a) != is_torus(b) {
                meets_tube[group[if is_torus(a) { b } else { a }]] = true;
            }
        }
        let mut members: Vec<Vec<usize>> = vec![Vec::new(); group.len()];
        for (i, _) in body.faces.iter().enumerate().filter(|(_, f)| f.surface.is_round()) {
            members[group[i]].push(i);
        }
        let mut around = vec![Vec::new(); group.len()];
        let mut tube = vec![Vec::new(); group.len()];
        for (g, members) in members.iter().enumerate().filter(|(_, m)| !m.is_empty()) {
            let faces: Vec<&Face> = members.iter().map(|&i| &body.faces[i]).collect();
            around[g] = angles_around(&faces, if meets_tube[g] { tolerance / 2.0 } else { tolerance });
            for &i in members {
                tube[i] = angles_of_tube(&faces, &body.faces[i], tolerance);
            }
        }
        Self { group, around, tube }
    }

    /// Has a side break at one more place, and with it all that share its angles. Whether that is new.
    fn add(&mut self, body: &Body, at: &Break) -> bool {
        let face = at.face as usize;
        let surface = &body.faces[face].surface;
        let p = at.side.piece.at(at.share);
        if is_level(surface, &at.side.piece) {
            // No angle is both nought and a whole turn.
            return insert(&mut self.around[self.group[face]], turn(p.x + SAME_ANGLE) - SAME_ANGLE);
        }
        let same = |i: usize| self.group[i] == self.group[face] && body.faces[i].surface.same(surface);
        let tubes = self.tube.iter_mut().enumerate().filter(|(i, _)| same(*i));
        tubes.fold(false, |any, (_, tube)| any | insert(tube, p.y))
    }

    /// Where a side breaks between its ends: share of its length and parameter, in its order.
    fn breaks(&self, body: &Body, face: u32, side: &Side) -> Vec<(f64, f64)> {
        let surface = &body.faces[face as usize].surface;
        let (from, to) = (side.piece.from, side.piece.to);
        let level = is_level(surface, &side.piece);
        let (a, b) = if level { (from.x, to.x) } else { (from.y, to.y) };
        let (low, high) = (a.min(b), a.max(b));
        let inside = |&g: &f64| g > low + SAME_ANGLE && g < high - SAME_ANGLE;
        let mut angles: Vec<f64> = match level {
            true => unrolled(&self.around[self.group[face as usize]], low, high)
                .into_iter()
                .filter(inside)
                .collect(),
            false => self.tube[face as usize].iter().copied().filter(inside).collect(),
        };
        if b < a {
            angles.reverse();
        }
        angles.into_iter().map(|g| ((g - a) / (b - a), g)).collect()
    }
}

/// Puts an angle in its place among others, unless it is there.
fn insert(angles: &mut Vec<f64>, angle: f64) -> bool {
    let at = angles.partition_point(|&a| a < angle - SAME_ANGLE);
    let new = angles.get(at).is_none_or(|&a| a > angle + SAME_ANGLE);
    if new {
        angles.insert(at, angle);
    }
    new
}

/// Angles of `0..TAU` repeated turn after turn over `low..=high`.
fn unrolled(angles: &[f64], low: f64, high: f64) -> Vec<f64> {
    let first = ((low - TAU) / TAU).floor() as i64;
    let last = ((high + TAU) / TAU).ceil() as i64;
    (first..=last)
        .flat_map(|k| angles.iter().map(move |a| a + k as f64 * TAU))
        .filter(|&a| a >= low - SAME_ANGLE && a <= high + SAME_ANGLE)
        .collect()
}

fn angles_around(members: &[&Face], tolerance: f64) -> Vec<f64> {
    let sides = || members.iter().flat_map(|f| f.rims.iter().flatten().map(move |s| (f, s)));
    let reach = |f: &Face, v: f64| match f.surface.kind {
        Kind::Torus { major, minor } => major + minor,
        _ => f.surface.radius(v),
    };
    let largest = sides().map(|(f, s)| reach(f, s.piece.from.y)).fold(0.0, f64::max);
    let torus = members.iter().any(|f| matches!(f.surface.kind, Kind::Torus { .. }));
    // On a torus the chords of both directions add up.
    let step = chord_step(largest, if torus { tolerance / 2.0 } else { tolerance });
    let mut corners: Vec<f64> = sides()
        .filter(|(_, s)| s.edge.is_some())
        .flat_map(|(_, s)| [turn(s.piece.from.x), turn(s.piece.to.x)])
        .collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|a, b| (*a - *b).abs() < SAME_ANGLE);
    if corners.len() > 1 && TAU - corners[corners.len() - 1] + corners[0] < SAME_ANGLE {
        corners.pop();
    }
    let mut angles = Vec::new();
    for (i, &from) in corners.iter().enumerate() {
        let to = corners.get(i + 1).copied().unwrap_or(corners[0] + TAU);
        angles.extend(steps(from, to, step).into_iter().map(turn));
    }
    angles.sort_by(f64::total_cmp);
    angles
}

/// `from` and even steps no larger than `step` towards `to`, which is left out.
fn steps(from: f64, to: f64, step: f64) -> Vec<f64> {
    let count = ((to - from) / step - 1e-9).ceil().max(1.0) as usize;
    (0..count).map(|i| from + (to - from) * i as f64 / count as f64).collect()
}

fn angles_of_tube(members: &[&Face], face: &Face, tolerance: f64) -> Vec<f64> {
    let Kind::Torus { minor, .. } = face.surface.kind else {
        return Vec::new();
    };
    let step = chord_step(minor, tolerance / 2.0);
    let same = members.iter().filter(|f| f.surface.same(&face.surface));
    let mut corners: Vec<f64> = same.flat_map(|f| f.rims.iter().flatten().map(|s| s.piece.from.y)).collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|a, b| (*a - *b).abs() < SAME_ANGLE);
    let mut angles: Vec<f64> = corners.windows(2).flat_map(|w| steps(w[0], w[1], step)).collect();
    angles.extend(corners.last());
    angles
}

/// A round face laid out in columns, one at each shared angle it spans.
struct Round {
    angles: Vec<f64>,
    /// For each column its points by v, ascending.
    columns: Vec<Vec<(f64, u32)>>,
    /// Level lines: v, first column, last column.
    levels: Vec<(f64, usize, usize)>,
    /// Where a torus breaks along v.
    rows: Vec<f64>,
}

impl Round {
    fn new(work: &Work, index: usize, face: &Face) -> Self {
        let sides = || face.rims.iter().flatten();
        let low = sides().map(|s| s.piece.from.x).fold(f64::INFINITY, f64::min);
        let high = sides().map(|s| s.piece.from.x).fold(f64::NEG_INFINITY, f64::max);
        let angles = unrolled(&work.grids.around[work.grids.group[index]], low, high);
        let mut round = Self {
            columns: vec![Vec::new(); angles.len()],
            levels: Vec::new(),
            rows: work.grids.tube[index].clone(),
            angles,
        };
        for side in sides() {
            round.lay(work, index, face, side);
        }
        for column in &mut round.columns {
            column.sort_by(|a, b| a.0.total_cmp(&b.0));
            column.dedup_by_key(|p| p.1);
        }
        round.levels.sort_by(|a, b| a.0.total_cmp(&b.0));
        round
    }

    fn column(&self, angle: f64) -> usize {
        let at = self.angles.partition_point(|&a| a < angle - SAME_ANGLE);
        at.min(self.angles.len().saturating_sub(1))
    }

    fn lay(&mut self, work: &Work, index: usize, face: &Face, side: &Side) {
        let (from, to) = (side.piece.from, side.piece.to);
        let points = work.side(side);
        if !is_level(&face.surface, &side.piece) {
            let column = self.column(from.x);
            let breaks = work.grids.breaks(work.body, index as u32, side);
            let vs = std::iter::once(from.y).chain(breaks.into_iter().map(|b| b.1)).chain([to.y]);
            self.columns[column].extend(vs.zip(points));
            return;
        }
        let (a, b) = (self.column(from.x), self.column(to.x));
        self.levels.push((from.y, a.min(b), a.max(b)));
        let columns: Vec<usize> = if a <= b { (a..=b).collect() } else { (b..=a).rev().collect() };
        let apex = || {
            work.body.points.iter().position(|p| (p - face.surface.point(from)).norm() < EPSILON).unwrap_or(0)
                as u32
        };
        let points = if points.is_empty() { vec![apex(); columns.len()] } else { points };
        for (column, point) in columns.into_iter().zip(points) {
            self.columns[column].push((from.y, point));
        }
    }

    fn cover(mut self, work: &mut Work, face: &Face) -> Result<()> {
        for column in 0..self.angles.len().saturating_sub(1) {
            let bounds: Vec<f64> =
                self.levels.iter().filter(|l| l.1 <= column && l.2 > column).map(|l| l.0).collect();
            if !bounds.len().is_multiple_of(2) {
                return Err(Error::internal("A round wall has no upper end somewhere."));
            }
            for pair in bounds.chunks(2) {
                let span = (pair[0], pair[1]);
                let left = self.chain(work, face, column, span);
                let right = self.chain(work, face, column + 1, span);
                zip(work, face, &left, &right);
            }
        }
        Ok(())
    }

    /// The points of a column over a span of v, with the rows of a torus filled in.
    fn chain(
        &mut self,
        work: &mut Work,
        face: &Face,
        column: usize,
        (low, high): (f64, f64),
    ) -> Vec<(f64, u32)> {
        for &v in self.rows.iter().filter(|&&v| v > low + SAME_ANGLE && v < high - SAME_ANGLE) {
            let at = self.columns[column].partition_point(|p| p.0 < v - SAME_ANGLE);
            if self.columns[column].get(at).is_some_and(|p| (p.0 - v).abs() <= SAME_ANGLE) {
                continue;
            }
            self.columns[column].insert(at, (v, work.points.len() as u32));
            work.points.push(face.surface.point(Point2::new(self.angles[column], v)));
        }
        let within = |p: &&(f64, u32)| p.0 >= low - SAME_ANGLE && p.0 <= high + SAME_ANGLE;
        self.columns[column].iter().filter(within).copied().collect()
    }
}

/// Triangles between two upright chains, left and right, from the bottom up.
fn zip(work: &mut Work, face: &Face, left: &[(f64, u32)], right: &[(f64, u32)]) {
    let (mut i, mut j) = (0, 0);
    while i + 1 < left.len() || j + 1 < right.len() {
        let rise = |chain: &[(f64, u32)], at: usize| chain.get(at + 1).map_or(f64::INFINITY, |p| p.0);
        if rise(right, j) <= rise(left, i) {
            work.triangle(face, [left[i].1, right[j].1, right[j + 1].1]);
            j += 1;
        } else {
            work.triangle(face, [left[i].1, right[j].1, left[i + 1].1]);
            i += 1;
        }
    }
}

/// Scratch space for flat faces.
struct Flat {
    ears: Earcut<f64>,
    refiner: Refiner,
}

impl Default for Flat {
    fn default() -> Self {
        Self { ears: Earcut::new(), refiner: Refiner::new() }
    }
}

impl Flat {
    fn cover(&mut self, work: &mut Work, face: &Face) -> Result<()> {
        let mut indices: Vec<u32> = Vec::new();
        let mut holes: Vec<u32> = Vec::new();
        for (i, rim) in face.rims.iter().enumerate() {
            if i > 0 {
                holes.push(indices.len() as u32);
            }
            for side in rim {
                let points = work.side(side);
                indices.extend(&points[..points.len().saturating_sub(1)]);
            }
        }
        let flat: Vec<[f64; 2]> =
            indices.iter().map(|&i| face.surface.frame.project(work.points[i as usize]).into()).collect();
        let mut cut = self.clipped(&flat, &holes)?;
        self.refiner.refine(&mut cut, &flat);
        for t in cut.chunks_exact(3) {
            work.triangle(face, [t[0], t[1], t[2]].map(|i| indices[i as usize]));
        }
        Ok(())
    }

    /// Triangles of a flat face. Ear clipping bridges holes along the first axis; where that runs
    /// through other points (holes in line), it may lose one. Then the face is clipped again, turned.
    fn clipped(&mut self, flat: &[[f64; 2]], holes: &[u32]) -> Result<Vec<u32>> {
        let count = flat.len() as u32;
        for angle in [0.0_f64, 0.61, 1.13, 2.27] {
            let (sin, cos) = angle.sin_cos();
            let turned: Vec<[f64; 2]> =
                flat.iter().map(|[x, y]| [x * cos - y * sin, x * sin + y * cos]).collect();
            let mut cut: Vec<u32> = Vec::new();
            self.ears.earcut_slice(&turned, holes, &mut cut);
            turn_left(&mut cut, flat);
            if restore_skipped(&mut cut, count, holes).is_ok() && covers(&cut, flat, holes) {
                return Ok(cut);
            }
        }
        Err(not_cut())
    }
}

fn not_cut() -> Error {
    Error::geometry(
        "Two outlines of a flat face touch, or all but touch, and it cannot be cut into triangles.",
        "Move one of them by a tenth of a millimetre, so that they overlap or part clearly.",
    )
}

/// Twice the area of a triangle, positive counter-clockwise.
fn doubled(flat: &[[f64; 2]], t: &[u32]) -> f64 {
    let [a, b, c] = [t[0], t[1], t[2]].map(|i| flat[i as usize]);
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Whether triangles add up to the area their outlines enclose, and so lie side by side. Where
/// outlines touch, ear clipping may lay some over others, or one upside down over two. Below a square millimetre a share of the
/// area would be finer than rounding.
fn covers(triangles: &[u32], flat: &[[f64; 2]], holes: &[u32]) -> bool {
    let area: f64 = triangles.chunks_exact(3).map(|t| doubled(flat, t).abs()).sum();
    let ends = holes.iter().map(|&h| h as usize).chain([flat.len()]);
    let mut from = 0;
    let enclosed: f64 = ends
        .map(|to| {
            let outline = &flat[std::mem::replace(&mut from, to)..to];
            let next = outline.iter().cycle().skip(1);
            let from_first = |p: &[f64; 2]| Vector2::new(p[0] - flat[0][0], p[1] - flat[0][1]);
            let about = outline.iter().zip(next).map(|(a, b)| cross(from_first(a), from_first(b)));
            about.sum::<f64>()
        })
        .sum();
    (area - enclosed.abs()).abs() < 1e-9 * area.max(1.0)
}

/// Turns all triangles counter-clockwise; ear clipping leaves them all one way round.
fn turn_left(triangles: &mut [u32], flat: &[[f64; 2]]) {
    if triangles.chunks_exact(3).map(|t| doubled(flat, t)).sum::<f64>() < 0.0 {
        triangles.chunks_exact_mut(3).for_each(|t| t.swap(1, 2));
    }
}

/// Ear clipping drops points that lie straight between their neighbours. Their edges have another
/// face on the far side that does use them, so each is put back into the triangle that runs past.
fn restore_skipped(triangles: &mut Vec<u32>, count: u32, holes: &[u32]) -> Result<()> {
    if triangles.len() as u32 / 3 + 2 == count + 2 * holes.len() as u32 {
        return Ok(());
    }
    let bounds: Vec<u32> = std::iter::once(0).chain(holes.iter().copied()).chain([count]).collect();
    let next = |i: u32| {
        let at = bounds.partition_point(|&b| b <= i);
        if i + 1 == bounds[at] { bounds[at - 1] } else { i + 1 }
    };
    let mut used = HashSet::default();
    for t in triangles.chunks_exact(3) {
        used.extend([(t[0], t[1]), (t[1], t[2]), (t[2], t[0])]);
    }
    let skipping =
        |used: &HashSet<(u32, u32), FixedState>, (a, b): (u32, u32)| next(a) != b && !used.contains(&(b, a));
    let mut at = 0;
    while at < triangles.len() {
        let t = [triangles[at], triangles[at + 1], triangles[at + 2]];
        let open = (0..3).find(|&k| skipping(&used, (t[k], t[(k + 1) % 3])));
        let Some(k) = open else {
            at += 3;
            continue;
        };
        let (a, b, c, m) = (t[k], t[(k + 1) % 3], t[(k + 2) % 3], next(t[k]));
        if m == c || triangles.len() as u32 > 3 * (count + 2 * holes.len() as u32) {
            return Err(not_cut());
        }
        triangles[at..at + 3].copy_from_slice(&[a, m, c]);
        triangles.extend([m, b, c]);
        used.remove(&(a, b));
        used.extend([(a, m), (m, b), (m, c), (c, m)]);
    }
    match triangles.len() as u32 / 3 + 2 == count + 2 * holes.len() as u32 {
        true => Ok(()),
        false => Err(Error::internal("A flat face could not be cut into triangles.")),
    }
}
