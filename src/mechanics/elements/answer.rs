//! What is asked of a solved part: movements, frequencies, stresses.

use super::brick::{BRICK, NODES, STEP, mass, slope};
use super::factor::Matrix;
use super::lattice::{Cell, Lattice};
use super::springs::Surface;
use super::{Elastic, Grid, Mass, Part, Six, unheld};
use crate::error::Result;
use crate::solid::{Point3, Vector3};
use nalgebra::{Matrix3, Matrix4, Matrix6, SymmetricEigen, Vector4};
use std::f64::consts::TAU;

/// Cells filled less than this are asked for no stress: a sliver's is noise.
const TELLING: f64 = 0.3;

/// A solved part.
#[derive(Clone)]
pub struct Answer {
    /// The grid it was solved on: coarser than the one asked for where that had too many unknowns.
    pub grid: Grid,
    /// Cells, and unknowns.
    pub counts: (usize, usize),
    /// Compliance of the body at its point for a modulus of 1 MPa.
    unit: Matrix6<f64>,
    /// The part's own inertia in the body's six movements, per g/cm³, tonnes and millimetres.
    moving: Matrix6<f64>,
    /// What the stresses follow from, by cell.
    strains: Vec<Strained>,
    poisson: f64,
    at: Point3,
}

/// One way a body swings by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mode {
    /// Its frequency, Hz.
    pub frequency: f64,
    /// How the body moves and turns at its point, of no particular size.
    pub shape: Six,
}

/// The greatest stress, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Stress by von Mises' rule, MPa: even over a cell but for its slope.
    pub stress: f64,
    /// Where it stands.
    pub at: Point3,
}

/// The strains in a cell as straight runs over its material, for each of six movements.
#[derive(Clone)]
struct Strained {
    /// Corners of the material's box, in the cell's coordinates.
    corners: [[f64; 3]; 8],
    /// The same in the part's.
    places: [Point3; 8],
    /// For each movement the strain in the middle, and how it grows along each axis of the cell.
    runs: Box<[[Matrix3<f64>; 4]; 6]>,
}

/// How a body's six movements move a point at `r` from its own: along each axis, by movement.
fn carried(r: Vector3) -> [[f64; 6]; 3] {
    [[1.0, 0.0, 0.0, 0.0, r.z, -r.y], [0.0, 1.0, 0.0, -r.z, 0.0, r.x], [0.0, 0.0, 1.0, r.y, -r.x, 0.0]]
}

impl Answer {
    pub(super) fn of(part: &Part, surface: &Surface) -> Result<Answer> {
        let Surface { grid, lattice, nodes, .. } = *surface;
        let mut matrix = Matrix::new(nodes)?;
        for (cell, of) in lattice.cells.iter().zip(&nodes.of_cell) {
            matrix.add_cell(of, cell, lattice.size(cell.at), part.poisson);
        }
        let held = surface.patches(part.held);
        held.iter().for_each(|(cell, patch)| matrix.add_springs(&nodes.of_cell[*cell], patch));
        if held.is_empty() {
            return Err(unheld("holds bear on no material"));
        }
        let (sides, sprung) = pressed(part, surface, &mut matrix);
        let moved = matrix.solve(&sides)?;
        let unit = unit(sprung, &sides, &moved)?;
        let fields: Vec<Fields> = nodes.of_cell.iter().map(|of| Fields::of(of, &moved)).collect();
        let mut moving = Matrix6::zeros();
        for (cell, fields) in lattice.cells.iter().zip(&fields) {
            let size = lattice.size(cell.at);
            moving += fields.mass(cell) * (size[0] * size[1] * size[2] / 8.0 * 1e-9);
        }
        let telling = |(cell, _): &(&Cell, &Fields)| cell.fill() > TELLING;
        let strains = lattice.cells.iter().zip(&fields).filter(telling);
        let strains = strains.filter_map(|(cell, fields)| fields.strained(cell, lattice)).collect();
        let counts = (lattice.cells.len(), 3 * nodes.count);
        Ok(Answer { grid: *grid, counts, unit, moving, strains, poisson: part.poisson, at: part.body.at })
    }

