//! The user's own tables: a folder of CSV files with the headings of ours, whose rows stand beside ours.
//!
//! The folder is read once, by the program as it starts and before anything is looked up
//! ([`install_tables`](super::install_tables)); a library that never installs one has our rows alone. A row is told by the file and line it stands on. It
//! may not bear a name that our tables have for something else: the same job would then make two parts.

use crate::error::{Error, Result};
use crate::text;
use csv::StringRecord;
use serde::de::DeserializeOwned;
use std::path::Path;
use std::sync::OnceLock;

/// The folder that is looked for beside a job, or in the current folder.
pub const FOLDER: &str = "tables";

/// The files that are read, and what each holds.
pub const FILES: [(&str, &str); 5] = [
    ("encoders.csv", "encoder flanges"),
    ("pulleys.csv", "pulleys in stock"),
    ("belt_lengths.csv", "belts in stock"),
    ("plugs.csv", "plugs"),
    ("bearings.csv", "bearings"),
];

/// What a user begins a file with: the headings of ours, and a few rows of ours as remarks for the form.
pub(super) fn beginning(what: &str, text: &str) -> String {
    let (remarks, rest): (Vec<&str>, Vec<&str>) = text.lines().partition(|line| line.starts_with('#'));
    let headings = rest.first().copied().unwrap_or_default();
    let mut rows: Vec<&str> = rest.into_iter().skip(1).collect();
    // The fullest, so that every column is seen filled.
    rows.sort_by_key(|row| row.matches(",,").count());
    let shown: String = rows.into_iter().take(SHOWN).map(|row| format!("# {row}\n")).collect();
    let remarks: String = remarks.iter().map(|line| format!("{line}\n")).collect();
    format!(
        "# Your own {what}\n# A row each under the headings: lengths in mm, the source where you read or measured it.\n{remarks}# Rows of ours, for the form:\n{shown}{headings}\n"
    )
}

/// Rows of ours that are shown for the form.
const SHOWN: usize = 3;

/// Longest file, bytes, and longest text in a cell.
const LONGEST: (u64, usize) = (256 << 10, 300);
/// Most rows of a file.
const MOST_ROWS: usize = 5000;
/// Most faults told at once.
const MOST_FAULTS: usize = 20;

/// A file of the folder.
#[derive(Debug)]
struct OwnFile {
    name: &'static str,
    /// Folder and file as they are shown: where somebody keeps them is nobody else's business.
    shown: String,
    text: String,
}

/// What was installed; settled at the first look-up at the latest.
static INSTALLED: OnceLock<Vec<OwnFile>> = OnceLock::new();

/// What a row of ours does where the user's own bears its name.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ours {
    /// It refuses the user's: one name would mean two things.
    Refuses,
    /// It makes room, because the user's can only tell the same thing.
    MakesRoom,
    /// It stays behind the user's, and tells what that leaves out.
    Stays,
}

/// A row that a user may add.
pub(crate) trait Row: DeserializeOwned {
    /// The file it stands in.
    const FILE: &'static str;

    /// Checks every value, and puts names into our spelling. Fails with the column and its bound.
    fn settle(&mut self) -> Result<()>;

    /// What it is found by, folded; no two of a user's rows may share one.
    fn names(&self) -> Vec<String>;

    /// What becomes of a row of ours of its name.
    const OURS: Ours = Ours::Refuses;

    /// Takes note of where it stands.
    fn mark(&mut self, place: &str);
}

/// Takes a folder's files and names them; their rows are read with the tables they belong to.
///
/// Fails where it cannot be read or holds a table of no known name, and where anything was looked up before.
pub(super) fn install(folder: &Path) -> Result<Vec<String>> {
    let files = files(folder)?;
    if files.is_empty() {
        let known: Vec<&str> = FILES.iter().map(|(name, _)| *name).collect();
        return Err(Error::new(
            crate::error::Kind::File,
            format!("The folder '{}' holds none of {}.", text::path(folder), known.join(", ")),
            "Begin one with `fixwright presets encoders.csv`, or leave --tables out.",
        ));
    }
    let shown = files.iter().map(|file| file.shown.clone()).collect();
    let late = |_| Error::internal("Own tables were installed after something had been looked up.");
    INSTALLED.set(files).map_err(late)?;
    Ok(shown)
}

