//! Every size of drawing a bearing off, each given once.

use super::drawing_off::{Bearer, Pull, RELIEF, Settled};
use super::shape::window_heights;
use super::spec::{From, Receiver, Seat};
use crate::catalog::bearings::Bearing;
use crate::design::{Extent, Feature, Origin, Size};
use crate::mechanics::screws::Stop;
use crate::parts::sleeve::press::Joint;
use crate::solid::{Point3, Vector3};

/// All sizes; those of the tube are shown on the piece of that suffix.
pub fn sizes(spec: &Receiver, settled: &Settled, suffix: &str, allowance: f64) -> Vec<Size> {
    let torque = Origin::Formula("T = K·F·d (Shigley, eq. 8-27), greased, K 0.12, the least".into());
    let stop = Origin::Formula(
        "least of the most pull, what balls, tube and step washer bear, and the screw's proof load over 1.3 for its twist"
            .into(),
    );
    let mut list = forces(spec, &settled.joint, settled.pull, (&settled.stop, torque, stop));
    list.extend(settled.balls_bear.map(|force| {
        let from =
            "ISO 76 static load rating by the least set of balls; beyond it the bearing may come apart";
        Size::new("balls_bear_n", "what the balls bear of the pull", force, Origin::Estimate(from.into()))
    }));
    list.extend(tube(settled, suffix, allowance));
    list.extend(set_up(spec, settled));
    list
}

/// Where it is stopped, with the origins of torque and force; what it takes, and how tight the seat is.
pub fn forces(
    spec: &Receiver,
    joint: &Joint,
    pulls: Pull,
    (stop, of_torque, of_force): (&Stop, Origin, Origin),
) -> Vec<Size> {
    let source = || Origin::Table(joint.fit.basis.iter().take(2).cloned().collect::<Vec<_>>().join("; "));
    let age = match spec.seat {
        Seat::Old => {
            "times 1.5 likely and 2.5 at most for a seat that has sat for years (common practice, no source)"
        }
        Seat::Fresh => "a seat fitted not long ago",
    };
    let pull = |friction: &str| {
        Origin::Formula(format!(
            "Lamé thick rings (Shigley, eq. 7-39), pull-off friction {friction} (NTN, Ball and Roller Bearings, Table 17.6.1), {age}"
        ))
    };
    let um = |which: &str, word: &str, value: f64| {
        Size::new(format!("interference_{which}_um"), format!("interference, {word}"), value, source())
    };
    vec![
        Size::new("stop_torque_nm", "STOP at this torque", stop.torque / 1000.0, of_torque).at_bench(1),
        Size::new("stop_force_n", "force to stop at", stop.force, of_force).at_bench(2),
        Size::new("pull_force_likely_n", "pull, likely", pulls.likely, pull("0.18")).at_bench(3),
        Size::new(
            "pull_force_max_n",
            "pull a tightest, driest seat would take: stop at the torque all the same",
            pulls.most,
            pull("0.24"),
        ),
        um("min", "least", joint.fit.interference_min_um),
        um("likely", "likely", joint.fit.interference_likely_um),
        um("max", "most", joint.fit.interference_max_um),
    ]
}

/// The bearing's own sizes.
pub fn of_bearing(bearing: &Bearing) -> [Size; 3] {
    let size = |key: &str, label: &str, value: f64| {
        Size::new(key, label, value, Origin::Table(bearing.source.clone()))
    };
    [
        size("bearing_outside", "bearing outside", bearing.outside),
        size("bearing_bore", "bearing bore", bearing.bore),
        size("bearing_width", "bearing width", bearing.width),
    ]
}

fn tube(settled: &Settled, suffix: &str, allowance: f64) -> Vec<Size> {
    let (tube, bearing) = (&settled.tube, &settled.bearing);
    let (width, height) = tube.window;
    let (low, high) = window_heights(tube, height);
    let round = |value: f64, z: f64| Extent::diameter(Vector3::z(), value, vec![Point3::new(0.0, 0.0, z)]);
    let upright = |from: f64, to: f64, y: f64| {
        let at = |z: f64| Point3::new(tube.outside / 2.0, y, z);
        Extent::between(Vector3::z(), at(from), at(to))
    };
    let bore = Origin::Formula("bearing outside, 2 mm of room, the printer's hole allowance".into());
    let walls = Origin::Formula("column, rim and window at 1.5 over the least strength".into());
    let long = Origin::Formula("travel, what stands in it already, 10 mm to spare".into());
    let window = || Origin::Practice("to see by; no wider than the printer bridges".into());
    let of_tube = [
        Size::new("receiver_bore", "receiver, bore", tube.bore, bore)
            .shown_on(suffix, round(tube.bore, 2.0))
            .printed(Feature::Hole, allowance)
            .good(1.0, 1.0),
        Size::new("receiver_outside", "receiver, outside", tube.outside, walls)
            .shown_on(suffix, round(tube.outside, 2.0))
            .printed(Feature::Outside, 0.0)
            .about(0.4),
        Size::new("receiver_length", "receiver, length", tube.length, long)
            .shown_on(suffix, upright(0.0, tube.length, 0.0))
            .printed(Feature::Height, 0.0)
            .good(0.5, 2.0),
        Size::new("window_width", "window, width", width, window()),
        Size::new("window_height", "window, height", height, window())
            .shown_on(suffix, upright(low, high, width / 2.0)),
    ];
    of_bearing(bearing).into_iter().chain(of_tube).collect()
}

