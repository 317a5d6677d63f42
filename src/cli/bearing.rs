//! `fixwright bearing`: what is known of a bearing, and which bearings share an envelope.

use super::tables::OwnTables;
use super::{Answer, InUnits};
use crate::catalog::bearings;
use crate::error::{Error, Result};
use crate::units::Length;
use clap::{Args, Command};

#[derive(Args)]
struct Question {
    /// The bearing as stamped (6204-2Z), or measured (20x47x14)
    #[arg(value_name = "BEARING", num_args = 0..)]
    designation: Vec<String>,
    /// Bore of the seat, to list every bearing of that envelope
    #[arg(long, value_name = "MM", conflicts_with = "designation")]
    bore: Option<Length>,
    /// Outside diameter
    #[arg(long, value_name = "MM", conflicts_with = "designation")]
    outside: Option<Length>,
    /// Width; any when left out
    #[arg(long, value_name = "MM", conflicts_with = "designation")]
    width: Option<Length>,
}

pub(super) fn command() -> Command {
    Question::augment_args(
        InUnits::augment_args(OwnTables::augment_args(Command::new("bearing")))
            .about("Tell what is known of a bearing, or which bearings fit an envelope (--bore, --outside)"),
    )
    .after_help(super::examples(&["bearing 6204-2Z", "bearing --bore 30 --outside 55"]))
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    let question: Question = super::options(matches)?;
    let answer = match (question.bore, question.outside) {
        (None, None) if !question.designation.is_empty() => {
            let bearing = bearings::read(&question.designation.join(" "))?;
            Ok(Answer {
                words: bearings::note(&bearing),
                json: super::to_json(&bearing.report())?,
                error: None,
            })
        }
        (Some(bore), Some(outside)) => {
            let found = bearings::by_envelope(bore.mm(), outside.mm(), question.width.map(Length::mm))?;
            Ok(Answer { words: found.note(), json: super::to_json(&found)?, error: None })
        }
        _ => Err(Error::request(
            "No bearing was named, and no full envelope given.",
            "Give what is stamped on it (fixwright bearing 6204-2Z), or --bore and --outside together.",
        )),
    };
    Ok(answer?.in_units(matches))
}
