//! The report of a part: as JSON for programs, and in words for the bench.

mod form;

use crate::checks::{Finding, Level};
use crate::design::{Design, Origin, PrintReading, Size};
use crate::error::{Error, Result, capital, number};
use crate::output::Made;
use crate::units::Units;
use anstyle::{AnsiColor, Style};
use serde_json::Value;
use std::fmt::Write;

pub use form::{job_json, json, schema};

/// The version of the report's form: it rises when a name changes its meaning.
pub const FORMAT: u32 = 2;

/// The JSON text as a file holds it.
pub fn json_bytes(value: &Value) -> Result<Vec<u8>> {
    let mut bytes = serde_json::to_vec_pretty(value)
        .map_err(|e| Error::internal(format!("The report cannot be written as JSON: {e}.")))?;
    bytes.push(b'\n');
    Ok(bytes)
}

const HEAD: Style = Style::new().bold();
const STOP: Style = AnsiColor::Red.on_default().bold();
const CAUTION: Style = AnsiColor::Yellow.on_default().bold();
const GOOD: Style = AnsiColor::Green.on_default();

/// How a part came out, in a few words: `ok`, `2 cautions`, `1 stop let through`.
pub fn state(design: &Design) -> String {
    let count = |wanted: &dyn Fn(&Finding) -> bool| design.findings.iter().filter(|f| wanted(f)).count();
    let counted = [
        (count(&|f| f.stops()), "stop", "stops"),
        (count(&|f| f.accepted), "stop let through", "stops let through"),
        (count(&|f| f.level == Level::Caution), "caution", "cautions"),
    ];
    let words: Vec<String> = counted
        .into_iter()
        .filter(|(count, ..)| *count > 0)
        .map(|(count, one, many)| format!("{count} {}", if count == 1 { one } else { many }))
        .collect();
    if words.is_empty() { "ok".into() } else { words.join(", ") }
}

/// Columns the report in words is set to: as wide as the terminal, within what is easily read.
fn width() -> usize {
    textwrap::termwidth().clamp(40, 92)
}

/// How much a report in words says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Length {
    /// A line a part.
    Line,
    /// One screen: files, what is not well, the numbers at hand, the first step and the one that decides.
    #[default]
    Screen,
    /// All of it.
    Full,
}

/// The report in words, with ANSI styles; the printer of it strips them where there is no terminal.
pub fn words(made: &Made, files: &[String], length: Length) -> String {
    let mut out = String::new();
    let design = &made.design.as_shown();
    match length {
        Length::Line => line(&mut out, design),
        Length::Screen => screen(&mut out, design, files),
        Length::Full => full(&mut out, design, files),
    }
    out
}

/// Name and state, on one line.
fn line(out: &mut String, design: &Design) {
    let _ = writeln!(out, "  {HEAD}{}{HEAD:#} ({}): {}", design.name, design.kind, state(design));
}

/// Numbers at hand shown on one screen.
const NUMBERS: usize = 6;
/// Lines of a terminal's screen (the oldest and commonest size, 24 by 80), less those that tell where it was written.
const SCREEN: usize = 22;

/// How far one screen is drawn together where there is much to say.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
enum Tight {
    /// The first two steps and the one that decides, every finding with its reason and its remedy.
    Whole,
    /// The first step and the one that decides.
    FewerSteps,
    /// Of a caution its remedy, or where it has none its reason.
    ShortCautions,
    /// A caution is a line.
    Lines,
    /// Of the steps only the one that decides.
    OneStep,
}

fn screen(out: &mut String, design: &Design, files: &[String]) {
    let settings = [Tight::Whole, Tight::FewerSteps, Tight::ShortCautions, Tight::Lines, Tight::OneStep];
    let set = settings.map(|tight| screen_set(design, files, tight));
    let one = set.iter().find(|text| text.lines().count() <= SCREEN).or(set.last());
    out.extend(one.map(String::as_str));
}

