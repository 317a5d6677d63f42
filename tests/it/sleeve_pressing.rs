//! The pressing round a sleeve, as a person reads it: where the force goes, when to stop, what to have at
//! hand. Every case here was once told wrong.

use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::parts::sleeve::spec::Closure;
use fixwright::parts::sleeve::{Drive, Ring, RodHolds, Sleeve};
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn mm(value: f64) -> Option<Length> {
    Some(Length::from_mm(value).unwrap())
}

fn shop() -> Workshop {
    Workshop::find("bed-220", "pla", 0.02).unwrap()
}

fn of(bearing: &str) -> Sleeve {
    Sleeve { bearing: Some(bearing.into()), reach: mm(60.0), ..Sleeve::default() }
}

fn made(sleeve: &Sleeve) -> Design {
    sleeve.design(&shop(), "s").unwrap_or_else(|e| panic!("{e}"))
}

fn size(design: &Design, key: &str) -> f64 {
    design.size(key).unwrap_or_else(|| panic!("no {key}"))
}

fn factor(design: &Design, check: &str) -> f64 {
    design.finding(check).unwrap_or_else(|| panic!("no {check}")).value
}

fn steps(design: &Design) -> String {
    design.notes.steps.join("\n") + &design.notes.mechanics.join("\n")
}

fn hardware(design: &Design, what: &str) -> Option<String> {
    design.notes.hardware.iter().find(|item| item.what.contains(what)).map(|item| item.size.clone())
}

#[test]
fn a_thinner_shaft_before_the_seat_leaves_a_bore_whose_readings_run_from_least_to_most() {
    let sleeve = Sleeve { shaft: vec!["17x60".parse().unwrap()], reach: None, ..of("6204") };
    let design = made(&sleeve);
    let reading = design.readings().into_iter().find(|r| r.what.contains("bore at the nose")).unwrap();
    assert!(reading.least > 17.0 && reading.least <= reading.nominal && reading.nominal <= reading.most);
    for drive in [Drive::Flat, Drive::Rod, Drive::Puller] {
        for ring in [Ring::Inner, Ring::Outer, Ring::Both] {
            for steel_nose in [false, true] {
                let Ok(design) = (Sleeve { drive, ring, steel_nose, ..sleeve.clone() }).design(&shop(), "s")
                else {
                    continue;
                };
                design.check().unwrap();
            }
        }
    }
}

#[test]
fn there_is_one_torque_to_stop_at_and_the_best_grease_makes_no_more_than_the_checked_force() {
    let design = made(&Sleeve { drive: Drive::Rod, rod: Some("M12".into()), ..of("6207") });
    let (torque, force) = (size(&design, "stop_torque_nm"), size(&design, "stop_force_n"));
    assert!((torque * 1000.0 / (0.12 * 12.0) / force - 1.0).abs() < 1e-9, "{torque} {force}");
    // What is checked is an oiled seat, 0.12, of the dry one's 0.15.
    assert!(force <= 0.8 * size(&design, "press_force_max_n") + 1e-6);
    assert!(force <= 84.3 * 225.0 / 1.3, "the proof load with the nut's twist");
    let first = design.at_bench()[0];
    assert_eq!(first.key, "stop_torque_nm");
    for key in ["torque_likely_nm", "torque_max_nm"] {
        assert!(size(&design, key) <= torque, "{key}");
    }
    for number in design.at_bench() {
        assert!(!number.key.ends_with("_n") || number.value <= force, "{}", number.key);
    }
    assert!(steps(&design).contains(&format!("{torque:.1} N·m")));
    assert!(size(&design, "rod_length") > 0.0);
}

#[test]
fn a_vice_has_a_force_it_is_checked_for_and_another_sign_to_stop_by() {
    let design = made(&of("6207"));
    assert!(size(&design, "stop_force_n") > 0.0 && design.size("stop_torque_nm").is_none());
    assert!(steps(&design).contains("mark"), "{}", steps(&design));
}

