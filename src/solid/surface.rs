//! The four surfaces faces lie on, each with two parameters (u, v).
//!
//! | surface | u | v | the side its normal points to |
//! |---|---|---|---|
//! | plane | mm along x | mm along y | z of its frame |
//! | cylinder | angle round the axis | mm along the axis | away from the axis |
//! | cone | angle round the axis | mm along the axis | away from the axis |
//! | torus, sphere | angle round the axis | angle round the tube | out of the tube |
//!
//! A surface is kept in one canonical frame, settled by its own geometry alone, so that two faces
//! on the same plane or cylinder share their parameters wherever they came from.

use super::frame::{Frame, tidy};
use super::piece::unit;
use super::{EPSILON, Point2, Point3, Region, Vector3};
use std::f64::consts::TAU;

/// A surface in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Origin and axes; round surfaces turn about z.
    pub frame: Frame,
    /// What surface it is.
    pub kind: Kind,
}

/// The kinds of surface and their sizes (mm).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// The x-y plane of the frame.
    Plane,
    /// Round the z axis.
    Cylinder {
        /// The radius.
        radius: f64,
    },
    /// Round the z axis; at height v its radius is `radius + slope v`.
    Cone {
        /// The radius at the frame's origin.
        radius: f64,
        /// Growth of the radius along z: the tangent of the half angle, never 0.
        slope: f64,
    },
    /// Round the z axis; a sphere where `major` is 0.
    Torus {
        /// From the axis to the middle of the tube (at the frame's height 0).
        major: f64,
        /// The radius of the tube.
        minor: f64,
    },
}

/// How parameters change when a surface is brought into its canonical frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Change {
    /// New u and v are `m · (u, v) + by`.
    m: [[f64; 2]; 2],
    by: [f64; 2],
    /// Whether left becomes right.
    pub mirrors: bool,
    /// Whether the surface's normal now points the other way.
    pub flips: bool,
}

impl Change {
    pub fn apply(&self, p: Point2) -> Point2 {
        let row = |i: usize| self.m[i][0] * p.x + self.m[i][1] * p.y + self.by[i];
        Point2::new(row(0), row(1))
    }

    pub fn region(&self, region: &Region) -> Region {
        region.mapped(|p| self.apply(p), self.mirrors)
    }
}

impl Surface {
    /// A plane; its normal is the frame's z.
    pub fn plane(frame: Frame) -> Self {
        Self { frame, kind: Kind::Plane }
    }

    /// Whether it turns about its frame's z axis.
    pub fn is_round(&self) -> bool {
        !matches!(self.kind, Kind::Plane)
    }

    /// The radius of its level circle at `v`; 0 for a plane.
    pub fn radius(&self, v: f64) -> f64 {
        match self.kind {
            Kind::Plane => 0.0,
            Kind::Cylinder { radius } => radius,
            Kind::Cone { radius, slope } => radius + slope * v,
            Kind::Torus { major, minor } => major + minor * v.cos(),
        }
    }

    /// Distance along the axis at `v`, from the frame's origin.
    pub(crate) fn height(&self, v: f64) -> f64 {
        match self.kind {
            Kind::Torus { minor, .. } => minor * v.sin(),
            _ => v,
        }
    }

    /// The point at (u, v).
    pub fn point(&self, p: Point2) -> Point3 {
        match self.kind {
            Kind::Plane => self.frame.point(p),
            _ => {
                self.frame.point(Point2::from(unit(p.x) * self.radius(p.y))) + self.frame.z * self.height(p.y)
            }
        }
    }

    /// The unit normal at (u, v), on the side the table above names.
    pub fn normal(&self, p: Point2) -> Vector3 {
        let radial = || self.frame.x * p.x.cos() + self.frame.y * p.x.sin();
        match self.kind {
            Kind::Plane => self.frame.z,
            Kind::Cylinder { .. } => radial(),
            Kind::Cone { slope, .. } => (radial() - self.frame.z * slope).normalize(),
            Kind::Torus { .. } => radial() * p.y.cos() + self.frame.z * p.y.sin(),
        }
    }

    /// The parameters of the point of the surface nearest to `p` (exact for points on it). Angles
    /// lie within half a turn of 0; a point on the axis gets u = 0.
    pub fn parameters(&self, p: Point3) -> Point2 {
        let (foot, height) = (self.frame.project(p), self.frame.height(p));
        let radius = foot.coords.norm();
        let u = if radius < EPSILON * 1e-3 { 0.0 } else { foot.y.atan2(foot.x) };
        match self.kind {
            Kind::Plane => foot,
            Kind::Torus { major, .. } => Point2::new(u, height.atan2(radius - major)),
            _ => Point2::new(u, height),
        }
    }

    /// A region of this surface brought to its first turn: angles round the axis begin in 0..τ and
    /// angles round a tube in −π..π.
    pub(crate) fn settled(&self, region: &Region) -> Region {
        if !self.is_round() {
            return region.clone();
        }
        let low = region.bounds().0;
        let u = -((low.x + 1e-9) / TAU).floor() * TAU;
        let torus = matches!(self.kind, Kind::Torus { .. });
        let v = if torus { -((low.y + 1e-9) / TAU + 0.5).floor() * TAU } else { 0.0 };
        region.moved(super::Vector2::new(u, v))
    }

