use super::*;

fn ready(name: &str, text: &str) -> Ready {
    Ready { name: name.into(), bytes: text.into() }
}

fn write(folder: &Path, request: &str, files: &[Ready], replace: bool) -> Result<Written> {
    write_all(folder, "job", &[Batch { part: "part", request: request.into(), files }], replace)
}

fn text(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn our_untouched_file_is_replaced_and_an_edited_one_or_a_strangers_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let first = write(at, "1", &[ready("a.html", "sheet 1"), ready("b.json", "same")], false).unwrap();
    assert_eq!(first.new, ["a.html", "b.json"]);
    let second = write(at, "2", &[ready("a.html", "sheet 2"), ready("b.json", "same")], false).unwrap();
    assert_eq!(
        (&second.replaced[..], &second.unchanged[..]),
        (&["a.html".into()][..], &["b.json".into()][..])
    );

    std::fs::write(at.join("a.html"), "sheet 2, bore read 17.98").unwrap();
    let error = write(at, "3", &[ready("a.html", "sheet 3"), ready("b.json", "new")], false).unwrap_err();
    assert!(error.says.contains("a.html") && error.says.contains("changed since"), "{error}");
    assert_eq!((text(at, "a.html"), text(at, "b.json")), ("sheet 2, bore read 17.98".into(), "same".into()));
    write(at, "3", &[ready("a.html", "sheet 3")], true).unwrap();
    assert_eq!(text(at, "a.html"), "sheet 3");
    // One digit changed by hand leaves the length as it was.
    std::fs::write(at.join("a.html"), "sheet 8").unwrap();
    assert!(write(at, "4", &[ready("a.html", "sheet 4")], false).is_err());
    assert_eq!(text(at, "a.html"), "sheet 8");
    write(at, "4", &[ready("a.html", "sheet 3")], true).unwrap();

    std::fs::write(at.join("c.json"), "{\"written_by\": \"fixwright\"}").unwrap();
    let error = write(at, "3", &[ready("c.json", "{}")], false).unwrap_err();
    assert!(error.says.contains("c.json") && error.remedy.contains("--replace"), "{error}");
    assert_eq!(names(at), [".fixwright-files", "a.html", "b.json", "c.json"], "no remains of a stage");
}

#[test]
fn files_that_no_longer_tell_of_what_is_asked_are_named_until_they_are_gone() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    write(at, "in halves", &[ready("p-lower.stl", "l"), ready("p-upper.stl", "u")], false).unwrap();
    assert!(write(at, "in halves", &[ready("p.json", "r")], false).unwrap().outdated.is_empty());
    let whole = [ready("p.stl", "w"), ready("p.json", "w")];
    assert_eq!(write(at, "whole", &whole, false).unwrap().outdated, ["p-lower.stl", "p-upper.stl"]);
    std::fs::remove_file(at.join("p-lower.stl")).unwrap();
    assert_eq!(write(at, "whole", &whole, false).unwrap().outdated, ["p-upper.stl"]);
    let other = [Batch { part: "q", request: "q".into(), files: &[ready("q.stl", "q")] }];
    assert!(
        write_all(at, "q", &other, false).unwrap().outdated.is_empty(),
        "another part is none of its business"
    );
}

#[test]
fn a_job_sheet_is_out_of_date_once_one_of_its_parts_is_made_anew_alone() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let (part, sheet) = ([ready("a.stl", "1")], [ready("job.html", "a is 1")]);
    let batches = [
        Batch { part: "a", request: "reach 1".into(), files: &part },
        Batch { part: "job", request: "a: reach 1".into(), files: &sheet },
    ];
    write_all(at, "job", &batches, false).unwrap();
    let alone = [Batch { part: "a", request: "reach 2".into(), files: &[ready("a.stl", "2")] }];
    assert_eq!(write_all(at, "a", &alone, false).unwrap().outdated, ["job.html"]);
}

#[test]
fn two_files_that_some_folder_takes_for_one_are_refused_before_anything_is_written() {
    let folder = tempfile::tempdir().unwrap();
    for (a, b) in [("a.stl", "A.stl"), ("Ölring.stl", "ölring.stl"), ("ö.stl", "o\u{308}.stl")] {
        let error = write(folder.path(), "", &[ready(a, "1"), ready(b, "2")], true).unwrap_err();
        assert!(error.says.contains(a), "{error}");
    }
    assert!(names(folder.path()).is_empty());
}

