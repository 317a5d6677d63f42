//! The one place that writes files: under a temporary name beside the target, then renamed, so that
//! a file is either whole or not there.

use crate::error::{Error, Kind, Result};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard};

/// Every file written carries this word near its beginning or end, which is how a later run
/// knows a file for its own.
pub const MARK: &str = "fixwright";

/// How a file of ours begins, by the end of its name. The mark alone would not do: a person's own
/// notes may well name the program.
const BEGINNINGS: [(&str, &[&[u8]]); 9] = [
    ("stl", &[b"fixwright ", b"solid fixwright "]),
    ("3mf", &[b"PK\x03\x04"]),
    ("step", &[b"ISO-10303-21;"]),
    ("svg", &[b"<svg "]),
    ("pdf", &[b"%PDF-"]),
    ("png", &[b"\x89PNG"]),
    ("dxf", &[b"999\nfixwright "]),
    ("html", &[b"<!DOCTYPE html>"]),
    ("json", &[b"{"]),
];

/// Temporary files that are open now, and whether the run is being ended.
struct Underway {
    files: Vec<PathBuf>,
    ending: bool,
}

static UNDERWAY: Mutex<Underway> = Mutex::new(Underway { files: Vec::new(), ending: false });

fn underway() -> MutexGuard<'static, Underway> {
    // A poisoned list is still the list: its paths are what must be removed.
    UNDERWAY.lock().unwrap_or_else(|poisoned| poisoned.into_inner())
}

/// Removes what an interrupted run has begun to write; nothing new is begun from here on. The
/// caller ends the process.
pub fn remove_unfinished() {
    let mut underway = underway();
    underway.ending = true;
    for path in underway.files.drain(..) {
        // Nothing better can be done about a file that will not go.
        let _ = std::fs::remove_file(path);
    }
}

/// A file ready to be written: its name within the folder, and its bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// Plain file name, no folders.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// Checks a part's name, which becomes a file name: letters, digits, space, `-`, `_`, `.`; no leading
/// dot, at most 100 bytes.
pub fn check_name(name: &str) -> Result<()> {
    let sound = !name.is_empty()
        && name.len() <= 100
        && !name.starts_with(['.', ' ', '-'])
        && !name.ends_with([' ', '.'])
        && name.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.'));
    // Some systems keep a few names for devices, whatever ending they bear.
    const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
    let stem = name.split('.').next().unwrap_or(name).to_lowercase();
    let numbered = stem
        .strip_prefix("com")
        .or(stem.strip_prefix("lpt"))
        .is_some_and(|rest| rest.len() == 1 && rest.chars().all(|c| c.is_ascii_digit()));
    if sound && !numbered && !DEVICES.contains(&stem.as_str()) {
        return Ok(());
    }
    Err(Error::request(
        format!("The name '{}' cannot be a file name.", name.escape_debug()),
        "Use letters, digits, spaces, '-', '_' and '.', beginning with a letter or digit, at most 100 characters; give the folder with --out.",
    ))
}

/// Writes every file into `folder` (made when missing), or none of those not yet renamed.
///
/// A file of that name is replaced when it carries fixwright's [`MARK`] or when `replace` is set;
/// otherwise nothing is written and the error says so. Fails too when two files share a name.
pub fn write_all(folder: &Path, files: &[Ready], replace: bool) -> Result<Vec<PathBuf>> {
    for (at, file) in files.iter().enumerate() {
        if let Some(twin) = files[..at].iter().find(|f| f.name.eq_ignore_ascii_case(&file.name)) {
            return Err(Error::request(
                format!("Two files would be called '{}'.", twin.name),
                "Give the parts different names.",
            ));
        }
    }
    std::fs::create_dir_all(folder).map_err(|e| file_error(folder, "cannot be made a folder", &e))?;
    let targets: Vec<PathBuf> = files.iter().map(|file| folder.join(&file.name)).collect();
    for target in &targets {
        may_stand_aside(target, replace)?;
    }
    let mut begun = Vec::new();
    for (file, target) in files.iter().zip(&targets) {
        begun.push((begin(folder, target, &file.bytes)?, target));
    }
    for (temporary, target) in begun {
        let path = temporary.path().to_path_buf();
        temporary.persist(target).map_err(|e| file_error(target, "cannot be written", &e.error))?;
        underway().files.retain(|p| *p != path);
    }
    Ok(targets)
}

