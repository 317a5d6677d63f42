//! A folder of the user's own tables: its rows count, are told as the user's, and wrong ones are refused.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn fixwright(folder: &Path, line: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fixwright"))
        .current_dir(folder)
        .args(line.split_whitespace())
        .output()
        .unwrap()
}

/// A folder with a `tables` folder in it, each file begun as `presets` prints it, with these rows.
fn folder_with(tables: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("tables")).unwrap();
    for (file, rows) in tables {
        let begun = fixwright(folder.path(), &format!("presets {file}"));
        let text = String::from_utf8(begun.stdout).unwrap() + rows;
        fs::write(folder.path().join("tables").join(file), text).unwrap();
    }
    folder
}

fn json(folder: &Path, line: &str) -> serde_json::Value {
    let done = fixwright(folder, &format!("{line} --json"));
    assert!(done.status.success(), "{line}: {}", String::from_utf8_lossy(&done.stderr));
    serde_json::from_slice(&done.stdout).unwrap()
}

fn refused(folder: &Path, line: &str) -> String {
    let done = fixwright(folder, line);
    assert_eq!(done.status.code(), Some(2), "{line}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stderr).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}

const ENCODER: &str =
    "Lathe-50,,\"50 mm flange\",round,50,40,30,3,circle,40,4,M4,45,8,18,60,250,6000,8,bench\n";

#[test]
fn rows_of_each_own_table_count_and_are_told_with_file_and_line() {
    let folder = folder_with(&[
        ("encoders.csv", ENCODER),
        ("pulleys.csv", "GT2,6,36,,,26,18,9.5,15,5,10,,,,drawer\n"),
        ("belt_lengths.csv", "2GT,213,,common,corner shop\n"),
        ("plugs.csv", "DIN5,16.5,caliper\n"),
        ("bearings.csv", "Spec-40,deep-groove-ball,40,80,18,,1.1,stamp\n"),
    ]);
    let at = folder.path();
    let bracket = json(at, "bracket --pulleys 36,36 --near 177 --encoder lathe-50 --format json");
    let dimensions = &bracket["dimensions"];
    let value = |key: &str| dimensions[key].as_f64().or(dimensions[key]["value"].as_f64()).unwrap();
    assert_eq!((value("bolt_circle"), value("pulley_width")), (40.0, 9.5));
    assert_eq!(bracket["belt"]["teeth"], 213);
    let said = bracket.to_string();
    for place in [
        "your tables/encoders.csv, line",
        "your tables/pulleys.csv, line",
        "your tables/belt_lengths.csv, line",
    ] {
        assert!(said.contains(place), "{place}");
    }
    let bearing = json(at, "bearing spec-40");
    assert_eq!(bearing["outside"], 80.0);
    let plate = json(at, "plate --hole 60 --cable 6:plug=din5 --format json");
    assert!(plate.to_string().contains("16.5 mm across"));
    // Found beside the job too, wherever the command is typed.
    let job = "title = \"J\"\n[[bracket]]\npulleys = [36, 36]\nnear = 177\nencoder = \"lathe-50\"\n";
    fs::write(at.join("job.toml"), job).unwrap();
    let elsewhere = tempfile::tempdir().unwrap();
    let line = format!("make {} --format json", at.join("job.toml").display());
    assert!(json(elsewhere.path(), &line).to_string().contains("your tables/encoders.csv"));
    let error = refused(elsewhere.path(), "bracket --pulleys 36,36 --near 177 --encoder lathe-50");
    assert!(error.contains("No encoder pattern 'lathe-50'"), "{error}");
}

#[test]
fn a_wrong_row_is_refused_with_line_and_column() {
    let wrong = |file: &str, rows: &str| {
        let folder = folder_with(&[(file, rows)]);
        refused(folder.path(), "belt --pulleys 36,24 --near 110")
    };
    // Seven lines stand before a user's first row.
    for (file, rows, says) in [
        (
            "encoders.csv",
            ENCODER.replace(",40,4,M4", ",4o,4,M4"),
            "encoders.csv, line 8, column 'spacing' is '4o'",
        ),
        ("encoders.csv", ENCODER.replace(",40,4,M4", ",400,4,M4"), "line 8: column 'spacing' is 400 mm"),
        ("encoders.csv", ENCODER.replace(",round,", ",oval,"), "line 8, column 'body' is 'oval'"),
        ("encoders.csv", ENCODER.replace("Lathe-50", "38"), "line 8: '38' is in our table already"),
        (
            "encoders.csv",
            ENCODER.replace("Lathe-50", "a\u{202e}b"),
            "line 8, column 'pattern' holds a character",
        ),
        ("encoders.csv", format!("{ENCODER}{ENCODER}"), "line 9: 'lathe-50' is in line 8"),
        ("encoders.csv", "a,b\n".into(), "line 8 has 2 cells; the headings are 20"),
        ("pulleys.csv", "2GT,6,36,,40,,,,,,,,,,x\n".into(), "column 'outside_diameter' is 40 mm"),
        (
            "bearings.csv",
            "6204-2RS,deep-groove-ball,25,52,15,,1,x\n".into(),
            "our tables read '6204-2RS' as a bearing",
        ),
        ("plugs.csv", "12,16.5,x\n".into(), "column 'name' is '12'"),
        ("plugs.csv", "DIN5,16.5,\n".into(), "line 8, column 'source' is empty"),
        (
            "belt_lengths.csv",
            "2GT,140,999-2GT,common,x\n".into(),
            "'999-2GT', but 140 teeth of 2GT are 280 mm",
        ),
        (
            "pulleys.csv",
            "2GT,6,36,,,26,,,,,,,,,x\nGT2,6,36,,,24,,,,,,,,,x\n".into(),
            "line 9: '2GT of 36 teeth for a belt of 6 mm' is in line 8",
        ),
        // Remarks and empty lines before a row count too, whatever ends a line.
        ("plugs.csv", "DIN5,16.5,c\n# so\n\nDIN6,1x,c\n".into(), "line 11, column 'across' is '1x'"),
        ("plugs.csv", "DIN5,16.5,c\r\n# so\r\nDIN6,1x,c\r\n".into(), "line 10, column 'across' is '1x'"),
    ] {
        let error = wrong(file, &rows);
        assert!(error.contains(says), "{says}: {error}");
    }
}

#[test]
fn a_heading_or_a_file_that_would_not_count_is_refused() {
    let folder = folder_with(&[("plugs.csv", "DIN5,16.5,caliper\n")]);
    let at = folder.path().join("tables");
    fs::write(at.join("pulley.csv"), "profile\n").unwrap();
    let error = refused(folder.path(), "belt --pulleys 36,24 --near 110");
    assert!(
        error.contains("No table is called 'tables/pulley.csv'") && error.contains("pulleys.csv"),
        "{error}"
    );
    fs::remove_file(at.join("pulley.csv")).unwrap();
    fs::write(at.join("plugs.csv"), "name,diameter,source\nDIN5,16.5,x\n").unwrap();
    let error = refused(folder.path(), "belt --pulleys 36,24 --near 110");
    assert!(
        error.contains("column 2 is headed 'diameter'") && error.contains("name,across,source"),
        "{error}"
    );
    // What looks nothing up is not held up by it.
    assert!(fixwright(folder.path(), "presets").status.success());
    // A folder that is named must hold tables.
    let done = fixwright(folder.path(), "belt --pulleys 36,24 --near 110 --tables .");
    assert!(String::from_utf8_lossy(&done.stderr).contains("holds none of encoders.csv"));
}
