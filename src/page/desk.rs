//! The job file that lies open: its text now, what it was before each change, and what is on disk.
//!
//! Until it is saved the changed text is kept beside the job, so that a crash loses nothing. A file that
//! another program has changed since is never overwritten unless that is asked for.

use super::edit::{self, Answers, Edit};
use crate::design::Kind;
use crate::error::{self, Error, Result};
use crate::job::{HEAD_KEYS, Job, LONGEST, Shared};
use crate::output::write;
use crate::text;
use crate::workshop::PRINTERS;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::fs;
use std::path::{Path, PathBuf};

/// Most changes that can be taken back.
const REMEMBERED: usize = 500;

/// The open job.
pub struct Desk {
    kinds: Vec<Kind>,
    path: PathBuf,
    /// The text and those before and after it, as far as changes are remembered.
    texts: Vec<String>,
    at: usize,
    /// Rises with every change: a window that has seen another tells by it.
    revision: u64,
    /// The text that is on disk, as far as is known here, and its hash; none where there is no file yet.
    saved: Option<(String, Hash)>,
    /// Printer presets that the file named when it was opened, or that came with a saved text.
    printers: Vec<String>,
    taken_up: bool,
}

type Hash = [u8; 32];

fn hash(bytes: &[u8]) -> Hash {
    Sha256::digest(bytes).into()
}

impl Desk {
    /// Opens a job file; where there is none, one is begun that will be saved there. Changes that were kept
    /// beside it and never saved are taken up again.
    pub fn open(path: &Path, kinds: &[Kind]) -> Result<Self> {
        let there = match path.exists() {
            true => {
                let step = "Give the path of a TOML job file, such as presets/jobs/coil-winder.toml.";
                Some(text::read(path, "The job file", LONGEST, step)?)
            }
            false => None,
        };
        let saved = there.clone().map(|text| {
            let disk = Self::on_disk(path).unwrap_or_else(|| hash(text.as_bytes()));
            (text, disk)
        });
        let text = there.unwrap_or_else(|| "title = \"My job\"\n".into());
        let mut desk = Self {
            kinds: kinds.to_vec(),
            path: path.to_path_buf(),
            printers: Vec::new(),
            texts: vec![text],
            at: 0,
            revision: 0,
            saved,
            taken_up: false,
        };
        desk.printers = desk.named_printers()?;
        if let Ok(kept) = text::read(&desk.kept(), "What was kept", LONGEST, "") {
            let sound = edit::document(&kept).and_then(|document| edit::parts(&document, kinds)).is_ok();
            if sound && kept != desk.text() {
                desk.take(kept);
                desk.taken_up = true;
            }
        }
        Ok(desk)
    }

    /// The job file's text as it now is.
    pub fn text(&self) -> &str {
        &self.texts[self.at]
    }

    fn folder(&self) -> &Path {
        self.path.parent().unwrap_or(Path::new(""))
    }

    /// The file that changes are kept in until they are saved.
    fn kept(&self) -> PathBuf {
        let mut name = self.path.file_name().unwrap_or_default().to_os_string();
        name.push(".unsaved");
        self.path.with_file_name(name)
    }

    fn on_disk(path: &Path) -> Option<Hash> {
        fs::read(path).ok().map(|bytes| hash(&bytes))
    }

    fn named_printers(&self) -> Result<Vec<String>> {
        let document = edit::document(self.text())?;
        let parts = edit::parts(&document, &self.kinds)?;
        let all = parts
            .iter()
            .map(|part| &part.answers)
            .chain([&edit::head(&document)])
            .cloned()
            .collect::<Vec<_>>();
        Ok(all.iter().filter_map(|answers| Some(answers.get("printer")?.as_str()?.to_string())).collect())
    }

    /// Whether the file on disk is no longer the one that was opened or saved.
    fn changed_on_disk(&self) -> bool {
        Self::on_disk(&self.path) != self.saved.as_ref().map(|(_, hash)| *hash)
    }

    fn is_saved(&self) -> bool {
        self.saved.as_ref().is_some_and(|(saved, _)| saved == self.text())
    }

    /// The job as the page shows it.
    pub fn state(&self) -> Result<Value> {
        let document = edit::document(self.text())?;
        Ok(json!({
            "revision": self.revision,
            "file": text::path(&self.path),
            "saved": self.is_saved(),
            "taken_up": self.taken_up && !self.is_saved(),
            "changed_on_disk": self.changed_on_disk(),
            "undo": self.at > 0,
            "redo": self.at + 1 < self.texts.len(),
            "head": edit::head(&document),
            "parts": edit::parts(&document, &self.kinds)?,
        }))
    }

