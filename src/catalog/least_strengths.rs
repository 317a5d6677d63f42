//! Least strengths of solid prints at room temperature: what a part that must hold is designed with, where
//! data sheets give typical values.

use super::materials::Material;
use super::table::Table;
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

const LEAST: &str = include_str!("least_strengths.csv");

/// Least strengths of one material, MPa at 23 °C.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LeastStrength {
    /// The material preset's name.
    pub material: String,
    /// Tension within a layer.
    pub tension: f64,
    /// Tension across layers.
    pub across: f64,
    /// Shear between layers.
    pub shear: f64,
    /// Highest temperature at which it may carry load, °C.
    pub top_c: f64,
    /// Where the row stands.
    pub source: String,
}

static ROWS: Table<LeastStrength> = Table::new("least_strengths.csv", LEAST);

/// The least strengths of a material: its row, or, for a preset of the user's own, what that says. The
/// highest temperature is then 15 K below its softening.
pub fn of(material: &Material) -> Result<LeastStrength> {
    let rows = ROWS.rows()?;
    Ok(rows.iter().find(|row| row.material == material.name).cloned().unwrap_or_else(|| LeastStrength {
        material: material.name.clone(),
        tension: material.tensile_in_plane,
        across: material.tensile_across,
        shear: material.shear_across,
        top_c: material.softening_c - 15.0,
        source: format!("material preset {}", material.name),
    }))
}

/// The material that carries load at that temperature and is easiest to print, for a remedy.
///
/// Fails where none of the table does.
pub fn that_bears(celsius: f64) -> Result<&'static LeastStrength> {
    let rows = ROWS.rows()?;
    let easiest = ["petg", "asa", "abs", "pc", "pa", "pla"];
    easiest
        .iter()
        .filter_map(|name| rows.iter().find(|row| row.material == *name))
        .find(|row| row.top_c >= celsius)
        .ok_or_else(|| {
            Error::geometry(
                format!("No printing material of the table carries load at {celsius} °C."),
                "Use a plate of metal and a certified gland there.",
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::materials::{material, material_names};

    #[test]
    fn every_material_has_a_row_below_its_data_sheet() {
        for name in material_names() {
            let (preset, least) = (material(name).unwrap(), of(&material(name).unwrap()).unwrap());
            assert!(
                least.across <= preset.tensile_across && least.tension <= preset.tensile_in_plane,
                "{name}"
            );
            assert!(least.top_c < preset.softening_c, "{name}");
        }
    }

    #[test]
    fn pla_is_no_material_for_a_warm_cabinet() {
        assert_eq!(that_bears(50.0).unwrap().material, "petg");
        assert!(of(&material("pla").unwrap()).unwrap().top_c < 50.0);
        assert!(that_bears(120.0).is_err());
    }
}
