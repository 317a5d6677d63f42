//! Which way up a bracket prints.

use super::layout::Layout;
use super::spec::Style;
use crate::solid::{Frame, Point2, Point3, Vector3};
use std::f64::consts::PI;

/// Which way up a bracket prints.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Orientation {
    /// A plate on its back, the face that meets the machine and the encoder's flange.
    Back,
    /// A plate on its front, where its back has a recess that must open upwards.
    Face,
    /// A foot on the front of its upright, so that base and gussets stand up from it.
    Front,
    /// A foot on its left end seen from the belt, so that every layer holds the whole L.
    LeftEnd,
    /// A foot on its right end.
    RightEnd,
}

impl Orientation {
    /// The lie of a style: a plate on its back; a foot without end gussets on its end, since there
    /// the bend at the root would pull layers apart; one with gussets on its front, since a gusset
    /// at the upper end would hang in the air and the gussets carry the bend.
    pub fn of(layout: &Layout) -> Orientation {
        match (layout.style, layout.gussets) {
            (Style::Foot, 0) => Orientation::end(layout),
            (Style::Foot, _) => Orientation::Front,
            _ if layout.seat.recess.is_some() => Orientation::Face,
            _ => Orientation::Back,
        }
    }

    /// The end from which the register's peak rises furthest from the flange's screws.
    fn end(layout: &Layout) -> Orientation {
        let nearest = |up: f64| {
            let angle = |at: &Point2| (at.y.atan2(at.x) - up).cos();
            layout.seat.bolts.iter().map(angle).fold(-1.0, f64::max)
        };
        if nearest(0.0) <= nearest(PI) + 1e-9 { Orientation::LeftEnd } else { Orientation::RightEnd }
    }

    /// Towards which angle of the upright, rad, level bores have their peaks, where they lie level.
    pub(super) fn peak(self) -> Option<f64> {
        match self {
            Orientation::LeftEnd => Some(0.0),
            Orientation::RightEnd => Some(PI),
            _ => None,
        }
    }

    /// In words, for the sheet.
    pub fn words(self) -> &'static str {
        match self {
            Orientation::Back => {
                "flat on its back: the face that goes to the machine and to the encoder's flange lies on the bed"
            }
            Orientation::Face => {
                "flat on its front, the face towards the belt, so that the register's recess opens upwards"
            }
            Orientation::Front => {
                "on the front of the upright, the face towards the belt: base and gussets stand up from the bed"
            }
            Orientation::LeftEnd => {
                "on its end, so that every layer holds the whole L: the end that is on the left seen from the belt lies on the bed"
            }
            Orientation::RightEnd => {
                "on its end, so that every layer holds the whole L: the end that is on the right seen from the belt lies on the bed"
            }
        }
    }

    /// Where the working axes stand in the print.
    pub(super) fn frame(self, layout: &Layout) -> Frame {
        let (x, y, z) = (Vector3::x(), Vector3::y(), Vector3::z());
        let (origin, x, y, z) = match self {
            Orientation::Back => (Vector3::new(0.0, 0.0, layout.thick.upright), x, -z, y),
            Orientation::Face | Orientation::Front => (Vector3::zeros(), x, z, -y),
            Orientation::LeftEnd => (Vector3::new(0.0, 0.0, layout.width / 2.0), z, x, y),
            Orientation::RightEnd => (Vector3::new(0.0, 0.0, layout.width / 2.0), -z, -x, y),
        };
        Frame { origin: Point3::from(origin), x, y, z }
    }
}
