//! What a plate holds its cables by: the pull each anchor is checked for, the warmth it stands, ties inside before
//! ties outside, and what the sheet says of it.

use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, make};
use fixwright::parts::plate::Plate;
use fixwright::parts::plate::spec::Anchors;
use fixwright::workshop::Workshop;
use serde_json::Value;

fn plate(hole: &str, cables: &[&str]) -> Plate {
    Plate {
        hole: Some(hole.parse().unwrap()),
        cable: cables.iter().map(|c| c.parse().unwrap()).collect(),
        ..Plate::default()
    }
}

fn design(request: &Plate) -> Design {
    let shop = Workshop::find("bed-350", "petg", 0.02).unwrap();
    request.design(&shop, "p").unwrap_or_else(|e| panic!("{e}"))
}

fn anchors(design: &Design) -> Vec<Value> {
    design.lists["anchors"].as_array().unwrap().clone()
}

fn outside(design: &Design) -> usize {
    anchors(design).iter().filter(|anchor| anchor["kind"] == "margin").count()
}

#[test]
fn a_post_or_comb_holds_twice_every_pull_along_the_cable_and_across_it_by_hand() {
    // PETG across layers: 14 MPa least at 23 °C, straight down to nothing at 70 °C; 50 °C inside.
    let strength = 14.0 * (70.0 - 50.0) / (70.0 - 23.0);
    let design = design(&plate("120", &["9.5:mains", "8.2:motor", "6x2:signal", "11:data"]));
    let alone = self::design(&plate("40", &["9.5:mains"]));
    let (mut posts, mut combs) = (0, 0);
    for anchor in anchors(&design).iter().chain(&anchors(&alone)) {
        let n = |key: &str| anchor[key].as_f64().unwrap();
        match anchor["kind"].as_str().unwrap() {
            "post" => posts += 1,
            "comb" => combs += 1,
            other => panic!("{other}"),
        }
        // On a bar, as much on every other share of it at once.
        let (b, d, pull) = (n("width"), n("depth"), n("pull_n") * n("width") / n("share"));
        let along = pull * n("lever") / (b * d * d / 6.0) - pull / (b * d);
        let across = pull * n("tie_height") * (1.0 / (b * d * d / 6.0)).hypot(1.0 / (d * b * b / 6.0));
        assert!(strength / along >= n("load_factor") && strength / across >= n("load_factor"), "{anchor}");
        // Both at once, with at most a doubling for the foot's notch; a land may give before the foot.
        let worst = strength / along.hypot(across);
        assert!((2.0..worst).contains(&n("load_factor")), "{anchor}");
        let foot = anchor["gives_by"].as_str().unwrap().contains("over its foot");
        assert!(!foot || n("load_factor") > worst / 2.1, "{anchor}");
        assert!(
            n("pull_n") >= if n("tie_width") > 3.0 && anchor["cable"] == "9.5 mm" { 100.0 } else { 30.0 }
        );
    }
    assert!(posts == 1 && combs == 5, "{posts} posts, {combs} on combs");
    let finding = design.finding("anchor-strength").unwrap();
    assert!(finding.level == Level::Ok && finding.says.contains("worst direction"), "{}", finding.says);
    let told = design.notes.mechanics.join(" ");
    assert!(told.contains("100 N (IEC 60335-1, 25.15)") && told.contains("156 N"), "{told}");
    assert!(!told.contains("seldom"));
}

