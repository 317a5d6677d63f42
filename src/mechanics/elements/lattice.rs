//! The grid that a part is cut into, and how much of the part lies in each of its cells.

use super::brick::{BRICK, Moments, NODES, PLACES};
use super::rays::Rays;
use super::{Grid, Part};
use crate::solid::{Mesh, Point3};

/// A face square to an axis is a face of the grid where it covers this share of the part's box.
const LARGE: f64 = 0.12;
/// Cells with less of their volume filled are left out.
const EMPTY: f64 = 0.005;
/// Cells with more of their volume filled count as full.
const FULL: f64 = 0.9995;
/// A gap between hard lines takes one cell more only where its cells would be longer than this share of
/// the size beyond it.
const STRETCH: f64 = 0.25;

/// A cell with material in it.
pub(super) struct Cell {
    /// Its number along each axis.
    pub at: [usize; 3],
    /// Moments of the material in it.
    pub moments: Moments,
    /// Whether it is full.
    pub full: bool,
    /// Least and greatest corner of its material, in the cell's coordinates.
    pub extent: [[f64; 2]; 3],
}

impl Cell {
    /// Share of the cell that is filled.
    pub fn fill(&self) -> f64 {
        self.moments[0] / 8.0
    }
}

/// The cells of a part.
pub(super) struct Lattice {
    /// Coordinates of the grid's planes, by axis.
    pub lines: [Vec<f64>; 3],
    /// The cells that hold material.
    pub cells: Vec<Cell>,
    /// The axis along which they were filled by rays.
    along: usize,
}

impl Lattice {
    pub fn new(part: &Part, grid: &Grid, rays: &Rays) -> Lattice {
        let lines = [0, 1, 2].map(|axis| lines(part, grid, axis));
        let cells = cells(&lines, rays);
        Lattice { lines, cells, along: rays.along }
    }

    /// Sizes of a cell.
    pub fn size(&self, at: [usize; 3]) -> [f64; 3] {
        [0, 1, 2].map(|a| self.lines[a][at[a] + 1] - self.lines[a][at[a]])
    }

    /// The place of the cell a point lies in.
    pub fn locate(&self, p: &Point3) -> [usize; 3] {
        [0, 1, 2].map(|a| {
            let lines = &self.lines[a];
            lines.partition_point(|line| *line < p[a]).clamp(1, lines.len() - 1) - 1
        })
    }

    /// The number of the cell at a place, where one is kept: they were made column by column of rays.
    pub fn number(&self, at: [usize; 3]) -> Result<usize, usize> {
        let order = |at: [usize; 3]| [1, 2, 0].map(|turn| at[(self.along + turn) % 3]);
        self.cells.binary_search_by(|cell| order(cell.at).cmp(&order(at)))
    }

    /// A point in a cell's coordinates.
    pub fn local(&self, at: [usize; 3], p: &Point3) -> [f64; 3] {
        let size = self.size(at);
        [0, 1, 2].map(|a| 2.0 * (p[a] - self.lines[a][at[a]]) / size[a] - 1.0)
    }

    /// A point of a cell's coordinates in the part's.
    pub fn global(&self, at: [usize; 3], local: [f64; 3]) -> Point3 {
        let size = self.size(at);
        Point3::from([0, 1, 2].map(|a| self.lines[a][at[a]] + (local[a] + 1.0) / 2.0 * size[a]))
    }
}

/// The nodes of a lattice, numbered so that little fills in.
pub(super) struct Nodes {
    /// How many there are.
    pub count: usize,
    /// The nodes of each cell.
    pub of_cell: Vec<[usize; NODES]>,
}