/// The files of the folder; a CSV file that we know no table for is refused, since its rows would not count.
fn files(folder: &Path) -> Result<Vec<OwnFile>> {
    let step = "Name the folder that holds your tables with --tables.";
    let fault = |says: String| Error::new(crate::error::Kind::File, says, step);
    let shown = |name: &str| {
        let folder = folder.file_name().map(|name| name.to_string_lossy().into_owned());
        text::display(&format!("{}/{name}", folder.unwrap_or_else(|| FOLDER.into()))).into_owned()
    };
    let entries = std::fs::read_dir(folder)
        .map_err(|e| fault(format!("The folder '{}' cannot be read: {e}.", text::path(folder))))?;
    let (mut files, mut faults) = (Vec::new(), Vec::new());
    for entry in entries {
        let entry = entry.map_err(|e| fault(format!("'{}' cannot be read: {e}.", text::path(folder))))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if !name.to_ascii_lowercase().ends_with(".csv") || name.starts_with('.') {
            continue;
        }
        match FILES.iter().find(|(known, _)| *known == name) {
            Some(&(known, _)) => {
                let text = text::read(&entry.path(), "The table", LONGEST.0, "Save it as CSV in UTF-8.")?;
                files.push(OwnFile { name: known, shown: shown(known), text });
            }
            None => faults.push(unknown_file(&shown(&name))),
        }
    }
    files.sort_by_key(|file: &OwnFile| file.name);
    Error::all(faults).map_or(Ok(files), Err)
}

fn unknown_file(shown: &str) -> Error {
    let known: Vec<String> = FILES.iter().map(|(name, what)| format!("{name} ({what})")).collect();
    Error::unknown(
        format!("No table is called '{shown}', so its rows would not count."),
        format!("Call it one of {}, or move it out of the folder.", known.join(", ")),
    )
}

/// Our rows and the user's behind them. `headings` are those of our file.
pub(crate) fn added<T: Row>(headings: &StringRecord, ours: Vec<T>) -> Result<Vec<T>> {
    let files = INSTALLED.get_or_init(Vec::new);
    match files.iter().find(|file| file.name == T::FILE) {
        Some(file) => merged(headings, ours, &file.shown, &file.text),
        None => Ok(ours),
    }
}

fn merged<T: Row>(headings: &StringRecord, mut ours: Vec<T>, shown: &str, text: &str) -> Result<Vec<T>> {
    let own: Vec<(u64, T)> = read(headings, shown, text)?;
    let mut faults = Vec::new();
    let mut seen: Vec<(String, u64)> = Vec::new();
    for (line, row) in &own {
        for name in row.names() {
            let clash = match seen.iter().find(|(other, _)| *other == name) {
                Some((_, other)) => Some(format!("line {other} of the same file")),
                None => {
                    let taken =
                        T::OURS == Ours::Refuses && ours.iter().any(|our| our.names().contains(&name));
                    taken.then(|| "our table".to_string())
                }
            };
            if let Some(clash) = clash {
                faults.push(Error::request(
                    format!("{shown}, line {line}: '{name}' is in {clash} already."),
                    match T::OURS {
                        Ours::Refuses => {
                            "Give it a name that is not taken, so that a job means one thing wherever it is made."
                        }
                        _ => "Keep the one row of what this job is built with.",
                    },
                ));
            }
            seen.push((name, *line));
        }
    }
    faults.truncate(MOST_FAULTS);
    if let Some(error) = Error::all(faults) {
        return Err(error);
    }
    if T::OURS == Ours::MakesRoom {
        ours.retain(|our| !our.names().iter().any(|name| seen.iter().any(|(own, _)| own == name)));
    }
    ours.extend(own.into_iter().map(|(_, row)| row));
    Ok(ours)
}

/// The rows of a file with the line each stands on.
fn read<T: Row>(headings: &StringRecord, shown: &str, text: &str) -> Result<Vec<(u64, T)>> {
    // One ending for every line, whatever wrote it: lines are counted by it.
    let text = &text.strip_prefix('\u{feff}').unwrap_or(text).replace("\r\n", "\n").replace('\r', "\n");
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).from_reader(text.as_bytes());
    let header = reader.headers().map_err(|e| broken((shown, text), &e))?.clone();
    check_headings(headings, &header, (shown, text))?;
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    for record in reader.records() {
        let record = record.map_err(|e| broken((shown, text), &e));
        match record.and_then(|record| one(&header, (shown, text), &record)) {
            Ok(row) => rows.push(row),
            Err(error) => faults.push(error),
        }
        if rows.len() > MOST_ROWS || faults.len() >= MOST_FAULTS {
            break;
        }
    }
    if rows.len() > MOST_ROWS {
        return Err(Error::request(
            format!("{shown} has more than {MOST_ROWS} rows."),
            "Keep the rows that you have the parts of.",
        ));
    }
    Error::all(faults).map_or(Ok(rows), Err)
}

