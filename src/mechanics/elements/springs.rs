//! Springs over the discs that hold a part or that a body bears on.

use super::brick::{NODES, values};
use super::lattice::{Lattice, Nodes};
use super::rays::Rays;
use super::{Disc, Grid};
use crate::solid::{Point3, Vector3};
use std::collections::BTreeMap;

/// How far under a disc material is looked for, mm.
const UNDER: f64 = 0.02;
/// Points along a disc's radius, and round it.
const POINTS: (usize, usize) = (10, 40);

/// What a disc presses within one cell.
#[derive(Default)]
pub(super) struct Patch {
    /// Points: where, its stiffness per unit of modulus, and the cell's shape functions there.
    pub points: Vec<(Point3, f64, [f64; NODES])>,
}

/// A part's surface, cut by its cells.
#[derive(Clone, Copy)]
pub(super) struct Surface<'a> {
    pub grid: &'a Grid,
    pub lattice: &'a Lattice,
    pub nodes: &'a Nodes,
    pub rays: &'a Rays<'a>,
}

impl Surface<'_> {
    /// The patches of discs that lie on material, each with the number of its cell.
    pub fn patches(&self, discs: &[Disc]) -> Vec<(usize, Patch)> {
        let mut found = Vec::new();
        let mut all = Vec::new();
        for disc in discs {
            let mut by_cell: BTreeMap<usize, Patch> = BTreeMap::new();
            for (p, area) in points(disc) {
                let under = p - disc.normal * UNDER;
                if !self.rays.inside(under, &mut found) {
                    continue;
                }
                let cell = self.lattice.locate(&under);
                let Ok(number) = self.lattice.number(cell) else { continue };
                let shape = values(self.lattice.local(cell, &p));
                by_cell.entry(number).or_default().points.push((p, area / self.grid.layer, shape));
            }
            all.extend(by_cell);
        }
        all
    }
}

/// Points over a disc, each with the area it stands for: midpoints of rings of even width.
fn points(disc: &Disc) -> impl Iterator<Item = (Point3, f64)> {
    let normal = disc.normal;
    let across = [Vector3::x(), Vector3::y(), Vector3::z()]
        .into_iter()
        .min_by(|a, b| a.dot(&normal).abs().total_cmp(&b.dot(&normal).abs()))
        .unwrap_or(Vector3::x());
    let e = normal.cross(&across).normalize();
    let f = normal.cross(&e);
    let (rings, round) = POINTS;
    let width = disc.radius / rings as f64;
    let centre = disc.centre;
    (0..rings).flat_map(move |ring| {
        let radius = (ring as f64 + 0.5) * width;
        let area = std::f64::consts::TAU * radius * width / round as f64;
        (0..round).map(move |k| {
            // A third of a step keeps the points off the grid's own planes.
            let angle = std::f64::consts::TAU * (k as f64 + 0.37) / round as f64;
            (centre + (e * angle.cos() + f * angle.sin()) * radius, area)
        })
    })
}
