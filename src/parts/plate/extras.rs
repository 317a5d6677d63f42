//! What is printed beside the plate: plugs for spare openings, bushes of soft material, the halves
//! of a backing ring.

use super::openings::Opening;
use super::outline::{Band, between};
use super::plan::Plan;
use super::room::Room;
use super::sizing::Sizing;
use crate::error::{Error, Result};
use crate::solid::piece::Piece;
use crate::solid::{Body, Frame, Loop, Point2, Region, Vector3};
use std::f64::consts::PI;

/// Thickness of a backing ring, mm. Common practice: as stiff as the margin.
pub const RING_THICKNESS: f64 = 4.0;
/// A ring's inner edge lies this far outside the hole's, so that a wandering hole stays clear, mm.
pub const RING_PLAY: f64 = 0.5;
/// Width of the slit of a bush, mm.
pub const SLIT: f64 = 1.0;
/// What a bush is printed of.
pub const SOFT: &str = "TPU or another soft filament";
/// Collar of a bush: width beyond its wall, and height, mm.
pub const COLLAR: (f64, f64) = (1.5, 1.2);

/// Height of a plug's head, mm.
pub const PLUG_HEAD: f64 = 1.6;

/// Radii of a plug's head, of its stem where it begins, and of its tip, mm.
pub fn plug_radii(bore: f64, allowance: f64) -> (f64, f64, f64) {
    let half = allowance / 2.0;
    (bore / 2.0 + 1.8, bore / 2.0 - 0.05 + half, bore / 2.0 - 0.25 + half)
}

/// Inner and outer radius of a bush, mm.
pub fn bush_radii(opening: &Opening) -> (f64, f64) {
    (opening.least / 2.0 - 0.1, opening.bore / 2.0 - 0.1)
}

/// Radius of the collar of the bush in an opening, mm.
pub fn bush_collar(bore: f64) -> f64 {
    bore / 2.0 - 0.1 + COLLAR.0
}

/// A plug that closes a spare opening: a head on the outside, a stem that narrows so that it wedges.
pub fn spare_plug(bore: f64, length: f64, allowance: f64) -> Result<Body> {
    let (head, stem, tip) = plug_radii(bore, allowance);
    let chamfer = (0.2 * bore).min(0.8);
    let end = PLUG_HEAD + length;
    let corners = [
        (0.0, 0.0),
        (head - 0.5, 0.0),
        (head, 0.5),
        (head, PLUG_HEAD),
        (stem, PLUG_HEAD),
        (tip, end - chamfer),
        (tip - chamfer, end),
        (0.0, end),
    ];
    Body::revolve(&Loop::polygon(&corners.map(|(r, z)| Point2::new(r, z))))
}

/// A bush for one opening, slit so that it is laid round its cable: a tube in the opening, a collar
/// on the outside face.
pub fn bush(opening: &Opening, length: f64) -> Result<Body> {
    let (inner, outer) = bush_radii(opening);
    if inner < SLIT {
        return Err(Error::geometry(
            format!(
                "A bush for {} would have a bore of {:.1} mm, too little for its slit.",
                opening.label,
                2.0 * inner
            ),
            "Leave --bush out; a cord (--cord) seals thin cables better.",
        ));
    }
    let collar = Body::prism(&slit_ring(inner, bush_collar(opening.bore))?, 0.0, COLLAR.1)?;
    let tube = Body::prism(&slit_ring(inner, outer)?, COLLAR.1, COLLAR.1 + length)?;
    collar.join(&tube)
}

/// A ring with a gap of even width towards +x.
fn slit_ring(inner: f64, outer: f64) -> Result<Region> {
    let half = SLIT / 2.0;
    let lean = |radius: f64| (half / radius).asin();
    let arc = |radius: f64| Piece::sweep(Point2::origin(), radius, lean(radius), 2.0 * (PI - lean(radius)));
    let (far, near) = (arc(outer), arc(inner).reversed());
    let mut pieces = far.split(PI);
    pieces.push(Piece::line(far.to, near.from));
    pieces.extend(near.split(PI));
    pieces.push(Piece::line(near.to, far.from));
    Region::new(Loop::from_pieces(&pieces), vec![])
}

/// Half of a backing ring: it lies behind the sheet round the hole, and lugs reach in to the screws.
/// Two of them make the ring; their joint is square to the parting lines of the plate.
pub fn ring_half(sizing: &Sizing, plan: &Plan) -> Result<Body> {
    // Drawn with the joint along x, then turned by a quarter.
    let turned = |room: Room| Room { half_width: room.half_height, half_height: room.half_width, ..room };
    let inner = turned(plan.hole.shrunk(-RING_PLAY));
    let outer = turned(plan.flange);
    let band = Band { low: Some(0.0), high: None };
    let rings = between(&outer, &inner, band, &[], &[])
        .ok_or_else(|| Error::internal("A backing ring has no half."))?;
    let (outline, _) =
        rings.into_iter().next().ok_or_else(|| Error::internal("A backing ring has no half."))?;
    let mut body = Body::prism(&Region::new(outline, vec![])?, 0.0, RING_THICKNESS)?;
    for &screw in plan.screws.iter().filter(|screw| screw.x > 0.0) {
        let at = Point2::new(-screw.y, screw.x);
        body = body.join(&lug(sizing, &inner, plan.margin - RING_PLAY, at)?)?;
        let hole = Loop::circle(at, sizing.screw.hole / 2.0)?;
        body = body.bore(&Frame::level(RING_THICKNESS), hole)?;
    }
    let back = Frame { x: -Vector3::y(), y: Vector3::x(), ..Frame::world() };
    Ok(body.placed(&back))
}

/// A tab from a screw outwards into the ring.
fn lug(sizing: &Sizing, inner: &Room, ring: f64, at: Point2) -> Result<Body> {
    let (depth, inwards) = inner.depth(at);
    let width = sizing.screw.washer + 2.0;
    // Its end stays within the ring.
    let foot = at - inwards * (depth + ring - width / 2.0 - 0.3);
    let outline = Loop::obround(at, foot, width)?;
    Body::prism(&outline.into(), 0.0, RING_THICKNESS)
}
