//! Roofs that hang in the chosen lie, measured on the mesh.

use crate::solid::{Mesh, Point3};
use std::collections::HashMap;
use std::f64::consts::PI;

/// Directions a patch is measured in.
const WAYS: u32 = 60;

/// A patch of surface that leans out further than the printer can follow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hang {
    /// Its width seen from above, mm: the longer side of the narrowest box about it.
    pub width: f64,
    /// Its area, mm².
    pub area: f64,
    /// Its middle in the print's coordinates.
    pub at: Point3,
}

/// Every connected patch of the mesh that leans out by more than `limit` (rad), the widest first.
pub fn patches(mesh: &Mesh, limit: f64) -> Vec<Hang> {
    let leaning = mesh.overhangs(limit);
    let mut group: Vec<usize> = (0..leaning.len()).collect();
    let mut first: HashMap<u32, usize> = HashMap::new();
    for (k, over) in leaning.iter().enumerate() {
        for corner in mesh.triangles[over.triangle] {
            let other = *first.entry(corner).or_insert(k);
            let (a, b) = (root(&mut group, k), root(&mut group, other));
            group[a.max(b)] = a.min(b);
        }
    }
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); leaning.len()];
    for k in 0..leaning.len() {
        members[root(&mut group, k)].push(k);
    }
    let mut found: Vec<Hang> = members
        .iter()
        .filter(|patch| !patch.is_empty())
        .map(|patch| {
            let corners: Vec<Point3> =
                patch.iter().flat_map(|&k| mesh.corners(mesh.triangles[leaning[k].triangle])).collect();
            Hang {
                width: width(&corners),
                area: patch.iter().map(|&k| leaning[k].area).sum(),
                at: middle(&corners),
            }
        })
        .collect();
    found.sort_by(|a, b| b.width.total_cmp(&a.width));
    found
}

fn root(group: &mut [usize], mut k: usize) -> usize {
    while group[k] != k {
        group[k] = group[group[k]];
        k = group[k];
    }
    k
}

fn middle(corners: &[Point3]) -> Point3 {
    let sum = corners.iter().map(|p| p.coords).sum::<crate::solid::Vector3>();
    Point3::from(sum / corners.len().max(1) as f64)
}

/// The longer side of the narrowest box about points seen from above, mm.
fn width(corners: &[Point3]) -> f64 {
    let across = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        let along = corners.iter().map(|p| p.x * cos + p.y * sin);
        let (least, most) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        most - least
    };
    (0..WAYS)
        .map(|k| PI * f64::from(k) / f64::from(WAYS))
        .min_by(|a, b| across(*a).total_cmp(&across(*b)))
        .map_or(0.0, |narrow| across(narrow).max(across(narrow + PI / 2.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Body, Frame, Loop, Point2, Region};

    #[test]
    fn a_slot_lying_level_hangs_over_its_straight_roof_and_its_round_ends() {
        // A block with a slot 18 mm between its ends' centres and 6 mm high, through it along y.
        let slot = Loop::obround(Point2::new(-9.0, 10.0), Point2::new(9.0, 10.0), 6.0).unwrap();
        let block = Loop::rectangle(Point2::new(0.0, 10.0), 60.0, 20.0).unwrap();
        let region = Region::new(block, vec![slot]).unwrap();
        let body = Body::prism_on(&Frame::facing_minus_y(0.0), &region, 0.0, 5.0).unwrap();
        let found = patches(&body.mesh(0.005).unwrap(), PI / 4.0);
        assert_eq!(found.len(), 1);
        let by_hand = 18.0 + 6.0 * std::f64::consts::FRAC_1_SQRT_2;
        assert!((found[0].width - by_hand).abs() < 0.3, "{found:?} {by_hand}");
        assert!((found[0].at.z - 13.0).abs() < 1.0);
    }

    #[test]
    fn a_block_on_the_bed_hangs_nowhere() {
        let region = Region::new(Loop::rectangle(Point2::origin(), 10.0, 10.0).unwrap(), vec![]);
        let body = Body::prism(&region.unwrap(), 0.0, 5.0).unwrap();
        assert!(patches(&body.mesh(0.01).unwrap(), PI / 4.0).is_empty());
    }
}
