//! What reaches the disk: whole files or none, the same ones every time, and never over a stranger's.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const JOB: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/presets/jobs/coil-winder.toml");
const SMALL: [&str; 10] =
    ["sleeve", "6004", "--ring", "outer", "--housing-class", "H7", "--reach", "20", "--name", "small"];

fn fixwright() -> Command {
    Command::new(env!("CARGO_BIN_EXE_fixwright"))
}

fn run(arguments: &[&str], out: &Path) -> Output {
    fixwright().args(arguments).arg("--out").arg(out).output().unwrap()
}

/// Every file of a folder by name, without the record of them; an absent folder has none.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return BTreeMap::new();
    };
    entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| !path.ends_with(".fixwright-files"))
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(path).unwrap()))
        .collect()
}

#[test]
fn parts_made_in_parallel_are_the_same_bytes_as_one_after_another() {
    let folder = tempfile::tempdir().unwrap();
    let made = |threads: &str| {
        let out = folder.path().join(threads);
        let done = fixwright()
            .env("RAYON_NUM_THREADS", threads)
            .args(["make", JOB, "--format", "stl,3mf,drawing,json", "--one-bed", "--out"])
            .arg(&out)
            .output()
            .unwrap();
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        // The folder's own name is the one thing that may differ.
        let said = String::from_utf8_lossy(&done.stdout).replace(&out.display().to_string(), "");
        (files(&out), said)
    };
    let (serial, parallel) = (made("1"), made("4"));
    assert!(serial.0.len() > 12, "{:?}", serial.0.keys());
    assert!(serial == parallel);
}

#[test]
fn a_second_run_replaces_its_own_files_of_every_format_without_being_told_to() {
    let folder = tempfile::tempdir().unwrap();
    let all = ["--format", "stl,stl-ascii,3mf,drawing,picture,sheet,json", "--one-bed"];
    let arguments: Vec<&str> = SMALL.iter().chain(&all).copied().collect();
    for _ in 0..2 {
        let done = run(&arguments, folder.path());
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    }
    let endings = [
        ".stl",
        "-ascii.stl",
        ".3mf",
        "-bed-1.3mf",
        "-drawing.svg",
        "-drawing.pdf",
        "-picture.png",
        "-picture.svg",
        "-in-place.png",
        "-in-place.svg",
        ".html",
        ".json",
    ];
    let names: Vec<String> = files(folder.path()).into_keys().collect();
    for ending in endings {
        assert!(names.contains(&format!("small{ending}")), "small{ending} in {names:?}");
    }
    assert_eq!(names.len(), endings.len(), "{names:?}");
    let plate = "plate --hole 40 --name small --format step,flat";
    let folder = tempfile::tempdir().unwrap();
    for _ in 0..2 {
        let done = run(&plate.split(' ').collect::<Vec<_>>(), folder.path());
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    }
    let names: Vec<String> = files(folder.path()).into_keys().collect();
    assert_eq!(
        names,
        ["small-flat.dxf", "small-flat.pdf", "small-flat.svg", "small.step"],
        "a flat pattern and a solid are known again"
    );
}

#[test]
fn a_strangers_file_of_any_format_is_kept_and_nothing_is_written_beside_it() {
    for (format, name) in [
        ("3mf", "small.3mf"),
        ("drawing", "small-drawing.pdf"),
        ("picture", "small-picture.png"),
        ("sheet", "small.html"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(name), "somebody else's").unwrap();
        let arguments: Vec<&str> = SMALL.iter().copied().chain(["--format", format]).collect();
        let done = run(&arguments, folder.path());
        assert_eq!(done.status.code(), Some(1), "{format}");
        assert!(String::from_utf8_lossy(&done.stderr).contains("--replace"), "{format}");
        let kept = files(folder.path());
        assert_eq!(kept.len(), 1, "{:?}", kept.keys());
        assert_eq!(kept[name], b"somebody else's");
    }
}

