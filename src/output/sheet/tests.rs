use super::super::{drawing, picture::shots};
use super::*;
use crate::checks::Finding;
use crate::design::{Band, Feature, Mating, Notes, Piece, PrintReading};
use crate::solid::{Body, Loop, Point2, Region};

fn design(name: &str) -> Design {
    let square = Loop::rectangle(Point2::origin(), 30.0, 20.0).unwrap();
    let hole = Loop::circle(Point2::origin(), 4.0).unwrap();
    let body = Body::prism(&Region::new(square, vec![hole]).unwrap(), 0.0, 10.0).unwrap();
    let pin =
        Body::prism(&Region::new(Loop::circle(Point2::origin(), 3.9).unwrap(), vec![]).unwrap(), -5.0, 25.0)
            .unwrap();
    let basis = "common practice";
    let mut stop = Finding::at_least(
        "wall",
        (0.5, 0.8, "mm"),
        Level::Stop,
        "The wall is <thin>.",
        "Make it thicker by 0.3 mm.",
        basis,
    );
    stop.accepted = true;
    Design {
        kind: "plate",
        name: name.into(),
        sizes: vec![
            Size::new("margin", "width", 30.0, Origin::Given("--width".into())).at_bench(0),
            Size::new("force_n", "force", 1234.56, Origin::Estimate("weigh it".into())),
        ],
        findings: vec![
            Finding::at_least("rim", (3.0, 2.0, "mm"), Level::Caution, "The rim holds.", "", basis),
            stop,
        ],
        pieces: vec![Piece::new("", body, 0.05).unwrap()],
        mating: vec![Mating::touching("pin", pin)],
        chord_tolerance: 0.05,
        notes: Notes {
            purpose: "Holds <b>things</b> & \"more\".".into(),
            mechanics: vec!["Pulls at 1.2 kN.".into()],
            print: PrintNotes {
                lie: "Flat.".into(),
                layer_mm: 0.2,
                walls: 4,
                infill_percent: 40.0,
                material: "PLA".into(),
                mass_g: 6.2,
                time_min: 25.0,
            },
            steps: vec!["First.".into(), "Second.".into()],
            cautions: vec!["Mind your fingers.".into()],
            hardware: vec![],
            readings_wanted: vec!["The pin's diameter.".into()],
            print_readings: vec![PrintReading::new(
                "r30_0",
                "width",
                Feature::Outside,
                (30.0, 0.0),
                Band { under: 0.200, over: 0.100, firm: true },
            )],
        },
        ..Design::default()
    }
}

fn sheet(designs: &[Design]) -> String {
    let shots: Vec<_> = designs.iter().map(|d| shots(d).unwrap()).collect();
    let drawn: Vec<_> = designs.iter().map(|d| drawing::pages(d).unwrap()).collect();
    let files = vec!["a.stl".to_string()];
    let entries: Vec<Entry> = designs
        .iter()
        .zip(shots.iter().zip(&drawn))
        .map(|(design, (shots, pages))| Entry { design, shots, pages, asked: &[], files: &files })
        .collect();
    html("A <job>", &entries).unwrap()
}

/// The text with tags taken off, as a reader sees its order.
fn words(html: &str) -> String {
    let body = &html[html.find("<body>").unwrap()..];
    let mut out = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

#[test]
fn every_text_is_escaped() {
    let mut nasty = design("plate");
    let attack = "</td><script>alert(1)</script><img src=x onerror=alert(2)> \" ' &";
    nasty.name = attack.into();
    nasty.notes.purpose = attack.into();
    nasty.notes.steps.push(attack.into());
    nasty.notes.cautions.push(attack.into());
    nasty.notes.print.lie = attack.into();
    nasty.notes.print_readings[0].what = attack.into();
    nasty.findings[0].says = attack.into();
    nasty.sizes[0].origin = Origin::Given(attack.into());
    let html = html(
        attack,
        &[Entry {
            design: &nasty,
            shots: &shots(&nasty).unwrap(),
            pages: &drawing::pages(&nasty).unwrap(),
            asked: &[("name".into(), attack.into())],
            files: &[attack.into()],
        }],
    )
    .unwrap();
    assert!(!html.contains("<script>alert") && !html.contains("<img src=x"));
    assert!(!html.contains("\" ' &"), "quotes are escaped too, since some stand in attributes");
}

#[test]
fn nothing_is_fetched_from_anywhere() {
    let html = sheet(&[design("one")]);
    for outside in ["http://", "https://", "src=\"/", "url(", "@import", "<link", "<script src"] {
        assert!(!html.contains(outside), "{outside}");
    }
    assert!(html.contains("default-src 'none'"));
}

#[test]
fn a_part_follows_the_hands_and_what_it_rests_on_stands_in_the_annex() {
    let html = sheet(&[design("one"), design("two")]);
    let place = |what: &str| html.find(what).unwrap_or_else(|| panic!("{what}"));
    let common = place("Mind your fingers.");
    assert!(place("Read before you begin") < common && common < place("id=\"part-1\""));
    assert_eq!(html.matches("Mind your fingers.").count(), 1, "a caution in common is told once");
    let order = [
        "Before you use it",
        "<img",
        "<dt>width</dt>",
        "Print</h3>",
        "Measure the print",
        "At the bench",
        "id=\"annex\"",
        "What was checked",
        "Every size",
    ];
    let mut last = place("id=\"part-2\"");
    for what in order {
        last += html[last..].find(what).unwrap_or_else(|| panic!("{what} comes too early or not at all"));
    }
}

#[test]
fn the_script_is_the_one_its_policy_names() {
    let html = sheet(&[design("one")]);
    let inside = &html[html.find("<script>").unwrap() + 8..html.find("</script>").unwrap()];
    assert_eq!(html.matches("<script").count(), 1);
    assert!(html.contains(&format!("script-src 'sha256-{}'", STANDARD.encode(Sha256::digest(inside)))));
}

#[test]
fn a_stop_let_through_is_told_at_the_head_and_in_its_part() {
    let words = words(&sheet(&[design("one"), design("two")]));
    assert!(words.contains("one: wall was let through."));
    assert!(words.contains("stop, let through"));
}

#[test]
fn numbers_are_as_long_as_they_mean_something() {
    for (value, unit, text) in [
        (1234.56, "N", "1235"),
        (13.46, "N·m", "13.5"),
        (6.0449, "N·m", "6.04"),
        (0.01234, "", "0.012"),
        (119.175, "mm", "119.18"),
        (27.9, "mm", "27.9"),
        (0.0823, "mm", "0.082"),
        (0.00823, "mm", "0.0082"),
    ] {
        assert_eq!(in_reason(value, unit), text);
    }
}

#[test]
fn time_is_said_in_minutes_then_in_quarters_of_an_hour() {
    assert_eq!(duration(0.01), "5 min");
    assert_eq!(duration(0.5), "30 min");
    assert_eq!(duration(2.3), "2.5 h");
}

#[test]
fn the_same_designs_give_the_same_sheet() {
    assert_eq!(sheet(&[design("one")]), sheet(&[design("one")]));
}
