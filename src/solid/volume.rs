//! Exact volumes and areas: closed integrals along the lines and arcs that bound each face.
//!
//! The divergence theorem makes the volume a third of ∮ (x · n) dA over the faces. On a plane x · n
//! is constant and the area follows from the loops. On a round surface, with o the offset of the
//! axis from the reference point and O(u) = ∫ o · e(u) du, Green's theorem turns the integral into
//! one along the upright pieces of the boundary only, each in closed form:
//!
//! - cylinder: x · n dA = (o·e + r) r du dv
//! - cone, r(v) = r₀ + s v: (o·e + r₀ − s o·a) r(v) du dv
//! - torus: (o·e cos v + o·a sin v + R cos v + m) m (R + m cos v) du dv

use super::surface::Kind;
use super::{Body, Point3, Vector3, body::Face};

impl Body {
    /// The exact volume, mm³, from the boundary representation.
    pub fn volume(&self) -> f64 {
        signed_volume(&self.faces)
    }

    /// The exact area of its surface, mm².
    pub fn area(&self) -> f64 {
        self.faces.iter().map(Face::area).sum()
    }
}

/// The volume closed shells enclose; negative for a hollow.
pub(crate) fn signed_volume(faces: &[Face]) -> f64 {
    let about = faces.first().map_or(Point3::origin(), |f| f.bounds.centre());
    let out = |face: &Face| {
        if face.inward { -flux(face, about) } else { flux(face, about) }
    };
    faces.iter().map(out).sum::<f64>() / 3.0
}

impl Face {
    /// The exact area, mm².
    pub fn area(&self) -> f64 {
        let uprights = |f: &dyn Fn(f64) -> f64| self.uprights(|u, v0, v1| u * (f(v1) - f(v0)));
        match self.surface.kind {
            Kind::Plane => self.region.area(),
            Kind::Cylinder { radius } => uprights(&|v| radius * v),
            Kind::Cone { radius, slope } => {
                uprights(&|v| (radius * v + slope * v * v / 2.0) * (1.0 + slope * slope).sqrt())
            }
            Kind::Torus { major, minor } => uprights(&|v| minor * (major * v + minor * v.sin())),
        }
    }

    /// ∮ F dv over the boundary: F takes u, and v before and after.
    fn uprights(&self, f: impl Fn(f64, f64, f64) -> f64) -> f64 {
        self.rims
            .iter()
            .flatten()
            .filter(|side| (side.piece.to.y - side.piece.from.y).abs() > 1e-12)
            .map(|side| f((side.piece.from.x + side.piece.to.x) / 2.0, side.piece.from.y, side.piece.to.y))
            .sum()
    }
}

/// ∮ (x − about) · n dA with the surface's own normal.
fn flux(face: &Face, about: Point3) -> f64 {
    let frame = &face.surface.frame;
    let o: Vector3 = frame.origin - about;
    let (ox, oy, oa) = (o.dot(&frame.x), o.dot(&frame.y), o.dot(&frame.z));
    let swept = |u: f64| ox * u.sin() - oy * u.cos();
    match face.surface.kind {
        Kind::Plane => oa * face.region.area(),
        Kind::Cylinder { radius } => face.uprights(|u, v0, v1| (swept(u) + radius * u) * radius * (v1 - v0)),
        Kind::Cone { radius, slope } => face.uprights(|u, v0, v1| {
            let widths = radius * (v1 - v0) + slope * (v1 * v1 - v0 * v0) / 2.0;
            (swept(u) + (radius - slope * oa) * u) * widths
        }),
        Kind::Torus { major, minor } => face.uprights(|u, v0, v1| {
            // ∫cos v, ∫sin v, ∫cos² v, ∫sin v cos v from v0 to v1.
            let c1 = v1.sin() - v0.sin();
            let s1 = v0.cos() - v1.cos();
            let c2 = (v1 - v0) / 2.0 + ((2.0 * v1).sin() - (2.0 * v0).sin()) / 4.0;
            let sc = (v1.sin().powi(2) - v0.sin().powi(2)) / 2.0;
            let sideways = major * c1 + minor * c2;
            let rest =
                oa * (major * s1 + minor * sc) + major * sideways + minor * (major * (v1 - v0) + minor * c1);
            minor * (swept(u) * sideways + u * rest)
        }),
    }
}
