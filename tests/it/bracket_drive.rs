//! The drive round a bracket: the pulley on its shaft, the spindle beside it, the belt that is taken, and
//! what is advised where they meet.

use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::parts::bracket::{Bracket, HubSide, SpindleFrom, Style};
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn mm(value: f64) -> Option<Length> {
    Some(Length::from_mm(value).unwrap())
}

fn workshop() -> Workshop {
    Workshop::find("bed-220", "pla", 0.02).unwrap()
}

fn design(bracket: &Bracket) -> Design {
    bracket.design(&workshop(), "b").unwrap_or_else(|e| panic!("{e}"))
}

fn bracket(style: Style) -> Bracket {
    Bracket { style, pulleys: vec![36, 24], near: mm(100.0), ..Bracket::default() }
}

/// A plate whose edge reaches where the spindle passes.
fn beside_the_spindle() -> Bracket {
    Bracket {
        encoder: Some("58-clamp".into()),
        shafts: vec![Length::from_mm(30.0).unwrap(), Length::from_mm(10.0).unwrap()],
        pulleys: vec![60, 30],
        near: mm(55.0),
        ..bracket(Style::Face)
    }
}

#[test]
fn a_spindle_that_would_run_into_the_plate_is_stopped_and_asked_from_where_it_comes() {
    let made = design(&beside_the_spindle());
    let found = made.finding("spindle-clearance").unwrap();
    assert!(found.stops() && found.value < -4.0, "{found:?}");
    assert!(found.remedy.as_ref().unwrap().contains("--spindle-from front"), "{found:?}");
    // The two bodies drawn overlap; with the slide in they would by as much as is told.
    let bounds = |name: &str| {
        made.mating.iter().find(|m| m.name == name).unwrap().body.placed(&inverse(&made)).bounds()
    };
    let plate = made.pieces[0].body.placed(&inverse(&made)).bounds();
    assert!(bounds("spindle").most.x > plate.least.x + 1.0);
    let front = Bracket { spindle_from: Some(SpindleFrom::Front), ..beside_the_spindle() };
    assert_eq!(design(&front).finding("spindle-clearance").unwrap().level, Level::Ok);
    let far = Bracket { near: mm(100.0), ..beside_the_spindle() };
    assert_eq!(design(&far).finding("spindle-clearance").unwrap().level, Level::Ok);
}

/// What takes the print back to the machine's axes.
fn inverse(made: &Design) -> fixwright::solid::Frame {
    let frame = made.stands.unwrap();
    let row = |k: usize| fixwright::solid::Vector3::new(frame.x[k], frame.y[k], frame.z[k]);
    let origin = |v: fixwright::solid::Vector3| -frame.origin.coords.dot(&v);
    fixwright::solid::Frame {
        origin: fixwright::solid::Point3::new(origin(frame.x), origin(frame.y), origin(frame.z)),
        x: row(0),
        y: row(1),
        z: row(2),
    }
}

#[test]
fn the_set_screws_press_on_the_shaft_or_the_print_is_stopped() {
    for encoder in ["36", "38", "40", "58-clamp", "58-synchro", "nema17", "nema23"] {
        let asked = Bracket { encoder: Some(encoder.into()), ..bracket(Style::Foot) };
        let made = design(&asked);
        let grip = made.finding("shaft-grip").unwrap();
        let body = |name: &str| {
            made.mating.iter().find(|m| m.name == name).unwrap().body.placed(&inverse(&made)).bounds()
        };
        let (pulley, shaft) = (body("encoder's pulley"), body("encoder's shaft"));
        // The hub is what stands out of the belt's middle further to one side.
        let middle = -(made.size("belt_plane").unwrap() - made.size("upright_thickness").unwrap());
        let half = made.size("pulley_width").unwrap() / 2.0;
        let screws = if pulley.most.y > middle + half + 0.1 {
            (pulley.most.y + middle + half) / 2.0
        } else {
            (pulley.least.y + middle - half) / 2.0
        };
        let over_shaft = screws > shaft.least.y + 1.9;
        let told = grip.level == Level::Ok || grip.says.contains("of them beyond the set screws");
        assert_eq!(over_shaft, told, "{encoder}: {grip:?}");
    }
}

