//! A shaded picture of the part, hidden surfaces removed, from triangles to PNG and SVG.
//!
//! The picture is axonometric (ISO 5456-3), isometric unless another view is asked for. The printed
//! part is drawn solid in one colour; the bodies it works with (bearing, shaft, belt, cables) are
//! its company and are drawn faintly in place, so that nobody takes them for something to print. A
//! quarter or half of a body may be cut away to show its inside; the cut faces carry another colour
//! and a hatch, so that they tell in black and white too.
//!
//! One road for both formats: `lines` are the bodies' own edges and silhouettes as far as they show,
//! `raster` finds what each pixel sees (which smooth face, how far, how bright); `paint` turns both into
//! pixels, and `trace` into filled outlines with lines on top. Cutting is done along each line of sight
//! by keeping count of where it enters and leaves the solid, so it needs no second mesh and no
//! boolean. The same scene gives the same bytes.

mod camera;
mod cutting;
mod lines;
mod paint;
mod raster;
mod shading;
mod surface;
mod trace;
mod viewpoint;

use crate::design::{Cut, Design};
use crate::error::{Error, Result, within};
use crate::solid::{Body, Frame, Mesh, Point3, Vector3};
use camera::Camera;
use cutting::Cutting;
use rayon::prelude::*;
use shading::Bench;
use std::borrow::Cow;

pub use camera::View;

/// What a body is to the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Printed: solid colour, dark edges.
    Part,
    /// Works with the part but is not printed: pale, translucent, light edges.
    Mating,
}

/// One body in the picture.
#[derive(Clone, Debug)]
pub struct Figure<'a> {
    /// The body, whose edges are drawn.
    pub body: &'a Body,
    /// Its closed mesh, mm, which is shaded and hides what is behind.
    pub mesh: Cow<'a, Mesh>,
    /// Where the body's and the mesh's axes stand in the scene.
    pub axes: Frame,
    /// What it is to the picture.
    pub role: Role,
    /// Whether the scene's cut goes through it. Shafts, rods and screws are left whole by the
    /// custom of section drawing (ISO 128-3).
    pub cut: bool,
}

impl Figure<'_> {
    /// The mesh's corners in the scene.
    fn points(&self) -> impl Iterator<Item = Point3> + '_ {
        self.mesh.points.iter().map(|p| self.axes.point3(*p))
    }
}

/// What is drawn, from where, and what is cut away.
#[derive(Clone, Debug)]
pub struct Scene<'a> {
    /// The bodies, in one system of coordinates, z up.
    pub figures: Vec<Figure<'a>>,
    /// Where it is seen from.
    pub view: View,
    /// What is cut away.
    pub cut: Cut,
    /// No mesh strays further from its body, mm.
    pub chord_tolerance: f64,
}

/// A picture of a design, in both formats.
#[derive(Clone, Debug)]
pub struct Shot {
    /// Whether it shows the part in its place, or else as it prints.
    pub in_place: bool,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// The PNG file's bytes.
    pub png: Vec<u8>,
    /// The SVG document.
    pub svg: String,
}

/// Greatest width and height of a design's pictures, pixels: sharp at half the width of an A4 sheet.
const SHOT: (u32, u32) = (1000, 860);

/// The pictures of a design: as it prints, and where it works with something, in its place.
///
/// Fails as [`Scene::png`] does.
pub fn shots(design: &Design) -> Result<Vec<Shot>> {
    let places: &[bool] = if design.mating.is_empty() { &[false] } else { &[false, true] };
    let shot = |&in_place: &bool| {
        let scene = Scene::of_design(design, in_place)?;
        let (width, height) = scene.frame(SHOT.0, SHOT.1);
        let (png, svg) = scene.png_and_svg(width, height)?;
        Ok(Shot { in_place, width, height, png, svg })
    };
    places.par_iter().map(shot).collect()
}

/// Least and greatest width and height of a picture, pixels.
const SIDE: (f64, f64) = (16.0, 6000.0);

impl<'a> Scene<'a> {
    /// An isometric view of these bodies.
    pub fn of(figures: Vec<Figure<'a>>, chord_tolerance: f64) -> Self {
        Self { figures, view: View::ISOMETRIC, cut: Cut::Nothing, chord_tolerance }
    }

