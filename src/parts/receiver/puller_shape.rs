//! The solids of a puller's set-up: slotted ring and plug as they are made, and all in its place.

use super::puller::{PATTERN, RING, Settled, SlottedRing};
use crate::design::{Mating, Piece};
use crate::error::Result;
use crate::parts::sleeve::puller::Puller;
use crate::solid::{Body, Loop, Point2, Region, Vector3};

/// Length of the spindle past the bearing, in bearing widths, where nothing is said of it.
const PAST: f64 = 1.5;
/// Head and spigot of the plug, mm long (common practice).
const PLUG: (f64, f64) = (10.0, 15.0);

/// The printed pattern, and what is turned by it.
pub fn pieces(settled: &Settled, chord_tolerance: f64) -> Result<(Vec<Piece>, Vec<Piece>)> {
    let body = ring(&settled.ring)?;
    let making = vec![
        "Turn it whole, then saw the slot out to one side, its sides even with the bore, and file it smooth: the shaft must slide in.".into(),
        "The land stands square to the bore; both sides flat and parallel within 0.05 mm.".into(),
        "Edges free of burr. Diameters within 0.1 mm; the thickness no less than drawn.".into(),
    ];
    let purpose = "Slotted ring behind the inner ring: its land bears on that ring alone, a puller's two jaws hook behind its rim at either side of the slot.";
    let metal = Piece::new(RING, body.clone(), chord_tolerance)?.turned_of(
        "steel, S235 or better (EN 10025-2), turned and sawn",
        purpose,
        making,
    );
    Ok((vec![Piece::new(PATTERN, body, chord_tolerance)?], vec![metal]))
}

/// The ring, its land up, its back at nought, its slot along y.
fn ring(ring: &SlottedRing) -> Result<Body> {
    let body = ring.thickness - SlottedRing::PROUD;
    let whole = Body::turned(&[
        (ring.bore, 0.0),
        (ring.outside, 0.0),
        (ring.outside, body),
        (ring.land, body),
        (ring.land, ring.thickness),
        (ring.bore, ring.thickness),
    ])?;
    let slot = Loop::rectangle(Point2::new(0.0, ring.outside / 2.0), ring.slot, ring.outside)?;
    whole.cut(&Body::prism(&Region::new(slot, vec![])?, -1.0, ring.thickness + 1.0)?)
}

/// Bearing, spindle, ring, puller and plug round the ring, whose back is at nought.
pub fn mating(settled: &Settled) -> Result<Vec<Mating>> {
    let (bearing, slotted) = (&settled.bearing, &settled.ring);
    let back = slotted.thickness;
    let face = back + bearing.stack_width();
    let end = face + PAST * bearing.width;
    let (inner, outer) = (bearing.inner_shoulder, bearing.outer_shoulder);
    let tube = |d: f64, o: f64, from: f64, to: f64| Body::turned(&[(d, from), (o, from), (o, to), (d, to)]);
    let hollow = settled.plug.map_or(0.0, |(spigot, _)| spigot);
    let foot = -PAST * bearing.width;
    let mut bodies = vec![
        Mating::touching("inner ring", tube(bearing.bore, inner, back, face)?),
        Mating::clear("outer ring", tube(outer, bearing.outside, back, face)?),
        Mating::clear("shield", tube(inner, outer, back + 0.5, face - 0.5)?),
        Mating::clear("spindle", tube(hollow, bearing.bore, foot, end)?).left_whole(),
    ];
    let mut point = end;
    if let Some((spigot, outside)) = settled.plug {
        let (head, low) = (end + PLUG.0, end - PLUG.1);
        let plug = Body::turned(&[
            (0.0, low),
            (spigot, low),
            (spigot, end),
            (outside, end),
            (outside, head),
            (0.0, head),
        ])?;
        bodies.push(Mating::beside("plug for the point", plug).left_whole());
        point = head;
    }
    let claws = (bearing.outside, slotted.outside);
    let across = Vector3::x();
    let puller = Puller { heights: (0.0, point), claws, screw: settled.screw.diameter, across };
    bodies.extend(puller.bodies()?);
    Ok(bodies)
}
