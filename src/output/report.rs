//! The report of a part: as JSON for programs, and in words for the bench.

use crate::checks::{Finding, Level};
use crate::design::{Design, Origin, Size};
use crate::error::{Error, Result, capital, number};
use crate::output::Made;
use crate::solid::Mesh;
use anstyle::{AnsiColor, Style};
use serde_json::{Map, Value, json};
use std::fmt::Write;

/// The version of the report's form: it rises when a name changes its meaning.
pub const FORMAT: u32 = 2;

/// The one JSON object a part command prints and a `.json` file holds.
pub fn json(design: &Design, files: &[String]) -> Value {
    let meshes = || design.pieces.iter().map(|piece| &piece.mesh);
    let mut root = Map::new();
    root.insert("part".into(), json!(design.kind));
    root.insert("name".into(), json!(design.name));
    let dimensions: Map<String, Value> =
        design.sizes.iter().map(|d| (d.key.clone(), json!(rounded(d.value)))).collect();
    root.insert("dimensions".into(), Value::Object(dimensions));
    root.extend(design.lists.clone());
    let findings = design.findings.iter().map(|finding| {
        let mut row = json!(finding);
        row["margin"] = json!(rounded(finding.margin()));
        row
    });
    root.insert("findings".into(), findings.collect());
    root.insert(
        "mesh".into(),
        json!({
            "triangles": meshes().map(|mesh| mesh.triangles.len()).sum::<usize>(),
            "volume_mm3": rounded(meshes().map(Mesh::volume).sum()),
            "chord_tolerance_mm": design.chord_tolerance,
        }),
    );
    let pieces = design.pieces.iter().map(|piece| {
        json!({
            "piece": piece.suffix,
            "count": piece.count,
            "solid_volume_mm3": rounded(piece.body.volume()),
            "mesh_volume_mm3": rounded(piece.mesh.volume()),
            "triangles": piece.mesh.triangles.len(),
            "figures": design.figures(piece).iter().map(|figure| json!({ "what": figure.what, "mm": rounded(figure.value()) })).collect::<Vec<_>>(),
        })
    });
    root.insert("pieces".into(), pieces.collect());
    root.insert("files".into(), json!(files));
    let origins: Map<String, Value> = design.sizes.iter().map(|d| (d.key.clone(), json!(d.origin))).collect();
    root.insert("origins".into(), Value::Object(origins));
    root.insert("notes".into(), json!(design.notes));
    root.insert("format".into(), json!(FORMAT));
    root.insert("written_by".into(), json!(format!("fixwright {}", env!("CARGO_PKG_VERSION"))));
    Value::Object(root)
}