#[test]
fn the_nuts_twist_counts_in_the_rods_proof() {
    let design = made(&Sleeve { drive: Drive::Rod, rod: Some("M12".into()), ..of("6207") });
    let proof = 84.3 * 225.0 / (1.3 * size(&design, "press_force_max_n"));
    assert!((factor(&design, "screw-proof") - proof).abs() < 2e-3, "{proof}");
    let chosen = made(&Sleeve { drive: Drive::Rod, ..of("6207") });
    assert!(factor(&chosen, "screw-proof") >= 2.0);
}

#[test]
fn a_rod_that_pushes_an_outer_ring_is_held_by_the_housing_and_never_by_the_shaft() {
    let outer = Sleeve { ring: Ring::Outer, drive: Drive::Rod, reach: mm(22.0), ..of("6204-2Z") };
    let design = made(&outer);
    assert!(steps(&design).contains("housing") && !steps(&design).contains("shaft's end"));
    assert!(hardware(&design, "far face").is_some());
    assert!(design.mating.iter().any(|body| body.name == "housing"));
    for holds in [RodHolds::ShaftEnd, RodHolds::Spindle] {
        let error = Sleeve { rod_holds: Some(holds), ..outer.clone() }.design(&shop(), "s").unwrap_err();
        assert!(error.says.contains("balls"), "{error}");
    }
    let both = Sleeve { ring: Ring::Both, ..outer.clone() };
    assert!(both.design(&shop(), "s").unwrap_err().says.contains("balls"));
    let hollow = made(&Sleeve { shaft_bore: mm(13.0), ..both });
    assert!(steps(&hollow).contains("housing and spindle"));
}

#[test]
fn a_shaft_that_stands_out_through_an_outer_ring_sleeve_is_cleared_beside_the_housings_depth() {
    let sleeve =
        Sleeve { ring: Ring::Outer, reach: mm(10.0), shaft: vec!["19x55".parse().unwrap()], ..of("6204") };
    let design = made(&sleeve);
    assert_eq!((size(&design, "reach"), size(&design, "shaft_reach")), (10.0, 55.0));
    assert!(size(&design, "length") > 55.0);
    let both = made(&Sleeve { ring: Ring::Both, shaft: vec![], shaft_reach: mm(30.0), ..sleeve });
    assert_eq!((size(&both, "reach"), size(&both, "shaft_reach")), (10.0, 30.0));
}

#[test]
fn each_leg_of_a_sleeve_on_both_rings_bears_its_own_joints_force() {
    let sleeve = Sleeve {
        ring: Ring::Both,
        shaft_class: Some("m6".into()),
        housing_class: Some("J7".into()),
        ..of("6204-2Z")
    };
    let design = made(&sleeve);
    let inner = made(&Sleeve { ring: Ring::Inner, ..sleeve });
    let area = |design: &Design| {
        let of = |key: &str| size(design, key).powi(2);
        (of("contact_outer_diameter") - of("contact_inner_diameter")) * std::f64::consts::FRAC_PI_4
    };
    // The inner face carries what the inner ring alone would: same force, its own area.
    let expected = factor(&inner, "contact-crushing") * area(&design) / area(&inner);
    assert!((factor(&design, "contact-crushing") / expected - 1.0).abs() < 0.01);
    assert!(factor(&design, "contact-crushing") < 1.0);
}

#[test]
fn a_steel_nose_is_a_turned_ring_with_sizes_in_list_steps_picture_and_length() {
    let sleeve = Sleeve { drive: Drive::Rod, ..of("6204-2Z") };
    let plain = made(&sleeve);
    let design = made(&Sleeve { steel_nose: true, ..sleeve });
    let ring =
        ["steel_ring_bore", "steel_ring_outside", "steel_ring_thickness"].map(|key| size(&design, key));
    assert!(ring[0] > 20.0 && ring[1] > size(&design, "contact_outer_diameter") && ring[2] >= 5.0);
    assert!(size(&design, "contact_outer_diameter") < size(&design, "land_outer_diameter"));
    let asked = hardware(&design, "turned steel ring").unwrap();
    assert!(asked.contains("parallel") && asked.contains("thick"));
    assert!(
        steps(&design).contains("Turn a steel ring") && !steps(&design).contains("ISO 7089 washer between")
    );
    assert!(design.mating.iter().any(|body| body.name == "turned steel ring"));
    assert!((size(&plain, "length") - size(&design, "length") - ring[2]).abs() < 6.0);
    assert!(design.finding("contact-crushing").unwrap().level == Level::Ok);
    let both = Sleeve { ring: Ring::Both, steel_nose: true, reach: mm(10.0), ..of("6204-2Z") };
    assert_eq!(made(&both).findings.iter().filter(|f| f.check == "contact-crushing").count(), 1);
    // The least that is left to reach over still makes a sleeve with a bore, not a disc that cuts into the ring.
    let shallow = Sleeve { ring: Ring::Outer, steel_nose: true, reach: mm(5.0), ..of("6204") };
    let design = made(&shallow);
    let contact = fixwright::judge::contact::finding(&design).unwrap().unwrap();
    assert!(contact.level == Level::Ok, "{}", contact.says);
}

