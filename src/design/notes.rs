//! What the bench is told beside sizes and findings.

use super::size::{Band, Feature};
use crate::mechanics::toolpath::{self, Laying, Pace, Taken};
use crate::solid::Mesh;
use schemars::JsonSchema;
use serde::Serialize;

/// How to print the part.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
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
    /// Mass estimate, grams: the plastic laid, times its density.
    pub mass_g: f64,
    /// Time estimate, minutes, all pieces together; set where the part is made.
    pub time_min: f64,
}

impl PrintNotes {
    /// What [`PrintNotes::time_min`] rests on.
    pub const TIME_BASIS: &str = "an estimate by walls, infill and travel of each layer at the speeds of the printer's preset, heating up not counted";

    /// The time and the plastic that a piece takes to print so, by lines of that width (mm): an estimate by the way the
    /// nozzle goes.
    pub fn takes(&self, mesh: &Mesh, line: f64, pace: &Pace) -> Taken {
        let infill = self.infill_percent / 100.0;
        let laying = Laying { layer: self.layer_mm.max(0.01), line, walls: self.walls, infill };
        toolpath::taken(mesh, &laying, pace)
    }
}

/// What the sheet and the terminal report tell the person at the bench.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
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
    /// Readings to take on the print beside those of the design's sizes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub print_readings: Vec<PrintReading>,
}

/// Something that is bought or turned, not printed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Hardware {
    /// What it is: `threaded rod`, `hexagon nut`, `turned ring`.
    pub what: String,
    /// Its size, as one asks for it in a shop: `M12 x 250`.
    pub size: String,
    /// The standard it is made to; empty where there is none.
    pub standard: String,
    /// How many.
    pub count: usize,
    /// The torques it is to show, N·m; none where it shows none.
    #[serde(skip)]
    pub torques: Vec<f64>,
}

impl Hardware {
    /// Torque from which a wrench shows it and below which a driver does, N·m: where the scales of small wrenches begin
    /// (common practice).
    const WRENCH_FROM: f64 = 2.0;

    /// A thing to buy, with an empty standard where it has none.
    pub fn new(what: &str, size: impl Into<String>, standard: &str, count: usize) -> Self {
        Self { what: what.into(), size: size.into(), standard: standard.into(), count, torques: vec![] }
    }

    /// What shows a torque (N·m): a wrench or a driver that reads it, or a spring balance on a spanner or key.
    pub fn torque_tool(torque_nm: f64) -> Self {
        Self::showing(vec![torque_nm])
    }

    /// One tool for torques of one sort, the least first.
    fn showing(torques: Vec<f64>) -> Self {
        let wrench = torques.iter().all(|torque| *torque >= Self::WRENCH_FROM);
        let (what, digits, arm, on) =
            if wrench { ("torque wrench", 1, 200.0, "spanner") } else { ("torque driver", 2, 100.0, "key") };
        let all = |value: &dyn Fn(f64) -> String| {
            let mut each: Vec<String> = torques.iter().map(|torque| value(*torque)).collect();
            let last = each.pop().unwrap_or_default();
            if each.is_empty() { last } else { format!("{} and {last}", each.join(", ")) }
        };
        let size = format!(
            "for {} N·m; or a spring balance, {} N at the end of a {arm} mm {on}",
            all(&|torque| format!("{torque:.digits$}")),
            all(&|torque| format!("{:.*}", usize::from(!wrench), torque * 1000.0 / arm))
        );
        Self { torques, ..Self::new(what, size, "", 1) }
    }

    /// The same things, alike ones counted together and one tool for all torques of its sort.
    pub fn together<'a>(hardware: impl IntoIterator<Item = &'a Self>) -> Vec<Self> {
        let mut list: Vec<Self> = Vec::new();
        for item in hardware {
            let alike = |known: &&mut Self| match item.torques.is_empty() {
                true => {
                    (&known.what, &known.size, &known.standard) == (&item.what, &item.size, &item.standard)
                }
                false => known.what == item.what && !known.torques.is_empty(),
            };
            match list.iter_mut().find(alike) {
                Some(known) if !item.torques.is_empty() => {
                    let mut torques = [known.torques.clone(), item.torques.clone()].concat();
                    torques.sort_by(f64::total_cmp);
                    torques.dedup_by(|a, b| (*a - *b).abs() < 0.005);
                    *known = Self::showing(torques);
                }
                Some(known) => known.count += item.count,
                None => list.push(item.clone()),
            }
        }
        list
    }

    /// A line of a shopping list: `2 × hexagon nut M12, ISO 4032`.
    pub fn words(&self) -> String {
        let times = if self.count == 1 { String::new() } else { format!("{} × ", self.count) };
        let standard = if self.standard.is_empty() { String::new() } else { format!(", {}", self.standard) };
        format!("{times}{} {}{standard}", self.what, self.size)
    }
}

/// A caliper reading to take on the finished print, and the band it must fall in (mm).
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PrintReading {
    /// Its place in the list of readings: R1, R2, ...; set where the list is made.
    pub letter: String,
    /// The key of the size, or one of its own.
    pub key: String,
    /// What to measure.
    pub what: String,
    /// What sort of size it is.
    pub feature: Feature,
    /// The value drawn.
    pub nominal: f64,
    /// What the print is to measure: the value drawn, less the printer's allowance in it.
    pub wanted: f64,
    /// The least that is good.
    pub least: f64,
    /// The most that is good.
    pub most: f64,
    /// Whether its form works as it prints, so that no hand can work it over.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub as_printed: bool,
    /// The pieces it can be taken on; none named where the part has but one, or it can be taken on
    /// any.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub on: Vec<String>,
}

impl PrintReading {
    /// A reading on a part of one piece: what is drawn and the allowance in it, and how far the print may be off.
    pub fn new(
        key: impl Into<String>,
        what: impl Into<String>,
        feature: Feature,
        (drawn, allowance): (f64, f64),
        band: Band,
    ) -> Self {
        let wanted = drawn - allowance;
        Self {
            letter: String::new(),
            key: key.into(),
            what: what.into(),
            feature,
            nominal: drawn,
            wanted,
            least: wanted - band.under,
            most: wanted + band.over,
            as_printed: false,
            on: vec![],
        }
    }

    /// The same reading, to be taken on these pieces.
    pub fn on(self, on: Vec<String>) -> Self {
        Self { on, ..self }
    }

    /// Whether it can be taken on a piece.
    pub fn is_on(&self, piece: &str) -> bool {
        self.on.is_empty() || self.on.iter().any(|name| name == piece)
    }

    /// Its letter and what to measure.
    pub fn numbered(&self) -> String {
        format!("{} {}", self.letter, self.what)
    }

    /// Letter, what to measure, and on which piece where it matters.
    pub fn words(&self) -> String {
        let named: Vec<&str> = self.on.iter().map(String::as_str).filter(|n| !n.is_empty()).collect();
        match named.is_empty() {
            true => self.numbered(),
            false => format!("{} ({})", self.numbered(), named.join(", ")),
        }
    }
}
