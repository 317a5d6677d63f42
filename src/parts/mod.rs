//! The kinds of part. Each is one file: its spec (what the person measured and wants) and the road
//! from there to a [`Design`]. A new kind is one file here and one line in [`KINDS`]; the command
//! line, job files and their schema all come from that list.

pub mod belt_drive;
pub mod bracket;
pub mod figure;
pub mod plate;
pub mod sleeve;

use crate::checks::Finding;
use crate::error::{Error, Result};
use crate::job::workshop::Workshop;
use crate::solid::{Body, Bounds, Frame, Mesh, Vector3};
use figure::{Figure, Lettered};
use serde::Serialize;

/// Where a dimension came from. Printed behind every number, so nobody takes a guess for a fact.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "origin", content = "source", rename_all = "kebab-case")]
pub enum Origin {
    /// A row of a standard's or a maker's table, named.
    Table(String),
    /// A formula, with the handbook it stands in.
    Formula(String),
    /// What the user measured or asked for, with the option it came by.
    Given(String),
    /// A printer's or material's preset, named.
    Preset(String),
    /// Common practice, no source.
    Practice(String),
    /// An estimate on the safe side; says what reading would settle it.
    Estimate(String),
}

impl Origin {
    /// The option it came by where it was given, `otherwise` where not.
    pub fn given_or(given: bool, option: &str, otherwise: Origin) -> Self {
        match given {
            true => Self::Given(option.into()),
            false => otherwise,
        }
    }

    /// A printed clearance hole for a screw of that size.
    pub fn clearance_hole(size: &str) -> Self {
        Self::Table(format!("ISO 273 medium for {size}, + the printer's hole allowance"))
    }
}

/// One resolved dimension. Millimetres unless the key ends in a unit
/// (`_deg`, `_n`, `_nm`, `_mpa`, `_um`, `_rpm`, `_hz`, `_g`, `_c`).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dimension {
    /// The stable JSON key, such as `nose_outer_diameter`.
    pub key: &'static str,
    /// What a drawing or report calls it.
    pub label: &'static str,
    /// The value, in the unit the key tells.
    pub value: f64,
    /// Where it came from.
    #[serde(flatten)]
    pub origin: Origin,
}

/// Dimensions being gathered.
#[derive(Default)]
pub struct Dimensions(pub Vec<Dimension>);

impl Dimensions {
    /// Adds one at the end.
    pub fn add(&mut self, key: &'static str, label: &'static str, value: f64, origin: Origin) {
        self.0.push(Dimension::new(key, label, value, origin));
    }
}

impl Dimension {
    /// A dimension by its parts.
    pub fn new(key: &'static str, label: &'static str, value: f64, origin: Origin) -> Self {
        Self { key, label, value, origin }
    }

    /// Whether a report in words names it: a wall that is not there, 0 thick, is left to the JSON.
    pub fn told(&self) -> bool {
        self.value != 0.0 || !self.key.ends_with("_thickness")
    }

    /// The unit the key tells.
    pub fn unit(&self) -> &'static str {
        const UNITS: [(&str, &str); 10] = [
            ("pieces", ""),
            ("_deg", "°"),
            ("_nm", "N·m"),
            ("_n", "N"),
            ("_mpa", "MPa"),
            ("_um", "µm"),
            ("_rpm", "1/min"),
            ("_hz", "Hz"),
            ("_g", "g"),
            ("_c", "°C"),
        ];
        UNITS.iter().find(|(suffix, _)| self.key.ends_with(suffix)).map_or("mm", |&(_, unit)| unit)
    }
}