#[test]
fn a_cabinet_is_warm_so_a_plate_is_not_of_pla_unless_it_is_measured_cooler() {
    let order = |part: Plate, material: Option<&str>| Order {
        kind: "plate",
        shared: Shared { material: material.map(String::from), ..Shared::default() },
        part: Box::new(part),
        asked: vec![],
    };
    let mains = || plate("70", &["9.5:mains", "6x2:signal"]);
    let usual = make(&order(mains(), None), &[Format::Json]).unwrap();
    assert_eq!(usual.design.notes.print.material, "PETG");
    assert!(usual.design.notes.mechanics.iter().any(|said| said.contains("50 °C") && said.contains("PLA")));
    let pla = make(&order(mains(), Some("PLA")), &[Format::Json]).unwrap();
    let warm = pla.design.finding("cabinet-temperature").unwrap();
    assert!(pla.stopped() && warm.stops() && warm.remedy.as_deref().unwrap().contains("PETG"), "{warm:?}");
    let cool = Plate { cabinet_temperature: Some(30.0), ..mains() };
    let cool = make(&order(cool, Some("PLA")), &[Format::Json]).unwrap();
    assert!(!cool.design.finding("cabinet-temperature").unwrap().stops());
}

#[test]
fn no_tie_goes_outside_where_every_one_finds_its_place_inside() {
    let mut inside = 0;
    for (hole, cables) in [
        ("60", &["8.2x3", "6:signal"][..]),
        ("80x40", &["9.5:mains:plug=28", "5x4"]),
        ("60", &["6x8"]),
        ("50", &["6x6"]),
        ("46", &["8x6"]),
        ("100", &["8x16"]),
        ("120x60", &["3G1.5x3", "5x6"]),
        ("55", &["7x4", "5x2"]),
    ] {
        let request = plate(hole, cables);
        let within = Plate { anchors: Anchors::Inside, ..request.clone() };
        let shop = Workshop::find("bed-350", "petg", 0.02).unwrap();
        if within.design(&shop, "p").is_ok() {
            inside += 1;
            assert_eq!(outside(&design(&request)), 0, "{hole} {cables:?}");
        }
    }
    assert!(inside >= 4, "only {inside} had room inside");
}

#[test]
fn a_cable_tied_outside_is_told_how_hard_it_is_bent() {
    let design = design(&Plate { anchors: Anchors::Margin, ..plate("40", &["H07V-K 1.5x4"]) });
    let finding = design.finding("bend-radius").unwrap();
    let opening = &design.lists["openings"][0];
    let anchor = &anchors(&design)[0];
    let far = |list: &Value, key: &str| list[key].as_f64().unwrap();
    let away = (far(opening, "x") - far(anchor, "x")).hypot(far(opening, "y") - far(anchor, "y"));
    // Up out of the opening, over and down flat: two arcs and not one.
    assert!(finding.value < 0.45 * away, "{} of {away}", finding.value);
}

#[test]
fn a_thin_cable_with_a_plug_gets_a_post() {
    let design = design(&Plate { anchors: Anchors::Inside, ..plate("150", &["3:plug=28"]) });
    assert_eq!(anchors(&design)[0]["kind"], "post");
    assert_eq!(design.size("pieces"), Some(2.0));
}

#[test]
fn the_hole_that_is_named_lets_the_plugs_pass() {
    let shop = Workshop::find("bed-350", "petg", 0.02).unwrap();
    let tight = plate("24", &["11:mains:plug=52", "9:signal:plug=51"]);
    let error = tight.design(&shop, "p").unwrap_err();
    let hole = error.remedy.split("round hole of ").nth(1).unwrap().split(" mm").next().unwrap();
    let named = plate(hole, &["11:mains:plug=52", "9:signal:plug=51"]).design(&shop, "p").unwrap();
    assert_eq!(named.finding("plug-passes").unwrap().level, Level::Ok, "{hole}");
    // And where only the plugs are too large, the hole that the advice names.
    let plugs = plate("60", &["11:mains:plug=52", "9:signal:plug=51"]).design(&shop, "p").unwrap();
    let finding = plugs.finding("plug-passes").unwrap();
    let advice = finding.remedy.as_deref().unwrap();
    let hole = advice.split("round hole of ").nth(1).unwrap().split(" mm").next().unwrap();
    let wider = plate(hole, &["11:mains:plug=52", "9:signal:plug=51"]).design(&shop, "p").unwrap();
    assert_eq!(wider.finding("plug-passes").unwrap().level, Level::Ok, "{advice}");
}

