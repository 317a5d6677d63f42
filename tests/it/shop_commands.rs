//! The commands that help one begin: presets, schema, completions, manual page.

use fixwright::job::{JOBS, Job};
use std::process::{Command, Output, Stdio};

fn fixwright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fixwright")).args(arguments).output().unwrap()
}

fn said(arguments: &[&str]) -> String {
    let done = fixwright(arguments);
    assert!(done.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}

#[test]
fn every_starting_point_is_listed_printed_as_it_stands_and_makes_parts() {
    let list = said(&["presets"]);
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in JOBS {
        assert!(list.lines().any(|line| line.trim_start().starts_with(name)), "{name}");
        assert_eq!(said(&["presets", name]), text);
        assert!(
            text.lines().filter(|line| line.contains('#')).count() >= 5,
            "{name} teaches by its comments"
        );
        Job::read(text).unwrap();
        let file = folder.path().join("my.toml");
        std::fs::write(&file, text).unwrap();
        let out = folder.path().join(name);
        let done =
            fixwright(&["make", file.to_str().unwrap(), "--format", "json", "--out", out.to_str().unwrap()]);
        assert!(done.status.success(), "{name}: {}", String::from_utf8_lossy(&done.stderr));
    }
}

#[test]
fn every_kind_of_part_has_a_starting_point_of_its_name() {
    for kind in fixwright::parts::KINDS {
        assert!(JOBS.iter().any(|(name, _)| *name == kind.name), "{}", kind.name);
    }
}

#[test]
fn printers_and_materials_are_listed_with_what_they_are() {
    let list = said(&["presets"]);
    for name in ["bed-220", "fine-180", "pla", "petg"] {
        let line =
            list.lines().find(|line| line.trim_start().starts_with(name)).unwrap_or_else(|| panic!("{name}"));
        assert!(line.trim().len() > name.len() + 10, "{line}");
    }
    let error = fixwright(&["presets", "nosuch"]);
    assert_eq!(error.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&error.stderr).contains("bed-220"));
}

#[test]
fn completions_name_every_command_and_bash_can_read_theirs() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = said(&["completions", shell]);
        for command in ["sleeve", "make", "bearing", "fit", "presets", "schema"] {
            assert!(script.contains(command), "{shell}: {command}");
        }
    }
    let Ok(mut bash) = Command::new("bash").arg("-n").stdin(Stdio::piped()).spawn() else {
        eprintln!("not read by bash: there is none");
        return;
    };
    use std::io::Write;
    bash.stdin.take().unwrap().write_all(said(&["completions", "bash"]).as_bytes()).unwrap();
    assert!(bash.wait().unwrap().success());
}

#[test]
fn the_manual_page_tells_of_every_command_and_its_options() {
    let page = said(&["man"]);
    assert!(page.contains(".TH fixwright 1"));
    for heading in ["SLEEVE", "MAKE", "BEARING", "FIT", "SCHEMA"] {
        assert!(page.contains(&format!(".SH \"{heading}\"")), "{heading}");
    }
    assert!(page.contains("\\-\\-one\\-bed") && page.contains("\\-\\-replace"));
}

#[test]
fn help_says_what_each_command_is_for() {
    let help = said(&["--help"]);
    for (command, what) in [("make", "Make every part of a job file"), ("sleeve", "presses a bearing on")] {
        let line = help.lines().find(|line| line.trim_start().starts_with(&format!("{command} "))).unwrap();
        assert!(line.contains(what), "{line}");
    }
}

#[test]
fn a_pipe_sees_no_progress_and_no_colour() {
    let folder = tempfile::tempdir().unwrap();
    let preset = concat!(env!("CARGO_MANIFEST_DIR"), "/presets/jobs/coil-winder.toml");
    let done = fixwright(&["make", preset, "--format", "stl", "--out", folder.path().to_str().unwrap()]);
    assert!(done.status.success());
    assert_eq!(String::from_utf8_lossy(&done.stderr), "");
    assert!(!done.stdout.contains(&0x1b));
}

