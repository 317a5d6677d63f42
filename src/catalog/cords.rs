//! O-ring cord and the grooves it lies in.

use super::table::Table;
use crate::error::{Error, Result, number};
use serde::{Deserialize, Serialize};

/// A diameter of O-ring cord, with its groove for a static seal under a flat face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cord {
    /// Cord diameter, mm.
    pub cord: f64,
    /// Depth of the groove, mm.
    pub groove_depth: f64,
    /// Width of the groove, mm.
    pub groove_width: f64,
    /// Where the row stands.
    pub source: String,
}

static CORDS: Table<Cord> = Table::new("cords.csv", include_str!("cords.csv"));

/// Every cord, thinnest first.
pub fn all() -> Result<&'static [Cord]> {
    CORDS.rows()
}

/// The cord of that diameter, mm.
///
/// Fails with the diameters there are when the table has none.
pub fn of_diameter(diameter: f64) -> Result<&'static Cord> {
    CORDS.find(
        |cord| (cord.cord - diameter).abs() < 0.006,
        |rows| {
            let known: Vec<String> = rows.iter().map(|cord| number(cord.cord)).collect();
            Error::unknown(
                format!("--cord is {} mm, which is no O-ring cord the table knows.", number(diameter)),
                format!("Give one of {} mm.", known.join(", ")),
            )
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_groove_squeezes_its_cord_and_has_room_for_it() {
        for cord in all().unwrap() {
            let squeeze = 1.0 - cord.groove_depth / cord.cord;
            assert!((0.15..=0.30).contains(&squeeze), "{cord:?}");
            let fill =
                std::f64::consts::PI / 4.0 * cord.cord.powi(2) / (cord.groove_depth * cord.groove_width);
            assert!(fill < 0.90, "{cord:?} fills {fill}");
        }
        assert!(of_diameter(2.7).unwrap_err().remedy.contains("2.62"));
    }
}
