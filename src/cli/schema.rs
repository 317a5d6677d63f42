//! `fixwright schema`: the JSON Schema of job files, and of reports.

use super::Answer;
use crate::design::Kind;
use crate::error::Result;
use crate::job::schema;
use crate::output::report;
use clap::{Arg, Command};

pub(super) fn command() -> Command {
    Command::new("schema")
        .about("Print the JSON Schema of job files, for editors that complete and check them, or of reports")
        .arg(
            Arg::new("of")
                .value_name("OF")
                .required(true)
                .value_parser(["job", "report"])
                .help("What to print the schema of"),
        )
        .after_help(
            "Save a job's beside your job file and begin the file with its name:\n\n  \
             fixwright schema job > job.schema.json\n\n  \
             #:schema job.schema.json\n  title = \"My job\"\n\n\
             A report's tells programs what --json prints and a .json file holds.",
        )
}

pub(super) fn run(matches: &clap::ArgMatches, kinds: &[Kind]) -> Result<Answer> {
    let schema = match matches.get_one::<String>("of").map(String::as_str) {
        Some("report") => report::schema(),
        _ => schema::job(kinds)?,
    };
    Ok(Answer { words: format!("{schema:#}\n"), json: schema, error: None })
}
