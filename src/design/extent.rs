//! Where on a piece a size can be seen: what a drawing may put a figure to, and nowhere else.
//!
//! An [`Extent`] names the very feature it is a size of: the two places it runs between and the
//! direction, or the axis it turns about. So a drawing never has to guess by the number alone, and two
//! sizes that happen to be alike cannot change places.

use crate::solid::{Frame, Point2, Point3, Vector3};

/// A size as a drawing writes it: its name and where it runs, in the coordinates the piece prints in, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is called.
    pub what: String,
    /// Where it runs.
    pub extent: Extent,
}

/// Where a size runs.
#[derive(Clone, Debug, PartialEq)]
pub enum Extent {
    /// Along `along` from one place to another: edges, or centres of something round. The same size
    /// may be taken at any of the pairs.
    Between {
        /// Unit vector.
        along: Vector3,
        /// Pairs of places, each as good as the others.
        places: Vec<[Point3; 2]>,
    },
    /// About an axis.
    Round {
        /// Unit vector.
        axis: Vector3,
        /// Radius, mm.
        radius: f64,
        /// Where the axis passes, at a height at which the wall stands.
        at: Vec<Point3>,
        /// Whether it is told as a diameter, or as a radius.
        diameter: bool,
    },
    /// A line that is not on the solid: a circle of holes, or the middle line of an arc slot.
    Pitch {
        /// Unit vector.
        axis: Vector3,
        /// Its centre.
        centre: Point3,
        /// Radius, mm.
        radius: f64,
        /// Its ends, the short along round, where it is no full circle.
        arc: Option<[Point3; 2]>,
        /// Centres of round features that must lie on it.
        through: Vec<Point3>,
    },
}

/// A place that a drawing letters, so that a table beside it can say what belongs there.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettered {
    /// The letter.
    pub letter: String,
    /// What belongs there.
    pub what: String,
    /// Its middle, in the coordinates the piece prints in.
    pub at: Point3,
    /// Radius that is kept free of the letter, mm.
    pub radius: f64,
    /// Its x and y from the datum that the drawing's caption names, as the drawing shows them, mm.
    pub place: Option<Point2>,
    /// Whether the letter stands on the piece itself, so that a drawing has only to explain it.
    pub raised: bool,
}

/// The letters of drawings: without I, O and Q, which look like figures (common practice).
const LETTERS: &[u8; 23] = b"ABCDEFGHJKLMNPRSTUVWXYZ";

impl Lettered {
    /// A, B, ... Z, AA, AB, ...
    pub fn letter(at: usize) -> String {
        let last = char::from(LETTERS[at % LETTERS.len()]);
        match at / LETTERS.len() {
            0 => last.to_string(),
            round => format!("{}{last}", Self::letter(round - 1)),
        }
    }
}

impl Extent {
    /// A distance between two places.
    pub fn between(along: Vector3, from: Point3, to: Point3) -> Self {
        Self::any_between(along, vec![[from, to]])
    }

    /// A distance that can be taken at any of several places.
    pub fn any_between(along: Vector3, places: Vec<[Point3; 2]>) -> Self {
        Self::Between { along, places }
    }

    /// The diameter of holes or bosses alike.
    pub fn diameter(axis: Vector3, diameter: f64, at: Vec<Point3>) -> Self {
        Self::Round { axis, radius: diameter / 2.0, at, diameter: true }
    }

    /// The radius of roundings alike.
    pub fn radius(axis: Vector3, radius: f64, at: Vec<Point3>) -> Self {
        Self::Round { axis, radius, at, diameter: false }
    }

    /// The value a drawing writes, mm: the distance, diameter or radius.
    pub fn value(&self) -> f64 {
        match self {
            Self::Between { along, places } => {
                places.first().map_or(0.0, |[from, to]| (to - from).dot(along).abs())
            }
            Self::Round { radius, diameter, .. } => radius * if *diameter { 2.0 } else { 1.0 },
            Self::Pitch { radius, arc, .. } => radius * if arc.is_none() { 2.0 } else { 1.0 },
        }
    }

