//! The probes of IEC 60529 for protection against touch and solid bodies.

use super::table::Table;
use crate::error::Result;
use serde::{Deserialize, Serialize};

/// A probe, and what it means that it does not pass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Probe {
    /// What the probe is.
    pub probe: String,
    /// Its diameter, mm.
    pub diameter: f64,
    /// The code that an enclosure may bear if it does not pass.
    pub keeps_out: String,
    /// Where the row stands.
    pub source: String,
}

static PROBES: Table<Probe> = Table::new("probes.csv", include_str!("probes.csv"));

/// Every probe, largest first.
pub fn all() -> Result<&'static [Probe]> {
    PROBES.rows()
}

/// The largest probe that passes a gap, mm. `None` when even the wire does not.
pub fn that_passes(gap: f64) -> Result<Option<&'static Probe>> {
    Ok(all()?.iter().find(|probe| probe.diameter <= gap))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_probe_that_passes_is_named() {
        assert_eq!(all().unwrap().len(), 4);
        assert_eq!(that_passes(0.99).unwrap(), None);
        assert_eq!(that_passes(1.0).unwrap().unwrap().keeps_out, "IP4X");
        assert_eq!(that_passes(12.4).unwrap().unwrap().diameter, 2.5);
        assert_eq!(that_passes(80.0).unwrap().unwrap().diameter, 50.0);
    }
}
