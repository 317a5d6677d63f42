//! How a bracket holds: what it may not be asked, how far it gives and how it swings.

use fixwright::checks::Level;
use fixwright::design::Part;
use fixwright::error::Kind;
use fixwright::parts::bracket::{Bracket, Style, checks, settle};
use fixwright::units::Length;
use fixwright::workshop::Workshop;

fn mm(value: f64) -> Option<Length> {
    Some(Length::from_mm(value).unwrap())
}

fn workshop() -> Workshop {
    Workshop::find("bed-220", "petg", 0.01).unwrap()
}

fn bracket(style: Style) -> Bracket {
    Bracket { style, pulleys: vec![36, 24], near: mm(100.0), plain_washers: true, ..Bracket::default() }
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

/// Finding of a check in words, and its level, as the report has them.
fn said(asked: &Bracket, check: &str) -> (Level, String) {
    let workshop = Workshop::find("bed-350", "pla", 0.01).unwrap();
    let settled = settle(asked, &workshop).unwrap();
    let found = checks::unprinted(&settled).unwrap().into_iter().find(|f| f.check == check).unwrap();
    (found.level, found.says)
}

/// The number before a unit.
fn before(says: &str, unit: &str) -> f64 {
    says.split(unit).next().unwrap().rsplit(' ').next().unwrap().parse().unwrap()
}

#[test]
fn a_high_axis_nods_along_its_shaft_far_below_its_sideways_swing() {
    let high = Bracket {
        encoder: Some("38".into()),
        axis_height: mm(100.0),
        near: mm(110.0),
        rpm: Some(3000.0),
        upright_thickness: mm(6.0),
        ..bracket(Style::Foot)
    };
    let (level, says) = said(&high, "resonance");
    // 102 Hz by solid elements at a modulus of 1801 MPa; sideways it would be over 180.
    assert!((92.0..=112.0).contains(&before(&says, " Hz")), "{says}");
    assert!(level == Level::Caution && says.contains("fore and aft"), "{says}");
}

#[test]
fn a_heavier_encoder_or_one_further_out_swings_lower() {
    let frequency = |asked: Bracket| before(&said(&asked, "resonance").1, " Hz");
    let plain = frequency(bracket(Style::Foot));
    let heavy = Bracket { encoder_mass: Some(400.0), ..bracket(Style::Foot) };
    let long = Bracket { body_length: mm(70.0), ..bracket(Style::Foot) };
    assert!(frequency(heavy) < 0.8 * plain && frequency(long) < 0.9 * plain);
}

#[test]
fn a_foot_on_long_slots_gives_as_much_as_solid_elements_say_or_a_little_more() {
    let long = Bracket {
        encoder: Some("36".into()),
        screw: Some("M6".into()),
        travel_in: mm(60.0),
        near: mm(170.0),
        belt_plane: mm(10.5),
        upright_thickness: mm(5.0),
        ..bracket(Style::Foot)
    };
    let (level, says) = said(&long, "deflection");
    let gives = before(&says, " mm");
    // 0.00436 mm by solid elements with the belt so near; the formulas of a short base said 0.0026.
    assert!(level == Level::Ok && (0.0043..=0.0053).contains(&gives), "{says}");
}

#[test]
fn slots_and_thin_walls_give_more() {
    let gives = |asked: Bracket| before(&said(&asked, "deflection").1, " mm");
    let plain = Bracket { upright_thickness: mm(6.0), ..bracket(Style::Foot) };
    let base = gives(plain.clone());
    assert!(gives(Bracket { upright_thickness: mm(4.0), ..plain.clone() }) > 1.2 * base);
    assert!(gives(Bracket { gussets: Some(0), ..plain.clone() }) > 1.2 * base);
    assert!(gives(Bracket { axis_height: mm(70.0), ..plain }) > 1.5 * base);
}

#[test]
fn the_report_says_what_is_held_pulled_and_swings_without_a_model() {
    let design = bracket(Style::Face).design(&workshop(), "b").unwrap();
    let stiffness = &design.lists["stiffness"];
    for key in ["held", "seat", "pull", "pull_n", "pulled_at", "weight_n", "down", "modulus_mpa", "poisson"] {
        assert!(!stiffness[key].is_null(), "{key}");
    }
    assert!(stiffness["model"].is_null());
    assert_eq!(stiffness["body_radius"], 19.0);
    let masses = stiffness["masses"].as_array().unwrap();
    let named: Vec<&str> = masses.iter().map(|mass| mass["name"].as_str().unwrap()).collect();
    assert_eq!(named, ["encoder", "pulley", "pulley's hub"]);
    assert_eq!(masses[0]["mass_g"], 150.0);
    // The encoder's middle lies half its length behind its flange.
    let at = |value: &serde_json::Value, k: usize| value[k].as_f64().unwrap();
    let seat = &stiffness["seat"];
    let off =
        (0..3).map(|k| (at(&masses[0]["centre"], k) - at(&seat["centre"], k)) * at(&seat["outward"], k));
    assert!((off.sum::<f64>() - stiffness["body_length"].as_f64().unwrap() / 2.0).abs() < 1e-9);
}
