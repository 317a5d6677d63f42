//! What things are made of: the plastics parts are printed in, and the metals they work against.
//!
//! A printing material is a preset, a TOML file under `presets/materials/`; those that come with
//! fixwright are embedded, and anyone may write another with [`Material::from_toml`]. Each of its
//! numbers has an entry of the same key in `[sources]`, so that a report can tell a measured value
//! from an estimate; a number without one is refused.
//!
//! Strengths are the least of solid prints (100 % infill) of a tuned machine at room temperature, rounded
//! down; data sheets give middle values. Where nobody publishes one, the estimate lies on the safe side
//! and its source begins with `estimate` or `common practice`. A grade that prints weaker is a material
//! of its own (`pla-matte`, `abs-open`).
//!
//! Metals are a short table, `metals.csv`.

use super::table::Table;
use crate::error::{Error, Result, number};
use crate::mechanics::press_fit::Elastic;
use crate::mechanics::strength::{Conditions, Printed};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The presets that come with fixwright: name and file.
pub const EMBEDDED: [(&str, &str); 8] = [
    ("pla", include_str!("../../presets/materials/pla.toml")),
    ("pla-matte", include_str!("../../presets/materials/pla-matte.toml")),
    ("petg", include_str!("../../presets/materials/petg.toml")),
    ("abs", include_str!("../../presets/materials/abs.toml")),
    ("abs-open", include_str!("../../presets/materials/abs-open.toml")),
    ("asa", include_str!("../../presets/materials/asa.toml")),
    ("pc", include_str!("../../presets/materials/pc.toml")),
    ("pa", include_str!("../../presets/materials/pa.toml")),
];

/// A printing material. Strengths are for the solid, printed material at room temperature.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Material {
    /// The preset's name.
    #[serde(skip_deserializing)]
    pub name: String,
    /// One line on what it is good for.
    pub about: String,
    /// Density, g/cm³.
    pub density: f64,
    /// Compressive yield, MPa.
    pub compressive_yield: f64,
    /// Tensile strength in the layer plane (yield, where it yields first), MPa.
    pub tensile_in_plane: f64,
    /// Tensile strength across layers, MPa.
    pub tensile_across: f64,
    /// Shear strength between layers, MPa.
    pub shear_across: f64,
    /// Young's modulus in the layer plane, MPa.
    pub modulus: f64,
    /// Young's modulus across layers, MPa.
    pub modulus_across: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Temperature at which it softens, °C: heat deflection, below the glass transition.
    pub softening_c: f64,
    /// Compression it bears for weeks without creeping away, MPa.
    pub standing_compression: f64,
    /// The warmest it may be under load, °C.
    pub loaded_top_c: f64,
    /// Linear thermal expansion, 1/K.
    pub expansion: f64,
    /// Share of the short-term strength left for a load of months, 0 to 1.
    pub long_term: f64,
    /// Where each value stands, by the value's key.
    pub sources: BTreeMap<String, String>,
}

impl Material {
    /// What it is called in print, such as `PETG`.
    pub fn label(&self) -> String {
        self.name.to_uppercase()
    }

    /// Reads a preset. `name` is what it is called by; `text` is TOML with every key of this
    /// struct but `name`.
    ///
    /// Fails for unknown or missing keys, for values no plastic has, and for a value without a
    /// source.
    pub fn from_toml(name: &str, text: &str) -> Result<Self> {
        let mut material: Material = toml::from_str(text).map_err(|e| {
            Error::request(
                format!("The material preset '{name}' cannot be read: {}.", e.message()),
                "Copy one of the presets under presets/materials and change its numbers.",
            )
        })?;
        material.name = name.to_string();
        material.check()?;
        Ok(material)
    }

    fn check(&self) -> Result<()> {
        for (key, value, least, most) in self.bounds() {
            if !(least..=most).contains(&value) {
                return Err(Error::request(
                    format!(
                        "{key} of the material '{}' is {value}; it must lie between {} and {}.",
                        self.name,
                        scientific(least),
                        scientific(most)
                    ),
                    format!("Look {key} up again in the material's data sheet and mind the unit."),
                ));
            }
            if self.sources.get(key).is_none_or(|source| source.trim().is_empty()) {
                return Err(Error::request(
                    format!("{key} of the material '{}' has no source.", self.name),
                    format!("Add {key} = \"data sheet, or 'estimate: why'\" under [sources]."),
                ));
            }
        }
        match self.sources.keys().find(|key| self.bounds().iter().all(|bound| bound.0 != key.as_str())) {
            Some(stray) => Err(Error::request(
                format!(
                    "The material '{}' gives a source for '{stray}', which is no value of a material.",
                    self.name
                ),
                "Name sources by the key of their value.",
            )),
            None => Ok(()),
        }
    }

