//! The turned steel ring that takes the contact where plastic would crush: narrow where it touches the
//! bearing, wide where the sleeve stands on it.

use super::shape::Band;
use crate::design::{Extent, Origin, Piece, Size};
use crate::error::{Result, hundredth};
use crate::mechanics::strength;
use crate::solid::{Body, Loop, Point2, Point3, Vector3};

/// Height of the narrow part, mm: clear of a shield that stands a little proud (common practice).
const STEP: f64 = 4.0;
/// Chamfer of the edges that the plastic stands on, mm: as much as the sleeve's own broken edge.
const CHAMFER: f64 = 0.2;
/// How flat and parallel both sides are, mm: what a lathe faces without effort (common practice).
const FLAT: f64 = 0.02;
/// What its drawing and its sizes are called by.
const PIECE: &str = "turned-ring";

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
        let (top, broken) = (self.thickness, 2.0 * CHAMFER);
        points.extend([(self.back.outer, self.step), (self.back.outer, top - CHAMFER)]);
        points.extend([(self.back.outer - broken, top), (self.back.inner + broken, top)]);
        points.extend([(self.back.inner, top - CHAMFER), (self.back.inner, self.step)]);
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
        let mm = hundredth;
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
            "bore {}, outside {}, {} thick; {face}, {} high; both sides flat and parallel within {FLAT}",
            mm(self.back.inner),
            mm(self.back.outer),
            mm(self.thickness),
            mm(self.step)
        )
    }

    /// The ring as it is drawn for the turner: its wide side down.
    pub fn piece(&self, ring: &str, chord_tolerance: f64) -> Result<Piece> {
        let body = Body::revolve(&self.profile(|over| self.thickness - over))?;
        let making = vec![
            format!("Both sides flat and parallel within {FLAT} mm."),
            format!(
                "The narrow face free of burr, its edges chamfered by no more than {} mm.",
                CHAMFER / 2.0
            ),
            format!("The edges of the wide side chamfered by {CHAMFER} mm."),
            "Diameters within 0.05 mm, heights within 0.1 mm.".into(),
            "No plain washer in its place: it would rest on shield, seal or cage.".into(),
        ];
        let purpose = format!("Turned ring between sleeve and bearing: its narrow face on the {ring} alone.");
        Ok(Piece::new(PIECE, body, chord_tolerance)?.turned_of(
            "steel, S235 or better (EN 10025-2), turned",
            &purpose,
            making,
        ))
    }

    /// A diameter at a height over the bearing's face, seen on the ring's own drawing.
    pub fn shows_round(&self, size: Size, over: f64) -> Size {
        let at = Point3::new(0.0, 0.0, self.thickness - over);
        let extent = Extent::diameter(Vector3::z(), size.value, vec![at]);
        size.shown_on(PIECE, extent)
    }

    /// A height between two places of the section, each a diameter and a height over the bearing's face.
    fn shows_height(&self, size: Size, from: (f64, f64), to: (f64, f64)) -> Size {
        let at = |side: f64, (diameter, over): (f64, f64)| {
            Point3::new(side * diameter, 0.0, self.thickness - over)
        };
        let places = [-0.5, 0.5].map(|side| [at(side, from), at(side, to)]);
        size.shown_on(PIECE, Extent::any_between(Vector3::z(), places.to_vec()))
    }

    /// Every size it is turned by, but for its faces, which are those that touch.
    pub fn sizes(&self) -> Vec<Size> {
        let origin = || Origin::Formula("land, housing, and the force over the plastic behind it".into());
        let bending = || Origin::Formula("a strip bent about its root, S235 at two thirds of yield".into());
        let practice = |why: &str| Origin::Practice(why.into());
        let (back, top, last) = (self.back, self.thickness, self.faces.1.unwrap_or(self.faces.0));
        let size = |key: &str, label: &str, value: f64, origin: Origin| {
            Size::new(format!("steel_ring_{key}"), format!("turned ring, {label}"), value, origin)
        };
        let middle = self.step + (top - self.step) / 2.0;
        let (broken, edge) = (2.0 * CHAMFER, (back.outer, top - CHAMFER));
        vec![
            self.shows_round(size("bore", "bore", back.inner, origin()), middle),
            self.shows_round(size("outside", "outside", back.outer, origin()), middle),
            self.shows_height(
                size("thickness", "overall", top, bending()),
                (last.outer, 0.0),
                (back.outer - broken, top),
            ),
            self.shows_height(
                size("step", "height of its face", self.step, bending()),
                (last.outer, 0.0),
                (last.outer, self.step),
            ),
            self.shows_height(
                size(
                    "chamfer",
                    "chamfer at the sleeve's side",
                    CHAMFER,
                    practice("the sleeve's broken edge"),
                ),
                edge,
                (back.outer - broken, top),
            ),
            size("flat", "flat and parallel within", FLAT, practice("what a lathe faces without effort")),
        ]
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
        let chamfers = CHAMFER * CHAMFER;
        let area = (25.5 - 23.0) / 2.0 * STEP + (40.0 - 20.5) / 2.0 * (ring.thickness - STEP) - chamfers;
        assert!((profile.area().abs() - area).abs() < 1e-9);
        assert!(ring.words().contains("bore 20.5, outside 40"));
        let both = SteelRing::new((face, Some(Band { inner: 38.0, outer: 45.0 })), back, 5000.0);
        assert_eq!(both.thickness, STEP + 3.0);
    }
}
