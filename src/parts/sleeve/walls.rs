//! The walls of a sleeve, twice over: from its profile, and by rays through its mesh.

use crate::error::{Error, Result};
use crate::solid::{Mesh, Point2, Point3, Vector3, probe};

/// What came of the comparison, mm.
pub struct Walls {
    /// Lines measured along.
    pub lines: usize,
    /// The least wall any of them met, as measured.
    pub least: f64,
    /// The greatest difference between a wall measured and the same by design.
    pub furthest_apart: f64,
}

impl Walls {
    /// Nothing measured yet.
    pub fn none() -> Walls {
        Walls { lines: 0, least: f64::INFINITY, furthest_apart: 0.0 }
    }

    /// Compares walls along a level line at the middle of every stretch of height between two corners of
    /// the profile, and along an upright one at the middle of every stretch of radius.
    ///
    /// A round wall of the mesh may stand off by `tolerance` (mm); lines that might miss it for that are
    /// not drawn. Fails when a line meets another number of walls in the mesh than in the profile.
    pub fn compare(&mut self, corners: &[Point2], mesh: &Mesh, tolerance: f64) -> Result<()> {
        for height in middles(corners.iter().map(|corner| corner.y), tolerance) {
            let design = lengths(crossings(corners, |p| (p.y - height, p.x)));
            // Off the meridians the mesh has its corners on.
            let outwards = Vector3::new(0.123_f64.cos(), 0.123_f64.sin(), 0.0);
            let found = probe::crossings(mesh, Point3::new(0.0, 0.0, height), outwards);
            self.take(&design, from_axis(found, design.len()))?;
        }
        for radius in middles(corners.iter().map(|corner| corner.x), tolerance) {
            let design = lengths(crossings(corners, |p| (p.x - radius, p.y)));
            let foot = Point3::new(radius * 0.123_f64.cos(), radius * 0.123_f64.sin(), -1.0);
            let found = probe::solid_lengths(&probe::crossings(mesh, foot, Vector3::z()));
            self.take(&design, found)?;
        }
        Ok(())
    }

    fn take(&mut self, design: &[f64], found: Vec<f64>) -> Result<()> {
        if design.len() != found.len() {
            return Err(Error::internal(format!(
                "A line through the mesh meets {} walls where the profile has {}.",
                found.len(),
                design.len()
            )));
        }
        self.lines += 1;
        for (design, found) in design.iter().zip(found) {
            self.least = self.least.min(found);
            self.furthest_apart = self.furthest_apart.max((design - found).abs());
        }
        Ok(())
    }
}

/// Lengths of solid along a ray that starts on the axis: inside it, where the first crossing goes out.
fn from_axis(mut crossings: Vec<f64>, walls: usize) -> Vec<f64> {
    if crossings.len() + 1 == 2 * walls {
        crossings.insert(0, 0.0);
    }
    probe::solid_lengths(&crossings)
}

/// The middles between neighbouring values, where they lie clear of both by more than the tolerance.
fn middles(values: impl Iterator<Item = f64>, tolerance: f64) -> Vec<f64> {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    sorted
        .windows(2)
        .filter(|pair| pair[1] - pair[0] > 2.0 * tolerance + 0.02)
        .map(|pair| (pair[0] + pair[1]) / 2.0)
        .collect()
}

/// Where a line crosses the closed polygon. `seen` gives a corner's distance from the line and its
/// place along it.
fn crossings(corners: &[Point2], seen: impl Fn(&Point2) -> (f64, f64)) -> Vec<f64> {
    let mut found: Vec<f64> = corners
        .iter()
        .zip(corners.iter().cycle().skip(1))
        .filter_map(|(a, b)| {
            let ((side_a, along_a), (side_b, along_b)) = (seen(a), seen(b));
            (side_a * side_b < 0.0).then(|| along_a + (along_b - along_a) * side_a / (side_a - side_b))
        })
        .collect();
    found.sort_by(f64::total_cmp);
    found
}

fn lengths(crossings: Vec<f64>) -> Vec<f64> {
    probe::solid_lengths(&crossings)
}
