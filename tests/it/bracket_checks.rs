//! What a bracket is checked for, as a person reads it: every check can fail, and what is told of webs, screws and
//! vents is what is printed.

use super::bracket_shape::{bracket, design, every_made, mm, workshop};
use fixwright::belt_drive::Flanges;
use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::parts::bracket::{Bracket, Hand, Style};
use fixwright::solid::Point3;
use fixwright::units::Length;

#[test]
fn the_stiffer_way_is_the_default() {
    let give = |bracket: &Bracket| design(bracket).size("deflection").unwrap();
    let fixed = Bracket {
        upright_thickness: mm(6.0),
        axis_height: mm(45.0),
        belt_plane: mm(14.0),
        ..bracket(Style::Foot)
    };
    let two = give(&fixed);
    assert!(two < give(&Bracket { gussets: Some(0), ..fixed.clone() }));
    assert!(two < give(&Bracket { gussets: Some(1), ..fixed.clone() }));
    assert!(
        give(&Bracket {
            upright_thickness: mm(9.0),
            base_thickness: mm(11.0),
            belt_plane: mm(17.0),
            ..fixed.clone()
        }) < two
    );
    assert!(give(&Bracket { infill: Some(100.0), ..fixed }) <= two);
}

#[test]
fn the_checks_can_fail() {
    let stops = |bracket: Bracket, check: &str| {
        let made = design(&bracket);
        let finding = made.finding(check).unwrap_or_else(|| panic!("no {check}")).clone();
        assert!(finding.level != Level::Ok, "{check}: {finding:?}");
        assert!(finding.remedy.is_some_and(|r| r.len() > 10));
    };
    stops(Bracket { travel_in: mm(0.2), ..bracket(Style::Foot) }, "install-allowance");
    stops(Bracket { travel_out: mm(0.1), ..bracket(Style::Foot) }, "take-up");
    stops(Bracket { tension: Some(40.0), ..bracket(Style::Foot) }, "encoder-load");
    stops(
        Bracket { belt_plane: mm(7.0), upright_thickness: mm(5.0), ..bracket(Style::Foot) },
        "belt-clearance",
    );
    stops(Bracket { upright_thickness: mm(2.4), ..bracket(Style::Foot) }, "upright-wall");
    stops(
        Bracket {
            upright_thickness: mm(3.0),
            base_thickness: mm(3.0),
            axis_height: mm(90.0),
            infill: Some(10.0),
            ..bracket(Style::Foot)
        },
        "deflection",
    );
    stops(
        Bracket {
            style: Style::Face,
            upright_thickness: mm(3.0),
            tension: Some(200.0),
            radial_load: Some(900.0),
            axis_height: mm(120.0),
            ..bracket(Style::Face)
        },
        "root-stress",
    );
    stops(Bracket { rpm: Some(90_000.0), ..bracket(Style::Foot) }, "resonance");
    stops(Bracket { rpm: Some(90_000.0), ..bracket(Style::Foot) }, "encoder-speed");
    stops(Bracket { encoder_limit_hz: Some(1000.0), ..bracket(Style::Foot) }, "encoder-frequency");
    stops(Bracket { controller_limit_hz: Some(1000.0), ..bracket(Style::Foot) }, "controller-frequency");
    stops(Bracket { travel_in: mm(120.0), ..bracket(Style::Foot) }, "bed-size");
    stops(Bracket { travel_in: mm(40.0), ..bracket(Style::Foot) }, "overhang");
    stops(Bracket { upright_thickness: mm(12.0), ..bracket(Style::Foot) }, "shaft-grip");
    stops(Bracket { register: mm(25.0), ..bracket(Style::Foot) }, "hole-edge");
    stops(
        Bracket { encoder: Some("58-clamp".into()), pulleys: vec![36, 12], ..bracket(Style::Foot) },
        "pulley-bore",
    );
    stops(Bracket { shafts: vec![Length::from_mm(25.0).unwrap()], ..bracket(Style::Foot) }, "pulley-bore");
    stops(
        Bracket {
            axis_height: mm(30.0),
            profile: Some("XL".into()),
            pulleys: vec![30, 60],
            near: mm(120.0),
            encoder: Some("40".into()),
            tension: Some(5.0),
            ..bracket(Style::Foot)
        },
        "face-clearance",
    );
    stops(
        Bracket {
            encoder: Some("custom".into()),
            register: mm(30.0),
            bolt_spacing: mm(26.0),
            bolt_screw: Some("M4".into()),
            body: mm(50.0),
            encoder_shaft: mm(8.0),
            encoder_shaft_length: mm(30.0),
            radial_load: Some(60.0),
            upright_thickness: mm(8.0),
            ..bracket(Style::Foot)
        },
        "hole-edge",
    );
    stops(Bracket { pulleys: vec![60, 10], ..bracket(Style::Foot) }, "pulley-teeth");
    stops(Bracket { pulleys: vec![80, 12], near: mm(60.0), ..bracket(Style::Foot) }, "belt-teeth-in-mesh");
    stops(Bracket { tension: Some(3.0), ..bracket(Style::Foot) }, "belt-tension");
    stops(
        Bracket { gussets: Some(0), depth: mm(24.5), upright_thickness: mm(6.0), ..bracket(Style::Foot) },
        "slot-edge",
    );
    stops(
        Bracket {
            vent_width: mm(15.5),
            plain_washers: true,
            flanges: Some(Flanges::None),
            upright_thickness: mm(6.0),
            ..bracket(Style::Foot)
        },
        "vent-web",
    );
    for check in ["gusset-clearance", "key-access"] {
        stops(Bracket { screw_spacing: mm(34.0), ..bracket(Style::Foot) }, check);
    }
    let mut loose = workshop();
    loose.printer.hole_allowance = 3.5;
    // Without gussets its slots are drawn by the hole allowance.
    let six =
        Bracket { upright_thickness: mm(6.0), plain_washers: true, gussets: Some(0), ..bracket(Style::Foot) };
    let made = six.design(&loose, "loose").unwrap();
    let seat = made.finding("slot-washer-seat").unwrap();
    assert!(seat.level == Level::Stop && seat.remedy.is_some());
}

