//! The one place that writes files. A run's files come into a folder all together or not at all: see
//! `swap` for how, and `manifest` for how a later run knows its own files from a person's.

mod manifest;
mod swap;

use crate::error::{Error, Kind, Result};
use crate::text;
use manifest::{Entry, Manifest};
use schemars::JsonSchema;
use serde::Serialize;
use std::fs::{File, Metadata, TryLockError};
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard};
use std::time::{Duration, Instant};
use swap::Stage;
pub use swap::replace;

/// A file ready to be written: its name within the folder, and its bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// Plain file name, no folders.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// The files that one request asks for.
pub struct Batch<'a> {
    /// The part they belong to; the job's name for what tells of the whole job.
    pub part: &'a str,
    /// What was asked, in a line.
    pub request: String,
    /// The files.
    pub files: &'a [Ready],
}

/// What a run did to a folder. File names, each in one list only.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Written {
    /// The folder.
    pub folder: String,
    /// Files that were not there before.
    pub new: Vec<String>,
    /// Files that stand in the place of an earlier one.
    pub replaced: Vec<String>,
    /// Files that were there as they should be and were not touched.
    pub unchanged: Vec<String>,
    /// Files of earlier runs that no longer tell of what is asked.
    pub outdated: Vec<String>,
}

impl Written {
    /// The same in words for the terminal.
    pub fn words(&self) -> String {
        let counts = [(&self.new, "new"), (&self.replaced, "replaced"), (&self.unchanged, "unchanged")];
        let count: usize = counts.iter().map(|(names, _)| names.len()).sum();
        let each: Vec<String> = counts
            .iter()
            .filter(|(names, _)| !names.is_empty())
            .map(|(names, word)| format!("{} {word}", names.len()))
            .collect();
        let files = if count == 1 { "file" } else { "files" };
        let mut words = format!("Written to {}: {count} {files} ({}).\n", self.folder, each.join(", "));
        if !self.outdated.is_empty() {
            words.push_str(
                "Left there by earlier runs, and no longer true to what is asked; do not work from them:\n",
            );
            self.outdated.iter().for_each(|name| words.push_str(&format!("  {name}\n")));
        }
        words
    }
}

/// What an interrupt must clear away, and whether the run is being ended.
struct Underway {
    stages: Vec<Staging>,
    written: bool,
    ending: bool,
}

struct Staging {
    stage: PathBuf,
    /// Folders made for it, the innermost first.
    made: Vec<PathBuf>,
}

static UNDERWAY: Mutex<Underway> = Mutex::new(Underway { stages: Vec::new(), written: false, ending: false });

/// Whoever writes holds this, so that an interrupt falls before a file or behind it, and before a swap or
/// behind it, and never within.
fn underway() -> MutexGuard<'static, Underway> {
    // A poisoned list is still the list: its paths are what must be removed.
    let underway = UNDERWAY.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
    if underway.ending {
        drop(underway);
        loop {
            // Whoever is ending the run ends the process.
            std::thread::park();
        }
    }
    underway
}

/// Ends all writing for good, once what is being put in place is in place, and clears away what was only
/// begun. Says whether files had been written. The caller ends the process.
pub fn end() -> bool {
    let mut underway = underway();
    underway.ending = true;
    underway.stages.drain(..).for_each(|staging| staging.remove());
    underway.written
}

impl Staging {
    fn remove(&self) {
        // Nothing better can be done about what will not go; the next run clears it.
        let _ = std::fs::remove_dir_all(&self.stage);
        for folder in &self.made {
            let _ = std::fs::remove_dir(folder);
        }
    }
}

/// Puts a folder right that an earlier run was cut off in; says whether there was something to put right.
pub fn repair(folder: &Path) -> Result<bool> {
    let stage = Stage::of(folder);
    if !stage.is_there() {
        return Ok(false);
    }
    let _locked = lock(folder)?;
    let found = stage.is_there();
    put_back(&stage)?;
    Ok(found)
}

fn put_back(stage: &Stage) -> Result<()> {
    stage.put_back().map_err(|e| {
        Error::new(
            Kind::File,
            format!(
                "An earlier run was cut off in '{}' and its files cannot be put back: {e}.",
                text::path(&stage.path)
            ),
            "Make its folder one that can be written to and run fixwright again; the former files are in 'old' there.",
        )
    })
}

/// Writes every file into `folder` (made when missing), or none.
///
/// A file of that name is replaced when it is still as fixwright wrote it, or when `replace` is set; a file
/// that is already as it should be is left alone. Otherwise nothing is written and the error says what
/// stands in the way. `job` names what the batches belong to together. Fails too when two files share a name.
pub fn write_all(folder: &Path, job: &str, batches: &[Batch], replace: bool) -> Result<Written> {
    let files: Vec<(&Batch, &Ready)> =
        batches.iter().flat_map(|batch| batch.files.iter().map(move |file| (batch, file))).collect();
    unlike_names(&files)?;
    if files.is_empty() {
        return Ok(Written { folder: text::path(folder), ..Written::default() });
    }
    let mut made = missing(folder);
    std::fs::create_dir_all(folder).map_err(|e| file_error(folder, "cannot be made a folder", &e))?;
    let _locked = lock(folder)?;
    let done = write_locked(folder, job, &files, replace, &made);
    if done.is_err() {
        made.drain(..).for_each(|folder| drop(std::fs::remove_dir(folder)));
    }
    done
}

