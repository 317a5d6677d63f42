use super::*;

fn inner_6206(class: &str) -> RingFit {
    RingFit {
        side: Side::Inner,
        bore: 30.0,
        outside: 62.0,
        width: 16.0,
        series: Series::Radial,
        precision: Precision::Normal,
        bearing_uncertainty_um: 0.0,
        raceway: Raceway::Ball,
        shoulder: Some(40.3),
        seat: Seat::Class(class.to_string()),
        partner_other: 0.0,
        partner: metal("steel").unwrap(),
        friction: Friction::PRESS_ON,
        eased_um: 0.0,
    }
}

#[test]
fn a_class_gives_the_makers_theoretical_interference() {
    // SKF Rolling Bearings (2018), "Tolerances and resultant fits": 18 to 30 mm k5 2 to 21 µm,
    // h5 −9 to 10 µm; housing 50 to 80 mm N7 −4 to 39 µm (interference positive here).
    let k5 = inner_6206("k5").reckon().unwrap();
    assert_eq!((k5.interference_min_um, k5.interference_max_um), (2.0, 21.0));
    assert!((k5.interference_likely_um - 14.67).abs() < 0.01);
    let h5 = inner_6206("h5").reckon().unwrap();
    assert_eq!((h5.interference_min_um, h5.interference_max_um), (-9.0, 10.0));
    assert_eq!(h5.press_force_min_n, 0.0);
    let outer = RingFit {
        side: Side::Outer,
        shoulder: Some(54.1),
        seat: Seat::Class("N7".to_string()),
        partner_other: f64::INFINITY,
        partner: metal("cast iron").unwrap(),
        ..inner_6206("k5")
    };
    let n7 = outer.reckon().unwrap();
    assert_eq!((n7.interference_min_um, n7.interference_max_um), (-4.0, 39.0));
    assert!(n7.ring_hoop_max_mpa < 0.0 && n7.press_force_max_n > 0.0);
}

#[test]
fn the_force_of_a_common_fit_is_what_a_bench_knows() {
    let found = inner_6206("k5").reckon().unwrap();
    // By hand: 21 µm, of which 30/32 act; ring 30/40.3, E 208/207 GPa: p ≈ 30 MPa, F = 0.15·p·π·30·16 ≈ 6.9 kN.
    let ratio: f64 = (30.0f64 / 40.3).powi(2);
    let compliance = ((1.0 + ratio) / (1.0 - ratio) + 0.30) / 208_000.0 + (1.0 - 0.292) / 207_000.0;
    let pressure = 0.021 * 30.0 / 32.0 / (30.0 * compliance);
    assert!((found.pressure_max_mpa / pressure - 1.0).abs() < 1e-12);
    let force = 0.15 * pressure * std::f64::consts::PI * 30.0 * 16.0;
    assert!((found.press_force_max_n / force - 1.0).abs() < 1e-12);
    assert!(
        found.press_force_min_n < found.press_force_likely_n
            && found.press_force_likely_n < found.press_force_max_n
    );
    assert_eq!(found.finding().level, Level::Ok);
}

#[test]
fn a_measured_shaft_narrows_the_spread_to_the_bearings_own() {
    let mut fit = inner_6206("k5");
    fit.seat = Seat::Measured { diameter: 30.009, uncertainty_um: 0.0 };
    let found = fit.reckon().unwrap();
    assert!(
        (found.interference_min_um - 9.0).abs() < 1e-9 && (found.interference_max_um - 19.0).abs() < 1e-9
    );
    fit.seat = Seat::Measured { diameter: 30.009, uncertainty_um: CALIPER_UM };
    let vague = fit.reckon().unwrap();
    assert!((vague.interference_max_um - 39.0).abs() < 1e-9);
    assert_eq!(vague.finding().level, Level::Caution);
    fit.seat = Seat::Measured { diameter: 29.2, uncertainty_um: 0.0 };
    assert!(fit.reckon().unwrap_err().says.contains("29.2"));
}

#[test]
fn a_class_of_the_wrong_kind_is_refused() {
    assert!(inner_6206("H7").reckon().unwrap_err().says.contains("lower case"));
    let mut fit = inner_6206("k5");
    fit.side = Side::Outer;
    fit.partner_other = 90.0;
    assert!(fit.reckon().unwrap_err().says.contains("upper case"));
}

#[test]
fn without_a_shoulder_the_ring_counts_as_stiffer_than_it_is() {
    let mut fit = inner_6206("k5");
    let known = fit.reckon().unwrap();
    fit.shoulder = None;
    let guessed = fit.reckon().unwrap();
    assert!(guessed.press_force_max_n > known.press_force_max_n);
    assert!(guessed.basis.iter().any(|b| b.contains("estimate")));
    fit.shoulder = Some(80.0);
    assert!(fit.reckon().is_err());
}

#[test]
fn an_open_6206_drops_on_warm_and_a_sealed_one_does_not() {
    let at = inner_6206("k5").at_temperatures(20.0, 20.0).unwrap().drops_on_c(21.0).unwrap();
    assert!(at <= Closure::Open.limit_c().0 && at > Closure::Sealed.limit_c().0, "{at}");
}

#[test]
fn the_plain_case_has_a_force_only_with_a_length() {
    let steel = metal("steel").unwrap().elastic();
    let joint = Joint { diameter: 40.0, ring_outside: 80.0, shaft_bore: 0.0, ring: steel, shaft: steel };
    let bare = serde_json::to_value(plain(&joint, 59.0, None, None).unwrap()).unwrap();
    assert!((bare["pressure_mpa"].as_f64().unwrap() - 114.497).abs() < 0.01);
    assert!((bare["ring_hoop_mpa"].as_f64().unwrap() - 190.83).abs() < 0.01);
    assert!((bare["shaft_hoop_mpa"].as_f64().unwrap() + 114.497).abs() < 0.01);
    assert!(bare.get("force_n").is_none());
    let with = plain(&joint, 59.0, Some(40.0), Some(0.15)).unwrap();
    assert!(
        (with.force_n.unwrap() - 0.15 * with.pressed.pressure_mpa * std::f64::consts::PI * 1600.0).abs()
            < 1e-6
    );
    assert!(plain(&joint, 59.0, Some(40.0), Some(-0.1)).is_err());
}