#[test]
fn a_shield_does_not_make_the_ring_softer() {
    let force = |bearing: &str| size(&made(&of(bearing)), "press_force_max_n");
    assert_eq!(force("6204-2Z"), force("6204"));
    assert_eq!(force("6206-2RS1"), force("6206"));
}

#[test]
fn a_capped_bearing_is_warmed_to_eighty_and_a_warm_ring_is_not_pushed_by_plastic() {
    let hot = made(&Sleeve { warm: Some(100.0), ..of("6204-2Z") });
    let heat = hot.finding("bearing-heat").unwrap();
    assert_eq!((heat.limit, heat.level), (80.0, Level::Stop));
    let warm = made(&Sleeve { warm: Some(80.0), ..of("6204-2Z") });
    assert_eq!(warm.finding("softening").unwrap().level, Level::Stop);
    // Nor by a plastic that stands the heat: short of going together by hand it is stopped, and told what does.
    let stands = Workshop::find("bed-220", "pc", 0.02).unwrap();
    let pushed = Sleeve { warm: Some(80.0), ..of("6205") }.design(&stands, "s").unwrap();
    let finding = pushed.finding("warm-by-hand").unwrap();
    assert!(finding.level == Level::Stop && !finding.changes.is_empty(), "{:?}", finding.remedy);
    let open = made(&Sleeve { warm: Some(110.0), chill: Some(-18.0), ..of("6204") });
    assert!(open.findings.iter().all(|finding| finding.level != Level::Stop), "{:?}", open.findings);
    // It drops on by hand; the sleeve is for a ring that sticks, and is checked for it cold.
    assert_eq!(size(&open, "press_force_max_n"), size(&made(&of("6204")), "press_force_max_n"));
    let steps = open.notes.steps.join(" ");
    assert!(
        steps.contains("together by hand in one move") && steps.contains("110 °C and no more"),
        "{steps}"
    );
    let words = made(&of("6204")).notes.mechanics.join("\n");
    assert!(words.contains("grips") && words.contains("both (120 °C and -18 °C)"), "{words}");
    // A cold shop and an aluminium housing make the fit tighter.
    let outer = Sleeve { ring: Ring::Outer, housing_material: Some("aluminium".into()), ..of("6204") };
    let cold = size(&made(&Sleeve { shop: Some(2.0), ..outer.clone() }), "press_force_max_n");
    assert!(cold > size(&made(&outer), "press_force_max_n"));
}

#[test]
fn a_solid_pla_sleeve_and_a_screw_puller_press_a_6006_2z_home() {
    // Common practice, no source.
    let design = made(&Sleeve { drive: Drive::Puller, reach: mm(40.0), ..of("6006-2Z") });
    assert!(design.findings.iter().all(|finding| finding.level != Level::Stop), "{:?}", design.findings);
}

#[test]
fn a_crushed_block_of_the_same_spool_takes_the_tables_place() {
    let sleeve = Sleeve { drive: Drive::Rod, ..of("6204") };
    let least = factor(&made(&sleeve), "contact-crushing");
    let read = factor(&made(&Sleeve { crush_reading: Some(60.0), ..sleeve.clone() }), "contact-crushing");
    assert!((read / least - 60.0 / 45.0).abs() < 0.01);
    let matte = sleeve.design(&Workshop::find("bed-220", "pla-matte", 0.02).unwrap(), "s").unwrap();
    assert!(factor(&matte, "contact-crushing") < 0.5 * least);
    assert!(size(&matte, "standing_force_n") < size(&matte, "stop_force_n"));
}

