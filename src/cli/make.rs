//! `fixwright make`: every part of a job file.

use super::Answer;
use super::part::{Files, answer, file_names};
use crate::error::Result;
use crate::job::Job;
use crate::output::{self, Format, Made, write};
use clap::{Args, Command};
use rayon::prelude::*;
use std::path::PathBuf;

#[derive(Args)]
struct Make {
    /// The job file
    #[arg(value_name = "JOB.toml")]
    job: PathBuf,
    #[command(flatten)]
    files: Files,
}

pub(super) fn command() -> Command {
    Make::augment_args(Command::new("make").about("Make every part of a job file"))
}

pub(super) fn run(matches: &clap::ArgMatches) -> Result<Answer> {
    let make: Make = super::options(matches)?;
    let job = Job::open(&make.job)?;
    let formats = make.files.formats(&[Format::Stl, Format::Json]);
    // Collecting keeps the order of the file whatever order the parts are finished in.
    let made: Vec<Made> = job
        .orders
        .par_iter()
        .map(|order| output::make(order, &formats))
        .collect::<Result<_>>()?;
    let stop = made
        .iter()
        .find_map(|made| output::stop_error(&made.design));
    // A job is written whole or not at all: a stopped part holds back its fellows too, since a
    // folder with one part missing looks like a finished job.
    let files: Vec<_> = if stop.is_some() {
        Vec::new()
    } else {
        made.iter().flat_map(|made| made.files.clone()).collect()
    };
    write::write_all(&make.files.out, &files, make.files.replace)?;
    let answers: Vec<Answer> = made.iter().map(answer).collect();
    let mut words = format!("Job '{}': {} parts.\n", job.title, made.len());
    for answer in &answers {
        words.push('\n');
        words.push_str(&answer.words);
    }
    let names: Vec<String> = made.iter().flat_map(file_names).collect();
    Ok(Answer {
        words,
        json: serde_json::json!({
            "job": job.title,
            "parts": answers.into_iter().map(|answer| answer.json).collect::<Vec<_>>(),
            "files": if stop.is_some() { Vec::new() } else { names },
        }),
        error: stop,
    })
}
