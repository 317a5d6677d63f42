//! Two pulleys and a synchronous belt: lengths, wrap, tension and what an encoder counts.
//!
//! The belt's pitch line is two straight spans and two arcs. With pitch radii r and R a centre
//! distance C apart, the spans lean by `β = asin((R − r)/C)` and the length is exactly
//!
//! ```text
//! L = 2·C·cos β + π·(R + r) + 2·β·(R − r)
//! ```
//!
//! which handbooks shorten to a series; here it is solved as it stands. As a function of C it grows
//! and is convex, so Newton's method started above the root falls on it without fail.
//!
//! Units are millimetres, newtons, radians; masses of belt are grams per metre.

use std::f64::consts::PI;

/// The pitch length of a belt round two pulleys, mm.
///
/// `centre` is the centre distance, `small` and `large` the pitch diameters; `centre` must be at
/// least half their difference, nearer than which no open belt runs.
pub fn belt_length(centre: f64, small: f64, large: f64) -> f64 {
    let step = (large - small).abs() / 2.0;
    let lean = (step / centre).clamp(0.0, 1.0).asin();
    2.0 * centre * lean.cos() + PI * (small + large) / 2.0 + 2.0 * lean * step
}

/// The centre distance at which a belt of pitch length `length` is just straight, mm.
///
/// `None` when the belt is too short to reach round both pulleys at any distance.
pub fn centre_distance(length: f64, small: f64, large: f64) -> Option<f64> {
    let step = (large - small).abs() / 2.0;
    let straight = (length - PI * (small + large) / 2.0) / 2.0;
    // At its nearest the large pulley's circle holds the small one's: the belt is that circle.
    if !length.is_finite() || straight <= 0.0 || length < PI * large.max(small) {
        return None;
    }
    if step == 0.0 {
        return Some(straight);
    }
    // L(C) is never below 2·C + π(R + r), so this start lies on or above the root.
    let mut centre = straight.max(step);
    for _ in 0..200 {
        let slope = 2.0 * (1.0 - (step / centre).powi(2)).max(0.0).sqrt();
        let excess = belt_length(centre, small, large) - length;
        if slope < 1e-9 || excess.abs() <= 1e-12 * length {
            break;
        }
        let next = (centre - excess / slope).max(step);
        if (next - centre).abs() <= 1e-13 * centre {
            centre = next;
            break;
        }
        // Overshooting to below the root is rounding at the flat end: halve instead.
        centre = if next <= step { (centre + step) / 2.0 } else { next };
    }
    Some(centre)
}

/// How the belt lies between two pulleys.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Path {
    /// Wrap on the small pulley, rad.
    pub wrap_small: f64,
    /// Wrap on the large pulley, rad.
    pub wrap_large: f64,
    /// Length of one free span, mm.
    pub span: f64,
}

/// The path of a belt at a centre distance; diameters are pitch diameters, mm.
pub fn path(centre: f64, small: f64, large: f64) -> Path {
    let lean = ((large - small).abs() / (2.0 * centre)).clamp(0.0, 1.0).asin();
    Path { wrap_small: PI - 2.0 * lean, wrap_large: PI + 2.0 * lean, span: centre * lean.cos() }
}

/// Whole teeth in mesh on a pulley of `teeth` over a wrap in radians.
pub fn teeth_in_mesh(teeth: u32, wrap: f64) -> u32 {
    // A wrap of exactly half a turn must not lose a tooth to rounding.
    (f64::from(teeth) * wrap / (2.0 * PI) + 1e-9).floor() as u32
}

/// Belt speed, m/s, of a pulley of pitch diameter `diameter` mm at `rpm`.
pub fn belt_speed(diameter: f64, rpm: f64) -> f64 {
    PI * diameter * rpm / 60_000.0
}

/// Lowest frequency, Hz, at which a free span sounds when plucked.
///
/// `tension` of the span, N; `mass` of the belt, g/m; `span` mm. From T = 4·m·L²·f², the string
/// without bending stiffness; a real belt sounds a little higher, so a span tuned to this holds a
/// little less tension, which spares the bearings.
pub fn span_frequency(tension: f64, mass: f64, span: f64) -> f64 {
    (tension / (4.0 * mass / 1000.0)).sqrt() / (span / 1000.0)
}

/// Load on either shaft along the line of centres, N, when both spans pull with `tension`.
pub fn hub_load(tension: f64, wrap_small: f64) -> f64 {
    2.0 * tension * (wrap_small / 2.0).sin()
}