#[test]
fn what_runs_in_a_cable_is_asked_at_the_top_where_nobody_said() {
    let silent = design(&plate("60", &["8.2x3", "6:signal"]));
    assert!(silent.notes.purpose.contains("taken for signal") && silent.notes.purpose.contains("8.2 mm"));
    assert!(!silent.notes.purpose.contains("in 6 mm"));
    let said = design(&plate("60", &["8.2x3:motor", "6:signal"]));
    assert!(!said.notes.purpose.contains("taken for signal"));
    // A motor's cable brings its cautions and the distance that makers of drives ask for.
    assert!(
        said.notes
            .cautions
            .iter()
            .any(|caution| caution.contains("capacitors") && caution.contains("screen"))
    );
    assert!(said.finding("separation").unwrap().says.contains("100 to 200 mm"));
}

#[test]
fn the_steps_come_in_the_order_of_the_hands() {
    let at = |design: &Design, words: &str| {
        let found = design.notes.steps.iter().position(|step| step.contains(words));
        found.unwrap_or_else(|| panic!("no '{words}' in {:#?}", design.notes.steps))
    };
    let parted = design(&plate("80", &["9.5:mains:plug=28:label=supply", "8.2x2:signal:label=switch"]));
    let threaded = at(&parted, "Thread the cables that have no plug");
    assert!(
        parted.notes.steps[threaded].contains("switch") && !parted.notes.steps[threaded].contains("supply")
    );
    assert!(threaded < at(&parted, "Pass the plugs"));
    let bushed = design(&Plate { bush: Some("1.5".parse().unwrap()), ..plate("80", &["8.2x2:signal"]) });
    assert!(at(&bushed, "Lay each bush") < at(&bushed, "cut the tail flush"));
    let corded = design(&Plate { cord: Some("2".parse().unwrap()), ..plate("80", &["8.2x2:signal"]) });
    assert!(at(&corded, "cord into the groove") < at(&corded, "Thread the cables"));
}

#[test]
fn a_spare_opening_has_its_tie_too() {
    let design = design(&Plate { spare: vec!["6x2".parse().unwrap()], ..plate("70", &["8:signal"]) });
    let spares =
        anchors(&design).iter().filter(|a| a["cable"].as_str().unwrap().starts_with("spare")).count();
    assert_eq!(spares, 2);
}

#[test]
fn a_hole_of_any_corner_radius_is_closed() {
    for radius in ["0", "0.2", "0.3", "0.5", "0.7", "0.84", "0.86", "1", "3"] {
        let request = plate(&format!("80x60:r={radius}"), &["8:signal"]);
        let made = design(&request);
        assert!(made.pieces.iter().all(|piece| piece.mesh.open_edges() == 0), "{radius}");
        let (w, h) = (made.size("spigot_width").unwrap(), made.size("spigot_height").unwrap());
        assert!((w, h) == (79.5, 59.5), "{radius}: {w} x {h}");
    }
}

