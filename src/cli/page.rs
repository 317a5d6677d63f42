//! `fixwright page`: the bench sheet alive in the browser.

use super::part::Files;
use super::tables::OwnTables;
use super::{Answer, make, signals};
use crate::design::Kind;
use crate::error::{Error, Result};
use crate::job::Job;
use crate::page::{Desk, Server};
use clap::{Args, Command};
use serde_json::Value;
use std::io::Write;
use std::path::{Path, PathBuf};

#[derive(Args)]
struct Page {
    /// The job file; one that is not there yet is begun, and written when it is saved
    #[arg(value_name = "JOB.toml", default_value = "my-job.toml")]
    job: PathBuf,
    /// Port on this machine [default: a free one]
    #[arg(long, value_name = "PORT")]
    port: Option<u16>,
    /// Only print the address; open no browser
    #[arg(long)]
    no_open: bool,
    /// Folder that "Write files" writes into; made when missing
    #[arg(long, value_name = "DIR", default_value = ".")]
    out: PathBuf,
    #[command(flatten)]
    tables: OwnTables,
}

pub(super) fn command() -> Command {
    Page::augment_args(Command::new("page")).about("Open a job as a live sheet in the browser").after_help(
        "The page is served on this machine alone, to the browser that opens the printed address; nothing is\n\
         fetched from elsewhere. Ctrl-C ends it.",
    )
}

pub(super) fn run(matches: &clap::ArgMatches, kinds: &[Kind]) -> Result<Answer> {
    let page: Page = super::options(matches)?;
    page.tables.of_job(&page.job)?;
    let desk = Desk::open(&page.job, kinds)?;
    let server = Server::bind(page.port, desk, kinds, &page.out, made)?;
    let address = server.address();
    super::say(&format!("The sheet is at {address}\nCtrl-C ends it.\n"))?;
    signals::end_is_usual();
    if !page.no_open && open::that_detached(&address).is_err() {
        let _ = writeln!(anstream::stderr(), "No browser could be opened: open the address yourself.");
    }
    server.run();
    Err(Error::internal("The page's server ended by itself."))
}

/// What `fixwright make` does with the job, and what it says of it.
fn made(job: &Job, out: &Path) -> Result<Value> {
    let files = Files {
        out: out.to_path_buf(),
        format: vec![],
        one_bed: false,
        full: false,
        quiet: false,
        replace: false,
        // Read as the page was opened.
        tables: OwnTables::default(),
    };
    let answer = make::make(job, &files)?;
    match answer.error {
        Some(error) => Err(error),
        None => Ok(answer.json),
    }
}
