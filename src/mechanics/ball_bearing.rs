//! What the balls of a bearing bear along its axis, of which only bore and outside are known.

use std::f64::consts::{FRAC_PI_2, PI};

/// Ball over section (outside − bore): makers' deep groove bearings have 0.26 to 0.32 (from memory).
const BALL: f64 = 0.25;
/// ISO 76:2006, table 1, factor `f0` of radial ball bearings: 11 or more up to a ball of 0.3 of the pitch diameter
/// (from memory).
const F0: f64 = 11.0;
/// `P0 = 0.5·Fa` of a deep groove bearing under thrust alone (ISO 76:2006, from memory).
pub const DEEP_GROOVE: f64 = 0.5;
/// `P0 = Y0·Fa` of a self-aligning bearing, whose `Y0` is 2 to 4 (makers' catalogues, from memory).
pub const SELF_ALIGNING: f64 = 4.0;

/// The thrust (N) that brings a row of balls to its static load rating, an estimate on the low side: raceways are
/// dented beyond it, and how much farther the rings hold together no standard says.
///
/// Bore and outside in mm, `per_thrust` what one newton of thrust counts. Balls go in between rings pushed to one
/// side, so they fill half the round (Harris, *Rolling Bearing Analysis*, from memory).
pub fn thrust_at_rating(bore: f64, outside: f64, per_thrust: f64) -> f64 {
    let ball = BALL * (outside - bore).max(0.0);
    let pitch = (bore + outside) / 2.0;
    let apart = 2.0 * (ball / pitch.max(ball * 1.01)).asin().clamp(1e-3, FRAC_PI_2);
    let balls = 1.0 + (PI / apart).floor();
    F0 * balls * ball * ball / per_thrust
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_estimate_lies_under_makers_static_ratings_and_not_far_under() {
        // Static load ratings C0, N: SKF Rolling bearings, 2018 (from memory).
        let rated = [
            (8.0, 22.0, 1370.0),
            (10.0, 26.0, 1960.0),
            (20.0, 47.0, 6550.0),
            (30.0, 55.0, 8300.0),
            (30.0, 62.0, 11200.0),
            (40.0, 90.0, 24000.0),
            (20.0, 32.0, 2320.0),
        ];
        for (bore, outside, rating) in rated {
            let estimate = thrust_at_rating(bore, outside, DEEP_GROOVE) * DEEP_GROOVE;
            assert!(
                estimate < rating && estimate > 0.45 * rating,
                "{bore}x{outside}: {estimate} of {rating}"
            );
        }
        // 20x47 by hand: eight balls of a quarter of its section, 6.75 mm, in half a round of 33.5.
        assert!((thrust_at_rating(20.0, 47.0, DEEP_GROOVE) - 11.0 * 8.0 * 6.75 * 6.75 / 0.5).abs() < 1e-9);
        assert!(thrust_at_rating(20.0, 47.0, SELF_ALIGNING) < 1500.0, "1204: 3400 N over its Y0 of 2.2");
    }
}