#[test]
fn push_buttons_stand_thirty_apart_beside_and_forty_above() {
    let request = Plate { button: vec!["22x6".parse().unwrap()], ..plate("110x100", &[]) };
    let design = design(&request);
    let places: Vec<(f64, f64)> = design.lists["openings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|o| (o["x"].as_f64().unwrap(), o["y"].as_f64().unwrap()))
        .collect();
    for (i, a) in places.iter().enumerate() {
        for b in &places[..i] {
            let (dx, dy) = ((a.0 - b.0).abs(), (a.1 - b.1).abs());
            assert!(dx >= 30.0 - 1e-6 || dy >= 40.0 - 1e-6, "{a:?} {b:?}");
        }
    }
    assert_eq!(places.iter().map(|p| (p.1 * 1e3) as i64).collect::<std::collections::HashSet<_>>().len(), 2);
}

#[test]
fn fans_of_every_common_frame_are_known_with_their_depth() {
    for (frame, deep) in [("80", 38.0), ("119", 38.0), ("140", 38.0), ("172", 51.0)] {
        let request = Plate {
            fan: Some(frame.parse().unwrap()),
            behind: Some("30".parse().unwrap()),
            ..Plate::default()
        };
        let lid = design(&request).finding("lid").unwrap().clone();
        assert!(lid.stops() && lid.value >= deep, "{frame}: {lid:?}");
    }
}

#[test]
fn a_bush_is_told_to_be_printed_of_what_is_soft() {
    let part = Plate { bush: Some("1.5".parse().unwrap()), ..plate("70", &["8:signal"]) };
    let order = Order { kind: "plate", shared: Shared::default(), part: Box::new(part), asked: vec![] };
    let made = make(&order, &[Format::ThreeMf]).unwrap();
    let bush = made.files.iter().find(|file| file.name.contains("bush")).unwrap();
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bush.bytes.clone())).unwrap();
    let mut text = String::new();
    std::io::Read::read_to_string(&mut archive.by_name("3D/fixwright.model").unwrap(), &mut text).unwrap();
    assert!(text.contains("Print in TPU") && !text.contains("Print in PETG"));
}

#[test]
fn wires_of_a_bundle_share_an_opening_and_a_tie() {
    let design = design(&plate("60", &["1.5:bundle=7:signal", "6:signal"]));
    assert_eq!(anchors(&design).len(), 2);
    let opening = &design.lists["openings"][0];
    assert_eq!(opening["cable"], "bundle of 7 × 1.5 mm", "{opening}");
    // Seven lie within three diameters; the opening passes them lying loosely.
    let bore = opening["diameter"].as_f64().unwrap();
    assert!(bore > 4.5 && bore < 7.0, "{opening}");
    assert!(design.notes.readings_wanted.iter().any(|text| text.contains("bundle of 7")));
    // Between round wires in a round opening there is room for a wire, which is said.
    let open = design.finding("open-area").unwrap();
    assert!(open.value >= 1.5 && open.says.contains("between the wires"), "{}", open.says);
    let pair = self::design(&plate("60", &["4:bundle=2:mains"]));
    assert_eq!(pair.finding("open-area").unwrap().level, Level::Caution);
}

#[test]
fn ties_of_neighbours_lie_on_one_line_square_to_the_plate() {
    for (hole, cables, lines) in [
        ("60", &["8.2x3", "6:signal"][..], 2),
        ("100", &["6x8:signal"], 2),
        ("120x60", &["9.5:mains", "8.2:motor", "6x4:signal", "5x2:data"], 1),
        ("80", &["9.5:mains:plug=28", "8.2:plug=24", "6x2:signal"], 3),
    ] {
        let design = design(&plate(hole, cables));
        let anchors = anchors(&design);
        let mut heights: Vec<i64> =
            anchors.iter().map(|anchor| (anchor["y"].as_f64().unwrap() * 1e3).round() as i64).collect();
        heights.sort_unstable();
        heights.dedup();
        assert!(heights.len() <= lines, "{hole} {cables:?}: {heights:?}");
        assert!(anchors.iter().any(|anchor| anchor["kind"] == "comb"), "{hole}: {anchors:?}");
        // Each stands straight behind its own cable.
        for (anchor, opening) in anchors.iter().zip(design.lists["openings"].as_array().unwrap()) {
            let aside = anchor["x"].as_f64().unwrap() - opening["x"].as_f64().unwrap();
            assert!(aside.abs() < 1e-3, "{hole}: {anchor}");
        }
        assert!(
            design.findings.iter().all(|finding| finding.level == Level::Ok || finding.check == "cable-size")
        );
    }
}
