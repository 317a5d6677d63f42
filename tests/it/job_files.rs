//! Job files: what is understood, and what is refused with the field, the value and the next step.

use fixwright::error::Kind;
use fixwright::job::Job;
use fixwright::output::{Format, make};

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