impl Nodes {
    pub fn of(lattice: &Lattice) -> Nodes {
        let across = [0, 1, 2].map(|a| 2 * lattice.lines[a].len() - 1);
        let mut number = vec![usize::MAX; across[0] * across[1] * across[2]];
        let mut count = 0;
        let of_cell = lattice.cells.iter().map(|cell| {
            PLACES.map(|place| {
                let [i, j, k] = [0, 1, 2].map(|a| 2 * cell.at[a] + place[a]);
                let node = &mut number[(i * across[1] + j) * across[2] + k];
                if *node == usize::MAX {
                    *node = count;
                    count += 1;
                }
                *node
            })
        });
        let of_cell = of_cell.collect();
        Nodes { count, of_cell }
    }

    /// For each node those it shares a cell with, itself among them, ascending.
    pub fn neighbours(&self) -> Vec<Vec<usize>> {
        let mut all: Vec<Vec<usize>> = vec![Vec::with_capacity(128); self.count];
        for nodes in &self.of_cell {
            for &node in nodes {
                all[node].extend(nodes);
            }
        }
        for list in &mut all {
            list.sort_unstable();
            list.dedup();
        }
        all
    }
}

/// The grid's planes along an axis: where the part ends, where large faces and discs lie, and at the
/// sides of discs, as long as they keep their distance; gaps are divided evenly.
fn lines(part: &Part, grid: &Grid, axis: usize) -> Vec<f64> {
    let bounds = part.mesh.bounds();
    let (least, most) = (bounds.least[axis], bounds.most[axis]);
    let mut hard = large_faces(part.mesh, axis);
    let mut soft = Vec::new();
    for disc in part.discs() {
        if disc.normal[axis].abs() > 0.99 {
            hard.push(disc.centre[axis]);
        } else {
            let across = (1.0 - disc.normal[axis].powi(2)).sqrt();
            soft.extend(
                [disc.radius, disc.inner]
                    .into_iter()
                    .filter(|r| *r > 0.0)
                    .flat_map(|r| [disc.centre[axis] - across * r, disc.centre[axis] + across * r]),
            );
        }
    }
    let mut kept = vec![least, most];
    hard.sort_by(f64::total_cmp);
    for line in hard.into_iter().chain(soft) {
        let inside = line > least && line < most;
        if inside && kept.iter().all(|k| (line - k).abs() >= grid.merge) {
            kept.push(line);
        }
    }
    kept.sort_by(f64::total_cmp);
    let mut all = vec![least];
    for pair in kept.windows(2) {
        let gap = pair[1] - pair[0];
        let parts = (gap / grid.size - STRETCH).ceil().max(1.0) as usize;
        all.extend((1..=parts).map(|k| pair[0] + gap * k as f64 / parts as f64));
    }
    all
}

/// Coordinates of the large faces square to an axis.
fn large_faces(mesh: &Mesh, axis: usize) -> Vec<f64> {
    let mut faces: Vec<(f64, f64)> = Vec::new();
    for &triangle in &mesh.triangles {
        let doubled = mesh.doubled_normal(triangle);
        if doubled[axis].abs() > 0.9999 * doubled.norm() {
            faces.push((mesh.corners(triangle)[0][axis], doubled.norm() / 2.0));
        }
    }
    faces.sort_by(|a, b| a.0.total_cmp(&b.0));
    let size = mesh.bounds().size();
    let least = LARGE * size[(axis + 1) % 3] * size[(axis + 2) % 3];
    let mut large = Vec::new();
    for group in faces.chunk_by(|a, b| b.0 - a.0 < 1e-3) {
        if group.iter().map(|face| face.1).sum::<f64>() > least {
            large.push(group[0].0);
        }
    }
    large
}

/// Rays across a cell along either axis: four sub-cells of two points of Gauss each.
const SUB_CELLS: usize = 4;

/// Their places and weights in the cell's coordinates.
fn samples() -> Vec<(f64, f64)> {
    let half = 1.0 / SUB_CELLS as f64;
    let off = half / 3f64.sqrt();
    (0..SUB_CELLS)
        .map(|k| -1.0 + (2 * k + 1) as f64 * half)
        .flat_map(|middle| [(middle - off, half), (middle + off, half)])
        .collect()
}