/// The names a bracket's checks are known by.
const CHECKS: [&str; 17] = [
    "belt-teeth-in-mesh",
    "take-up",
    "install-allowance",
    "slot-washer-seat",
    "slot-edge",
    "hole-edge",
    "upright-wall",
    "vent-web",
    "gusset-clearance",
    "belt-clearance",
    "key-access",
    "deflection",
    "root-stress",
    "resonance",
    "encoder-load",
    "bed-size",
    "overhang",
];

#[test]
fn every_style_makes_every_check_and_all_are_kept_by_default() {
    for style in [Style::Foot, Style::Face, Style::Swing] {
        let made = design(&Bracket { rpm: Some(1500.0), ..bracket(style) });
        for check in CHECKS {
            let found: Vec<_> = made.findings.iter().filter(|f| f.check == check).collect();
            assert_eq!(found.len(), 1, "{style:?} {check}");
            // A plate that is free of the belt stands high, and gives a hair more than it should.
            let kept = found[0].level == Level::Ok
                || style != Style::Foot && check == "deflection" && found[0].level == Level::Caution;
            assert!(kept && !found[0].basis.is_empty(), "{style:?}: {:?}", found[0]);
        }
    }
}

#[test]
fn no_encoder_of_the_table_is_stopped_on_a_fine_belt() {
    for (bracket, made) in every_made() {
        let stopped: Vec<_> = made.findings.iter().filter(|f| f.level == Level::Stop).collect();
        assert!(stopped.is_empty(), "{bracket:?}: {stopped:?}");
    }
}