/// How far the centres move apart, mm, from slack to `tension` in both spans.
///
/// `stiffness` is the belt's tensile stiffness over its whole width, N per unit of strain.
/// `None` when the belt does not reach round the pulleys.
pub fn take_up(length: f64, small: f64, large: f64, tension: f64, stiffness: f64) -> Option<f64> {
    let slack = centre_distance(length, small, large)?;
    let taut = centre_distance(length * (1.0 + tension / stiffness), small, large)?;
    Some(taut - slack)
}

/// The travel a slide needs for the centres to run from `nearest` to `furthest`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Travel {
    /// The slide's position at the nearest centre distance: mm along a straight slide, or the angle
    /// at the pivot of a swing, rad.
    pub from: f64,
    /// The position at the working centre distance.
    pub work: f64,
    /// The position at the furthest centre distance.
    pub to: f64,
}

/// Travel along a straight slide that passes the spindle's axis at `offset` mm.
///
/// Positions are measured from the foot of the perpendicular, so C² = position² + offset².
/// `None` when the nearest distance is not beyond the offset: the slide then never comes near enough.
pub fn straight_travel(nearest: f64, work: f64, furthest: f64, offset: f64) -> Option<Travel> {
    let along = |centre: f64| {
        let square = centre * centre - offset * offset;
        (square > 0.0 && centre > 0.0).then(|| square.sqrt())
    };
    Some(Travel { from: along(nearest)?, work: along(work)?, to: along(furthest)? })
}

/// Travel of a plate that swings on a pivot: angles at the pivot between the spindle's axis and the
/// encoder's, rad.
///
/// `pivot` is the pivot's distance from the spindle's axis, `arm` from the encoder's; by the law of
/// cosines C² = pivot² + arm² − 2·pivot·arm·cos φ. `None` when the arm cannot reach a distance.
pub fn swing_travel(nearest: f64, work: f64, furthest: f64, pivot: f64, arm: f64) -> Option<Travel> {
    let angle = |centre: f64| {
        let cosine = (pivot * pivot + arm * arm - centre * centre) / (2.0 * pivot * arm);
        (cosine.abs() < 1.0).then(|| cosine.acos())
    };
    Some(Travel { from: angle(nearest)?, work: angle(work)?, to: angle(furthest)? })
}

/// What an encoder on the belt counts of the spindle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Signal {
    /// Pulses per turn of the spindle.
    pub pulses_per_turn: f64,
    /// Counts per turn of the spindle when both edges of both channels count.
    pub counts_per_turn: f64,
    /// Pulses per second on one channel at top speed, Hz.
    pub frequency: f64,
    /// Speed of the encoder at the spindle's top speed, 1/min.
    pub encoder_rpm: f64,
    /// The two tooth counts, spindle then encoder, without common factor: turns of the encoder and
    /// turns of the spindle after which both stand as before.
    pub ratio: (u32, u32),
}

/// The signal of an encoder of `pulses` per turn, driven from a spindle at `rpm` through pulleys of
/// `spindle_teeth` and `encoder_teeth`.
pub fn signal(pulses: f64, spindle_teeth: u32, encoder_teeth: u32, rpm: f64) -> Signal {
    let gear = f64::from(spindle_teeth) / f64::from(encoder_teeth);
    let common = greatest_common_divisor(spindle_teeth, encoder_teeth).max(1);
    Signal {
        pulses_per_turn: pulses * gear,
        counts_per_turn: 4.0 * pulses * gear,
        frequency: pulses * gear * rpm / 60.0,
        encoder_rpm: gear * rpm,
        ratio: (spindle_teeth / common, encoder_teeth / common),
    }
}

