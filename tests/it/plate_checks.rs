//! Every check of a plate has its numbers, its basis and its remedy, passes on a sound plate, and can
//! fail: for each a request that provokes it.

use crate::plates::{length, plate};
use fixwright::checks::{Finding, Level};
use fixwright::design::{Design, Part};
use fixwright::parts::plate::Plate;
use fixwright::parts::plate::spec::{Anchors, Mount, Split};
use fixwright::workshop::Workshop;

const CHECKS: [&str; 13] = [
    "web",
    "rim",
    "overlap",
    "screw-edge",
    "separation",
    "plug-passes",
    "anchor-strength",
    "tie-room",
    "spigot-clearance",
    "bend-radius",
    "bed-size",
    "overhang",
    "open-area",
];

fn shop() -> Workshop {
    Workshop::find("bed-220", "petg", 0.02).unwrap()
}

fn made(request: &Plate, shop: &Workshop) -> Design {
    request.design(shop, "p").unwrap_or_else(|e| panic!("{e}"))
}

fn found(request: &Plate, check: &str) -> Finding {
    let design = made(request, &shop());
    design.finding(check).unwrap_or_else(|| panic!("no {check}")).clone()
}

#[test]
fn a_sound_plate_is_told_of_every_check_and_passes_them_all() {
    let sound = plate("100", &["9.5:mains:plug=28", "8.2x2:motor", "6x2:signal"]);
    let design = made(&sound, &shop());
    for check in CHECKS {
        let finding = design.finding(check).unwrap_or_else(|| panic!("no {check}"));
        assert_eq!(finding.level, Level::Ok, "{finding:?}");
        assert!(finding.value.is_finite() && finding.limit.is_finite());
        assert!(finding.basis.len() > 10 && finding.says.len() > 20, "{finding:?}");
    }
}

#[test]
fn every_check_fails_on_a_request_that_deserves_it() {
    let base = plate("60", &["8.2x3", "6:signal"]);
    let on_margin = Plate { anchors: Anchors::Margin, ..base.clone() };
    let thin_web =
        |hole: &str, web: &str| Plate { web: length(web), anchors: Anchors::Off, ..plate(hole, &["8x7"]) };
    let with = |change: &dyn Fn(&mut Plate)| {
        let mut request = base.clone();
        change(&mut request);
        request
    };
    let cases: Vec<(&str, Plate, Level)> = vec![
        ("web", thin_web("33.4", "1.4"), Level::Caution),
        ("web", thin_web("32.4", "1"), Level::Stop),
        ("rim", Plate { rim: length("1.4"), anchors: Anchors::Off, ..plate("12", &["8"]) }, Level::Caution),
        (
            "overlap",
            with(&|p| {
                p.margin = length("4");
                p.mount = Mount::Ring;
            }),
            Level::Caution,
        ),
        (
            "overlap",
            with(&|p| {
                p.margin = length("3");
                p.mount = Mount::Ring;
            }),
            Level::Stop,
        ),
        ("screw-edge", with(&|p| p.margin = length("8")), Level::Stop),
        ("separation", plate("30", &["9:mains", "6x2"]), Level::Caution),
        ("plug-passes", plate("40", &["8:plug=45"]), Level::Stop),
        // Each plug passes the empty hole; the second does not beside the first one's cable.
        ("plug-passes", plate("60", &["11:mains:plug=52", "9:signal:plug=51"]), Level::Stop),
        ("anchor-strength", Plate { thickness: length("3"), ..on_margin.clone() }, Level::Stop),
        ("tie-room", Plate { anchors: Anchors::Inside, ..plate("76", &["6x12"]) }, Level::Caution),
        ("spigot-clearance", with(&|p| p.spigot_clearance = length("0.05")), Level::Caution),
        ("spigot-clearance", with(&|p| p.spigot_clearance = length("1.5")), Level::Caution),
        ("bend-radius", on_margin.clone(), Level::Caution),
        ("bed-size", plate("300", &["8"]), Level::Stop),
        ("open-area", with(&|p| p.play = length("3")), Level::Caution),
    ];
    for (check, request, level) in cases {
        let finding = found(&request, check);
        assert_eq!(finding.level, level, "{finding:?}");
        let remedy = finding.remedy.as_deref().unwrap_or_default();
        assert!(remedy.len() > 15, "{finding:?}");
        assert!(finding.basis.len() > 10, "{finding:?}");
    }
    // A printer that bridges nothing prints no tunnel.
    let mut poor = shop();
    poor.printer.bridge = 1.0;
    let design = made(&base, &poor);
    let overhang = design.finding("overhang").unwrap();
    assert!(overhang.stops() && overhang.remedy.is_some(), "{overhang:?}");
    // A printer that leans less than the chamfers ask for is told so.
    let mut upright = shop();
    upright.printer.overhang_deg = 30.0;
    assert!(made(&base, &upright).finding("overhang").unwrap().stops());
}

