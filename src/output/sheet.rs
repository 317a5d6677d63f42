//! The bench sheet: one HTML file for a whole job, for paper and for the phone.
//!
//! It stands alone: pictures and drawings are inside as data, nothing is fetched, and its own content
//! security policy forbids it; the one script keeps ticks and readings in the page. The `askama` crate fills
//! `sheet.html` and escapes every text. A part's page follows the hands: what is not well, the picture and
//! the numbers, cautions, print, hardware, caliper table, steps. What it all rests on stands in an annex.

use super::drawing::{page::Page, svg};
use super::picture::Shot;
use crate::checks::Level;
use crate::design::{Design, Hardware, Origin, PrintNotes, Size};
use crate::error::{Error, Result, capital, number};
use crate::text;
use crate::units::Units;
use askama::Template;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// One part of the sheet.
pub struct Entry<'a> {
    /// Its design.
    pub design: &'a Design,
    /// Its pictures.
    pub shots: &'a [Shot],
    /// The sheets of its drawing.
    pub pages: &'a [Page],
    /// What was asked, as it was typed.
    pub asked: &'a [(String, String)],
    /// Names of the files written with it.
    pub files: &'a [String],
}

#[derive(Template)]
#[template(path = "sheet.html", config = "src/output/askama.toml")]
struct Sheet<'a> {
    version: &'static str,
    script: &'static str,
    script_hash: String,
    title: &'a str,
    total_mass: String,
    total_time: String,
    time_basis: &'static str,
    first: Vec<String>,
    shopping: Vec<String>,
    /// What lengths are told in, in words.
    lengths: &'static str,
    parts: Vec<Part<'a>>,
}

struct Part<'a> {
    anchor: String,
    name: &'a str,
    purpose: &'a str,
    state: String,
    trouble: Vec<Finding<'a>>,
    cautions: Vec<&'a str>,
    picture: Option<Image>,
    drawings: Vec<Image>,
    numbers: Vec<Number<'a>>,
    mechanics: &'a [String],
    print: &'a PrintNotes,
    orientation: String,
    pieces: Option<String>,
    layer: String,
    infill: String,
    mass: String,
    time: String,
    files: &'a [String],
    hardware: Vec<String>,
    readings: Vec<Reading>,
    steps: &'a [String],
    findings: Vec<Finding<'a>>,
    wanted: &'a [String],
    asked: &'a [(String, String)],
    dimensions: Vec<Number<'a>>,
}

struct Image {
    source: String,
    /// What it shows, for who cannot see it.
    words: String,
    caption: String,
    width: u32,
    height: u32,
}

struct Number<'a> {
    key: &'a str,
    label: &'a str,
    value: String,
    origin: String,
}

struct Reading {
    what: String,
    nominal: String,
    wanted: String,
    least: String,
    most: String,
    /// The same four in inches, where both are told.
    beside: Option<[String; 4]>,
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

/// The page's script, and what its content policy allows: that text and no other.
const SCRIPT: &str = include_str!("sheet.js");

fn script_hash() -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(SCRIPT)))
}

/// The sheet's HTML text.
///
/// Fails when the template cannot be filled in.
pub fn html(title: &str, entries: &[Entry]) -> Result<String> {
    let common = in_common(entries);
    let parts = entries.iter().enumerate().map(|(at, entry)| part(at, entry, &common)).collect();
    let print = |entry: &Entry| (entry.design.notes.print.mass_g, hours(entry));
    let (mass, time) = entries.iter().map(print).fold((0.0, 0.0), |sum, (m, t)| (sum.0 + m, sum.1 + t));
    let sheet = Sheet {
        version: env!("CARGO_PKG_VERSION"),
        script: SCRIPT,
        script_hash: script_hash(),
        title,
        lengths: lengths(entries),
        total_mass: grams(mass),
        total_time: duration(time),
        time_basis: PrintNotes::TIME_BASIS,
        first: read_first(entries, &common),
        shopping: shopping(entries),
        parts,
    };
    let fault = |error| Error::internal(format!("The sheet could not be filled in: {error}."));
    Ok(text::lines(&sheet.render().map_err(fault)?).into_owned())
}

/// What lengths are told in.
fn lengths(entries: &[Entry]) -> &'static str {
    match entries.iter().any(|entry| entry.design.units == Units::Inch) {
        true => "Lengths in millimetres, with inches in brackets; slicers are set in millimetres",
        false => "Lengths in millimetres",
    }
}

/// The cautions that more than one part of a job has: they are told once, at its head.
fn in_common<'a>(entries: &[Entry<'a>]) -> Vec<&'a str> {
    let mut common: Vec<&str> = Vec::new();
    for (at, entry) in entries.iter().enumerate() {
        for caution in &entry.design.notes.cautions {
            let again = entries[at + 1..].iter().any(|other| other.design.notes.cautions.contains(caution));
            if again && !common.contains(&caution.as_str()) {
                common.push(caution);
            }
        }
    }
    common
}

/// Every stop that was let through, and the cautions in common.
fn read_first(entries: &[Entry], common: &[&str]) -> Vec<String> {
    let stops = entries.iter().filter(|_| entries.len() > 1).flat_map(|Entry { design, .. }| {
        let accepted = design.findings.iter().filter(|f| f.accepted);
        accepted.map(|f| format!("{}: {} was let through. {}", design.name, f.check, f.says))
    });
    stops.chain(common.iter().map(|caution| caution.to_string())).collect()
}