#[test]
fn a_small_encoder_is_spared_by_a_slacker_belt() {
    let made = design(&Bracket {
        profile: Some("T5".into()),
        pulleys: vec![24, 20],
        near: mm(150.0),
        encoder: Some("36".into()),
        ..bracket(Style::Foot)
    });
    assert!(made.finding("encoder-load").unwrap().level == Level::Ok);
    assert!(made.finding("belt-tension").unwrap().level == Level::Caution);
}

/// The least distance between two outlines of a section through the mesh, all pairs of corners and
/// sides taken.
fn thinnest_in_section(made: &Design, at: f64) -> f64 {
    let frame = made.stands.unwrap();
    let plane = fixwright::solid::Frame {
        origin: frame.point3(Point3::new(0.0, at, 0.0)),
        x: frame.x,
        y: frame.z,
        z: -frame.y,
    };
    let outlines = made.pieces[0].mesh.slice(&plane);
    let to_side =
        |p: &fixwright::solid::Point2, a: &fixwright::solid::Point2, b: &fixwright::solid::Point2| {
            let run = b - a;
            let share = ((p - a).dot(&run) / run.norm_squared()).clamp(0.0, 1.0);
            (p - (a + run * share)).norm()
        };
    let mut least = f64::INFINITY;
    for (k, one) in outlines.iter().enumerate() {
        for other in outlines.iter().enumerate().filter(|(j, _)| *j != k).map(|(_, o)| o) {
            for p in one {
                for (i, a) in other.iter().enumerate() {
                    least = least.min(to_side(p, a, &other[(i + 1) % other.len()]));
                }
            }
        }
    }
    least
}

#[test]
fn the_web_told_is_the_web_printed() {
    for (encoder, spindle) in [("36", Hand::Left), ("36", Hand::Right), ("58-clamp", Hand::Left)] {
        for bolt_start in [None, Some(0.0), Some(180.0)] {
            let made = design(&Bracket {
                gussets: Some(0),
                encoder: Some(encoder.into()),
                spindle,
                bolt_start,
                no_vents: true,
                ..bracket(Style::Foot)
            });
            let web = made.finding("hole-edge").unwrap();
            let printed = thinnest_in_section(&made, made.size("upright_thickness").unwrap() / 2.0);
            assert!((web.value - printed).abs() < 0.002, "{encoder}: {printed} printed, {}", web.says);
            assert!(web.level == Level::Ok && web.value > 3.0, "{}", web.says);
            let all = made.finding("wall-measured").unwrap();
            assert!(all.level == Level::Ok && all.says.contains("webs are within"), "{all:?}");
        }
    }
}

#[test]
fn screws_are_long_enough_and_never_too_long() {
    let steps = |bracket: Bracket| design(&bracket).notes.steps.join(" ");
    let plain = steps(Bracket { encoder: Some("nema23".into()), ..bracket(Style::Foot) });
    assert!(plain.contains("nuts behind the flange"), "{plain}");
    for (thickness, depth) in [(5.0, 4.0), (6.0, 5.0), (7.0, 4.5), (8.0, 3.5), (9.0, 6.0)] {
        let made = design(&Bracket {
            upright_thickness: mm(thickness),
            thread_depth: mm(depth),
            ..bracket(Style::Foot)
        });
        for screw in made.lists["flange_screws"].as_array().unwrap() {
            let engaged = screw["length"].as_f64().unwrap() - thickness;
            assert!((3.0..=depth).contains(&engaged), "{thickness} {depth}: {engaged}");
        }
        for screw in made.lists["screws"].as_array().unwrap() {
            // Base, a washer of 1 mm and one and a half diameters.
            assert!(screw["length"].as_f64().unwrap() >= thickness + 2.0 + 1.0 + 7.5);
        }
    }
    assert!(steps(bracket(Style::Foot)).contains("no one has measured how deep"));
}

