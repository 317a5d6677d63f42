//! The sleeve's shape: from its resolved dimensions to the closed profile that is revolved.
//!
//! Heights are measured from the nose face towards the drive end while the profile is laid out; the
//! last step turns it the way it prints. All slopes are 45°, so neither lie needs support.

use crate::solid::Point2;

/// A ring-shaped face by its two diameters, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Inner diameter.
    pub inner: f64,
    /// Outer diameter.
    pub outer: f64,
}

impl Band {
    /// Radial width, mm.
    pub fn width(&self) -> f64 {
        (self.outer - self.inner) / 2.0
    }
}

/// A length of bore: its diameter down to a depth behind the nose face, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoreStep {
    /// Diameter.
    pub diameter: f64,
    /// Depth behind the nose face at which it ends.
    pub to: f64,
}

/// How the drive end is closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// The bore runs through.
    Open,
    /// A flat plate.
    Flat,
    /// A plate with a clearance hole for a rod, its face the washer's seat.
    Rod {
        /// Diameter of the clearance hole.
        hole: f64,
    },
    /// A conical roof, and outside it a recess for a steel washer over a hole for the shank of the screw whose
    /// head a puller's point presses.
    Puller {
        /// Diameter of the recess.
        recess: f64,
        /// Depth of the recess.
        recess_depth: f64,
        /// Diameter of the shank's hole.
        shank: f64,
        /// Depth of that hole under the washer.
        shank_depth: f64,
    },
}

/// Every dimension the profile needs, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// The face that touches the bearing: the only one, or the one on the inner ring.
    pub contact: Band,
    /// A second face, on the outer ring, when both rings are pressed at once.
    pub outer_contact: Option<Band>,
    /// Depth of the relief between the two faces.
    pub relief: f64,
    /// The bore, narrowing with depth; the last step ends at the floor (or at the open end).
    pub bore: Vec<BoreStep>,
    /// Outer diameter of the nose.
    pub nose_diameter: f64,
    /// Length of the nose before the body grows.
    pub nose_length: f64,
    /// Outer diameter of the body.
    pub body_diameter: f64,
    /// Thickness of the end plate at its thinnest; unused for an open end.
    pub end_thickness: f64,
    /// How the drive end is closed.
    pub end: End,
    /// How the profile is drawn that it comes out so.
    pub drawn: Drawn,
}

/// What a printer's errors change in the drawn profile, mm: every other dimension is what the print is to have.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Drawn {
    /// Added to the edge on an outer ring that looks towards the shield, which comes out smaller as a hole does.
    pub inside: f64,
    /// Added to the outside's diameters.
    pub outside: f64,
    /// How far a face that lies on the bed is drawn back at both its edges, for the first layer's bulge.
    pub relief: f64,
}

/// Chamfer on the rim that lies on the bed, mm: a first layer spreads by about this much (common practice).
pub const FOOT_CHAMFER: f64 = 0.5;

/// Chamfer in the corner between bore and floor, mm, against the notch a sharp corner would be.
const FLOOR_CHAMFER: f64 = 1.5;

impl Shape {
    /// Whether it prints standing on its nose. A puller's recess opens upward only so.
    pub fn nose_down(&self) -> bool {
        matches!(self.end, End::Puller { .. })
    }

    /// Depth of the floor behind the nose face; for an open end the whole length.
    pub fn floor(&self) -> f64 {
        self.bore.last().map_or(0.0, |step| step.to)
    }

    /// Overall length.
    pub fn length(&self) -> f64 {
        match self.end {
            End::Open => self.floor(),
            End::Flat | End::Rod { .. } => self.floor() + self.end_thickness,
            End::Puller { recess_depth, shank_depth, .. } => {
                self.apex() + self.end_thickness + shank_depth + recess_depth
            }
        }
    }

    /// Height of the tip of a conical roof over the nose face.
    fn apex(&self) -> f64 {
        self.floor() + self.bore.last().map_or(0.0, |step| step.diameter / 2.0)
    }

    /// The outermost face's outer diameter.
    pub fn face_outer(&self) -> f64 {
        self.outer_contact.unwrap_or(self.contact).outer
    }

    /// The nose face as it is drawn, from the innermost edge to the outermost.
    pub fn drawn_face(&self) -> Band {
        let relief = if self.nose_down() { self.drawn.relief } else { 0.0 };
        Band {
            inner: self.contact.inner
                + 2.0 * relief
                + if self.outer_contact.is_none() { self.drawn.inside } else { 0.0 },
            outer: self.face_outer() + self.drawn.outside - 2.0 * relief,
        }
    }

