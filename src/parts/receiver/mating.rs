//! What a receiver works with, in its own coordinates: the face it stands on is at nought.

use super::drawing_off::{Settled, thread_holds};
use super::spec::{From, Receiver};
use crate::design::Mating;
use crate::error::Result;
use crate::solid::Body;

/// How much of headstock, housing and spindle is shown below the bearing, in bearing widths.
const BELOW: f64 = 1.5;
/// Thickness of the shoulder or cover shown over the outer ring, mm.
const LIP: f64 = 4.0;

/// The old bearing in its place, headstock or housing, spindle, rod, plate, nuts and washers.
pub fn mating(spec: &Receiver, settled: &Settled) -> Result<Vec<Mating>> {
    let (bearing, screw) = (&settled.bearing, &settled.screw);
    let face = match spec.from {
        From::Shaft => -LIP,
        From::Housing => -settled.reach.0,
    };
    let back = face - bearing.stack_width();
    let foot = back - BELOW * bearing.width;
    let (inner, outer) = (bearing.inner_shoulder, bearing.outer_shoulder);
    let mut bodies = vec![
        Mating::clear("inner ring", tube(bearing.bore, inner, back, face)?),
        Mating::clear("outer ring", tube(outer, bearing.outside, back, face)?),
        Mating::clear("shield", tube(inner, outer, back + 0.5, face - 0.5)?),
        Mating::touching("housing", housing(spec, settled, (face, back, foot))?),
    ];
    let plate = settled.tube.length + settled.plate.0;
    let washer =
        |from: f64| tube(screw.washer.inner, screw.washer.outer, from, from + screw.washer.thickness);
    let nut = |from: f64| tube(screw.diameter, screw.nut.across_corners(), from, from + screw.nut.height);
    let hole = screw.clearance_hole;
    bodies
        .push(Mating::touching("steel plate", tube(hole, settled.tube.outside, settled.tube.length, plate)?));
    bodies.push(Mating::beside("washer", washer(plate)?));
    bodies.push(Mating::beside("nut", nut(plate + screw.washer.thickness)?).left_whole());
    let top = plate + screw.nut_side();
    let rod_foot = match spec.from {
        From::Shaft => {
            let bore = spec.shaft_bore.map_or(0.0, |bore| bore.mm());
            let spindle = tube(bore, bearing.bore, foot, settled.reach.0.max(1.0))?;
            bodies.push(Mating::clear("spindle", spindle).left_whole());
            if thread_holds(spec) { settled.reach.0.max(1.0) } else { foot }
        }
        From::Housing => back,
    };
    let mut low = rod_foot;
    for bearer in &settled.bearers {
        let body = tube(bearer.bore, bearer.outside, low - bearer.thickness, low)?;
        bodies.push(Mating::beside(bearer.what, body));
        low -= bearer.thickness;
    }
    if !thread_holds(spec) {
        bodies.push(Mating::beside("far washer", washer(low - screw.washer.thickness)?));
        low -= screw.washer.thickness + screw.nut.height;
        bodies.push(Mating::beside("far nut", nut(low)?).left_whole());
        low -= 3.0 * screw.pitch;
    }
    bodies.push(Mating::beside("threaded rod", tube(0.0, screw.diameter, low, top)?).left_whole());
    Ok(bodies)
}

/// The housing round the bearing, with the shoulder behind it; where the spindle is drawn the shoulder or cover
/// that holds the bearing lies on the receiver's side.
fn housing(spec: &Receiver, settled: &Settled, (face, back, foot): (f64, f64, f64)) -> Result<Body> {
    let bearing = &settled.bearing;
    let opening = (bearing.outer_shoulder + bearing.outside) / 2.0;
    if spec.from == From::Shaft {
        return Body::turned(&[
            (bearing.outside, foot),
            (settled.tube.outside + 10.0, foot),
            (settled.tube.outside + 10.0, 0.0),
            (opening, 0.0),
            (opening, face),
            (bearing.outside, face),
        ]);
    }
    Body::turned(&[
        (opening, foot),
        (settled.tube.outside + 10.0, foot),
        (settled.tube.outside + 10.0, 0.0),
        (bearing.outside, 0.0),
        (bearing.outside, back),
        (opening, back),
    ])
}

fn tube(inner: f64, outer: f64, from: f64, to: f64) -> Result<Body> {
    Body::turned(&[(inner, from), (outer, from), (outer, to), (inner, to)])
}
