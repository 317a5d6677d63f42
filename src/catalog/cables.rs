//! Typical cables by designation, and the plugs on their ends.
//!
//! A designation fixes cores and insulation, not the outside diameter: the standards give a band,
//! the makers stay somewhere in it. A row therefore carries the least and the most that a cable of
//! that name may measure. An opening is drawn for the most, the remaining gap is reckoned from the
//! least, and the report asks for the caliper's word, which replaces both.

use super::own;
use super::table::Table;
use crate::error::{Error, Result, within};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What runs in a cable; groups are laid out apart from one another.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Supply from the mains.
    Mains,
    /// From a drive to its motor: as loud a neighbour as a cable can be.
    Motor,
    /// Switches, sensors, encoders, analogue values.
    #[default]
    Signal,
    /// Networks and buses.
    Data,
}

impl Group {
    /// The groups by name, as typed.
    pub const ALL: [(&'static str, Group); 4] =
        [("mains", Group::Mains), ("motor", Group::Motor), ("signal", Group::Signal), ("data", Group::Data)];

    /// Its name, as typed.
    pub fn name(self) -> &'static str {
        match self {
            Group::Mains => "mains",
            Group::Motor => "motor",
            Group::Signal => "signal",
            Group::Data => "data",
        }
    }

    /// Whether it carries power.
    pub fn is_power(self) -> bool {
        matches!(self, Group::Mains | Group::Motor)
    }
}

/// A row of the table of typical cables.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cable {
    /// The designation, such as `H05VV-F 3G1.5`.
    pub designation: String,
    /// A shorter name that means this row, or empty.
    pub alias: String,
    /// Least outside diameter, mm.
    pub least: f64,
    /// Greatest outside diameter, mm.
    pub most: f64,
    /// What usually runs in it.
    pub group: Group,
    /// Least bending radius when laid for good, as a multiple of the outside diameter.
    pub bend: f64,
    /// Where the row stands.
    pub source: String,
}

/// A plug by name: what must pass a hole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Plug {
    /// The name, such as `RJ45`.
    pub name: String,
    /// Diameter of the least round hole that it passes, mm.
    pub across: f64,
    /// Where the row stands.
    pub source: String,
}

static CABLES: Table<Cable> = Table::new("cables.csv", include_str!("cables.csv"));
static PLUGS: Table<Plug> = Table::open("plugs.csv", include_str!("plugs.csv"));

/// Every cable of the table.
pub fn all() -> Result<&'static [Cable]> {
    CABLES.rows()
}

impl own::Row for Plug {
    const FILE: &'static str = "plugs.csv";

    fn settle(&mut self) -> Result<()> {
        within("column 'across'", self.across, 1.0, 200.0, "mm")?;
        // A length names no plug, and these part the answers of a cable.
        if self.name.is_empty() || self.name.parse::<Length>().is_ok() || self.name.contains([':', '=']) {
            return Err(Error::request(
                format!("column 'name' is '{}', which cannot name a plug.", self.name),
                "Give a name with a letter in it and without ':' and '=', such as DIN5.",
            ));
        }
        Ok(())
    }

    fn names(&self) -> Vec<String> {
        vec![plain(&self.name)]
    }

    fn mark(&mut self, place: &str) {
        self.source = own::source(place, &self.source);
    }
}

/// Reads the plugs, so that a wrong row of the user's is told before anything else.
pub(super) fn read_plugs() -> Result<()> {
    PLUGS.rows().map(|_| ())
}

/// Every plug of the table.
pub fn plugs() -> Result<&'static [Plug]> {
    PLUGS.rows()
}

/// A name without what people write differently: case, spaces, decimal comma, a full `H05VV-F3G1,5`.
fn plain(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| match c {
            ',' => '.',
            '×' => 'x',
            '²' => '2',
            other => other.to_ascii_lowercase(),
        })
        .collect::<String>()
        .trim_end_matches("mm2")
        .to_string()
}

/// The cable of that designation or short name, if the table has one.
pub fn find(name: &str) -> Result<Option<&'static Cable>> {
    let wanted = plain(name);
    // 3G1.0 and 3G1 are one cable.
    let short = wanted.strip_suffix(".0").unwrap_or(&wanted);
    Ok(all()?.iter().find(|cable| {
        [&cable.designation, &cable.alias].iter().any(|own| !own.is_empty() && plain(own) == short)
    }))
}