/// The cells with material: along the rays it is integrated exactly, across them by points.
fn cells(lines: &[Vec<f64>; 3], rays: &Rays) -> Vec<Cell> {
    let (along, [u, v]) = (rays.along, rays.across);
    let samples = samples();
    let (columns, rows, deep) = (lines[u].len() - 1, lines[v].len() - 1, lines[along].len() - 1);
    let mut all = Vec::new();
    let mut crossings = Vec::new();
    for i in 0..columns {
        for j in 0..rows {
            let mut stack = Stack::new(along, deep);
            for &(x, wx) in &samples {
                for &(y, wy) in &samples {
                    let place =
                        |line: &[f64], k: usize, t: f64| line[k] + (t + 1.0) / 2.0 * (line[k + 1] - line[k]);
                    rays.crossings([place(&lines[u], i, x), place(&lines[v], j, y)], &mut crossings);
                    for span in crossings.chunks_exact(2) {
                        stack.add(&lines[along], (x, y, wx * wy), (span[0], span[1]));
                    }
                }
            }
            let at = |k: usize| {
                let mut at = [0; 3];
                (at[u], at[v], at[along]) = (i, j, k);
                at
            };
            all.extend(stack.cells.into_iter().enumerate().filter_map(|(k, cell)| cell.finished(at(k))));
        }
    }
    all
}

/// The cells over each other along the rays.
struct Stack {
    along: usize,
    cells: Vec<Filling>,
}

#[derive(Clone)]
struct Filling {
    moments: Moments,
    extent: [[f64; 2]; 3],
}

impl Stack {
    fn new(along: usize, deep: usize) -> Stack {
        let empty = Filling { moments: [0.0; 125], extent: [[1.0, -1.0]; 3] };
        Stack { along, cells: vec![empty; deep] }
    }

    /// Adds the material of one ray from `from` to `to`.
    fn add(&mut self, lines: &[f64], (x, y, weight): (f64, f64, f64), (from, to): (f64, f64)) {
        let first = lines.partition_point(|line| *line <= from).max(1) - 1;
        for (k, cell) in self.cells.iter_mut().enumerate().skip(first) {
            let (low, high) = (lines[k], lines[k + 1]);
            if low >= to {
                break;
            }
            let local = |z: f64| (2.0 * (z - low) / (high - low) - 1.0).clamp(-1.0, 1.0);
            cell.add(self.along, (x, y, weight), (local(from), local(to)));
        }
    }
}

impl Filling {
    fn add(&mut self, along: usize, (x, y, weight): (f64, f64, f64), (from, to): (f64, f64)) {
        let (u, v) = ((along + 1) % 3, (along + 2) % 3);
        for (axis, low, high) in [(u, x, x), (v, y, y), (along, from, to)] {
            let extent = &mut self.extent[axis];
            *extent = [extent[0].min(low), extent[1].max(high)];
        }
        let step = super::brick::STEP;
        let mut share_u = weight;
        for a in 0..5 {
            let mut share = share_u;
            for b in 0..5 {
                let (mut low, mut high) = (from, to);
                for c in 0..5 {
                    self.moments[a * step[u] + b * step[v] + c * step[along]] +=
                        share * (high - low) / (c + 1) as f64;
                    (low, high) = (low * from, high * to);
                }
                share *= y;
            }
            share_u *= x;
        }
    }

    fn finished(self, at: [usize; 3]) -> Option<Cell> {
        let fill = self.moments[0] / 8.0;
        match fill {
            f if f <= EMPTY => None,
            f if f > FULL => {
                Some(Cell { at, moments: BRICK.full_moments, full: true, extent: [[-1.0, 1.0]; 3] })
            }
            _ => Some(Cell { at, moments: self.moments, full: false, extent: self.extent }),
        }
    }
}