#[test]
fn vents_that_have_no_room_are_refused_by_name() {
    let wide = |width: f64, more: Bracket| Bracket { vent_width: mm(width), ..more }.design(&workshop(), "b");
    let error = wide(20.0, Bracket { plain_washers: true, ..bracket(Style::Foot) }).unwrap_err();
    assert!(error.says.starts_with("--vent-width is 20 mm"), "{error}");
    let nema = Bracket {
        encoder: Some("nema23".into()),
        screw_spacing: mm(65.0),
        plain_washers: true,
        ..bracket(Style::Foot)
    };
    let error = wide(19.0, nema).unwrap_err();
    assert!(error.says.starts_with("--vent-width is 19 mm"), "{error}");
    let named = error.remedy.strip_prefix("Give --vent-width ");
    if let Some(most) = named.and_then(|rest| rest.strip_suffix(" or less.")) {
        let nema = Bracket {
            encoder: Some("nema23".into()),
            screw_spacing: mm(65.0),
            plain_washers: true,
            ..bracket(Style::Foot)
        };
        let made = wide(most.parse().unwrap(), nema).unwrap();
        assert!(made.finding("vent-web").unwrap().level == Level::Ok);
    }
    let none = design(&bracket(Style::Face));
    assert!(none.finding("vent-web").unwrap().value == 0.0);
}

#[test]
fn what_nobody_measured_is_an_estimate() {
    use fixwright::design::Origin;
    let custom = Bracket {
        encoder: Some("custom".into()),
        register: mm(30.0),
        bolt_spacing: mm(42.0),
        bolt_screw: Some("M4".into()),
        body: mm(50.0),
        encoder_shaft: mm(8.0),
        encoder_shaft_length: mm(20.0),
        radial_load: Some(60.0),
        ..bracket(Style::Foot)
    };
    let made = design(&custom);
    for key in ["register_height", "body_length", "encoder_mass_g", "encoder_greatest_rpm"] {
        let dimension = made.sizes.iter().find(|d| d.key == key).unwrap();
        assert!(matches!(dimension.origin, Origin::Estimate(_)), "{key}");
    }
    assert!(made.finding("encoder-speed").unwrap().basis.starts_with("estimated"));
    assert!(made.notes.mechanics.iter().any(|line| line.contains("at an assumed 600 pulses")));
    assert!(made.notes.readings_wanted.iter().any(|line| line.contains("--encoder-mass")));
    let known = design(&Bracket {
        encoder_rpm: Some(8000.0),
        encoder_mass: Some(250.0),
        pulses: Some(1000.0),
        rpm: Some(1200.0),
        ..custom
    });
    let speed = known.finding("encoder-speed").unwrap();
    assert!(speed.limit == 8000.0 && speed.basis == "given, --encoder-rpm");
    assert!(!known.notes.mechanics.iter().any(|line| line.contains("assumed")));
    assert!(!known.notes.readings_wanted.iter().any(|line| line.contains("--encoder-mass")));
}

#[test]
fn only_screws_of_the_sizes_promised_are_taken() {
    for (screw, taken) in [("M2", false), ("M3", true), ("M12", true), ("M16", false)] {
        let asked = Bracket { screw: Some(screw.into()), ..bracket(Style::Foot) };
        match asked.design(&workshop(), "b") {
            Ok(_) => assert!(taken, "{screw}"),
            Err(error) => assert!(!taken && error.says.contains("--screw"), "{screw}: {error}"),
        }
    }
}

#[test]
fn a_flat_plate_tells_of_no_base_and_no_gussets() {
    let told = |style: Style, key: &str| -> bool {
        let made = design(&bracket(style));
        made.sizes.iter().any(|size| size.key == key && size.is_worth_words())
    };
    for key in ["base_thickness", "gusset_thickness"] {
        assert!(told(Style::Foot, key) && !told(Style::Face, key), "{key}");
    }
}
