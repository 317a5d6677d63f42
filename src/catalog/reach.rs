//! How far behind an opening something that moves must lie, so that no finger, hand or arm reaches it.

use super::table::Table;
use crate::error::{Error, Result, number};
use serde::Deserialize;

/// Who may come near.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Persons {
    /// Nobody under 14 years.
    Adults,
    /// Children from 3 years on.
    Children,
}

/// One row of `reach.csv`, mm.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Row {
    /// Whom it is for.
    pub persons: Persons,
    /// Greatest width of the opening.
    pub up_to: f64,
    /// Least distance behind a slot.
    pub slot: f64,
    /// Least distance behind a square opening.
    pub square: f64,
    /// Least distance behind a round one.
    pub round: f64,
    /// What passes.
    pub what: String,
    /// Where the row stands.
    pub source: String,
}

static ROWS: Table<Row> = Table::new("reach.csv", include_str!("reach.csv"));

/// The row for an opening of that width.
///
/// Fails for one so wide that a guard with it keeps nobody out.
pub fn row(persons: Persons, width: f64) -> Result<&'static Row> {
    // A width is told to a thousandth; what the arithmetic leaves over makes no wider opening.
    ROWS.find(
        |row| row.persons == persons && width <= row.up_to + 1e-6,
        |rows| {
            let of = rows.iter().filter(|row| row.persons == persons);
            let most = of.map(|row| row.up_to).fold(0.0, f64::max);
            Error::geometry(
                format!(
                    "An opening is {} mm wide; beyond {} mm no distance behind it keeps an arm out (ISO 13857).",
                    number(width),
                    number(most)
                ),
                "Make it narrower, or close it.",
            )
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wider_openings_and_smaller_hands_never_ask_for_less() {
        let rows = ROWS.all();
        assert_eq!(rows.len(), 17);
        for persons in [Persons::Adults, Persons::Children] {
            let of: Vec<&Row> = rows.iter().filter(|row| row.persons == persons).collect();
            for pair in of.windows(2) {
                assert!(pair[0].up_to < pair[1].up_to, "{pair:?}");
                assert!(pair[0].slot <= pair[1].slot && pair[0].round <= pair[1].round, "{pair:?}");
            }
            for row in of {
                assert!(row.slot >= row.square && row.square >= row.round && row.source.contains("13857"));
            }
        }
        for width in [3.0, 5.0, 7.0, 9.0, 11.0, 15.0, 25.0, 60.0] {
            let of = |persons| row(persons, width).unwrap();
            let (small, grown) = (of(Persons::Children), of(Persons::Adults));
            assert!(small.slot >= grown.slot && small.round >= grown.round);
        }
    }

    #[test]
    fn the_edge_of_a_row_belongs_to_it_and_what_is_wider_than_all_is_refused() {
        assert_eq!(row(Persons::Adults, 4.0).unwrap().slot, 2.0);
        assert_eq!(row(Persons::Adults, 4.01).unwrap().slot, 10.0);
        assert_eq!(row(Persons::Adults, 8.0).unwrap().round, 5.0);
        assert!(row(Persons::Adults, 121.0).unwrap_err().says.contains("121 mm"));
        assert!(row(Persons::Children, 101.0).is_err());
    }
}
