//! The folder of the user's own tables: which it is, and when it is read.
//!
//! Options are looked up in the tables while they are read, so for a single command the folder is taken
//! from the bare arguments before; a job's lies beside its file, and nothing is looked up until that is opened.

use crate::catalog::{OWN_FILES, OWN_FOLDER, install_tables};
use crate::error::Result;
use crate::text;
use clap::Args;
use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Where the user's own tables are.
#[derive(Clone, Debug, Default, Args)]
pub struct OwnTables {
    /// Folder of your own tables: encoders.csv, pulleys.csv, belt_lengths.csv, plugs.csv, bearings.csv (`fixwright presets encoders.csv` begins one) [default: the folder `tables` beside the job, or in the current folder]
    #[arg(long, value_name = "DIR")]
    pub tables: Option<PathBuf>,
}

impl OwnTables {
    /// Reads the tables of a job: those named, or those beside its file.
    pub fn of_job(&self, job: &Path) -> Result<()> {
        let beside = job.parent().unwrap_or(Path::new("")).join(OWN_FOLDER);
        install(self.tables.as_deref(), &beside)
    }
}

/// Reads the tables of a single command from its bare arguments, where that command looks anything up.
pub fn of_command(arguments: &[OsString], looks_up: impl Fn(&str) -> bool) -> Result<()> {
    let mut words = arguments.iter().skip(1).map(|word| word.to_string_lossy());
    if !words.clone().find(|word| !word.starts_with('-')).is_some_and(|command| looks_up(&command)) {
        return Ok(());
    }
    let mut named = None;
    while let Some(word) = words.next() {
        match word.strip_prefix("--tables") {
            Some("") => named = words.next().map(|folder| PathBuf::from(&*folder)),
            Some(rest) => named = rest.strip_prefix('=').map(PathBuf::from).or(named),
            None => {}
        }
    }
    install(named.as_deref(), Path::new(OWN_FOLDER))
}

/// A folder that is named must hold tables; one that only lies there may be somebody else's.
fn install(named: Option<&Path>, usual: &Path) -> Result<()> {
    let holds_tables = |folder: &Path| OWN_FILES.iter().any(|(name, _)| folder.join(name).is_file());
    let Some(folder) = named.or_else(|| holds_tables(usual).then_some(usual)) else { return Ok(()) };
    let read = install_tables(folder)?;
    let _ = writeln!(anstream::stderr(), "Your own tables are read: {}.", text::display(&read.join(", ")));
    Ok(())
}
