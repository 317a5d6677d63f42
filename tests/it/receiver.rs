//! Drawing an old bearing off, as a person reads it.

use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, make};
use fixwright::parts::receiver::{By, From, Receiver, Seat, WideFace};
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn mm(value: f64) -> Option<Length> {
    Some(Length::from_mm(value).unwrap())
}

fn of(bearing: &str, from: From) -> Receiver {
    Receiver { bearing: Some(bearing.into()), from, ..Receiver::default() }
}

fn made(receiver: &Receiver) -> Design {
    receiver.design(&Workshop::find("bed-220", "pla", 0.02).unwrap(), "r").unwrap_or_else(|e| panic!("{e}"))
}

fn size(design: &Design, key: &str) -> f64 {
    design.size(key).unwrap_or_else(|| panic!("no {key}"))
}

#[test]
fn a_receiver_goes_round_the_bearing_and_is_long_enough_for_what_comes_into_it() {
    for bearing in ["6202", "6204-2Z", "6206", "6210", "6310"] {
        for from in [From::Shaft, From::Housing] {
            let design = made(&Receiver { reach: mm(30.0), ..of(bearing, from) });
            design.check().unwrap();
            assert!(size(&design, "receiver_bore") >= size(&design, "bearing_outside") + 1.0, "{bearing}");
            let comes_in = match from {
                From::Shaft => 30.0 + size(&design, "travel"),
                From::Housing => size(&design, "bearing_width"),
            };
            assert!(size(&design, "receiver_length") > comes_in + 5.0, "{bearing} {from:?}");
            for piece in &design.pieces {
                assert_eq!(piece.mesh.open_edges(), 0);
            }
            assert!(
                design.findings.iter().all(|f| f.level != Level::Stop),
                "{bearing} {:?}",
                design.findings
            );
        }
    }
}

#[test]
fn the_pull_is_more_than_the_push_and_an_old_seat_takes_more_still() {
    let fresh = made(&Receiver { seat: Seat::Fresh, ..of("6204", From::Shaft) });
    let old = made(&of("6204", From::Shaft));
    let push = fixwright::parts::sleeve::Sleeve { bearing: Some("6204".into()), ..Default::default() }
        .design(&Workshop::find("bed-220", "pla", 0.02).unwrap(), "s")
        .unwrap();
    // Friction 0.18 against 0.12.
    let ratio = size(&fresh, "pull_force_likely_n") / size(&push, "press_force_likely_n");
    assert!((ratio - 1.5).abs() < 1e-9, "{ratio}");
    assert!(size(&old, "pull_force_likely_n") > size(&fresh, "pull_force_likely_n"));
    assert!(size(&old, "pull_force_max_n") > size(&old, "pull_force_likely_n"));
}

#[test]
fn the_stop_torque_makes_no_more_force_than_tube_and_screw_stand() {
    for rod in ["M8", "M10", "M12"] {
        let design = made(&Receiver { rod: Some(rod.into()), ..of("6204-2Z", From::Shaft) });
        let diameter: f64 = rod[1..].parse().unwrap();
        let force = size(&design, "stop_torque_nm") * 1000.0 / (0.12 * diameter);
        assert!((force / size(&design, "stop_force_n") - 1.0).abs() < 1e-9);
        assert!(force <= size(&design, "pull_force_max_n") + 1e-6);
        let steps = design.notes.steps.join("\n");
        assert!(steps.contains(&format!("{:.1} N·m", size(&design, "stop_torque_nm"))));
    }
}

#[test]
fn a_bearing_that_must_survive_is_not_drawn_through_its_balls() {
    let kept = made(&Receiver { keep: true, ..of("6204", From::Shaft) });
    assert_eq!(kept.finding("bearing-survives").unwrap().level, Level::Stop);
    assert!(
        kept.finding("bearing-survives")
            .unwrap()
            .remedy
            .as_ref()
            .unwrap()
            .contains("screw puller and give --by puller")
    );
    let words = made(&of("6204", From::Shaft)).notes.mechanics.join("\n");
    assert!(words.contains("scrap") && words.contains("cut"), "{words}");
}

