//! Every stocked belt of every profile, on pulleys from the least that it allows upwards.

use fixwright::belt_drive::{BeltRequest, Pulleys, answer, least_teeth_for_shaft};
use fixwright::catalog::belts;
use fixwright::mechanics::belt_drive as mechanics;
use proptest::prelude::*;

#[test]
fn every_stocked_belt_is_as_long_as_its_teeth_at_the_centres_given() {
    let mut tried = 0;
    for profile in belts::profiles() {
        for (spindle, encoder) in [(1, 1), (2, 1), (1, 2), (5, 1)] {
            let teeth = (profile.least_teeth * spindle, profile.least_teeth * encoder);
            let pulleys = Pulleys::new(profile, teeth, None, None).unwrap();
            for drive in pulleys.every_stocked() {
                let diameters = (
                    profile.pitch_diameter(drive.small_teeth()),
                    profile.pitch_diameter(drive.large_teeth()),
                );
                let length = mechanics::belt_length(drive.centre, diameters.0, diameters.1);
                assert!((length - drive.length()).abs() < 1e-9 * length, "{} {teeth:?}", drive.designation());
                assert!(drive.centre >= pulleys.least_centre() && drive.path.span > 0.0);
                assert!(drive.take_up().0 > 0.0 && drive.take_up().0 <= drive.take_up().2);
                tried += 1;
            }
        }
    }
    assert!(tried > 3000, "{tried}");
}

#[test]
fn asking_near_a_drive_s_own_centres_finds_it_first() {
    for profile in belts::profiles() {
        let pulleys =
            Pulleys::new(profile, (profile.least_teeth + 4, profile.least_teeth), None, None).unwrap();
        for drive in pulleys.every_stocked().iter().step_by(5) {
            let found = pulleys.near(drive.centre, 3).unwrap();
            assert_eq!(found[0].belt_teeth, drive.belt_teeth, "{}", drive.designation());
        }
    }
}

#[test]
fn a_thicker_shaft_never_takes_a_smaller_pulley() {
    for profile in belts::profiles() {
        let teeth: Vec<u32> =
            (3..80).map(|shaft| least_teeth_for_shaft(profile, f64::from(shaft)).unwrap().teeth).collect();
        assert!(teeth.is_sorted(), "{}", profile.name);
    }
}

proptest! {
    #[test]
    fn wild_requests_are_answered_or_refused_with_the_next_step(
        profile in prop_oneof![Just("XL"), Just("t2.5"), Just("HTD 8M"), Just("gt2"), Just("nonsense"), Just("")],
        pulleys in prop::collection::vec(any::<u32>().prop_map(|n| n % 2000), 0..4),
        belt_teeth in prop::option::of(any::<u32>()),
        near in prop::option::of(-10.0..1e6f64),
        tension in prop::option::of(prop_oneof![Just(f64::NAN), Just(-1.0), 0.0..1e9f64]),
        rpm in prop::option::of(-1.0..1e9f64),
    ) {
        let near = near.map(|mm| fixwright::units::Length::from_mm(mm).unwrap());
        let request = BeltRequest { profile: Some(profile.into()), pulleys, belt_teeth, near, tension, rpm, ..Default::default() };
        match answer(&request) {
            Ok(found) => {
                if let Some(drive) = found.drive {
                    prop_assert!(drive.centre_distance.is_finite() && drive.centre_distance > 0.0);
                    prop_assert!(drive.span_frequency_hz.is_finite());
                }
                prop_assert!(found.candidates.is_none_or(|list| !list.is_empty()));
            }
            Err(error) => prop_assert!(error.says.len() > 10 && error.remedy.len() > 10),
        }
    }
}
