//! What standards pull a cable with to see whether it is held.

use super::cables::Group;
use super::table::Table;
use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

const PULLS: &str = include_str!("cable_pulls.csv");

/// A row: the pull on a cable of that use and diameter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CablePull {
    /// `gland`, `power` or `appliance`.
    #[serde(rename = "use")]
    pub purpose: String,
    /// For cables over this diameter, mm.
    pub over: f64,
    /// And up to this, mm.
    pub up_to: f64,
    /// The pull, N.
    pub newton: f64,
    /// Where the row stands.
    pub source: String,
}

static ROWS: Table<CablePull> = Table::new("cable_pulls.csv", PULLS);

fn row(purpose: &str, diameter: f64) -> Result<&'static CablePull> {
    let rows = ROWS.rows()?;
    rows.iter()
        .find(|row| row.purpose == purpose && diameter <= row.up_to)
        .ok_or_else(|| Error::internal(format!("No pull is tabled for a cable of {diameter} mm.")))
}

/// The pull a cable is held against: what a fixed appliance's cord is pulled with where it carries power,
/// what a gland's anchorage is pulled with where it carries signals.
pub fn held_against(group: Group, diameter: f64) -> Result<&'static CablePull> {
    row(if group.is_power() { "power" } else { "gland" }, diameter)
}

/// The greatest pull of the appliance tests.
pub fn greatest() -> Result<&'static CablePull> {
    row("appliance", 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn power_is_held_harder_than_signal_and_thick_cables_harder_than_thin_ones() {
        assert_eq!(held_against(Group::Mains, 6.0).unwrap().newton, 100.0);
        assert_eq!(held_against(Group::Signal, 8.0).unwrap().newton, 30.0);
        assert_eq!(held_against(Group::Data, 8.1).unwrap().newton, 42.0);
        assert_eq!(greatest().unwrap().newton, 156.0);
    }
}