    /// The least and the greatest height it is seen at, mm.
    pub fn heights(&self) -> (f64, f64) {
        let over = |points: &mut dyn Iterator<Item = f64>| {
            points.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), z| (low.min(z), high.max(z)))
        };
        match self {
            Self::Between { places, .. } => over(&mut places.iter().flatten().map(|p| p.z)),
            Self::Round { at, .. } => over(&mut at.iter().map(|p| p.z)),
            Self::Pitch { centre, .. } => (centre.z, centre.z),
        }
    }

    /// The same extent on a piece that was placed in `frame`.
    pub fn placed(mut self, frame: &Frame) -> Self {
        let put = |p: &mut Point3| *p = frame.point3(*p);
        match &mut self {
            Self::Between { along, places } => {
                *along = frame.direction(*along);
                places.iter_mut().flatten().for_each(put);
            }
            Self::Round { axis, at, .. } => {
                *axis = frame.direction(*axis);
                at.iter_mut().for_each(put);
            }
            Self::Pitch { axis, centre, arc, through, .. } => {
                *axis = frame.direction(*axis);
                put(centre);
                arc.iter_mut().flatten().for_each(put);
                through.iter_mut().for_each(put);
            }
        }
        self
    }

    /// The same extent at another height, for one that is the same at every height: across, or about an upright axis.
    pub fn levelled(mut self, z: f64) -> Option<Self> {
        match &mut self {
            Self::Between { along, places } if along.z.abs() < 1e-9 => {
                places.iter_mut().flatten().for_each(|p| p.z = z);
            }
            Self::Round { axis, at, .. } if axis.z.abs() > 1.0 - 1e-9 => at.iter_mut().for_each(|p| p.z = z),
            _ => return None,
        }
        Some(self)
    }

    /// The same extent on a piece that was moved.
    pub fn moved(self, by: Vector3) -> Self {
        self.placed(&Frame::world().moved(by))
    }
}

impl Figure {
    /// A distance between two places.
    pub fn between(what: &str, along: Vector3, from: Point3, to: Point3) -> Self {
        Self { what: what.into(), extent: Extent::between(along, from, to) }
    }

    /// A distance that can be taken at any of several places.
    pub fn any_between(what: &str, along: Vector3, places: Vec<[Point3; 2]>) -> Self {
        Self { what: what.into(), extent: Extent::any_between(along, places) }
    }

    /// The diameter of holes or bosses alike.
    pub fn diameter(what: &str, axis: Vector3, diameter: f64, at: Vec<Point3>) -> Self {
        Self { what: what.into(), extent: Extent::diameter(axis, diameter, at) }
    }

    /// The radius of roundings alike.
    pub fn radius(what: &str, axis: Vector3, radius: f64, at: Vec<Point3>) -> Self {
        Self { what: what.into(), extent: Extent::radius(axis, radius, at) }
    }

    /// The value a drawing writes, mm.
    pub fn value(&self) -> f64 {
        self.extent.value()
    }

    /// The same figure on a piece that was placed in `frame`.
    pub fn placed(self, frame: &Frame) -> Self {
        Self { extent: self.extent.placed(frame), ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_extent_keeps_its_value_wherever_its_piece_is_put() {
        let frame = Frame::facing_minus_y(7.0).moved(Vector3::new(3.0, -2.0, 5.0));
        let (a, b) = (Point3::new(1.0, 2.0, 3.0), Point3::new(1.0, 2.0, 9.5));
        let extents = [
            Extent::between(Vector3::z(), a, b),
            Extent::diameter(Vector3::z(), 8.0, vec![a]),
            Extent::radius(Vector3::x(), 6.0, vec![b]),
        ];
        for (extent, value) in extents.into_iter().zip([6.5, 8.0, 6.0]) {
            assert!((extent.value() - value).abs() < 1e-12);
            let placed = extent.clone().placed(&frame);
            assert!((placed.value() - value).abs() < 1e-12);
            if let (Extent::Between { places, .. }, Extent::Between { places: home, .. }) = (&placed, &extent)
            {
                assert!((places[0][0] - frame.point3(home[0][0])).norm() < 1e-12);
            }
        }
    }
}