/// The files of some parts that earlier runs wrote into a folder and that are still there.
pub fn left_of(folder: &Path, parts: &[&str]) -> Vec<String> {
    Manifest::read(&folder.join(manifest::FILE)).of_parts(folder, parts)
}

/// The folders on the way to `folder` that are not there, the innermost first.
fn missing(folder: &Path) -> Vec<PathBuf> {
    let absent = |path: &&Path| !path.as_os_str().is_empty() && path.symlink_metadata().is_err();
    folder.ancestors().take_while(absent).map(Path::to_path_buf).collect()
}

fn write_locked(
    folder: &Path,
    job: &str,
    files: &[(&Batch, &Ready)],
    replace: bool,
    made: &[PathBuf],
) -> Result<Written> {
    let stage = Stage::of(folder);
    put_back(&stage)?;
    let record = Manifest::read(&folder.join(manifest::FILE));
    let entries: Vec<(&str, Entry)> =
        files.iter().map(|(batch, file)| (file.name.as_str(), Entry::new(job, batch, &file.bytes))).collect();
    let found = found(folder, &record, files, replace)?;

    let mut written = Written { folder: text::path(folder), ..Written::default() };
    written.outdated = record.outdated(&entries);
    written.outdated.retain(|name| folder.join(name).symlink_metadata().is_ok());
    let mut placed = Vec::new();
    for ((_, file), found) in files.iter().zip(&found) {
        let list = match found {
            Found::Nothing => &mut written.new,
            Found::Former(_) => &mut written.replaced,
            Found::Same => &mut written.unchanged,
        };
        list.push(file.name.clone());
        if !matches!(found, Found::Same) {
            placed.push(file.name.clone());
        }
    }
    let next = record.after(folder, &entries, placed);
    if next.placed.is_empty() && record.lists_the_same(&next) {
        return Ok(written);
    }

    let staging = Staging { stage: stage.path.clone(), made: made.to_vec() };
    underway().stages.push(staging);
    let done = place(&stage, files, &found, &next);
    let mut underway = underway();
    underway.stages.retain(|staging| staging.stage != stage.path);
    underway.written |= done.is_ok();
    done.map(|()| written)
}

/// Stages the files and swaps them in; puts everything back when a step fails.
fn place(stage: &Stage, files: &[(&Batch, &Ready)], found: &[Found], next: &Manifest) -> Result<()> {
    let fail = |path: &Path, e: &std::io::Error| {
        let error = file_error(path, "cannot be written", e);
        put_back(stage).err().unwrap_or(error)
    };
    let staging = underway();
    stage.make().map_err(|e| fail(&stage.path, &e))?;
    drop(staging);
    for ((_, file), found) in files.iter().zip(found) {
        let former = match found {
            Found::Same => continue,
            Found::Former(metadata) => metadata.as_ref(),
            Found::Nothing => None,
        };
        let _writing = underway();
        stage.add(&file.name, &file.bytes, former).map_err(|e| fail(&stage.target(&file.name), &e))?;
    }
    let text =
        next.text().map_err(|e| Error::internal(format!("The record of files cannot be made: {e}.")))?;
    let _swapping = underway();
    stage.announce(&text).map_err(|e| fail(&stage.target(manifest::FILE), &e))?;
    stage.swap(&next.placed).map_err(|(name, e)| fail(&stage.target(&name), &e))?;
    // The new files stand; what will not go of the former ones is cleared by the next run.
    let _ = stage.clear();
    Ok(())
}

/// What stands at a target now.
enum Found {
    Nothing,
    /// The very bytes to be written.
    Same,
    /// A file that may be replaced, with the mode and owner to keep; a link has none of its own.
    Former(Option<Metadata>),
}

/// What stands at every target; fails when any of it may not be replaced.
fn found(folder: &Path, record: &Manifest, files: &[(&Batch, &Ready)], replace: bool) -> Result<Vec<Found>> {
    let mut refused = Vec::new();
    let mut all = Vec::new();
    for (_, file) in files {
        match found_at(&folder.join(&file.name), record.entry(&file.name), &file.bytes, replace) {
            Ok(found) => all.push(found),
            Err(error) => refused.push(error),
        }
    }
    let more = match refused.len() {
        0 | 1 => String::new(),
        2 => " One more file stands in the way. No file was written.".to_string(),
        n => format!(" {} more files stand in the way. No file was written.", n - 1),
    };
    match refused.into_iter().next() {
        Some(first) => Err(Error { says: format!("{}{more}", first.says), ..first }),
        None => Ok(all),
    }
}

