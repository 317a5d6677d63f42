//! A printed pulley is the one its belt and shaft ask for: closed, its teeth as the standard has them, its
//! bore and walls as measured on the mesh, and no panic on wild requests.

use fixwright::catalog::belts::profiles;
use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::error::Kind;
use fixwright::parts::pulley::{Pulley, Sides};
use fixwright::solid::{Frame, Point2, Point3, Vector3, probe};
use fixwright::units::Length;
use fixwright::workshop::Workshop;
use proptest::prelude::*;
use std::f64::consts::PI;

fn mm(value: f64) -> Option<Length> {
    Some(Length::from_mm(value).unwrap())
}

fn workshop() -> Workshop {
    Workshop::find("bed-220", "petg", 0.02).unwrap()
}

fn pulley(profile: &str, teeth: u32, bore: f64) -> Pulley {
    Pulley { profile: profile.into(), teeth, bore: mm(bore), ..Pulley::default() }
}

fn design(pulley: &Pulley) -> Design {
    let made = pulley.design(&workshop(), "p").unwrap_or_else(|e| panic!("{pulley:?}: {e}"));
    made.check().unwrap();
    made
}

/// The outlines of a level section, the longest first.
fn section(made: &Design, height: f64) -> Vec<Vec<Point2>> {
    let mut outlines = made.pieces[0].mesh.slice(&Frame::level(height));
    outlines.sort_by_key(|o| std::cmp::Reverse(o.len()));
    outlines
}

#[test]
fn every_profile_makes_one_closed_pulley_with_every_key() {
    for profile in profiles() {
        let made = design(&pulley(&profile.name, 40, 6.0));
        let piece = &made.pieces[0];
        assert_eq!((piece.mesh.open_edges(), piece.mesh.shells()), (0, 1), "{}", profile.name);
        assert!(piece.body.bounds().least.z.abs() < 1e-9);
        let bore = made.sizes.iter().find(|size| size.key == "bore").and_then(|size| size.limits()).unwrap();
        let shaft = made.size("shaft_diameter").unwrap();
        assert!((bore.0 - shaft).abs() < 1e-9, "a bore that prints true to its shaft is good");
        for key in ["outside_diameter", "pitch_diameter", "tooth_depth", "bore", "hub_diameter"] {
            assert!(made.size(key).unwrap() > 0.0, "{}: {key}", profile.name);
        }
        let published = made.finding("tooth-space").unwrap().level == Level::Ok;
        assert_eq!(
            published,
            made.pieces.len() == 1,
            "{}: a trial segment where nothing is published",
            profile.name
        );
        for piece in &made.pieces {
            assert!(piece.mesh.open_edges() == 0);
        }
    }
}

#[test]
fn the_mxl_pulley_of_sixty_teeth_measures_as_it_is_told() {
    let made = design(&pulley("MXL", 60, 24.0));
    let v = |key: &str| made.size(key).unwrap();
    assert!((v("pitch_diameter") - 60.0 * 2.032 / PI).abs() < 1e-9);
    assert!((v("outside_diameter") - (60.0 * 2.032 / PI - 0.508)).abs() < 1e-9);
    assert_eq!(v("tooth_depth"), 0.69);
    let face = section(&made, 1.6 + 3.0);
    let radii = |outline: &[Point2]| {
        let all = outline.iter().map(|p| p.coords.norm());
        (all.clone().fold(f64::INFINITY, f64::min), all.fold(0.0, f64::max))
    };
    let (root, outside) = radii(&face[0]);
    assert!((2.0 * outside - v("outside_diameter")).abs() < 0.05, "{outside}");
    // The flat floor's middle lies nearest to the axis.
    assert!((outside - root - 0.69).abs() < 0.03, "{root}");
    let (least, most) = radii(&face[1]);
    assert!((2.0 * most - v("bore")).abs() < 1e-6 && 2.0 * least > v("bore") - 0.05);
    // The web told is the least between the two outlines.
    let web = made.finding("bore-web").unwrap().value;
    assert!((web - (root - most)).abs() < 0.03, "{web} {root} {most}");
}