#[test]
fn a_receiver_goes_through_every_format() {
    let order = Order {
        kind: "receiver",
        shared: Shared::default(),
        part: Box::new(of("6204-2Z", From::Housing)),
        asked: vec![],
    };
    let formats =
        [Format::Stl, Format::Step, Format::ThreeMf, Format::Drawing, Format::Picture, Format::Json];
    let made = make(&order, &formats).unwrap();
    assert!(!made.stopped() && made.files.len() >= formats.len(), "{}", made.files.len());
}

#[test]
fn nonsense_is_an_error_with_a_next_step() {
    let workshop = Workshop::find("bed-220", "pla", 0.02).unwrap();
    for wild in [
        Receiver::default(),
        Receiver { reach: mm(-3.0), ..of("6204", From::Shaft) },
        Receiver { wall: mm(500.0), ..of("6204", From::Shaft) },
        Receiver { opening: mm(1.0), ..of("6204", From::Housing) },
        Receiver { rod: Some("M7".into()), ..of("6204", From::Shaft) },
    ] {
        let error = wild.design(&workshop, "r").unwrap_err();
        assert!(error.kind != fixwright::error::Kind::Internal && error.remedy.len() > 10, "{error}");
    }
}

#[test]
fn an_opening_that_nothing_can_bear_or_pass_through_is_refused() {
    let shop = Workshop::find("bed-220", "petg", 0.02).unwrap();
    for (opening, word) in
        [(20.0, "bears on the inner ring"), (24.0, "bears on the inner ring"), (28.0, "washer and nut")]
    {
        let rod = Some("M16".to_string());
        let receiver = Receiver { opening: mm(opening), rod, ..of("6204", From::Housing) };
        let error = receiver.design(&shop, "r").unwrap_err();
        assert!(error.says.contains(word), "{opening}: {}", error.says);
    }
    assert!(Receiver { opening: mm(41.0), ..of("6204", From::Housing) }.design(&shop, "r").is_ok());
}

#[test]
fn a_thread_that_is_assumed_in_the_spindle_is_said_and_asked_for() {
    let asks = |receiver: &Receiver| made(receiver).notes.readings_wanted.join("\n");
    let solid = of("6204", From::Shaft);
    assert!(asks(&solid).contains("M12 is assumed"), "{}", asks(&solid));
    assert!(!asks(&Receiver { rod: Some("M12".into()), ..solid.clone() }).contains("Thread in the"));
    assert!(!asks(&Receiver { shaft_bore: mm(13.0), ..solid }).contains("Thread in the"));
}

#[test]
fn what_comes_apart_or_is_held_by_more_than_its_seat_is_not_drawn() {
    let refused = |bearing: &str, from: From| {
        let workshop = Workshop::find("bed-220", "pla", 0.02).unwrap();
        of(bearing, from).design(&workshop, "r").map(|_| ()).unwrap_err().says
    };
    for bearing in ["NU205", "N205", "NJ205", "NUP205", "30206"] {
        assert!(refused(bearing, From::Shaft).contains("comes apart"), "{bearing}");
    }
    assert!(refused("30206", From::Housing).contains("comes apart"));
    assert!(refused("6206NR", From::Housing).contains("snap ring"));
    assert!(refused("1206K", From::Shaft).contains("tapered bore"));
    // Rollers take no pull: the washer bears on the outer ring alone, or it stops.
    let rollers = made(&of("NU205", From::Housing));
    assert!(rollers.finding("bearing-survives").unwrap().stops());
}

