//! Whether plugs that are on already pass: through their own opening, or, where the cable is laid in between the
//! pieces, through the hole beside the cables that went before it, the largest plug first.

use super::openings::{Opening, PLUG_PLAY};
use super::packing::pack;
use super::question::Question;
use super::room::Room;
use super::sizing::Sizing;
use super::spec::{Hole, Plate};

/// Starting points tried for a plug beside cables that may be pushed aside.
const ROOM_STARTS: usize = 3;
/// Largest growth of a hole that is looked at for plugs, mm.
const MOST_GROWTH: f64 = 200.0;

/// The plug that finds it hardest to pass.
pub struct Hardest<'a> {
    /// Its opening.
    pub opening: &'a Opening,
    /// What it may measure across, mm.
    pub room: f64,
    /// What it measures, mm.
    pub across: f64,
    /// How many cables are laid in between the pieces.
    pub laid: usize,
}

/// Openings whose plug goes through the hole, the largest first, and what it measures across.
fn laid(sizing: &Sizing) -> Vec<(&Opening, f64)> {
    let parted = sizing.openings.iter().filter(|opening| opening.must_part());
    let mut laid: Vec<(&Opening, f64)> =
        parted.filter_map(|opening| Some((opening, opening.plug.as_ref()?.across))).collect();
    laid.sort_by(|a, b| b.1.total_cmp(&a.1));
    laid
}

/// The plug that finds it hardest to pass, where there is one.
pub fn hardest(sizing: &Sizing) -> Option<Hardest<'_>> {
    let (hole, laid) = (sizing.hole_room(), laid(sizing));
    let through_own = sizing.openings.iter().filter(|opening| !opening.must_part());
    let through_own = through_own.filter_map(|o| Some((o, o.bore, o.plug.as_ref()?.across)));
    let mut before: Vec<f64> = vec![];
    let through_hole = laid.iter().map(|&(opening, across)| {
        let room = room_beside(&hole, &before, across + PLUG_PLAY);
        before.push(opening.most / 2.0);
        (opening, room, across)
    });
    let through_hole: Vec<_> = through_hole.collect();
    let count = laid.len();
    through_own
        .chain(through_hole)
        .min_by(|a, b| (a.1 - a.2).total_cmp(&(b.1 - b.2)))
        .map(|(opening, room, across)| Hardest { opening, room, across, laid: count })
}

/// Whether every plug that goes through the hole passes it.
pub fn pass(sizing: &Sizing) -> bool {
    let hole = sizing.hole_room();
    let mut before: Vec<f64> = vec![];
    laid(sizing).into_iter().all(|(opening, across)| {
        let fits = fits_beside(&hole, &before, across + PLUG_PLAY);
        before.push(opening.most / 2.0);
        fits
    })
}

/// The least hole of the same shape that every plug passes, in half millimetres.
pub fn hole_that_passes(spec: &Plate, sizing: &Sizing) -> Option<Hole> {
    let holes = (1..(2.0 * MOST_GROWTH) as u32).map(|k| grown(sizing.hole, k));
    holes.into_iter().find(|&hole| pass(&sizing.for_hole(spec, hole)))
}

/// The hole wider and higher by `k` half millimetres, from the half millimetre below; a rectangle
/// keeps its corners, a round or obround hole its shape.
pub fn grown(hole: Hole, k: u32) -> Hole {
    let up = |side: f64| ((2.0 * side + 1e-9).floor() + k as f64) / 2.0;
    let (width, height) = (up(hole.width), up(hole.height));
    let full = hole.corner >= hole.width.min(hole.height) / 2.0 - 1e-9;
    Hole { width, height, corner: if full { width.min(height) / 2.0 } else { hole.corner }, ..hole }
}

/// Whether a disc of that diameter passes a hole beside discs of those radii that may be pushed aside.
fn fits_beside(hole: &Room, others: &[f64], diameter: f64) -> bool {
    let radii = others.iter().copied().chain([diameter / 2.0]);
    pack(&Question::plain(*hole, radii), ROOM_STARTS).is_some()
}

/// Diameter of the largest disc that passes a hole beside discs of those radii, mm: not less than what is
/// wanted where that passes.
fn room_beside(hole: &Room, others: &[f64], wanted: f64) -> f64 {
    let mut high = 2.0 * hole.half_width.min(hole.half_height);
    if others.is_empty() {
        return high;
    }
    let mut low = if fits_beside(hole, others, wanted) { wanted } else { 0.0 };
    while high - low > 0.2 {
        let middle = 0.5 * (low + high);
        if fits_beside(hole, others, middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_grows_in_its_own_shape() {
        let hole: Hole = "33.3x20.2:r=3".parse().unwrap();
        let wider = grown(hole, 3);
        assert_eq!((wider.width, wider.height, wider.corner), (34.5, 21.5, 3.0));
        assert!(grown("60".parse().unwrap(), 1).is_round());
    }
}
