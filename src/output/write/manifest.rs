//! The record of what fixwright wrote into a folder: how a later run tells its own untouched file from
//! one that somebody has edited since, and from a stranger's.

use super::Batch;
use crate::text;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{BufReader, Read};
use std::path::Path;

/// The record's file name.
pub const FILE: &str = ".fixwright-files";

const ABOUT: &str = "What fixwright wrote into this folder. By it a later run tells its own files from \
                     those you have edited or put here, and keeps yours.";

/// No record of ours is longer; what is longer is not read.
const LONGEST: u64 = 64 << 20;

/// One file that was written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    bytes: u64,
    sha256: String,
    /// The job it was written with; the part's own name where it was made alone.
    job: String,
    /// The part it belongs to; the job's name where it belongs to all of them.
    part: String,
    /// What was asked.
    request: String,
    written_by: String,
}

/// The record of one folder.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Manifest {
    about: String,
    /// What the last run put in place: where it was cut off, these are taken back.
    pub placed: Vec<String>,
    files: BTreeMap<String, Entry>,
}

impl Entry {
    /// What is recorded of a file about to be written.
    pub fn new(job: &str, batch: &Batch, bytes: &[u8]) -> Self {
        Self {
            bytes: bytes.len() as u64,
            sha256: hex(&Sha256::digest(bytes)),
            job: job.to_string(),
            part: batch.part.to_string(),
            request: batch.request.clone(),
            written_by: concat!("fixwright ", env!("CARGO_PKG_VERSION")).to_string(),
        }
    }

    /// Whether the file at `path` is, byte for byte, the one recorded.
    pub fn is_at(&self, path: &Path) -> bool {
        // The length is looked at first, so that no stranger's gigabytes are read.
        let same_length =
            path.symlink_metadata().is_ok_and(|found| found.is_file() && found.len() == self.bytes);
        same_length && File::open(path).is_ok_and(|file| self.is_of(file.take(self.bytes + 1)))
    }

    fn is_of(&self, content: impl Read) -> bool {
        let mut hash = Sha256::new();
        let mut content = BufReader::new(content);
        let mut block = [0; 1 << 16];
        loop {
            match content.read(&mut block) {
                Ok(0) => return hex(&hash.finalize()) == self.sha256,
                Ok(length) => hash.update(&block[..length]),
                Err(_) => return false,
            }
        }
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

impl Manifest {
    /// The record at `path`; an empty one where there is none that can be read, so that every file
    /// there counts as a stranger's.
    pub fn read(path: &Path) -> Self {
        Self::found(path).unwrap_or_else(|| Self { about: ABOUT.into(), ..Self::default() })
    }

    /// The record at `path`, if it is one.
    pub fn found(path: &Path) -> Option<Self> {
        let sound = path.symlink_metadata().is_ok_and(|found| found.is_file() && found.len() <= LONGEST);
        let text = sound.then(|| std::fs::read_to_string(path).ok())??;
        let mut manifest: Self = serde_json::from_str(&text).ok()?;
        // A record names files beside it and nothing further off.
        manifest.placed.retain(|name| text::file_name(name).is_ok());
        manifest.files.retain(|name, _| text::file_name(name).is_ok());
        Some(manifest)
    }

    /// The record's text.
    pub fn text(&self) -> serde_json::Result<String> {
        Ok(serde_json::to_string_pretty(self)? + "\n")
    }

    /// What is recorded of a file; of one whose name differs in case alone, where a folder may take
    /// the two for one.
    pub fn entry(&self, name: &str) -> Option<&Entry> {
        let folded = text::folded(name);
        let alike = || self.files.iter().find(|(other, _)| text::folded(other) == folded);
        self.files.get(name).or_else(|| alike().map(|(_, entry)| entry))
    }

    /// The record once `entries` are in the folder and files that are gone are forgotten.
    pub fn after(&self, folder: &Path, entries: &[(&str, Entry)], placed: Vec<String>) -> Self {
        let written: BTreeSet<String> = entries.iter().map(|(name, _)| text::folded(name)).collect();
        let kept = self.files.iter().filter(|(name, _)| {
            !written.contains(&text::folded(name)) && folder.join(name).symlink_metadata().is_ok()
        });
        let mut files: BTreeMap<String, Entry> = kept.map(|(n, e)| (n.clone(), e.clone())).collect();
        files.extend(entries.iter().map(|(name, entry)| (name.to_string(), entry.clone())));
        Self { about: ABOUT.into(), placed, files }
    }

    /// The files of some parts that are still in the folder.
    pub fn of_parts(&self, folder: &Path, parts: &[&str]) -> Vec<String> {
        let theirs = self.files.iter().filter(|(_, entry)| parts.contains(&entry.part.as_str()));
        let there = theirs.filter(|(name, _)| folder.join(name).symlink_metadata().is_ok());
        there.map(|(name, _)| name.clone()).collect()
    }

    /// Whether it lists the same files as another.
    pub fn lists_the_same(&self, other: &Self) -> bool {
        self.files == other.files
    }

    /// The files of this record that tell of a request which `entries`, written now, have made out of
    /// date: of the same job or part and asked otherwise, and the sheets and reports of another job
    /// that a part now differs from.
    pub fn outdated(&self, entries: &[(&str, Entry)]) -> Vec<String> {
        let now: BTreeSet<&str> = entries.iter().map(|(name, _)| *name).collect();
        let jobs: BTreeSet<&str> = entries.iter().map(|(_, entry)| entry.job.as_str()).collect();
        let parts: BTreeSet<&str> = entries.iter().map(|(_, entry)| entry.part.as_str()).collect();
        let replaced = entries
            .iter()
            .filter_map(|(name, entry)| self.files.get(*name).filter(|former| former.sha256 != entry.sha256));
        let other_jobs: BTreeSet<&str> = replaced.map(|former| former.job.as_str()).collect();
        let still_true = |former: &Entry| {
            entries.iter().any(|(_, entry)| {
                (&entry.part, &entry.request, &entry.written_by)
                    == (&former.part, &former.request, &former.written_by)
            })
        };
        let touched = |former: &Entry| {
            jobs.contains(former.job.as_str())
                || parts.contains(former.part.as_str())
                || (former.part == former.job && other_jobs.contains(former.job.as_str()))
        };
        let of_old = self
            .files
            .iter()
            .filter(|(name, former)| !now.contains(name.as_str()) && touched(former) && !still_true(former));
        of_old.map(|(name, _)| name.clone()).collect()
    }
}