#[test]
fn a_bearing_that_nothing_holds_back_is_asked_for_and_a_pair_travels_twice() {
    let held = |shoulder: bool| {
        let design = made(&Receiver { shoulder, ..of("6204", From::Shaft) });
        design.finding("bearing-held").unwrap().level
    };
    assert_eq!((held(false), held(true)), (Level::Caution, Level::Ok));
    let length = |bearing: &str| {
        size(&made(&Receiver { reach: mm(20.0), ..of(bearing, From::Shaft) }), "receiver_length")
    };
    assert_eq!(length("7206C DB") - length("7206C"), 16.0);
    // Nothing warm under a loaded print, and no tap.
    let design = made(&of("6204", From::Shaft));
    let said = [design.notes.mechanics.clone(), design.notes.steps.clone()].concat().join("\n");
    assert!(!said.contains("give the plate a tap") && said.contains("never with this print"), "{said}");
}

#[test]
fn a_slotted_ring_for_a_puller_bears_on_the_inner_ring_alone_and_is_as_thick_as_it_must_be() {
    let with = |gap: f64| made(&Receiver { gap: mm(gap), by: By::Puller, ..of("6206", From::Shaft) });
    assert!(with(4.0).finding("backing-gap").unwrap().stops());
    let design = with(40.0);
    assert_eq!(design.finding("backing-gap").unwrap().level, Level::Ok);
    let bearing = fixwright::catalog::bearings::read("6206").unwrap();
    let inner_ring = bearing.inner_land().unwrap();
    let ring = |what: &str| size(&design, &format!("slotted_ring_{what}"));
    assert!(ring("land") <= inner_ring.outer_diameter && ring("bore") >= inner_ring.inner_diameter);
    // The shaft slides in through the slot.
    assert!(ring("slot") > bearing.bore && ring("slot") < ring("bore"));
    // Ring and jaws fit the gap they ask for, and no less.
    assert!(ring("thickness") + 6.0 < size(&design, "gap_needed"));
    // Under the force it is stopped at, two jaws neither twist nor bend it past two thirds of its yield.
    let width = (ring("outside") - ring("bore")) / 2.0;
    let arm = (bearing.outside + 6.0) / 2.0 - (ring("bore") + ring("land")) / 4.0;
    let (couple, thick) =
        (size(&design, "stop_force_n") / 2.0 * arm, ring("thickness") - ring("land_height"));
    let bent = 6.0 * couple / (width * thick * thick);
    let (long, short) = (width.max(thick), width.min(thick));
    let twisted = couple / (long * short * short) * (3.0 + 1.8 * short / long) * 3f64.sqrt();
    assert!(bent <= 150.0 && twisted <= 150.01 && bent.max(twisted) > 110.0, "{bent} {twisted}");
    // The print is the pattern; every size of the ring is on its own drawing; ring, jaws, screw in picture and list.
    assert!(design.size("receiver_bore").is_none() && design.pieces[0].suffix == "pattern");
    assert!(design.notes.cautions[0].contains("pattern"), "{:?}", design.notes.cautions);
    let [turned] = &design.turned[..] else { panic!("the ring is turned") };
    assert!((turned.mesh.volume() - design.pieces[0].mesh.volume()).abs() < 1e-6);
    let figures: Vec<String> = design.figures(turned).into_iter().map(|figure| figure.what).collect();
    for size in
        ["bore", "width of its slot", "outside", "overall", "outside of its land", "height of its land"]
    {
        assert!(figures.contains(&format!("slotted ring, {size}")), "{size}: {figures:?}");
    }
    let shown: Vec<&str> = design.mating.iter().map(|body| body.name.as_str()).collect();
    for what in ["inner ring", "jaws of a screw puller", "the puller's screw", "spindle"] {
        assert!(shown.contains(&what), "{what}: {shown:?}");
    }
    for what in ["screw puller", "slotted steel ring"] {
        assert!(design.notes.hardware.iter().any(|item| item.what == what), "{what}");
    }
    // A point turns more of the torque into force than a nut, 0.06 of it at the least.
    let puller = design.notes.hardware.iter().find(|item| item.what == "screw puller").unwrap();
    let thread = puller.size.split_whitespace().find_map(|word| word.strip_prefix('M')).unwrap();
    let diameter: f64 = thread.parse().unwrap();
    let force = size(&design, "stop_torque_nm") * 1000.0 / (0.06 * diameter);
    assert!((force / size(&design, "stop_force_n") - 1.0).abs() < 1e-9, "{force}");
}

