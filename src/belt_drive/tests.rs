//! The drive as a whole: belts chosen, bores found, questions answered.

use super::*;
use crate::checks::Level;
use crate::units::Length;

fn pulleys(name: &str, teeth: (u32, u32)) -> Pulleys {
    Pulleys::new(belts::profile(name).unwrap(), teeth, None, None).unwrap()
}

#[test]
fn a_settled_belt_gives_every_figure() {
    let drive = pulleys("XL", (20, 60)).with_belt(100).unwrap();
    let f = drive.numbers();
    assert_eq!((f.belt.as_str(), f.ratio, f.stock), ("200 XL", 3.0, Some(Stock::Common)));
    assert!(
        (mechanics::belt_length(f.centre_distance, f.pitch_diameter_small, f.pitch_diameter_large) - 508.0)
            .abs()
            < 1e-9
    );
    assert!(f.wrap_small_deg + f.wrap_large_deg - 360.0 < 1e-9);
    assert!(
        (f.span_frequency_hz - mechanics::span_frequency(f.tension_n, drive.mass(), f.span_length)).abs()
            < 1e-9
    );
    assert!(f.take_up_least < f.take_up && f.take_up < f.take_up_most);
}

#[test]
fn what_lands_near_a_distance_is_listed_nearest_first() {
    let list = pulleys("XL", (20, 60)).near(150.0, 8).unwrap();
    assert_eq!(list.len(), 8);
    assert!(list.windows(2).all(|w| (w[0].centre - 150.0).abs() <= (w[1].centre - 150.0).abs()));
    assert!((list[0].centre - 150.0).abs() < 2.0);
    assert!(list.iter().all(|d| d.stocked().is_some()));
}

#[test]
fn a_short_belt_names_the_lengths_that_work() {
    let error = pulleys("XL", (20, 60)).with_belt(45).unwrap_err();
    assert!(error.says.contains("does not reach"), "{}", error.says);
    assert!(error.remedy.contains("XL (") && error.remedy.contains(" mm"), "{}", error.remedy);
    let error = pulleys("XL", (20, 20)).with_belt(24).unwrap_err();
    assert!(error.says.contains("overlap"), "{}", error.says);
    assert!(pulleys("XL", (20, 60)).near(30.0, 5).unwrap_err().says.contains("touch at"));
    assert!(pulleys("AT5", (20, 20)).near(5000.0, 5).unwrap_err().says.contains("No stocked"));
}

#[test]
fn a_range_lists_only_what_lies_inside_it() {
    let list = pulleys("3M", (24, 48)).between(60.0, 80.0).unwrap();
    assert!(!list.is_empty() && list.iter().all(|d| (60.0..=80.0).contains(&d.centre)));
    assert!(pulleys("T2.5", (24, 24)).between(61.0, 61.05).is_err());
    assert!(pulleys("3M", (24, 48)).between(80.0, 60.0).is_err());
}

#[test]
fn a_thick_spindle_fixes_the_pulley() {
    for name in ["MXL", "XL", "T5", "5M", "3GT"] {
        let profile = belts::profile(name).unwrap();
        for shaft in [5.0, 8.0, 20.0, 38.0] {
            let bored = least_teeth_for_shaft(profile, shaft).unwrap();
            assert!(bored.web >= 1.0 && bored.teeth >= profile.least_teeth, "{name} {shaft}: {bored:?}");
            let kept = crate::catalog::pulleys::stocked_teeth(profile);
            assert_eq!(bored.stocked, kept.contains(&bored.teeth));
            // Of the counts that are kept, none smaller would do.
            for less in kept.into_iter().filter(|n| (profile.least_teeth..bored.teeth).contains(n)) {
                let wall = (profile.root_diameter(less) - shaft) / 2.0;
                let listed = crate::catalog::pulleys::greatest_bore(profile, less);
                assert!(listed.map_or(wall < bored.least_web, |(most, _)| most < shaft), "{name} {less}");
            }
        }
    }
    assert!(least_teeth_for_shaft(belts::profile("XL").unwrap(), -3.0).is_err());
}

