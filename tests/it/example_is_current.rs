//! What stands in `output-example/` is what the demo job writes today.

use fixwright::cli;
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::Path;
use std::process::ExitCode;

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    std::fs::read_dir(folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .filter(|path| !path.ends_with(".fixwright-files"))
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(&path).unwrap()))
        .collect()
}

#[test]
fn output_example_is_what_the_demo_job_writes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = tempfile::tempdir().unwrap();
    let job = root.join("presets/jobs/coil-winder.toml");
    let words: [OsString; 5] =
        ["fixwright".into(), "make".into(), job.into(), "--out".into(), out.path().into()];
    assert_eq!(cli::run(words), ExitCode::SUCCESS);
    let (written, kept) = (files(out.path()), files(&root.join("output-example")));
    let names = |set: &BTreeMap<String, Vec<u8>>| set.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&written), names(&kept), "run tests/refresh-example");
    let stale: Vec<&String> =
        written.iter().filter(|(name, bytes)| kept[*name] != **bytes).map(|(name, _)| name).collect();
    assert!(stale.is_empty(), "{stale:?} differ: run tests/refresh-example and look at the difference");
}