#[test]
fn a_step_washer_bears_what_the_rod_is_stopped_at_by_its_face_and_in_bending() {
    let steel = |design: &Design| design.turned.iter().any(|piece| piece.suffix == "step-washer");
    for (bearing, class, opening) in
        [("6204", "N7", 43.0), ("6304", "P7", 46.5), ("6204", "N7", 46.0), ("6205", "K7", 40.0)]
    {
        let ask = Receiver { keep: opening > 42.0, opening: mm(opening), ..of(bearing, From::Housing) };
        let design = made(&Receiver { housing_class: Some(class.into()), ..ask });
        let read = fixwright::catalog::bearings::read(bearing).unwrap();
        let (force, outside) = (size(&design, "stop_force_n"), size(&design, "step_washer_outside"));
        assert!(steel(&design), "plastic is crushed under the rod's washer");
        if opening > 42.0 {
            let edge = outside.min(read.outside - 2.0 * read.chamfer_max_radial_outer);
            let face =
                (edge * edge - size(&design, "step_washer_relief").powi(2)) * std::f64::consts::FRAC_PI_4;
            assert!(force / face <= 150.01, "{bearing}: {force} N on {face} mm2");
        }
        assert_eq!(design.finding("washer-bends").unwrap().level, Level::Ok, "{bearing} {opening}");
    }
    let wide = Receiver { opening: mm(300.0), ..of("6205", From::Housing) };
    let refused = wide.design(&Workshop::standard().unwrap(), "r").unwrap_err().to_string();
    assert!(refused.contains("--opening") && refused.contains("52"), "{refused}");
}

#[test]
fn a_pull_through_the_balls_is_said_to_make_scrap_and_a_puller_on_the_inner_ring_is_the_way_out() {
    for (from, spared) in [(From::Shaft, false), (From::Housing, false), (From::Housing, true)] {
        let opening = spared.then(|| Length::from_mm(44.0).unwrap());
        let design = made(&Receiver { keep: spared, opening, ..of("6204", from) });
        let scrap = design.finding("bearing-scrap");
        assert_eq!(scrap.is_none(), spared, "{from:?}");
        if let Some(finding) = scrap {
            assert_eq!(finding.level, Level::Caution);
            assert!(finding.says.contains("scrap"), "{}", finding.says);
            assert!(design.notes.cautions[0].contains("scrap"), "{}", design.notes.cautions[0]);
        }
    }
    for check in ["bearing-scrap", "bearing-survives"] {
        let keep = check == "bearing-survives";
        let design = made(&Receiver { keep, reach: mm(30.0), ..of("6204", From::Shaft) });
        let remedy = design.finding(check).unwrap().remedy.clone().unwrap();
        assert!(remedy.contains("--by puller") && remedy.contains("leave --reach out"), "{remedy}");
    }
}

#[test]
fn an_angular_contact_bearing_is_drawn_only_from_the_side_that_holds_it_together() {
    let level = |bearing: &str, from: From, side: Option<WideFace>| {
        let design = made(&Receiver { wide_face: side, shoulder: from == From::Shaft, ..of(bearing, from) });
        design.finding("wide-face").map(|finding| (finding.level, finding.remedy.clone().unwrap_or_default()))
    };
    for from in [From::Shaft, From::Housing] {
        let (asked, remedy) = level("7206", from, None).unwrap();
        assert!(asked == Level::Stop && remedy.contains("--wide-face near"), "{remedy}");
        assert_eq!(level("7206", from, Some(WideFace::Near)).unwrap().0, Level::Ok);
        assert_eq!(level("7206", from, Some(WideFace::Far)).unwrap().0, Level::Stop);
        // The arrangement of a pair tells by itself.
        assert_eq!(level("7206C DF", from, None).unwrap().0, Level::Ok);
        assert_eq!(level("7206C DB", from, None).unwrap().0, Level::Stop);
        assert!(level("6206", from, None).is_none());
    }
    // On the inner ring alone it comes off from either side.
    let puller = Receiver { by: By::Puller, gap: mm(40.0), ..of("7206", From::Shaft) };
    assert!(made(&puller).finding("wide-face").is_none());
}

