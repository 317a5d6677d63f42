//! A mesh's smooth faces: which triangles belong together, and the normals that hide the facets.

use crate::solid::{Mesh, Vector3};
use foldhash::fast::FixedState;
use std::collections::HashMap;

/// Cosine of the dihedral angle above which an edge is drawn: 25°, which is more than two
/// neighbouring facets of a hole of 1 mm diameter make at 0.01 mm chord tolerance.
const CREASE: f64 = 0.906_307_787_036_649_9;

/// A mesh told apart into smooth faces.
pub(super) struct Surface {
    /// For each triangle, the number of its smooth face, from 0.
    pub face: Vec<u32>,
    /// How many smooth faces there are.
    pub faces: u32,
    /// For each triangle, the unit normals at its corners.
    pub normals: Vec<[Vector3; 3]>,
}

impl Surface {
    pub fn of(mesh: &Mesh) -> Self {
        let flat: Vec<Vector3> = mesh.triangles.iter().map(|&t| flat_normal(mesh, t)).collect();
        let (face, faces) = smooth_faces(mesh, &flat);
        let normals = corner_normals(mesh, &flat, &face);
        Self { face, faces, normals }
    }
}

/// The unit normal, or zero for a triangle without area.
fn flat_normal(mesh: &Mesh, [a, b, c]: [u32; 3]) -> Vector3 {
    let [a, b, c] = [a, b, c].map(|at| mesh.points[at as usize]);
    (b - a).cross(&(c - a)).try_normalize(1e-300).unwrap_or_else(Vector3::zeros)
}

/// Joins triangles over every edge that is no crease; numbers the sets in order of appearance.
fn smooth_faces(mesh: &Mesh, flat: &[Vector3]) -> (Vec<u32>, u32) {
    let mut parent: Vec<usize> = (0..mesh.triangles.len()).collect();
    let mut open: HashMap<(u32, u32), usize, FixedState> = HashMap::default();
    for (at, t) in mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            match open.remove(&(b, a)) {
                Some(other) if flat[at].dot(&flat[other]) > CREASE => {
                    let (x, y) = (root(&mut parent, at), root(&mut parent, other));
                    parent[x.max(y)] = x.min(y);
                }
                Some(_) => {}
                None => {
                    open.insert((a, b), at);
                }
            }
        }
    }
    let mut number: HashMap<usize, u32, FixedState> = HashMap::default();
    let face = (0..mesh.triangles.len())
        .map(|at| {
            let next = number.len() as u32;
            *number.entry(root(&mut parent, at)).or_insert(next)
        })
        .collect();
    (face, number.len() as u32)
}

fn root(parent: &mut [usize], mut at: usize) -> usize {
    while parent[at] != at {
        parent[at] = parent[parent[at]];
        at = parent[at];
    }
    at
}

/// Each corner's normal: the mean of its face's triangles there, weighted by their angle.
fn corner_normals(mesh: &Mesh, flat: &[Vector3], face: &[u32]) -> Vec<[Vector3; 3]> {
    let mut sums: HashMap<(u32, u32), Vector3, FixedState> = HashMap::default();
    for (at, t) in mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            let [p, q, r] = [t[k], t[(k + 1) % 3], t[(k + 2) % 3]].map(|at| mesh.points[at as usize]);
            let angle = (q - p).angle(&(r - p));
            if angle.is_finite() {
                *sums.entry((t[k], face[at])).or_insert_with(Vector3::zeros) += flat[at] * angle;
            }
        }
    }
    mesh.triangles
        .iter()
        .enumerate()
        .map(|(at, t)| {
            t.map(|corner| {
                let mean = sums.get(&(corner, face[at])).and_then(|sum| sum.try_normalize(1e-12));
                // A face that folds back on itself (a cone's tip) keeps the facet's own normal.
                mean.filter(|n| n.dot(&flat[at]) > 0.5).unwrap_or(flat[at])
            })
        })
        .collect()
}
