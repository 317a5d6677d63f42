//! Panels and adapters: every hole where it was asked for, measured on the mesh; what stands in each other's way
//! is said with a place that clears it.

use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::parts::adapter::Adapter;
use fixwright::parts::adapter::spec::{Fixing, Heads};
use fixwright::parts::panel::Panel;
use fixwright::workshop::Workshop;
use proptest::prelude::*;

fn shop() -> Workshop {
    Workshop::find("bed-220", "petg", 0.005).unwrap()
}

fn panel(places: &[&str]) -> Panel {
    Panel { place: places.iter().map(|place| place.parse().unwrap()).collect(), ..Panel::default() }
}

fn adapter(old: &str, new: &str, offset: &str) -> Adapter {
    Adapter {
        old: Some(old.parse().unwrap()),
        new: Some(new.parse().unwrap()),
        offset: Some(offset.parse().unwrap()),
        ..Adapter::default()
    }
}

fn made(part: &dyn Part) -> Design {
    let design = part.design(&shop(), "p").unwrap_or_else(|e| panic!("{e}"));
    design.check().unwrap();
    for piece in &design.pieces {
        assert_eq!(piece.mesh.open_edges(), 0);
        assert!(piece.body.bounds().least.z.abs() < 1e-9);
    }
    design
}

/// Holes as reported: x, y, diameter, purpose.
fn holes(design: &Design) -> Vec<(f64, f64, f64, String)> {
    let list = design.lists["holes"].as_array().unwrap();
    let n = |hole: &serde_json::Value, key: &str| hole[key].as_f64().unwrap();
    list.iter()
        .map(|hole| {
            (n(hole, "x"), n(hole, "y"), n(hole, "diameter"), hole["for"].as_str().unwrap().to_string())
        })
        .collect()
}

/// Distance from a point to the nearest line of the mesh's level section at a height.
fn clear_round(design: &Design, (x, y): (f64, f64), z: f64) -> f64 {
    let loops = design.pieces[0].mesh.slice_at(z);
    let mut least = f64::INFINITY;
    for points in &loops {
        for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
            let (dx, dy) = (b.x - a.x, b.y - a.y);
            let t = (((x - a.x) * dx + (y - a.y) * dy) / (dx * dx + dy * dy).max(1e-12)).clamp(0.0, 1.0);
            least = least.min((x - a.x - t * dx).hypot(y - a.y - t * dy));
        }
    }
    least
}

#[test]
fn a_panel_has_every_opening_where_it_was_put() {
    let design =
        made(&panel(&["button-22@0,0", "estop@60,0", "round-8@0,40", "gland-M20@60,60", "c14@0,-60"]));
    let found = holes(&design);
    for (name, x, y) in
        [("button-22", 0.0, 0.0), ("estop", 60.0, 0.0), ("round-8", 0.0, 40.0), ("gland-m20", 60.0, 60.0)]
    {
        let hole = found.iter().find(|hole| hole.3 == name).unwrap();
        assert_eq!((hole.0, hole.1), (x, y));
        let z = 0.5 * design.size("thickness").unwrap();
        assert!((clear_round(&design, (x, y), z) - hole.2 / 2.0).abs() < 0.02, "{name}");
    }
    // An inlet has its two screws forty apart.
    let own: Vec<f64> = found.iter().filter(|hole| hole.3.contains("of c14")).map(|hole| hole.0).collect();
    assert_eq!(own, [-20.0, 20.0]);
    assert!(design.findings.iter().all(|f| f.level == Level::Ok), "{:#?}", design.findings);
    assert!(design.size("min_edge").unwrap() > 2.0);
    assert!(design.notes.cautions.iter().any(|caution| caution.contains("emergency stop")));
}

#[test]
fn what_stands_in_its_neighbours_way_is_told_where_it_would_not() {
    let crowded = panel(&["button-22@0,0", "estop@45,0"]);
    let design = made(&crowded);
    let pitch = design.finding("pitch").unwrap();
    assert_eq!(pitch.level, Level::Caution);
    let advice = pitch.remedy.as_deref().unwrap();
    let place = advice.split("--place ").nth(1).unwrap().trim_end_matches([')', '.']);
    let name = place.split('@').next().unwrap();
    let other = if name == "estop" { "button-22@0,0" } else { "estop@45,0" };
    let moved = made(&panel(&[other, place]));
    assert_eq!(moved.finding("pitch").unwrap().level, Level::Ok, "{advice}");
    // Two that touch are no panel; two holes in one are an error.
    let touching = panel(&["button-22@0,0", "button-22@27,0"]);
    assert!(made(&touching).finding("pitch").unwrap().stops());
    let through = panel(&["button-22@0,0", "button-22@10,0"]).design(&shop(), "p").unwrap_err();
    assert!(through.remedy.contains("--place"), "{through}");
}

