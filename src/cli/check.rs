//! `fixwright check`: what was read on a print against the bands of its report.

use super::Answer;
use crate::calibration::correct::{self, Correction, Place};
use crate::design::{DrawnFor, Feature};
use crate::error::{Error, Kind, Result, hundredth, number};
use crate::output::write;
use crate::text;
use crate::units::Length;
use crate::workshop::{self, Printer};
use clap::{Args, Command};
use serde::{Deserialize, Serialize};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::str::FromStr;

#[derive(Args)]
struct Question {
    /// The part's JSON report (`--format json`)
    #[arg(value_name = "PART.json")]
    part: PathBuf,
    /// What was read: letter, key or first words of a row of the caliper table and the reading, such as R1=25.72,
    /// nose=25.72 (repeatable, a reading several times too)
    #[arg(long, value_name = "READING=MM", required = true)]
    read: Vec<Read>,
    /// Put the allowances of this printer preset right by what was read: a .toml file of your own
    #[arg(long, value_name = "PRINTER.toml")]
    correct: Option<PathBuf>,
}

/// One reading as it was typed.
#[derive(Clone, Debug, PartialEq)]
struct Read {
    of: String,
    mm: f64,
}

impl FromStr for Read {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let parts = text.rsplit_once('=').filter(|(of, _)| !of.trim().is_empty());
        let (of, mm) = parts.ok_or_else(|| {
            Error::request(
                format!("--read '{text}' is not the name of a reading and what was read."),
                "Write letter or key of the caliper table, then the reading: --read R1=25.72.",
            )
        })?;
        let mm = crate::error::within("--read", mm.parse::<Length>()?.mm(), 0.01, 5000.0, "mm")?;
        Ok(Self { of: of.trim().to_lowercase().replace(['-', ' '], "_"), mm })
    }
}

/// A report's part that is of use here.
#[derive(Deserialize)]
struct Report {
    name: String,
    notes: Bands,
    printer: DrawnFor,
}

#[derive(Deserialize)]
struct Bands {
    print: Print,
    print_readings: Vec<Band>,
}

#[derive(Deserialize)]
struct Print {
    material: String,
}

/// A row of the caliper table.
#[derive(Clone, Debug, Deserialize, Serialize)]
struct Band {
    letter: String,
    key: String,
    what: String,
    feature: Feature,
    nominal: f64,
    wanted: f64,
    least: f64,
    most: f64,
    #[serde(default)]
    as_printed: bool,
}