fn set_up(spec: &Receiver, settled: &Settled) -> Vec<Size> {
    let (reach, given) = settled.reach;
    let assumed = match spec.from {
        From::Shaft => "two bearing widths; measure and give --reach",
        From::Housing => "flush with the housing's face; measure and give --reach",
    };
    let label = match spec.from {
        From::Shaft => "spindle stands out past the face",
        From::Housing => "bearing lies behind the face",
    };
    let travel = Origin::given_or(
        spec.seat_length.is_some(),
        "--seat-length",
        Origin::Formula("the ring's width; a longer seat is given as --seat-length".into()),
    );
    let steel = || Origin::Formula("Roark's Formulas, table 11.2; S235 at two thirds of yield".into());
    let rod = match settled.rod.1 {
        true => Origin::Estimate("length through the spindle assumed; give --through".into()),
        false => Origin::Formula("engagement or far nut, what it passes, receiver, plate, nut".into()),
    };
    let mut list = vec![
        Size::new("travel", "travel under force", settled.travel, travel).at_bench(4),
        Size::new(
            "reach",
            label,
            reach,
            Origin::given_or(given, "--reach", Origin::Estimate(assumed.into())),
        )
        .at_bench(6),
        Size::new("plate_thickness", "steel plate over the receiver, thick", settled.plate.0, steel()),
        Size::new("rod_length", "rod, length", settled.rod.0, rod).at_bench(5),
    ];
    if settled.engagement > 0.0 {
        let engaged = Origin::Table("least thread engagement, Roloff/Matek (from memory)".into());
        list.push(Size::new("thread_engagement", "rod screwed in at least", settled.engagement, engaged));
    }
    list.extend(settled.bearers.iter().flat_map(of_bearer));
    list
}

/// The sizes of a step washer or drift, seen on its own drawing.
fn of_bearer(bearer: &Bearer) -> Vec<Size> {
    let (key, piece) = (bearer.what.replace(' ', "_"), bearer.what.replace(' ', "-"));
    let from = || Origin::Formula("what it passes, less 0.5 mm of play".into());
    let round = |value: f64, z: f64| Extent::diameter(Vector3::z(), value, vec![Point3::new(0.0, 0.0, z)]);
    let upright = |(d_low, low): (f64, f64), (d_high, high): (f64, f64)| {
        let places = [-0.5, 0.5]
            .map(|side| [Point3::new(side * d_low, 0.0, low), Point3::new(side * d_high, 0.0, high)]);
        Extent::any_between(Vector3::z(), places.to_vec())
    };
    let size = |which: &str, label: &str, value: f64, origin: Origin| {
        Size::new(format!("{key}_{which}"), format!("{}, {label}", bearer.what), value, origin)
    };
    let (top, outside) = (bearer.thickness, bearer.outside);
    let thick = Origin::Formula(
        "bending between the rod's washer and the edge it bears on (Roark's Formulas, table 11.2)".into(),
    );
    let mut list = vec![
        size("outside", "outside", outside, from()).shown_on(&piece, round(outside, top / 2.0)),
        size("bore", "bore", bearer.bore, from()).shown_on(&piece, round(bearer.bore, 1.0)),
        size("thickness", "thick", top, thick).shown_on(&piece, upright((outside, 0.0), (outside, top))),
    ];
    if bearer.relief > 0.0 {
        let clear = Origin::Practice("clear of shield and inner ring".into());
        list.push(
            size("relief", "turned lower up to", bearer.relief, clear)
                .shown_on(&piece, round(bearer.relief, top - RELIEF / 2.0)),
        );
    }
    if bearer.centres() {
        let (diameter, rise) = bearer.spigot;
        let long = Origin::Practice("three tenths of the width, or 15 mm in a spindle".into());
        list.push(
            size("spigot", "spigot", diameter, from()).shown_on(&piece, round(diameter, top + rise / 2.0)),
        );
        list.push(size("spigot_length", "spigot, long", rise, long));
    }
    list
}
