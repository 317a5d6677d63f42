//! The solids of a puller's set-up: split ring, hoop and plug as they are made, and all in its place.

use super::puller::{HALF, HOOP_PIECE, Settled, SplitRing};
use crate::design::{Mating, Piece};
use crate::error::Result;
use crate::parts::sleeve::puller::Puller;
use crate::solid::{Body, Loop, Point2, Region, Vector3};

/// Length of the spindle past the bearing, in bearing widths, where nothing is said of it.
const PAST: f64 = 1.5;
/// Chamfer on the rim of the hoop that lies on the bed, mm (common practice).
const RIM: f64 = 0.5;
/// Width of the saw's cut between the halves, mm (common practice).
const KERF: f64 = 1.0;
/// Head and spigot of the plug, mm long (common practice).
const PLUG: (f64, f64) = (10.0, 15.0);

/// What is printed, the hoop first, and what is turned.
pub fn pieces(settled: &Settled, chord_tolerance: f64) -> Result<(Vec<Piece>, Vec<Piece>)> {
    let (bore, outside, height) = settled.hoop;
    let (inner, outer) = (bore + 2.0 * RIM, outside - 2.0 * RIM);
    let hoop = Body::turned(&[
        (inner, 0.0),
        (outer, 0.0),
        (outside, RIM),
        (outside, height),
        (bore, height),
        (bore, RIM),
    ])?;
    let mut printed = vec![Piece::new(HOOP_PIECE, hoop, chord_tolerance)?];
    let mut metal = Vec::new();
    let whole = ring(&settled.ring, 0.0)?;
    if settled.ring.printed {
        printed.push(Piece::new(HALF, half(&settled.ring, 1.0)?, chord_tolerance)?.times(2));
    } else {
        let making = vec![
            format!("Turn it whole, then saw it in two with a cut of {KERF} mm; file the cuts smooth."),
            "The land stands square to the bore; both sides flat and parallel within 0.05 mm.".into(),
            "Edges free of burr. Diameters within 0.1 mm; the thickness no less than drawn.".into(),
        ];
        let purpose = "Split ring behind the inner ring: its land bears on that ring alone, a puller's jaws hook behind its rim.";
        metal.push(Piece::new(HALF, whole, chord_tolerance)?.turned_of(
            "steel, S235 or better (EN 10025-2), turned and sawn",
            purpose,
            making,
        ));
    }
    Ok((printed, metal))
}

/// The ring whole, its land up, its back at a height.
fn ring(ring: &SplitRing, back: f64) -> Result<Body> {
    let (body, top) = (back + ring.thickness - SplitRing::PROUD, back + ring.thickness);
    Body::turned(&[
        (ring.bore, back),
        (ring.outside, back),
        (ring.outside, body),
        (ring.land, body),
        (ring.land, top),
        (ring.bore, top),
    ])
}

/// The half of the ring on one side of the saw's cut.
fn half(split: &SplitRing, side: f64) -> Result<Body> {
    let reach = split.outside;
    let other = Loop::rectangle(Point2::new(0.0, side * (KERF - reach) / 2.0), 2.0 * reach, reach)?;
    let away = Body::prism(&Region::new(other, vec![])?, -1.0, split.thickness + 1.0)?;
    ring(split, 0.0)?.cut(&away)
}

/// Bearing, spindle, ring, puller and plug round the hoop, which lies at nought about the ring.
pub fn mating(settled: &Settled) -> Result<Vec<Mating>> {
    let (bearing, split) = (&settled.bearing, &settled.ring);
    let back = split.thickness;
    let face = back + bearing.stack_width();
    let end = face + PAST * bearing.width;
    let (inner, outer) = (bearing.inner_shoulder, bearing.outer_shoulder);
    let tube = |d: f64, o: f64, from: f64, to: f64| Body::turned(&[(d, from), (o, from), (o, to), (d, to)]);
    let hollow = settled.plug.map_or(0.0, |(spigot, _)| spigot);
    let foot = -PAST * bearing.width;
    let pressed = if split.printed { Mating::touching } else { Mating::clear };
    let mut bodies = vec![
        pressed("inner ring", tube(bearing.bore, inner, back, face)?),
        Mating::clear("outer ring", tube(outer, bearing.outside, back, face)?),
        Mating::clear("shield", tube(inner, outer, back + 0.5, face - 0.5)?),
        Mating::clear("spindle", tube(hollow, bearing.bore, foot, end)?).left_whole(),
    ];
    bodies.push(match split.printed {
        true => Mating::beside("second half of the split ring", half(split, -1.0)?),
        false => Mating::beside("split ring", ring(split, 0.0)?),
    });
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
    let (_, hoop, _) = settled.hoop;
    let puller =
        Puller { heights: (0.0, point), claws: (bearing.outside, hoop), screw: settled.screw.diameter };
    bodies.extend(puller.bodies()?);
    Ok(bodies)
}

/// Where the halves lie beside the hoop in the picture of the set-up: in it.
pub fn in_place(pieces: &mut [Piece]) {
    for piece in pieces.iter_mut().filter(|piece| piece.suffix == HALF) {
        piece.place = Some(Vector3::zeros());
    }
}
