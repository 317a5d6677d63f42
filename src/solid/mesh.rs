//! Closed triangle meshes.

use super::{Bounds, Point3, Vector3};
use crate::error::{Error, Result};
use foldhash::fast::FixedState;
use std::collections::HashMap;

/// A closed, consistently oriented triangle mesh; triangles index `points`, counter-clockwise seen
/// from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh {
    /// Corners, each stored once, mm.
    pub points: Vec<Point3>,
    /// Triangles.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// The corners of a triangle.
    pub fn corners(&self, triangle: [u32; 3]) -> [Point3; 3] {
        triangle.map(|i| self.points[i as usize])
    }

    /// Twice the area of a triangle along its outward normal.
    pub fn doubled_normal(&self, triangle: [u32; 3]) -> Vector3 {
        let [a, b, c] = self.corners(triangle);
        (b - a).cross(&(c - a))
    }

    /// The unit outward normal of a triangle.
    pub fn normal(&self, triangle: [u32; 3]) -> Vector3 {
        self.doubled_normal(triangle).normalize()
    }

    /// The volume enclosed, mm³.
    pub fn volume(&self) -> f64 {
        let about = self.points.first().copied().unwrap_or(Point3::origin());
        let six = |t: &[u32; 3]| {
            let [a, b, c] = self.corners(*t).map(|p| p - about);
            a.dot(&b.cross(&c))
        };
        self.triangles.iter().map(six).sum::<f64>() / 6.0
    }

    /// The area of the surface, mm².
    pub fn area(&self) -> f64 {
        self.triangles.iter().map(|t| self.doubled_normal(*t).norm()).sum::<f64>() / 2.0
    }

    /// The box it fits in.
    pub fn bounds(&self) -> Bounds {
        let start = Bounds::at(self.points.first().copied().unwrap_or(Point3::origin()));
        self.points.iter().fold(start, |b, p| b.union(&Bounds::at(*p)))
    }

    /// How many triangle sides lack the one partner that runs the other way; 0 for a closed mesh.
    pub fn open_edges(&self) -> usize {
        let mut balance: HashMap<(u32, u32), (i32, u32), FixedState> =
            HashMap::with_capacity_and_hasher(self.triangles.len() * 2, FixedState::default());
        for t in &self.triangles {
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                let entry = balance.entry((a.min(b), a.max(b))).or_default();
                entry.0 += if a < b { 1 } else { -1 };
                entry.1 += 1;
            }
        }
        balance.values().filter(|&&(sum, uses)| sum != 0 || uses != 2).count()
    }

    /// That it is closed and has no triangle without area; anything else is a fault of ours.
    pub(crate) fn check(&self) -> Result<()> {
        let flat = self.triangles.iter().find(|t| self.doubled_normal(**t).norm() <= 1e-15);
        if let Some(t) = flat {
            let p = self.points[t[0] as usize];
            return Err(Error::internal(format!(
                "A triangle without area would be written near ({:.3}, {:.3}, {:.3}) mm.",
                p.x, p.y, p.z
            )));
        }
        match self.open_edges() {
            0 => Ok(()),
            open => Err(Error::internal(format!("A mesh would be left open at {open} edges."))),
        }
    }
}
