//! A plate finds a layout whenever a careful person would, and says what hole would do when there is
//! none.

use fixwright::job::workshop::Workshop;
use fixwright::parts::plate::Plate;
use fixwright::parts::plate::spec::{Anchors, Split};
use fixwright::parts::{Design, Part};
use std::f64::consts::PI;

fn shop() -> Workshop {
    Workshop::find("bed-350", "petg", 0.02).unwrap()
}

fn plate(hole: &str, cables: &[&str]) -> Plate {
    Plate {
        hole: Some(hole.parse().unwrap()),
        cable: cables.iter().map(|c| c.parse().unwrap()).collect(),
        ..Plate::default()
    }
}

fn opening_places(design: &Design) -> Vec<(f64, f64, f64, String)> {
    let list = design.lists["openings"].as_array().unwrap();
    list.iter()
        .map(|o| {
            (
                o["x"].as_f64().unwrap(),
                o["y"].as_f64().unwrap(),
                o["diameter"].as_f64().unwrap(),
                o["group"].as_str().unwrap().to_string(),
            )
        })
        .collect()
}

fn least_web(design: &Design) -> f64 {
    let places = opening_places(design);
    let mut least = f64::INFINITY;
    for (i, a) in places.iter().enumerate() {
        for b in &places[..i] {
            least = least.min((a.0 - b.0).hypot(a.1 - b.1) - (a.2 + b.2) / 2.0);
        }
    }
    least
}

/// Radius of the least circle known to hold n unit circles. Graham, Lubachevsky, Nurmela, Östergård:
/// Dense packings of congruent circles in a circle, Discrete Mathematics 181 (1998).
const BEST_KNOWN: [(usize, f64); 18] = [
    (2, 2.0),
    (3, 2.154_701),
    (4, 2.414_214),
    (5, 2.701_302),
    (6, 3.0),
    (7, 3.0),
    (8, 3.304_765),
    (9, 3.613_126),
    (10, 3.813_026),
    (11, 3.923_804),
    (12, 4.029_602),
    (13, 4.236_068),
    (14, 4.328_429),
    (15, 4.521_357),
    (16, 4.615_426),
    (17, 4.792_034),
    (18, 4.863_703),
    (19, 4.863_703),
];

#[test]
fn equal_cables_fit_a_round_hole_at_a_hundredth_over_the_best_known_packing() {
    // Circle: opening and web. Container: hole less spigot play and rim.
    let probe = plate("60", &["8"]).design(&shop(), "p").unwrap();
    let drawn = opening_places(&probe)[0].2;
    let limit = |check: &str| probe.finding(check).unwrap().limit;
    let play = probe.dimension("spigot_clearance").unwrap();
    // A single opening has no web; its least is the rim's.
    let (web, rim) = (limit("rim"), limit("rim"));
    for factor in [1.10, 1.01] {
        for (n, ratio) in BEST_KNOWN {
            let container = ratio * (drawn + web) / 2.0 * factor;
            let hole = format!("{:.6}", 2.0 * (container + rim + play));
            let cables = format!("8x{n}");
            let request = Plate {
                anchors: Anchors::Off,
                split: Split::Never,
                ..plate(&hole, &[&cables])
            };
            let design = request
                .design(&shop(), "p")
                .unwrap_or_else(|e| panic!("{n} cables at {factor}: {e}"));
            assert_eq!(opening_places(&design).len(), n);
            assert!(least_web(&design) >= web - 1e-6, "{n} cables");
            assert!(
                design.dimension("min_rim").unwrap() >= rim - 1e-6,
                "{n} cables"
            );
            assert!(
                design.findings.iter().all(|finding| !finding.stops()),
                "{n} cables: {:?}",
                design.findings
            );
        }
    }
}

#[test]
fn what_does_not_fit_names_the_cable_that_is_too_much_and_a_hole_that_then_fits() {
    let tight = Plate {
        anchors: Anchors::Off,
        ..plate("40", &["8x7", "12:mains"])
    };
    let error = tight.design(&shop(), "p").unwrap_err();
    assert!(
        error.says.contains("too much") || error.says.contains("no room"),
        "{}",
        error.says
    );
    let hole: f64 = error
        .remedy
        .split("round hole of ")
        .nth(1)
        .unwrap()
        .split(" mm")
        .next()
        .unwrap()
        .parse()
        .unwrap();
    assert!((41.0..70.0).contains(&hole), "{}", error.remedy);
    let wider = Plate {
        anchors: Anchors::Off,
        ..plate(&format!("{hole}"), &["8x7", "12:mains"])
    };
    wider
        .design(&shop(), "p")
        .unwrap_or_else(|e| panic!("the hole that would do does not: {e}"));
    // Nobody is sent off to widen a hole much further than need be.
    let area: f64 = [8.6_f64; 7]
        .iter()
        .chain(&[12.6])
        .map(|d| PI / 4.0 * (d + 2.0).powi(2))
        .sum();
    assert!(
        PI / 4.0 * hole * hole < 2.2 * area,
        "{hole} mm for {area:.0} mm²"
    );
}

