//! Sizes told in inches beside millimetres: the same sizes, in every place a person reads, and nothing else changed.

use crate::requests::Request;
use fixwright::output::{self, Format, report};

fn requests() -> [Request; 2] {
    let request = |kind, options: &[(&str, &str)]| {
        options
            .iter()
            .fold(Request { kind, options: vec![] }, |request, (key, value)| request.with(key, *value))
    };
    [
        request("sleeve", &[("bearing", "6204"), ("drive", "rod")]),
        request("pulley", &[("profile", "MXL"), ("teeth", "40"), ("bore", "8")]),
    ]
}

/// Each pair `mm [inches]` or `mm (inches in)` that stands in a text.
fn pairs(text: &str, (open, close): (&str, &str)) -> Vec<(f64, f64)> {
    text.match_indices(open)
        .filter_map(|(at, _)| {
            let before = text[..at].trim_end().trim_end_matches(" mm");
            let from = before
                .rfind(|c: char| !(c.is_ascii_digit() || c == '.'))
                .map_or(0, |at| at + before[at..].chars().next().map_or(1, char::len_utf8));
            let inches = &text[at + open.len()..];
            Some((before[from..].parse().ok()?, inches[..inches.find(close)?].parse().ok()?))
        })
        .collect()
}

#[test]
fn inches_stand_beside_every_size_in_report_sheet_and_drawing_and_nothing_else_changes() {
    for request in requests() {
        let formats = [Format::Stl, Format::Step, Format::Drawing, Format::Sheet];
        let metric = request.made(&formats).unwrap();
        let both = request.clone().with("units", "inch").made(&formats).unwrap();
        let json = |made: &output::Made| report::json(&made.design, &[]);
        assert_eq!(json(&metric), json(&both), "{request}");
        for (one, other) in metric.files.iter().zip(&both.files) {
            let solid = one.name.ends_with(".stl") || one.name.ends_with(".step");
            assert_eq!(one.bytes == other.bytes, solid, "{request}: {}", one.name);
        }
        let words = report::words(&both, &[], report::Length::Full);
        for size in both.design.sizes.iter().filter(|size| size.unit() == "mm" && size.is_worth_words()) {
            let inches = format!("{:.4} in", size.value / 25.4);
            let line = words
                .lines()
                .find(|line| line.contains(&format!("  {} ", size.label)) && line.contains(&inches));
            assert!(line.is_some(), "{request}: {} {inches} in {words}", size.label);
        }
        let sheet =
            output::job_files(("a", "a"), std::slice::from_ref(&both), &[Format::Sheet], false).unwrap();
        let file = |end: &str| {
            let file = both.files.iter().chain(&sheet).find(|file| file.name.ends_with(end)).unwrap();
            String::from_utf8(file.bytes.clone()).unwrap()
        };
        for (text, marks, least) in [(file(".svg"), (" [", "]"), 4), (file(".html"), ("(", " in)"), 5)] {
            let told = pairs(&text, marks);
            assert!(told.len() >= least, "{request}: {told:?}");
            for (mm, inches) in told {
                assert!(
                    (mm / 25.4 - inches).abs() < 0.005 / 25.4 + 6e-5,
                    "{request}: {mm} mm beside {inches} in"
                );
            }
        }
    }
}

/// What stands in a text behind each quantity of these units.
fn behind<'a>(text: &'a str, units: &[&str]) -> Vec<&'a str> {
    let digit = |at: usize| text[..at].ends_with(|c: char| c.is_ascii_digit());
    let of = |unit: &str| {
        let found: Vec<_> =
            text.match_indices(&format!(" {unit}")).map(|(at, unit)| (at, at + unit.len())).collect();
        found.into_iter().filter(|(at, _)| digit(*at)).map(|(_, end)| {
            let near = text[end..].char_indices().nth(40).map_or(text.len(), |(more, _)| end + more);
            &text[end..near]
        })
    };
    units
        .iter()
        .flat_map(|unit| of(unit))
        .filter(|rest| !rest.starts_with(|c: char| c.is_alphanumeric() || "/·²³".contains(c)))
        .collect()
}

#[test]
fn every_force_torque_stress_and_temperature_of_sheet_and_terminal_is_told_in_both_systems() {
    for request in requests() {
        let both = request.clone().with("units", "inch").made(&[]).unwrap();
        let one = std::slice::from_ref(&both);
        let sheet = output::job_files(("a", "a"), one, &[Format::Sheet], false).unwrap().remove(0);
        let sheet = String::from_utf8(sheet.bytes).unwrap();
        assert!(sheet.contains("with inches in brackets") && !sheet.contains("Lengths in millimetres."));
        let words =
            report::words(&both, &[], report::Length::Full).split_whitespace().collect::<Vec<_>>().join(" ");
        for text in [&sheet, &words] {
            let told = behind(text, &["N", "kN", "N·m", "MPa", "°C"]);
            assert!(!told.is_empty(), "{request}");
            for rest in told {
                let second = ["lbf", "psi", "°F"].iter().any(|unit| rest.contains(unit));
                assert!(second && !rest.starts_with('.'), "{rest} in {text}");
            }
        }
        let rod = both.design.notes.hardware.iter().find(|item| item.what == "threaded rod");
        assert!(rod.is_none_or(|rod| words.contains(&format!("threaded rod {} mm (", rod.size))), "{words}");
    }
}

#[test]
fn a_job_made_with_units_inch_says_its_stop_in_both_systems_and_reports_as_it_does_without() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    let text = "title = \"t\"\n[[sleeve]]\nbearing = \"6204\"\ndrive = \"rod\"\nshaft-class = \"p6\"\n";
    std::fs::write(&job, text).unwrap();
    let run = |more: &[&str]| {
        let out = folder.path().join("out");
        let command = ["make", job.to_str().unwrap(), "--format", "json", "--out", out.to_str().unwrap()];
        std::process::Command::new(env!("CARGO_BIN_EXE_fixwright")).args(command).args(more).output().unwrap()
    };
    let [metric, both] = [vec!["--json"], vec!["--json", "--units", "inch"]].map(|more| run(&more));
    assert!(metric.status.code() == Some(3) && metric.stdout == both.stdout);
    let [metric, both] = [metric, both].map(|output| String::from_utf8(output.stderr).unwrap());
    assert!(!metric.contains(" psi") && both.contains(" psi") && both.contains(" lbf"), "{both}");
}

#[test]
fn what_is_only_looked_up_is_told_in_both_systems_too() {
    let run = |arguments: &str| {
        let arguments = arguments.split_whitespace();
        std::process::Command::new(env!("CARGO_BIN_EXE_fixwright")).args(arguments).output().unwrap()
    };
    let said = |arguments: &str| {
        let run = run(arguments);
        String::from_utf8([run.stdout, run.stderr].concat()).unwrap()
    };
    for (command, told) in [
        ("fit --shaft 30 --class k5", "30.002 to 30.011 mm (1.1812 to 1.1815 in)"),
        ("fit --shaft 30 --class k5 --bearing 6206", " MPa ("),
        ("bearing 6204-2Z", "47 mm (1.8504 in)"),
        ("belt --profile 3M --pulleys 20,48 --belt-teeth 90", " mm (3."),
        ("fit --shaft 25 --class k5 --bearing 6206", "30 mm (1.1811 in)"),
    ] {
        let both = said(&format!("{command} --units inch"));
        assert!(both.contains(told), "{command}: {both}");
        assert!(!said(command).contains(" in)"), "{command}");
        assert_eq!(
            run(&format!("{command} --json --units inch")).stdout,
            run(&format!("{command} --json")).stdout
        );
    }
}