#[test]
fn names_that_leave_the_folder_and_names_used_twice_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    for name in ["../escape", "a/b", "..", "/etc/passwd", "a\nb", ""] {
        let done = run(
            &["sleeve", "6004", "--ring", "outer", "--housing-class", "H7", "--reach", "20", "--name", name],
            &out,
        );
        assert_eq!(done.status.code(), Some(2), "{name:?}");
        assert!(files(&out).is_empty(), "{name:?}");
    }
    let part = "[[sleeve]]\nname = \"twin\"\nbearing = \"6004\"\nring = \"outer\"\nhousing-class = \"H7\"\nreach = 20\n";
    let job = folder.path().join("twins.toml");
    std::fs::write(&job, format!("title = \"Twins\"\n{part}{part}")).unwrap();
    let done = run(&["make", job.to_str().unwrap(), "--format", "stl"], &out);
    assert_eq!(done.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&done.stderr).contains("twin"));
    assert!(files(&out).is_empty());
    assert_eq!(files(folder.path()).len(), 1, "nothing beside the job file");
}

#[test]
fn a_folder_that_cannot_be_one_is_an_error_that_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, "x").unwrap();
    for out in [file.as_path(), Path::new("/proc/fixwright")] {
        let done = run(&SMALL, out);
        assert_eq!(done.status.code(), Some(1), "{}", out.display());
        let says = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(says.contains("--out"), "{says}");
    }
}