/// The JSON text as a file holds it.
pub fn json_bytes(value: &Value) -> Result<Vec<u8>> {
    let mut bytes = serde_json::to_vec_pretty(value)
        .map_err(|e| Error::internal(format!("The report cannot be written as JSON: {e}.")))?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// Nanometres and micronewtons are noise of the arithmetic, not part of a dimension.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

const HEAD: Style = Style::new().bold();
const STOP: Style = AnsiColor::Red.on_default().bold();
const CAUTION: Style = AnsiColor::Yellow.on_default().bold();
const GOOD: Style = AnsiColor::Green.on_default();

/// Columns the report in words is set to.
const WIDTH: usize = 92;

/// The report in words, with ANSI styles; the printer of it strips them where there is no terminal.
pub fn words(made: &Made, files: &[String]) -> String {
    let design = &made.design;
    let mut out = String::new();
    heading(&mut out, &format!("{} '{}'", capital(design.kind), design.name));
    paragraph(&mut out, &design.notes.purpose);
    findings(&mut out, &design.findings);
    dimensions(&mut out, &design.sizes);
    if !design.notes.mechanics.is_empty() {
        heading(&mut out, "What it takes");
        for text in &design.notes.mechanics {
            paragraph(&mut out, text);
        }
    }
    bench_notes(&mut out, design);
    if files.is_empty() {
        paragraph(&mut out, "No file was written.");
    } else {
        heading(&mut out, "Files");
        let triangles: usize = design.pieces.iter().map(|piece| piece.mesh.triangles.len()).sum();
        let volume: f64 = design.pieces.iter().map(|piece| piece.mesh.volume()).sum();
        for file in files {
            let _ = writeln!(out, "  {file}");
        }
        let _ = writeln!(
            out,
            "  closed, {triangles} triangles within {} mm of the true surface, {:.1} cm³",
            number(design.chord_tolerance),
            volume / 1000.0
        );
    }
    out
}

fn heading(out: &mut String, text: &str) {
    let gap = if out.is_empty() { "" } else { "\n" };
    let _ = writeln!(out, "{gap}{HEAD}{text}{HEAD:#}");
}

fn paragraph(out: &mut String, text: &str) {
    let options = textwrap::Options::new(WIDTH).initial_indent("  ").subsequent_indent("  ");
    let _ = writeln!(out, "{}", textwrap::fill(text, options));
}

/// Stops first, then cautions, then what holds in one line each.
fn findings(out: &mut String, findings: &[Finding]) {
    heading(out, "Findings");
    for level in [Level::Stop, Level::Caution, Level::Ok] {
        for finding in findings.iter().filter(|finding| finding.level == level) {
            one_finding(out, finding);
        }
    }
}

fn one_finding(out: &mut String, finding: &Finding) {
    let (style, word) = match (finding.level, finding.accepted) {
        (Level::Stop, false) => (STOP, "STOP"),
        (Level::Stop, true) => (STOP, "STOP let through"),
        (Level::Caution, _) => (CAUTION, "caution"),
        (Level::Ok, _) => (GOOD, "ok"),
    };
    let value = format!("{} {}", short(finding.value), finding.unit);
    let limit = format!("{} {}", finding.relation.words(), short(finding.limit));
    let _ = writeln!(out, "  {style}{word}{style:#} {} {}, {limit}", finding.check, value.trim_end());
    let inner = textwrap::Options::new(WIDTH).initial_indent("      ").subsequent_indent("      ");
    if finding.level != Level::Ok {
        let _ = writeln!(out, "{}", textwrap::fill(&finding.says, &inner));
        if let Some(remedy) = &finding.remedy {
            let _ = writeln!(out, "{}", textwrap::fill(&format!("Try: {remedy}"), &inner));
        }
        let _ = writeln!(out, "{}", textwrap::fill(&format!("Basis: {}", finding.basis), &inner));
    }
}

fn dimensions(out: &mut String, dimensions: &[Size]) {
    heading(out, "Dimensions");
    let labels = dimensions.iter().map(|d| d.label.chars().count()).max().unwrap_or(0);
    let mut above: Option<&Origin> = None;
    for dimension in dimensions.iter().filter(|d| d.is_worth_words()) {
        let value = format!("{} {}", short(dimension.value), dimension.unit());
        let lead = format!("  {:labels$}  {value:>11}   ", dimension.label);
        let same = above == Some(&dimension.origin);
        above = Some(&dimension.origin);
        let origin = match &dimension.origin {
            _ if same => "as above".to_string(),
            Origin::Table(source) => source.clone(),
            Origin::Formula(source) => source.clone(),
            Origin::Given(source) => format!("given: {source}"),
            Origin::Preset(source) => format!("preset {source}"),
            Origin::Practice(source) => format!("common practice: {source}"),
            Origin::Estimate(source) => format!("ESTIMATE: {source}"),
        };
        let indent = " ".repeat(lead.chars().count());
        let options = textwrap::Options::new(WIDTH.max(lead.len() + 30))
            .initial_indent(&lead)
            .subsequent_indent(&indent);
        let _ = writeln!(out, "{}", textwrap::fill(&origin, options));
    }
}

fn bench_notes(out: &mut String, design: &Design) {
    let notes = &design.notes;
    heading(out, "Printing");
    let print = &notes.print;
    if let Some(pieces) = design.pieces_in_words() {
        paragraph(out, &format!("Pieces: {pieces}."));
    }
    paragraph(out, &print.lie);
    paragraph(
        out,
        &format!(
            "{}, {} mm layers, {} walls, {} % infill; about {} g.",
            print.material,
            number(print.layer_mm),
            print.walls,
            number(print.infill_percent),
            short(print.mass_g)
        ),
    );
    for reading in &design.readings() {
        paragraph(
            out,
            &format!(
                "Measure {}: drawn {} mm, good from {} to {}.",
                reading.words(),
                short(reading.nominal),
                short(reading.least),
                short(reading.most)
            ),
        );
    }
    if !notes.steps.is_empty() {
        heading(out, "At the bench");
    }
    for (at, step) in notes.steps.iter().enumerate() {
        let lead = format!("  {}. ", at + 1);
        let _ = writeln!(
            out,
            "{}",
            textwrap::fill(
                step,
                textwrap::Options::new(WIDTH).initial_indent(&lead).subsequent_indent("     ")
            )
        );
    }
    list(out, "Readings that would settle what is estimated", &notes.readings_wanted);
    list(out, "Cautions", &notes.cautions);
}

fn list(out: &mut String, head: &str, items: &[String]) {
    if items.is_empty() {
        return;
    }
    heading(out, head);
    for item in items {
        let _ = writeln!(
            out,
            "{}",
            textwrap::fill(
                item,
                textwrap::Options::new(WIDTH).initial_indent("  - ").subsequent_indent("    ")
            )
        );
    }
}

/// A number for reading: three significant figures below ten, whole above a thousand, else two decimals.
pub fn short(value: f64) -> String {
    match value.abs() {
        v if v >= 1000.0 => number(value.round()),
        v if v >= 10.0 => number((value * 100.0).round() / 100.0),
        _ => number((value * 1000.0).round() / 1000.0),
    }
}

/// An error in words, with the next step.
pub fn error_words(error: &Error) -> String {
    let inner = textwrap::Options::new(WIDTH).subsequent_indent("       ");
    format!(
        "{}\n{}\n",
        textwrap::fill(&format!("error: {}", error.says), &inner),
        textwrap::fill(&format!("  try: {}", error.remedy), &inner)
    )
}