    /// Least wall of the nose, mm: where two rings are pressed, the lesser of the two.
    pub fn least_nose_wall(&self) -> f64 {
        let bore = self.bore.first().map_or(0.0, |step| step.diameter);
        match self.outer_contact {
            None => (self.nose_diameter - bore) / 2.0,
            Some(outer) => ((self.contact.outer - bore) / 2.0).min((self.nose_diameter - outer.inner) / 2.0),
        }
    }

    /// A height over the nose face as it stands on the bed.
    pub fn on_bed(&self, over_nose: f64) -> f64 {
        if self.nose_down() { over_nose } else { self.length() - over_nose }
    }

    /// The profile's corners, counter-clockwise.
    pub fn corners(&self) -> Vec<Point2> {
        let mut points = self.inside();
        points.extend(self.outside());
        points.extend(self.face());
        let length = self.length();
        let mut printed: Vec<Point2> = points
            .into_iter()
            .map(|(diameter, z)| Point2::new(diameter / 2.0, if self.nose_down() { z } else { length - z }))
            .collect();
        printed.dedup_by(|a, b| (*a - *b).norm() < 1e-6);
        // Laid out from the nose it runs clockwise; turned over it runs counter-clockwise.
        if self.nose_down() {
            printed.reverse();
        }
        printed
    }

    /// From the face's inner edge up the bore to the drive end: (diameter, height over the nose face).
    fn inside(&self) -> Vec<(f64, f64)> {
        let mut diameter = self.drawn_face().inner;
        let mut points = vec![(diameter, 0.0)];
        let mut z = 0.0;
        for step in &self.bore {
            // 45°: as far up as the radius narrows.
            points.push((step.diameter, z + (diameter - step.diameter) / 2.0));
            diameter = step.diameter;
            z = step.to;
            points.push((diameter, z));
        }
        let length = self.length();
        match self.end {
            End::Open => {
                points.pop();
                points.extend([(diameter, length - FOOT_CHAMFER), (diameter + 2.0 * FOOT_CHAMFER, length)]);
            }
            End::Flat => {
                points.pop();
                points.extend(self.floor_corner(diameter, 0.0));
                points.extend([(0.0, z), (0.0, length)]);
            }
            End::Rod { hole } => {
                points.pop();
                points.extend(self.floor_corner(diameter, hole));
                points.extend([
                    (hole, z),
                    (hole, length - FOOT_CHAMFER),
                    (hole + 2.0 * FOOT_CHAMFER, length),
                ]);
            }
            End::Puller { recess, recess_depth, shank, shank_depth } => {
                let seat = length - recess_depth;
                points.extend([
                    (0.0, self.apex()),
                    (0.0, seat - shank_depth),
                    (shank, seat - shank_depth),
                    (shank, seat),
                    (recess, seat),
                    (recess, length),
                ]);
            }
        }
        points
    }

    /// The chamfer between bore and floor, left out where the hole leaves no room for it, at most half as
    /// high as the last step of the bore.
    fn floor_corner(&self, bore: f64, hole: f64) -> Vec<(f64, f64)> {
        let floor = self.floor();
        let from = self.bore.iter().rev().nth(1).map_or(0.0, |step| step.to);
        let chamfer = FLOOR_CHAMFER.min((bore - hole) / 4.0).min((floor - from) / 2.0).max(0.0);
        vec![(bore, floor - chamfer), (bore - 2.0 * chamfer, floor)]
    }

    /// From the drive end's rim down the outside to the face's outer edge.
    fn outside(&self) -> Vec<(f64, f64)> {
        let length = self.length();
        let [body, nose] = [self.body_diameter, self.nose_diameter].map(|d| d + self.drawn.outside);
        let face = self.drawn_face().outer;
        let flare = (body - nose) / 2.0;
        let mut points = vec![(body - 2.0 * FOOT_CHAMFER, length), (body, length - FOOT_CHAMFER)];
        if flare > 0.0 {
            points.extend([(body, self.nose_length + flare), (nose, self.nose_length)]);
        }
        points.extend([(nose, (nose - face) / 2.0), (face, 0.0)]);
        points
    }

    /// Along the nose face inwards: nothing for one ring, the relief for two.
    fn face(&self) -> Vec<(f64, f64)> {
        let Some(outer) = self.outer_contact else {
            return Vec::new();
        };
        let (from, to) = (outer.inner + self.drawn.inside, self.contact.outer + self.drawn.outside);
        if self.nose_down() {
            // On the bed the relief needs a roof that carries itself.
            let ridge = self.relief + (from - to) / 4.0;
            vec![(from, 0.0), (from, self.relief), ((from + to) / 2.0, ridge), (to, self.relief), (to, 0.0)]
        } else {
            vec![(from, 0.0), (from, self.relief), (to, self.relief), (to, 0.0)]
        }
    }
}
