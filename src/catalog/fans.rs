//! Axial fan frames: outside, hole pitch and screw.

use super::table::Table;
use crate::error::{Error, Result, number};
use serde::{Deserialize, Serialize};

/// A frame size of axial fan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fan {
    /// Width and height of the frame, mm.
    pub frame: f64,
    /// Distance between hole centres along a side, mm.
    pub pitch: f64,
    /// Hole in the frame, mm.
    pub hole: f64,
    /// The screw that goes through it.
    pub screw: String,
    /// Diameter the blades sweep, mm.
    pub swept: f64,
    /// How deep the deepest common fan of that frame is, mm.
    pub depth: f64,
    /// Where the row stands.
    pub source: String,
}

static FANS: Table<Fan> = Table::new("fans.csv", include_str!("fans.csv"));

/// Every frame size, smallest first.
pub fn all() -> Result<&'static [Fan]> {
    FANS.rows()
}

/// The frame of that size, mm.
///
/// Fails with the sizes there are when the table has none.
pub fn of_frame(frame: f64) -> Result<&'static Fan> {
    FANS.find(
        |fan| (fan.frame - frame).abs() < 0.5,
        |rows| {
            let known: Vec<String> = rows.iter().map(|fan| number(fan.frame)).collect();
            Error::unknown(
                format!("--fan is {}, which is no frame size the table knows.", number(frame)),
                format!("Measure the frame across its outside and give one of {} mm.", known.join(", ")),
            )
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holes_lie_inside_the_frame_and_outside_the_blades() {
        for fan in all().unwrap() {
            assert!(fan.pitch + fan.hole < fan.frame, "{fan:?}");
            assert!(fan.swept < fan.frame, "{fan:?}");
            assert!(
                fan.pitch * std::f64::consts::FRAC_1_SQRT_2 > fan.swept / 2.0 + fan.hole / 2.0,
                "{fan:?}"
            );
        }
        assert!(all().unwrap().windows(2).all(|pair| pair[0].frame < pair[1].frame));
    }

    #[test]
    fn frame_sizes_are_found_and_strangers_refused() {
        assert_eq!(of_frame(80.0).unwrap().pitch, 71.5);
        assert_eq!(of_frame(119.0).unwrap().depth, 38.0);
        assert!(of_frame(140.0).is_ok() && of_frame(172.0).is_ok());
        assert!(of_frame(81.0).unwrap_err().remedy.contains("80"));
    }
}