impl Band {
    /// Its letter and what is measured.
    fn name(&self) -> String {
        format!("{} {}", self.letter, self.what)
    }
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
enum Verdict {
    Use,
    TooSmall,
    TooLarge,
}

/// One reading judged.
#[derive(Serialize)]
struct Judged {
    #[serde(flatten)]
    band: Band,
    read: f64,
    verdict: Verdict,
    /// What to add to the size drawn where it is printed anew, mm: what it should measure, less what was read.
    correction: f64,
    says: String,
}

pub(super) fn command() -> Command {
    Question::augment_args(
        Command::new("check")
            .about("Tell whether a print is to be used, worked over or printed anew, from caliper readings"),
    )
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    const LONGEST: u64 = 8 << 20;
    let question: Question = super::options(matches)?;
    let step = "Give the JSON report of one part: write it with --format json.";
    let text = text::read(&question.part, "The report", LONGEST, step)?;
    let report: Report = serde_json::from_str(&text).map_err(|e| {
        Error::request(format!("'{}' is no report of a part: {e}.", text::path(&question.part)), step)
    })?;
    let rows: Vec<Judged> =
        question.read.iter().map(|read| judged(read, &report.notes.print_readings)).collect::<Result<_>>()?;
    let mut words = format!("Print of '{}':\n", text::display(&report.name));
    for row in &rows {
        let _ = writeln!(words, "  {}", text::display(&row.says));
    }
    let unsound: Vec<&Judged> = rows.iter().filter(|row| row.verdict != Verdict::Use).collect();
    let unread: Vec<String> = report
        .notes
        .print_readings
        .iter()
        .filter(|band| !rows.iter().any(|row| row.band.key == band.key))
        .map(Band::name)
        .collect();
    if !unread.is_empty() {
        let _ = writeln!(words, "  Not read yet: {}.", text::display(&unread.join("; ")));
    }
    let error = (!unsound.is_empty()).then(|| {
        let names: Vec<String> = unsound.iter().map(|row| row.band.name()).collect();
        Error::new(
            Kind::Stopped,
            format!("The print of '{}' is not good as it is: {}.", report.name, names.join("; ")),
            "Give --correct first, while it is as it was printed, if the preset is to learn from it; then work it over as said and measure again, or print it anew.",
        )
    });
    let mut json = serde_json::json!({ "part": report.name, "readings": rows, "unread": unread });
    if let (Some(error), Some(root)) = (&error, json.as_object_mut()) {
        root.insert("error".into(), serde_json::json!(error));
    }
    if let Some(path) = &question.correct {
        let list = correct(path, &report, &rows)?;
        words.push_str(&corrected(path, &list));
        if let Some(root) = json.as_object_mut() {
            root.insert("corrections".into(), serde_json::json!(list));
        }
    }
    Ok(Answer { words, json, error })
}

/// Corrects the preset of that file by what was read, and writes it.
fn correct(path: &Path, report: &Report, rows: &[Judged]) -> Result<Vec<Correction>> {
    const LONGEST: u64 = 64 << 10;
    let name = path.to_string_lossy();
    if workshop::PRINTERS.iter().any(|(known, _)| *known == name) {
        return Err(Error::request(
            format!("Printer {name} comes with the program and is not written over."),
            format!(
                "Take a copy and correct that: fixwright presets {name} > mine.toml, then --correct mine.toml and --printer mine.toml."
            ),
        ));
    }
    let step = "Give the path of a printer preset of your own ending in .toml.";
    let text = text::read(path, "The printer preset", LONGEST, step)?;
    let file = path.file_name().map_or(name.clone(), |file| file.to_string_lossy());
    let printer = Printer::read(&file, &text)?;
    if printer.scale != report.printer.scale {
        return Err(Error::request(
            format!(
                "'{}' was drawn for printer {}, whose scales are not those of {file}.",
                text::display(&report.name),
                text::display(&report.printer.name)
            ),
            "Correct the preset that the part was printed with.",
        ));
    }
    let material = &report.notes.print.material;
    if !printer.material.is_empty() && printer.material != *material {
        return Err(Error::request(
            format!(
                "Printer {file} was fitted to {}, and this print is of {}.",
                text::display(&printer.material),
                text::display(material)
            ),
            "Keep a preset for each material: correct the one of this.",
        ));
    }
    let list = correct::corrections(&printer, &places(rows))?;
    let text = correct::rewritten((&file, &text), &list, (&text::display(&report.name), material))?;
    write::replace(path, text.as_bytes()).map_err(|e| {
        Error::new(
            Kind::File,
            format!("'{}' cannot be written: {e}.", text::path(path)),
            "See that it may be written to.",
        )
    })?;
    Ok(list)
}

/// Readings of one place together.
fn places(rows: &[Judged]) -> Vec<Place> {
    let mut list: Vec<Place> = vec![];
    for row in rows {
        let name = row.band.name();
        match list.iter_mut().find(|place| place.name == name) {
            Some(place) => place.values.push(row.read),
            None => list.push(Place {
                name,
                feature: row.band.feature,
                drawn: row.band.nominal,
                values: vec![row.read],
            }),
        }
    }
    list
}

fn corrected(path: &Path, list: &[Correction]) -> String {
    let mut words = format!("Printer {} corrected:\n", text::path(path));
    for one in list {
        let was = match one.old.uncertainty {
            0.0 => format!("{:+.3} mm, never fitted", one.old.value),
            off => format!("{:+.3} ± {off:.3} mm", one.old.value),
        };
        let _ = writeln!(
            words,
            "  {} was {was}, is {:+.3} ± {:.3} mm, from {} of these readings",
            one.key, one.new.value, one.new.uncertainty, one.readings
        );
    }
    words.push_str(
        "  Parts made with it from now on are drawn so; make this one anew before it is printed again.\n",
    );
    words
}

/// The one row whose words begin so, or hold that word: `nose`, `bore`; none where several do.
fn by_words<'a>(of: &str, bands: &'a [Band]) -> Option<&'a Band> {
    let words = |band: &Band| band.what.to_lowercase().replace([' ', '-'], "_");
    let only = |fits: &dyn Fn(&Band) -> bool| {
        let mut found = bands.iter().filter(|band| fits(band));
        found.next().filter(|_| found.next().is_none())
    };
    let begins = |band: &Band| {
        words(band).strip_prefix(of).is_some_and(|rest| rest.is_empty() || rest.starts_with('_'))
    };
    only(&begins)
        .or_else(|| only(&|band| words(band).split('_').chain(band.key.split('_')).any(|word| word == of)))
}

