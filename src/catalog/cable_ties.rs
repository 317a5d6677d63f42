//! Cable ties: the sizes that an anchor must take, hold and leave room for.

use super::table::Table;
use crate::error::{Error, Result, number};
use serde::{Deserialize, Serialize};

/// A size of polyamide cable tie.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CableTie {
    /// Width of the strap, mm.
    pub width: f64,
    /// Thickness of the strap, mm.
    pub thickness: f64,
    /// Width of the head, along the strap's width, mm.
    pub head_width: f64,
    /// Length of the head along the strap, mm.
    pub head_length: f64,
    /// Height of the head away from the bundle, mm.
    pub head_height: f64,
    /// Least loop tensile strength it is rated for, N.
    pub loop_strength_n: f64,
    /// Where the row stands.
    pub source: String,
}

static TIES: Table<CableTie> = Table::new("cable_ties.csv", include_str!("cable_ties.csv"));

/// Every size, narrowest first.
pub fn all() -> Result<&'static [CableTie]> {
    TIES.rows()
}

/// The tie of that width, mm.
///
/// Fails with the widths there are when the table has none of that width.
pub fn of_width(width: f64) -> Result<&'static CableTie> {
    TIES.find(
        |tie| (tie.width - width).abs() < 0.051,
        |rows| {
            let known: Vec<String> = rows.iter().map(|tie| number(tie.width)).collect();
            Error::unknown(
                format!("--tie is {} mm, which is no width that cable ties come in.", number(width)),
                format!("Give one of {} mm.", known.join(", ")),
            )
        },
    )
}

/// The tie that a cable of that diameter usually gets: narrow ones for thin cables, so that the
/// head is not larger than what it holds (common practice, no source); a wider one where that is not rated for
/// the pull, N.
pub fn for_cable(diameter: f64, pull: f64) -> Result<&'static CableTie> {
    let usual = of_width(match diameter {
        d if d < 6.5 => 2.5,
        d if d < 10.0 => 3.6,
        _ => 4.8,
    })?;
    let strong = all()?.iter().find(|tie| tie.width >= usual.width && tie.loop_strength_n >= pull);
    Ok(strong.unwrap_or(usual))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wider_ties_are_thicker_larger_headed_and_stronger() {
        let rows = all().unwrap();
        assert!(rows.len() >= 4);
        for pair in rows.windows(2) {
            let (a, b) = (&pair[0], &pair[1]);
            assert!(a.width < b.width && a.thickness < b.thickness && a.head_width < b.head_width);
            assert!(a.loop_strength_n < b.loop_strength_n && a.head_width > a.width);
        }
    }

    #[test]
    fn a_width_that_is_not_sold_is_refused_with_those_that_are() {
        assert!(of_width(4.0).unwrap_err().remedy.contains("2.5, 3.6, 4.8"));
        assert_eq!(of_width(4.8).unwrap().loop_strength_n, 225.0);
        assert_eq!(for_cable(4.0, 30.0).unwrap().width, 2.5);
        assert_eq!(for_cable(4.0, 100.0).unwrap().width, 3.6);
    }
}