#[test]
fn few_teeth_in_mesh_is_a_caution() {
    let drive = pulleys("XL", (10, 60)).every_stocked().remove(0);
    let mesh = drive.findings().into_iter().find(|f| f.check == "belt-teeth-in-mesh").unwrap();
    assert_eq!((mesh.level, mesh.value < 6.0), (Level::Caution, true));
    assert!(mesh.remedy.is_some());
    let drive = pulleys("XL", (20, 20)).with_belt(100).unwrap();
    assert!(drive.findings().iter().all(|f| f.level == Level::Ok));
    let drive = pulleys("XL", (20, 20)).with_belt(131).unwrap();
    assert!(
        drive
            .findings()
            .iter()
            .any(|f| f.check == "belt-stock" && f.remedy.as_ref().unwrap().contains("260 XL"))
    );
}

#[test]
fn the_answer_is_one_flat_object() {
    let request = BeltRequest {
        profile: Some("T5".into()),
        pulleys: vec![36, 18],
        belt_teeth: Some(66),
        rpm: Some(1500.0),
        pulses: Some(600.0),
        ..Default::default()
    };
    let json = serde_json::to_value(answer(&request).unwrap()).unwrap();
    for key in [
        "centre_distance",
        "wrap_small_deg",
        "wrap_large_deg",
        "teeth_in_mesh_small",
        "ratio",
        "pitch_diameter_small",
        "pitch_diameter_large",
        "outside_diameter_small",
        "outside_diameter_large",
        "span_length",
        "span_frequency_hz",
    ] {
        assert!(json[key].is_number(), "{key}");
    }
    assert_eq!(json["counts_per_spindle_turn"], 4800.0);
    let request = BeltRequest {
        profile: Some("T5".into()),
        pulleys: vec![36, 18],
        near: Some(Length::from_mm(85.0).unwrap()),
        ..Default::default()
    };
    let json = serde_json::to_value(answer(&request).unwrap()).unwrap();
    assert!(json["candidates"].as_array().unwrap().len() > 3 && json.get("centre_distance").is_none());
}

#[test]
fn a_request_without_a_question_asks_for_one() {
    let base = BeltRequest { profile: Some("T5".into()), pulleys: vec![36, 18], ..Default::default() };
    assert!(answer(&base).unwrap_err().remedy.contains("--near"));
    assert!(answer(&BeltRequest { pulleys: vec![], ..base.clone() }).unwrap_err().says.contains("--pulleys"));
    assert!(answer(&BeltRequest { pulleys: vec![5, 6, 7], ..base.clone() }).is_err());
    let shafts = vec![Length::from_mm(30.0).unwrap(), Length::from_mm(6.0).unwrap()];
    let found = answer(&BeltRequest { pulleys: vec![], shafts, ..base }).unwrap();
    assert!(found.bored[0].teeth > found.bored[1].teeth && found.pulleys[0] == found.bored[0].teeth);
}

fn asked(pulleys: &[u32]) -> BeltRequest {
    BeltRequest { profile: None, pulleys: pulleys.to_vec(), ..Default::default() }
}

fn mm(value: f64) -> Length {
    Length::from_mm(value).unwrap()
}

#[test]
fn a_belt_longer_than_the_space_can_be_asked_about() {
    let request = BeltRequest { belt_teeth: Some(100), range: vec![mm(30.0), mm(40.0)], ..asked(&[36, 24]) };
    let error = answer(&request).unwrap_err();
    assert!(error.says.contains("there is room for 30 to 40"), "{error}");
    let inside = BeltRequest { range: vec![mm(60.0), mm(80.0)], ..request.clone() };
    assert_eq!(answer(&inside).unwrap().drive.unwrap().belt_teeth, 100);
    let one = BeltRequest { range: vec![mm(60.0)], ..request };
    assert!(answer(&one).unwrap_err().says.contains("it takes two"));
}

