//! The turned steel ring that takes the contact where plastic would crush: narrow where it touches the
//! bearing, wide where the sleeve stands on it.

use super::shape::Band;
use crate::mechanics::strength;
use crate::solid::{Loop, Point2};

/// Height of the narrow part, mm: clear of a shield that stands a little proud (common practice).
const STEP: f64 = 4.0;

/// A ring turned from steel, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct SteelRing {
    /// The band that touches the inner (or only) ring, and the one on the outer ring.
    pub faces: (Band, Option<Band>),
    /// The band the sleeve stands on: the ring's bore and its outside.
    pub back: Band,
    /// Height of the narrow part.
    pub step: f64,
    /// Overall height.
    pub thickness: f64,
}

impl SteelRing {
    /// A ring that carries `force` (N) over from `back` to the faces.
    pub fn new(faces: (Band, Option<Band>), back: Band, force: f64) -> SteelRing {
        let middle = |band: Band| (band.inner + band.outer) / 2.0;
        // Two faces are backed over all their width and bend nothing.
        let arm = if faces.1.is_some() { 0.0 } else { (middle(back) - middle(faces.0)) / 2.0 };
        let flange = strength::steel_ring(force, middle(faces.0), arm).max(3.0);
        SteelRing { faces, back, step: STEP, thickness: STEP + flange }
    }

    /// Its section over the bearing's face: (diameter, height), the bore's side first.
    pub fn section(&self) -> Vec<(f64, f64)> {
        let (first, second) = self.faces;
        let mut points = vec![(first.inner, 0.0), (first.outer, 0.0), (first.outer, self.step)];
        if let Some(outer) = second {
            points.extend([(outer.inner, self.step), (outer.inner, 0.0), (outer.outer, 0.0)]);
            points.push((outer.outer, self.step));
        }
        points.extend([(self.back.outer, self.step), (self.back.outer, self.thickness)]);
        points.extend([(self.back.inner, self.thickness), (self.back.inner, self.step)]);
        points.extend([(first.inner, self.step)]);
        points.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6);
        points
    }

    /// The section as a profile to be revolved, each height mapped by `height`.
    pub fn profile(&self, height: impl Fn(f64) -> f64) -> Loop {
        let at = |&(diameter, over): &(f64, f64)| Point2::new(diameter / 2.0, height(over));
        Loop::polygon(&self.section().iter().map(at).collect::<Vec<_>>()).oriented(true)
    }

    /// Its sizes in words, as one asks a turner for it.
    pub fn words(&self) -> String {
        let (first, second) = self.faces;
        let mm = crate::error::hundredth;
        let face = match second {
            None => format!("face {} to {}", mm(first.inner), mm(first.outer)),
            Some(outer) => format!(
                "faces {} to {} and {} to {}",
                mm(first.inner),
                mm(first.outer),
                mm(outer.inner),
                mm(outer.outer)
            ),
        };
        format!(
            "bore {}, outside {}, {} thick; {face}, {} high; both sides flat and parallel within 0.02",
            mm(self.back.inner),
            mm(self.back.outer),
            mm(self.thickness),
            mm(self.step)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ring_of_an_inner_ring_is_narrow_at_the_bearing_and_wide_at_the_sleeve() {
        let face = Band { inner: 23.0, outer: 25.5 };
        let back = Band { inner: 20.5, outer: 40.0 };
        let ring = SteelRing::new((face, None), back, 5000.0);
        assert!(ring.thickness >= STEP + 3.0);
        let profile = ring.profile(|over| over);
        assert!(profile.check().is_ok());
        let area = (25.5 - 23.0) / 2.0 * STEP + (40.0 - 20.5) / 2.0 * (ring.thickness - STEP);
        assert!((profile.area().abs() - area).abs() < 1e-9);
        assert!(ring.words().contains("bore 20.5, outside 40"));
        let both = SteelRing::new((face, Some(Band { inner: 38.0, outer: 45.0 })), back, 5000.0);
        assert_eq!(both.thickness, STEP + 3.0);
    }
}