    /// How much the body moves (mm) and turns (rad) at its point for each unit of force and moment.
    pub fn compliance(&self, elastic: &Elastic) -> Matrix6<f64> {
        self.unit / elastic.modulus
    }

    /// How the body moves and turns under forces and moments at its point.
    pub fn moved(&self, elastic: &Elastic, load: &Six) -> Six {
        self.compliance(elastic) * load
    }

    /// A force at a place as forces and moments at the body's point.
    pub fn load(&self, force: Vector3, place: Point3) -> Six {
        let moment = (place - self.at).cross(&force);
        Six::new(force.x, force.y, force.z, moment.x, moment.y, moment.z)
    }

    /// The body's own ways of swinging, the lowest first, with masses on it and the part of a density in
    /// g/cm³ (Rayleigh and Ritz in the six movements: Clough and Penzien, *Dynamics of Structures*).
    pub fn modes(&self, elastic: &Elastic, density: f64, masses: &[Mass]) -> Vec<Mode> {
        let own = self.moving * density;
        let swings = masses.iter().fold(own, |sum, mass| sum + mass.about(&self.at));
        let Some(compliance) = self.compliance(elastic).cholesky() else {
            return Vec::new();
        };
        // Where C = LLᵀ, Mv = v/ω²·C⁻¹ becomes an ordinary problem for LᵀML.
        let l = compliance.l();
        let problem = l.transpose() * swings * l;
        let eigen = SymmetricEigen::new((problem + problem.transpose()) / 2.0);
        let mut modes: Vec<Mode> = (0..6)
            .filter(|k| eigen.eigenvalues[*k] > 0.0)
            .map(|k| Mode {
                frequency: 1.0 / eigen.eigenvalues[k].sqrt() / TAU,
                shape: l * eigen.eigenvectors.column(k),
            })
            .collect();
        modes.sort_by(|a, b| a.frequency.total_cmp(&b.frequency));
        modes
    }

    /// The greatest nominal stress under forces and moments at the body's point. Within each cell it is
    /// taken to run straight, so that neither a sharp corner nor a washer's rim counts without end.
    pub fn peak(&self, load: &Six) -> Peak {
        self.peak_among(load, |_| true)
    }

    /// The same of the places that count alone.
    pub(crate) fn peak_among(&self, load: &Six, counts: impl Fn(&Point3) -> bool) -> Peak {
        let moved = self.unit * load;
        /// One cell through a plate reads a cantilever's greatest stress at 0.83 of the beam's; so much more is
        /// counted everywhere.
        const READS_LOW: f64 = 1.2;
        let mut peak = Peak { stress: 0.0, at: self.at };
        for cell in &self.strains {
            let run = |n: usize| (0..6).map(|k| cell.runs[k][n] * moved[k]).sum::<Matrix3<f64>>();
            let [middle, x, y, z] = [0, 1, 2, 3].map(run);
            for (at, place) in cell.corners.iter().zip(&cell.places) {
                let stress = READS_LOW * mises(middle + x * at[0] + y * at[1] + z * at[2], self.poisson);
                if stress > peak.stress && counts(place) {
                    peak = Peak { stress, at: *place };
                }
            }
        }
        peak
    }
}

/// Presses the springs of the body's discs: the forces on each node for each of its six movements, and the
/// springs' own stiffness against them.
fn pressed(part: &Part, surface: &Surface, matrix: &mut Matrix) -> (Vec<[[f64; 6]; 3]>, Matrix6<f64>) {
    let mut sides = vec![[[0.0; 6]; 3]; surface.nodes.count];
    let mut sprung = Matrix6::zeros();
    for (cell, patch) in surface.patches(&part.body.discs) {
        let of = &surface.nodes.of_cell[cell];
        matrix.add_springs(of, &patch);
        for (p, k, shape) in &patch.points {
            for (axis, moved) in carried(p - part.body.at).iter().enumerate() {
                let moved = Six::from_column_slice(moved);
                sprung += moved * moved.transpose() * *k;
                for (node, n) in of.iter().zip(shape) {
                    (0..6).for_each(|m| sides[*node][axis][m] += k * n * moved[m]);
                }
            }
        }
    }
    (sides, sprung)
}

