//! A kind of part that this crate does not know reaches the command line, job files and every format.

#[path = "../examples/spacer.rs"]
mod spacer;

use fixwright::cli::run_kinds;
use fixwright::job::{Job, schema};
use std::ffi::OsString;
use std::process::ExitCode;

#[test]
fn it_is_a_command_of_its_own_with_every_format() {
    let out = tempfile::tempdir().unwrap();
    let formats = "stl,stl-ascii,3mf,step,drawing,picture,sheet,json";
    let words = ["fixwright", "spacer", "--screw", "M8", "--height", "0.5in", "--format", formats, "--out"];
    let words = words.iter().map(OsString::from).chain([out.path().into()]);
    assert_eq!(run_kinds(&spacer::kinds(), words), ExitCode::SUCCESS);
    for ending in
        [".stl", "-ascii.stl", ".3mf", ".step", "-drawing.svg", "-drawing.pdf", "-picture.png", ".html"]
    {
        let file = out.path().join(format!("spacer-m8{ending}"));
        assert!(file.metadata().is_ok_and(|file| file.len() > 200), "{}", file.display());
    }
    let report = std::fs::read_to_string(out.path().join("spacer-m8.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    assert_eq!(report["dimensions"]["height"], 12.7);
    assert_eq!(report["origins"]["height"]["origin"], "given");
    assert_eq!(report["origins"]["outside"]["source"], "ISO 7089, washer for M8");
    let checks: Vec<_> = report["findings"].as_array().unwrap().iter().map(|f| &f["check"]).collect();
    assert_eq!(checks, ["wall", "contact", "step-read-back"]);
}

#[test]
fn it_is_a_table_of_a_job_and_of_its_schema() {
    let kinds = spacer::kinds();
    let job = Job::read_kinds(
        "title = \"t\"\n[[spacer]]\nscrew = \"M5\"\n[[sleeve]]\nbearing = \"6204\"\n",
        &kinds,
    );
    assert_eq!(job.unwrap().orders.len(), 2);
    let refused = Job::read_kinds("title = \"t\"\n[[spacer]]\nbore = 3\n", &kinds).err().unwrap();
    assert!(refused.says.contains("there is no key 'bore'"), "{refused}");
    let schema = schema::job(&kinds).unwrap().to_string();
    assert!(schema.contains("The screw that goes through it"));
    assert!(
        Job::read("title = \"t\"\n[[spacer]]\n").err().unwrap().says.contains("'spacer' that no job has")
    );
}