#[test]
fn power_passes_apart_from_signal_and_the_separation_is_the_one_measured() {
    let design = plate("90", &["9:mains", "8x2:motor", "6x3:signal", "6x2:data"])
        .design(&shop(), "p")
        .unwrap();
    let places = opening_places(&design);
    let power = |group: &str| group == "mains" || group == "motor";
    let mut least = f64::INFINITY;
    for a in &places {
        for b in places.iter().filter(|b| power(&a.3) && !power(&b.3)) {
            least = least.min((a.0 - b.0).hypot(a.1 - b.1) - (a.2 + b.2) / 2.0);
        }
    }
    let finding = design.finding("separation").unwrap();
    assert!(least >= 10.0 - 1e-6 && finding.limit == 10.0, "{least}");
    let allowance = shop().printer.hole_allowance;
    assert!(
        (finding.value - least - allowance).abs() < 1e-6,
        "measured between bores, {} and {least}",
        finding.value
    );
}

#[test]
fn a_separation_that_was_asked_for_is_kept_or_refused() {
    let asked = Plate {
        separation: Some("25".parse().unwrap()),
        ..plate("60", &["9:mains", "6x3"])
    };
    match asked.design(&shop(), "p") {
        Ok(design) => assert!(design.finding("separation").unwrap().value >= 25.0),
        Err(error) => assert!(error.remedy.contains("hole"), "{error}"),
    }
    let small = plate("42", &["9:mains", "6x4"])
        .design(&shop(), "p")
        .unwrap();
    let finding = small.finding("separation").unwrap();
    assert!(finding.value >= 2.0 && !finding.stops(), "{finding:?}");
}

#[test]
fn plugs_part_the_plate_and_lie_on_its_lines() {
    let request = plate("80", &["9.5:mains:plug=28", "8.2x2", "6:plug=M12", "5"]);
    let design = request.design(&shop(), "p").unwrap();
    assert_eq!(design.dimension("pieces"), Some(2.0));
    let places = opening_places(&design);
    // Both cables with plugs lie on one level line; nothing else touches it.
    let line = places[0].1;
    assert!((places[3].1 - line).abs() < 1e-6);
    for place in [&places[1], &places[2], &places[4]] {
        assert!((place.1 - line).abs() >= place.2 / 2.0 + 2.0 - 1e-6);
    }
    let never = Plate {
        split: Split::Never,
        ..request
    };
    let error = never.design(&shop(), "p").unwrap_err();
    assert!(
        error.says.contains("28 mm") && error.remedy.contains("--split auto"),
        "{error}"
    );
}

#[test]
fn many_plugs_make_three_pieces() {
    let design = plate("80", &["9x8:plug=20"]).design(&shop(), "p").unwrap();
    assert_eq!(design.dimension("pieces"), Some(3.0));
    assert_eq!(
        design
            .pieces
            .iter()
            .map(|piece| piece.suffix.as_str())
            .collect::<Vec<_>>(),
        ["lower", "middle", "upper"]
    );
    // Parted along its length: a tall hole has its pieces side by side.
    let tall = plate("40x90", &["9:plug=20", "6x3"])
        .design(&shop(), "p")
        .unwrap();
    assert_eq!(
        tall.pieces
            .iter()
            .map(|piece| piece.suffix.as_str())
            .collect::<Vec<_>>(),
        ["right", "left"]
    );
}

#[test]
fn every_cable_has_an_anchor_that_blocks_no_neighbour_and_no_screw() {
    for (hole, cables) in [
        ("60", &["8.2x3", "6"][..]),
        ("46", &["8x6"]),
        ("80x40", &["9.5:mains:plug=28", "5x4"]),
        ("38", &["8x4"]),
    ] {
        let design = plate(hole, cables)
            .design(&shop(), "p")
            .unwrap_or_else(|e| panic!("{hole} {cables:?}: {e}"));
        let places = opening_places(&design);
        let anchors = design.lists["anchors"].as_array().unwrap();
        assert_eq!(anchors.len(), places.len(), "{hole}");
        for (anchor, own) in anchors.iter().zip(0..) {
            let (x, y) = (anchor["x"].as_f64().unwrap(), anchor["y"].as_f64().unwrap());
            for (i, place) in places.iter().enumerate() {
                let apart = (x - place.0).hypot(y - place.1);
                if i != own {
                    assert!(
                        apart > place.2 / 2.0 + 2.0,
                        "{hole}: anchor {own} stands on opening {i}"
                    );
                }
            }
            for screw in design.lists["screws"].as_array().unwrap() {
                let apart =
                    (x - screw["x"].as_f64().unwrap()).hypot(y - screw["y"].as_f64().unwrap());
                assert!(
                    apart > 7.6 / 2.0 + 2.0,
                    "{hole}: anchor {own} under a screw head"
                );
            }
        }
    }
}

#[test]
fn without_anchors_there_are_none_and_the_same_request_gives_the_same_plan() {
    let request = Plate {
        anchors: Anchors::Off,
        ..plate("60", &["8.2x3", "6"])
    };
    let design = request.design(&shop(), "p").unwrap();
    assert!(design.lists["anchors"].as_array().unwrap().is_empty());
    assert!(design.finding("anchor-strength").is_none());
    for request in [
        request,
        plate("80", &["9.5:mains:plug=28", "8.2x2", "6:plug=M12", "5"]),
    ] {
        let (a, b) = (
            request.design(&shop(), "p").unwrap(),
            request.design(&shop(), "p").unwrap(),
        );
        assert_eq!(a.lists, b.lists);
        for (one, other) in a.pieces.iter().zip(&b.pieces) {
            assert_eq!(one.mesh, other.mesh);
        }
    }
}