#[test]
fn a_full_disk_leaves_no_file_and_says_so() {
    // A disk of 48 kB of our own, where the system lets us have one.
    let ways: [&[&str]; 2] = [&["-m"], &["-Urm"]];
    let may = |way: &&[&str]| {
        Command::new("unshare").args(*way).arg("true").output().is_ok_and(|o| o.status.success())
    };
    let Some(way) = ways.iter().find(|way| may(way)) else {
        eprintln!("not tried: this system gives no mount of our own");
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let script = "mount -t tmpfs -o size=48k tmpfs \"$1\" && shift_to=\"$1\" && shift && \"$@\" --out \"$shift_to\"; code=$?; ls -A \"$shift_to\"; exit $code";
    let done = Command::new("unshare")
        .args(*way)
        .args(["sh", "-c", script, "sh"])
        .arg(folder.path())
        .arg(env!("CARGO_BIN_EXE_fixwright"))
        .args(["make", JOB, "--format", "stl,json"])
        .output()
        .unwrap();
    let (left, says) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
    assert_eq!(done.status.code(), Some(1), "{says}");
    assert!(says.contains("cannot be written") && says.contains("room"), "{says}");
    assert_eq!(left.trim(), "", "no file and no remains of one");
}

/// Sends a signal to a child at once.
#[cfg(unix)]
fn send(child: &std::process::Child, signal: i32) {
    // SAFETY: the child has not been waited for, so the number is still its own.
    unsafe { libc::kill(child.id() as i32, signal) };
}

#[cfg(unix)]
#[test]
fn an_interrupt_at_any_moment_leaves_whole_files_or_none_and_no_remains() {
    let base = tempfile::tempdir().unwrap();
    let job = two_sleeves(base.path(), 20);
    let arguments = ["make", job.to_str().unwrap(), "--format", "stl,step,3mf,json"];
    let begun = std::time::Instant::now();
    assert!(run(&arguments, &base.path().join("whole")).status.success());
    let (whole, long) = (files(&base.path().join("whole")), begun.elapsed());
    let mut cut_short = 0;
    for k in 0..10 {
        let out = base.path().join("out");
        let mut child = fixwright()
            .args(arguments)
            .arg("--out")
            .arg(&out)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(long.mul_f64(f64::from(k) / 10.0) + Duration::from_millis(3));
        send(&child, libc::SIGINT);
        let code = child.wait().unwrap().code();
        // A signal that comes before the program can take it ends it the system's way: no code.
        assert!(matches!(code, Some(0 | 130) | None), "{code:?}");
        cut_short += usize::from(code != Some(0));
        let now = files(&out);
        assert!(now.is_empty() || now == whole, "{:?}", now.keys());
        assert!(!out.join(".fixwright-stage").exists());
        let _ = std::fs::remove_dir_all(&out);
    }
    assert!(cut_short > 0, "the test interrupted nothing");
}

/// A job of two small sleeves that reach so far.
fn two_sleeves(folder: &Path, reach: u32) -> std::path::PathBuf {
    let part = |name: &str| {
        format!(
            "[[sleeve]]\nname = \"{name}\"\nbearing = \"6004\"\nring = \"outer\"\nhousing-class = \"H7\"\nreach = {reach}\n"
        )
    };
    let job = folder.join(format!("reach-{reach}.toml"));
    std::fs::write(&job, format!("title = \"Pair\"\n{}{}", part("front"), part("rear"))).unwrap();
    job
}

#[cfg(unix)]
#[test]
fn a_kill_or_an_interrupt_in_the_midst_of_the_change_leaves_the_old_folder_or_the_new_one() {
    let base = tempfile::tempdir().unwrap();
    let (old, new) = (two_sleeves(base.path(), 20), two_sleeves(base.path(), 30));
    let make =
        |job: &Path, out: &Path| run(&["make", job.to_str().unwrap(), "--format", "stl,step,json"], out);
    let whole = |job: &Path, name: &str| {
        let out = base.path().join(name);
        assert!(make(job, &out).status.success());
        files(&out)
    };
    let (old_files, new_files) = (whole(&old, "old"), whole(&new, "new"));
    assert!(old_files.len() == 7 && old_files.keys().eq(new_files.keys()));
    let out = base.path().join("out");
    let (mut left, mut put_back) = ([0, 0], 0);
    for k in 0..24_u32 {
        assert!(make(&old, &out).status.success());
        let mut child = fixwright()
            .args(["make", new.to_str().unwrap(), "--format", "stl,step,json", "--out"])
            .arg(&out)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // The record in the stage says that the renaming begins.
        let record = out.join(".fixwright-stage/files");
        while !record.exists() && child.try_wait().unwrap().is_none() {
            std::thread::yield_now();
        }
        let begun = std::time::Instant::now();
        while begun.elapsed() < Duration::from_micros(u64::from(k / 2) * 40) {}
        let signal = [libc::SIGKILL, libc::SIGINT][k as usize % 2];
        send(&child, signal);
        child.wait().unwrap();
        if signal == libc::SIGKILL {
            put_back += usize::from(fixwright::output::write::repair(&out).unwrap());
        }
        assert!(!out.join(".fixwright-stage").exists(), "{signal} {k}");
        let now = files(&out);
        assert!(now == old_files || now == new_files, "{signal} {k}: a mix of old and new");
        left[usize::from(now == new_files)] += 1;
    }
    eprintln!("{} kept the old files, {} hold the new ones, {put_back} were put back", left[0], left[1]);
    assert!(left[0] > 0 && left[1] > 0, "the signals came all before or all after the change");
}

#[cfg(unix)]
#[test]
fn a_run_asked_to_end_exits_with_128_and_the_signal_and_one_told_to_ignore_it_goes_on() {
    for signal in [libc::SIGTERM, libc::SIGHUP, libc::SIGINT] {
        let folder = tempfile::tempdir().unwrap();
        let begin = |before: &str| {
            let script = format!("{before} exec \"$@\"");
            Command::new("sh")
                .args(["-c", &script, "sh", env!("CARGO_BIN_EXE_fixwright"), "make", JOB, "--out"])
                .arg(folder.path())
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap()
        };
        let end = |mut child: std::process::Child| {
            std::thread::sleep(Duration::from_millis(150));
            send(&child, signal);
            child.wait().unwrap().code()
        };
        assert_eq!(end(begin("")), Some(128 + signal), "{signal}");
        assert!(!folder.path().join(".fixwright-stage").exists());
        if signal == libc::SIGHUP {
            assert_eq!(end(begin("trap '' HUP;")), Some(0), "as under nohup");
        }
    }
}

#[cfg(unix)]
#[test]
fn a_job_of_many_files_needs_few_descriptors() {
    let folder = tempfile::tempdir().unwrap();
    let part = |k: u32| {
        format!(
            "[[sleeve]]\nname = \"s{k}\"\nbearing = \"6004\"\nring = \"outer\"\nhousing-class = \"H7\"\nreach = 20\n"
        )
    };
    let job = folder.path().join("many.toml");
    std::fs::write(&job, format!("title = \"Many\"\n{}", (0..12).map(part).collect::<String>())).unwrap();
    let done = Command::new("sh")
        .args(["-c", "ulimit -n 24; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_fixwright"), "make"])
        .arg(&job)
        .args(["--format", "stl,stl-ascii,json", "--out"])
        .arg(folder.path().join("out"))
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    assert_eq!(files(&folder.path().join("out")).len(), 37);
}

