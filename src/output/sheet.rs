//! The bench sheet: one HTML file for a whole job, for paper and for the phone.
//!
//! It stands alone: pictures and drawings are inside as data, nothing is fetched, there is no
//! script, and its own content security policy forbids both. The `askama` crate fills
//! `sheet.html` and escapes every text. Cautions come first, then what the hands need,
//! then what it all rests on.

use super::drawing;
use super::picture::Shot;
use crate::checks::Level;
use crate::design::{Design, Origin, PrintNotes, Size};
use crate::error::{Error, Result, number};
use askama::Template;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

/// One part of the sheet.
pub struct Entry<'a> {
    /// Its design.
    pub design: &'a Design,
    /// Its pictures.
    pub shots: &'a [Shot],
    /// What was asked, as it was typed.
    pub asked: &'a [(String, String)],
    /// Names of the files written with it.
    pub files: Vec<String>,
    /// Width of one extruded line, mm.
    pub line_width: f64,
}

#[derive(Template)]
#[template(path = "sheet.html", config = "src/output/askama.toml")]
struct Sheet<'a> {
    version: &'static str,
    title: &'a str,
    total_mass: String,
    total_time: String,
    time_basis: &'static str,
    first: Vec<String>,
    parts: Vec<Part<'a>>,
}

struct Part<'a> {
    anchor: String,
    name: &'a str,
    purpose: &'a str,
    cautions: &'a [String],
    stops: Vec<&'a str>,
    pictures: Vec<Image>,
    drawings: Vec<Image>,
    numbers: Vec<Figure<'a>>,
    mechanics: &'a [String],
    print: &'a PrintNotes,
    pieces: Option<String>,
    layer: String,
    infill: String,
    mass: String,
    time: String,
    files: &'a [String],
    readings: Vec<Reading>,
    steps: &'a [String],
    findings: Vec<Finding<'a>>,
    wanted: &'a [String],
    asked: &'a [(String, String)],
    dimensions: Vec<Figure<'a>>,
}

struct Image {
    source: String,
    words: String,
    width: u32,
    height: u32,
}

struct Figure<'a> {
    label: &'a str,
    value: String,
    unit: &'static str,
    origin: String,
}

struct Reading {
    what: String,
    nominal: String,
    least: String,
    most: String,
}

struct Finding<'a> {
    class: &'static str,
    level: &'static str,
    check: &'static str,
    says: &'a str,
    remedy: &'a str,
    basis: &'a str,
    value: String,
    limit: String,
}

/// The sheet's HTML text.
///
/// Fails when a picture or drawing cannot be made.
pub fn html(title: &str, entries: &[Entry]) -> Result<String> {
    let parts =
        entries.iter().enumerate().map(|(at, entry)| part(at, entry)).collect::<Result<Vec<Part>>>()?;
    let print = |entry: &Entry| (entry.design.notes.print.mass_g, hours(entry));
    let (mass, time) = entries.iter().map(print).fold((0.0, 0.0), |sum, (m, t)| (sum.0 + m, sum.1 + t));
    let sheet = Sheet {
        version: env!("CARGO_PKG_VERSION"),
        title,
        total_mass: grams(mass),
        total_time: duration(time),
        time_basis: TIME_BASIS,
        first: read_first(entries),
        parts,
    };
    sheet.render().map_err(|error| Error::internal(format!("The sheet could not be filled in: {error}.")))
}

/// The gravest caution of each part, once, and every stop that was let through.
fn read_first(entries: &[Entry]) -> Vec<String> {
    if entries.len() < 2 {
        return Vec::new();
    }
    let mut all: Vec<String> = Vec::new();
    for Entry { design, .. } in entries {
        for finding in design.findings.iter().filter(|f| f.accepted) {
            all.push(format!("{}: {} was let through. {}", design.name, finding.check, finding.says));
        }
    }
    for caution in entries.iter().filter_map(|entry| entry.design.notes.cautions.first()) {
        if !all.contains(caution) {
            all.push(caution.clone());
        }
    }
    all
}

fn part<'a>(at: usize, entry: &'a Entry) -> Result<Part<'a>> {
    let design = entry.design;
    let notes = &design.notes;
    let mut findings: Vec<&crate::checks::Finding> = design.findings.iter().collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    Ok(Part {
        anchor: format!("part-{}", at + 1),
        name: &design.name,
        purpose: &notes.purpose,
        cautions: &notes.cautions,
        stops: design.findings.iter().filter(|f| f.accepted).map(|f| f.says.as_str()).collect(),
        pictures: entry.shots.iter().map(|shot| picture(design, shot)).collect(),
        drawings: drawings(design)?,
        numbers: design.at_bench().into_iter().map(figure).collect(),
        mechanics: &notes.mechanics,
        print: &notes.print,
        pieces: design.pieces_in_words(),
        layer: number(notes.print.layer_mm),
        infill: number(notes.print.infill_percent),
        mass: grams(notes.print.mass_g),
        time: duration(hours(entry)),
        files: &entry.files,
        readings: design
            .readings()
            .iter()
            .map(|r| Reading {
                what: r.words(),
                nominal: hundredths(r.nominal),
                least: hundredths(r.least),
                most: hundredths(r.most),
            })
            .collect(),
        steps: &notes.steps,
        findings: findings.into_iter().map(finding).collect(),
        wanted: &notes.readings_wanted,
        asked: entry.asked,
        dimensions: design.sizes.iter().filter(|d| d.is_worth_words()).map(figure).collect(),
    })
}

