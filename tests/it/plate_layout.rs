//! A plate finds a layout whenever a careful person would, and says what hole would do when there is
//! none.

use crate::plates::plate;
use fixwright::design::{Design, Part};
use fixwright::parts::plate::Plate;
use fixwright::parts::plate::spec::{Anchors, Mount, Split};
use fixwright::workshop::Workshop;
use std::f64::consts::PI;

fn shop() -> Workshop {
    Workshop::find("bed-350", "petg", 0.02).unwrap()
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
    let play = probe.size("spigot_clearance").unwrap();
    // A single opening has no web; its least is the rim's.
    let (web, rim) = (limit("rim"), limit("rim"));
    for factor in [1.10, 1.01] {
        for (n, ratio) in BEST_KNOWN {
            let container = ratio * (drawn + web) / 2.0 * factor;
            let hole = format!("{:.6}", 2.0 * (container + rim + play));
            let cables = format!("8x{n}");
            let request = Plate { anchors: Anchors::Off, split: Split::Never, ..plate(&hole, &[&cables]) };
            let design =
                request.design(&shop(), "p").unwrap_or_else(|e| panic!("{n} cables at {factor}: {e}"));
            assert_eq!(opening_places(&design).len(), n);
            assert!(least_web(&design) >= web - 1e-6, "{n} cables");
            assert!(design.size("min_rim").unwrap() >= rim - 1e-6, "{n} cables");
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
    let tight = Plate { anchors: Anchors::Off, ..plate("40", &["8x7", "12:mains"]) };
    let error = tight.design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("too much") || error.says.contains("no room"), "{}", error.says);
    let hole: f64 =
        error.remedy.split("round hole of ").nth(1).unwrap().split(" mm").next().unwrap().parse().unwrap();
    assert!((41.0..70.0).contains(&hole), "{}", error.remedy);
    let wider = Plate { anchors: Anchors::Off, ..plate(&format!("{hole}"), &["8x7", "12:mains"]) };
    wider.design(&shop(), "p").unwrap_or_else(|e| panic!("the hole that would do does not: {e}"));
    // Nobody is sent off to widen a hole much further than need be.
    let area: f64 = [8.6_f64; 7].iter().chain(&[12.6]).map(|d| PI / 4.0 * (d + 2.0).powi(2)).sum();
    assert!(PI / 4.0 * hole * hole < 2.2 * area, "{hole} mm for {area:.0} mm²");
}

#[test]
fn power_passes_apart_from_signal_and_the_separation_is_the_one_measured() {
    let design =
        plate("90", &["9:mains", "8x2:motor", "6x3:signal", "6x2:data"]).design(&shop(), "p").unwrap();
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
    let asked = Plate { separation: Some("25".parse().unwrap()), ..plate("60", &["9:mains", "6x3"]) };
    match asked.design(&shop(), "p") {
        Ok(design) => assert!(design.finding("separation").unwrap().value >= 25.0),
        Err(error) => assert!(error.remedy.contains("hole"), "{error}"),
    }
    let small = plate("42", &["9:mains", "6x4"]).design(&shop(), "p").unwrap();
    let finding = small.finding("separation").unwrap();
    assert!(finding.value >= 2.0 && !finding.stops(), "{finding:?}");
}

#[test]
fn plugs_part_the_plate_and_lie_on_its_lines() {
    let request = plate("80", &["9.5:mains:plug=28", "8.2x2", "6:plug=M12", "5"]);
    let design = request.design(&shop(), "p").unwrap();
    assert_eq!(design.size("pieces"), Some(2.0));
    let places = opening_places(&design);
    // Both cables with plugs lie on one level line; nothing else touches it.
    let line = places[0].1;
    assert!((places[3].1 - line).abs() < 1e-6);
    for place in [&places[1], &places[2], &places[4]] {
        assert!((place.1 - line).abs() >= place.2 / 2.0 + 2.0 - 1e-6);
    }
    let never = Plate { split: Split::Never, ..request };
    let error = never.design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("28 mm") && error.remedy.contains("--split auto"), "{error}");
}

