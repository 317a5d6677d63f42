//! `fixwright make`: every part of a job file.

use super::Answer;
use super::part::{Files, answer};
use crate::error::{Error, Result};
use crate::job::{Job, Order};
use crate::output::{self, Format, Made, report, write, write::Ready};
use clap::{Args, Command};
use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;
use std::path::PathBuf;

/// What a job is written as unless told otherwise.
const DEFAULT: [Format; 8] = [
    Format::Stl,
    Format::ThreeMf,
    Format::Step,
    Format::Drawing,
    Format::Flat,
    Format::Picture,
    Format::Sheet,
    Format::Json,
];

#[derive(Args)]
struct Make {
    /// The job file
    #[arg(value_name = "JOB.toml")]
    job: PathBuf,
    #[command(flatten)]
    files: Files,
}

pub(super) fn command() -> Command {
    Make::augment_args(Command::new("make")).about("Make every part of a job file")
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    let make: Make = super::options(matches)?;
    let job = Job::open(&make.job)?;
    let formats = make.files.formats(&DEFAULT);
    let bar = progress(job.orders.len() as u64);
    // Collecting keeps the order of the file whatever order the parts are finished in.
    let made: Vec<Made> = job
        .orders
        .par_iter()
        .map(|order| {
            output::make(order, &formats).inspect(|_| bar.inc(1)).map_err(|error| of_part(order, error))
        })
        .collect::<Result<_>>()?;
    bar.finish_and_clear();
    let stem = output::file_stem(&job.title, &made);
    let stop = made.iter().find_map(|made| output::stop_error(&made.design));
    // A job is written whole or not at all: a stopped part holds back its fellows too, since a
    // folder with one part missing looks like a finished job.
    let mut files: Vec<Ready> = Vec::new();
    if stop.is_none() {
        files.extend(made.iter().flat_map(|made| made.files.clone()));
        files.extend(output::job_files((&job.title, &stem), &made, &formats, make.files.one_bed)?);
    }
    let report = (stop.is_none() && formats.contains(&Format::Json)).then(|| format!("{stem}.json"));
    let answers: Vec<Answer> = made.iter().map(answer).collect();
    let mut words = format!("Job '{}': {} parts.\n", job.title, made.len());
    for answer in &answers {
        words.push('\n');
        words.push_str(&answer.words);
    }
    let of_parts: usize = made.iter().map(|made| made.files.len()).sum();
    let names: Vec<String> = files.iter().map(|file| file.name.clone()).chain(report.clone()).collect();
    let json = serde_json::json!({
        "job": job.title,
        "parts": answers.into_iter().map(|answer| answer.json).collect::<Vec<_>>(),
        "files": &names,
        "written_by": format!("fixwright {}", env!("CARGO_PKG_VERSION")),
    });
    if let Some(name) = report {
        files.push(Ready { name, bytes: report::json_bytes(&json)? });
    }
    write::write_all(&make.files.out, &files, make.files.replace)?;
    if stop.is_none() {
        let folder = make.files.out.display();
        words.push_str(&format!("\nWritten to {folder}: {} files.\n", names.len()));
        // The parts' own stand under each; these tell of them all.
        for name in &names[of_parts..] {
            words.push_str(&format!("  {name}\n"));
        }
    }
    Ok(Answer { words, json, error: stop })
}

/// An error of one part, which says of which.
fn of_part(order: &Order, error: Error) -> Error {
    Error { says: format!("In {} '{}': {}", order.kind, order.name(), error.says), ..error }
}

/// Parts done of all, on a terminal; nothing where the errors go to a file or a pipe.
fn progress(parts: u64) -> ProgressBar {
    let bar = ProgressBar::new(parts);
    if let Ok(style) = ProgressStyle::with_template("  {bar:24} {pos} of {len} parts, {elapsed}") {
        bar.set_style(style);
    }
    bar.tick();
    bar
}