fn begin(folder: &Path, target: &Path, bytes: &[u8]) -> Result<tempfile::NamedTempFile> {
    let fail = |e: std::io::Error| file_error(target, "cannot be written", &e);
    let mut builder = tempfile::Builder::new();
    builder.prefix(".fixwright-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // What a plain create would ask for; the process's umask takes off the rest.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    // Created and listed under one lock: an interrupt finds either both or neither.
    let mut now = underway();
    if now.ending {
        drop(now);
        loop {
            // Whoever is ending the run ends the process.
            std::thread::park();
        }
    }
    let mut temporary = builder.tempfile_in(folder).map_err(fail)?;
    now.files.push(temporary.path().to_path_buf());
    drop(now);
    temporary.write_all(bytes).and_then(|()| temporary.as_file().sync_all()).map_err(fail)?;
    Ok(temporary)
}

/// Whether a file at `target` may be replaced; fails with the way out when not.
fn may_stand_aside(target: &Path, replace: bool) -> Result<()> {
    if target.is_dir() {
        return Err(Error::new(
            Kind::File,
            format!("'{}' is a folder, so no file of that name can be written.", target.display()),
            "Give another --name or another --out folder.",
        ));
    }
    if !target.exists() || replace || is_ours(target) {
        return Ok(());
    }
    Err(Error::new(
        Kind::File,
        format!("'{}' exists and was not written by fixwright.", target.display()),
        "Give --replace to overwrite it, or another --name or --out folder.",
    ))
}

/// Whether a file begins as ours of that kind do, and carries the mark within its first or last
/// kilobyte.
fn is_ours(path: &Path) -> bool {
    const EDGE: usize = 1024;
    let Ok(mut file) = std::fs::File::open(path) else {
        return false;
    };
    let mut bytes = Vec::new();
    if file.read_to_end(&mut bytes).is_err() {
        return false;
    }
    let kind = path.extension().and_then(|end| end.to_str());
    let begins = BEGINNINGS
        .iter()
        .find(|(end, _)| kind.is_some_and(|kind| kind.eq_ignore_ascii_case(end)))
        .is_some_and(|(_, starts)| starts.iter().any(|start| bytes.starts_with(start)));
    let head = &bytes[..bytes.len().min(EDGE)];
    let tail = &bytes[bytes.len().saturating_sub(EDGE)..];
    begins && [head, tail].iter().any(|edge| edge.windows(MARK.len()).any(|w| w == MARK.as_bytes()))
}

fn file_error(path: &Path, what: &str, error: &std::io::Error) -> Error {
    Error::new(
        Kind::File,
        format!("'{}' {what}: {error}.", path.display()),
        "Give a folder that can be written to with --out, and see that the disk has room.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ready(name: &str, text: &str) -> Ready {
        Ready { name: name.into(), bytes: text.into() }
    }

    #[test]
    fn a_strangers_file_is_kept_and_our_own_is_replaced() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("a.stl"), "notes on fixwright's sleeve").unwrap();
        let error = write_all(folder.path(), &[ready("b.stl", "fixwright b"), ready("a.stl", "x")], false)
            .unwrap_err();
        assert_eq!((error.kind, error.exit_code()), (Kind::File, 1));
        assert!(!folder.path().join("b.stl").exists(), "all or none");
        write_all(folder.path(), &[ready("a.stl", "fixwright 1")], true).unwrap();
        write_all(folder.path(), &[ready("a.stl", "fixwright 2")], false).unwrap();
        assert_eq!(std::fs::read_to_string(folder.path().join("a.stl")).unwrap(), "fixwright 2");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "no temporary file stays");
    }

    #[test]
    fn two_files_of_one_name_are_refused_before_anything_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let error = write_all(folder.path(), &[ready("a.stl", "1"), ready("A.stl", "2")], true).unwrap_err();
        assert!(error.says.contains("a.stl"));
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn names_that_leave_the_folder_are_refused() {
        for bad in ["", "..", "a/b", "../x", ".hidden", "a\nb", "con\0", "a:b", "CON", "nul.x", "lpt1"] {
            assert!(check_name(bad).is_err(), "{bad:?}");
        }
        for good in ["sleeve-6204-inner", "Front bearing 2", "größe_1.5"] {
            check_name(good).unwrap();
        }
    }
}