#[test]
fn many_plugs_make_three_pieces() {
    let design = plate("80", &["9x8:plug=20"]).design(&shop(), "p").unwrap();
    assert_eq!(design.size("pieces"), Some(3.0));
    assert_eq!(
        design.pieces.iter().map(|piece| piece.suffix.as_str()).collect::<Vec<_>>(),
        ["lower", "middle", "upper"]
    );
    // Parted along its length: a tall hole has its pieces side by side.
    let tall = plate("40x90", &["9:plug=20", "6x3"]).design(&shop(), "p").unwrap();
    assert_eq!(tall.pieces.iter().map(|piece| piece.suffix.as_str()).collect::<Vec<_>>(), ["right", "left"]);
}

#[test]
fn every_cable_has_an_anchor_that_blocks_no_neighbour_and_no_screw() {
    for (hole, cables) in [
        ("60", &["8.2x3", "6"][..]),
        ("46", &["8x6"]),
        ("80x40", &["9.5:mains:plug=28", "5x4"]),
        ("38", &["8x4"]),
    ] {
        let design =
            plate(hole, cables).design(&shop(), "p").unwrap_or_else(|e| panic!("{hole} {cables:?}: {e}"));
        let places = opening_places(&design);
        let anchors = design.lists["anchors"].as_array().unwrap();
        assert_eq!(anchors.len(), places.len(), "{hole}");
        for (anchor, own) in anchors.iter().zip(0..) {
            let (x, y) = (anchor["x"].as_f64().unwrap(), anchor["y"].as_f64().unwrap());
            for (i, place) in places.iter().enumerate() {
                let apart = (x - place.0).hypot(y - place.1);
                if i != own {
                    assert!(apart > place.2 / 2.0 + 2.0, "{hole}: anchor {own} stands on opening {i}");
                }
            }
            for screw in design.lists["screws"].as_array().unwrap() {
                let apart = (x - screw["x"].as_f64().unwrap()).hypot(y - screw["y"].as_f64().unwrap());
                assert!(apart > 7.6 / 2.0 + 2.0, "{hole}: anchor {own} under a screw head");
            }
        }
    }
}

#[test]
fn without_anchors_there_are_none_and_the_same_request_gives_the_same_plan() {
    let request = Plate { anchors: Anchors::Off, ..plate("60", &["8.2x3", "6"]) };
    let design = request.design(&shop(), "p").unwrap();
    assert!(design.lists["anchors"].as_array().unwrap().is_empty());
    assert!(design.finding("anchor-strength").is_none());
    for request in [request, plate("80", &["9.5:mains:plug=28", "8.2x2", "6:plug=M12", "5"])] {
        let (a, b) = (request.design(&shop(), "p").unwrap(), request.design(&shop(), "p").unwrap());
        assert_eq!(a.lists, b.lists);
        for (one, other) in a.pieces.iter().zip(&b.pieces) {
            assert_eq!(one.mesh, other.mesh);
        }
    }
}

/// Height of a level line that all those openings lie on, if they do.
fn on_one_line(places: &[(f64, f64, f64, String)]) -> bool {
    places.iter().all(|place| (place.1 - places[0].1).abs() < 1e-6)
}

#[test]
fn cables_that_a_careful_person_gets_in_are_not_refused() {
    // Most of them in a ring tied on the margin, the rest within with posts.
    for (hole, cables, n) in [("60", "8x10", 10), ("62", "8x10", 10), ("44", "8x8", 8)] {
        let design =
            plate(hole, &[cables]).design(&shop(), "p").unwrap_or_else(|e| panic!("{cables} in {hole}: {e}"));
        assert_eq!(design.lists["anchors"].as_array().unwrap().len(), n);
        assert!(
            design.findings.iter().all(|finding| !finding.stops()),
            "{cables} in {hole}: {:?}",
            design.findings
        );
    }
}