/// The one row of that letter or key, or of those words.
fn judged(read: &Read, bands: &[Band]) -> Result<Judged> {
    let named = |band: &&Band| band.letter.to_lowercase() == read.of || band.key.to_lowercase() == read.of;
    let Some(band) = bands.iter().find(named).or_else(|| by_words(&read.of, bands)) else {
        let all: Vec<String> =
            bands.iter().map(|band| format!("{} = {} ({})", band.letter, band.key, band.what)).collect();
        return Err(Error::unknown(
            format!("--read {}: no reading of this part has that letter or key.", read.of),
            format!("Its readings are {}.", all.join(", ")),
        ));
    };
    // A size a quarter off is no print's error.
    if (read.mm - band.wanted).abs() > 1.0 + 0.25 * band.wanted {
        return Err(Error::request(
            format!(
                "{} reads {} mm and should measure {} mm.",
                band.name(),
                number(read.mm),
                hundredth(band.wanted)
            ),
            "See that the caliper shows millimetres and that it is the place the drawing shows.",
        ));
    }
    Ok(verdict(read.mm, band))
}

fn verdict(mm: f64, band: &Band) -> Judged {
    // A caliper shows hundredths, and so does the table.
    let verdict = match mm {
        mm if mm < band.least - 0.005 => Verdict::TooSmall,
        mm if mm > band.most + 0.005 => Verdict::TooLarge,
        _ => Verdict::Use,
    };
    let correction = band.wanted - mm;
    let to_do = match verdict {
        Verdict::Use => format!("good from {} to {}: use it", hundredth(band.least), hundredth(band.most)),
        Verdict::TooSmall => {
            format!("under {}: {}", hundredth(band.least), over_again(band, verdict, correction))
        }
        Verdict::TooLarge => {
            format!("over {}: {}", hundredth(band.most), over_again(band, verdict, correction))
        }
    };
    let says = format!("{}: read {} mm, {to_do}.", band.name(), number(mm));
    Judged {
        band: band.clone(),
        read: mm,
        verdict,
        correction: crate::error::to_thousandth(correction),
        says,
    }
}

/// How a print out of its band is put right: plastic comes off where there is too much, and goes on nowhere.
fn over_again(band: &Band, verdict: Verdict, correction: f64) -> String {
    let how = if correction > 0.0 { "larger" } else { "smaller" };
    let anew = format!("print it anew, drawn {} mm {how}", hundredth(correction.abs()));
    if band.as_printed {
        let allowance = if band.feature == Feature::Hole { "hole-allowance" } else { "outside-allowance" };
        return format!(
            "no file or paper puts it right without spoiling its form; {anew}: {:+.2} mm on {allowance} of the printer's preset, which --correct writes",
            correction
        );
    }
    match (band.feature, verdict) {
        (Feature::Hole, Verdict::TooSmall) => {
            format!("drill or ream it until it reads that, and no further; or {anew}")
        }
        (Feature::Hole, _) => format!("nothing makes it smaller; {anew}"),
        (Feature::Outside | Feature::FirstLayer | Feature::Wall, Verdict::TooLarge) => {
            format!("sand it until it reads that, and no further; or {anew}")
        }
        (Feature::Height, Verdict::TooLarge) => {
            format!("rub it flat on abrasive paper until it reads that, and no further; or {anew}")
        }
        (Feature::Outside | Feature::FirstLayer, _) => format!("nothing makes it larger; {anew}"),
        _ => anew,
    }
}