#[test]
fn a_hub_towards_the_encoder_is_right_where_the_shaft_is_short() {
    let away = Bracket { hub: Some(HubSide::Away), upright_thickness: mm(5.0), ..bracket(Style::Foot) };
    let made = design(&away);
    let grip = made.finding("shaft-grip").unwrap();
    assert!(grip.stops() && grip.says.contains("hold nothing"), "{grip:?}");
    let towards = design(&Bracket { hub: Some(HubSide::Encoder), ..away.clone() });
    assert!(!towards.finding("shaft-grip").unwrap().stops());
    let free = design(&Bracket { hub: None, ..away });
    assert!(free.notes.steps.iter().any(|step| step.contains("hub towards the encoder")));
}

#[test]
fn a_pulley_is_as_wide_as_makers_list_it() {
    for (profile, width, teeth, least) in
        [("T5", 10.0, 24, 15.0), ("XL", 9.5, 16, 14.3), ("L", 12.7, 12, 19.0)]
    {
        let made = design(&Bracket {
            profile: Some(profile.into()),
            pulleys: vec![teeth, teeth],
            width: mm(width),
            near: mm(150.0),
            encoder: Some("58-clamp".into()),
            ..bracket(Style::Foot)
        });
        assert!(made.size("pulley_width").unwrap() >= least, "{profile}");
    }
    let made = design(&Bracket { pulley_width: mm(12.5), ..bracket(Style::Foot) });
    assert_eq!(made.size("pulley_width"), Some(12.5));
}

#[test]
fn a_bore_that_no_pulley_has_is_stopped() {
    let made = design(&Bracket {
        profile: Some("T5".into()),
        pulleys: vec![24, 20],
        shafts: vec![Length::from_mm(30.0).unwrap(), Length::from_mm(6.0).unwrap()],
        near: mm(110.0),
        ..bracket(Style::Foot)
    });
    let bore = made.finding("pulley-bore").unwrap();
    assert!(bore.stops() && (bore.value, bore.limit) == (30.0, 17.0), "{bore:?}");
}

#[test]
fn the_belt_taken_is_the_nearest_or_the_nearest_is_told() {
    for wanted in [90.0, 105.0, 120.0, 150.0, 185.0] {
        let made = design(&Bracket { pulleys: vec![60, 60], near: mm(wanted), ..bracket(Style::Foot) });
        let found = made.finding("centre-distance").unwrap();
        let profile = fixwright::catalog::belts::profile("2GT").unwrap();
        let pulleys = fixwright::belt_drive::Pulleys::new(profile, (60, 60), None, None).unwrap();
        let nearest = &pulleys.near(wanted, 1).unwrap()[0];
        let off = (nearest.centre - wanted).abs();
        assert!(found.value <= off + (wanted / 50.0).max(2.0) + 1e-3, "{wanted}: {found:?}");
        if (found.value - off).abs() > 1e-3 {
            assert!(found.says.contains(&nearest.designation()), "{found:?}");
        }
    }
    let made = design(&Bracket { pulleys: vec![60, 60], near: mm(150.0), ..bracket(Style::Foot) });
    assert!((made.size("centre_distance").unwrap() - 150.0).abs() < 1e-6);
}

#[test]
fn what_overlaps_is_told_by_how_much() {
    let made = design(&Bracket { belt_plane: mm(6.0), upright_thickness: mm(5.0), ..bracket(Style::Foot) });
    let belt = made.finding("belt-clearance").unwrap();
    assert!(belt.stops() && belt.value < -1.0, "{belt:?}");
}

#[test]
fn one_and_three_gussets_make_a_bracket_and_stiffen_it() {
    let asked = |gussets| Bracket {
        gussets: Some(gussets),
        axis_height: mm(72.0),
        upright_thickness: mm(6.0),
        ..bracket(Style::Foot)
    };
    let give = |gussets| design(&asked(gussets)).size("deflection").unwrap();
    assert!(give(3) <= give(2) + 1e-9 && give(2) < give(0));
    let volume = |gussets| design(&asked(gussets)).pieces[0].body.volume();
    assert!(volume(3) > volume(2) + 500.0 && volume(1) > volume(0) + 500.0);
    assert!(asked(4).design(&workshop(), "b").unwrap_err().remedy.contains("Give 3"));
}