fn screen_set(design: &Design, files: &[String], tight: Tight) -> String {
    let mut out = String::new();
    heading(&mut out, &format!("{} '{}': {}", capital(design.kind), design.name, state(design)));
    for finding in design.findings.iter().filter(|f| f.level != Level::Ok) {
        let caution = finding.level == Level::Caution;
        match tight {
            Tight::ShortCautions if caution => short_caution(&mut out, finding, design.units),
            Tight::Lines | Tight::OneStep if caution => finding_line(&mut out, finding, design.units),
            _ => one_finding(&mut out, finding, design.units, Length::Screen),
        }
    }
    let at_bench = design.at_bench();
    let labels = at_bench.iter().take(NUMBERS).map(|d| d.label.chars().count()).max().unwrap_or(0);
    for size in at_bench.iter().take(NUMBERS) {
        let value = design.units.said(figures(size.value, size.unit()), size.value, size.unit());
        let _ = writeln!(out, "  {:labels$}  {value}", size.label);
    }
    let hardware: Vec<String> = design.notes.hardware.iter().map(|item| item.words()).collect();
    if !hardware.is_empty() {
        paragraph(&mut out, &format!("Have at hand: {}.", hardware.join("; ")));
    }
    let deciding = deciding_step(&design.notes.steps);
    let first = match (tight, deciding) {
        (Tight::Whole, _) | (_, None) => 2,
        (Tight::OneStep, Some(_)) => 0,
        _ => 1,
    };
    let steps = design.notes.steps.iter().enumerate();
    for (at, step) in steps.filter(|(at, _)| *at < first || Some(*at) == deciding) {
        numbered(&mut out, at + 1, step);
    }
    match files {
        [] => paragraph(&mut out, "No file was written."),
        files => paragraph(&mut out, &format!("Written: {}.", files.join(", "))),
    }
    paragraph(&mut out, "All steps, cautions and checks: --full, or the sheet (--format sheet).");
    out
}

/// The step in which the work is done: the first that says a torque, else the pitch of a belt, else a force.
fn deciding_step(steps: &[String]) -> Option<usize> {
    let says = |unit: &&str| steps.iter().position(|step| step.contains(*unit));
    [" N·m", " Hz", " kN", " N"].iter().find_map(says)
}