fn greatest_common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { greatest_common_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_pulleys_have_the_closed_form() {
        // 100 teeth of 5.08 mm round two pulleys of 20: C = (100 − 20)·5.08/2.
        let d = 20.0 * 5.08 / PI;
        assert!((centre_distance(508.0, d, d).unwrap() - 203.2).abs() < 1e-10);
        let p = path(203.2, d, d);
        assert_eq!((p.wrap_small, p.wrap_large, p.span), (PI, PI, 203.2));
        assert_eq!(teeth_in_mesh(20, p.wrap_small), 10);
    }

    #[test]
    fn a_lean_of_thirty_degrees_is_the_length_by_hand() {
        // R − r = 30, C = 60: β = 30°, spans 60·cos 30°, arcs 240° of 40 and 120° of 10.
        let by_hand = 2.0 * 60.0 * (PI / 6.0).cos() + 40.0 * (4.0 * PI / 3.0) + 10.0 * (2.0 * PI / 3.0);
        assert!((belt_length(60.0, 20.0, 80.0) - by_hand).abs() < 1e-12);
        assert!((centre_distance(by_hand, 20.0, 80.0).unwrap() - 60.0).abs() < 1e-10);
        let p = path(60.0, 20.0, 80.0);
        assert!(
            (p.wrap_small - 2.0 * PI / 3.0).abs() < 1e-12 && (p.wrap_large - 4.0 * PI / 3.0).abs() < 1e-12
        );
    }

    #[test]
    fn the_solution_returns_the_length_for_every_ratio() {
        for (small, large) in [(10.0, 10.0), (10.0, 10.000001), (10.0, 30.0), (5.0, 300.0), (1.0, 1000.0)] {
            for stretch in [1.0001_f64, 1.01, 1.3, 2.0, 10.0, 100.0] {
                let length = (PI * large * stretch).max(PI * (small + large) / 2.0 + 0.01);
                let centre = centre_distance(length, small, large).unwrap();
                let error = (belt_length(centre, small, large) - length).abs();
                assert!(error < 1e-6 * length, "{small} {large} {stretch}: {error}");
            }
        }
    }

    #[test]
    fn the_order_of_the_pulleys_does_not_matter() {
        assert_eq!(centre_distance(400.0, 20.0, 60.0), centre_distance(400.0, 60.0, 20.0));
        assert_eq!(belt_length(90.0, 20.0, 60.0), belt_length(90.0, 60.0, 20.0));
    }

    #[test]
    fn a_belt_too_short_has_no_centre_distance() {
        assert_eq!(centre_distance(100.0, 30.0, 40.0), None);
        assert_eq!(centre_distance(-1.0, 30.0, 40.0), None);
        assert_eq!(centre_distance(f64::NAN, 30.0, 40.0), None);
    }

    #[test]
    fn a_span_sounds_as_a_string_of_its_weight_and_tension() {
        // A string of 10 g/m and 0.1 m at 100 N: f = sqrt(100/0.01)/0.2 = 500 Hz.
        assert!((span_frequency(100.0, 10.0, 100.0) - 500.0).abs() < 1e-9);
    }

    #[test]
    fn take_up_of_equal_pulleys_is_half_the_stretch() {
        // 400 mm of belt, 10 N over 10 000 N: strain 0.001, so 0.2 mm of centre distance.
        let got = take_up(400.0, 30.0, 30.0, 10.0, 10_000.0).unwrap();
        assert!((got - 0.2).abs() < 1e-9);
        assert!(take_up(400.0, 20.0, 60.0, 10.0, 10_000.0).unwrap() > got);
    }

    #[test]
    fn hub_load_is_the_vector_sum_of_the_spans() {
        assert_eq!(hub_load(10.0, PI), 20.0);
        assert!((hub_load(10.0, 2.0 * PI / 3.0) - 2.0 * 10.0 * (PI / 6.0).cos()).abs() < 1e-12);
    }

    #[test]
    fn an_angled_slide_travels_further_than_the_centres() {
        let level = straight_travel(98.0, 100.0, 101.0, 0.0).unwrap();
        assert_eq!((level.from, level.work, level.to), (98.0, 100.0, 101.0));
        let leaning = straight_travel(98.0, 100.0, 101.0, 60.0).unwrap();
        assert!((leaning.work - 80.0).abs() < 1e-12);
        assert!(leaning.to - leaning.from > 3.0);
        assert_eq!(straight_travel(59.0, 100.0, 101.0, 60.0), None);
    }

    #[test]
    fn a_swing_meets_the_law_of_cosines() {
        // A 3-4-5 triangle stands square at the pivot.
        let t = swing_travel(4.9, 5.0, 5.1, 3.0, 4.0).unwrap();
        assert!((t.work - PI / 2.0).abs() < 1e-12 && t.from < t.work && t.work < t.to);
        assert_eq!(swing_travel(4.9, 5.0, 7.1, 3.0, 4.0), None);
    }

    #[test]
    fn the_signal_counts_every_edge_through_the_ratio() {
        let s = signal(600.0, 30, 20, 2000.0);
        assert_eq!((s.pulses_per_turn, s.counts_per_turn), (900.0, 3600.0));
        assert_eq!((s.frequency, s.encoder_rpm, s.ratio), (30_000.0, 3000.0, (3, 2)));
    }
}