    /// A design's printed pieces, side by side as they lie on the bed; or with `in_place` those that
    /// are mounted together, else the first, and the bodies they work with. Seen from the side that
    /// shows most.
    ///
    /// Fails when a body the part works with cannot be tessellated.
    pub fn of_design(design: &'a Design, in_place: bool) -> Result<Self> {
        let stands = design.stands.filter(|_| in_place);
        let mut scene = Scene::of(Vec::new(), design.chord_tolerance);
        let mut end: Option<f64> = None;
        // What works with the part is placed by the first piece.
        for (at, piece) in design.pieces.iter().enumerate() {
            let bounds = piece.body.bounds();
            let gap = 0.1 * bounds.size().x.max(bounds.size().y) + 2.0;
            let across = end.map_or(0.0, |end| end + gap - bounds.least.x);
            let by = match (in_place, piece.place) {
                (true, None) if at > 0 => continue,
                (true, place) => place.unwrap_or_default(),
                (false, _) => Vector3::new(across, 0.0, 0.0),
            };
            end = Some(bounds.most.x + across);
            let (body, mesh) = (&piece.body, Cow::Borrowed(&piece.mesh));
            scene.figures.push(Figure {
                body,
                mesh,
                axes: standing(stands, by),
                role: Role::Part,
                cut: true,
            });
        }
        for mating in design.mating.iter().filter(|_| in_place) {
            let (body, mesh) = (&mating.body, Cow::Owned(mating.body.mesh(design.chord_tolerance)?));
            let axes = standing(stands, Vector3::zeros());
            scene.figures.push(Figure { body, mesh, axes, role: Role::Mating, cut: !mating.whole });
        }
        let cut = if in_place { design.cut } else { Cut::Nothing };
        Ok(Scene { cut, ..scene.on_the_side_that_shows_most() })
    }

    /// The picture as a PNG file's bytes, `width` × `height` pixels of 8-bit RGB on white.
    ///
    /// Fails when a side is not 16 to 6000 pixels, or the scene holds no triangle or a corner that
    /// is not finite.
    pub fn png(&self, width: u32, height: u32) -> Result<Vec<u8>> {
        self.check(width, height)?;
        let (camera, samples, lines) = self.seen(width, height);
        paint::png(self, &camera, &samples, &lines)
    }

    /// As [`Scene::png`], and as an SVG document of `width` × `height` user units (CSS pixels): one
    /// outline a face, no raster image inside.
    ///
    /// Fails as [`Scene::png`] does.
    pub fn png_and_svg(&self, width: u32, height: u32) -> Result<(Vec<u8>, String)> {
        self.check(width, height)?;
        let (camera, samples, lines) = self.seen(width, height);
        let png = paint::png(self, &camera, &samples, &lines)?;
        Ok((png, trace::svg(self, &samples, &lines)))
    }

    fn seen(&self, width: u32, height: u32) -> (Camera, raster::Samples, Vec<lines::Line>) {
        let camera = Camera::framing(self, f64::from(width), f64::from(height));
        let cutting = Cutting::of(self, &camera);
        let samples = raster::Samples::take(self, &camera, &cutting, (width, height));
        let lines = lines::lines(self, &camera, &cutting);
        (camera, samples, lines)
    }

    /// The largest picture within these pixels that has the scene's own shape, but neither side less
    /// than two thirds of what is allowed.
    pub fn frame(&self, width: u32, height: u32) -> (u32, u32) {
        if self.check(width, height).is_err() {
            return (width, height);
        }
        let (w, h) = (f64::from(width), f64::from(height));
        let shape = Camera::shape(self).clamp(w / h * 2.0 / 3.0, w / h * 1.5);
        ((w.min(h * shape)).round() as u32, (h.min(w / shape)).round() as u32)
    }

    fn check(&self, width: u32, height: u32) -> Result<()> {
        within("the picture's width", f64::from(width), SIDE.0, SIDE.1, "pixels")?;
        within("the picture's height", f64::from(height), SIDE.0, SIDE.1, "pixels")?;
        let finite = |p: &Point3| p.coords.iter().all(|c| c.is_finite());
        let sound = |mesh: &Mesh| {
            let missing = |&at: &u32| at as usize >= mesh.points.len();
            mesh.points.iter().all(finite) && !mesh.triangles.iter().flatten().any(missing)
        };
        if !self.figures.iter().all(|figure| sound(&figure.mesh)) {
            return Err(Error::internal("A mesh to be drawn has a corner that is missing or not finite."));
        }
        if self.figures.iter().all(|figure| figure.mesh.triangles.is_empty()) {
            return Err(Error::internal("A picture was asked for of a scene without a triangle."));
        }
        Ok(())
    }

    /// The corners of the bodies with this role, or of all.
    fn points(&self, role: Option<Role>) -> impl Iterator<Item = Point3> + '_ {
        let chosen = self.figures.iter().filter(move |figure| role.is_none_or(|role| figure.role == role));
        chosen.flat_map(Figure::points)
    }
}

/// The axes of a body moved by a displacement, as seen on other axes than the world's.
fn standing(on: Option<Frame>, by: Vector3) -> Frame {
    let Some(on) = on else {
        return Frame::world().moved(by);
    };
    let seen = |v: Vector3| Vector3::new(v.dot(&on.x), v.dot(&on.y), v.dot(&on.z));
    let origin = Point3::from(seen(by - on.origin.coords));
    Frame { origin, x: seen(Vector3::x()), y: seen(Vector3::y()), z: seen(Vector3::z()) }
}

#[cfg(test)]
mod tests;
