//! Job files: what is understood, and what is refused with the field, the value and the next step.

use fixwright::error::Kind;
use fixwright::job::Job;
use fixwright::output::{Format, make};
use fixwright::parts::KINDS;

fn job(part: &str) -> String {
    format!("title = \"t\"\n[[sleeve]]\nname = \"s\"\nbearing = \"6204\"\n{part}\n")
}

#[test]
fn lengths_carry_units_and_keys_are_the_options_names() {
    let job = Job::read(&job("reach = \"1.25in\"\nshaft-class = \"k5\"\nshaft = [\"17x20mm\"]")).unwrap();
    let made = make(&job.orders[0], &[Format::Stl]).unwrap();
    assert_eq!(made.design.size("reach"), Some(31.75));
    assert_eq!(made.files[0].name, "s.stl");
}

#[test]
fn the_head_serves_every_part_and_a_part_overrides_it() {
    let text = "title = \"t\"\nmaterial = \"petg\"\nprinter = \"bed-180\"\n[[sleeve]]\nbearing = \"6204\"\n[[sleeve]]\nbearing = \"6205\"\nmaterial = \"pc\"\n";
    let job = Job::read(text).unwrap();
    let materials: Vec<String> =
        job.orders.iter().map(|order| order.shared.workshop("PLA").unwrap().material.name).collect();
    assert_eq!(materials, ["petg", "pc"]);
    assert_eq!(job.orders[1].shared.workshop("PLA").unwrap().printer.name, "bed-180");
}

#[test]
fn broken_jobs_are_refused_with_what_to_mend() {
    // The text, and words the answer must hold.
    let broken: [(String, &[&str]); 16] = [
        (job("reach = \"1.25 furlong\""), &["furlong", "reach"]),
        (job("reach = nan"), &["reach"]),
        (job("reach = inf"), &["reach"]),
        (job("reach = true"), &["reach", "length"]),
        (job("raech = 60"), &["raech", "reach"]),
        (job("ring = \"middle\""), &["middle", "inner"]),
        (job("shaft = \"17x20\""), &["shaft"]),
        (job("shaft = [\"17\"]"), &["17"]),
        (job("accept = 3"), &["accept"]),
        ("title = \"t\"\n".into(), &["no part"]),
        ("[[sleeve]]\nbearing = \"6204\"\n".into(), &["title"]),
        ("title = \"t\"\n[sleeve]\nbearing = \"6204\"\n".into(), &["[[sleeve]]"]),
        ("title = \"t\"\nsleeve = 3\n".into(), &["sleeve"]),
        ("title = \"t\"\ncolour = \"red\"\n".into(), &["colour"]),
        ("title = \"t\"\nprinter = 4\n".into(), &["printer"]),
        ("title = \"t\n".into(), &["line 1"]),
    ];
    for (text, words) in broken {
        let error = Job::read(&text).err().unwrap_or_else(|| panic!("{text} was taken"));
        assert_eq!(error.exit_code(), 2, "{text}");
        let said = format!("{} {}", error.says, error.remedy);
        for word in words {
            assert!(said.contains(word), "{text}\nsays: {said}\nwithout '{word}'");
        }
        assert!(!said.contains('\n'), "{said}");
    }
}

#[test]
fn values_out_of_bounds_name_field_value_and_bound() {
    for (part, words) in [
        ("reach = -5", ["--reach", "-5", "1000"]),
        ("reach = 1e9", ["--reach", "1000000000", "1000"]),
        ("play = 0", ["--play", "0", "0.05"]),
        ("infill = 0", ["--infill", "0", "10"]),
        ("nose-length = 0", ["--nose-length", "0", "1"]),
        ("inner-land = 5", ["--inner-land", "5", "23"]),
    ] {
        let job = Job::read(&job(part)).unwrap();
        let error = make(&job.orders[0], &[Format::Stl]).unwrap_err();
        assert_eq!(error.kind, Kind::Request, "{part}");
        for word in words {
            assert!(error.says.contains(word), "{part}: {} without '{word}'", error.says);
        }
    }
}

#[test]
fn everything_wrong_with_a_job_is_told_at_once_in_the_files_order_with_its_line() {
    let text = "title = \"t\"\ncolour = \"red\"\n[[plate]]\nhole = 60\nhloe = 3\n\n[[sleeve]]\nbearing = \"6204\"\nraech = 60\nring = \"middle\"\n[[bracket]]\nspindel = 1\n";
    let error = Job::read(text).err().unwrap();
    let all: Vec<String> = std::iter::once(&error).chain(&error.more).map(|e| e.says.clone()).collect();
    for (says, words) in all.iter().zip([
        ["colour", "line 2"],
        ["hloe", "line 5"],
        ["raech", "line 9"],
        ["middle", "line 10"],
        ["spindel", "line 12"],
    ]) {
        assert!(words.iter().all(|word| says.contains(word)), "{all:#?}");
    }
    assert_eq!(all.len(), 5, "{all:#?}");
}

#[test]
fn parts_that_cannot_be_designed_are_all_told_whatever_the_number_of_threads() {
    let folder = tempfile::tempdir().unwrap();
    let part = |k: u32| format!("[[sleeve]]\nname = \"s{k}\"\nbearing = \"6204\"\nreach = -{k}\n");
    let job = folder.path().join("job.toml");
    std::fs::write(&job, format!("title = \"t\"\n{}", (1..=6).map(part).collect::<String>())).unwrap();
    let said = |threads: &str| {
        let done = std::process::Command::new(env!("CARGO_BIN_EXE_fixwright"))
            .env("RAYON_NUM_THREADS", threads)
            .args(["make", job.to_str().unwrap(), "--json"])
            .output()
            .unwrap();
        assert_eq!(done.status.code(), Some(2));
        String::from_utf8(done.stdout).unwrap()
    };
    let once = said("1");
    let answer: serde_json::Value = serde_json::from_str(&once).unwrap();
    let more = answer["error"]["more"].as_array().unwrap();
    assert!(answer["error"]["says"].as_str().unwrap().contains("'s1'"), "{once}");
    assert!(more.len() == 5 && more[4]["says"].as_str().unwrap().contains("'s6'"), "{once}");
    assert!((0..3).all(|_| said("7") == once), "the same on seven threads");
    assert_eq!(said("100000"), once, "and on as many as nobody has");
}

