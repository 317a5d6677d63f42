//! Printing materials.

/// A printing material. Strengths are for the solid, printed material at room temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// The preset's name.
    pub name: String,
    /// Density, g/cm³.
    pub density: f64,
    /// Compressive yield, MPa.
    pub compressive_yield: f64,
    /// Tensile strength in the layer plane, MPa.
    pub tensile_in_plane: f64,
    /// Tensile strength across layers, MPa.
    pub tensile_across: f64,
    /// Young's modulus in the layer plane, MPa.
    pub modulus: f64,
    /// Temperature at which it softens, °C.
    pub softening_c: f64,
    /// Where the values stand.
    pub source: String,
}