/// A file as it is shown, and its text.
type Shown<'a> = (&'a str, &'a str);

/// The line a record stands on, counted from one. Its position is where the reader began to look for it, before
/// the remarks and empty lines it passed over.
fn line_of(text: &str, position: Option<&csv::Position>) -> u64 {
    let begun = position.and_then(|at| usize::try_from(at.byte()).ok()).unwrap_or(0).min(text.len());
    let (before, behind) = text.split_at_checked(begun).unwrap_or((text, ""));
    let passed =
        behind.split('\n').take_while(|line| line.trim().is_empty() || line.starts_with('#')).count();
    (before.matches('\n').count() + passed + 1) as u64
}

/// Every heading of ours, each once and no other, in any order.
fn check_headings(ours: &StringRecord, header: &StringRecord, (shown, text): Shown<'_>) -> Result<()> {
    let all: Vec<&str> = ours.iter().collect();
    let remedy = format!("Its first line is: {}.", all.join(","));
    let line = line_of(text, header.position());
    let fault = |says: String| Err(Error::request(format!("{shown}, line {line}: {says}"), remedy.clone()));
    for (at, heading) in header.iter().enumerate() {
        if !all.contains(&heading) {
            let heading: String = heading.chars().take(60).collect();
            return fault(format!("column {} is headed '{heading}', which our table has not.", at + 1));
        }
        if header.iter().take(at).any(|other| other == heading) {
            return fault(format!("column {} is headed '{heading}' once more.", at + 1));
        }
    }
    match all.iter().find(|heading| !header.iter().any(|other| other == **heading)) {
        Some(missing) => fault(format!("the column '{missing}' is missing.")),
        None => Ok(()),
    }
}

fn one<T: Row>(header: &StringRecord, file: Shown<'_>, record: &StringRecord) -> Result<(u64, T)> {
    let (shown, line) = (file.0, line_of(file.1, record.position()));
    for (heading, cell) in header.iter().zip(record) {
        let place = format!("{shown}, line {line}, column '{heading}'");
        text::refuse_unfit(&place, cell)?;
        if cell.len() > LONGEST.1 {
            return Err(Error::request(
                format!("{place} is {} bytes long; a cell may have {}.", cell.len(), LONGEST.1),
                "Shorten it.",
            ));
        }
        if heading == "source" && cell.is_empty() {
            return Err(Error::request(
                format!("{place} is empty, so nobody could tell later what the row rests on."),
                "Say where you read or measured it; one word such as caliper will do.",
            ));
        }
    }
    let mut row: T =
        record.deserialize(Some(header)).map_err(|e| unreadable(header, file, (line, record), &e))?;
    row.settle().map_err(|e| Error { says: format!("{shown}, line {line}: {}", e.says), ..e })?;
    row.mark(&format!("{shown}, line {line}"));
    Ok((line, row))
}

/// A cell that does not read: its column, and what stands there.
fn unreadable(
    header: &StringRecord,
    file: Shown<'_>,
    (line, record): (u64, &StringRecord),
    error: &csv::Error,
) -> Error {
    let csv::ErrorKind::Deserialize { err, .. } = error.kind() else { return broken(file, error) };
    let shown = file.0;
    let why = err.kind().to_string();
    // A word of a list comes without its column: it is the cell that the complaint quotes.
    let quoted = || why.split('`').nth(1).and_then(|word| record.iter().position(|cell| cell == word));
    let at = err.field().and_then(|at| usize::try_from(at).ok()).or_else(quoted);
    let place = at.map_or(String::new(), |at| {
        let (heading, cell) = (header.get(at).unwrap_or_default(), record.get(at).unwrap_or_default());
        match cell.is_empty() {
            true => format!(", column '{heading}' is empty"),
            false => format!(", column '{heading}' is '{cell}'"),
        }
    });
    Error::request(
        format!("{shown}, line {line}{place}: {why}."),
        "Write lengths in millimetres with a decimal point and no unit; our rows show the form (`fixwright presets` prints them).",
    )
}

/// What is no CSV.
fn broken((shown, text): Shown<'_>, error: &csv::Error) -> Error {
    let line = error.position().map_or(String::new(), |at| format!(", line {}", line_of(text, Some(at))));
    let says = match error.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!("{shown}{line} has {len} cells; the headings are {expected_len}.")
        }
        _ => format!("{shown}{line} is no sound CSV."),
    };
    Error::request(says, "Part the cells by commas, and put a text with a comma in it in double quotes.")
}

/// How a source is told once its row stands in a user's file.
pub(crate) fn source(place: &str, source: &str) -> String {
    format!("your {place}: {}", source.trim())
}