#[test]
fn the_screw_spacing_an_error_names_leaves_room_for_everything() {
    for (encoder, given) in [("38", 12.0), ("58-clamp", 20.0), ("nema23", 30.0)] {
        let asked =
            Bracket { encoder: Some(encoder.into()), screw_spacing: mm(given), ..bracket(Style::Foot) };
        let Err(error) = asked.design(&workshop(), "b") else { continue };
        let rest = error.remedy.strip_prefix("Give --screw-spacing ").unwrap_or_else(|| panic!("{error}"));
        let named: f64 = rest.split([',', ' ']).next().unwrap().parse().unwrap();
        let made = design(&Bracket { screw_spacing: mm(named), ..asked });
        for check in ["gusset-clearance", "key-access", "belt-clearance"] {
            let found = made.finding(check).unwrap();
            assert_eq!(found.level, Level::Ok, "{encoder} {named}: {found:?}");
        }
    }
}

#[test]
fn a_stiffer_bracket_whose_holes_move_says_so() {
    let asked = Bracket {
        upright_thickness: mm(4.0),
        axis_height: mm(70.0),
        gussets: Some(0),
        ..bracket(Style::Foot)
    };
    let made = design(&asked);
    let remedies: Vec<&str> = ["deflection", "root-stress", "resonance"]
        .iter()
        .filter_map(|c| made.finding(c)?.remedy.as_deref())
        .collect();
    assert!(
        remedies.iter().any(|r| r.contains("--upright-thickness") || r.contains("--gussets")),
        "{remedies:?}"
    );
    for remedy in remedies.iter().filter(|r| r.contains("--upright-thickness")) {
        assert!(remedy.contains("the machine's holes"), "{remedy}");
    }
}

#[test]
fn both_pulleys_are_held_against_the_face_a_foot_stands_on() {
    let made = design(&Bracket { pulleys: vec![100, 24], near: mm(160.0), ..bracket(Style::Foot) });
    let face = made.finding("face-clearance").unwrap();
    assert!(face.says.starts_with("The spindle's pulley"), "{face:?}");
}

#[test]
fn a_clamp_holds_a_plate_against_turning_about_its_screws_by_hand() {
    let made = design(&bracket(Style::Face));
    let v = |key: &str| made.size(key).unwrap();
    // What is left of the clamp force with the most friction in the thread, after creep; friction 0.2.
    let friction = 0.2 * v("clamp_force_n") * 0.17 / 0.35 / 2.0;
    let (pull, weight) = (v("hub_load_n"), v("encoder_mass_g") / 1000.0 * 9.81);
    let apart = v("hole_2_from_spindle") - v("hole_1_from_spindle");
    // The pull runs level over the screws; the weight hangs beside the middle between them, and turns it back.
    let beside = v("centre_distance") - (v("hole_1_from_spindle") + v("hole_2_from_spindle")) / 2.0;
    let turned = (pull * v("axis_height") - weight * beside) / apart;
    let worst = (pull / 2.0).hypot(weight / 2.0 + turned);
    assert!(
        (v("slip_factor") / (friction / worst) - 1.0).abs() < 1e-6,
        "{} {}",
        v("slip_factor"),
        friction / worst
    );
    // A swing cannot slide on its pivot; its other screw holds it against turning.
    let made = design(&bracket(Style::Swing));
    let v = |key: &str| made.size(key).unwrap();
    let friction = 0.2 * v("clamp_force_n") * 0.17 / 0.35 / 2.0;
    let apart = (v("hole_2_from_spindle") - v("hole_1_from_spindle")).abs();
    let without_weight = friction * apart / (v("hub_load_n") * v("axis_height"));
    assert!((v("slip_factor") / without_weight - 1.0).abs() < 0.1, "{} {without_weight}", v("slip_factor"));
}