/// What is to be bought or turned, a line each.
fn shopping(entries: &[Entry]) -> Vec<String> {
    let units = entries.first().map_or(Units::Metric, |entry| entry.design.units);
    let list = Hardware::together(entries.iter().flat_map(|entry| &entry.design.notes.hardware));
    // A tool of several parts is told anew; all else is in its units already.
    let words = |item: &Hardware| match item.torques.len() {
        0 | 1 => item.words(),
        _ => units.sentence(&item.words()).into_owned(),
    };
    list.iter().map(words).collect()
}

fn part<'a>(at: usize, entry: &Entry<'a>, common: &[&str]) -> Part<'a> {
    let design = entry.design;
    let notes = &design.notes;
    let mut findings: Vec<&crate::checks::Finding> = design.findings.iter().collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    let told = |size: &'a Size| number_of(size, design.units);
    let cautions = notes.cautions.iter().map(String::as_str).filter(|caution| !common.contains(caution));
    Part {
        anchor: format!("part-{}", at + 1),
        name: &design.name,
        purpose: &notes.purpose,
        state: super::report::state(design),
        trouble: findings.iter().filter(|f| f.level != Level::Ok).map(|f| finding(f, design.units)).collect(),
        cautions: cautions.collect(),
        picture: entry.shots.last().map(|shot| picture(design, shot)),
        drawings: entry.pages.iter().map(drawing).collect(),
        numbers: design.at_bench().into_iter().map(told).collect(),
        mechanics: &notes.mechanics,
        print: &notes.print,
        orientation: format!("{}.", capital(notes.print.lie.trim_end_matches('.'))),
        pieces: design.pieces_in_words(),
        layer: number(notes.print.layer_mm),
        infill: number(notes.print.infill_percent),
        mass: grams(notes.print.mass_g),
        time: duration(hours(entry)),
        files: entry.files,
        hardware: notes.hardware.iter().map(Hardware::words).collect(),
        readings: design
            .readings()
            .iter()
            .map(|r| Reading {
                what: r.words(),
                nominal: hundredths(r.nominal),
                wanted: hundredths(r.wanted),
                least: hundredths(r.least),
                most: hundredths(r.most),
                beside: (design.units == Units::Inch).then(|| {
                    let told = [r.nominal, r.wanted, r.least, r.most];
                    told.map(|mm| design.units.beside(mm, "mm").unwrap_or_default())
                }),
            })
            .collect(),
        steps: &notes.steps,
        findings: findings.into_iter().map(|f| finding(f, design.units)).collect(),
        wanted: &notes.readings_wanted,
        asked: entry.asked,
        dimensions: design.sizes.iter().filter(|d| d.is_worth_words()).map(told).collect(),
    }
}

fn picture(design: &Design, shot: &Shot) -> Image {
    let name = &design.name;
    let mut seen: Vec<&str> = design.mating.iter().map(|m| m.name.as_str()).collect();
    seen.dedup();
    let (words, caption) = match (shot.in_place, design.pieces.len()) {
        (true, _) => (
            format!("The {} {name} drawn solid, with {} drawn pale", design.kind, seen.join(", ")),
            format!("{name} in its place; what is pale is not printed"),
        ),
        (false, 1) => {
            (format!("The {} {name} on the bed of the printer", design.kind), "As it prints".into())
        }
        (false, pieces) => {
            (format!("The {pieces} pieces of {name} on the bed of the printer"), "As they print".into())
        }
    };
    Image {
        source: format!("data:image/png;base64,{}", STANDARD.encode(&shot.png)),
        words,
        caption,
        width: shot.width,
        height: shot.height,
    }
}

fn drawing(page: &Page) -> Image {
    Image {
        source: format!("data:image/svg+xml;base64,{}", STANDARD.encode(svg(page))),
        words: format!("Views of {} with its sizes", page.title),
        caption: format!("{}; for true scale print the drawing's own file.", page.title),
        width: (page.width * 4.0) as u32,
        height: (page.height * 4.0) as u32,
    }
}

fn number_of(size: &Size, units: Units) -> Number<'_> {
    Number {
        key: &size.key,
        label: &size.label,
        value: units.said(in_reason(size.value, size.unit()), size.value, size.unit()),
        origin: origin(&size.origin),
    }
}

/// Where a value came from, in words.
fn origin(origin: &Origin) -> String {
    match origin {
        Origin::Table(source) => format!("Table: {source}"),
        Origin::Formula(source) => format!("Computed: {source}"),
        Origin::Given(source) => format!("Given: {source}"),
        Origin::Preset(source) => format!("Preset: {source}"),
        Origin::Practice(source) => format!("Common practice: {source}"),
        Origin::Estimate(source) => format!("Estimate on the safe side: {source}"),
    }
}

fn finding(finding: &crate::checks::Finding, units: Units) -> Finding<'_> {
    let (class, level) = match (finding.level, finding.accepted) {
        (Level::Ok, _) => ("ok", "holds"),
        (Level::Caution, _) => ("caution-mark", "caution"),
        (Level::Stop, true) => ("stop", "stop, let through"),
        (Level::Stop, false) => ("stop", "stop"),
    };
    let with_unit = |value: f64| units.said(in_reason(value, finding.unit), value, finding.unit);
    Finding {
        class,
        level,
        check: finding.check,
        says: &finding.says,
        remedy: finding.remedy.as_deref().unwrap_or(""),
        basis: &finding.basis,
        value: with_unit(finding.value),
        limit: format!("{} {}", finding.relation.words(), with_unit(finding.limit)),
    }
}

/// A value with the digits that mean something at a bench: lengths to a hundredth, small ones to
/// two figures, the rest to three.
fn in_reason(value: f64, unit: &str) -> String {
    let step = match value.abs() {
        _ if unit == "µm" => 10.0,
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

/// Printing time, hours.
fn hours(entry: &Entry) -> f64 {
    entry.design.notes.print.time_min / 60.0
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
