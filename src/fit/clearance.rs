//! How much of a bearing's clearance its fits take, and whether a larger group is wanted.
//!
//! A tight inner ring grows at its raceway, a tight outer ring shrinks there (Lamé, to the raceway);
//! both close the clearance between rings and balls. Warmth in running takes more of it, which is not
//! in these figures: the inner ring runs the warmer one.

use super::RingFit;
use crate::catalog::bearings::{Bearing, Clearance};
use crate::error::Result;
use serde::Serialize;

/// What the fits leave of the radial clearance, µm; negative is preload.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClearanceLeft {
    /// The group reckoned with: as stamped, or Normal (CN).
    pub group: &'static Clearance,
    /// What the fits take, likely.
    pub taken_likely_um: f64,
    /// What the fits take at the tightest.
    pub taken_most_um: f64,
    /// Left of the group's least clearance at the tightest fits.
    pub left_least_um: f64,
    /// Left of the group's middle at likely fits.
    pub left_likely_um: f64,
    /// The group that is wanted: the first whose middle the likely fits leave open.
    pub wanted: String,
    /// What follows, in a sentence.
    pub says: String,
}

/// What the fits of a bearing's rings leave of its clearance; `None` for kinds whose clearance is set
/// when they are mounted, or that no table gives one.
///
/// Fails as [`RingFit::reckon`] does.
pub fn left(bearing: &Bearing, fits: &[&RingFit]) -> Result<Option<ClearanceLeft>> {
    let groups = bearing.clearances();
    let stamped = bearing.clearance.as_deref().unwrap_or("CN");
    let Some(&group) = groups.iter().find(|group| group.group == stamped) else {
        return Ok(None);
    };
    let (mut likely, mut most) = (0.0, 0.0);
    for fit in fits {
        let taken = fit.clearance_taken()?;
        likely += taken.likely_um;
        most += taken.most_um;
    }
    let middle = |group: &Clearance| (group.least_um + group.most_um) / 2.0;
    let open = groups.iter().filter(|group| group.group != "C2").find(|group| middle(group) > likely);
    let wanted = open.map_or("more than C5", |group| group.group.as_str());
    let (left_least_um, left_likely_um) = (group.least_um - most, middle(group) - likely);
    let called = |group: &str| if group == "CN" { "Normal".to_string() } else { group.to_string() };
    let verdict = match (left_likely_um > 0.0, left_least_um >= 0.0) {
        (true, true) => format!("{} clearance is enough.", called(&group.group)),
        (true, false) => format!(
            "{} clearance will do; at the tightest it would be gone, so measure the seat, or take the next group if the bearing runs warm.",
            called(&group.group)
        ),
        (false, _) => format!("{} is wanted instead of {}.", called(wanted), called(&group.group)),
    };
    Ok(Some(ClearanceLeft {
        group,
        taken_likely_um: likely,
        taken_most_um: most,
        left_least_um,
        left_likely_um,
        wanted: wanted.to_string(),
        says: format!(
            "Of {:.0} to {:.0} µm radial clearance ({}) the fit takes {likely:.0} µm, {most:.0} at the tightest, and leaves about {left_likely_um:.0} µm. {verdict}",
            group.least_um,
            group.most_um,
            called(&group.group),
        ),
    }))
}

#[cfg(test)]
mod tests {
    use super::super::{Seat, Side};
    use super::*;
    use crate::catalog::bearings::read;

    fn on_shaft(stamp: &str, class: &str) -> ClearanceLeft {
        let bearing = read(stamp).unwrap();
        let fit = RingFit::of(&bearing, Side::Inner, Seat::Class(class.to_string()), 0.0).unwrap();
        left(&bearing, &[&fit]).unwrap().unwrap()
    }

    // NSK Rolling Bearings, "decrease of radial clearance by fits": about 80 % of the effective
    // interference for common ball bearings on solid shafts.
    #[test]
    fn a_tight_shaft_takes_about_four_fifths_of_its_interference() {
        let found = on_shaft("6206", "k5");
        assert!((9.0..13.0).contains(&found.taken_likely_um), "{found:?}");
        assert_eq!((found.group.least_um, found.group.most_um), (5.0, 20.0));
        assert!(found.says.contains("Normal clearance will do"), "{}", found.says);
    }

    #[test]
    fn a_heavy_fit_asks_for_a_larger_group_and_a_stamped_one_counts() {
        let heavy = on_shaft("6206", "p6");
        assert!(heavy.left_likely_um < 0.0 && heavy.wanted != "CN", "{heavy:?}");
        assert!(heavy.says.contains("is wanted instead of Normal"), "{}", heavy.says);
        assert!(on_shaft("6206/C3", "k5").left_likely_um > on_shaft("6206", "k5").left_likely_um + 5.0);
        let loose = on_shaft("6206", "h6");
        assert!(loose.taken_likely_um < 3.0 && loose.wanted == "CN");
    }

    #[test]
    fn what_is_left_is_the_least_less_the_most_and_the_group_wanted_stays_open() {
        for class in ["k5", "m6", "n6", "p6"] {
            let found = on_shaft("6206", class);
            // Normal of a 30 mm bore is 5 to 20 µm (ISO 5753-1).
            assert!((found.left_least_um - (5.0 - found.taken_most_um)).abs() < 1e-9, "{class}");
            assert!((found.left_likely_um - (12.5 - found.taken_likely_um)).abs() < 1e-9, "{class}");
            assert!(found.taken_most_um > found.taken_likely_um + 1.0, "{class}");
            let bearing = read("6206").unwrap();
            let groups: Vec<_> =
                bearing.clearances().into_iter().filter(|group| group.group != "C2").collect();
            let open = |group: &Clearance| (group.least_um + group.most_um) / 2.0 > found.taken_likely_um;
            for group in groups.iter().take_while(|group| group.group != found.wanted) {
                assert!(!open(group), "{class}: {}", group.group);
            }
            assert!(groups.iter().filter(|group| group.group == found.wanted).all(|group| open(group)));
        }
    }

    #[test]
    fn a_bearing_that_is_adjusted_when_mounted_has_no_clearance_to_take() {
        let bearing = read("30206").unwrap();
        let fit = RingFit::of(&bearing, Side::Inner, Seat::Class("k5".into()), 0.0).unwrap();
        assert_eq!(left(&bearing, &[&fit]).unwrap(), None);
    }
}
