//! What a screw goes into or sinks into in a printed plate: heat-set inserts and countersunk heads.

use super::table::Table;
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

const INSERTS: &str = include_str!("inserts.csv");
const COUNTERSUNK: &str = include_str!("countersunk.csv");

/// A brass insert that is melted into a printed bore.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Insert {
    /// Thread size.
    pub size: String,
    /// Its length, mm.
    pub length: f64,
    /// The bore it is melted into, mm.
    pub bore: f64,
    /// Least wall round the bore, mm.
    pub wall: f64,
    /// Where the row stands.
    pub source: String,
}

/// A countersunk head of 90°.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Countersunk {
    /// Thread size.
    pub size: String,
    /// Theoretical diameter of the head, its edge sharp, mm.
    pub head_diameter: f64,
    /// Where the row stands.
    pub source: String,
}

static INSERT_ROWS: Table<Insert> = Table::new("inserts.csv", INSERTS);
static COUNTERSUNK_ROWS: Table<Countersunk> = Table::new("countersunk.csv", COUNTERSUNK);

/// The insert of a thread size.
pub fn insert(size: &str) -> Result<&'static Insert> {
    let rows = INSERT_ROWS.rows()?;
    rows.iter().find(|row| row.size == size).ok_or_else(|| {
        let known: Vec<&str> = rows.iter().map(|row| row.size.as_str()).collect();
        Error::unknown(
            format!("No heat-set insert of size {size} is tabled."),
            format!("Use one of {}, or nuts.", known.join(", ")),
        )
    })
}

/// The countersunk head of a thread size.
pub fn countersunk(size: &str) -> Result<&'static Countersunk> {
    let rows = COUNTERSUNK_ROWS.rows()?;
    rows.iter().find(|row| row.size == size).ok_or_else(|| {
        let known: Vec<&str> = rows.iter().map(|row| row.size.as_str()).collect();
        Error::unknown(
            format!("No countersunk head of size {size} is tabled."),
            format!("Use one of {}, or a counterbore.", known.join(", ")),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inserts_hold_their_thread_and_heads_are_twice_and_more_as_wide_as_theirs() {
        for size in ["M3", "M4", "M5", "M6", "M8"] {
            let thread: f64 = size[1..].parse().unwrap();
            assert!(insert(size).unwrap().bore > thread && insert(size).unwrap().length > thread);
            assert!((countersunk(size).unwrap().head_diameter / thread - 2.24).abs() < 1e-9);
        }
        assert!(insert("M7").unwrap_err().remedy.contains("M8"));
    }
}