/// A folder with a swap from `old` to `new` cut off after `steps` of its renames.
fn cut_off(at: &Path, steps: usize) {
    let old = [ready("a", "old a"), ready("b", "old b")];
    write(at, "old", &old, true).unwrap();
    let new = [ready("a", "new a"), ready("b", "new b"), ready("c", "new c")];
    let stage = Stage::of(at);
    stage.make().unwrap();
    let batch = Batch { part: "part", request: "new".into(), files: &new };
    let entries: Vec<(&str, Entry)> =
        new.iter().map(|file| (file.name.as_str(), Entry::new("job", &batch, &file.bytes))).collect();
    for file in &new {
        stage.add(&file.name, &file.bytes, None).unwrap();
    }
    let placed = new.iter().map(|file| file.name.clone()).collect();
    let record = Manifest::read(&at.join(manifest::FILE)).after(at, &entries, placed);
    stage.announce(&record.text().unwrap()).unwrap();
    let names: Vec<String> = record.placed.iter().take(steps).cloned().collect();
    // The record is what a cut-off swap does not come to: it is put back where it was.
    stage.swap(&names).unwrap();
    std::fs::rename(at.join(manifest::FILE), stage.path.join("files")).unwrap();
    let before = Manifest::default().after(
        at,
        &old.iter()
            .map(|f| {
                (
                    f.name.as_str(),
                    Entry::new("job", &Batch { part: "part", request: "old".into(), files: &old }, &f.bytes),
                )
            })
            .collect::<Vec<_>>(),
        vec!["a".into(), "b".into()],
    );
    std::fs::write(at.join(manifest::FILE), before.text().unwrap()).unwrap();
}

#[test]
fn a_swap_cut_off_anywhere_is_put_back_whole() {
    for steps in 0..=3 {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        cut_off(at, steps);
        assert!(repair(at).unwrap());
        assert_eq!((text(at, "a"), text(at, "b")), ("old a".into(), "old b".into()), "{steps}");
        assert_eq!(names(at), [".fixwright-files", "a", "b"], "{steps}");
        assert!(!repair(at).unwrap());
        write(at, "next", &[ready("a", "next a")], false).unwrap();
    }
}

#[test]
fn work_done_on_a_file_since_a_run_was_cut_off_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    cut_off(at, 2);
    std::fs::write(at.join("a"), "edited since").unwrap();
    repair(at).unwrap();
    assert_eq!((text(at, "a"), text(at, "b")), ("edited since".into(), "old b".into()));
}

#[test]
fn a_step_that_fails_puts_every_file_back() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    write(at, "1", &[ready("a", "1"), ready("b", "1")], false).unwrap();
    // A folder in the way of the last file, found only when it is to be placed.
    let stage = Stage::of(at);
    let files = [ready("a", "2"), ready("b", "2"), ready("d", "2")];
    let batch = Batch { part: "part", request: "2".into(), files: &files };
    let pairs: Vec<(&Batch, &Ready)> = files.iter().map(|file| (&batch, file)).collect();
    let found = [Found::Former(None), Found::Former(None), Found::Nothing];
    let entries: Vec<(&str, Entry)> =
        files.iter().map(|file| (file.name.as_str(), Entry::new("job", &batch, &file.bytes))).collect();
    let placed = files.iter().map(|file| file.name.clone()).collect();
    let next = Manifest::read(&at.join(manifest::FILE)).after(at, &entries, placed);
    std::fs::create_dir_all(at.join(".fixwright-files-kept")).unwrap();
    std::fs::rename(at.join(manifest::FILE), at.join(".fixwright-files-kept/f")).unwrap();
    std::fs::create_dir_all(at.join(manifest::FILE)).unwrap();
    let error = place(&stage, &pairs, &found, &next).unwrap_err();
    assert_eq!(error.kind, Kind::File);
    assert_eq!((text(at, "a"), text(at, "b"), at.join("d").exists()), ("1".into(), "1".into(), false));
    assert!(!stage.is_there());
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};

    #[test]
    fn a_read_only_file_a_link_and_a_pipe_are_not_replaced_in_silence() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        write(at, "1", &[ready("a", "1")], false).unwrap();
        std::fs::set_permissions(at.join("a"), std::fs::Permissions::from_mode(0o444)).unwrap();
        assert!(write(at, "2", &[ready("a", "2")], false).unwrap_err().says.contains("read-only"));
        std::fs::write(at.join("elsewhere"), "kept").unwrap();
        symlink(at.join("elsewhere"), at.join("l")).unwrap();
        symlink(at.join("nowhere"), at.join("dangling")).unwrap();
        for link in ["l", "dangling"] {
            let error = write(at, "2", &[ready(link, "2")], false).unwrap_err();
            assert!(error.says.contains("link") && error.remedy.contains("--replace"), "{error}");
            write(at, "2", &[ready(link, "2")], true).unwrap();
            assert_eq!(text(at, link), "2");
        }
        assert_eq!(text(at, "elsewhere"), "kept");
        assert!(!at.join("nowhere").exists());
        let made = std::process::Command::new("mkfifo").arg(at.join("pipe")).status();
        if made.is_ok_and(|status| status.success()) {
            let error = write(at, "2", &[ready("pipe", "2")], true).unwrap_err();
            assert!(error.says.contains("pipe"), "{error}");
        }
    }

    #[test]
    fn a_file_that_replaces_another_keeps_its_mode() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path();
        write(at, "1", &[ready("a", "1")], false).unwrap();
        std::fs::set_permissions(at.join("a"), std::fs::Permissions::from_mode(0o640)).unwrap();
        let former = at.join("a").metadata().unwrap();
        write(at, "2", &[ready("a", "2")], false).unwrap();
        let now = at.join("a").metadata().unwrap();
        assert_eq!(now.mode() & 0o777, 0o640);
        assert_ne!(now.ino(), former.ino(), "a new file, not the old one written over");
    }
}
