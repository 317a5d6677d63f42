//! From cells and springs to a sparse matrix and its Cholesky factor.

use super::brick::{BRICK, NODES, PAIRS, Products, products};
use super::lattice::{Cell, Nodes};
use super::springs::Patch;
use crate::error::{Error, Result};
use faer::dyn_stack::{MemBuffer, MemStack, StackReq};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::amd;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, Mat, Par, Side};

/// What the voids of a cut cell keep of its stiffness.
const VOID: f64 = 1e-7;

/// The upper half of a symmetric matrix of 3 × 3 blocks, its nodes in the order of elimination.
pub(super) struct Matrix {
    /// Place of each node in the order of elimination.
    place: Vec<usize>,
    /// Where each column of blocks begins.
    begins: Vec<usize>,
    /// The block rows of each column, ascending; the last is the diagonal.
    rows: Vec<usize>,
    column_starts: Vec<usize>,
    values: Vec<f64>,
}

fn fault(what: impl std::fmt::Debug) -> Error {
    Error::internal(format!("The finite cells of a part could not be solved: {what:?}."))
}

impl Matrix {
    /// An empty matrix over these nodes.
    pub fn new(nodes: &Nodes) -> Result<Matrix> {
        let neighbours = nodes.neighbours();
        let place = order(&neighbours)?;
        let mut columns: Vec<Vec<usize>> = vec![Vec::new(); nodes.count];
        for (node, list) in neighbours.iter().enumerate() {
            let column = place[node];
            columns[column] = list.iter().map(|other| place[*other]).filter(|row| *row <= column).collect();
            columns[column].sort_unstable();
        }
        let mut begins = vec![0];
        let mut column_starts = vec![0];
        let mut total = 0;
        for column in &columns {
            begins.push(begins[begins.len() - 1] + column.len());
            for inner in 0..3 {
                total += 3 * column.len() - 2 + inner;
                column_starts.push(total);
            }
        }
        Ok(Matrix { place, begins, rows: columns.concat(), column_starts, values: vec![0.0; total] })
    }

    /// Adds a block that joins two nodes, the first with the lower place; of a node's own block the
    /// upper half.
    fn add(&mut self, row: usize, column: usize, block: &[[f64; 3]; 3]) {
        let list = &self.rows[self.begins[column]..self.begins[column + 1]];
        let Ok(at) = list.binary_search(&row) else { return };
        for inner in 0..3 {
            let start = self.column_starts[3 * column + inner] + 3 * at;
            let lines = if row == column { inner + 1 } else { 3 };
            for (outer, line) in block.iter().enumerate().take(lines) {
                self.values[start + outer] += line[inner];
            }
        }
    }

    /// Adds a cell's stiffness for a modulus of 1.
    pub fn add_cell(&mut self, nodes: &[usize; NODES], cell: &Cell, size: [f64; 3], poisson: f64) {
        let lame = (poisson / ((1.0 + poisson) * (1.0 - 2.0 * poisson)), 0.5 / (1.0 + poisson));
        if cell.full {
            self.add_products(nodes, &BRICK.full, size, lame);
            return;
        }
        let mut cut = products(&BRICK.factors, &cell.moments);
        for (line, full) in cut.iter_mut().flatten().flatten().zip(BRICK.full.iter().flatten().flatten()) {
            *line += VOID * full;
        }
        self.add_products(nodes, &cut, size, lame);
    }

    fn add_products(&mut self, nodes: &[usize; NODES], all: &Products, size: [f64; 3], lame: (f64, f64)) {
        let volume = size[0] * size[1] * size[2] / 8.0;
        let scale = PAIRS.map(|(a, b)| volume * 4.0 / (size[a] * size[b]));
        let places = nodes.map(|node| self.place[node]);
        for (i, &row) in places.iter().enumerate() {
            for (j, &column) in places.iter().enumerate().filter(|(_, column)| row <= **column) {
                self.add(row, column, &block(all, &scale, (i, j), lame));
            }
        }
    }

    /// Adds the springs of a patch.
    pub fn add_springs(&mut self, nodes: &[usize; NODES], patch: &Patch) {
        let places = nodes.map(|node| self.place[node]);
        for (i, &row) in places.iter().enumerate() {
            for (j, &column) in places.iter().enumerate().filter(|(_, column)| row <= **column) {
                let sum: f64 = patch.points.iter().map(|(_, k, n)| k * n[i] * n[j]).sum();
                self.add(row, column, &[[sum, 0.0, 0.0], [0.0, sum, 0.0], [0.0, 0.0, sum]]);
            }
        }
    }

