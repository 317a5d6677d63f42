//! A screw puller, as pictures show it: two jaws on a yoke, and the screw between them. Only the reach and the
//! thread are sizes; how stout the rest is is drawn by eye.

use crate::design::Mating;
use crate::error::Result;
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Vector3};

/// Where a puller takes hold. Heights in mm along the axis.
pub struct Puller {
    /// Height of the face the jaws hook behind, and of the place the point presses on.
    pub heights: (f64, f64),
    /// How far in the claws reach, and what the jaws go round, mm on the diameter.
    pub claws: (f64, f64),
    /// Diameter of the screw, mm.
    pub screw: f64,
    /// The direction from one jaw to the other.
    pub across: Vector3,
}

impl Puller {
    /// Jaws with their yoke, and the screw.
    pub fn bodies(&self) -> Result<Vec<Mating>> {
        let (hook, tip) = self.heights;
        let up = if tip > hook { 1.0 } else { -1.0 };
        let stout = (0.9 * self.screw).max(4.0);
        let (claw, inside) = (self.claws.0 / 2.0, self.claws.1 / 2.0 + 2.0);
        let outside = inside + stout;
        let (yoke, top) = (tip + up * 3.0 * self.screw, tip + up * (3.0 * self.screw + 1.5 * stout));
        let foot = hook - up * stout;
        let half = [(claw, hook), (inside, hook), (inside, yoke)];
        let outer = [(outside, top), (outside, foot), (claw, foot)];
        let at = |side: f64| move |&(x, z): &(f64, f64)| Point2::new(side * x, z);
        let frame_of_it: Vec<Point2> = half
            .iter()
            .map(at(1.0))
            .chain(half.iter().rev().map(at(-1.0)))
            .chain(outer.iter().rev().map(at(-1.0)))
            .chain(outer.iter().map(at(1.0)))
            .collect();
        let upright = Frame::new(Point3::origin(), self.across.cross(&Vector3::z()), self.across)?;
        let region = Region::new(Loop::polygon(&frame_of_it).oriented(true), vec![])?;
        let jaws = Body::prism_on(&upright, &region, -0.7 * stout, 0.7 * stout)?;
        let (thick, end) = (self.screw, top + up * 2.0 * self.screw);
        let screw = Body::turned(&[
            (0.0, tip),
            (0.3 * thick, tip + up * 0.15 * thick),
            (thick, tip + up * 0.5 * thick),
            (thick, end),
            (0.0, end),
        ])?;
        Ok(vec![
            Mating::beside("jaws of a screw puller", jaws).left_whole(),
            Mating::beside("the puller's screw", screw).left_whole(),
        ])
    }
}