#[test]
fn a_split_that_was_asked_for_parts_the_opening_of_every_cable() {
    let asked = |hole: &str, cables: &[&str], split: Split| Plate { split, ..plate(hole, cables) };
    let halves = asked("80", &["8x3", "5"], Split::Halves).design(&shop(), "p").unwrap();
    assert_eq!(halves.size("pieces"), Some(2.0));
    assert!(on_one_line(&opening_places(&halves)));
    let three = asked("90", &["8x6"], Split::Three).design(&shop(), "p").unwrap();
    assert_eq!(three.size("pieces"), Some(3.0));
    let mut rows: Vec<i64> =
        opening_places(&three).iter().map(|place| (place.1 * 1e4).round() as i64).collect();
    rows.sort_unstable();
    rows.dedup();
    assert!(rows.len() <= 2, "{rows:?}");
    // Eight do not lie in one row of this hole, but in two.
    let error = asked("80", &["8x8"], Split::Halves).design(&shop(), "p").unwrap_err();
    assert!(error.remedy.contains("--split three"), "{error}");
    asked("80", &["8x8"], Split::Three).design(&shop(), "p").unwrap();
}

#[test]
fn every_strap_can_be_led_into_its_tunnel() {
    let design = plate("60", &["3x20"]).design(&shop(), "p").unwrap();
    assert!(design.finding("tie-thread").is_none_or(|finding| !finding.stops()));
    let places = opening_places(&design);
    let anchors = design.lists["anchors"].as_array().unwrap();
    let at = |i: usize| (anchors[i]["x"].as_f64().unwrap(), anchors[i]["y"].as_f64().unwrap());
    let posts: Vec<usize> = (0..anchors.len()).filter(|&i| anchors[i]["kind"] == "post").collect();
    for &i in &posts {
        let ((x, y), own) = (at(i), &places[i]);
        let reach = (own.0 - x).hypot(own.1 - y);
        let along = ((own.1 - y) / reach, -(own.0 - x) / reach);
        // The tunnel is 6 mm long at least; the strap's end needs as much and 2 mm before it.
        let blocked = |way: f64| {
            posts.iter().filter(|&&j| j != i).any(|&j| {
                let (dx, dy) = (at(j).0 - x, at(j).1 - y);
                let out = way * (dx * along.0 + dy * along.1);
                let aside = (dx * along.1 - dy * along.0).abs();
                aside < 2.5 && (0.0..13.0).contains(&out)
            })
        };
        assert!(!blocked(1.0) || !blocked(-1.0), "post {i}");
    }
    // A comb's strap is pushed in from the front and comes out there: 10 mm before its face stand free.
    let combs = plate("70", &["6x9"]).design(&shop(), "p").unwrap();
    let anchors = combs.lists["anchors"].as_array().unwrap();
    let n = |i: usize, key: &str| anchors[i][key].as_f64().unwrap();
    for (i, place) in opening_places(&combs).iter().enumerate() {
        assert_eq!(anchors[i]["kind"], "comb");
        let way = (place.1 - n(i, "y")).signum();
        for j in (0..anchors.len()).filter(|&j| (n(j, "y") - n(i, "y")) * way > 1.0) {
            let free = (n(j, "y") - n(i, "y")) * way - (n(i, "depth") + n(j, "depth")) / 2.0;
            let beside = (n(j, "x") - n(i, "x")).abs() > (n(j, "width") + n(i, "width")) / 2.0;
            assert!(free >= 10.0 || beside, "{i} before {j}: {free}");
        }
    }
}