    /// Solves for right sides given by node; the answer is by node too. Fails where the matrix is not
    /// positive: something is held by nothing.
    pub fn solve(&self, sides: &[[[f64; 6]; 3]]) -> Result<Vec<[[f64; 6]; 3]>> {
        let unknowns = 3 * self.place.len();
        let rows = self.scalar_rows();
        let symbolic =
            SymbolicSparseColMatRef::new_checked(unknowns, unknowns, &self.column_starts, None, &rows);
        let factor = factorize_symbolic_cholesky(
            symbolic,
            Side::Upper,
            SymmetricOrdering::Identity,
            CholeskySymbolicParams::default(),
        )
        .map_err(fault)?;
        let mut values = vec![0.0; factor.len_val()];
        let (par, regular) = (Par::Seq, LltRegularization::default());
        let need = StackReq::any_of(&[
            factor.factorize_numeric_llt_scratch::<f64>(par, Default::default()),
            factor.solve_in_place_scratch::<f64>(6, par),
        ]);
        let mut memory = MemBuffer::try_new(need).map_err(fault)?;
        let stack = MemStack::new(&mut memory);
        let matrix = SparseColMatRef::new(symbolic, &self.values);
        factor
            .factorize_numeric_llt(&mut values, matrix, Side::Upper, regular, par, stack, Default::default())
            .map_err(fault)?;
        let mut solved = Mat::<f64>::zeros(unknowns, 6);
        for (node, side) in sides.iter().enumerate() {
            for (axis, line) in side.iter().enumerate() {
                line.iter().enumerate().for_each(|(k, v)| solved[(3 * self.place[node] + axis, k)] = *v);
            }
        }
        LltRef::new(&factor, &values).solve_in_place_with_conj(Conj::No, solved.as_mut(), par, stack);
        let answer = |node: usize| {
            [0, 1, 2].map(|axis| [0, 1, 2, 3, 4, 5].map(|k| solved[(3 * self.place[node] + axis, k)]))
        };
        Ok((0..sides.len()).map(answer).collect())
    }

    fn scalar_rows(&self) -> Vec<usize> {
        let mut rows = Vec::with_capacity(self.values.len());
        for column in self.begins.windows(2) {
            let blocks = &self.rows[column[0]..column[1]];
            for inner in 0..3 {
                let all = blocks.iter().flat_map(|row| (0..3).map(move |k| 3 * row + k));
                rows.extend(all.take(3 * blocks.len() - 2 + inner));
            }
        }
        rows
    }
}

/// The block of Hooke's law that joins two nodes.
fn block(
    all: &Products,
    scale: &[f64; 6],
    (i, j): (usize, usize),
    (lambda, mu): (f64, f64),
) -> [[f64; 3]; 3] {
    let mut block = [[0.0; 3]; 3];
    let mut trace = 0.0;
    for (n, &(a, b)) in PAIRS.iter().enumerate() {
        let (one, other) = (scale[n] * all[n][i][j], scale[n] * all[n][j][i]);
        if a == b {
            block[a][a] += (lambda + mu) * one;
            trace += one;
        } else {
            block[a][b] += lambda * one + mu * other;
            block[b][a] += lambda * other + mu * one;
        }
    }
    (0..3).for_each(|a| block[a][a] += mu * trace);
    block
}

/// Place of each node in an order of elimination that fills in little (approximate minimum degree).
fn order(neighbours: &[Vec<usize>]) -> Result<Vec<usize>> {
    let count = neighbours.len();
    let mut starts = vec![0];
    for list in neighbours {
        starts.push(starts[starts.len() - 1] + list.len());
    }
    let rows = neighbours.concat();
    let graph = SymbolicSparseColMatRef::new_checked(count, count, &starts, None, &rows);
    let (mut order, mut place) = (vec![0; count], vec![0; count]);
    let mut memory = MemBuffer::try_new(amd::order_scratch::<usize>(count, rows.len())).map_err(fault)?;
    amd::order(&mut order, &mut place, graph, amd::Control::default(), MemStack::new(&mut memory))
        .map_err(fault)?;
    Ok(place)
}