fn full(out: &mut String, design: &Design, files: &[String]) {
    heading(out, &format!("{} '{}'", capital(design.kind), design.name));
    paragraph(out, &design.notes.purpose);
    findings(out, design);
    dimensions(out, &design.sizes, design.units);
    if !design.notes.mechanics.is_empty() {
        heading(out, "Forces and speeds");
        for text in &design.notes.mechanics {
            paragraph(out, text);
        }
    }
    bench_notes(out, design);
    if files.is_empty() {
        paragraph(out, "No file was written.");
        return;
    }
    heading(out, "Files");
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

fn numbered(out: &mut String, at: usize, step: &str) {
    let lead = format!("  {at}. ");
    let options = textwrap::Options::new(width()).initial_indent(&lead).subsequent_indent("     ");
    let _ = writeln!(out, "{}", textwrap::fill(step, options));
}

fn heading(out: &mut String, text: &str) {
    let gap = if out.is_empty() { "" } else { "\n" };
    let _ = writeln!(out, "{gap}{HEAD}{text}{HEAD:#}");
}

fn paragraph(out: &mut String, text: &str) {
    let options = textwrap::Options::new(width()).initial_indent("  ").subsequent_indent("  ");
    let _ = writeln!(out, "{}", textwrap::fill(text, options));
}

/// Stops first, then cautions, then what holds in one line each.
fn findings(out: &mut String, design: &Design) {
    heading(out, "Findings");
    for level in [Level::Stop, Level::Caution, Level::Ok] {
        for finding in design.findings.iter().filter(|finding| finding.level == level) {
            one_finding(out, finding, design.units, Length::Full);
        }
    }
}

/// A caution's first line and what to do about it, or what it says where there is nothing to do.
fn short_caution(out: &mut String, finding: &Finding, units: Units) {
    finding_line(out, finding, units);
    match &finding.remedy {
        Some(remedy) => inner(out, &format!("Try: {remedy}")),
        None => inner(out, &finding.says),
    }
}

fn inner(out: &mut String, text: &str) {
    let options = textwrap::Options::new(width()).initial_indent("      ").subsequent_indent("      ");
    let _ = writeln!(out, "{}", textwrap::fill(text, options));
}

/// What was found of a check, on one line.
fn finding_line(out: &mut String, finding: &Finding, units: Units) {
    let (style, word) = match (finding.level, finding.accepted) {
        (Level::Stop, false) => (STOP, "STOP"),
        (Level::Stop, true) => (STOP, "STOP let through"),
        (Level::Caution, _) => (CAUTION, "caution"),
        (Level::Ok, _) => (GOOD, "ok"),
    };
    let [value, limit] = [finding.value, finding.limit].map(|value| figures(value, finding.unit));
    let value = units.said(value, finding.value, finding.unit);
    let beside =
        units.beside(finding.limit, finding.unit).map_or(String::new(), |beside| format!(" ({beside})"));
    let limit = format!("{} {limit}{beside}", finding.relation.words());
    let _ = writeln!(out, "  {style}{word}{style:#} {} {value}, {limit}", finding.check);
}

fn one_finding(out: &mut String, finding: &Finding, units: Units, length: Length) {
    finding_line(out, finding, units);
    if finding.level != Level::Ok {
        inner(out, &finding.says);
        if let Some(remedy) = &finding.remedy {
            inner(out, &format!("Try: {remedy}"));
        }
        if length == Length::Full {
            inner(out, &format!("Basis: {}", finding.basis));
        }
    }
}

fn dimensions(out: &mut String, dimensions: &[Size], units: Units) {
    heading(out, "Dimensions");
    let labels = dimensions.iter().map(|d| d.label.chars().count()).max().unwrap_or(0);
    let mut above: Option<&Origin> = None;
    for dimension in dimensions.iter().filter(|d| d.is_worth_words()) {
        let value = format!("{} {}", figures(dimension.value, dimension.unit()), dimension.unit());
        let beside = units.beside(dimension.value, dimension.unit()).unwrap_or_default();
        let lead = match units {
            Units::Metric => format!("  {:labels$}  {value:>11}   ", dimension.label),
            Units::Inch => format!("  {:labels$}  {value:>11}  {beside:>13}   ", dimension.label),
        };
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
        let options = textwrap::Options::new(width().max(lead.len() + 30))
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
    let length = |mm: f64| design.units.said(short(mm), mm, "mm");
    for reading in &design.readings() {
        paragraph(
            out,
            &format!(
                "Measure {}: it should measure {}{}, and is good from {} to {}.",
                reading.words(),
                length(reading.wanted),
                drawn(reading, length),
                length(reading.least),
                length(reading.most)
            ),
        );
    }
    if !notes.steps.is_empty() {
        heading(out, "At the bench");
    }
    for (at, step) in notes.steps.iter().enumerate() {
        numbered(out, at + 1, step);
    }
    let hardware: Vec<String> = notes.hardware.iter().map(|item| item.words()).collect();
    list(out, "To have at hand", &hardware);
    list(out, "Readings that would settle what is estimated", &notes.readings_wanted);
    list(out, "Cautions", &notes.cautions);
}

/// What is drawn, where that is not what the print is to measure.
fn drawn(reading: &PrintReading, length: impl Fn(f64) -> String) -> String {
    match (reading.nominal - reading.wanted).abs() < 5e-4 {
        true => String::new(),
        false => format!(", drawn {}", length(reading.nominal)),
    }
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
                textwrap::Options::new(width()).initial_indent("  - ").subsequent_indent("    ")
            )
        );
    }
}

/// The figures of a value in its unit: of micrometres no more than tenths, which nobody measures.
pub fn figures(value: f64, unit: &str) -> String {
    if unit == "µm" { number((value * 10.0).round() / 10.0) } else { short(value) }
}

/// A number for reading: three significant figures below ten, whole above a thousand, else two decimals.
pub fn short(value: f64) -> String {
    match value.abs() {
        v if v >= 1000.0 => number(value.round()),
        v if v >= 10.0 => number((value * 100.0).round() / 100.0),
        _ => number((value * 1000.0).round() / 1000.0),
    }
}

/// An error in words, with the next step, and then what else is wrong.
pub fn error_words(error: &Error) -> String {
    let inner = textwrap::Options::new(width()).subsequent_indent("       ");
    let one = |error: &Error| {
        format!(
            "{}\n{}\n",
            textwrap::fill(&format!("error: {}", error.says), &inner),
            textwrap::fill(&format!("  try: {}", error.remedy), &inner)
        )
    };
    std::iter::once(error).chain(&error.more).map(one).collect()
}
