//! Belt, signal, screws and the stiffness's description, as lists of the JSON report.

use super::shape::Print;
use super::spec::Style;
use super::{Settled, hold, screws};
use crate::catalog::fasteners;
use crate::error::Result;
use serde_json::json;

/// What stands beside the dimensions in the JSON report.
pub fn lists(s: &Settled, print: &Print) -> Result<serde_json::Map<String, serde_json::Value>> {
    let mut map = serde_json::Map::new();
    let l = &s.layout;
    map.insert(
        "belt".into(),
        json!({
            "designation": s.drive.designation(),
            "teeth": s.drive.belt_teeth,
            "width": s.drive.width,
            "pulleys": [s.drive.spindle_teeth, s.drive.encoder_teeth],
            "teeth_in_mesh_small": s.drive.mesh(),
        }),
    );
    map.insert(
        "signal".into(),
        json!({
            "pulses_per_spindle_turn": s.signal.pulses_per_turn,
            "counts_per_spindle_turn": s.signal.counts_per_turn,
            "frequency_hz": s.signal.frequency,
            "encoder_rpm": s.signal.encoder_rpm,
            "controller_ratio": [s.signal.ratio.0, s.signal.ratio.1],
        }),
    );
    let length = screws::bracket_screw(s)?.map(|length| length.mm);
    let head = fasteners::standards(&l.screw.size).socket_head;
    map.insert("screws".into(), screws::holes(s).iter().map(|hole| json!({
        "name": hole.name, "x": hole.from_spindle, "y": hole.over_spindle, "z": hole.behind_belt, "diameter": l.slot_width,
        "size": l.screw.size, "length": length, "washer": l.screw.washer_standard, "head": head,
    })).collect());
    map.insert("flange_screws".into(), flange_screws(s)?);
    map.insert("stiffness".into(), stiffness(s, print));
    Ok(map)
}

/// The flange's screws: x to the right seen from the belt and y up, from the encoder's axis.
fn flange_screws(s: &Settled) -> Result<serde_json::Value> {
    let seat = &s.layout.seat;
    let length = match screws::flange_screw(s)? {
        screws::Fastening::Stock(length, _) => Some(length.mm),
        screws::Fastening::Cut(length) => Some(length),
        screws::Fastening::Nuts(_) => None,
    };
    let one = |at: &crate::solid::Point2| json!({ "x": at.x, "y": at.y, "diameter": seat.screw.hole, "size": seat.screw.size, "length": length });
    Ok(seat.bolts.iter().map(one).collect())
}

/// Where the bracket is held and where it is pulled, in the print's coordinates: what anyone needs to
/// reckon its deflection again.
fn stiffness(s: &Settled, print: &Print) -> serde_json::Value {
    let l = &s.layout;
    let t = l.thick.upright;
    let pull = s.place.pull();
    let point = |x: f64, y: f64, z: f64| {
        let p = print.point(x, y, z);
        [p.x, p.y, p.z]
    };
    let way = |x: f64, y: f64, z: f64| {
        let d = print.direction(x, y, z);
        [d.x, d.y, d.z]
    };
    let held: Vec<serde_json::Value> = l
        .screws
        .iter()
        .map(|at| match l.style {
            Style::Foot => json!({ "from": point(at.x, at.y, 0.0), "to": point(at.x, at.y, l.thick.base), "radius": l.screw.washer_radius() }),
            _ => json!({ "from": point(at.x, 0.0, at.y), "to": point(at.x, t, at.y), "radius": l.screw.washer_radius() }),
        })
        .collect();
    json!({
        "modulus_mpa": s.holding.elastic.modulus,
        "poisson": s.holding.elastic.poisson,
        "held": held,
        "seat": { "centre": point(0.0, t, l.axis_height), "outward": way(0.0, 1.0, 0.0), "radius": l.seat.radius, "opening": l.seat.register_bore / 2.0,
                  "floor": l.seat.floor(t) },
        "thickness": t,
        "shaft_radius": s.encoder.shaft_diameter / 2.0,
        "body_length": s.encoder.body_length,
        "body_radius": hold::body_radius(&s.encoder),
        "masses": s.holding.masses.iter().map(|mass| mass.placed(&print.frame)).collect::<Vec<_>>(),
        "density_g_cm3": s.workshop.material.density,
        "weight_n": s.encoder.mass / 1000.0 * hold::GRAVITY,
        "down": way(0.0, 0.0, -1.0),
        "pulled_at": point(0.0, -l.belt_lever, l.axis_height),
        "pull": way(pull.x, 0.0, pull.y),
        "pull_n": s.drive.hub_load(),
        "deflection": s.holding.deflection,
        "frequency_hz": s.holding.frequency,
        "cell": s.holding.grid.size,
    })
}

/// The numbers by which whatever is drawn for a bracket fits it.
pub(in crate::parts) fn fits(s: &Settled) -> serde_json::Value {
    let (l, d, place) = (&s.layout, &s.drive, &s.place);
    let lengths = [
        d.width,
        d.centre,
        l.thick.upright,
        l.thick.base,
        l.belt_lever,
        l.axis_height,
        l.depth,
        place.spindle.x,
        place.spindle.y,
        place.inward,
        place.outward,
    ];
    json!({
        "style": l.style.word(),
        "encoder": s.encoder.about,
        "spindle_from": s.spec.spindle_from,
        "hub": l.hub,
        "belt": (d.profile.name.as_str(), d.belt_teeth, d.spindle_teeth, d.encoder_teeth),
        "lengths": lengths.map(crate::error::to_thousandth),
    })
}
