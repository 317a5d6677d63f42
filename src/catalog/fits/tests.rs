use super::*;
use crate::error::Kind;

fn limits(nominal: f64, text: &str) -> (f64, f64) {
    let found = class(nominal, text).unwrap();
    (found.upper_um, found.lower_um)
}

#[test]
fn the_classes_of_the_bearing_trade_match_published_limits() {
    // Machinery's Handbook 31st ed., ISO 286 limit tables, and SKF Rolling Bearings (2018),
    // "Tolerances and resultant fits".
    for (nominal, text, upper, lower) in [
        (30.0, "k5", 11.0, 2.0),
        (40.0, "H7", 25.0, 0.0),
        (30.0, "m6", 21.0, 8.0),
        (50.0, "p6", 42.0, 26.0),
        (25.0, "js5", 4.5, -4.5),
        (30.0, "j5", 5.0, -4.0),
        (47.0, "J7", 14.0, -11.0),
        (50.0, "M7", 0.0, -25.0),
        (50.0, "N7", -8.0, -33.0),
        (50.0, "P7", -17.0, -42.0),
        (50.0, "K7", 7.0, -18.0),
        (62.0, "P6", -26.0, -45.0),
        (62.0, "M6", -5.0, -24.0),
        (280.0, "M6", -9.0, -41.0),
        (100.0, "N6", -16.0, -38.0),
        (3.0, "K7", 0.0, -10.0),
        (3.0, "N7", -4.0, -14.0),
        (2.0, "j8", 8.0, -6.0),
        (20.0, "k8", 33.0, 0.0),
        (20.0, "N9", 0.0, -52.0),
        (2.0, "K9", 0.0, -25.0),
        (20.0, "P9", -22.0, -74.0),
        (20.0, "f7", -20.0, -41.0),
        (20.0, "g6", -7.0, -20.0),
        (20.0, "F8", 53.0, 20.0),
    ] {
        assert_eq!(limits(nominal, text), (upper, lower), "{nominal} {text}");
    }
}

#[test]
fn a_size_on_an_edge_belongs_to_the_step_below() {
    assert_eq!(limits(30.0, "h6"), (0.0, -13.0));
    assert_eq!(limits(30.001, "h6"), (0.0, -16.0));
    assert_eq!(limits(500.0, "H8"), (97.0, 0.0));
}

#[test]
fn every_class_named_in_the_error_resolves_at_every_size_it_is_given_for() {
    let mut sizes: Vec<f64> = (1..=500).map(f64::from).collect();
    sizes.push(0.5);
    for nominal in sizes {
        for grade in ["5", "6", "7", "8"] {
            for letter in SHAFT_LETTERS.split(' ').chain(HOLE_LETTERS.split(' ')) {
                let text = format!("{letter}{grade}");
                let missing = (text == "j8" && nominal > 3.0) || text == "J5";
                let found = class(nominal, &text);
                assert_eq!(found.is_err(), missing, "{nominal} {text}");
                if let Ok(found) = found {
                    let width = standard_tolerance(nominal, grade).unwrap();
                    assert!((found.width_um() - width).abs() < 1e-9, "{nominal} {text}");
                }
            }
        }
    }
}

#[test]
fn standard_tolerances_grow_with_size_and_with_grade() {
    let table = table().unwrap();
    let mut narrower = vec![0.0; table.up_to.len()];
    for grade in GRADES {
        let row = &table.rows[&format!("IT{grade}")];
        let values: Vec<f64> = row.values.iter().map(|v| v.unwrap()).collect();
        assert!(values.windows(2).all(|w| w[0] <= w[1]), "IT{grade}");
        assert!(values.iter().zip(&narrower).all(|(v, n)| v > n), "IT{grade}");
        narrower = values;
    }
}

#[test]
fn standard_tolerances_follow_the_standards_formula_within_its_rounding() {
    // ISO 286-1 annex: i = 0.45 D^(1/3) + 0.001 D, D the geometric mean of the step; IT5 = 7i,
    // IT6 = 10i ... The table is the authority; the formula only catches a slipped digit.
    let table = table().unwrap();
    for (grade, factor) in
        [("5", 7.0), ("6", 10.0), ("7", 16.0), ("8", 25.0), ("9", 40.0), ("10", 64.0), ("11", 100.0)]
    {
        // The first step is rounded by hand in the standard.
        let mut over = table.up_to[0];
        for (column, &up_to) in table.up_to.iter().enumerate().skip(1) {
            let mean = (over * up_to).sqrt();
            let reckoned = factor * (0.45 * mean.cbrt() + 0.001 * mean);
            let printed = table.rows[&format!("IT{grade}")].values[column].unwrap();
            assert!(
                (printed / reckoned - 1.0).abs() < 0.11,
                "IT{grade} to {up_to}: {printed} against {reckoned:.1}"
            );
            over = up_to;
        }
    }
}