#[test]
fn an_adapter_s_flat_pattern_shows_every_hole_at_its_own_diameter() {
    for (old, new, offset) in
        [("M4x2@25", "M3x2@20", "0,16"), ("M4x2@25", "M3x2@20", "0,8"), ("M3x2@22", "M3x2@9.5", "0,12")]
    {
        let design = made(&adapter(old, new, offset));
        let outlines = design.pieces[0].mesh.slice_at(design.flat.as_ref().unwrap().height);
        for (x, y, diameter, what) in holes(&design) {
            let round = outlines.iter().any(|outline| {
                let (least, most) =
                    outline.iter().fold((outline[0], outline[0]), |(a, b), p| (a.inf(p), b.sup(p)));
                let size = most - least;
                (size.x - diameter).abs() < 0.05 && (size.y - diameter).abs() < 0.05
            });
            assert!(round, "{old} {new}: no {diameter} mm hole of {what} at {x}, {y} on the flat");
        }
    }
}

#[test]
fn a_panel_is_as_thick_as_a_push_asks_by_hand() {
    let places = panel(&["button-22@0,0", "estop@60,0"]);
    let made_of = |thickness: Option<&str>| {
        made(&Panel { thickness: thickness.map(|t| t.parse().unwrap()), ..places.clone() })
    };
    let push = |design: &Design| design.finding("push").unwrap().clone();
    let free = made_of(None);
    assert!(free.size("thickness").unwrap() > 3.0 && !push(&free).stops(), "{:?}", push(&free));
    let thin = push(&made_of(Some("3")));
    assert!(thin.stops(), "{thin:?}");
    // 100 N on the stop between the two columns of screws, over what its row leaves of the panel.
    let holes = holes(&free);
    let screws = holes.iter().filter(|hole| hole.3.starts_with("mounting")).map(|hole| hole.0);
    let (low, high) = screws.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    let stop = holes.iter().find(|hole| hole.3.contains("estop")).unwrap();
    let bends = 100.0 * (60.0 - low) * (high - 60.0) / (high - low);
    let (cut, wide) = (stop.2, free.size("height").unwrap());
    let stress = 6.0 * bends / ((wide - cut) * 9.0);
    let told: f64 = thin.says.split(" MPa").next().unwrap().rsplit(' ').next().unwrap().parse().unwrap();
    // A notch for its key widens the cut by a millimetre or two.
    assert!((told / stress - 1.0).abs() < 0.08, "{told} {stress}");
}

#[test]
fn a_panel_is_as_thick_as_everything_in_it_clamps() {
    assert_eq!(made(&panel(&["button-22@0,0"])).size("thickness"), Some(3.0));
    let thick = Panel { thickness: Some("5".parse().unwrap()), ..panel(&["gland-M12@0,0"]) };
    let finding = made(&thick).finding("panel-thickness").unwrap().clone();
    assert!(finding.stops() && finding.remedy.unwrap().contains("--thickness 3"));
    let deep = Panel { behind: Some("40".parse().unwrap()), ..panel(&["button-22@0,0"]) };
    assert!(made(&deep).finding("depth-behind").unwrap().stops());
    let outside = Panel { hole: Some("40".parse().unwrap()), ..panel(&["button-22@8,0"]) };
    assert!(made(&outside).finding("in-hole").unwrap().stops());
    let warm =
        panel(&["button-22@0,0"]).design(&Workshop::find("bed-220", "pla", 0.02).unwrap(), "p").unwrap();
    assert!(warm.finding("cabinet-temperature").unwrap().stops());
}

#[test]
fn keyed_and_flattened_holes_have_their_flats() {
    let design = made(&panel(&["round-19@0,0:flat=17.5", "lock-19@40,0", "rect-30x20@0,40:angle=90"]));
    let z = 0.5 * design.size("thickness").unwrap();
    let allowance = shop().printer.hole_allowance;
    // One flat: 17.5 from it to the arc opposite; two: 16.2 apart; a rectangle turned stands upright.
    assert!((clear_round(&design, (0.0, 0.0), z) - (17.5 - 9.5 + allowance / 2.0)).abs() < 0.02);
    assert!((clear_round(&design, (40.0, 0.0), z) - (8.1 + allowance / 2.0)).abs() < 0.02);
    assert!((clear_round(&design, (0.0, 40.0), z) - (10.0 + allowance / 2.0)).abs() < 0.02);
}

#[test]
fn an_adapter_has_both_patterns_where_they_were_asked_for() {
    for (heads, fixing) in [
        (Heads::Counterbored, Fixing::Nut),
        (Heads::Counterbored, Fixing::Insert),
        (Heads::Countersunk, Fixing::Through),
        (Heads::Countersunk, Fixing::Nut),
    ] {
        let request = Adapter { heads, fixing, ..adapter("M4x2@25", "M3x2@20", "0,16") };
        let design = made(&request);
        let found = holes(&design);
        let places: Vec<(f64, f64)> = found.iter().map(|hole| (hole.0, hole.1)).collect();
        assert_eq!(places, [(-12.5, 0.0), (12.5, 0.0), (-10.0, 16.0), (10.0, 16.0)]);
        assert!(found[0].3.contains("M4") && found[2].3.contains("M3"));
        let t = design.size("thickness").unwrap();
        // Somewhere through the plate every hole has its own diameter and nothing in it.
        for hole in &found {
            let heights = (1..40).map(|k| t * f64::from(k) / 40.0);
            let least =
                heights.map(|z| clear_round(&design, (hole.0, hole.1), z)).fold(f64::INFINITY, f64::min);
            assert!((least - hole.2 / 2.0).abs() < 0.02, "{heads:?} {fixing:?}: {least} for {hole:?}");
        }
        let stops: Vec<_> = design.findings.iter().filter(|f| f.stops()).collect();
        assert!(stops.is_empty(), "{stops:#?}");
        assert!(design.size("min_edge").unwrap() >= 2.0 && design.size("min_web").unwrap() >= 2.0);
        assert!(design.notes.cautions[0].contains("ISO 14119"));
    }
}

