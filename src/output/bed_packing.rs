//! Several pieces on one bed, and on further beds when one is full.
//!
//! Pieces are packed by the rectangles they stand on, turned by a quarter where that helps, with a
//! gap between any two. The rectangle packing itself is the `crunch` crate's; which piece goes to
//! which bed is settled here, largest first, so the same pieces always lie the same way.

use crate::error::{Error, Kind, Result, number};
use crunch::{Item, PackedItem, Rect, Rotation};

/// Free space between two pieces on a bed, mm. Common practice, no source: room for a brim each.
pub const GAP: f64 = 6.0;

/// The rectangle a piece stands on.
#[derive(Clone, Debug, PartialEq)]
pub struct Footprint {
    /// What an error calls the piece.
    pub name: String,
    /// Along x, mm.
    pub width: f64,
    /// Along y, mm.
    pub depth: f64,
}

/// Where a piece lies.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// Which bed, from 0.
    pub bed: usize,
    /// The middle of the piece's rectangle from the bed's left edge, mm.
    pub x: f64,
    /// The middle of the piece's rectangle from the bed's front edge, mm.
    pub y: f64,
    /// Turned a quarter anticlockwise seen from above.
    pub turned: bool,
}

/// Packing is done in whole steps of this many mm, sizes rounded up.
const STEP: f64 = 0.05;

/// A place for every piece, in the order given, on as few beds as the packing finds; what lies on
/// a bed is moved to its middle as one group.
///
/// `bed` is width and depth, mm. Fails when a piece is larger than the bed either way round, naming
/// it with both sizes.
pub fn lay_out(bed: [f64; 2], gap: f64, pieces: &[Footprint]) -> Result<Vec<Place>> {
    if let Some(piece) = pieces.iter().find(|piece| !fits_alone(bed, piece)) {
        return Err(too_large(bed, piece));
    }
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by(|&a, &b| {
        let area = |at: usize| pieces[at].width * pieces[at].depth;
        area(b).total_cmp(&area(a)).then(a.cmp(&b))
    });
    let mut places = vec![Place::default(); pieces.len()];
    let mut number = 0;
    while !order.is_empty() {
        let (packed, left) = fill(bed, gap, pieces, &order);
        if packed.is_empty() {
            // `fits_alone` holds, so only a size within one step of the bed's comes here.
            let alone = order.remove(0);
            let turned = pieces[alone].width > bed[0] || pieces[alone].depth > bed[1];
            places[alone] = Place { bed: number, x: bed[0] / 2.0, y: bed[1] / 2.0, turned };
        } else {
            for (at, place) in centred(bed, gap, pieces, &packed) {
                places[at] = Place { bed: number, ..place };
            }
            order = left;
        }
        number += 1;
    }
    Ok(places)
}

fn fits_alone(bed: [f64; 2], piece: &Footprint) -> bool {
    let fits = |w: f64, d: f64| w <= bed[0] && d <= bed[1];
    fits(piece.width, piece.depth) || fits(piece.depth, piece.width)
}

fn too_large(bed: [f64; 2], piece: &Footprint) -> Error {
    let Footprint { name, width, depth } = piece;
    Error::new(
        Kind::Geometry,
        format!(
            "{name} is {} × {} mm on the bed, which is {} × {} mm.",
            number(*width),
            number(*depth),
            number(bed[0]),
            number(bed[1])
        ),
        "Choose a printer with a larger bed by --printer, or split the part.",
    )
}

/// Puts pieces on one bed, each tried in turn; those it has no room for are left.
fn fill(
    bed: [f64; 2],
    gap: f64,
    pieces: &[Footprint],
    order: &[usize],
) -> (Vec<PackedItem<usize>>, Vec<usize>) {
    // Every piece carries its gap on two sides, so the bed is one gap larger too.
    let room = |mm: f64| ((mm + gap) / STEP + 1e-6) as usize;
    let whole = Rect::of_size(room(bed[0]), room(bed[1]));
    let pack = |on: &[usize], rotation: Rotation| {
        let size = |at: usize| (steps(pieces[at].width + gap), steps(pieces[at].depth + gap));
        crunch::pack(whole, on.iter().map(|&at| Item::new(at, size(at).0, size(at).1, rotation))).ok()
    };
    let mut packed = Vec::new();
    let (mut on, mut left): (Vec<usize>, Vec<usize>) = (Vec::new(), Vec::new());
    for &at in order {
        on.push(at);
        // Pieces in rows as drawn may fit where the packing's own choice of turns does not.
        match pack(&on, Rotation::Allowed).or_else(|| pack(&on, Rotation::None)) {
            Some(all) => packed = all,
            None => left.extend(on.pop()),
        }
    }
    (packed, left)
}

/// A length in whole steps, rounded up.
fn steps(mm: f64) -> usize {
    (mm / STEP - 1e-6).ceil() as usize
}