#[test]
fn a_tooth_space_is_as_wide_as_the_standard_has_it() {
    // Half of the space at three depths, from ISO 5294: XL, bottom 1.32 and 25° to either side.
    let made = design(&Pulley { tooth_clearance: mm(0.0), ..pulley("XL", 36, 20.0) });
    let outside = made.size("outside_diameter").unwrap() / 2.0;
    let mesh = &made.pieces[0].mesh;
    for depth in [0.8, 1.0, 1.2] {
        let from = Point3::new(0.0, outside - depth, 1.6 + 4.3);
        let half = probe::crossings(mesh, from, Vector3::x())[0];
        let wanted = 0.66 + (1.65 - depth) * 25_f64.to_radians().tan();
        assert!((half - wanted).abs() < 0.02, "{depth}: {half} for {wanted}");
    }
    let wider = design(&Pulley { tooth_clearance: mm(0.2), ..pulley("XL", 36, 20.0) });
    let from = Point3::new(0.0, outside - 1.0, 1.6 + 4.3);
    let half = |made: &Design| probe::crossings(&made.pieces[0].mesh, from, Vector3::x())[0];
    assert!((half(&wider) - half(&made) - 0.1).abs() < 0.02);
}

#[test]
fn a_belt_wrapped_round_it_lies_on_its_pitch_line() {
    for profile in profiles() {
        let made = design(&pulley(&profile.name, 48, 8.0));
        let round = PI * made.size("pitch_diameter").unwrap();
        assert!((round - 48.0 * profile.pitch).abs() < 1e-9);
        let apart = made.size("pitch_diameter").unwrap() - made.size("outside_diameter").unwrap();
        assert!((apart - 2.0 * profile.pitch_line_offset).abs() < 1e-9);
        // Each tooth of the belt has a space: count them round the pitch circle's inside.
        let outline = &section(&made, 1.6 + 1.0)[0];
        let middle = (made.size("outside_diameter").unwrap() - made.size("tooth_depth").unwrap()) / 2.0;
        let crossings = (0..outline.len())
            .filter(|k| {
                let (a, b) = (outline[*k].coords.norm(), outline[(k + 1) % outline.len()].coords.norm());
                (a < middle) != (b < middle)
            })
            .count();
        assert_eq!(crossings, 96, "{}", profile.name);
    }
}

#[test]
fn a_bore_that_leaves_no_pulley_is_refused_with_the_greatest_that_does() {
    let error = pulley("2GT", 20, 12.0).design(&workshop(), "p").unwrap_err();
    assert!(error.says.contains("--bore is 12 mm"), "{error}");
    let most = error.remedy.split("up to ").nth(1).unwrap().trim_end_matches(" mm.");
    let made = design(&pulley("2GT", 20, most.parse().unwrap()));
    assert!(made.finding("bore-web").unwrap().level != Level::Ok);
    let missing = Pulley { bore: None, ..pulley("XL", 30, 1.0) }.design(&workshop(), "p").unwrap_err();
    assert!(missing.says.contains("--bore is missing") && missing.kind == Kind::Request);
}

#[test]
fn a_key_a_flat_and_set_screws_are_where_they_should_be() {
    let inside = |made: &Design, p: Point3| {
        probe::crossings(&made.pieces[0].mesh, p, Vector3::new(0.36, 0.48, 0.8)).len() % 2 == 1
    };
    let keyed = design(&Pulley { key_width: mm(6.0), key_depth: mm(2.8), ..pulley("XL", 40, 20.0) });
    assert!(!inside(&keyed, Point3::new(2.9, 12.5, 5.01)) && inside(&keyed, Point3::new(3.4, 12.5, 5.01)));
    assert!(inside(&keyed, Point3::new(0.03, 13.2, 5.01)));
    let flat = design(&Pulley { flat: mm(5.5), ..pulley("2GT", 40, 6.0) });
    assert!(inside(&flat, Point3::new(0.03, 2.9, 3.01)) && !inside(&flat, Point3::new(0.03, -2.9, 3.01)));
    let plain = design(&pulley("XL", 40, 20.0));
    let (top, length) = (plain.size("overall_length").unwrap(), plain.size("hub_length").unwrap());
    let screw = top - length / 2.0 + 0.013;
    // Open from the bore to the outside along both screws, closed between them.
    for open in [Vector3::y(), Vector3::x()] {
        assert!(probe::crossings(&plain.pieces[0].mesh, Point3::new(0.017, 0.019, screw), open).is_empty());
    }
    let between = Vector3::new(-0.6, -0.8, 0.0);
    assert_eq!(probe::crossings(&plain.pieces[0].mesh, Point3::new(0.017, 0.019, screw), between).len(), 2);
    assert!(plain.finding("hub-wall").unwrap().level == Level::Ok);
    assert!(plain.notes.hardware.iter().any(|h| h.standard == "ISO 4032" && h.count == 2));
}

