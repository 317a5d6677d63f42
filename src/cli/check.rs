//! `fixwright check`: what was read on a print against the bands of its report.

use super::Answer;
use crate::error::{Error, Kind, Result, hundredth, number};
use crate::text;
use crate::units::Length;
use clap::{Args, Command};
use serde::{Deserialize, Serialize};
use std::fmt::Write;
use std::path::PathBuf;
use std::str::FromStr;

#[derive(Args)]
struct Question {
    /// The part's JSON report (`--format json`)
    #[arg(value_name = "PART.json")]
    part: PathBuf,
    /// What was read: words of the caliper table and the reading, such as "nose outside=25.72" (repeatable)
    #[arg(long, value_name = "WORDS=MM", required = true)]
    read: Vec<Read>,
}

/// One reading as it was typed.
#[derive(Clone, Debug, PartialEq)]
struct Read {
    words: String,
    mm: f64,
}

impl FromStr for Read {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let parts = text.rsplit_once('=').filter(|(words, _)| !words.trim().is_empty());
        let (words, mm) = parts.ok_or_else(|| {
            Error::request(
                format!("--read '{text}' is not words and a reading."),
                "Write words of the caliper table, then the reading: --read \"nose outside=25.72\".",
            )
        })?;
        let mm = crate::error::within("--read", mm.parse::<Length>()?.mm(), 0.01, 5000.0, "mm")?;
        Ok(Self { words: words.trim().to_lowercase(), mm })
    }
}

/// A report's part that is of use here.
#[derive(Deserialize)]
struct Report {
    name: String,
    notes: Bands,
}

#[derive(Deserialize)]
struct Bands {
    print_readings: Vec<Band>,
}

/// A row of the caliper table.
#[derive(Clone, Debug, Deserialize, Serialize)]
struct Band {
    what: String,
    nominal: f64,
    least: f64,
    most: f64,
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
    /// What to add to the size drawn where it is printed anew, mm.
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
    let unread: Vec<&str> = report
        .notes
        .print_readings
        .iter()
        .map(|band| band.what.as_str())
        .filter(|what| !rows.iter().any(|row| row.band.what == *what))
        .collect();
    if !unread.is_empty() {
        let _ = writeln!(words, "  Not read yet: {}.", text::display(&unread.join("; ")));
    }
    let error = (!unsound.is_empty()).then(|| {
        let names: Vec<&str> = unsound.iter().map(|row| row.band.what.as_str()).collect();
        Error::new(
            Kind::Stopped,
            format!("The print of '{}' is not good as it is: {}.", report.name, names.join("; ")),
            "Work it over as said and measure again, or print it anew.",
        )
    });
    let mut json = serde_json::json!({ "part": report.name, "readings": rows, "unread": unread });
    if let (Some(error), Some(root)) = (&error, json.as_object_mut()) {
        root.insert("error".into(), serde_json::json!(error));
    }
    Ok(Answer { words, json, error })
}

/// The one row that has all the words; its name in full is always enough.
fn judged(read: &Read, bands: &[Band]) -> Result<Judged> {
    let names = |found: &[&Band]| {
        let names: Vec<String> = found.iter().map(|band| format!("'{}'", band.what)).collect();
        names.join(", ")
    };
    let all: Vec<&Band> = bands.iter().collect();
    let has =
        |band: &&Band| read.words.split_whitespace().all(|word| band.what.to_lowercase().contains(word));
    let found: Vec<&Band> = all.iter().copied().filter(has).collect();
    // Of rows of one name, as of openings, the one whose size is nearest.
    let off = |band: &&Band| (band.nominal - read.mm).abs();
    let named = found.iter().copied().filter(|band| band.what.to_lowercase() == read.words);
    let exact = named.min_by(|a, b| off(a).total_cmp(&off(b)));
    let band = match (exact, found.as_slice()) {
        (Some(band), _) => band,
        (None, [band]) => band,
        (None, []) => {
            return Err(Error::unknown(
                format!("--read {}: no reading of this part is called that.", read.words),
                format!("Its readings are {}.", names(&all)),
            ));
        }
        (None, several) => {
            return Err(Error::request(
                format!("--read {}: that may be {}.", read.words, names(several)),
                "Write more of its words.",
            ));
        }
    };
    // A size a quarter off is no print's error.
    if (read.mm - band.nominal).abs() > 1.0 + 0.25 * band.nominal {
        return Err(Error::request(
            format!(
                "{} reads {} mm and is drawn {} mm.",
                band.what,
                number(read.mm),
                hundredth(band.nominal)
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
    let correction = band.nominal - mm;
    let anew = |how: &str| format!("print it anew with {} mm {how}", hundredth(correction.abs()));
    let to_do = match verdict {
        Verdict::Use => format!("good from {} to {}: use it", hundredth(band.least), hundredth(band.most)),
        Verdict::TooSmall => format!(
            "under {}: if it is a hole, drill or ream it until it reads that, and no further; if not, {}",
            hundredth(band.least),
            anew("added")
        ),
        Verdict::TooLarge => format!(
            "over {}: if it is an outside, sand it until it reads that, and no further; if not, {}",
            hundredth(band.most),
            anew("taken off")
        ),
    };
    let says = format!("{}: read {} mm, {to_do}.", band.what, number(mm));
    Judged {
        band: band.clone(),
        read: mm,
        verdict,
        correction: crate::error::to_thousandth(correction),
        says,
    }
}
