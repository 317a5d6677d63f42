//! `fixwright schema`: the JSON Schema of job files.

use super::Answer;
use crate::design::Kind;
use crate::error::Result;
use crate::job::schema;
use clap::{Arg, Command};

pub(super) fn command() -> Command {
    Command::new("schema")
        .about("Print the JSON Schema of job files, for editors that complete and check them")
        .arg(
            Arg::new("of")
                .value_name("OF")
                .required(true)
                .value_parser(["job"])
                .help("What to print the schema of"),
        )
        .after_help(
            "Save it beside your job file and begin the file with its name:\n\n  \
             fixwright schema job > job.schema.json\n\n  \
             #:schema job.schema.json\n  title = \"My job\"",
        )
}

pub(super) fn run(_: &clap::ArgMatches, kinds: &[Kind]) -> Result<Answer> {
    let schema = schema::job(kinds)?;
    Ok(Answer { words: format!("{schema:#}\n"), json: schema, error: None })
}
