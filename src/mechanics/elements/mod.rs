//! Finite cells: how far a part gives, how it swings and where it is strained, from its own mesh.
//!
//! A closed mesh is laid into a grid of bricks of twenty nodes. Cells that the part fills only in part
//! count with the moments of the material inside them, so that slots, vents, roundings, recesses and
//! ribs need no formulas of their own and the model cannot drift from the shape that is printed
//! (finite cell method: Parvizian, Düster and Rank, *Computational Mechanics* 41, 2007; bricks:
//! Zienkiewicz and Taylor, *The Finite Element Method*, vol. 1). Nothing in it is fitted.
//!
//! What presses on the part, or holds it, does so through [`Disc`]s: springs over the true disc, as
//! stiff as [`Grid::layer`] of the part's own plastic. The held ones stand still; those of a [`Rigid`]
//! body move together. Six unit movements of that body give its 6 × 6 compliance; its lowest
//! frequencies follow from the masses on it and the part's own mass in the same six fields.
//!
//! Everything is reckoned once for a modulus of 1 MPa and scales from there: an [`Answer`] serves every
//! infill, material and load.
//!
//! ```
//! use fixwright::mechanics::elements::{Disc, Elastic, Grid, Part, Rigid};
//! use fixwright::solid::{Body, Loop, Point2, Point3, Region, Vector3};
//!
//! // A post of 12 × 8 mm, 60 mm high, on a plate that is held from below, pulled at its top.
//! let outline = Region::new(Loop::rectangle(Point2::origin(), 12.0, 8.0)?, Vec::new())?;
//! let mesh = Body::prism(&outline, 0.0, 60.0)?.mesh(0.05)?;
//! let disc = |z: f64, normal: f64| Disc {
//!     centre: Point3::new(0.0, 0.0, z),
//!     normal: Vector3::z() * normal,
//!     radius: 8.0,
//!     inner: 0.0,
//! };
//! let tie = Rigid { at: Point3::new(0.0, 0.0, 60.0), discs: vec![disc(60.0, 1.0)] };
//! let held = [disc(0.0, -1.0)];
//! let post = Part { mesh: &mesh, poisson: 0.35, held: &held, body: &tie };
//! let answer = post.solve(&Grid::FINE)?;
//!
//! let print = Elastic { modulus: 2000.0, poisson: 0.35 };
//! let pull = [30.0, 0.0, 0.0, 0.0, 0.0, 0.0];
//! let gives = answer.moved(&print, &pull.into())[0];
//! let stress = answer.peak(&pull.into()).stress;
//! assert!(gives > 0.94 && gives < 1.1, "{gives} mm where a beam gives 0.94");
//! assert!(stress > 9.4 && stress < 14.0, "{stress} MPa where a beam has 9.4");
//! # Ok::<(), fixwright::error::Error>(())
//! ```

mod answer;
mod brick;
mod factor;
mod lattice;
mod mass;
mod rays;
mod springs;
#[cfg(test)]
mod tests;

pub use answer::{Answer, Mode, Peak};
pub use mass::Mass;

use crate::error::{Error, Result};
use crate::solid::{Mesh, Point3, Vector3};
use lattice::{Lattice, Nodes};
use rays::Rays;
use springs::Surface;

/// Forces (N) and moments (N·mm) on a rigid body at its point, or its movement (mm) and turn (rad).
pub type Six = nalgebra::Vector6<f64>;

/// Elastic constants of a print, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    /// Young's modulus: the least of all directions.
    pub modulus: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

/// A disc of a part's surface that something is pressed against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Its middle, on the surface.
    pub centre: Point3,
    /// Unit normal, out of the material.
    pub normal: Vector3,
    /// Its radius, mm. Openings in it hold nothing: what lies there is asked of the mesh.
    pub radius: f64,
    /// Radius of a hole or half the width of a slot in its middle, where a line of the grid belongs; 0
    /// without.
    pub inner: f64,
}

/// A body stiff beside the part, pressed against it over discs.
#[derive(Clone, Debug, PartialEq)]
pub struct Rigid {
    /// The point whose movement is asked, and at which loads act.
    pub at: Point3,
    /// Where it bears on the part.
    pub discs: Vec<Disc>,
}

/// How finely a part is cut, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// Greatest length of a cell, about.
    pub size: f64,
    /// Thickness of plastic that the springs under discs are as stiff as: it vanishes with the size.
    pub layer: f64,
    /// Lines of the grid nearer than this become one.
    pub merge: f64,
}

impl Grid {
    /// For a search.
    pub const COARSE: Grid = Grid { size: 12.0, layer: 1.5, merge: 2.5 };
    /// For a report.
    pub const FINE: Grid = Grid { size: 8.0, layer: 1.0, merge: 2.0 };
}

/// Most unknowns that are solved: beyond them the grid is made coarser.
const MOST_UNKNOWNS: usize = 40_000;

/// A part, how it is held, and what bears on it.
#[derive(Clone, Copy, Debug)]
pub struct Part<'a> {
    /// Its closed mesh.
    pub mesh: &'a Mesh,
    /// Poisson's ratio.
    pub poisson: f64,
    /// The discs that stand still.
    pub held: &'a [Disc],
    /// The body that moves.
    pub body: &'a Rigid,
}

impl Part<'_> {
    fn discs(&self) -> impl Iterator<Item = &Disc> {
        self.held.iter().chain(&self.body.discs)
    }

    /// Solves it on a grid.
    ///
    /// Fails where a body or hold bears on no material, or a loose lump is held by nothing.
    pub fn solve(&self, grid: &Grid) -> Result<Answer> {
        let rays = Rays::new(self.mesh, self.along());
        let mut grid = *grid;
        loop {
            let lattice = Lattice::new(self, &grid, &rays);
            let nodes = Nodes::of(&lattice);
            if 3 * nodes.count > MOST_UNKNOWNS {
                grid = Grid { size: 1.25 * grid.size, layer: 1.25 * grid.layer, merge: 1.25 * grid.merge };
                continue;
            }
            return Answer::of(self, &Surface { grid: &grid, lattice: &lattice, nodes: &nodes, rays: &rays });
        }
    }

    /// The rays run along the axis in which the part is thinnest: there material is integrated exactly.
    fn along(&self) -> usize {
        let size = self.mesh.bounds().size();
        (0..3).min_by(|a, b| size[*a].total_cmp(&size[*b])).unwrap_or(2)
    }
}

fn unheld(what: &str) -> Error {
    Error::geometry(
        format!("How far the part gives cannot be reckoned: its {what}."),
        "See that holes and openings leave plastic where screws and what they carry press.",
    )
}
