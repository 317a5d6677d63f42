//! A printer's own errors, fitted from caliper readings on a coupon.
//!
//! * this file: what is read on a coupon ([`Reading`]) and what a reading is made of;
//! * [`readings`]: a readings file, and what is wrong with a bad one;
//! * [`fit`]: least squares from readings to allowances, bulge and scales, each with its uncertainty;
//! * [`correct`]: allowances put right by what was read on a part's print;
//! * [`preset`]: the printer preset that comes of it;
//! * [`used`]: what a part made with such a preset is told of it.

pub mod correct;
pub mod fit;
pub mod preset;
pub mod readings;
pub mod used;

pub use crate::design::Feature;
use serde::Serialize;

/// Along which of the printer's axes a reading runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Axis {
    /// Left and right.
    X,
    /// To and fro.
    Y,
    /// Upwards.
    Z,
    /// A diameter, taken several ways round.
    Round,
}

impl Axis {
    /// How much of a length's scale error each axis brings.
    pub(crate) fn shares(self) -> [f64; 3] {
        match self {
            Axis::X => [1.0, 0.0, 0.0],
            Axis::Y => [0.0, 1.0, 0.0],
            Axis::Z => [0.0, 0.0, 1.0],
            Axis::Round => [0.5, 0.5, 0.0],
        }
    }
}

/// A reading that a coupon asks for, mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reading {
    /// The letter raised beside it.
    pub letter: char,
    /// What is measured.
    pub what: String,
    /// What sort of size it is.
    pub feature: Feature,
    /// Which way it runs.
    pub axis: Axis,
    /// What is drawn.
    pub drawn: f64,
    /// The least that a printer in order makes of it.
    pub least: f64,
    /// The most.
    pub most: f64,
}

impl Reading {
    /// A reading with the bounds beyond which it is of something else: 0.6 mm and 2 %, and at the first layer twice
    /// a bulge of 0.5 mm over that; half a line for a wall. Published errors of prints are half of that and less.
    pub fn new(
        letter: char,
        what: impl Into<String>,
        feature: Feature,
        axis: Axis,
        drawn: f64,
        line_width: f64,
    ) -> Self {
        let off = 0.6 + 0.02 * drawn;
        let (under, over) = match feature {
            Feature::Wall => (0.45 * line_width, 0.45 * line_width),
            Feature::FirstLayer => (off, off + 1.0),
            // A hole of 5 mm is no slot of 4.
            _ if drawn < 3.0 => (0.4 * drawn, 0.4 * drawn),
            _ => (off, off),
        };
        Self { letter, what: what.into(), feature, axis, drawn, least: drawn - under, most: drawn + over }
    }
}
