//! The largest chamfer a ring may have where only the least is known (ISO 582).

use super::super::fits::Series;
use super::super::table::Table;
use serde::Deserialize;

static CHAMFERS: Table<ChamferRow> = Table::new("bearings/chamfers.csv", include_str!("chamfers.csv"));

/// One row of ISO 582: tapered roller bearings have a table of their own.
#[derive(Clone, Debug, Deserialize)]
struct ChamferRow {
    table: Series,
    rs_min: f64,
    over: f64,
    upto: f64,
    radial_max: f64,
    axial_max: f64,
}

/// Largest single chamfer, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Largest {
    /// Along the face.
    pub radial: f64,
    /// Along the bore or outside.
    pub axial: f64,
}

/// The largest chamfer for `rs_min` (mm) at a reference diameter (mm): the bore, for tapered cups
/// the outside diameter. A least chamfer between two rows counts as the greater of them, but as no
/// more than twice itself (four times along the bore), which no row from 0.3 mm on passes; so does
/// one past the table's end.
pub fn largest(table: Series, rs_min: f64, diameter: f64) -> Largest {
    let rows = CHAMFERS.all();
    let fits = |row: &&ChamferRow| row.table == table && diameter > row.over && diameter <= row.upto;
    let by_least = |a: &&ChamferRow, b: &&ChamferRow| a.rs_min.total_cmp(&b.rs_min);
    let at_most = |row: &&ChamferRow| row.rs_min <= rs_min + 1e-9;
    let below = rows.iter().filter(fits).filter(at_most).max_by(by_least);
    let above = rows.iter().filter(fits).filter(|row| !at_most(row)).min_by(by_least);
    let (least_radial, least_axial) = below.map_or((0.0, 0.0), |r| (r.radial_max, r.axial_max));
    let (most_radial, most_axial) =
        above.map_or((f64::INFINITY, f64::INFINITY), |r| (r.radial_max, r.axial_max));
    match below {
        Some(row) if row.rs_min >= rs_min - 1e-9 => Largest { radial: row.radial_max, axial: row.axial_max },
        _ => Largest {
            radial: (2.0 * rs_min).min(most_radial).max(least_radial),
            axial: (4.0 * rs_min).min(most_axial).max(least_axial),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads() {
        assert!(CHAMFERS.rows().unwrap().len() > 50);
    }

    #[test]
    fn the_largest_chamfer_follows_the_bore_steps_of_iso_582() {
        let radial = |rs, d| largest(Series::Radial, rs, d).radial;
        assert_eq!((radial(0.3, 40.0), radial(0.3, 45.0)), (0.6, 0.8));
        assert_eq!((radial(1.0, 50.0), radial(1.0, 55.0)), (1.5, 1.9));
        assert_eq!((radial(2.0, 80.0), radial(2.0, 85.0)), (3.0, 3.5));
        assert_eq!(largest(Series::Radial, 1.5, 55.0).axial, 4.0);
        assert_eq!(largest(Series::Tapered, 1.0, 50.0).radial, 1.6);
        assert_eq!(largest(Series::Tapered, 2.5, 140.0).radial, 4.0);
    }

    #[test]
    fn a_chamfer_between_two_rows_counts_as_the_greater_or_twice_itself() {
        assert_eq!(largest(Series::Radial, 0.8, 19.05).radial, 1.5);
        assert_eq!(largest(Series::Radial, 0.4, 6.35).radial, 0.8);
    }

    // One step of ISO 582 goes down: up to 100 mm bore, 2.1 has 4 and 2.5 has 3.8.
    #[test]
    fn a_larger_least_chamfer_has_no_smaller_largest_but_for_one_step_of_the_standard() {
        for table in [Series::Radial, Series::Tapered] {
            for diameter in [1.0, 40.0, 50.0, 80.0, 100.0, 120.0, 200.0, 260.0, 300.0, 500.0] {
                let mut last = 0.0;
                for tenth in 1..150 {
                    let radial = largest(table, f64::from(tenth) * 0.1, diameter).radial;
                    assert!(radial >= last || (last, radial) == (4.0, 3.8), "{table:?} {diameter} {tenth}");
                    last = radial;
                }
            }
        }
    }
}