#[test]
fn a_width_not_sold_is_a_caution() {
    let request = BeltRequest { belt_teeth: Some(100), width: Some(mm(7.0)), ..asked(&[36, 24]) };
    let found = answer(&request).unwrap().findings;
    let stock = found.iter().find(|f| f.check == "belt-stock").unwrap();
    assert!(stock.level == Level::Caution && stock.remedy.as_ref().unwrap().contains("6"));
}

#[test]
fn belts_listed_with_few_teeth_in_mesh_are_a_caution() {
    let few = BeltRequest { near: Some(mm(60.0)), ..asked(&[80, 12]) };
    let found = answer(&few).unwrap().findings;
    let mesh = found.iter().find(|f| f.check == "belt-teeth-in-mesh");
    assert!(mesh.is_some_and(|f| f.level == Level::Caution && f.value < 6.0));
    let many = BeltRequest { near: Some(mm(60.0)), ..asked(&[36, 24]) };
    assert!(answer(&many).unwrap().findings.is_empty());
}

#[test]
fn a_pulley_smaller_than_its_shaft_is_stopped_and_the_remedy_clears_it() {
    let request = BeltRequest { belt_teeth: Some(120), shafts: vec![mm(8.0), mm(10.0)], ..asked(&[36, 12]) };
    let found = answer(&request).unwrap().findings;
    let bore = found.iter().find(|f| f.check == "pulley-bore").unwrap();
    assert!(bore.stops() && bore.value < 0.0, "{bore:?}");
    let remedy = bore.remedy.clone().unwrap();
    let teeth: Vec<u32> = remedy
        .trim_start_matches("Give --pulleys ")
        .split(':')
        .next()
        .unwrap()
        .split(',')
        .map(|n| n.parse().unwrap())
        .collect();
    let stops = |encoder: u32| {
        let again = BeltRequest { pulleys: vec![teeth[0], encoder], ..request.clone() };
        let found = answer(&again).unwrap().findings;
        found.iter().find(|f| f.check == "pulley-bore").unwrap().stops()
    };
    assert!(!stops(teeth[1]), "{remedy}");
    assert!((12..teeth[1]).any(&stops), "fewer teeth leave no wall: {remedy}");
}

#[test]
fn a_bore_that_no_maker_lists_is_stopped_and_the_next_pulley_named() {
    let request = BeltRequest {
        profile: Some("T5".into()),
        pulleys: vec![24, 20],
        shafts: vec![mm(30.0), mm(6.0)],
        belt_teeth: Some(80),
        ..Default::default()
    };
    let found = answer(&request).unwrap().findings;
    let bore = found.iter().find(|f| f.check == "pulley-bore").unwrap();
    assert!(bore.stops() && bore.limit == 17.0, "{bore:?}");
    assert!(bore.remedy.as_ref().unwrap().starts_with("Give --pulleys 34,20"), "{bore:?}");
    let open = answer(&BeltRequest { pulleys: vec![], ..request }).unwrap();
    assert_eq!(open.pulleys[0], 34);
}

#[test]
fn a_tooth_count_that_nobody_keeps_is_told_with_the_nearest() {
    let found = answer(&BeltRequest { belt_teeth: Some(100), ..asked(&[37, 24]) }).unwrap().findings;
    let stock = found.iter().find(|f| f.check == "pulley-stock").unwrap();
    assert!(stock.level == Level::Caution && stock.remedy.as_ref().unwrap().contains("36,24"), "{stock:?}");
}