/// The body's compliance: what its springs hold, less what the part under them gives.
fn unit(sprung: Matrix6<f64>, sides: &[[[f64; 6]; 3]], moved: &[[[f64; 6]; 3]]) -> Result<Matrix6<f64>> {
    let mut stiff = sprung;
    for (side, moved) in sides.iter().flatten().zip(moved.iter().flatten()) {
        stiff -= Six::from_column_slice(side) * Six::from_column_slice(moved).transpose();
    }
    let even = (stiff + stiff.transpose()) / 2.0;
    Ok(even.cholesky().ok_or_else(|| unheld("moving body bears on no material"))?.inverse())
}

/// Stress by von Mises' rule from a strain, for a modulus of 1.
fn mises(strain: Matrix3<f64>, poisson: f64) -> f64 {
    let even = Matrix3::identity() * (strain.trace() / 3.0);
    // Only what changes shape counts, and twice the shear modulus is 1/(1 + ν).
    ((strain - even) / (1.0 + poisson)).norm() * 1.5_f64.sqrt()
}

/// A cell's displacement in each of six movements: the factor of each monomial along each axis.
struct Fields([[[f64; 6]; 3]; NODES]);

impl Fields {
    fn of(nodes: &[usize; NODES], moved: &[[[f64; 6]; 3]]) -> Fields {
        let mut all = [[[0.0; 6]; 3]; NODES];
        for (sums, of) in all.iter_mut().zip(&BRICK.factors) {
            for (node, factor) in nodes.iter().zip(of).filter(|(_, factor)| **factor != 0.0) {
                for (sum, value) in sums.iter_mut().flatten().zip(moved[*node].iter().flatten()) {
                    *sum += factor * value;
                }
            }
        }
        Fields(all)
    }

    /// ∫uᵀu of every two movements, in the cell's coordinates.
    fn mass(&self, cell: &Cell) -> Matrix6<f64> {
        let mut sum = Matrix6::zeros();
        for axis in 0..3 {
            for (k, one) in self.0.iter().enumerate() {
                let mut with = Six::zeros();
                for (l, other) in self.0.iter().enumerate() {
                    with += Six::from_column_slice(&other[axis]) * mass(&cell.moments, k, l);
                }
                sum += Six::from_column_slice(&one[axis]) * with.transpose();
            }
        }
        sum
    }

    /// The strains as straight runs over the cell's material, by least squares.
    fn strained(&self, cell: &Cell, lattice: &Lattice) -> Option<Strained> {
        let size = lattice.size(cell.at);
        let along = [None, Some(0), Some(1), Some(2)];
        let step = along.map(|d| d.map_or(0, |d: usize| STEP[d]));
        let gram = Matrix4::from_fn(|n, m| cell.moments[step[n] + step[m]]);
        let fit = gram.cholesky()?;
        let mut runs = Box::new([[Matrix3::zeros(); 4]; 6]);
        for (a, length) in size.into_iter().enumerate() {
            let slopes: [[f64; NODES]; 4] =
                along.map(|d| std::array::from_fn(|k| slope(&cell.moments, k, a, d) * 2.0 / length));
            for axis in 0..3 {
                for (movement, run) in runs.iter_mut().enumerate() {
                    let sum = |of: &[f64; NODES]| -> f64 {
                        self.0.iter().zip(of).map(|(field, slope)| field[axis][movement] * slope).sum()
                    };
                    let straight = fit.solve(&Vector4::from(slopes.each_ref().map(sum)));
                    for (strain, share) in run.iter_mut().zip(straight.iter()) {
                        strain[(axis, a)] += share / 2.0;
                        strain[(a, axis)] += share / 2.0;
                    }
                }
            }
        }
        let corner = |c: usize| [0, 1, 2].map(|a| cell.extent[a][c >> a & 1]);
        let corners = [0, 1, 2, 3, 4, 5, 6, 7].map(corner);
        Some(Strained { corners, places: corners.map(|corner| lattice.global(cell.at, corner)), runs })
    }
}
