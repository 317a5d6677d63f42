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