    /// Every number with its key and the bounds that no plastic lies outside of.
    fn bounds(&self) -> [(&'static str, f64, f64, f64); 13] {
        [
            ("density", self.density, 0.5, 5.0),
            ("compressive-yield", self.compressive_yield, 1.0, 500.0),
            ("tensile-in-plane", self.tensile_in_plane, 1.0, 500.0),
            ("tensile-across", self.tensile_across, 1.0, 500.0),
            ("shear-across", self.shear_across, 0.5, 300.0),
            ("modulus", self.modulus, 10.0, 50_000.0),
            ("modulus-across", self.modulus_across, 10.0, 50_000.0),
            ("poisson", self.poisson, 0.1, 0.499),
            ("softening-c", self.softening_c, 35.0, 400.0),
            ("standing-compression", self.standing_compression, 0.1, 200.0),
            ("loaded-top-c", self.loaded_top_c, 25.0, 300.0),
            ("expansion", self.expansion, 1e-6, 4e-4),
            ("long-term", self.long_term, 0.01, 1.0),
        ]
    }

    /// Where the value of a key (`compressive-yield`) stands; empty for a key it lacks.
    pub fn source(&self, key: &str) -> &str {
        self.sources.get(key).map_or("", String::as_str)
    }

    /// Whether the value of a key is an estimate or bare practice rather than a published figure.
    pub fn is_estimate(&self, key: &str) -> bool {
        let source = self.source(key);
        source.starts_with("estimate") || source.starts_with("common practice")
    }

    /// The strengths of a solid print, for [`Printed::under`] to take down.
    pub fn printed(&self) -> Printed {
        Printed {
            compressive_yield: self.compressive_yield,
            tensile_in_plane: self.tensile_in_plane,
            tensile_across: self.tensile_across,
            shear_across: self.shear_across,
            modulus: self.modulus,
            modulus_across: self.modulus_across,
        }
    }

    /// The strengths that a print keeps for good, filled so far (%) and at that temperature (°C). Fails as
    /// [`Printed::under`] does.
    pub fn lasting(&self, infill_percent: f64, temperature_c: f64) -> Result<Printed> {
        let (softening_c, long_term) = (self.softening_c, self.long_term);
        self.printed().under(&Conditions { infill_percent, temperature_c, softening_c, long_term })
    }
}

/// A bound as an error prints it; [`number`] would round an expansion to nought.
fn scientific(value: f64) -> String {
    if value < 1e-3 { format!("{value:e}") } else { number(value) }
}

/// The printing material of a name: `pla`, `pla-matte`, `petg`, `abs`, `abs-open`, `asa`, `pc`, `pa`, in any case.
///
/// Fails with [`Kind::Unknown`](crate::error::Kind::Unknown), listing the names, for any other.
pub fn material(name: &str) -> Result<Material> {
    let wanted = name.trim().to_ascii_lowercase();
    match EMBEDDED.iter().find(|(known, _)| *known == wanted) {
        Some((known, text)) => Material::from_toml(known, text),
        None => Err(Error::unknown(
            format!("There is no material '{name}'."),
            format!("Use one of {}, or write a preset of your own.", material_names().join(", ")),
        )),
    }
}

/// The names of the printing materials that come with fixwright.
pub fn material_names() -> Vec<&'static str> {
    EMBEDDED.iter().map(|(name, _)| *name).collect()
}

/// A metal that rings, shafts and housings are made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Metal {
    /// Its name.
    pub name: String,
    /// Other words for it, separated by blanks.
    pub also: String,
    /// Young's modulus, MPa.
    pub modulus: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Linear thermal expansion from 20 to 100 °C, 1/K.
    pub expansion: f64,
    /// Density, g/cm³.
    pub density: f64,
    /// Where the values stand.
    pub source: String,
}

impl Metal {
    /// Its elastic constants.
    pub fn elastic(&self) -> Elastic {
        Elastic { modulus: self.modulus, poisson: self.poisson }
    }
}

