//! Mounting holes of push-buttons and indicator lights, with the notch that keeps them from turning.

use super::table::Table;
use crate::error::{Error, Result, number};
use serde::{Deserialize, Serialize};

/// A size of push-button.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Button {
    /// The nominal size, mm.
    pub size: f64,
    /// Least diameter of the hole, mm.
    pub hole: f64,
    /// How much larger the hole may be, mm.
    pub plus: f64,
    /// Width of the notch, mm.
    pub notch_width: f64,
    /// From the far side of the hole to the bottom of the notch, mm.
    pub notch_height: f64,
    /// Least distance between centres side by side, mm.
    pub pitch: f64,
    /// Least distance between centres one above the other, mm.
    pub pitch_up: f64,
    /// Diameter of the bezel in front and the nut behind, mm.
    pub nut: f64,
    /// Thinnest panel it clamps, mm.
    pub panel_least: f64,
    /// Thickest panel it clamps, mm.
    pub panel_most: f64,
    /// What it needs behind the panel with one contact block, mm.
    pub depth: f64,
    /// Where the row stands.
    pub source: String,
}

impl Button {
    /// The diameter a hole is made to: a quarter of its tolerance above the least, mm, so that
    /// neither a print a little small nor a file a little large is out.
    pub fn middle(&self) -> f64 {
        self.hole + 0.25 * self.plus
    }
}

static BUTTONS: Table<Button> = Table::new("buttons.csv", include_str!("buttons.csv"));

/// Every size, smallest first.
pub fn all() -> Result<&'static [Button]> {
    BUTTONS.rows()
}

/// The button of that nominal size; the hole's own diameter (22.3) is understood too.
///
/// Fails with the sizes there are when the table has none.
pub fn of_size(size: f64) -> Result<&'static Button> {
    let meant = |button: &Button| (button.size - size).abs() < 0.05 || (button.hole - size).abs() < 0.25;
    BUTTONS.find(meant, |rows| {
        let known: Vec<String> = rows.iter().map(|button| number(button.size)).collect();
        Error::unknown(
            format!("A push-button of {} mm is no size the table knows.", number(size)),
            format!("Give one of {} mm, or a plain round opening.", known.join(", ")),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_notch_reaches_past_its_hole() {
        for button in all().unwrap() {
            assert!(button.notch_height > button.hole + 0.5 * button.plus, "{button:?}");
            assert!(button.notch_width < button.hole / 3.0, "{button:?}");
            assert!(
                button.pitch > button.hole && button.pitch_up >= button.pitch && button.nut > button.hole,
                "{button:?}"
            );
        }
    }

    #[test]
    fn a_size_is_known_by_its_name_or_its_hole() {
        assert_eq!(of_size(22.0).unwrap(), of_size(22.3).unwrap());
        assert_eq!(of_size(22.0).unwrap().notch_width, 3.2);
        // IEC 60947-5-1: 30 by 40 mm, and 50 by 65 mm.
        assert_eq!((of_size(22.0).unwrap().pitch, of_size(22.0).unwrap().pitch_up), (30.0, 40.0));
        assert_eq!((of_size(30.0).unwrap().pitch, of_size(30.0).unwrap().pitch_up), (50.0, 65.0));
        assert!(of_size(25.0).unwrap_err().remedy.contains("22"));
    }
}