    /// Makes a change, which the page asked for on seeing that revision; gives the part it was made on.
    pub fn edit(&mut self, revision: u64, edit: &Edit) -> Result<Option<usize>> {
        self.is_newest(revision)?;
        if let Edit::Head { answers } | Edit::Part { answers, .. } | Edit::Add { answers, .. } = edit {
            self.refuse_foreign_printer(answers)?;
        }
        let (text, on) = edit::edited(self.text(), edit, &self.kinds)?;
        if text.len() as u64 > LONGEST {
            return Err(Error::request("The job file would be longer than 1 MB.", "Make two jobs of it."));
        }
        if text != self.text() {
            self.take(text);
            self.keep()?;
        }
        Ok(on)
    }

    /// Takes the last change back, or makes it again.
    pub fn step(&mut self, revision: u64, back: bool) -> Result<()> {
        self.is_newest(revision)?;
        let to = if back { self.at.checked_sub(1) } else { Some(self.at + 1) };
        if let Some(to) = to.filter(|to| *to < self.texts.len()) {
            self.at = to;
            self.revision += 1;
            self.keep()?;
        }
        Ok(())
    }

    fn is_newest(&self, revision: u64) -> Result<()> {
        match revision == self.revision {
            true => Ok(()),
            false => Err(Error::request(
                "The job was changed in another window meanwhile.",
                "Look at it as it now is, and make your change again.",
            )),
        }
    }

    fn take(&mut self, text: String) {
        self.texts.truncate(self.at + 1);
        self.texts.push(text);
        if self.texts.len() > REMEMBERED {
            self.texts.remove(0);
        }
        self.at = self.texts.len() - 1;
        self.revision += 1;
    }

    fn keep(&self) -> Result<()> {
        let kept = self.kept();
        if self.is_saved() {
            // What is not there need not go.
            let _ = fs::remove_file(kept);
            return Ok(());
        }
        put(&kept, self.text())
    }

    /// Saves the job. A file that was changed on disk since is left as it is, unless `over` is given.
    pub fn save(&mut self, over: bool) -> Result<()> {
        if !over && self.changed_on_disk() {
            return Err(Error::new(
                error::Kind::File,
                format!(
                    "'{}' was changed by another program since it was opened here.",
                    text::path(&self.path)
                ),
                "Load it as it is on disk (yours stays one step back), or save over it.",
            ));
        }
        put(&self.path, self.text())?;
        self.saved = Some((self.text().to_string(), hash(self.text().as_bytes())));
        self.taken_up = false;
        self.keep()
    }

    /// Takes the file up as it is on disk; the text here stays one step back.
    pub fn load(&mut self) -> Result<()> {
        let text = text::read(&self.path, "The job file", LONGEST, "See where it went.")?;
        edit::parts(&edit::document(&text)?, &self.kinds)?;
        let disk = Self::on_disk(&self.path).unwrap_or_else(|| hash(text.as_bytes()));
        self.saved = Some((text.clone(), disk));
        if text != self.text() {
            self.take(text);
        }
        self.taken_up = false;
        self.printers.extend(self.named_printers()?);
        self.keep()
    }

    /// What all parts share, by the job's head.
    pub fn shared(&self) -> Result<Shared> {
        let table: toml::Table = toml::from_str(self.text()).map_err(|e| {
            Error::request(format!("The job file: {}.", e.message()), "Mend it in an editor.")
        })?;
        let head: toml::Table =
            table.into_iter().filter(|(key, _)| HEAD_KEYS.contains(&key.as_str())).collect();
        head.try_into().map_err(|e: toml::de::Error| {
            Error::request(format!("The job's head: {}.", e.message()), "Change it.")
        })
    }

    /// The job as `make` takes it.
    pub fn job(&self) -> Result<Job> {
        let mut job = Job::read_kinds(self.text(), &self.kinds)?;
        job.look_beside(self.folder());
        Ok(job)
    }

    /// What a part shares, its presets looked for beside the job.
    pub fn look_beside(&self, shared: &mut Shared) {
        shared.look_beside(self.folder());
    }

    /// Refuses a printer preset that is neither the program's own, beside the job, nor named by its file:
    /// a page has no business with other folders.
    pub fn refuse_foreign_printer(&self, answers: &Answers) -> Result<()> {
        let Some(name) = answers.get("printer").and_then(Value::as_str) else { return Ok(()) };
        let known = PRINTERS.iter().any(|(known, _)| *known == name)
            || self.printers.iter().any(|named| named == name);
        let plain =
            Path::new(name).file_name().is_some_and(|file| file == name) && !name.contains(['/', '\\', ':']);
        let beside = name.ends_with(".toml") && plain && self.folder().join(name).is_file();
        match known || beside || (plain && !name.ends_with(".toml")) {
            true => Ok(()),
            false => Err(Error::request(
                format!("printer '{}' is no preset file beside the job.", text::display(name)),
                "Lay the preset beside the job file, or name it in the job file by an editor.",
            )),
        }
    }
}

