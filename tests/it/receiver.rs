//! Drawing an old bearing off, as a person reads it.

use fixwright::checks::Level;
use fixwright::design::{Design, Part};
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, make};
use fixwright::parts::receiver::{From, Receiver, Seat};
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
    for bearing in ["6202", "6204-2Z", "6206", "NU210", "6310"] {
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
    let gap = made(&Receiver { keep: true, gap: mm(8.0), ..of("6204", From::Shaft) });
    assert_eq!(gap.finding("bearing-survives").unwrap().level, Level::Ok);
    let backing = |item: &fixwright::design::Hardware| item.what.contains("split backing ring");
    // Plastic cannot bear an old seat's pull on so narrow a face: it is sawn from steel, and its size is told.
    assert!(gap.notes.hardware.iter().any(backing));
    let words = made(&of("6204", From::Shaft)).notes.mechanics.join("\n");
    assert!(words.contains("scrap") && words.contains("cut"), "{words}");
    let free = Receiver {
        seat: Seat::Fresh,
        gap: mm(8.0),
        shaft_class: Some("h5".into()),
        ..of("6204", From::Shaft)
    };
    let printed = made(&free);
    if !printed.notes.hardware.iter().any(backing) {
        assert!(printed.pieces.iter().any(|piece| piece.suffix == "split-backing-ring" && piece.count == 2));
    }
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
        let receiver = Receiver { opening: mm(opening), ..of("6204", From::Housing) };
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
