//! How a bracket holds: what it may not be asked, and where its formula ends.

use fixwright::checks::Level;
use fixwright::design::Part;
use fixwright::error::Kind;
use fixwright::parts::bracket::hold::Model;
use fixwright::parts::bracket::{Bracket, Style, settle};
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn mm(value: f64) -> Option<Length> {
    Some(Length::from_mm(value).unwrap())
}

fn workshop() -> Workshop {
    Workshop::find("bed-220", "petg", 0.01).unwrap()
}

fn bracket(style: Style) -> Bracket {
    Bracket { style, pulleys: vec![36, 24], near: mm(100.0), ..Bracket::default() }
}

#[test]
fn a_bracket_as_warm_as_its_plastic_softens_is_refused() {
    for temperature in [70.0, 80.0] {
        let warm = Bracket { temperature: Some(temperature), ..bracket(Style::Foot) };
        let error = warm.design(&workshop(), "b").unwrap_err();
        assert_eq!(error.kind, Kind::Request);
        for word in ["--temperature", &temperature.to_string(), "PETG", "70 °C"] {
            assert!(error.says.contains(word), "{word}: {}", error.says);
        }
        let remedy = &error.remedy;
        assert!(remedy.contains("below 70 °C") && remedy.contains("abs (90 °C)"));
        assert!(!remedy.contains("pla (") && !remedy.contains("petg ("));
    }
    let cooler = Bracket { temperature: Some(69.5), ..bracket(Style::Foot) };
    let design = cooler.design(&workshop(), "b").unwrap();
    assert!(design.findings.iter().all(|f| f.value.is_finite() && f.limit.is_finite()));
    assert!(design.findings.iter().any(|f| f.check == "root-stress" && f.stops()));
}

#[test]
fn beyond_what_was_compared_half_as_much_again_is_counted_and_said() {
    for (asked, option) in [
        (Bracket { axis_height: mm(140.0), ..bracket(Style::Foot) }, "--axis-height"),
        (Bracket { screw_spacing: mm(180.0), ..bracket(Style::Foot) }, "--screw-spacing"),
        (Bracket { upright_thickness: mm(2.5), ..bracket(Style::Face) }, "--upright-thickness"),
        (
            Bracket { belt_plane: mm(60.0), encoder_shaft_length: mm(80.0), ..bracket(Style::Face) },
            "--belt-plane",
        ),
    ] {
        let workshop = workshop();
        let settled = settle(&asked, &workshop).unwrap();
        let (holding, pull) = (&settled.holding, settled.place.pull());
        let range = holding.range();
        assert_eq!((range.check, range.level), ("stiffness-range", Level::Caution));
        assert!(range.remedy.unwrap().contains(option), "{option}");
        assert_eq!(pull.y, 0.0);
        let lever = settled.layout.belt_lever + settled.layout.thick.upright / 2.0;
        let plain = settled.drive.hub_load() * holding.compliance.along_the_pull(lever, 1.0, 0.0);
        assert!((holding.deflection / plain - 1.5).abs() < 1e-9, "{option}");
    }
    let workshop = workshop();
    for style in [Style::Foot, Style::Face, Style::Swing] {
        let asked = bracket(style);
        assert_eq!(settle(&asked, &workshop).unwrap().holding.range().level, Level::Ok);
    }
}

#[test]
fn in_a_recess_the_encoder_is_held_no_further_than_its_wall() {
    let asked = Bracket { encoder: Some("58-synchro".into()), ..bracket(Style::Face) };
    let workshop = workshop();
    let settled = settle(&asked, &workshop).unwrap();
    let (seat, thick) = (&settled.layout.seat, settled.layout.thick.upright);
    let Model::Plate(plate) = settled.holding.model else {
        panic!("a face plate is a plate");
    };
    assert!(plate.seat < seat.radius && plate.seat == seat.register_bore / 2.0);
    assert!(plate.grasp < seat.grasp(thick) && plate.grip < thick / 2.0);
}