/// One printed piece of a part, lying as it prints (base on z = 0, centred on the bed).
#[derive(Clone, Debug)]
pub struct Piece {
    /// Appended to the part's name in file names; empty where there is but one piece.
    pub suffix: String,
    /// The exact boundary representation.
    pub body: Body,
    /// Its closed mesh.
    pub mesh: Mesh,
    /// What takes it from the bed to its place beside the first piece and the company, where the
    /// pieces of a part are mounted together.
    pub place: Option<Vector3>,
    /// How many of it are printed.
    pub count: usize,
    /// What it is printed of where that is not the part's own material.
    pub material: Option<&'static str>,
    /// The sizes a drawing of the piece shows, each with where it lies.
    pub figures: Vec<Figure>,
    /// The places its drawing letters.
    pub letters: Vec<Lettered>,
    /// What the piece is for, where that is not what the part is for.
    pub purpose: Option<String>,
    /// From which side the view from above looks at the piece, in words of its use.
    pub seen_from: Option<&'static str>,
}

impl Piece {
    /// A piece with its mesh within `chord_tolerance` (mm) of the true surface.
    ///
    /// Fails unless the mesh is closed and holds the volume the solid holds: no file is ever
    /// written of anything else.
    pub fn new(suffix: impl Into<String>, body: Body, chord_tolerance: f64) -> Result<Piece> {
        let suffix = suffix.into();
        let mesh = body.mesh(chord_tolerance)?;
        let (exact, meshed) = (body.volume(), mesh.volume());
        // Every triangle lies within the chord tolerance of the surface, so the volumes can differ
        // by no more than the tolerance times the area.
        let most = chord_tolerance * mesh.area() + 1e-9 * exact.abs();
        if mesh.open_edges() != 0 || exact <= 0.0 || (exact - meshed).abs() > most {
            return Err(Error::internal(format!(
                "The mesh of piece '{suffix}' has {} open edges and {meshed:.3} mm³ for a solid of {exact:.3} mm³.",
                mesh.open_edges()
            )));
        }
        Ok(Piece {
            suffix,
            body,
            mesh,
            place: None,
            count: 1,
            material: None,
            figures: vec![],
            letters: vec![],
            purpose: None,
            seen_from: None,
        })
    }

    /// The same piece, that many times.
    pub fn times(self, count: usize) -> Piece {
        Piece { count, ..self }
    }

    /// The same piece of another material.
    pub fn printed_of(self, material: &'static str) -> Piece {
        Piece { material: Some(material), ..self }
    }

    /// The same piece with the sizes its drawing shows.
    pub fn with_figures(self, figures: Vec<Figure>) -> Piece {
        Piece { figures, ..self }
    }

    /// The same piece with its place among the others.
    pub fn mounted(self, by: Vector3) -> Piece {
        Piece { place: Some(by), ..self }
    }
}

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
    /// The caliper readings that would settle what was estimated.
    pub readings_wanted: Vec<String>,
    /// Readings to take on the print: what, nominal, least, most (mm).
    pub print_readings: Vec<PrintReading>,
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

/// A part with every dimension resolved. Never changes once made.
#[derive(Clone, Debug)]
pub struct Design {
    /// `sleeve`, `bracket`, `plate`.
    pub kind: &'static str,
    /// The name files are written under.
    pub name: String,
    /// Every dimension, in the order a report shows them.
    pub dimensions: Vec<Dimension>,
    /// Lists and counts that stand beside `dimensions` in the JSON report
    /// (such as `openings`, `anchors`, `screws`).
    pub lists: serde_json::Map<String, serde_json::Value>,
    /// Every check, stops included.
    pub findings: Vec<Finding>,
    /// Greatest distance between a curved face and its triangles, mm.
    pub chord_tolerance: f64,
    /// The printed pieces.
    pub pieces: Vec<Piece>,
    /// The bodies the part works with, not printed: drawn faintly in pictures, in the first
    /// piece's coordinates. Name and body.
    pub company: Vec<(String, Body)>,
    /// The machine's axes, z up and -y towards whoever looks at it, in the first piece's coordinates,
    /// where the part stands in its place otherwise than it lies on the bed.
    pub stands: Option<Frame>,
    /// What the bench needs to know.
    pub notes: Notes,
}