#[test]
fn nothing_of_a_pulley_needs_support() {
    for (profile, sides) in [("XL", Sides::Both), ("2GT", Sides::One), ("T5", Sides::None)] {
        let made = design(&Pulley { flanges: Some(sides), ..pulley(profile, 40, 10.0) });
        let roofs: f64 = made.pieces[0].mesh.overhangs(46_f64.to_radians()).iter().map(|o| o.area).sum();
        // Only the roofs of the set screws' passages.
        assert!(roofs < 120.0, "{profile}: {roofs} mm²");
    }
}

#[test]
fn weak_teeth_and_wide_run_out_are_told() {
    let made = design(&Pulley { tension: Some(900.0), ..pulley("MXL", 20, 3.0) });
    assert!(made.finding("tooth-strength").unwrap().stops());
    let made = design(&pulley("XL", 40, 20.0));
    let run_out = made.finding("run-out").unwrap();
    assert!(run_out.level == Level::Caution && run_out.says.contains("estimated"));
    let made = design(&Pulley { run_out: mm(0.05), ..pulley("XL", 40, 20.0) });
    assert!(made.finding("run-out").unwrap().level == Level::Ok);
}

fn length(least: f64, most: f64) -> impl Strategy<Value = Option<Length>> {
    prop::option::of((least..most).prop_map(|mm| Length::from_mm(mm).unwrap()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn wild_requests_give_a_closed_solid_or_a_clear_error(
        profile in prop_oneof![Just("MXL"), Just("XL"), Just("T5"), Just("AT5"), Just("5M"), Just("2GT"), Just("what")],
        teeth in 0u32..90,
        bore in length(-2.0, 60.0),
        (width, hub, key_width, key_depth) in (length(0.5, 40.0), length(5.0, 90.0), length(0.2, 12.0), length(0.1, 6.0)),
        set_screws in prop::option::of(0u32..5),
        sides in prop_oneof![Just(None), Just(Some(Sides::One)), Just(Some(Sides::None))],
    ) {
        let request = Pulley { profile: profile.into(), teeth, bore, width, hub, key_width, key_depth, set_screws, flanges: sides, ..Pulley::default() };
        match request.design(&workshop(), "wild") {
            Ok(made) => {
                prop_assert_eq!(made.pieces[0].mesh.open_edges(), 0);
                prop_assert!(made.findings.iter().all(|f| f.value.is_finite() && f.limit.is_finite()));
            }
            Err(error) => {
                prop_assert!(error.says.len() > 10 && error.remedy.len() > 10);
                prop_assert!(error.exit_code() == 2, "{}", error);
            }
        }
    }
}

#[test]
fn a_clamp_grips_twice_the_belt_s_torque_and_its_screws_pass_both_halves() {
    for (profile, teeth, bore, tension) in
        [("MXL", 60, 24.0, None), ("2GT", 40, 8.0, Some(5.0)), ("T5", 30, 30.0, None)]
    {
        let asked = Pulley { clamp: true, tension, ..pulley(profile, teeth, bore) };
        let made = design(&asked);
        let grip = made.finding("clamp-grip").unwrap();
        assert!(grip.level == Level::Ok && grip.value >= 2.0, "{profile}: {grip:?}");
        // By the sizes told: what it grips with over the most that one span can pull more than the other.
        let v = |key: &str| made.size(key).unwrap();
        let belt = 2.0 * v("tension_n") * v("pitch_diameter") / 2.0 / 1000.0;
        assert!((v("grip_torque_nm") / belt - grip.value).abs() < 0.01, "{profile}: {grip:?}");
        let stops: Vec<_> = made.findings.iter().filter(|f| f.stops()).collect();
        assert!(stops.is_empty(), "{profile}: {stops:?}");
        // Both halves: closed, apart by the gap, each pierced beside the bore.
        let cap = made.pieces.iter().find(|piece| piece.suffix == "cap").unwrap();
        let (hub, place) = (&made.pieces[0], cap.place.unwrap());
        assert_eq!((cap.mesh.open_edges(), cap.mesh.shells()), (0, 1));
        let up = v("overall_length") - v("hub_length") / 2.0;
        let least = cap.mesh.points.iter().map(|p| p.z + place.z).fold(f64::INFINITY, f64::min);
        assert!(
            (least - (v("overall_length") - v("hub_length"))).abs() < 1e-9,
            "{profile}: the cap stands on the pulley"
        );
        let to = |mesh: &fixwright::solid::Mesh, x: f64, z: f64, way: f64, y: f64| {
            probe::crossings(mesh, Point3::new(x, y, z), Vector3::y() * way).first().copied()
        };
        let wall = v("hub_diameter") / 2.0 - 1.5;
        let far = to(&hub.mesh, wall, up, 1.0, 0.0);
        let near = to(&cap.mesh, wall - place.x, up - place.z, -1.0, -place.y);
        assert!(
            far.is_none_or(|y| y >= 0.49) && near.is_none_or(|y| y >= 0.49),
            "{profile}: {far:?} {near:?}"
        );
        let screws: Vec<f64> = (0..400)
            .map(|k| v("bore") / 2.0 + 0.1 * f64::from(k))
            .take_while(|x| *x < v("hub_diameter") / 2.0)
            .filter(|x| to(&hub.mesh, *x, up, 1.0, 0.0).is_none())
            .filter(|x| to(&cap.mesh, *x - place.x, up - place.z, -1.0, -place.y).is_none())
            .collect();
        assert!(screws.len() > 10, "{profile}: the screws' holes lie in line: {screws:?}");
    }
    // Plastic cannot press a thick shaft hard enough for a strong belt: that is stopped or told, never promised.
    let asked = Pulley { clamp: true, ..pulley("T5", 40, 16.0) };
    let strong = design(&asked);
    let grip = strong.finding("clamp-grip").unwrap();
    assert!(grip.level != Level::Ok && grip.value < 2.0, "{grip:?}");
    // What is advised was tried: each change followed grips, and the numbers for it stand at the bench.
    assert!(grip.changes.len() > 1, "{grip:?}");
    for change in &grip.changes {
        let followed = design(&change.made_on(&asked).unwrap());
        assert!(followed.finding("clamp-grip").is_none_or(|f| f.level == Level::Ok), "{change:?}");
    }
    assert!(strong.at_bench().iter().any(|size| size.key == "clamp_torque_nm"));
    let both = Pulley { clamp: true, set_screws: Some(2), ..pulley("MXL", 60, 24.0) };
    let error = both.design(&workshop(), "p").unwrap_err();
    assert!(error.says.contains("--clamp and --set-screws"), "{error}");
}

#[test]
fn a_hub_with_set_screws_leaves_the_lines_its_check_asks_on_every_printer() {
    for printer in ["bed-220", "bed-350"] {
        let shop = Workshop::find(printer, "petg", 0.02).unwrap();
        for (screws, bore) in [(1, 6.0), (2, 8.0), (3, 12.0)] {
            let part = Pulley { set_screws: Some(screws), ..pulley("T5", 30, bore) };
            let made = part.design(&shop, "p").unwrap();
            let wall = made.finding("hub-wall").unwrap();
            assert!(wall.level == Level::Ok, "{printer}, {screws} on {bore}: {}", wall.says);
        }
    }
}

#[test]
fn a_clamp_hub_is_shown_with_its_screws_washers_and_nuts() {
    let spec = Pulley { clamp: true, ..pulley("MXL", 60, 24.0) };
    let made = design(&spec);
    let named = |name: &str| made.mating.iter().filter(|body| body.name == name).count();
    assert_eq!((named("clamp screw"), named("its nut"), named("wide washer")), (2, 2, 4));
    // What is shown turns within the circle that is told.
    let swept = made.size("swept_diameter").unwrap();
    let furthest = made
        .mating
        .iter()
        .filter(|body| body.name != "shaft")
        .flat_map(|body| body.body.mesh(0.01).unwrap().points)
        .map(|p| 2.0 * p.x.hypot(p.y))
        .fold(0.0, f64::max);
    assert!(furthest <= swept + 1e-6 && furthest > swept - 2.0, "{furthest} {swept}");
}