/// The plug of that name.
///
/// Fails with the names there are when the table lacks it.
pub fn plug(name: &str) -> Result<&'static Plug> {
    let wanted = plain(name);
    PLUGS.find(
        |plug| plain(&plug.name) == wanted,
        |rows| {
            let known: Vec<&str> = rows.iter().map(|plug| plug.name.as_str()).collect();
            Error::unknown(
                format!("plug={name} is neither a length nor a plug that the table knows."),
                format!(
                    "Measure the plug across its widest and give that, such as plug=28; or name one of: {}.",
                    known.join(", ")
                ),
            )
        },
    )
}

/// The designations nearest to a name that the table lacks, best first.
pub fn nearest(name: &str) -> Vec<&'static str> {
    let wanted = plain(name);
    let mut ranked: Vec<(usize, &str)> = CABLES
        .all()
        .iter()
        .flat_map(|cable| [cable.designation.as_str(), cable.alias.as_str()])
        .filter(|own| !own.is_empty())
        .map(|own| (distance(&wanted, &plain(own)), own))
        .collect();
    ranked.sort();
    ranked.into_iter().take(4).map(|(_, own)| own).collect()
}

/// Single-letter edits between two names (Levenshtein).
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, one) in a.chars().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, other) in b.iter().enumerate() {
            let kept = corner + usize::from(one != *other);
            corner = row[j + 1];
            row[j + 1] = kept.min(row[j] + 1).min(corner + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_a_band_a_group_and_a_source() {
        let rows = all().unwrap();
        assert!(rows.len() > 200);
        for cable in rows {
            assert!(0.5 < cable.least && cable.least < cable.most && cable.most < 30.0, "{cable:?}");
            assert!((2.0..=15.0).contains(&cable.bend), "{cable:?}");
            assert!(cable.source.len() > 20, "{cable:?}");
        }
    }

    #[test]
    fn no_two_rows_answer_to_one_name() {
        let mut names: Vec<String> = all()
            .unwrap()
            .iter()
            .flat_map(|cable| [plain(&cable.designation), plain(&cable.alias)])
            .filter(|name| !name.is_empty())
            .collect();
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count);
    }

    #[test]
    fn more_cores_or_more_copper_never_make_a_thinner_cable_of_one_type() {
        let parts = |cable: &Cable| {
            let (family, size) = cable.designation.rsplit_once(' ')?;
            let (cores, area) = size.split_once(['G', 'x'])?;
            Some((family.to_string(), cores.parse::<f64>().ok()?, area.parse::<f64>().ok()?))
        };
        let rows: Vec<_> =
            all().unwrap().iter().filter_map(|cable| Some((parts(cable)?, cable.most))).collect();
        for ((family, cores, area), most) in &rows {
            for ((its, its_cores, its_area), its_most) in &rows {
                if family == its && cores <= its_cores && area <= its_area {
                    assert!(most <= its_most, "{family} {cores} {area} against {its_cores} {its_area}");
                }
            }
        }
    }

    #[test]
    fn cables_are_found_as_people_write_them() {
        for name in ["3G1.5", "3g1,5", "H05VV-F 3G1.5", "h05vv-f3G1,5", "3G1.5mm²"] {
            assert_eq!(find(name).unwrap().unwrap().designation, "H05VV-F 3G1.5", "{name}");
        }
        assert_eq!(find("3G1.0").unwrap().unwrap().designation, "H05VV-F 3G1");
        assert_eq!(find("control 7G0.5").unwrap().unwrap().designation, "YSLY-JZ 7G0.5");
        assert_eq!(find("17G99").unwrap(), None);
    }

    #[test]
    fn what_the_table_lacks_is_answered_with_its_nearest() {
        assert!(nearest("LiYCY 4x0.26").contains(&"LiYCY 4x0.25"));
        assert!(plug("RJ54").unwrap_err().remedy.contains("RJ45"));
        assert_eq!(plug("rj45").unwrap().across, 15.5);
    }
}