#[test]
fn a_clamp_is_told_in_newton_metres_and_wide_washers_hold_better() {
    let plain = design(&Bracket { plain_washers: true, ..bracket(Style::Foot) });
    let wide = design(&bracket(Style::Foot));
    let v = |made: &Design, key: &str| made.size(key).unwrap();
    // F = σ·A over the washer's face beside its slot; T = 0.17·F·d.
    let by_hand = 0.17 * v(&plain, "clamp_force_n") * 5.0 / 1000.0;
    assert!((v(&plain, "clamp_torque_nm") - by_hand).abs() < 1e-9);
    assert!(v(&wide, "slip_factor") > 2.0 * v(&plain, "slip_factor"));
    assert_eq!(wide.lists["screws"][0]["washer"], "ISO 7093-1");
    let step = plain.notes.steps.iter().find(|step| step.contains("N·m")).unwrap();
    assert!(step.contains(&format!("{:.2} N·m", v(&plain, "clamp_torque_nm"))), "{step}");
    let slip = plain.finding("clamp-slip").unwrap();
    assert!(slip.level == Level::Ok || slip.remedy.as_ref().unwrap().contains("plain-washers"), "{slip:?}");
}

#[test]
fn the_encoder_s_shaft_that_is_asked_for_is_used_and_told_and_a_contradiction_is_refused() {
    let asked = Bracket {
        pulleys: vec![40, 24],
        shafts: vec![mm(25.0).unwrap(), mm(8.0).unwrap()],
        encoder: Some("38".into()),
        near: mm(110.0),
        ..Bracket::default()
    };
    let made = design(&asked);
    let bought =
        made.notes.hardware.iter().map(|item| format!("{} {}", item.what, item.size)).collect::<Vec<_>>();
    assert!(bought.iter().any(|item| item.contains("bored 8 mm for the encoder")), "{bought:?}");
    assert!(bought.iter().any(|item| item.contains("38 mm body, 8 mm shaft")), "{bought:?}");
    let wanted = &made.notes.readings_wanted;
    assert!(wanted.iter().any(|it| it.contains("8 mm were given") && it.contains("6 mm")), "{wanted:?}");
    let refused = |bracket: Bracket| bracket.encoder().unwrap_err();
    let both = refused(Bracket { encoder_shaft: mm(6.0), ..asked.clone() });
    assert!(both.says.contains("--encoder-shaft is 6 mm") && both.says.contains("8 mm"), "{both}");
    let three = refused(Bracket { shafts: [25.0, 8.0, 6.0].map(|d| mm(d).unwrap()).to_vec(), ..asked });
    assert!(three.says.contains("--shafts has 3 values"), "{three}");
}

#[test]
fn a_ratio_settles_the_pulleys_of_bracket_and_belt_alike_and_the_sheet_says_what_the_index_does() {
    let asked = |ratio: &str| Bracket {
        ratio: Some(ratio.parse().unwrap()),
        shafts: vec![mm(12.0).unwrap(), mm(6.0).unwrap()],
        near: mm(100.0),
        ..Bracket::default()
    };
    for (ratio, index) in [("1:1", "one pulse per spindle turn"), ("2:1", "2 in 1 turn of the spindle")] {
        let made = design(&asked(ratio));
        let belt = fixwright::belt_drive::answer(&fixwright::belt_drive::BeltRequest {
            ratio: Some(ratio.parse().unwrap()),
            shafts: asked(ratio).shafts,
            near: mm(100.0),
            ..Default::default()
        })
        .unwrap();
        assert_eq!(made.lists["belt"]["pulleys"], serde_json::json!(belt.pulleys), "{ratio}");
        assert!(made.notes.mechanics.iter().any(|line| line.contains(index)), "{:?}", made.notes.mechanics);
        assert!(made.findings.iter().all(|f| f.check != "pulley-stock" || f.level == Level::Ok));
    }
    let both = Bracket { pulleys: vec![20, 20], ..asked("1:1") };
    assert!(both.refuse_unused().unwrap_err().says.contains("--ratio is given"));
}