#[test]
fn seats_above_and_pockets_below_may_lie_near_each_other() {
    let design = made(&adapter("M4x2@25", "M3x2@20", "0,8"));
    // Friction under small screws holds no leaning hand, and the adapter says so.
    let worse: Vec<_> = design.findings.iter().filter(|f| f.level != Level::Ok).map(|f| f.check).collect();
    assert_eq!(worse, ["slip"]);
    assert!(design.size("min_web").unwrap() >= 2.0 && design.size("min_edge").unwrap() >= 3.0 - 0.02);
}

#[test]
fn an_adapter_grows_with_its_load_and_holds_it_twice_over() {
    let thickness = |load: f64| {
        let design = made(&Adapter { load: Some(load), ..adapter("M4x2@25", "M3x2@20", "0,30") });
        assert!(design.finding("strength").unwrap().value >= 2.0, "{load}");
        design.size("thickness").unwrap()
    };
    assert!(thickness(200.0) > thickness(20.0));
    let thin = Adapter { height: Some("4".parse().unwrap()), ..adapter("M4x2@25", "M3x2@20", "0,16") };
    let finding = made(&thin).finding("thickness").unwrap().clone();
    assert!(finding.stops());
    assert_eq!(finding.remedy.unwrap(), "Leave --height out.");
    assert!(!made(&Adapter { height: None, ..thin }).finding("thickness").unwrap().stops());
}

#[test]
fn patterns_in_each_others_way_are_told_an_offset_that_clears() {
    let request = adapter("M4x2@25", "M3x2@20", "0,3");
    let advice = match request.design(&shop(), "p") {
        Err(error) => error.remedy,
        Ok(design) => design.finding("web").unwrap().remedy.clone().unwrap(),
    };
    let offset = advice.split("--offset ").nth(1).unwrap().trim_end_matches('.');
    let moved = made(&adapter("M4x2@25", "M3x2@20", offset));
    assert_eq!(moved.finding("web").unwrap().level, Level::Ok, "{advice}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn any_adapter_is_closed_or_an_error_one_can_act_on(
        (old, new) in (0usize..5, 0usize..5),
        (x, y, turn) in (-60.0..60.0f64, -60.0..60.0f64, -180.0..180.0f64),
        (slot, height) in (prop::option::of(1.0..20.0f64), prop::option::of(2.0..40.0f64)),
        (heads, fixing) in (any::<bool>(), 0usize..3),
    ) {
        let patterns = ["M4x2@25", "M3x4@20x31", "M5", "M4x3@d40", "M6x3@22"];
        let mm = |value: Option<f64>| value.map(|mm| format!("{mm:.3}").parse().unwrap());
        let request = Adapter {
            rotate: Some(turn),
            slot: mm(slot),
            height: mm(height),
            heads: if heads { Heads::Counterbored } else { Heads::Countersunk },
            fixing: [Fixing::Nut, Fixing::Insert, Fixing::Through][fixing],
            ..adapter(patterns[old], patterns[new], &format!("{x:.3},{y:.3}"))
        };
        match request.design(&shop(), "wild") {
            Ok(design) => prop_assert!(design.pieces.iter().all(|piece| piece.mesh.open_edges() == 0)),
            Err(error) => {
                prop_assert!(error.kind != fixwright::error::Kind::Internal, "{error}");
                prop_assert!(error.remedy.len() > 10, "{error}");
            }
        }
    }
}

#[test]
fn a_panels_screw_goes_through_panel_and_sheet_and_is_of_a_length_that_is_sold() {
    let screws = |hole: Option<&str>| {
        let request =
            crate::requests::Request { kind: "panel", options: vec![] }.with("place", "button-22@0,0");
        let request = hole.map_or(request.clone(), |hole| request.with("hole", hole));
        let design = request.made(&[]).unwrap().design;
        let item = design.notes.hardware.iter().find(|item| item.what == "mounting screw").unwrap();
        let nuts = design.notes.hardware.iter().any(|item| item.what == "hexagon nut");
        (item.size.clone(), nuts, design.size("thickness").unwrap())
    };
    let (through, nuts, thickness) = screws(Some("60"));
    assert_eq!((through.as_str(), nuts, thickness), ("M4 × 12, for a sheet of up to 3.4 mm", true, 3.0));
    let (free, nuts, _) = screws(None);
    assert_eq!((free.as_str(), nuts), ("M4 × 10, into a thread", false));
}
