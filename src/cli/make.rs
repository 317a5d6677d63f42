//! `fixwright make`: every part of a job file.

use super::Answer;
use super::part::{Files, answer};
use crate::design::{Kind, companion};
use crate::error::{Error, Result};
use crate::job::{Job, Order};
use crate::output::write::{self, Batch, Ready};
use crate::output::{self, Format, Made, report};
use crate::units::Units;
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
    /// Make this part of the job alone, by its name; the job's own sheet and report stay as they are
    #[arg(long, value_name = "NAME")]
    only: Option<String>,
    /// Tell every size of every part in inches too: inch; or metric alone [default: as the job file says]
    #[arg(long, value_name = "UNITS")]
    units: Option<Units>,
    #[command(flatten)]
    files: Files,
}

pub(super) fn command() -> Command {
    Make::augment_args(Command::new("make"))
        .about("Make every part of a job file")
        .after_help(super::examples(&["presets coil-winder > my-job.toml", "make my-job.toml --out parts"]))
}

pub(super) fn run(matches: &clap::ArgMatches, kinds: &[Kind]) -> Result<Answer> {
    let make: Make = super::options(matches)?;
    make.files.tables.of_job(&make.job)?;
    let mut job = only(Job::open(&make.job, kinds)?, make.only.as_deref())?;
    job.orders.iter_mut().for_each(|order| order.shared.units = make.units.or(order.shared.units));
    self::make(&job, &make.files)
}

/// The job with the part of that name alone; whole where none is named. Fails for a name it has not.
fn only(mut job: Job, name: Option<&str>) -> Result<Job> {
    let Some(name) = name else { return Ok(job) };
    let there: Vec<String> = job.orders.iter().map(Order::name).collect();
    if !there.iter().any(|other| other == name) {
        return Err(Error::unknown(
            format!("--only {name}: the job has no part of that name."),
            format!("Its parts are {}.", there.join(", ")),
        ));
    }
    job.orders.retain(|order| order.name() == name);
    job.whole = false;
    Ok(job)
}

/// Makes every part of a job and writes the files.
pub(super) fn make(job: &Job, files: &Files) -> Result<Answer> {
    let formats = files.formats(&DEFAULT);
    files.repair()?;
    let bar = progress(job.orders.len() as u64);
    let make_one = |order| output::make(order, &formats).map_err(|error| of_part(order, error));
    // Collecting keeps the order of the file whatever order the parts are finished in.
    let done: Vec<Result<Made>> = job.orders.par_iter().map(make_one).inspect(|_| bar.inc(1)).collect();
    bar.finish_and_clear();
    let (mut made, mut errors) = (Vec::new(), Vec::new());
    for part in done {
        match part {
            Ok(part) => made.push(part),
            Err(error) => errors.push(error),
        }
    }
    if let Some(error) = Error::all(errors) {
        return Err(error);
    }
    let cautions = companion::cautions(&made.iter().map(|made| &made.design).collect::<Vec<_>>());
    for (made, caution) in made.iter_mut().zip(cautions) {
        if let Some(caution) = caution {
            made.design.findings.push(caution);
            made.report_all_files()?;
        }
    }
    // A part by itself is written as it would be by its own command.
    let stem = match (job.whole, made.first()) {
        (false, Some(part)) => part.design.name.clone(),
        _ => output::file_stem(&job.title, &made),
    };
    let stop = Error::all(made.iter().filter_map(|made| output::stop_error(&made.design)));
    let said = Error::all(made.iter().filter_map(|made| output::stop_error(&made.design.as_shown())));
    // A job is written whole or not at all: a stopped part holds back its fellows too, since a
    // folder with one part missing looks like a finished job.
    let mut of_all: Vec<Ready> = Vec::new();
    match &stop {
        Some(_) => made.iter_mut().for_each(|made| made.files.clear()),
        None if !job.whole => {}
        None => of_all = output::job_files((&job.title, &stem), &made, &formats, files.one_bed)?,
    }
    let report =
        (job.whole && stop.is_none() && formats.contains(&Format::Json)).then(|| format!("{stem}.json"));
    // A job's parts are a line each unless all is asked for.
    let length = match files.length() {
        report::Length::Full => report::Length::Full,
        _ => report::Length::Line,
    };
    let answers: Vec<Answer> = made.iter().map(|made| answer(made, length)).collect();
    let mut words = format!("Job '{}': {} parts.\n", job.title, made.len());
    for answer in &answers {
        words.push_str(&answer.words);
    }
    let names = made.iter().flat_map(|made| &made.files).chain(&of_all).map(|file| file.name.clone());
    let names: Vec<String> = names.chain(report.clone()).collect();
    let reports = answers.into_iter().map(|answer| answer.json).collect();
    let mut json = report::job_json(&job.title, reports, &names);
    if let Some(name) = report {
        of_all.push(Ready { name, bytes: report::json_bytes(&json)? });
    }
    if let (Some(error), Some(root)) = (&stop, json.as_object_mut()) {
        root.insert("error".into(), serde_json::json!(error));
    }
    if !of_all.is_empty() {
        // The parts' own stand under each; these tell of them all.
        words.push_str("\nOf the whole job:\n");
        of_all.iter().for_each(|file| words.push_str(&format!("  {}\n", file.name)));
    }
    let requests: Vec<String> = made.iter().map(Made::request).collect();
    let parts = made.iter().zip(&requests).map(|(made, request)| Batch {
        part: &made.design.name,
        request: request.clone(),
        files: &made.files,
    });
    let whole = Batch { part: &stem, request: requests.join("; "), files: &of_all };
    let batches: Vec<Batch> = parts.chain([whole]).collect();
    let written = write::write_all(&files.out, &stem, &batches, files.replace)?;
    let parts: Vec<&str> = batches.iter().map(|batch| batch.part).collect();
    Ok(Answer { words, json, error: said }.with(&written).beside(&files.out, &parts))
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
