//! The printer and the material a part is made with, resolved from presets.

use crate::catalog::materials::Material;
use crate::design::size::Feature;
use crate::error::{Error, Result, within};
use crate::mechanics::toolpath::Pace;
use crate::solid::{Mesh, Point3};
use crate::text;
use serde::Deserialize;
use std::borrow::Cow;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

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
    /// Added to the diameter or width of an outside that fits into something, so that it comes out to size: fitted, or
    /// nought.
    #[serde(default)]
    pub outside_allowance: f64,
    /// How far the first layer bulges out, a side: fitted, or nought.
    #[serde(default)]
    pub first_layer: f64,
    /// Printed length over drawn in x, y and z: fitted, or 1.
    #[serde(default = "true_scale")]
    pub scale: [f64; 3],
    /// What the coupon was printed of whose readings it was fitted from; empty where nothing was fitted.
    #[serde(default)]
    pub material: String,
    /// How far the fitted values may be off; nought where nothing was fitted.
    #[serde(default)]
    pub uncertainty: Uncertainty,
    /// How fast it goes.
    #[serde(default)]
    pub speeds: Pace,
    /// Longest bridge that prints without support.
    pub bridge: f64,
    /// Steepest overhang from the vertical that prints without support, degrees.
    pub overhang_deg: f64,
}

/// Expanded uncertainty (k = 2) of the fitted values of a preset. Lengths in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Uncertainty {
    /// Of the hole allowance.
    pub hole_allowance: f64,
    /// Of the outside allowance.
    pub outside_allowance: f64,
    /// Of the first layer's bulge.
    pub first_layer: f64,
    /// Of the scales.
    pub scale: [f64; 3],
}

fn true_scale() -> [f64; 3] {
    [1.0; 3]
}

/// The printers that come with the program: name and preset text.
pub const PRINTERS: [(&str, &str); 4] = [
    ("bed-220", include_str!("../presets/printers/bed-220.toml")),
    ("bed-180", include_str!("../presets/printers/bed-180.toml")),
    ("bed-350", include_str!("../presets/printers/bed-350.toml")),
    ("fine-180", include_str!("../presets/printers/fine-180.toml")),
];

impl Printer {
    /// A printer by preset name, or from a preset file of the user's own (a path ending in `.toml`).
    ///
    /// Fails for a name no preset has, a file that cannot be read, and values out of bounds.
    pub fn find(name: &str) -> Result<Self> {
        if let Some((_, text)) = PRINTERS.iter().find(|(known, _)| *known == name) {
            return Self::read(name, text);
        }
        if !name.ends_with(".toml") {
            let known: Vec<&str> = PRINTERS.iter().map(|(known, _)| *known).collect();
            return Err(Error::unknown(
                format!("No printer preset is called '{name}'."),
                format!(
                    "Use one of {}, or give the path of a preset file of your own ending in .toml.",
                    known.join(", ")
                ),
            ));
        }
        const LONGEST: u64 = 64 << 10;
        let path = Path::new(name);
        let step = "Give the path of a preset file as in presets/printers/.";
        let text = text::read(path, "The printer preset", LONGEST, step)?;
        // Where somebody keeps it is nobody else's business: files are handed on.
        Self::read(&path.file_name().map_or(name.into(), |file| file.to_string_lossy()), &text)
    }

    /// A printer from a preset's text. Fails for what does not read and for values out of bounds.
    pub(crate) fn read(name: &str, text: &str) -> Result<Self> {
        let printer: Self = toml::from_str(text).map_err(|e| {
            Error::request(
                format!("The printer preset '{name}' cannot be used: {}.", e.message()),
                "Compare it with the files in presets/printers/.",
            )
        })?;
        text::refuse_unfit(&format!("'about' of printer '{name}'"), &printer.about)?;
        let field = |key: &str| format!("{key} of printer '{name}'");
        for side in printer.bed {
            within(&field("bed"), side, 20.0, 5000.0, "mm")?;
        }
        within(&field("nozzle"), printer.nozzle, 0.05, 3.0, "mm")?;
        within(&field("line-width"), printer.line_width, 0.05, 5.0, "mm")?;
        within(&field("layer"), printer.layer, 0.01, 2.0, "mm")?;
        within(&field("hole-allowance"), printer.hole_allowance, -0.5, 1.0, "mm")?;
        within(&field("outside-allowance"), printer.outside_allowance, -1.0, 1.0, "mm")?;
        within(&field("first-layer"), printer.first_layer, 0.0, 0.8, "mm")?;
        let sure = &printer.uncertainty;
        for (scale, off) in printer.scale.into_iter().zip(sure.scale) {
            within(&field("scale"), scale, 0.95, 1.05, "")?;
            within(&field("uncertainty of scale"), off, 0.0, 0.05, "")?;
        }
        for off in [sure.hole_allowance, sure.outside_allowance, sure.first_layer] {
            within(&field("uncertainty"), off, 0.0, 1.0, "mm")?;
        }
        let speeds = &printer.speeds;
        for speed in [speeds.wall, speeds.infill, speeds.travel] {
            within(&field("speeds"), speed, 1.0, 2000.0, "mm/s")?;
        }
        within(&field("acceleration"), speeds.acceleration, 10.0, 100_000.0, "mm/s²")?;
        for pause in [speeds.layer_change, speeds.least_layer] {
            within(&field("speeds"), pause, 0.0, 120.0, "s")?;
        }
        within(&field("bridge"), printer.bridge, 0.0, 200.0, "mm")?;
        within(&field("overhang-deg"), printer.overhang_deg, 10.0, 89.0, "degrees")?;
        Ok(Self { name: name.to_string(), ..printer })
    }