#[test]
fn a_value_without_its_quotes_is_explained_at_its_line() {
    for (value, line) in [("6204-2Z", 3), ("NU204", 3), ("20x47x14", 3)] {
        let error =
            Job::read(&format!("title = \"t\"\n[[sleeve]]\nbearing = {value} # stamped\n")).err().unwrap();
        assert!(error.says.contains(&format!("line {line}")), "{error}");
        assert!(error.remedy.contains(&format!("bearing = \"{value}\"")), "{error}");
        assert!(error.more.is_empty(), "{error:?}");
    }
    // A fault in the first column of a line belongs to that line.
    let error = Job::read("title = \"t\"\n[[sleeve]]\n= 3\n").err().unwrap();
    assert!(error.says.contains("line 3"), "{error}");
}

#[test]
fn parts_of_one_name_are_refused_before_any_work() {
    for (a, b) in
        [("name = \"twin\"", "name = \"Twin\""), ("", ""), ("name = \"Ölring\"", "name = \"o\u{308}lring\"")]
    {
        let part = |name: &str| format!("[[sleeve]]\n{name}\nbearing = \"6204\"\n");
        let error = Job::read(&format!("title = \"t\"\n{}{}", part(a), part(b))).err().unwrap();
        assert!(error.says.contains("line 2") && error.says.contains("line 5"), "{error}");
    }
    let error = Job::read(&job("accept = []").replace("\"s\"", "\"COM¹\"")).err().unwrap();
    assert!(error.says.contains("file name") && error.says.contains("line 2"), "{error}");
}

#[test]
fn what_is_too_long_is_refused_at_once_with_the_bound() {
    let many: String =
        (0..101).map(|k| format!("[[sleeve]]\nname = \"s{k}\"\nbearing = \"6204\"\n")).collect();
    let long = format!("name = \"s\"\nbearing = \"{}\"\n", "6".repeat(30_000));
    for (text, bound) in
        [(format!("title = \"t\"\n{many}"), "100"), (format!("title = \"t\"\n[[sleeve]]\n{long}"), "20000")]
    {
        let error = Job::read(&text).err().unwrap();
        assert!(error.says.contains(bound), "{error}");
    }
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("long.toml");
    std::fs::write(&file, "#".repeat(2 << 20)).unwrap();
    assert!(Job::open(&file, KINDS).err().unwrap().says.contains("1024 kB"));
    #[cfg(unix)]
    assert!(Job::open(std::path::Path::new("/dev/zero"), KINDS).err().unwrap().says.contains("1024 kB"));
}

#[test]
fn a_printer_named_by_a_path_is_found_beside_the_job_and_only_its_file_name_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let preset = fixwright::workshop::PRINTERS[0].1;
    std::fs::write(folder.path().join("mine.toml"), preset).unwrap();
    let file = folder.path().join("job.toml");
    std::fs::write(&file, job("printer = \"mine.toml\"").replace('\n', "\r\n")).unwrap();
    let job = Job::open(&file, KINDS).unwrap();
    let made = make(&job.orders[0], &[Format::Json]).unwrap();
    assert_eq!(made.workshop.printer.name, "mine.toml");
    let text = String::from_utf8_lossy(&made.files[0].bytes).into_owned();
    assert!(!text.contains(folder.path().to_str().unwrap()), "{text}");
}

#[test]
fn what_commands_a_terminal_or_breaks_a_file_is_refused_wherever_it_comes_from() {
    for unfit in ["\\u001b[31m", "\\u009b31m", "\\u0000", "\\ufffe", "\\u202e", "\\n"] {
        for text in [
            format!("title = \"a{unfit}b\"\n[[sleeve]]\nbearing = \"6204\"\n"),
            job(&format!("shaft-material = \"a{unfit}b\"")),
            job(&format!("\"a{unfit}b\" = 1")),
            format!("title = \"t\"\n[[plate]]\nhole = 60\ncable = [\"6:label=a{unfit}b\"]\n"),
        ] {
            let error = Job::read(&text).err().unwrap_or_else(|| panic!("{text} was taken"));
            assert!(error.says.contains("line") || error.says.contains("Line"), "{error}");
        }
    }
    for argument in ["a\u{1b}[31mb", "a\u{9b}31mb", "a\u{202e}b", "a\nb"] {
        for arguments in [
            vec!["sleeve", argument],
            vec!["sleeve", "6204", "--out", argument],
            vec!["presets", argument],
            vec!["make", argument],
        ] {
            let done = std::process::Command::new(env!("CARGO_BIN_EXE_fixwright"))
                .args(&arguments)
                .arg("--json")
                .output()
                .unwrap();
            assert_eq!(done.status.code(), Some(2), "{arguments:?}");
            let said = String::from_utf8([done.stdout, done.stderr].concat()).unwrap();
            let unfit = said.chars().find(|c| fixwright::text::is_unfit(*c) && *c != '\n');
            assert_eq!(unfit, None, "{arguments:?}: {said}");
        }
    }
}