fn found_at(target: &Path, entry: Option<&Entry>, bytes: &[u8], replace: bool) -> Result<Found> {
    let says = |what: &str, remedy: &str| {
        Err(Error::new(Kind::File, format!("'{}' {what}.", text::path(target)), remedy))
    };
    const ELSEWHERE: &str = "Give another --name or another --out folder.";
    const OR_REPLACE: &str = "Give --replace to overwrite it, or another --name or --out folder.";
    let now = match target.symlink_metadata() {
        Ok(now) => now,
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
        Err(e) => return Err(file_error(target, "cannot be looked at", &e)),
    };
    if now.is_dir() {
        return says("is a folder, so no file of that name can be written", ELSEWHERE);
    }
    if now.is_symlink() {
        return match replace {
            true => Ok(Found::Former(None)),
            false => says(
                "is a link to another place, which fixwright did not make",
                "Give --replace to put a file in the link's place (what it leads to stays), or another --name or --out folder.",
            ),
        };
    }
    if !now.is_file() {
        return says("is a pipe or a device and no ordinary file", ELSEWHERE);
    }
    if now.len() == bytes.len() as u64 && holds(target, bytes) {
        return Ok(Found::Same);
    }
    if replace {
        return Ok(Found::Former(Some(now)));
    }
    if now.permissions().readonly() {
        return says("is read-only", OR_REPLACE);
    }
    match entry {
        None => says("exists and was not written by fixwright", OR_REPLACE),
        Some(entry) if !entry.is_at(target) => says(
            "has been changed since fixwright wrote it",
            "Keep it under another name, or give --replace to overwrite it.",
        ),
        Some(_) => Ok(Found::Former(Some(now))),
    }
}

/// Whether the file at `path` holds these bytes.
fn holds(path: &Path, bytes: &[u8]) -> bool {
    let Ok(file) = File::open(path) else { return false };
    let mut content = Vec::with_capacity(bytes.len() + 1);
    file.take(bytes.len() as u64 + 1).read_to_end(&mut content).is_ok() && content == bytes
}

/// Refuses two files whose names some folder would take for one.
fn unlike_names(files: &[(&Batch, &Ready)]) -> Result<()> {
    let mut names = std::collections::BTreeMap::new();
    for (batch, file) in files {
        if let Some((part, twin)) = names.insert(text::folded(&file.name), (batch.part, &file.name)) {
            let both = if *twin == file.name { String::new() } else { format!(" and '{}'", file.name) };
            return Err(Error::request(
                format!(
                    "Two files would be called '{twin}'{both}, one of '{part}' and one of '{}'.",
                    batch.part
                ),
                "Give the parts names that differ in more than capital letters.",
            ));
        }
    }
    Ok(())
}

/// Keeps every other run out of a folder for as long as what is returned lives.
///
/// A file system that knows no locks is written to all the same.
fn lock(folder: &Path) -> Result<Option<File>> {
    const PATIENCE: Duration = Duration::from_secs(30);
    let begun = Instant::now();
    loop {
        let file = lock_file(folder).map_err(|e| file_error(folder, "cannot be opened", &e))?;
        match file.try_lock() {
            Ok(()) if is_still_there(&file, folder) => return Ok(Some(file)),
            // Whoever held it has removed the folder, having made it in vain.
            Ok(()) => std::fs::create_dir_all(folder)
                .map_err(|e| file_error(folder, "cannot be made a folder", &e))?,
            Err(TryLockError::Error(_)) => return Ok(None),
            Err(TryLockError::WouldBlock) if begun.elapsed() > PATIENCE => {
                return Err(Error::new(
                    Kind::File,
                    format!("Another run of fixwright is writing into '{}'.", text::path(folder)),
                    "Wait until it is done, or give another --out folder.",
                ));
            }
            Err(TryLockError::WouldBlock) => std::thread::sleep(Duration::from_millis(20)),
        }
    }
}

/// What is locked: the folder itself, so that nothing is left in it.
#[cfg(unix)]
fn lock_file(folder: &Path) -> std::io::Result<File> {
    File::open(folder)
}

/// Elsewhere a folder cannot be locked, and a file in it is.
#[cfg(not(unix))]
fn lock_file(folder: &Path) -> std::io::Result<File> {
    File::options().create(true).truncate(false).write(true).open(folder.join(".fixwright-lock"))
}

#[cfg(unix)]
fn is_still_there(locked: &File, folder: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let id = |found: Metadata| (found.dev(), found.ino());
    locked.metadata().map(id).is_ok_and(|held| folder.metadata().map(id).is_ok_and(|now| now == held))
}

#[cfg(not(unix))]
fn is_still_there(_: &File, folder: &Path) -> bool {
    folder.is_dir()
}

fn file_error(path: &Path, what: &str, error: &std::io::Error) -> Error {
    Error::new(
        Kind::File,
        format!("'{}' {what}: {error}. No file was changed.", text::path(path)),
        "Give a folder that can be written to with --out, and see that the disk has room.",
    )
}

#[cfg(test)]
mod tests;
