//! A shaded picture of the part, hidden surfaces removed, from triangles to PNG and SVG.
//!
//! The picture is axonometric (ISO 5456-3), isometric unless another view is asked for. The printed
//! part is drawn solid in one colour; the bodies it works with (bearing, shaft, belt, cables) are
//! its company and are drawn faintly in place, so that nobody takes them for something to print. A
//! quarter or half of a body may be cut away to show its inside; the cut faces carry another colour
//! and a hatch, so that they tell in black and white too.
//!
//! One road for both formats: `raster` finds what each sample of a fine grid sees (which smooth
//! face, how far, how bright), `paint` turns the samples into pixels, and `trace` walks round
//! each face's samples and writes it as a filled outline. Cutting is done along each line of sight
//! by keeping count of where it enters and leaves the solid, so it needs no second mesh and no
//! boolean. The same scene gives the same bytes.

mod camera;
mod paint;
mod raster;
mod surface;
mod trace;

use crate::design::Design;
use crate::error::{Error, Result, within};
use crate::solid::{Frame, Mesh, Point3, Vector3};
use rayon::prelude::*;

pub use camera::View;

/// What a body is to the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Printed: solid colour, dark edges.
    Part,
    /// Works with the part but is not printed: pale, translucent, light edges.
    Company,
}

/// One body in the picture.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its closed mesh, mm.
    pub mesh: Mesh,
    /// What it is to the picture.
    pub role: Role,
    /// Whether the scene's cut goes through it. Shafts, rods and screws are left whole by the
    /// custom of section drawing (ISO 128-3).
    pub cut: bool,
}

/// How much of the cut bodies is taken away, towards the viewer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cut {
    /// Nothing.
    #[default]
    None,
    /// The quarter between the two upright planes through the scene's axis that face the viewer.
    Quarter,
    /// The half in front of the upright plane through the scene's axis that is square to the line
    /// of sight.
    Half,
}

/// What is drawn, from where, and what is cut away.
#[derive(Clone, Debug)]
pub struct Scene {
    /// The bodies, in one system of coordinates, z up.
    pub figures: Vec<Figure>,
    /// Where it is seen from.
    pub view: View,
    /// What is cut away.
    pub cut: Cut,
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

impl Scene {
    /// A scene of printed parts in the isometric view.
    pub fn of_parts(meshes: impl IntoIterator<Item = Mesh>) -> Self {
        let figures = meshes.into_iter().map(|mesh| Figure { mesh, role: Role::Part, cut: true }).collect();
        Self { figures, view: View::ISOMETRIC, cut: Cut::None }
    }

    /// The same scene with one more body that is not printed; `cut` as in [`Figure`].
    pub fn with_company(mut self, mesh: Mesh, cut: bool) -> Self {
        self.figures.push(Figure { mesh, role: Role::Company, cut });
        self
    }

    /// A design's printed pieces, side by side as they lie on the bed; or with `in_place` those that
    /// are mounted together, else the first, and the bodies they work with. Seen from the side that
    /// shows most.
    ///
    /// A sleeve in place is shown with a quarter cut away, since what it does is inside. Fails when a
    /// body of the company cannot be tessellated.
    pub fn of_design(design: &Design, in_place: bool) -> Result<Self> {
        let mut figures = Vec::new();
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
            let mut mesh = piece.mesh.clone();
            mesh.points.iter_mut().for_each(|p| *p += by);
            end = Some(bounds.most.x + across);
            figures.push(Figure { mesh, role: Role::Part, cut: true });
        }
        let scene = Scene { figures, view: View::ISOMETRIC, cut: Cut::None };
        let mut scene = match design.stands.filter(|_| in_place) {
            Some(axes) => scene.seen_on(&axes),
            None => scene,
        };
        if in_place {
            for mating in &design.mating {
                let mut mesh = mating.body.mesh(design.chord_tolerance)?;
                if let Some(axes) = design.stands {
                    stand_on(&mut mesh, &axes);
                }
                scene = scene.with_company(mesh, !mating.whole);
            }
        }
        let mut scene = scene.on_the_side_that_shows_most(in_place && design.stands.is_some());
        if in_place && design.cut == crate::design::Cut::Quarter {
            scene.cut = Cut::Quarter;
        }
        Ok(scene)
    }

    /// The same bodies with these axes as the scene's own.
    fn seen_on(mut self, axes: &Frame) -> Self {
        for figure in &mut self.figures {
            stand_on(&mut figure.mesh, axes);
        }
        self
    }

    /// The same scene with something cut away.
    pub fn with_cut(self, cut: Cut) -> Self {
        Self { cut, ..self }
    }

    /// The picture as a PNG file's bytes, `width` × `height` pixels of 8-bit RGB on white.
    ///
    /// Fails when a side is not 16 to 6000 pixels, or the scene holds no triangle or a corner that
    /// is not finite.
    pub fn png(&self, width: u32, height: u32) -> Result<Vec<u8>> {
        self.check(width, height)?;
        let samples = raster::Samples::take(self, width, height, paint::SUPERSAMPLING);
        paint::png(self, &samples)
    }

    /// The picture as an SVG document of `width` × `height` user units (CSS pixels): one outline a
    /// face, no raster image inside.
    ///
    /// Fails as [`Scene::png`] does.
    pub fn svg(&self, width: u32, height: u32) -> Result<String> {
        self.check(width, height)?;
        let samples = raster::Samples::take(self, width, height, paint::SUPERSAMPLING);
        Ok(trace::svg(self, &samples))
    }

    /// Both at once, at the cost of little more than one.
    ///
    /// Fails as [`Scene::png`] does.
    pub fn png_and_svg(&self, width: u32, height: u32) -> Result<(Vec<u8>, String)> {
        self.check(width, height)?;
        let samples = raster::Samples::take(self, width, height, paint::SUPERSAMPLING);
        Ok((paint::png(self, &samples)?, trace::svg(self, &samples)))
    }