#[test]
fn every_change_that_is_advised_clears_what_it_is_advised_for() {
    let cases = [
        Sleeve { drive: Drive::Rod, ..of("6204-2Z") },
        Sleeve { ring: Ring::Both, shaft_class: Some("m6".into()), ..of("6204-2Z") },
        Sleeve { warm: Some(90.0), ..of("6205-2RS") },
        Sleeve { infill: Some(20.0), ..of("6206") },
        Sleeve { drive: Drive::Rod, rod: Some("M6".into()), ..of("6208") },
        Sleeve { end_thickness: mm(3.0), ..of("6305") },
        Sleeve { ring: Ring::Outer, housing_class: Some("P7".into()), ..of("6004-2Z") },
    ];
    let mut followed = 0;
    for sleeve in cases {
        let design = made(&sleeve);
        for finding in &design.findings {
            assert!(!finding.remedy.as_deref().unwrap_or("").contains("two strokes"));
            for change in &finding.changes {
                let answers = |key: &str| change.answers().iter().any(|(name, _)| *name == key);
                if answers("material") || answers("printer") {
                    continue;
                }
                let bare = Sleeve { designation: vec![], ..sleeve.clone() };
                let after = made(&change.made_on(&bare).unwrap());
                let level = after.finding(finding.check).map_or(Level::Ok, |found| found.level);
                assert_eq!(level, Level::Ok, "{}: {}", finding.check, change.words());
                followed += 1;
            }
        }
    }
    assert!(followed >= 8, "{followed}");
}

#[test]
fn a_pullers_point_presses_the_head_of_a_screw_and_its_torque_counts_the_thread_alone() {
    let design = made(&Sleeve { drive: Drive::Puller, ..of("6006-2Z") });
    let list: Vec<String> = design.notes.hardware.iter().map(|h| format!("{} {}", h.what, h.size)).collect();
    assert!(list.iter().any(|item| item == "hexagon screw, its head centre-drilled M10 × 20"), "{list:?}");
    // Shank and washer: 20 long, 2 of it in the washer, and room under its end.
    assert!(size(&design, "shank_hole_depth") > 18.0 && size(&design, "shank_hole") > 10.0);
    // Thread alone, µ 0.08 on M10: d2 9.026, pitch 1.5. With that little friction the torque makes no more
    // than what is checked.
    let lead: f64 = 1.5 / (std::f64::consts::PI * 9.026);
    let factor = 9.026 * (lead + 0.08 / 30_f64.to_radians().cos()) / 20.0;
    let force = 1000.0 * size(&design, "stop_torque_nm") / (factor * 10.0);
    assert!(force <= size(&design, "stop_force_n"), "{force}");
}

#[test]
fn a_pair_travels_by_both_its_bearings() {
    let of_pair = |bearing: &str| {
        let sleeve = Sleeve { drive: Drive::Rod, steel_nose: true, reach: mm(40.0), ..of(bearing) };
        let design = made(&sleeve);
        (size(&design, "travel"), size(&design, "rod_length"))
    };
    let (one, pair) = (of_pair("7206C"), of_pair("7206C DB"));
    assert_eq!((one.0, pair.0), (16.0, 32.0));
    assert!(pair.1 >= one.1 + 15.0, "{one:?} {pair:?}");
    let asked = fixwright::catalog::bearings::read("7206CDT").unwrap_err();
    assert!(asked.says.contains("matched pair (C DT)"), "{}", asked.says);
}

#[test]
fn a_slip_of_the_caliper_past_every_makers_row_is_refused() {
    let slip = Sleeve { inner_land: mm(40.0), ..of("6204-2Z") };
    let error = slip.design(&shop(), "s").unwrap_err();
    assert!(error.says.contains("--inner-land is 40"), "{}", error.says);
    made(&Sleeve { inner_land: mm(27.0), ..of("6204-2Z") });
}

