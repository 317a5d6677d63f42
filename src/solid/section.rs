//! A body cut open by a plane.

use super::arrangement::Arrangement;
use super::piece::Piece;
use super::surface::Kind;
use super::{Body, EPSILON, Frame, Loop, Point2, Point3, Region};
use crate::error::Result;

/// How far a section's chords may stray where no exact curve can be had, mm.
const FINE: f64 = 0.001;

impl Body {
    /// What lies behind a plane: on the side its z points away from. `None` where that is nothing.
    /// Fails where the plane meets a round face askew, in a curve that is no line or circle.
    pub fn behind(&self, plane: &Frame) -> Result<Option<Body>> {
        let heights = self.corners_of_box().map(|p| plane.height(p));
        let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(h), b.max(h)));
        if low > -EPSILON {
            return Ok(None);
        }
        if high < EPSILON {
            return Ok(Some(self.clone()));
        }
        let bounds = self.bounds();
        let reach = 2.0 * bounds.size().norm() + 1.0;
        let centre = plane.project(bounds.centre());
        let slab = Loop::rectangle(centre, 2.0 * reach, 2.0 * reach)?;
        self.common(&Body::prism_on(plane, &slab.into(), -2.0 * reach, 0.0)?).map(Some)
    }

    /// The section by a plane, on the frame's axes: exact lines and arcs where the plane is square
    /// to the axis of every round face it cuts or contains it, else polygons within a thousandth
    /// of a millimetre. Where the plane lies on a face that looks its way, that face is part of it.
    pub fn section(&self, plane: &Frame) -> Result<Vec<Region>> {
        let Ok(behind) = self.behind(plane) else {
            return self.sliced(plane);
        };
        let on_plane = |body: &Body| -> Vec<Region> {
            let faces = body.faces().iter().filter(|face| {
                let flat = matches!(face.surface.kind, Kind::Plane)
                    && plane.height(face.surface.frame.origin).abs() < EPSILON;
                flat && (face.outward(Point2::origin()) - plane.z).amax() < 1e-9
            });
            faces.map(|face| face.on_frame(plane)).collect()
        };
        Ok(behind.as_ref().map(on_plane).unwrap_or_default())
    }

    fn sliced(&self, plane: &Frame) -> Result<Vec<Region>> {
        let outlines = self.mesh(FINE)?.slice(plane);
        let sides = |points: &Vec<Point2>| {
            (0..points.len())
                .map(|i| Piece::line(points[i], points[(i + 1) % points.len()]))
                .collect::<Vec<_>>()
        };
        Ok(Arrangement::of(&outlines.iter().flat_map(sides).collect::<Vec<_>>()).merged())
    }

    fn corners_of_box(&self) -> impl Iterator<Item = Point3> {
        let bounds = self.bounds();
        (0..8).map(move |bits: usize| {
            Point3::from([0, 1, 2].map(|i| if bits >> i & 1 == 0 { bounds.least[i] } else { bounds.most[i] }))
        })
    }
}
