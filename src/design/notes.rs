//! What the bench is told beside sizes and findings.

use serde::Serialize;

/// How to print the part.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PrintNotes {
    /// Which side lies on the bed, in words.
    pub lie: String,
    /// Layer height, mm.
    pub layer_mm: f64,
    /// Perimeter count.
    pub walls: u32,
    /// Infill, percent.
    pub infill_percent: f64,
    /// Material name.
    pub material: String,
    /// Mass estimate, grams: solid volume times density, at the advised infill.
    pub mass_g: f64,
}

impl PrintNotes {
    /// What [`PrintNotes::hours`] rests on.
    pub const TIME_BASIS: &str = "45 mm of line a second and 4 s a layer, common practice for sound parts";

    /// Printing time, hours, by lines of that width and up to that height (mm): the plastic laid as lines of the
    /// layer's height at a steady pace, and a pause at each change of layer.
    pub fn hours(&self, line_width: f64, height: f64) -> f64 {
        const PACE: f64 = 45.0;
        const CHANGE: f64 = 4.0;
        /// Grams a cubic millimetre of the plastics in use, near enough for an estimate of time.
        const DENSITY: f64 = 1.2e-3;
        let layer = self.layer_mm.max(0.01);
        let line = self.mass_g / DENSITY / (layer * line_width.max(0.05));
        (line / PACE + height / layer * CHANGE) / 3600.0
    }
}

/// What the sheet and the terminal report tell the person at the bench.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Notes {
    /// One sentence: what the part is for.
    pub purpose: String,
    /// Plain words on the force, torque, temperature, tension: one paragraph each.
    pub mechanics: Vec<String>,
    /// How to print it.
    pub print: PrintNotes,
    /// Steps at the bench, in order.
    pub steps: Vec<String>,
    /// Cautions, the gravest first.
    pub cautions: Vec<String>,
    /// What has to be bought or turned beside the print.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub hardware: Vec<Hardware>,
    /// The caliper readings that would settle what was estimated.
    pub readings_wanted: Vec<String>,
    /// Readings to take on the print beside those of the design's sizes: what, nominal, least, most (mm).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub print_readings: Vec<PrintReading>,
}

/// Something that is bought or turned, not printed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hardware {
    /// What it is: `threaded rod`, `hexagon nut`, `turned ring`.
    pub what: String,
    /// Its size, as one asks for it in a shop: `M12 x 250`.
    pub size: String,
    /// The standard it is made to; empty where there is none.
    pub standard: String,
    /// How many.
    pub count: usize,
}

impl Hardware {
    /// A thing to buy, with an empty standard where it has none.
    pub fn new(what: &str, size: impl Into<String>, standard: &str, count: usize) -> Self {
        Self { what: what.into(), size: size.into(), standard: standard.into(), count }
    }

    /// A line of a shopping list: `2 × hexagon nut M12, ISO 4032`.
    pub fn words(&self) -> String {
        let times = if self.count == 1 { String::new() } else { format!("{} × ", self.count) };
        let standard = if self.standard.is_empty() { String::new() } else { format!(", {}", self.standard) };
        format!("{times}{} {}{standard}", self.what, self.size)
    }
}

/// A caliper reading to take on the finished print, and the band it must fall in (mm).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PrintReading {
    /// What to measure.
    pub what: String,
    /// The value drawn.
    pub nominal: f64,
    /// The least that is good.
    pub least: f64,
    /// The most that is good.
    pub most: f64,
    /// The pieces it can be taken on; none named where the part has but one, or it can be taken on
    /// any.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub on: Vec<String>,
}

impl PrintReading {
    /// A reading on a part of one piece, by how much it may be under and over.
    pub fn new(what: impl Into<String>, nominal: f64, (under, over): (f64, f64)) -> Self {
        Self { what: what.into(), nominal, least: nominal - under, most: nominal + over, on: vec![] }
    }

    /// The same reading, to be taken on these pieces.
    pub fn on(self, on: Vec<String>) -> Self {
        Self { on, ..self }
    }

    /// Whether it can be taken on a piece.
    pub fn is_on(&self, piece: &str) -> bool {
        self.on.is_empty() || self.on.iter().any(|name| name == piece)
    }

    /// What to measure, and on which piece where it matters.
    pub fn words(&self) -> String {
        let named: Vec<&str> = self.on.iter().map(String::as_str).filter(|n| !n.is_empty()).collect();
        match named.is_empty() {
            true => self.what.clone(),
            false => format!("{} ({})", self.what, named.join(", ")),
        }
    }
}