#[test]
fn a_pull_through_the_balls_stops_where_they_may_give_and_one_round_them_does_not() {
    for (bearing, from) in
        [("6204", From::Shaft), ("608", From::Housing), ("1204", From::Shaft), ("6208", From::Housing)]
    {
        let design = made(&Receiver { shoulder: from == From::Shaft, ..of(bearing, from) });
        let (stop, bear) = (size(&design, "stop_force_n"), size(&design, "balls_bear_n"));
        assert!(stop <= bear + 1e-6 && size(&design, "pull_force_max_n") > bear, "{bearing}: {stop} {bear}");
        assert!(design.notes.mechanics[0].starts_with("STOP"), "{}", design.notes.mechanics[0]);
        let short = design.finding("stops-short");
        assert_eq!(short.is_some(), stop < size(&design, "pull_force_likely_n"), "{bearing}");
    }
    // By the outer ring alone the same seat may be pulled harder.
    let opening = Some(Length::from_mm(44.0).unwrap());
    let kept = made(&Receiver { keep: true, opening, ..of("6204", From::Housing) });
    let scrap = made(&Receiver { opening, ..of("6204", From::Housing) });
    assert!(kept.size("balls_bear_n").is_none());
    assert!(size(&kept, "stop_force_n") > size(&scrap, "stop_force_n"));
}

#[test]
fn a_sawn_land_counts_only_as_far_as_it_bears_evenly_about_the_screw() {
    let ask = |bearing: &str, shaft: f64| {
        let part =
            Receiver { gap: mm(60.0), by: By::Puller, gap_shaft: mm(shaft), ..of(bearing, From::Shaft) };
        made(&part)
    };
    // By hand: of the land of a 6204 over 23 mm some 45 mm² balance about the screw.
    let stopped = size(&ask("6204", 23.0), "stop_force_n");
    assert!((44.0..47.0).contains(&(stopped / 225.0)), "{stopped}");
    // A thicker shaft leaves less, a thinner one in the gap passes its seat all the same.
    assert!(size(&ask("6204", 25.6), "stop_force_n") < 0.4 * stopped);
    assert_eq!(size(&ask("6204", 19.0), "slotted_ring_bore"), size(&ask("6204", 20.0), "slotted_ring_bore"));
    // What was not measured is asked for.
    let guessed = made(&Receiver { gap: mm(60.0), by: By::Puller, ..of("6204", From::Shaft) });
    assert_eq!(guessed.finding("gap-shaft").unwrap().level, Level::Caution);
}

#[test]
fn a_ring_is_cut_only_after_tries_that_reached_the_likely_pull() {
    for part in [of("6204", From::Shaft), Receiver { by: By::Puller, ..of("30205", From::Shaft) }] {
        let design = made(&part);
        let says = design.notes.mechanics.iter().find(|said| said.contains("three tries")).unwrap();
        assert!(says.starts_with("When to give up") && says.contains("says nothing of the seat"), "{says}");
    }
    let light = made(&Receiver { seat: Seat::Fresh, shaft_measured: mm(20.003), ..of("6204", From::Shaft) });
    let says = light.notes.mechanics.iter().find(|said| said.contains("three tries")).unwrap();
    let usual = size(&light, "stop_torque_nm") * 1000.0 / 0.16;
    assert!(says.starts_with("When to stop and cut"), "{says} {usual}");
}