#[test]
fn a_reader_that_hangs_up_ends_the_output_and_nothing_else() {
    for arguments in
        [&["schema", "job"][..], &["belt", "--profile", "3M", "--pulleys", "20,60", "--near", "85", "--json"]]
    {
        let mut child = Command::new(env!("CARGO_BIN_EXE_fixwright"))
            .args(arguments)
            .stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let done = child.wait_with_output().unwrap();
        assert_eq!(String::from_utf8_lossy(&done.stderr), "", "{arguments:?}");
        assert!(done.status.success(), "{arguments:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn output_led_to_a_full_disk_is_an_error() {
    let done = Command::new(env!("CARGO_BIN_EXE_fixwright"))
        .args(["schema", "job"])
        .stdout(std::fs::File::create("/dev/full").unwrap())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1));
    assert!(said.contains("cannot be written to") && said.contains("try:"), "{said}");
}

#[test]
fn what_is_missing_on_the_command_line_is_named_in_json_too() {
    let done = fixwright(&["pulley", "--teeth", "20", "--bore", "8", "--json"]);
    let answer: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(answer["error"]["says"].as_str().unwrap().contains("--profile"), "{answer}");
}

#[test]
fn an_option_that_cannot_be_read_gets_its_next_step_in_words_and_json_alike() {
    let cases: [(&[&str], &str); 4] = [
        (&["sleeve", "6204", "--reech", "5"], "'--reach'"),
        (&["sleeve", "6204", "--ring", "middle"], "inner, outer, both"),
        (
            &["plate", "--hole", "60", "--cable", "6", "--bush", "1.5", "--cord", "2"],
            "leave one of the two out",
        ),
        (&["plate", "--hole", "60", "--cable", "6:plug=nosuch"], "plug="),
    ];
    for (arguments, step) in cases {
        let done = fixwright(arguments);
        assert_eq!(done.status.code(), Some(2), "{arguments:?}");
        let words = String::from_utf8(done.stderr).unwrap();
        let (_, after) = words.split_once("try:").expect(&words);
        assert!(after.contains(step), "{words}");
        let done = fixwright(&[arguments, &["--json"]].concat());
        let answer: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
        let said = answer["error"]["try"].as_str().unwrap();
        assert!(said.contains(step), "{said}");
    }
}

#[test]
fn the_examples_of_every_commands_help_run_as_they_stand_and_stand_in_its_manual_page() {
    let folder = tempfile::tempdir().unwrap();
    let mut tried = 0;
    for command in fixwright::cli::command(fixwright::parts::KINDS).get_subcommands() {
        let name = command.get_name();
        let help = said(&[name, "--help"]);
        let Some((_, examples)) = help.split_once("Examples:") else {
            let is_part = fixwright::parts::KINDS.iter().any(|kind| kind.name == name);
            assert!(!is_part, "{name} shows no example");
            continue;
        };
        let page = said(&["man", name]);
        assert!(
            [".SH EXAMPLES", ".SH FILES", ".SH \"EXIT STATUS\""].iter().all(|part| page.contains(part)),
            "{page}"
        );
        for line in examples.lines().map(str::trim).filter(|line| line.starts_with("fixwright ")) {
            let words: Vec<&str> = line.split_whitespace().skip(1).collect();
            let (words, file) = match words.iter().position(|word| *word == ">") {
                Some(at) => (&words[..at], Some(words[at + 1])),
                None => (&words[..], None),
            };
            let mut run = Command::new(env!("CARGO_BIN_EXE_fixwright"));
            if name == "make" && file.is_none() {
                run.args(["--json"]);
            }
            let done = run.args(words).current_dir(folder.path()).output().unwrap();
            assert!(done.status.success(), "{line}: {}", String::from_utf8_lossy(&done.stderr));
            if let Some(file) = file {
                std::fs::write(folder.path().join(file), done.stdout).unwrap();
            }
            tried += 1;
        }
    }
    assert!(tried > 15, "{tried}");
}

