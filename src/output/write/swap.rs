//! One folder's change from its former files to new ones, which can be taken back until it is complete.
//!
//! The stage is a hidden folder within the target, so that every rename stays on one disk: `new/` holds
//! what is to come, `old/` what it replaces, `files` the record that will stand once all is in
//! place. The record is on the disk before the first rename, and its own renaming out of the stage is the
//! moment from which the new files hold. A stage found with a record in it is a run that was cut off:
//! [`put_back`] undoes it.

use super::manifest::{self, Manifest};
use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{ErrorKind, Result, Write};
use std::path::{Path, PathBuf};

/// The stage's name within the target folder.
const STAGE: &str = ".fixwright-stage";
const RECORD: &str = "files";

/// A stage within a folder.
pub struct Stage {
    folder: PathBuf,
    /// The stage's own path.
    pub path: PathBuf,
}

impl Stage {
    /// The stage a folder would have.
    pub fn of(folder: &Path) -> Self {
        Self { folder: folder.to_path_buf(), path: folder.join(STAGE) }
    }

    /// Whether a run has left one.
    pub fn is_there(&self) -> bool {
        self.path.symlink_metadata().is_ok()
    }

    /// Makes the stage's folders.
    pub fn make(&self) -> Result<()> {
        fs::create_dir(&self.path)?;
        fs::create_dir(self.path.join("new"))?;
        fs::create_dir(self.path.join("old"))
    }

    /// Writes one file into the stage, with the mode and owner of the file it is to replace.
    pub fn add(&self, name: &str, bytes: &[u8], former: Option<&Metadata>) -> Result<()> {
        write_new(&self.path.join("new").join(name), bytes, former)
    }

    /// Writes the record that announces the swap; from here on a run cut off is put back.
    pub fn announce(&self, record: &str) -> Result<()> {
        write_new(&self.path.join(RECORD), record.as_bytes(), None)?;
        flush(&self.path.join("new"))?;
        flush(&self.path)?;
        flush(&self.folder)
    }

    /// Where a staged file is to go.
    pub fn target(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// Puts the announced files in place and lets the record stand. An error names the file.
    pub fn swap(&self, names: &[String]) -> std::result::Result<(), (String, std::io::Error)> {
        // A second name for each former file first, where the disk has such: then the change itself is one
        // rename a file, and no file is ever missing.
        for name in names {
            let target = self.target(name);
            if target.symlink_metadata().is_ok_and(|found| found.is_file()) {
                let _ = fs::hard_link(&target, self.path.join("old").join(name));
            }
        }
        for name in names {
            self.swap_one(name).map_err(|e| (name.clone(), e))?;
        }
        let stand = || {
            flush(&self.folder)?;
            fs::rename(self.path.join(RECORD), self.target(manifest::FILE))
        };
        stand().map_err(|e| (manifest::FILE.to_string(), e))?;
        // The new files hold from here on, whenever the folder's list of them reaches the disk.
        let _ = flush(&self.folder);
        Ok(())
    }

    fn swap_one(&self, name: &str) -> Result<()> {
        let (target, old) = (self.target(name), self.path.join("old").join(name));
        if old.symlink_metadata().is_err() {
            unless_absent(fs::rename(&target, &old))?;
        }
        fs::rename(self.path.join("new").join(name), &target)
    }

    /// Undoes a swap that was announced and is not complete, then clears the stage. Nothing happens where
    /// there is none; it may be cut off and begun again at any step.
    pub fn put_back(&self) -> Result<()> {
        match self.path.symlink_metadata() {
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(()),
            Err(e) => return Err(e),
            Ok(found) if !found.is_dir() => return fs::remove_file(&self.path),
            Ok(_) => {}
        }
        if let Some(record) = Manifest::found(&self.path.join(RECORD)) {
            for name in record.placed.iter().rev() {
                self.put_one_back(&record, name)?;
            }
            flush(&self.folder)?;
        }
        self.clear()
    }

    fn put_one_back(&self, record: &Manifest, name: &str) -> Result<()> {
        let at = |room: &str| self.path.join(room).join(name);
        let (target, new, old) = (self.target(name), at("new"), at("old"));
        if new.symlink_metadata().is_err() {
            // It had been placed. Somebody may have worked on it since: then it is theirs and stays.
            if record.entry(name).is_none_or(|entry| !entry.is_at(&target))
                && target.symlink_metadata().is_ok()
            {
                return Ok(());
            }
            unless_absent(fs::rename(&target, &new))?;
        }
        unless_absent(fs::rename(&old, &target))
    }

    /// Removes the stage: the record first, so that what is left when this is cut off says nothing.
    pub fn clear(&self) -> Result<()> {
        unless_absent(fs::remove_file(self.path.join(RECORD)))?;
        unless_absent(fs::remove_dir_all(&self.path))
    }
}

/// Writes a file that is not there yet, down to the disk, with the mode and owner of the one it is to replace.
fn write_new(path: &Path, bytes: &[u8], former: Option<&Metadata>) -> Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    if let Some(former) = former {
        keep_owner(&file, former);
        file.set_permissions(former.permissions())?;
    }
    file.sync_all()
}

/// Replaces one file of the user's, so that no half of it is ever seen: a link stays a link, mode and owner are kept,
/// and what is read-only is left as it is.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<()> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let former = fs::metadata(&target).ok();
    if former.as_ref().is_some_and(|former| former.permissions().readonly()) {
        return Err(ErrorKind::PermissionDenied.into());
    }
    let mut name = target.file_name().unwrap_or_default().to_os_string();
    name.push(".new");
    let new = target.with_file_name(name);
    // What a run that was cut off left there.
    unless_absent(fs::remove_file(&new))?;
    write_new(&new, bytes, former.as_ref())?;
    fs::rename(&new, &target)?;
    target
        .parent()
        .map_or(Ok(()), |folder| flush(if folder.as_os_str().is_empty() { Path::new(".") } else { folder }))
}

fn unless_absent(done: Result<()>) -> Result<()> {
    match done {
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(()),
        done => done,
    }
}

/// Sees that what a folder lists is on the disk.
#[cfg(unix)]
fn flush(folder: &Path) -> Result<()> {
    match File::open(folder)?.sync_all() {
        // Some file systems have no such thing as a folder's flush.
        Err(e) if matches!(e.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => Ok(()),
        done => done,
    }
}

/// Elsewhere a folder cannot be opened as a file, and the system orders its own renames.
#[cfg(not(unix))]
fn flush(_: &Path) -> Result<()> {
    Ok(())
}

/// As far as the system lets one: only root gives files away.
#[cfg(unix)]
fn keep_owner(file: &File, former: &Metadata) {
    use std::os::unix::fs::{MetadataExt, fchown};
    let Ok(made) = file.metadata() else { return };
    if (made.uid(), made.gid()) != (former.uid(), former.gid())
        && fchown(file, Some(former.uid()), Some(former.gid())).is_err()
    {
        let _ = fchown(file, None, Some(former.gid()));
    }
}

#[cfg(not(unix))]
fn keep_owner(_: &File, _: &Metadata) {}