/// Places on the bed in millimetres, the whole group in its middle.
fn centred(
    bed: [f64; 2],
    gap: f64,
    pieces: &[Footprint],
    packed: &[PackedItem<usize>],
) -> Vec<(usize, Place)> {
    let edge =
        |get: fn(&PackedItem<usize>) -> usize| packed.iter().map(get).max().unwrap_or(0) as f64 * STEP - gap;
    let (right, back) = (edge(|p| p.rect.x + p.rect.w), edge(|p| p.rect.y + p.rect.h));
    packed
        .iter()
        .map(|p| {
            let piece = &pieces[p.data];
            let as_drawn = p.rect.w == steps(piece.width + gap);
            let middle = |from: usize, size: usize| (from as f64 + size as f64 / 2.0) * STEP - gap / 2.0;
            let place = Place {
                bed: 0,
                x: middle(p.rect.x, p.rect.w) + (bed[0] - right) / 2.0,
                y: middle(p.rect.y, p.rect.h) + (bed[1] - back) / 2.0,
                turned: !as_drawn,
            };
            (p.data, place)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn pieces(sizes: &[(f64, f64)]) -> Vec<Footprint> {
        let named = |(k, &(width, depth)): (usize, &(f64, f64))| Footprint {
            name: format!("piece {k}"),
            width,
            depth,
        };
        sizes.iter().enumerate().map(named).collect()
    }

    /// Left, right, front, back.
    fn sides(piece: &Footprint, place: &Place) -> [f64; 4] {
        let (w, d) = if place.turned { (piece.depth, piece.width) } else { (piece.width, piece.depth) };
        [place.x - w / 2.0, place.x + w / 2.0, place.y - d / 2.0, place.y + d / 2.0]
    }

    fn check(bed: [f64; 2], gap: f64, pieces: &[Footprint], places: &[Place]) {
        for (k, (piece, place)) in pieces.iter().zip(places).enumerate() {
            let [left, right, front, back] = sides(piece, place);
            assert!(
                left >= -1e-6 && front >= -1e-6 && right <= bed[0] + 1e-6 && back <= bed[1] + 1e-6,
                "{piece:?} {place:?}"
            );
            for (other, at) in pieces.iter().zip(places).skip(k + 1).filter(|(_, at)| at.bed == place.bed) {
                let [l, r, f, b] = sides(other, at);
                let apart = [l - right, left - r, f - back, front - b].into_iter().fold(f64::MIN, f64::max);
                assert!(apart >= gap - 1e-6, "{piece:?} and {other:?} are {apart} mm apart");
            }
        }
    }

    proptest! {
        #[test]
        fn nothing_overlaps_and_nothing_hangs_over_the_bed(
            sizes in prop::collection::vec((1.0..220.0, 1.0..200.0), 1..14),
            gap in 0.0..10.0f64,
        ) {
            let pieces = pieces(&sizes);
            let places = lay_out([220.0, 210.0], gap, &pieces).unwrap();
            check([220.0, 210.0], gap, &pieces, &places);
            prop_assert_eq!(&places, &lay_out([220.0, 210.0], gap, &pieces).unwrap());
        }
    }

    #[test]
    fn four_quarters_share_one_bed_and_a_fifth_takes_another() {
        let quarter = (107.0, 102.0);
        let four = pieces(&[quarter; 4]);
        assert!(lay_out([220.0, 210.0], GAP, &four).unwrap().iter().all(|p| p.bed == 0));
        let five = pieces(&[quarter; 5]);
        let beds: Vec<usize> = lay_out([220.0, 210.0], GAP, &five).unwrap().iter().map(|p| p.bed).collect();
        assert_eq!(beds, [0, 0, 0, 0, 1]);
    }

    #[test]
    fn a_small_piece_goes_beside_a_large_one_though_one_between_did_not_fit() {
        let places =
            lay_out([200.0, 100.0], GAP, &pieces(&[(150.0, 100.0), (100.0, 90.0), (30.0, 40.0)])).unwrap();
        assert_eq!(places.iter().map(|p| p.bed).collect::<Vec<_>>(), [0, 1, 0]);
    }

    #[test]
    fn a_piece_as_large_as_the_bed_lies_on_it_turned_if_need_be() {
        let pieces = pieces(&[(100.0, 200.0)]);
        let places = lay_out([200.0, 100.0], GAP, &pieces).unwrap();
        check([200.0, 100.0], GAP, &pieces, &places);
        assert!(places[0].turned);
    }

    #[test]
    fn a_piece_larger_than_the_bed_is_named_with_both_sizes() {
        let error = lay_out([200.0, 100.0], GAP, &pieces(&[(10.0, 10.0), (201.0, 50.0)])).unwrap_err();
        assert!(
            error.says.contains("piece 1 is 201 × 50 mm") && error.says.contains("200 × 100 mm"),
            "{error}"
        );
    }
}