#[test]
fn a_refusal_names_the_thing_that_is_in_the_way() {
    let ring = Plate { mount: Mount::Ring, ..plate("15", &["4"]) };
    let error = ring.design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("screws"), "{error}");
    assert!(!error.remedy.contains("take a cable elsewhere"), "{error}");
    let three = Plate { split: Split::Three, ..plate("30", &["4"]) };
    let error = three.design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("pieces") && error.says.contains("screws"), "{error}");
    let ten = Plate { anchors: Anchors::Off, ..plate("36", &["8x10"]) };
    let error = ten.design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("one of the ten of 8 mm"), "{error}");
    // What is so already is not advised.
    let narrow =
        Plate { tie: Some("2.5".parse().unwrap()), anchors: Anchors::Margin, ..plate("50", &["8x14"]) };
    let error = narrow.design(&shop(), "p").unwrap_err();
    assert!(!error.remedy.contains("--tie 2.5"), "{error}");
    assert!(error.remedy.contains("hole of"), "{error}");
}

#[test]
fn groups_lie_side_by_side_power_at_one_end() {
    let design = plate("80x40", &["3G1.5:mains", "LiYCY 4x0.25x3", "8:motor"]).design(&shop(), "p").unwrap();
    let places = opening_places(&design);
    let most = |group: &str| {
        let of = places.iter().filter(|place| place.3 == group);
        of.map(|place| place.0).fold(f64::NEG_INFINITY, f64::max)
    };
    let least = |group: &str| {
        let of = places.iter().filter(|place| place.3 == group);
        of.map(|place| place.0).fold(f64::INFINITY, f64::min)
    };
    assert!(most("mains") <= least("motor") + 1e-6, "{places:?}");
    assert!(most("motor") <= least("signal") + 1e-6, "{places:?}");
}

#[test]
fn heads_of_plugs_and_collars_of_bushes_do_not_meet() {
    let least_pitch = |design: &Design| {
        let places = opening_places(design);
        let pairs = (0..places.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
        pairs
            .map(|(i, j)| (places[i].0 - places[j].0).hypot(places[i].1 - places[j].1))
            .fold(f64::INFINITY, f64::min)
    };
    let spare = |hole: &str| Plate { spare: vec!["6x5".parse().unwrap()], ..plate(hole, &[]) };
    // A head is 9.6 mm across; a collar 12.2 mm.
    match spare("26.2").design(&shop(), "p") {
        Ok(design) => assert!(least_pitch(&design) > 9.6),
        Err(error) => assert!(error.remedy.contains("hole of"), "{error}"),
    }
    assert!(least_pitch(&spare("32").design(&shop(), "p").unwrap()) > 9.6);
    let bushed = |hole: &str| Plate {
        bush: Some("1.5".parse().unwrap()),
        anchors: Anchors::Off,
        ..plate(hole, &["6x5"])
    };
    assert!(bushed("34").design(&shop(), "p").is_err());
    assert!(least_pitch(&bushed("40").design(&shop(), "p").unwrap()) > 12.2);
}

#[test]
fn as_many_screws_as_were_asked_for_and_more_along_a_long_side() {
    let screws = |design: &Design| design.lists["screws"].as_array().unwrap().len();
    let parted = |screws: Option<u32>, hole: &str| Plate { screws, ..plate(hole, &["8:plug=28"]) };
    for count in [4, 5, 6, 8] {
        let design = parted(Some(count), "60").design(&shop(), "p").unwrap();
        assert_eq!(screws(&design), count as usize);
        assert!(design.findings.iter().all(|f| !f.stops()), "{:?}", design.findings);
    }
    let error = parted(Some(2), "60").design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("two at least"), "{error}");
    let ring = Plate { mount: Mount::Ring, screws: Some(6), ..plate("60", &["8"]) };
    let error = ring.design(&shop(), "p").unwrap_err();
    assert!(error.says.contains("ring"), "{error}");
    // Nowhere along the long sides are two further apart than 160 mm.
    let long = parted(None, "200x100").design(&shop(), "p").unwrap();
    let list = long.lists["screws"].as_array().unwrap();
    let mut top: Vec<f64> = list
        .iter()
        .filter(|at| at["y"].as_f64().unwrap() > 40.0)
        .map(|at| at["x"].as_f64().unwrap())
        .collect();
    top.sort_by(f64::total_cmp);
    assert!(top.len() >= 3 && top.windows(2).all(|w| w[1] - w[0] < 160.0), "{top:?}");
}