#[test]
fn a_belt_says_how_often_the_index_comes_and_that_threading_needs_it_once_a_turn() {
    for (pulleys, per_turn, words) in [
        ("40,40", 1.0, "one pulse per spindle turn, as threading needs"),
        ("60,20", 3.0, "3 in 1 turn of the spindle; threading needs one in each turn"),
        ("20,30", 2.0 / 3.0, "2 in 3 turns of the spindle; threading needs one in each turn"),
    ] {
        let asked = ["belt", "--profile", "3M", "--pulleys", pulleys, "--belt-teeth", "120"];
        assert!(said(&asked).contains(words), "{pulleys}");
        let json: serde_json::Value =
            serde_json::from_str(&said(&[&asked[..], &["--json"]].concat())).unwrap();
        assert_eq!(json["index_per_spindle_turn"].as_f64(), Some(per_turn), "{pulleys}");
    }
}

#[test]
fn nothing_that_a_fit_is_asked_is_dropped_and_no_worn_seat_is_called_a_fit() {
    for (asked, names) in [
        ("--diameter 40 --ring-outside 60 --interference-um 5 --metal brass", "--metal"),
        ("--shaft 30 --class k5 --friction 0.1", "--friction"),
        ("--hole 62 --class N7 --bearing 6206 --shaft-bore 10", "--shaft-bore"),
        ("--shaft 30 --class k5 --bearing 6206 --length 10", "--length"),
        ("--hole 62.5 --bearing 6206", "no class is as loose"),
    ] {
        let words: Vec<&str> = std::iter::once("fit").chain(asked.split(' ')).collect();
        let done = fixwright(&words);
        let error = String::from_utf8_lossy(&done.stderr).replace("\n       ", " ");
        assert!(!done.status.success() && error.contains(names), "{asked}: {error}");
    }
    // A tight outer ring is moved by no spring; one that slides is.
    let spring = |class: &str| said(&["fit", "--hole", "47", "--class", class, "--bearing", "6204"]);
    assert!(spring("N7").contains("none: this outer ring") && spring("H7").contains("wave spring"));
    // What is below nought is read as a number.
    said(&["fit", "--diameter", "40", "--ring-outside", "60", "--interference-um", "-5"]);
}

#[test]
fn a_job_whose_guard_is_drawn_for_another_bracket_says_so_with_both_values() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    let part = |kind: &str, near: u32| {
        format!(
            "[[{kind}]]\nname = \"{kind}\"\nstyle = \"face\"\npulleys = [40, 24]\nshafts = [12, 6]\nnear = {near}\n\n"
        )
    };
    let made = |near: u32| {
        std::fs::write(&job, format!("title = \"Drive\"\n\n{}{}", part("bracket", 110), part("guard", near)))
            .unwrap();
        let (job, out) = (job.to_str().unwrap(), folder.path().join("parts"));
        let out = fixwright(&["make", job, "--format", "json", "--json", "--out", out.to_str().unwrap()]);
        String::from_utf8(out.stdout).unwrap()
    };
    let other = made(130);
    assert!(other.contains("near is 130.0 here and 110.0 there"), "{other}");
    assert!(!made(110).contains("\"companion\""));
}

#[test]
fn one_screen_shows_the_step_that_decides_within_24_lines_of_80_columns() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    for (words, decides) in [
        (&["sleeve", "--bearing", "6204", "--drive", "rod"][..], " N·m, whichever"),
        (&["receiver", "--bearing", "6204", "--from", "shaft", "--reach", "60"], "Stop at "),
        (&["pulley", "--profile", "MXL", "--teeth", "40", "--bore", "8"], "2. "),
    ] {
        let screen = said(&[words, &["--out", out]].concat());
        assert!(screen.lines().count() <= 24, "{screen}");
        assert!(screen.lines().all(|line| line.chars().count() <= 80 || line.starts_with("Written to")));
        let flowing = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flowing.contains(decides), "{screen}");
    }
}
