//! The command of one kind of part.

use super::Answer;
use super::tables::OwnTables;
use crate::design::Kind;
use crate::error::{Error, Result};
use crate::job::{Order, Shared};
use crate::output::write::{self, Batch};
use crate::output::{self, Format, Made, report};
use crate::text;
use clap::{Args, Command};
use std::io::Write;
use std::path::PathBuf;

/// Where and as what the files are written.
#[derive(Clone, Debug, Args)]
pub struct Files {
    /// Folder to write into; made when missing
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub out: PathBuf,
    /// Kinds of file, separated by commas [default: stl for a part, all but stl-ascii for a job]
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_enum)]
    pub format: Vec<Format>,
    /// Lay every piece out on one bed, or on as few as they need, as 3MF
    #[arg(long)]
    pub one_bed: bool,
    /// Say everything: every check with its basis, every size with its origin, every step
    #[arg(long, conflicts_with = "quiet")]
    pub full: bool,
    /// Say one line a part
    #[arg(long)]
    pub quiet: bool,
    /// Overwrite a file of that name even if fixwright did not write it
    #[arg(long)]
    pub replace: bool,
    /// The user's own tables.
    #[command(flatten)]
    pub tables: OwnTables,
}

impl Files {
    /// Puts right what an earlier run left in the folder when it was cut off, and says so.
    pub fn repair(&self) -> Result<()> {
        if write::repair(&self.out)? {
            let _ = writeln!(
                anstream::stderr(),
                "An earlier run was cut off while it wrote into {}; its files there were put back as they had been.",
                text::path(&self.out)
            );
        }
        Ok(())
    }

    /// How much is to be said.
    pub fn length(&self) -> report::Length {
        match (self.quiet, self.full) {
            (true, _) => report::Length::Line,
            (_, true) => report::Length::Full,
            _ => report::Length::Screen,
        }
    }

    /// Each format asked for, once, in the order asked; `otherwise` when none was named.
    pub fn formats(&self, otherwise: &[Format]) -> Vec<Format> {
        let asked = if self.format.is_empty() { otherwise } else { &self.format };
        let mut formats = Vec::new();
        for &format in asked {
            if !formats.contains(&format) {
                formats.push(format);
            }
        }
        formats
    }
}

pub(super) fn command(kind: &Kind) -> Command {
    let command = (kind.with_options)(Command::new(kind.name));
    let command = Shared::augment_args(command.next_help_heading("Shared by every part"));
    // Last, since each set of options brings its own line of help along.
    // A negative length is a wrong value, to be answered as one, and not an unknown option.
    Files::augment_args(command)
        .mut_args(|arg| {
            let takes_a_value = arg.get_action().takes_values();
            arg.allow_negative_numbers(takes_a_value)
        })
        .about(kind.about)
        .after_help(super::examples(kind.examples))
}

pub(super) fn run(kind: &Kind, matches: &clap::ArgMatches) -> Result<Answer> {
    let files: Files = super::options(matches)?;
    let order = Order {
        kind: kind.name,
        shared: super::options(matches)?,
        part: (kind.from_matches)(matches).map_err(|e| super::words_error(&e))?,
        asked: asked(kind, matches),
    };
    let formats = files.formats(&[Format::Stl]);
    files.repair()?;
    let mut made = output::make(&order, &formats)?;
    if formats.contains(&Format::Flat) && made.design.flat.is_none() {
        return Err(Error::request(
            match order.shared.slice {
                Some(_) => "--format flat: a test slice has no flat pattern.".to_string(),
                None => format!("--format flat: a {} has no flat pattern.", kind.name),
            },
            "Leave flat out of --format.",
        ));
    }
    if !made.stopped() {
        let name = made.design.name.clone();
        let one = std::slice::from_ref(&made);
        let more = output::job_files((&name, &name), one, &formats, files.one_bed)?;
        if !more.is_empty() {
            made.files.extend(more);
            made.report_all_files()?;
        }
    }
    let batch = Batch { part: &made.design.name, request: made.request(), files: &made.files };
    let written = write::write_all(&files.out, &made.design.name, &[batch], files.replace)?;
    Ok(answer(&made, files.length()).with(&written).beside(&files.out, &[&made.design.name]))
}

/// What was typed of the part itself, option by option.
fn asked(kind: &Kind, matches: &clap::ArgMatches) -> Vec<(String, String)> {
    let command = Shared::augment_args((kind.with_options)(Command::new(kind.name)));
    let typed = |arg: &clap::Arg| {
        let id = arg.get_id().as_str();
        let given = matches.value_source(id) == Some(clap::parser::ValueSource::CommandLine);
        let raw = matches.get_raw(id).filter(|_| given)?;
        let values: Vec<_> = raw.map(|value| value.to_string_lossy()).collect();
        let name = arg.get_long().unwrap_or(id).to_string();
        Some((name, values.join(", ")))
    };
    command.get_arguments().filter_map(typed).collect()
}

/// The names of a part's files.
pub(super) fn file_names(made: &Made) -> Vec<String> {
    made.files.iter().map(|file| file.name.clone()).collect()
}

/// What is said of one part.
pub(super) fn answer(made: &Made, length: report::Length) -> Answer {
    let files = file_names(made);
    let error: Option<Error> = output::stop_error(&made.design);
    let said = output::stop_error(&made.design.as_shown());
    let mut json = report::json(&made.design, &files);
    if let (Some(error), Some(root)) = (&error, json.as_object_mut()) {
        root.insert("error".into(), serde_json::json!(error));
    }
    Answer { words: report::words(made, &files, length), json, error: said }
}