fn picture(design: &Design, shot: &Shot) -> Image {
    let name = &design.name;
    let words = match (shot.in_place, design.pieces.len()) {
        (true, _) => format!("{name} in its place; what is pale is not printed"),
        (false, 1) => format!("{name}, as it prints"),
        (false, pieces) => format!("{name}, its {pieces} pieces as they print"),
    };
    Image {
        source: format!("data:image/png;base64,{}", STANDARD.encode(&shot.png)),
        words,
        width: shot.width,
        height: shot.height,
    }
}

fn drawings(design: &Design) -> Result<Vec<Image>> {
    let pages = drawing::pages(design)?;
    Ok(pages
        .iter()
        .map(|page| Image {
            source: format!("data:image/svg+xml;base64,{}", STANDARD.encode(drawing::svg(page))),
            words: format!("Drawing of {}; for true scale print the drawing's own file", page.title),
            width: (page.width * 4.0) as u32,
            height: (page.height * 4.0) as u32,
        })
        .collect())
}

fn figure(dimension: &Size) -> Figure<'_> {
    Figure {
        label: &dimension.label,
        value: in_reason(dimension.value, dimension.unit()),
        unit: dimension.unit(),
        origin: origin(&dimension.origin),
    }
}

/// Where a value came from, in words.
fn origin(origin: &Origin) -> String {
    match origin {
        Origin::Table(source) => format!("Table: {source}"),
        Origin::Formula(source) => format!("Reckoned: {source}"),
        Origin::Given(source) => format!("Given: {source}"),
        Origin::Preset(source) => format!("Preset: {source}"),
        Origin::Practice(source) => format!("Common practice: {source}"),
        Origin::Estimate(source) => format!("Estimate on the safe side: {source}"),
    }
}

fn finding(finding: &crate::checks::Finding) -> Finding<'_> {
    let (class, level) = match (finding.level, finding.accepted) {
        (Level::Ok, _) => ("ok", "holds"),
        (Level::Caution, _) => ("caution-mark", "caution"),
        (Level::Stop, true) => ("stop", "stop, let through"),
        (Level::Stop, false) => ("stop", "stop"),
    };
    let with_unit =
        |value: f64| format!("{} {}", in_reason(value, finding.unit), finding.unit).trim_end().to_string();
    Finding {
        class,
        level,
        check: finding.check,
        says: &finding.says,
        remedy: finding.remedy.as_deref().unwrap_or(""),
        basis: &finding.basis,
        value: with_unit(finding.value),
        limit: with_unit(finding.limit),
    }
}

/// A value with the digits that mean something at a bench: lengths to a hundredth, small ones to
/// two figures, the rest to three.
fn in_reason(value: f64, unit: &str) -> String {
    let step = match value.abs() {
        v if unit == "mm" && v < 0.01 => 10_000.0,
        v if unit == "mm" && v < 0.1 => 1000.0,
        _ if unit == "mm" => 100.0,
        v if v >= 100.0 => 1.0,
        v if v >= 10.0 => 10.0,
        v if v >= 1.0 => 100.0,
        _ => 1000.0,
    };
    number((value * step).round() / step)
}

fn hundredths(mm: f64) -> String {
    format!("{mm:.2}")
}

fn grams(mass: f64) -> String {
    if mass < 10.0 { format!("{mass:.1}") } else { format!("{mass:.0}") }
}

/// What the time estimate rests on.
const TIME_BASIS: &str = "45 mm of line a second and 4 s a layer, common practice for sound parts";

/// Printing time, hours: the plastic laid as lines of the layer's height at a steady pace, and a
/// pause at each change of layer.
fn hours(entry: &Entry) -> f64 {
    const PACE: f64 = 45.0;
    const CHANGE: f64 = 4.0;
    /// Grams a cubic millimetre of the plastics in use, near enough for an estimate of time.
    const DENSITY: f64 = 1.2e-3;
    let print = &entry.design.notes.print;
    let layer = print.layer_mm.max(0.01);
    let line = print.mass_g / DENSITY / (layer * entry.line_width.max(0.05));
    let layers: f64 =
        entry.design.pieces.iter().map(|p| p.body.bounds().size().z / layer).fold(0.0, f64::max);
    (line / PACE + layers * CHANGE) / 3600.0
}

/// Hours as one says them: to five minutes under two hours, to a quarter above.
fn duration(hours: f64) -> String {
    if hours < 2.0 {
        format!("{} min", ((hours * 12.0).ceil() * 5.0).max(5.0))
    } else {
        format!("{} h", number((hours * 4.0).ceil() / 4.0))
    }
}

#[cfg(test)]
mod tests;