#[test]
fn what_may_stand_is_less_than_what_one_stops_at_and_a_loose_ring_has_no_torque() {
    for bearing in ["6204", "6213", "6220"] {
        let design = made(&Sleeve { drive: Drive::Rod, reach: mm(60.0), ..of(bearing) });
        assert!(size(&design, "standing_force_n") < 0.5 * size(&design, "stop_force_n"), "{bearing}");
    }
    let loose = made(&Sleeve { shaft_measured: mm(19.98), drive: Drive::Rod, ..of("6204") });
    assert!(loose.notes.mechanics[0].contains("goes on by hand"), "{:?}", loose.notes.mechanics);
    assert!(!loose.notes.steps.join(" ").contains("0.0 N·m"));
}

#[test]
fn a_sleeve_taller_than_the_printer_comes_as_a_stack_and_a_large_bearing_is_mounted_warm() {
    let tall = Sleeve { drive: Drive::Rod, reach: mm(400.0), steel_nose: true, ..of("6210") };
    let design = made(&tall);
    assert!(design.pieces.len() >= 2 && design.finding("bed-height").unwrap().level == Level::Ok);
    let volume: f64 = design.pieces.iter().map(|piece| piece.mesh.volume()).sum();
    let whole = tall.design(&Workshop { printer: tall_printer(), ..shop() }, "s").unwrap();
    assert!((volume / whole.pieces[0].mesh.volume() - 1.0).abs() < 1e-3);
    assert!(made(&of("6220")).finding("warm-mounting").is_some());
}

fn tall_printer() -> fixwright::workshop::Printer {
    let mut printer = shop().printer;
    printer.bed[2] = 1000.0;
    printer
}

#[test]
fn the_set_up_says_when_the_rod_does_not_pass_or_the_thread_is_too_short() {
    let thin = made(&Sleeve { drive: Drive::Rod, rod: Some("M20".into()), ..of("6204") });
    assert_eq!(thin.finding("rod-passes").unwrap().level, Level::Stop);
    let short = made(&Sleeve { drive: Drive::Rod, thread_depth: mm(5.0), ..of("6204") });
    assert_eq!(short.finding("thread-engagement").unwrap().level, Level::Stop);
    let hollow = Sleeve { drive: Drive::Rod, shaft_bore: mm(12.0), through: mm(300.0), ..of("6204") };
    let design = made(&hollow);
    assert!(size(&design, "rod_length") > 300.0 && hardware(&design, "far face").is_some());
    let room = made(&Sleeve { drive: Drive::Rod, room: mm(10.0), ..of("6204") });
    assert_eq!(room.finding("room").unwrap().level, Level::Stop);
}

#[test]
fn a_printer_that_prints_holes_small_neither_widens_a_turned_ring_nor_lets_a_sleeve_meet_the_shield() {
    for allowance in [0.0, 0.2, 0.4, 0.8] {
        let mut shop = shop();
        shop.printer.hole_allowance = allowance;
        let sleeve = Sleeve { drive: Drive::Rod, ..of("6204-2Z") };
        let ringed = Sleeve { steel_nose: true, ..sleeve.clone() }.design(&shop, "s").unwrap();
        assert!((size(&ringed, "steel_ring_bore") - 20.3).abs() < 1e-9, "{allowance}");
        let design = sleeve.design(&shop, "s").unwrap();
        let bore = design.sizes.iter().find(|size| size.key == "sleeve_bore").unwrap();
        // 0.3 over what it is to come out at, 20.3, is the most that keeps its nose off the shield.
        assert!(bore.limits().unwrap().1 <= 20.6 + 1e-9, "{allowance}: {:?}", bore.limits());
    }
}

#[test]
fn a_reading_of_a_cups_front_face_is_held_to_that_faces_own_chamfer() {
    let cup = Sleeve {
        ring: Ring::Outer,
        outer_land: mm(52.0),
        shaft_reach: mm(0.0),
        steel_nose: true,
        ..of("32006")
    };
    let design = made(&cup);
    assert_eq!(size(&design, "land_inner_diameter"), 52.0);
    // The front face has its edge broken only; the back face's chamfer would end the land at 51.2.
    assert!(size(&design, "land_outer_diameter") > 53.0);
    let slip = Sleeve { outer_land: mm(48.0), ..cup };
    let error = slip.design(&shop(), "s").unwrap_err();
    assert!(error.says.contains("--outer-land is 48"), "{error}");
}

