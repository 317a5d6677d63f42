//! The printer and the material a part is made with, resolved from presets.

use crate::catalog::materials::Material;
use serde::Deserialize;

/// A printer preset. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Printer {
    /// The preset's name: its file name under `presets/printers/`.
    #[serde(skip)]
    pub name: String,
    /// One line on what printer it stands for.
    pub about: String,
    /// Bed width (x), depth (y) and greatest part height (z).
    pub bed: [f64; 3],
    /// Nozzle bore.
    pub nozzle: f64,
    /// Width of one extruded line.
    pub line_width: f64,
    /// Layer height.
    pub layer: f64,
    /// Added to the diameter of a hole so that it comes out to size.
    pub hole_allowance: f64,
    /// Longest bridge that prints without support.
    pub bridge: f64,
    /// Steepest overhang from the vertical that prints without support, degrees.
    pub overhang_deg: f64,
}

/// Where and of what the part is made, and how finely it is tessellated.
#[derive(Clone, Debug, PartialEq)]
pub struct Workshop {
    /// The printer.
    pub printer: Printer,
    /// The material.
    pub material: Material,
    /// Greatest distance between a curved face and its triangles, mm.
    pub chord_tolerance: f64,
}