#[test]
fn two_runs_at_once_into_one_folder_leave_the_files_of_one_of_them() {
    let base = tempfile::tempdir().unwrap();
    let jobs = [two_sleeves(base.path(), 20), two_sleeves(base.path(), 30)];
    let (out, alone) = (base.path().join("out"), |k: usize| base.path().join(format!("alone-{k}")));
    let begin = |job: &Path, out: &Path| {
        let mut command = fixwright();
        command.args(["make", job.to_str().unwrap(), "--format", "stl,json", "--out"]).arg(out);
        command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
    };
    for (k, job) in jobs.iter().enumerate() {
        assert!(begin(job, &alone(k)).wait().unwrap().success());
    }
    for _ in 0..4 {
        let running: Vec<_> = jobs.iter().cycle().take(4).map(|job| begin(job, &out)).collect();
        for mut child in running {
            assert!(child.wait().unwrap().success());
        }
        let now = files(&out);
        assert!(now == files(&alone(0)) || now == files(&alone(1)), "a mix of two runs");
    }
}

#[test]
fn a_stopped_job_lists_no_file_and_tells_its_error_at_the_top_of_its_json() {
    let folder = tempfile::tempdir().unwrap();
    let sound = "[[sleeve]]\nname = \"a\"\nbearing = \"6004\"\nring = \"outer\"\nhousing-class = \"H7\"\nreach = 20\n";
    let stopped = "[[sleeve]]\nname = \"b\"\nbearing = \"623\"\n";
    let job = folder.path().join("job.toml");
    std::fs::write(&job, format!("title = \"Job\"\n{sound}{stopped}")).unwrap();
    let out = folder.path().join("out");
    let done = run(&["make", job.to_str().unwrap(), "--json"], &out);
    assert_eq!(done.status.code(), Some(3), "{}", String::from_utf8_lossy(&done.stderr));
    let answer: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(answer["error"]["kind"], "stopped");
    assert_eq!(answer["files"], serde_json::json!([]));
    for part in answer["parts"].as_array().unwrap() {
        assert_eq!(part["files"], serde_json::json!([]), "{}", part["name"]);
    }
    assert!(!out.exists(), "not even a folder");
}

#[test]
fn a_second_run_says_which_files_are_new_replaced_unchanged_and_out_of_date() {
    let folder = tempfile::tempdir().unwrap();
    let plate = |split: &str, format: &str| {
        let words =
            format!("plate --hole 60 --cable 6 --cable 8 --name p --split {split} --format {format} --json");
        let done = run(&words.split(' ').collect::<Vec<_>>(), folder.path());
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        let answer: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
        ["new", "replaced", "unchanged", "outdated"].map(|list| answer["written"][list].clone().to_string())
    };
    let [new, ..] = plate("halves", "stl,json");
    assert_eq!(new, r#"["p-lower.stl","p-upper.stl","p.json"]"#);
    let [new, _, unchanged, outdated] = plate("halves", "stl,json");
    assert_eq!((&*new, &*unchanged, &*outdated), ("[]", r#"["p-lower.stl","p-upper.stl","p.json"]"#, "[]"));
    let [new, replaced, _, outdated] = plate("never", "stl,json");
    assert_eq!((&*new, &*replaced), (r#"["p.stl"]"#, r#"["p.json"]"#));
    assert_eq!(outdated, r#"["p-lower.stl","p-upper.stl"]"#, "the old halves fit nothing any more");
}