#[test]
fn hole_delta_is_the_step_between_neighbouring_grades() {
    // ISO 286-1: delta = ITn - IT(n-1), so that K7/h6 pairs like H7/k6. From IT5 up it holds
    // exactly in the table, below it the standard rounds.
    let table = table().unwrap();
    for grade in 5..=8 {
        for (column, &up_to) in table.up_to.iter().enumerate().skip(1) {
            let it = |g: i32| table.rows[&format!("IT{g}")].values[column].unwrap();
            let delta = table.rows[&format!("delta{grade}")].values[column].unwrap();
            assert_eq!(delta, it(grade) - it(grade - 1), "delta{grade} to {up_to}");
        }
    }
}

#[test]
fn an_unknown_class_is_refused_with_the_letters_and_grades_that_are_known() {
    for text in ["q5", "k", "k12", "Js7", "5k", "", "hH6", "J5", "k5x", "k-5", "kö5"] {
        let error = class(30.0, text).unwrap_err();
        assert_eq!(error.kind, Kind::Unknown, "{text}");
        assert!(error.remedy.contains("f g h js j k m n p") && error.remedy.contains("01 to 11"), "{text}");
    }
    assert_eq!(class(f64::NAN, "k5").unwrap_err().kind, Kind::Request);
    assert_eq!(class(501.0, "k5").unwrap_err().kind, Kind::Request);
    assert_eq!(class(-3.0, "k5").unwrap_err().kind, Kind::Request);
}

proptest::proptest! {
    #[test]
    fn any_text_is_a_class_or_an_error_one_can_act_on(nominal in -10.0..600.0f64, text in "[a-zA-Z0-9 .+-]{0,6}") {
        match class(nominal, &text) {
            Ok(found) => proptest::prop_assert!(found.upper_um > found.lower_um),
            Err(error) => proptest::prop_assert!(!error.says.is_empty() && !error.remedy.is_empty()),
        }
    }
}

#[test]
fn bearing_tolerances_match_iso_492_and_have_no_gap() {
    for (bore, lower) in [
        (0.6, -8.0),
        (8.0, -8.0),
        (17.0, -8.0),
        (20.0, -10.0),
        (30.0, -10.0),
        (35.0, -12.0),
        (80.0, -15.0),
        (100.0, -20.0),
    ] {
        assert_eq!(bearing_bore(bore, Series::Radial, Precision::Normal).unwrap().lower_um, lower, "{bore}");
    }
    for (outside, lower) in [
        (6.0, -8.0),
        (22.0, -9.0),
        (47.0, -11.0),
        (62.0, -13.0),
        (100.0, -15.0),
        (130.0, -18.0),
        (160.0, -25.0),
    ] {
        assert_eq!(
            bearing_outside(outside, Series::Radial, Precision::Normal).unwrap().lower_um,
            lower,
            "{outside}"
        );
    }
    assert_eq!(bearing_bore(20.0, Series::Tapered, Precision::Normal).unwrap().lower_um, -12.0);
    assert_eq!(bearing_outside(47.0, Series::Tapered, Precision::Normal).unwrap().lower_um, -14.0);
    for size in 1..=400 {
        for series in [Series::Radial, Series::Tapered] {
            assert!(bearing_bore(f64::from(size), series, Precision::Normal).is_ok());
            assert!(bearing_outside(f64::from(size), series, Precision::Normal).is_ok());
        }
    }
    assert_eq!(bearing_bore(450.0, Series::Tapered, Precision::Normal).unwrap_err().kind, Kind::Request);
}

#[test]
fn likely_sizes_lie_a_third_in_from_the_go_side() {
    // NKE General Catalogue 2011: 75 j5 on a Normal bore gives 12 um probable interference.
    let shaft = class(75.0, "j5").unwrap();
    let bore = bearing_bore(75.0, Series::Radial, Precision::Normal).unwrap();
    let likely: f64 = shaft.likely_um() - bore.likely_um();
    assert_eq!(likely.round(), 12.0);
}

#[test]
fn the_finer_classes_are_those_of_the_published_tables() {
    // Inner rings over 18 to 30 and outer rings over 30 to 50 mm; tapered of the same sizes.
    for (precision, bore, outside) in [
        (Precision::Class6, -8.0, -9.0),
        (Precision::Class5, -6.0, -7.0),
        (Precision::Class4, -5.0, -6.0),
        (Precision::Class2, -2.5, -4.0),
    ] {
        assert_eq!(bearing_bore(20.0, Series::Radial, precision).unwrap().lower_um, bore);
        assert_eq!(bearing_outside(47.0, Series::Radial, precision).unwrap().lower_um, outside);
    }
    assert_eq!(bearing_bore(20.0, Series::Tapered, Precision::Class5).unwrap().lower_um, -8.0);
    assert_eq!(bearing_bore(20.0, Series::Tapered, Precision::Class4).unwrap().lower_um, -6.0);
    assert!(bearing_bore(300.0, Series::Radial, Precision::Class4).is_err());
    assert!(bearing_bore(20.0, Series::Tapered, Precision::Class2).is_err());
}