#[test]
fn a_margin_nobody_asked_for_clears_every_screw_of_every_size() {
    for screw in ["M3", "M4", "M5", "M6", "M8"] {
        for hole in ["30", "60", "80x40", "80x40:obround", "40x120:r=6"] {
            for cables in [&["6x2"][..], &["6x2:plug=12"], &["6:plug=12", "5"]] {
                let request = Plate { screw: Some(screw.into()), ..plate(hole, cables) };
                let Ok(design) = request.design(&shop(), "p") else {
                    continue;
                };
                let finding = design.finding("screw-edge").unwrap();
                assert_eq!(finding.level, Level::Ok, "{screw} {hole} {cables:?}: {finding:?}");
            }
        }
    }
}

#[test]
fn a_long_plate_lies_across_its_bed_and_a_longer_one_is_told_what_would_help() {
    // 223 mm on a bed of 220 by 220, turned.
    assert_eq!(found(&plate("200x50", &["8"]), "bed-size").level, Level::Ok);
    let too_long = found(&plate("300x60", &["8"]), "bed-size");
    assert!(!too_long.remedy.unwrap().contains("halves"));
    let halves_do = found(&plate("220x76", &["8"]), "bed-size");
    assert!(halves_do.remedy.unwrap().contains("halves"));
    let halves = Plate { split: Split::Halves, ..plate("220x76", &["8"]) };
    assert_eq!(found(&halves, "bed-size").level, Level::Ok);
}

#[test]
fn a_margin_too_narrow_for_its_screws_is_refused_with_one_that_does() {
    let narrow = Plate { margin: length("4"), ..plate("60", &["8.2x3"]) };
    let error = narrow.design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("M4") && error.remedy.contains("--margin 11.5"), "{error}");
}

#[test]
fn crowded_ties_are_let_through_with_a_caution_and_never_walled_in() {
    for (hole, cables) in [("50", "6x6"), ("100", "5x30"), ("40", "7x3"), ("100", "8x16")] {
        let design = made(&plate(hole, &[cables]), &shop());
        assert_eq!(design.lists["anchors"].as_array().unwrap().len(), {
            let count = cables.split_once('x').unwrap().1;
            count.parse::<usize>().unwrap()
        });
        let stops: Vec<_> = design.findings.iter().filter(|f| f.stops()).collect();
        assert!(stops.is_empty(), "{hole} {cables}: {stops:?}");
    }
}

#[test]
fn a_hole_that_is_too_small_is_refused_once_with_the_least_that_does() {
    let refused = |hole: &str, cables: &[&str]| {
        let order = |hole: &str| {
            let words = cables.iter().map(|cable| ("cable".to_string(), cable.to_string()));
            let options = std::iter::once(("hole".to_string(), hole.to_string())).chain(words).collect();
            crate::requests::Request { kind: "plate", options }.made(&[])
        };
        let error = order(hole).unwrap_err();
        let least = error.remedy.split(|c: char| !(c.is_ascii_digit() || c == '.'));
        let least = least.filter_map(|word| word.parse::<f64>().ok()).fold(0.0, f64::max);
        (error.says.clone(), least, order(&least.to_string()).is_ok())
    };
    let (says, least, holds) = refused("6", &["8"]);
    assert!(says.contains("6 mm") && says.contains("8 and 600 mm") && least > 8.0 && holds, "{says} {least}");
    let (says, ..) = refused("6", &["1"]);
    assert!(says.contains("between 8 and 600 mm"), "{says}");
}

#[test]
fn a_plate_with_a_fan_alone_speaks_of_no_cables_at_the_drill() {
    let request = crate::requests::Request { kind: "plate", options: vec![] };
    let made = request.with("fan", "80").made(&[]).unwrap();
    let drill = made.design.notes.steps.iter().find(|step| step.contains("drill ")).unwrap();
    assert!(!drill.contains("cable"), "{drill}");
}