    /// A mesh as it is written for this printer: larger where it prints small. `turned` tells that the bed turns it a
    /// quarter, so that its x lies along the printer's y.
    pub fn corrected<'a>(&self, mesh: &'a Mesh, turned: bool) -> Cow<'a, Mesh> {
        let [x, y, z] = self.scale;
        if self.scale == true_scale() {
            return Cow::Borrowed(mesh);
        }
        let (x, y) = if turned { (y, x) } else { (x, y) };
        let points = mesh.points.iter().map(|p| Point3::new(p.x / x, p.y / y, p.z / z)).collect();
        Cow::Owned(Mesh { points, triangles: mesh.triangles.clone() })
    }

    /// What is added to a size that it may come out as wanted, mm.
    pub fn allowance(&self, feature: Feature) -> f64 {
        match feature {
            Feature::Hole => self.hole_allowance,
            Feature::Outside => self.outside_allowance,
            Feature::FirstLayer => self.outside_allowance - 2.0 * self.first_layer,
            Feature::Height | Feature::Wall | Feature::Distance => 0.0,
        }
    }

    /// How far a printed size may be off what is expected, mm, expanded (k = 2); nought where nothing was fitted.
    pub fn spread(&self, feature: Feature, size: f64) -> f64 {
        let sure = &self.uncertainty;
        let level = sure.scale[0].hypot(sure.scale[1]) / 2.0;
        let (constant, scale) = match feature {
            Feature::Hole => (sure.hole_allowance, level),
            Feature::Outside | Feature::Wall => (sure.outside_allowance, level),
            Feature::FirstLayer => (sure.outside_allowance.hypot(2.0 * sure.first_layer), level),
            Feature::Height => (0.0, sure.scale[2]),
            Feature::Distance => (0.0, sure.scale[0].max(sure.scale[1])),
        };
        constant.hypot(size * scale)
    }

    /// Whether any of its values was fitted from a coupon.
    pub fn is_fitted(&self) -> bool {
        self.uncertainty != Uncertainty::default()
    }
}

/// Where and of what the part is made, and how finely it is tessellated.
#[derive(Clone, Debug)]
pub struct Workshop {
    /// The printer.
    pub printer: Printer,
    /// The material.
    pub material: Material,
    /// Greatest distance between a curved face and its triangles, mm.
    pub chord_tolerance: f64,
    /// Whether what would clear a check is tried with the design.
    pub advice: Advice,
}

/// When changes are tried that may clear what does not hold.
#[derive(Clone, Debug, Default)]
pub enum Advice {
    /// With the design, which says what was seen to clear it.
    #[default]
    Tried,
    /// The same as long as the answer is waited for; after that nothing that is said of it counts.
    While(Waiting),
    /// Later: the design says at once what does not hold, and that changes are still to be tried.
    Later,
}

impl Advice {
    /// Whether nobody waits for more trials.
    pub fn is_over(&self) -> bool {
        matches!(self, Self::While(waiting) if waiting.is_over())
    }
}

/// Whether somebody still waits for an answer: ended by whoever asks something newer.
#[derive(Clone, Debug, Default)]
pub struct Waiting(Arc<AtomicBool>);

impl Waiting {
    /// Nobody waits any more.
    pub fn end(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether nobody waits any more.
    pub fn is_over(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

impl Workshop {
    /// The printer preset where none is named.
    pub const PRINTER: &str = "bed-220";
    /// The material preset where none is named.
    pub const MATERIAL: &str = "PLA";

    /// The greatest distance, mm, between a curved face and its triangles unless told otherwise.
    pub const CHORD_TOLERANCE: f64 = 0.01;

    /// The printer and material that everyone starts from.
    pub fn standard() -> Result<Self> {
        Self::find(Self::PRINTER, Self::MATERIAL, Self::CHORD_TOLERANCE)
    }

    /// Looks up the presets and checks the tolerance (0.001 to 0.5 mm).
    pub fn find(printer: &str, material: &str, chord_tolerance: f64) -> Result<Self> {
        Ok(Self {
            printer: Printer::find(printer)?,
            material: crate::catalog::materials::material(material)?,
            chord_tolerance: within("tolerance", chord_tolerance, 0.001, 0.5, "mm")?,
            advice: Advice::Tried,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Kind;

    #[test]
    fn every_printer_preset_reads() {
        for (name, _) in PRINTERS {
            assert_eq!(Printer::find(name).unwrap().name, name);
        }
    }

    #[test]
    fn an_unknown_printer_names_those_there_are() {
        assert!(Printer::find("giant").unwrap_err().remedy.contains("bed-220"));
        assert_eq!(Printer::find("no/such.toml").unwrap_err().kind, Kind::File);
        assert!(Printer::read("x", "bed = [1, 2, 3]").is_err());
    }
}