fn put(path: &Path, text: &str) -> Result<()> {
    write::replace(path, text.as_bytes()).map_err(|e| {
        Error::new(
            error::Kind::File,
            format!("'{}' cannot be written: {e}.", text::path(path)),
            "See that the folder is there, may be written to, and has room.",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parts::KINDS;
    use serde_json::json;

    fn reach(value: f64) -> Edit {
        serde_json::from_value(json!({ "do": "part", "part": 0, "answers": { "reach": value } })).unwrap()
    }

    const JOB: &str = "title = \"t\"\n[[sleeve]]\nbearing = \"6204\"\nreach = 60 # read\n";

    fn desk() -> (tempfile::TempDir, PathBuf, Desk) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.toml");
        fs::write(&path, JOB).unwrap();
        let desk = Desk::open(&path, KINDS).unwrap();
        (folder, path, desk)
    }

    #[test]
    fn a_file_changed_by_another_program_is_not_overwritten_unless_asked_for() {
        let (_folder, path, mut desk) = desk();
        desk.edit(0, &reach(61.0)).unwrap();
        fs::write(&path, JOB.replace("60", "70")).unwrap();
        assert_eq!(desk.state().unwrap()["changed_on_disk"], true);
        assert!(desk.save(false).unwrap_err().says.contains("changed by another program"));
        assert!(fs::read_to_string(&path).unwrap().contains("70"));
        desk.load().unwrap();
        assert!(desk.text().contains("reach = 70"));
        desk.step(desk.revision, true).unwrap();
        assert!(desk.text().contains("reach = 61"));
        desk.save(false).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), JOB.replace("60 #", "61.0 #"));
    }

    #[test]
    fn what_was_not_saved_is_taken_up_again_and_a_saved_job_leaves_nothing_beside_it() {
        let (folder, path, mut desk) = desk();
        desk.edit(0, &reach(61.0)).unwrap();
        let mut again = Desk::open(&path, KINDS).unwrap();
        assert_eq!(again.text(), desk.text());
        assert_eq!(again.state().unwrap()["taken_up"], true);
        again.save(false).unwrap();
        let left: Vec<_> =
            fs::read_dir(folder.path()).unwrap().map(|file| file.unwrap().file_name()).collect();
        assert_eq!(left, ["job.toml"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_job_that_is_a_link_stays_one_keeps_its_mode_and_a_read_only_one_is_left() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let (folder, path, _) = desk();
        let link = folder.path().join("link.toml");
        symlink(&path, &link).unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        let mut desk = Desk::open(&link, KINDS).unwrap();
        desk.edit(0, &reach(61.0)).unwrap();
        desk.save(false).unwrap();
        assert!(link.symlink_metadata().unwrap().is_symlink());
        assert!(fs::read_to_string(&path).unwrap().contains("61"));
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
        fs::set_permissions(&path, fs::Permissions::from_mode(0o440)).unwrap();
        desk.edit(desk.revision, &reach(62.0)).unwrap();
        assert!(desk.save(false).unwrap_err().says.contains("cannot be written"));
        assert!(fs::read_to_string(&path).unwrap().contains("61"));
    }

    #[test]
    fn of_two_windows_the_second_is_told_before_it_changes_anything() {
        let (_folder, _, mut desk) = desk();
        desk.edit(0, &reach(61.0)).unwrap();
        assert!(desk.edit(0, &reach(62.0)).unwrap_err().says.contains("another window"));
        assert!(desk.text().contains("61"));
    }

    #[test]
    fn a_printer_of_another_folder_is_refused() {
        let (folder, _, mut desk) = desk();
        let mut named = |name: &str| {
            let head = json!({ "do": "head", "answers": { "printer": name } });
            desk.edit(desk.revision, &serde_json::from_value(head).unwrap()).map(drop)
        };
        fs::write(folder.path().join("mine.toml"), crate::workshop::PRINTERS[0].1).unwrap();
        assert_eq!(named("mine.toml"), Ok(()));
        assert_eq!(named("bed-180"), Ok(()));
        for foreign in
            ["../mine.toml", "/etc/passwd", "/etc/x.toml", "a\\b.toml", "c:x.toml", "other.toml", ".."]
        {
            assert!(named(foreign).is_err(), "{foreign}");
        }
    }
}