#[test]
fn a_ratio_takes_the_least_kept_pulleys_that_keep_it_and_are_bored_for_their_shafts() {
    let asked = |ratio: &str, profile: &str| BeltRequest {
        profile: Some(profile.into()),
        ratio: Some(ratio.parse().unwrap()),
        near: Some(mm(120.0)),
        ..Default::default()
    };
    let equal = answer(&asked("1:1", "T5")).unwrap();
    assert_eq!(equal.pulleys[0], equal.pulleys[1]);
    assert_eq!(equal.turns(), [1, 1]);
    let twice = answer(&asked("4:2", "T5")).unwrap();
    assert_eq!((twice.pulleys[0], twice.turns()), (2 * twice.pulleys[1], [2, 1]));
    // A spindle of 25 mm asks for more teeth, and the ratio still holds.
    let thick = answer(&BeltRequest { shafts: vec![mm(25.0), mm(6.0)], ..asked("2:1", "T5") }).unwrap();
    assert!(thick.pulleys[0] > twice.pulleys[0] && thick.pulleys[0] == 2 * thick.pulleys[1]);
    assert!(thick.pulleys[0] >= thick.bored[0].teeth && thick.pulleys[1] >= thick.bored[1].teeth);
    for [spindle, encoder] in &thick.pairs_in_ratio {
        assert!(*spindle == 2 * encoder && *spindle >= thick.pulleys[0]);
    }
    // Of 20 and 10 teeth, the least pair, five would carry the belt: the first is taken of which six do.
    let carried = answer(&BeltRequest { near: Some(mm(60.0)), ..asked("2:1", "MXL") }).unwrap();
    let nearest = &carried.candidates.as_ref().unwrap()[0];
    assert!(nearest.teeth_in_mesh_small >= LEAST_MESH && carried.pulleys[1] > 10, "{nearest:?}");
    assert!(carried.pairs_in_ratio.contains(&[20, 10]));
    assert!(answer(&BeltRequest { belt_teeth: Some(12), near: None, ..asked("1:1", "T5") }).is_err());
}

#[test]
fn a_ratio_that_no_kept_pulleys_keep_names_the_pair_that_comes_nearest() {
    let request = BeltRequest {
        profile: Some("T5".into()),
        ratio: Some("19:17".parse().unwrap()),
        near: Some(mm(120.0)),
        ..Default::default()
    };
    let error = answer(&request).unwrap_err();
    assert!(error.says.contains("--ratio 19:17"), "{error}");
    let named = error.remedy.strip_prefix("Give --pulleys ").unwrap().split(',').collect::<Vec<_>>();
    let (spindle, encoder): (u32, u32) = (named[0].parse().unwrap(), named[1].parse().unwrap());
    assert!((f64::from(spindle) / f64::from(encoder) - 19.0 / 17.0).abs() < 0.01, "{error}");
    let again = BeltRequest { pulleys: vec![spindle, encoder], ratio: None, ..request };
    assert!(answer(&again).unwrap().findings.iter().all(|f| f.check != "pulley-stock"));
    for wrong in ["2", "0:1", "21:1", "1.5:1", "a:b", "1:1:1"] {
        assert!(wrong.parse::<Ratio>().unwrap_err().says.contains("--ratio is"), "{wrong}");
    }
}

#[test]
fn too_many_shafts_are_named_by_their_own_option() {
    let shafts = vec![mm(25.0), mm(8.0), mm(9.0)];
    for pulleys in [vec![], vec![20, 60]] {
        let request =
            BeltRequest { shafts: shafts.clone(), pulleys, near: Some(mm(120.0)), ..Default::default() };
        let error = answer(&request).unwrap_err();
        assert!(error.says.starts_with("--shafts has 3 values"), "{error}");
    }
}

#[test]
fn flanges_ask_for_more_travel() {
    let drive = pulleys("5M", (24, 24)).with_belt(60).unwrap();
    let [none, one, both] = [Flanges::None, Flanges::One, Flanges::Both].map(|f| drive.install_allowance(f));
    assert!(none < one && one < both && none >= 1.0);
    assert!(drive.tension_allowance() >= 2.0 * drive.take_up().2);
}
