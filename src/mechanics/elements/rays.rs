//! Parallel rays through a closed mesh: where each goes in and out.

use crate::solid::{Mesh, Point3};

/// By how much a ray is moved off the edges of the mesh, mm, and again where it still meets one.
const ASIDE: [(f64, f64); 4] = [(1.3e-5, 1.7e-5), (-2.9e-5, 4.1e-5), (7.3e-5, -5.9e-5), (-1.1e-4, -1.3e-4)];

/// A closed mesh sorted for rays along one axis.
pub(super) struct Rays<'a> {
    mesh: &'a Mesh,
    /// The axis the rays run along.
    pub along: usize,
    /// The two axes across it.
    pub across: [usize; 2],
    least: [f64; 2],
    /// Bins per millimetre along both axes across.
    rate: [f64; 2],
    bins: Vec<Vec<u32>>,
}

/// Bins along each axis.
const BINS: usize = 64;

impl<'a> Rays<'a> {
    pub fn new(mesh: &'a Mesh, along: usize) -> Rays<'a> {
        let across = [(along + 1) % 3, (along + 2) % 3];
        let bounds = mesh.bounds();
        let least = across.map(|a| bounds.least[a]);
        let rate = across.map(|a| BINS as f64 / (bounds.most[a] - bounds.least[a]).max(1e-9));
        let mut rays = Rays { mesh, along, across, least, rate, bins: vec![Vec::new(); BINS * BINS] };
        for (number, triangle) in mesh.triangles.iter().enumerate() {
            let corners = mesh.corners(*triangle);
            let range = [0, 1].map(|side| {
                let at = corners.map(|p| p[across[side]]);
                let (low, high) = (at[0].min(at[1]).min(at[2]), at[0].max(at[1]).max(at[2]));
                rays.bin(side, low - 1e-3)..=rays.bin(side, high + 1e-3)
            });
            for i in range[0].clone() {
                for j in range[1].clone() {
                    rays.bins[i * BINS + j].push(number as u32);
                }
            }
        }
        rays
    }

    fn bin(&self, side: usize, at: f64) -> usize {
        (((at - self.least[side]) * self.rate[side]).max(0.0) as usize).min(BINS - 1)
    }

    /// Where the ray at a place across the axis crosses the mesh, ascending: pairs of in and out.
    pub fn crossings(&self, at: [f64; 2], into: &mut Vec<f64>) {
        for (du, dv) in ASIDE {
            into.clear();
            let (u, v) = (at[0] + du, at[1] + dv);
            for &number in &self.bins[self.bin(0, u) * BINS + self.bin(1, v)] {
                into.extend(self.crossing(self.mesh.triangles[number as usize], u, v));
            }
            if into.len().is_multiple_of(2) {
                break;
            }
        }
        into.sort_by(f64::total_cmp);
    }

    fn crossing(&self, triangle: [u32; 3], u: f64, v: f64) -> Option<f64> {
        let [x, y] = self.across;
        let [a, b, c] = self.mesh.corners(triangle);
        let determinant = (b[x] - a[x]) * (c[y] - a[y]) - (c[x] - a[x]) * (b[y] - a[y]);
        if determinant.abs() < 1e-12 {
            return None;
        }
        let s = ((u - a[x]) * (c[y] - a[y]) - (c[x] - a[x]) * (v - a[y])) / determinant;
        let t = ((b[x] - a[x]) * (v - a[y]) - (u - a[x]) * (b[y] - a[y])) / determinant;
        let z = self.along;
        (s >= 0.0 && t >= 0.0 && s + t < 1.0).then(|| a[z] + s * (b[z] - a[z]) + t * (c[z] - a[z]))
    }

    /// Whether a point lies inside the mesh.
    pub fn inside(&self, p: Point3, found: &mut Vec<f64>) -> bool {
        self.crossings(self.across.map(|a| p[a]), found);
        found.iter().filter(|z| **z > p[self.along]).count() % 2 == 1
    }
}