    /// The same scene seen from the one of the four upper corners (or of the two in front) that
    /// shows the most: of what works with the part where there is such (the part alone has a picture
    /// of its own), else of the part, how many faces it shows and how evenly. The front right corner
    /// wins a draw.
    pub(super) fn on_the_side_that_shows_most(mut self, in_front: bool) -> Self {
        if self.check(160, 160).is_err() {
            return self;
        }
        let score = |azimuth: f64| {
            let scene = Scene { view: View { azimuth, ..self.view }, ..self.clone() };
            raster::Samples::take(&scene, 160, 160, 1).worth()
        };
        let corners = [1.0, -1.0, 3.0, -3.0].map(|quarter| quarter * std::f64::consts::FRAC_PI_4);
        let corners = if in_front { &corners[..2] } else { &corners };
        let mut best = (corners[0], score(corners[0]) * 1.05);
        for &azimuth in &corners[1..] {
            let worth = score(azimuth);
            if worth > best.1 {
                best = (azimuth, worth);
            }
        }
        self.view.azimuth = best.0;
        self
    }

    /// The largest picture within these pixels that has the scene's own shape, but neither side less
    /// than two thirds of what is allowed.
    pub fn frame(&self, width: u32, height: u32) -> (u32, u32) {
        if self.check(width, height).is_err() {
            return (width, height);
        }
        let (w, h) = (f64::from(width), f64::from(height));
        let shape = camera::Camera::shape(self).clamp(w / h * 2.0 / 3.0, w / h * 1.5);
        ((w.min(h * shape)).round() as u32, (h.min(w / shape)).round() as u32)
    }

    /// The bench the printed parts stand on, and how the light falls on it; none where something
    /// not printed reaches below it, or where it is not seen from above.
    fn bench(&self) -> Option<Bench> {
        let height = self.corners(Some(Role::Part)).map(|p| p.z).reduce(f64::min)?;
        let lowest = self.corners(None).map(|p| p.z).reduce(f64::min)?;
        if lowest < height - 1e-6 || self.view.elevation < 0.1 {
            return None;
        }
        let axes = self.view.axes();
        // A high light from the upper left: the shadow falls to the right and back.
        let fall = axes.right * 0.30 - axes.toward * 0.10 - Vector3::z();
        Some(Bench { height, fall })
    }

    fn check(&self, width: u32, height: u32) -> Result<()> {
        within("the picture's width", f64::from(width), SIDE.0, SIDE.1, "pixels")?;
        within("the picture's height", f64::from(height), SIDE.0, SIDE.1, "pixels")?;
        let mut corners = 0usize;
        for figure in &self.figures {
            let points = &figure.mesh.points;
            let sound =
                figure.mesh.triangles.iter().flatten().all(|&at| {
                    points.get(at as usize).is_some_and(|p| p.coords.iter().all(|c| c.is_finite()))
                });
            if !sound {
                return Err(Error::internal(
                    "A mesh to be drawn has a corner that is missing or not finite.",
                ));
            }
            corners += figure.mesh.triangles.len();
        }
        if corners == 0 {
            return Err(Error::internal("A picture was asked for of a scene without a triangle."));
        }
        Ok(())
    }

    /// The corners in use, of the bodies with this role or of all.
    fn corners(&self, role: Option<Role>) -> impl Iterator<Item = &Point3> {
        self.figures.iter().filter(move |figure| role.is_none_or(|role| figure.role == role)).flat_map(
            |figure| figure.mesh.triangles.iter().flatten().map(|&at| &figure.mesh.points[at as usize]),
        )
    }

    /// The upright axis the cut planes go through: the middle of the printed parts' box.
    fn axis(&self) -> Point3 {
        let parts = || self.corners(Some(Role::Part));
        let role = if parts().next().is_some() { Some(Role::Part) } else { None };
        let (mut least, mut most) = (Point3::from([f64::MAX; 3]), Point3::from([f64::MIN; 3]));
        for p in self.corners(role) {
            (least, most) = (least.inf(p), most.sup(p));
        }
        nalgebra::center(&least, &most)
    }

    /// The planes that bound what is cut away: a point is cut where it lies in front of all.
    /// Each is its outward normal (towards what is cut away) and a point on it.
    fn cut_planes(&self) -> Vec<(Vector3, Point3)> {
        let axis = self.axis();
        let toward = self.view.axes().toward;
        let level = Vector3::new(toward.x, toward.y, 0.0);
        let Some(level) = level.try_normalize(1e-9) else {
            return Vec::new();
        };
        match self.cut {
            Cut::None => Vec::new(),
            Cut::Half => vec![(level, axis)],
            Cut::Quarter => {
                let turn = std::f64::consts::FRAC_PI_4;
                [turn, -turn]
                    .map(|by| (nalgebra::Rotation3::from_axis_angle(&Vector3::z_axis(), by) * level, axis))
                    .to_vec()
            }
        }
    }
}

/// Puts a mesh on these axes in place of the world's.
fn stand_on(mesh: &mut Mesh, axes: &Frame) {
    for p in &mut mesh.points {
        let across = axes.project(*p);
        *p = Point3::new(across.x, across.y, axes.height(*p));
    }
}

/// The level the parts stand on.
struct Bench {
    height: f64,
    /// The way the light goes.
    fall: Vector3,
}

impl Bench {
    /// Where a point's shadow falls.
    fn shadow_of(&self, p: &Point3) -> Point3 {
        p + self.fall * ((p.z - self.height) / -self.fall.z)
    }
}

#[cfg(test)]
mod tests;