impl Design {
    /// The pieces in words, where there are several or one is printed more than once:
    /// `lower, upper, 2 × ring-half`.
    pub fn pieces_in_words(&self) -> Option<String> {
        let several = self.pieces.len() > 1 || self.pieces.iter().any(|piece| piece.count > 1);
        let words = self.pieces.iter().map(|piece| {
            let name = match piece.suffix.as_str() {
                "" => self.kind,
                suffix => suffix,
            };
            let times = match piece.count {
                1 => String::new(),
                count => format!("{count} × "),
            };
            let of = piece.material.map_or(String::new(), |of| format!(" ({of})"));
            format!("{times}{name}{of}")
        });
        several.then(|| words.collect::<Vec<_>>().join(", "))
    }

    /// The value of a dimension by key.
    pub fn dimension(&self, key: &str) -> Option<f64> {
        self.dimensions.iter().find(|d| d.key == key).map(|d| d.value)
    }

    /// The finding by check name.
    pub fn finding(&self, check: &str) -> Option<&Finding> {
        self.findings.iter().find(|f| f.check == check)
    }

    /// The box all pieces fit in, one by one (the largest in each direction).
    pub fn largest_piece(&self) -> Option<Bounds> {
        self.pieces.iter().map(|piece| piece.body.bounds()).reduce(|a, b| a.union(&b))
    }
}

/// A part somebody wants: plain measurements in, a resolved design out.
///
/// Specs derive `clap::Args`, `serde::Deserialize` (kebab-case, unknown keys refused) and
/// `schemars::JsonSchema`, so that the same words serve as options, job keys and schema.
pub trait Part: Send + Sync {
    /// A file name for a part the user gave none.
    fn default_name(&self) -> String;

    /// Resolves every dimension, runs every check and builds the solids.
    ///
    /// Fails when the values are out of bounds or cannot make a part; a part that can be drawn but
    /// should not be trusted is a `Design` with a `stop` among its findings.
    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design>;
}

/// One kind of part, as the command line and the job file come to it.
pub struct Kind {
    /// The command, and the table's name in a job file.
    pub name: &'static str,
    /// One line for the help.
    pub about: &'static str,
    /// Keys of the dimensions that hands need at the bench, in order.
    pub at_hand: &'static [&'static str],
    /// Adds the kind's options to a command.
    pub with_options: fn(clap::Command) -> clap::Command,
    /// The part the command line asks for.
    pub from_matches: fn(&clap::ArgMatches) -> std::result::Result<Box<dyn Part>, clap::Error>,
    /// The part a job file's table asks for.
    pub from_table: fn(toml::Table) -> std::result::Result<Box<dyn Part>, toml::de::Error>,
    /// The JSON Schema of the table.
    pub schema: fn(&mut schemars::SchemaGenerator) -> schemars::Schema,
}

/// Every kind of part there is: the one list of them.
pub const KINDS: &[Kind] = &[
    kind::<sleeve::Sleeve>(
        "sleeve",
        "A sleeve that presses a bearing on by the one ring that is tight",
        &[
            "press_force_likely_n",
            "press_force_max_n",
            "torque_likely_nm",
            "torque_max_nm",
            "interference_likely_um",
            "interference_max_um",
            "reach",
        ],
    ),
    kind::<bracket::Bracket>(
        "bracket",
        "A bracket that carries an encoder on a belt, and slides to tension it",
        &[
            "span_frequency_hz",
            "tension_n",
            "hub_load_n",
            "centre_distance",
            "screw_spacing",
            "belt_plane",
            "slot_travel",
            "ratio",
        ],
    ),
    kind::<plate::Plate>(
        "plate",
        "A plate that closes a hole round cables and holds each by a tie",
        &["screw_hole", "spigot_depth", "sheet_thickness", "margin"],
    ),
];

const fn kind<T>(name: &'static str, about: &'static str, at_hand: &'static [&'static str]) -> Kind
where
    T: Part + clap::Args + serde::de::DeserializeOwned + schemars::JsonSchema + 'static,
{
    Kind {
        name,
        about,
        at_hand,
        with_options: |command| T::augment_args(command),
        from_matches: |matches| Ok(Box::new(T::from_arg_matches(matches)?)),
        from_table: |table| Ok(Box::new(table.try_into::<T>()?)),
        schema: |generator| generator.subschema_for::<T>(),
    }
}