/// The metal of a name: `carbon steel` (or `steel`), `bearing steel`, `stainless steel`,
/// `cast iron`, `aluminium`, `brass`, and usual grades of each, in any case.
///
/// Fails with [`Kind::Unknown`](crate::error::Kind::Unknown), listing the names, for any other.
pub fn metal(name: &str) -> Result<Metal> {
    let metals = metals()?;
    let wanted = name.trim().to_ascii_lowercase().replace(['-', '_'], " ");
    metals
        .iter()
        .find(|metal| metal.name == wanted)
        .or_else(|| {
            metals.iter().find(|metal| metal.also.split(' ').any(|word| word.eq_ignore_ascii_case(&wanted)))
        })
        .cloned()
        .ok_or_else(|| {
            let names: Vec<&str> = metals.iter().map(|metal| metal.name.as_str()).collect();
            Error::unknown(
                format!("There is no metal '{name}' in the table."),
                format!("Use one of {}.", names.join(", ")),
            )
        })
}

/// Every metal of the table.
pub fn metals() -> Result<&'static [Metal]> {
    static METALS: Table<Metal> = Table::new("metals.csv", include_str!("metals.csv"));
    METALS.rows()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Kind;

    #[test]
    fn every_embedded_material_reads_and_names_a_source_for_each_value() {
        for name in material_names() {
            let material = material(name).unwrap();
            assert_eq!(material.sources.len(), material.bounds().len(), "{name}");
            assert!(material.tensile_across <= material.tensile_in_plane, "{name}");
            assert!(material.modulus_across <= material.modulus, "{name}");
            assert!(material.standing_compression <= 0.5 * material.compressive_yield, "{name}");
            assert!(material.loaded_top_c < material.softening_c, "{name}");
            assert!(material.sources.values().all(|s| !s.contains("http") && !s.contains("www")), "{name}");
        }
    }

    #[test]
    fn an_estimate_is_known_as_one() {
        let petg = material("PETG").unwrap();
        assert!(material("PLA").unwrap().is_estimate("compressive-yield") && petg.is_estimate("long-term"));
        assert!(!petg.is_estimate("modulus"));
    }

    #[test]
    fn an_unknown_material_lists_the_known_ones() {
        let error = material("unobtainium").unwrap_err();
        assert_eq!(error.kind, Kind::Unknown);
        assert!(error.remedy.contains("pla, pla-matte, petg, abs, abs-open, asa, pc, pa"));
        let error = metal("unobtainium").unwrap_err();
        assert!(error.remedy.contains("bearing steel") && error.remedy.contains("cast iron"));
    }

    #[test]
    fn a_preset_of_ones_own_is_held_to_the_same_rules() {
        let good = include_str!("../../presets/materials/pla.toml");
        assert_eq!(Material::from_toml("mine", good).unwrap().name, "mine");
        for (text, word) in [
            (good.replace("density = 1.26", "density = 1260.0"), "density"),
            (good.replacen("density = 1.26", "density = nan", 1), "density"),
            (good.replace("poisson = 0.36", "poisson = 0.6"), "poisson"),
            (good.replace("expansion = 101e-6", "expansion = 101.0"), "expansion"),
            (good.replacen("shear-across = 15.0\n", "", 1), "shear-across"),
            (good.replacen("shear-across = 15.0\n", "shear-across = 15.0\ncolour = 3\n", 1), "colour"),
            (good.replacen("shear-across = \"", "stray = \"", 1), "shear-across"),
            (format!("{good}stray = \"x\"\n"), "stray"),
            ("about = 3".to_string(), "invalid type"),
        ] {
            let error = Material::from_toml("mine", &text).unwrap_err();
            assert_eq!(error.kind, Kind::Request);
            assert!(error.says.contains(word) && error.says.contains("'mine'"), "{}", error.says);
        }
    }

    #[test]
    fn metals_answer_to_their_trade_names() {
        assert_eq!(metal("steel").unwrap().name, "carbon steel");
        assert_eq!(metal("Bearing-Steel").unwrap().name, "bearing steel");
        assert_eq!(metal("aluminum").unwrap().name, "aluminium");
        assert_eq!(metal("steel").unwrap().modulus, 207_000.0);
        assert!(
            metals()
                .unwrap()
                .iter()
                .all(|m| m.expansion > 5e-6 && m.expansion < 3e-5 && !m.source.is_empty())
        );
    }
}