    /// How far `p` lies from the surface on the side its normal points to, mm; negative behind it.
    /// Along the normal for all but the cone's inside beyond its apex.
    pub fn distance(&self, p: Point3) -> f64 {
        let (radius, height) = (self.frame.project(p).coords.norm(), self.frame.height(p));
        match self.kind {
            Kind::Plane => height,
            Kind::Cylinder { radius: r } => radius - r,
            Kind::Cone { radius: r, slope } => (radius - r - slope * height) / (1.0 + slope * slope).sqrt(),
            Kind::Torus { major, minor } => (radius - major).hypot(height) - minor,
        }
    }

    /// Whether the two are the same surface within [`EPSILON`], both being canonical.
    pub(crate) fn same(&self, other: &Surface) -> bool {
        let (a, b) = (&self.frame, &other.frame);
        let near = |a: f64, b: f64| (a - b).abs() < EPSILON;
        let axes = (a.z - b.z).amax() < 1e-9;
        let origin = (a.origin - b.origin).amax() < EPSILON;
        axes && origin
            && match (self.kind, other.kind) {
                (Kind::Plane, Kind::Plane) => true,
                (Kind::Cylinder { radius: a }, Kind::Cylinder { radius: b }) => near(a, b),
                (Kind::Cone { radius: a, slope: s }, Kind::Cone { radius: b, slope: t }) => {
                    near(a, b) && (s - t).abs() < 1e-9
                }
                (Kind::Torus { major: a, minor: s }, Kind::Torus { major: b, minor: t }) => {
                    near(a, b) && near(s, t)
                }
                _ => false,
            }
    }

    /// Whether both are round and share their axis.
    pub(crate) fn coaxial(&self, other: &Surface) -> bool {
        let d = other.frame.origin - self.frame.origin;
        self.is_round()
            && other.is_round()
            && self.frame.z.cross(&other.frame.z).amax() < 1e-9
            && (d - self.frame.z * d.dot(&self.frame.z)).amax() < EPSILON
    }

    /// The same surface in its canonical frame, and what that does to its parameters.
    pub(crate) fn canonical(&self) -> (Surface, Change) {
        let old = &self.frame;
        let z = upright(tidy(old.z));
        let sign = z.dot(&old.z).signum();
        match self.kind {
            Kind::Plane => {
                let frame = Frame::along(Point3::from(z * old.origin.coords.dot(&z)), z);
                let dot = |a: Vector3, b: Vector3| a.dot(&b);
                let by = frame.project(old.origin);
                let m =
                    [[dot(old.x, frame.x), dot(old.y, frame.x)], [dot(old.x, frame.y), dot(old.y, frame.y)]];
                let change = Change { m, by: [by.x, by.y], mirrors: sign < 0.0, flips: sign < 0.0 };
                (Surface::plane(frame), change)
            }
            kind => {
                let along = old.origin.coords.dot(&z);
                let foot = Point3::from(old.origin.coords - z * along);
                // A torus keeps its own height; the others start where the axis passes the world's origin.
                let torus = matches!(kind, Kind::Torus { .. });
                let frame = Frame::along(if torus { foot + z * along } else { foot }, z);
                let u = frame.y.dot(&old.x).atan2(frame.x.dot(&old.x));
                let shift = if torus { 0.0 } else { along };
                let kind = match kind {
                    Kind::Cone { radius, slope } => {
                        Kind::Cone { radius: radius - sign * slope * shift, slope: sign * slope }
                    }
                    other => other,
                };
                let change = Change {
                    m: [[sign, 0.0], [0.0, sign]],
                    by: [near_turn(u), shift],
                    mirrors: false,
                    flips: false,
                };
                (Surface { frame, kind }, change)
            }
        }
    }
}

/// 0 for angles that are 0 or a full turn but for rounding.
fn near_turn(u: f64) -> f64 {
    if u.abs() < 1e-12 || (u.abs() - TAU).abs() < 1e-12 { 0.0 } else { u }
}

/// The one of `z` and `−z` whose first component that is not nought, from the last, is positive.
fn upright(z: Vector3) -> Vector3 {
    let lead = [z.z, z.y, z.x].into_iter().find(|c| c.abs() > 1e-9).unwrap_or(1.0);
    if lead < 0.0 { -z } else { z }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_canonical_frame_keeps_every_point_where_it_was() {
        let turned = Frame::new(
            Point3::new(3.0, -4.0, 5.0),
            Vector3::new(0.3, -0.7, -0.2),
            Vector3::new(1.0, 1.0, 0.3),
        )
        .unwrap();
        let kinds = [
            Kind::Plane,
            Kind::Cylinder { radius: 4.0 },
            Kind::Cone { radius: 4.0, slope: -0.3 },
            Kind::Torus { major: 6.0, minor: 2.0 },
        ];
        for kind in kinds {
            let surface = Surface { frame: turned, kind };
            let (canonical, change) = surface.canonical();
            for p in [Point2::new(0.3, 0.9), Point2::new(-1.2, 2.0)] {
                let q = change.apply(p);
                assert!((surface.point(p) - canonical.point(q)).norm() < 1e-9, "{kind:?}");
                let sign = if change.flips { -1.0 } else { 1.0 };
                assert!((surface.normal(p) - canonical.normal(q) * sign).norm() < 1e-9, "{kind:?}");
                assert!(canonical.distance(surface.point(p)).abs() < 1e-9, "{kind:?}");
                let out = surface.point(p) + surface.normal(p) * 0.5;
                assert!((surface.distance(out) - 0.5).abs() < 1e-9, "{kind:?}");
                assert!(
                    (canonical.point(canonical.parameters(surface.point(p))) - surface.point(p)).norm()
                        < 1e-9
                );
            }
            assert!(canonical.canonical().0.same(&canonical));
        }
    }
}
