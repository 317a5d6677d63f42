//! A mounting screw as it concerns what it holds: its clearance hole, head, washer, and how near an edge it may be.

use super::spec::Head;
use crate::catalog::fasteners;
use crate::design::Origin;
use crate::error::{Result, within};
use crate::workshop::Workshop;

/// A mounting screw as it concerns the plate. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Screw {
    /// Thread size.
    pub size: String,
    /// Thread diameter.
    pub thread: f64,
    /// Clearance hole drawn.
    pub hole: f64,
    /// The printer's allowance in that, mm.
    pub allowance: f64,
    /// Head diameter.
    pub head: f64,
    /// Washer's outside diameter.
    pub washer: f64,
    /// Where the values stand.
    pub source: String,
}

impl Screw {
    /// What washer, nut and two turns beyond it take behind the last sheet, mm: 0.2, 0.8 and 0.4 of
    /// the thread. Common practice, no source.
    pub fn beyond(&self) -> f64 {
        1.4 * self.thread
    }

    /// A screw of that size with its head; below M3 button heads are not made and a socket head is
    /// taken.
    pub fn of(size: &str, head: Head, workshop: &Workshop) -> Result<Self> {
        let hole = fasteners::clearance_hole(size)?;
        let made = fasteners::standards(&fasteners::thread(size)?.size);
        let button = fasteners::button_head(size).ok();
        let (head, standard) = match (head, button) {
            (Head::Button, Some(button)) => (button.head_diameter, made.button_head),
            _ => (fasteners::socket_head(size)?.head_diameter, made.socket_head),
        };
        let fasteners::Thread { size: named, diameter, .. } = fasteners::thread(size)?;
        Ok(Self {
            source: format!("{}, head {standard}", Origin::hole(&named)),
            size: named,
            thread: within("--screw", diameter, 2.0, 8.0, "mm")?,
            hole: hole.medium + workshop.printer.hole_allowance,
            allowance: workshop.printer.hole_allowance,
            head,
            washer: fasteners::washer(size)?.outer,
        })
    }

    /// Least distance from the hole to any edge, mm. Common practice: 0.6 times the thread.
    pub fn edge(&self) -> f64 {
        (0.6 * self.thread).max(2.0)
    }
}