#[test]
fn the_turned_ring_can_be_made_from_its_own_drawing_alone() {
    for (bearing, ring) in [("6204-2Z", Ring::Inner), ("6204", Ring::Outer), ("6204", Ring::Both)] {
        let design = made(&Sleeve { ring, steel_nose: true, ..of(bearing) });
        let [turned] = &design.turned[..] else { panic!("{bearing}: one ring is turned") };
        let figures: Vec<String> = design.figures(turned).into_iter().map(|figure| figure.what).collect();
        for wanted in ["bore", "outside", "overall", "height of its face", "chamfer", "touches from"] {
            assert!(figures.iter().any(|what| what.contains(wanted)), "{wanted}: {figures:?}");
        }
        let pages = fixwright::output::drawing::pages(&design).unwrap();
        let sheet = pages.last().unwrap();
        let texts: Vec<&str> = sheet
            .marks
            .iter()
            .filter_map(|mark| match mark {
                fixwright::output::drawing::page::Mark::Text(text) => Some(text.text.as_str()),
                _ => None,
            })
            .collect();
        assert!(sheet.title.ends_with("turned-ring"), "{}", sheet.title);
        for key in ["steel_ring_bore", "steel_ring_outside", "steel_ring_thickness", "steel_ring_step"] {
            let wanted =
                format!("{:.2}", size(&design, key)).trim_end_matches('0').trim_end_matches('.').to_string();
            assert!(
                texts.iter().any(|text| text.trim_start_matches('\u{d8}') == wanted),
                "{key} {wanted} {texts:?}"
            );
        }
        assert!(texts.iter().any(|text| text.contains("flat and parallel within 0.02 mm")));
        assert!(texts.iter().any(|text| text.contains("S235")));
    }
}

#[test]
fn the_picture_and_the_list_show_what_the_force_goes_round_through() {
    let set_up = |drive: Drive, ring: Ring| made(&Sleeve { drive, ring, steel_nose: true, ..of("6204") });
    let shown =
        |design: &Design| -> Vec<String> { design.mating.iter().map(|body| body.name.clone()).collect() };
    for ring in [Ring::Inner, Ring::Outer, Ring::Both] {
        let puller = set_up(Drive::Puller, ring);
        let bodies = shown(&puller);
        for body in ["jaws of a screw puller", "the puller's screw", "washer"] {
            assert!(bodies.iter().any(|shown| shown == body), "{ring:?} {body}: {bodies:?}");
        }
        assert!(
            hardware(&puller, "screw puller")
                .unwrap()
                .contains(&format!("reach {:.0} mm", size(&puller, "puller_reach")))
        );
        // What the jaws hook behind where one ring is pressed is there; for both a bar is bought.
        let bar = hardware(&puller, "flat steel bar under housing and shaft");
        assert_eq!(bar.is_some(), ring == Ring::Both, "{bar:?}");
        let press = set_up(Drive::Flat, ring);
        let bodies = shown(&press);
        for body in ["steel plate", "ram of the press", "bed of the press"] {
            assert!(bodies.iter().any(|shown| shown == body), "{ring:?} {body}: {bodies:?}");
        }
        assert!(hardware(&press, "flat steel plate under the ram").is_some());
    }
    // An open end is spanned by a plate that does not bend.
    let open = made(&Sleeve { end: Closure::Open, ring: Ring::Outer, steel_nose: true, ..of("6210") });
    let plate = hardware(&open, "flat steel plate over the open end").unwrap();
    assert!(plate.contains(&format!("{} thick", size(&open, "drive_plate_thickness"))), "{plate}");
    assert_eq!(open.finding("drive-plate").unwrap().level, Level::Ok);
}

#[test]
fn a_single_angular_contact_bearing_is_not_pressed_by_both_rings_at_once_and_a_matched_pair_is() {
    let both =
        |bearing: &str| Sleeve { ring: Ring::Both, steel_nose: true, ..of(bearing) }.design(&shop(), "s");
    let error = both("7206B").unwrap_err();
    assert!(error.says.contains("different heights") && error.remedy.contains("--ring inner"), "{error}");
    assert!(both("7206C DB").is_ok());
}
