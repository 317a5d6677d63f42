//! The form of what programs are told: one part's report, a job's, and the JSON Schema of both.

use super::FORMAT;
use crate::checks::Finding;
use crate::design::{Design, DrawnFor, Figure, Notes, Origin, Piece};
use crate::error::{Error, to_millionth};
use crate::output::write::Written;
use crate::solid::Mesh;
use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

const WRITTEN_BY: &str = concat!("fixwright ", env!("CARGO_PKG_VERSION"));

/// One part: what its command prints with --json, and what its .json file holds.
#[derive(Serialize, JsonSchema)]
struct Report<'a> {
    /// The kind of part.
    part: &'a str,
    /// The name its files are written under.
    name: &'a str,
    /// Every size by its key, in millimetres unless the key ends in another unit: _deg, _n, _nm, _mpa, _um, _rpm,
    /// _hz, _g, _c, or in _factor or pieces, which have none.
    #[schemars(with = "BTreeMap<String, f64>")]
    dimensions: Map<String, Value>,
    /// Lists and counts of this kind of part, such as openings, screws or stiffness.
    #[serde(flatten)]
    lists: &'a Map<String, Value>,
    /// Every check.
    findings: Vec<Checked<'a>>,
    mesh: Triangles,
    /// The printed pieces.
    pieces: Vec<Printed<'a>>,
    /// What is turned or sawn from metal beside them, and drawn.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    turned: Vec<Turned<'a>>,
    /// What stands round it where it is pictured in its place.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    mating: Vec<&'a str>,
    /// The files of the part, by name.
    files: &'a [String],
    /// Where each size came from, by its key.
    #[schemars(with = "BTreeMap<String, Origin>")]
    origins: Map<String, Value>,
    /// What the bench needs to know.
    notes: Notes,
    /// The printer preset it is drawn for.
    #[serde(skip_serializing_if = "Option::is_none")]
    printer: Option<&'a DrawnFor>,
    /// The version of this form: it rises when a name changes its meaning.
    format: u32,
    /// The program and its version.
    written_by: &'a str,
}

/// A check, and how far it is from its limit.
#[derive(Serialize, JsonSchema)]
struct Checked<'a> {
    #[serde(flatten)]
    finding: &'a Finding,
    /// How far the value is on the good side of its limit, in the same unit; negative on the other.
    margin: f64,
}

/// The triangles of all pieces, each piece once.
#[derive(Serialize, JsonSchema)]
struct Triangles {
    triangles: usize,
    volume_mm3: f64,
    /// Greatest distance between a curved face and its triangles.
    chord_tolerance_mm: f64,
}

/// A printed piece.
#[derive(Serialize, JsonSchema)]
struct Printed<'a> {
    /// What its file names add to the part's; empty for the only or the first piece.
    piece: &'a str,
    /// How many are printed.
    count: usize,
    /// Volume of the exact body.
    solid_volume_mm3: f64,
    /// Volume of its triangles.
    mesh_volume_mm3: f64,
    triangles: usize,
    /// The sizes its drawing shows.
    figures: Vec<Shown>,
}

/// A body that is turned or sawn.
#[derive(Serialize, JsonSchema)]
struct Turned<'a> {
    /// What its drawing's name adds to the part's.
    piece: &'a str,
    /// What it is made of.
    material: Option<&'a str>,
    /// Volume of the exact body.
    solid_volume_mm3: f64,
    /// The sizes its drawing shows.
    figures: Vec<Shown>,
}

/// A size on a drawing.
#[derive(Serialize, JsonSchema)]
struct Shown {
    what: String,
    mm: f64,
}

/// A whole job: what `make` prints with --json, and what the job's .json file holds.
#[derive(Serialize, JsonSchema)]
struct JobReport<'a> {
    /// The job's title.
    job: &'a str,
    /// A report a part.
    #[schemars(with = "Vec<Report>")]
    parts: Vec<Value>,
    /// Every file, by name.
    files: &'a [String],
    /// The version of this form.
    format: u32,
    /// The program and its version.
    written_by: &'a str,
}

/// The one JSON object a part command prints and a `.json` file holds.
pub fn json(design: &Design, files: &[String]) -> Value {
    let meshes = || design.pieces.iter().map(|piece| &piece.mesh);
    let told = Report {
        part: design.kind,
        name: &design.name,
        dimensions: design.sizes.iter().map(|d| (d.key.clone(), json!(to_millionth(d.value)))).collect(),
        lists: &design.lists,
        findings: design
            .findings
            .iter()
            .map(|finding| Checked { finding, margin: to_millionth(finding.margin()) })
            .collect(),
        mesh: Triangles {
            triangles: meshes().map(|mesh| mesh.triangles.len()).sum(),
            volume_mm3: to_millionth(meshes().map(Mesh::volume).sum()),
            chord_tolerance_mm: design.chord_tolerance,
        },
        pieces: design.pieces.iter().map(|piece| printed(design, piece)).collect(),
        turned: design.turned.iter().map(|piece| turned(design, piece)).collect(),
        mating: design.mating.iter().map(|body| body.name.as_str()).collect(),
        files,
        origins: design.sizes.iter().map(|d| (d.key.clone(), json!(d.origin))).collect(),
        notes: Notes { print_readings: design.readings(), ..design.notes.clone() },
        printer: design.printer.as_ref(),
        format: FORMAT,
        written_by: WRITTEN_BY,
    };
    json!(told)
}

fn figures(design: &Design, piece: &Piece) -> Vec<Shown> {
    let shown = |figure: Figure| Shown { mm: to_millionth(figure.value()), what: figure.what };
    design.figures(piece).into_iter().map(shown).collect()
}

fn turned<'a>(design: &Design, piece: &'a Piece) -> Turned<'a> {
    Turned {
        piece: &piece.suffix,
        material: piece.material,
        solid_volume_mm3: to_millionth(piece.body.volume()),
        figures: figures(design, piece),
    }
}

fn printed<'a>(design: &Design, piece: &'a Piece) -> Printed<'a> {
    Printed {
        piece: &piece.suffix,
        count: piece.count,
        solid_volume_mm3: to_millionth(piece.body.volume()),
        mesh_volume_mm3: to_millionth(piece.mesh.volume()),
        triangles: piece.mesh.triangles.len(),
        figures: figures(design, piece),
    }
}

/// The one JSON object `make` prints and a job's `.json` file holds, of its parts' reports.
pub fn job_json(title: &str, parts: Vec<Value>, files: &[String]) -> Value {
    json!(JobReport { job: title, parts, files, format: FORMAT, written_by: WRITTEN_BY })
}

/// The JSON Schema (2020-12) of what a command that makes parts prints with `--json`: a part's report or a job's, and
/// what was written, what an earlier run left, or the error that held the files back.
pub fn schema() -> Value {
    let mut generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let part = generator.subschema_for::<Report>();
    let job = generator.subschema_for::<JobReport>();
    let failed = json!({ "required": ["error"], "not": { "anyOf": [{ "required": ["part"] }, { "required": ["job"] }] } });
    let of_the_run = json!({
        "written": generator.subschema_for::<Written>(),
        "left": generator.subschema_for::<Vec<String>>(),
        "error": generator.subschema_for::<Error>(),
    });
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "fixwright report",
        "description": format!("What is printed with --json and written as .json, form {FORMAT}. A file has no 'written', 'left' or 'error'."),
        "type": "object",
        "anyOf": [part, job, failed],
        "properties": of_the_run,
        "$defs": generator.take_definitions(true),
    })
}
