//! Synchronous belts: profiles, the geometry a pulley follows from, and the closed lengths the
//! trade stocks.
//!
//! A belt bends round its cords; the pitch line lies in them, the pitch-line offset outside the
//! pulley's tooth tips. So a pulley of z teeth has the pitch diameter `p·z/π` and an outside
//! diameter less by twice the offset. Everything else in a profile's row is what a maker's manual
//! says of the belt itself. Each figure names its source; one that no manual gives is marked
//! estimated, and carries a scatter so that whoever uses it can take the safe side.

use super::own;
use super::table::Table;
use super::tooth_spaces::{self, Space};
use crate::error::{Error, Result, hundredth, number, within};
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;
use std::sync::LazyLock;

/// A belt profile: one row of `belts.csv`. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Profile {
    /// The designation, such as `XL`, `T5`, `3M`, `2GT`.
    #[serde(rename = "profile")]
    pub name: String,
    /// Other designations the trade uses for it, parted by spaces.
    pub also: String,
    /// One line on what it is.
    pub about: String,
    /// Pitch.
    pub pitch: f64,
    /// From the pulley's tooth tips out to the pitch line; the standards' `a` or `PLD`.
    pub pitch_line_offset: f64,
    /// Height of the belt's tooth.
    pub tooth_height: f64,
    /// Thickness of the belt over its teeth.
    pub thickness: f64,
    /// Least pulley teeth at moderate speed.
    pub least_teeth: u32,
    /// Where the least teeth stand.
    pub least_teeth_source: String,
    /// Mass, grams per metre of length and millimetre of width.
    pub mass: f64,
    /// Where the mass stands.
    pub mass_source: String,
    /// Tensile stiffness: newtons per unit of strain and millimetre of width.
    pub stiffness: f64,
    /// The factor the stiffness may be out by, either way. 1 where a maker's catalogue gives it.
    pub stiffness_scatter: f64,
    /// Where the stiffness stands.
    pub stiffness_source: String,
    /// Installation tension of one span for an instrument drive, newtons per millimetre of width.
    pub tension: f64,
    /// Where the tension stands.
    pub tension_source: String,
    /// Centre distance to give way, beyond the plain allowance, for the belt to pass the flange of
    /// one pulley.
    pub one_flange: f64,
    /// The same where both pulleys are flanged.
    pub two_flanges: f64,
    /// Where the flange allowances stand.
    pub flange_source: String,
    /// Usual widths, parted by spaces.
    pub widths: String,
    /// The width taken where none is given.
    pub usual_width: f64,
    /// Where pitch, offset, tooth and thickness stand.
    pub source: String,
}

/// How sure one can be to buy a length over the counter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Stock {
    /// A length of the standard, or one that most makers keep.
    Common,
    /// A length in some makers' ranges: find a seller before the bracket is printed.
    Range,
}

/// A closed length that is stocked: one row of `belt_lengths.csv`.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct StockedLength {
    /// The profile's designation.
    pub profile: String,
    /// Teeth round the belt.
    pub teeth: u32,
    /// What is printed on the belt, less its width: `100 XL`, `T5/330`, `225-3M`.
    pub designation: String,
    /// How widely it is stocked.
    pub stock: Stock,
    /// Where the length stands.
    pub source: String,
}

static PROFILES: Table<Profile> = Table::new("belts.csv", include_str!("belts.csv"));
static STOCK: Table<StockedLength> = Table::open("belt_lengths.csv", include_str!("belt_lengths.csv"));
static LENGTHS: LazyLock<Vec<&'static StockedLength>> = LazyLock::new(|| {
    let mut rows: Vec<&StockedLength> = STOCK.all().iter().collect();
    rows.sort_by(|a, b| a.profile.cmp(&b.profile).then(a.teeth.cmp(&b.teeth)));
    rows
});

/// Centre distance to keep for fitting and tensioning a belt: one row of `belt_allowances.csv`, mm.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Allowance {
    /// The row holds for belts of up to this pitch length.
    pub up_to: f64,
    /// Inwards of the working centre distance, to lay the belt over pulleys without flanges.
    pub install: f64,
    /// Outwards of it, to tension any drive.
    pub tension: f64,
    /// Where the row stands.
    pub source: String,
}

static ALLOWANCES: Table<Allowance> = Table::new("belt_allowances.csv", include_str!("belt_allowances.csv"));

/// The allowances for a belt of a pitch length in mm; the last row serves longer belts too.
pub fn allowance(length: f64) -> &'static Allowance {
    let rows = ALLOWANCES.all();
    rows.iter().find(|row| length <= row.up_to).unwrap_or(&rows[rows.len() - 1])
}

/// Reads the stocked lengths, so that a wrong row of the user's is told before anything else.
pub(super) fn read() -> Result<()> {
    STOCK.rows().map(|_| ())
}

impl own::Row for StockedLength {
    const FILE: &'static str = "belt_lengths.csv";
    // A belt of so many teeth is the same belt, whoever lists it.
    const OURS: own::Ours = own::Ours::MakesRoom;

    fn settle(&mut self) -> Result<()> {
        let profile = profile(&self.profile)?;
        self.profile.clone_from(&profile.name);
        within("column 'teeth'", f64::from(self.teeth), 20.0, 2000.0, "teeth")?;
        let length = f64::from(self.teeth) * profile.pitch;
        if self.designation.is_empty() {
            self.designation = format!("{} of {} teeth ({} mm)", self.profile, self.teeth, number(length));
            return Ok(());
        }
        if tells_length(&self.designation, profile, self.teeth) {
            return Ok(());
        }
        Err(Error::request(
            format!(
                "column 'designation' is '{}', but {} teeth of {} are {} mm.",
                self.designation,
                self.teeth,
                profile.name,
                hundredth(length)
            ),
            "Count the belt's teeth again, or give the length that is printed on it.",
        ))
    }

    fn names(&self) -> Vec<String> {
        vec![format!("{} of {} teeth", self.profile, self.teeth)]
    }

    fn mark(&mut self, place: &str) {
        self.source = own::source(place, &self.source);
    }
}

/// Every profile in the table, in the order of the file.
pub fn profiles() -> &'static [Profile] {
    PROFILES.all()
}

/// The profile of a designation, however it is spelt: `xl`, `HTD 3M`, `3m`, `T-5`, `GT2`.
///
/// Fails with [`crate::error::Kind::Unknown`] and the list of what is known.
pub fn profile(designation: &str) -> Result<&'static Profile> {
    let wanted = bare(designation);
    PROFILES
        .all()
        .iter()
        .find(|p| bare(&p.name) == wanted || p.also.split_whitespace().any(|also| bare(also) == wanted))
        .ok_or_else(|| {
            let known: Vec<&str> = PROFILES.all().iter().map(|p| p.name.as_str()).collect();
            Error::unknown(
                format!("No belt profile '{}' is in the table.", designation.trim()),
                format!("Give one of {}; the letters are printed on the belt's back.", known.join(", ")),
            )
        })
}

/// Whether a designation tells the length of a belt of so many teeth, in mm, tenths of an inch or teeth, or no number at all.
fn tells_length(designation: &str, profile: &Profile, teeth: u32) -> bool {
    // The profile's own digits are no length.
    let folded = designation.to_ascii_uppercase();
    let names = profile.also.split_whitespace().chain([profile.name.as_str()]);
    let bare = names.fold(folded, |text, name| text.replace(&name.to_ascii_uppercase(), " "));
    let numbers = bare.split(|c: char| !c.is_ascii_digit() && c != '.');
    let mut told = numbers.filter_map(|number| number.parse::<f64>().ok()).peekable();
    let length = f64::from(teeth) * profile.pitch;
    // Codes in tenths of an inch are told without their half.
    let meant = [(length, 0.6), (length / 2.54, 0.6), (f64::from(teeth), 0.1)];
    told.peek().is_none()
        || told.any(|number| meant.iter().any(|(value, within)| (number - value).abs() <= *within))
}

/// A designation without case, blanks, hyphens or other marks, keeping the point of `T2.5`.
fn bare(designation: &str) -> String {
    let flat: String = designation
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | ','))
        .map(|c| if c == ',' { '.' } else { c.to_ascii_uppercase() })
        .collect();
    flat.strip_suffix("MM").map_or(flat.clone(), |short| format!("{short}M"))
}

/// `a` or `an` before a designation as it is said: `an XL belt`, `a T5 belt`, `an M5 hole`.
pub fn article(designation: &str) -> &'static str {
    match designation.chars().next() {
        Some('8' | 'A' | 'L' | 'M' | 'X') => "an",
        _ => "a",
    }
}

impl Profile {
    /// Pitch diameter of a pulley of `teeth`, mm.
    pub fn pitch_diameter(&self, teeth: u32) -> f64 {
        self.pitch * f64::from(teeth) / PI
    }

    /// Diameter over the tooth tips of a pulley of `teeth`, mm.
    pub fn outside_diameter(&self, teeth: u32) -> f64 {
        self.pitch_diameter(teeth) - 2.0 * self.pitch_line_offset
    }

    /// The space between two teeth of a pulley of `teeth`. Fails only for a profile the table lacks.
    pub fn tooth_space(&self, teeth: u32) -> Result<Space> {
        tooth_spaces::space(&self.name, self.tooth_height, teeth)
    }

    /// Diameter at the bottom of the tooth spaces of a pulley of `teeth`, mm.
    pub fn root_diameter(&self, teeth: u32) -> f64 {
        // Every profile has its space, as a test sees to; twice the belt's tooth is deeper than any.
        let depth = self.tooth_space(teeth).map_or(2.0 * self.tooth_height, |space| space.depth);
        self.outside_diameter(teeth) - 2.0 * depth
    }

    /// From the pitch line out to the belt's back, mm.
    pub fn back(&self) -> f64 {
        self.thickness - self.tooth_height - self.pitch_line_offset
    }

    /// The usual widths, mm, least first.
    pub fn usual_widths(&self) -> Vec<f64> {
        self.widths.split_whitespace().filter_map(|w| w.parse().ok()).collect()
    }

    /// The stocked closed lengths, least first.
    pub fn lengths(&self) -> impl Iterator<Item = &'static StockedLength> + '_ {
        LENGTHS.iter().copied().filter(|row| row.profile == self.name)
    }

    /// The stocked row of so many teeth, if there is one.
    pub fn stocked(&self, teeth: u32) -> Option<&'static StockedLength> {
        self.lengths().find(|row| row.teeth == teeth)
    }

    /// A belt's designation by its teeth, stocked or not.
    pub fn designate(&self, belt_teeth: u32) -> String {
        match self.stocked(belt_teeth) {
            Some(row) => row.designation.clone(),
            None => format!(
                "{} of {belt_teeth} teeth ({} mm)",
                self.name,
                number(f64::from(belt_teeth) * self.pitch)
            ),
        }
    }

    /// A pulley's tooth count within bounds: no fewer than will stay a pulley, no more than 1000.
    ///
    /// Fewer than [`Profile::least_teeth`] is allowed here; it wears the belt and is a finding.
    pub fn pulley_teeth(&self, field: &str, teeth: u32) -> Result<u32> {
        within(field, f64::from(teeth), 6.0, 1000.0, "teeth")?;
        if self.root_diameter(teeth) < self.pitch / 2.0 {
            return Err(Error::geometry(
                format!(
                    "{field} is {teeth}; {} {} pulley of {teeth} teeth has no body left under its tooth gaps.",
                    article(&self.name),
                    self.name
                ),
                format!("Take at least {} teeth.", self.least_teeth),
            ));
        }
        Ok(teeth)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn designations_are_said_with_their_article() {
        for name in ["MXL", "XL", "L", "AT5", "8M", "M5"] {
            assert_eq!(article(name), "an", "{name}");
        }
        for name in ["T2.5", "T10", "3M", "5GT", "100 XL", "NEMA 23", "38 mm body", "measured"] {
            assert_eq!(article(name), "a", "{name}");
        }
    }

    #[test]
    fn every_row_reads_and_is_sane() {
        assert_eq!(profiles().len(), 13);
        for p in profiles() {
            assert!(p.pitch > 1.9 && p.pitch < 10.1, "{}", p.name);
            assert!(p.thickness > p.tooth_height && p.back() > 0.0, "{}", p.name);
            assert!(p.pitch_line_offset > 0.0 && p.pitch_line_offset < p.tooth_height, "{}", p.name);
            assert!((1.0..=2.0).contains(&p.stiffness_scatter), "{}", p.name);
            assert!(p.two_flanges > p.one_flange && p.one_flange > p.tooth_height, "{}", p.name);
            assert!(p.usual_widths().len() >= 3 && p.usual_widths().contains(&p.usual_width), "{}", p.name);
            assert!(p.usual_widths().is_sorted(), "{}", p.name);
            for source in [
                &p.source,
                &p.mass_source,
                &p.stiffness_source,
                &p.tension_source,
                &p.flange_source,
                &p.least_teeth_source,
            ] {
                assert!(source.len() > 10, "{}: '{source}'", p.name);
            }
            assert!(p.pulley_teeth("--pulleys", p.least_teeth).is_ok(), "{}", p.name);
        }
    }

    #[test]
    fn lengths_are_many_distinct_and_all_of_a_known_profile() {
        let mut seen = HashSet::new();
        for row in LENGTHS.iter() {
            assert!(profile(&row.profile).is_ok());
            assert!(seen.insert((&row.profile, row.teeth)), "{} {}", row.profile, row.teeth);
            assert!(row.teeth >= 20 && row.teeth < 1200 && !row.source.is_empty(), "{}", row.designation);
        }
        for p in profiles() {
            assert!(p.lengths().count() >= 30, "{} has {}", p.name, p.lengths().count());
            assert!(p.lengths().filter(|row| row.stock == Stock::Common).count() >= 20, "{}", p.name);
        }
    }

    #[test]
    fn every_designation_of_ours_tells_its_length_and_another_belt_s_does_not() {
        for row in LENGTHS.iter() {
            let of = profile(&row.profile).unwrap();
            assert!(tells_length(&row.designation, of, row.teeth), "{}", row.designation);
            assert!(!tells_length(&row.designation, of, row.teeth + 3), "{}", row.designation);
        }
        let gt = profile("2GT").unwrap();
        for said in ["GT2-280-6", "from the printer", "280 mm", "140 teeth"] {
            assert!(tells_length(said, gt, 140), "{said}");
        }
        assert!(!tells_length("999-2GT", gt, 140));
    }

    #[test]
    fn metric_designations_tell_the_length() {
        for row in LENGTHS.iter().filter(|row| row.profile.ends_with('M') || row.profile.ends_with("GT")) {
            let length: f64 = row.designation.split('-').next().unwrap().parse().unwrap();
            assert_eq!(
                length,
                f64::from(row.teeth) * profile(&row.profile).unwrap().pitch,
                "{}",
                row.designation
            );
        }
    }

    /// ISO 5296:2012 tables: XL 60 to 260 in tens, L 124 to 600, MXL 36 to 200.
    #[test]
    fn the_standard_inch_lengths_are_all_there() {
        let xl = profile("XL").unwrap();
        for teeth in (30..=130).step_by(5) {
            assert_eq!(xl.stocked(teeth).unwrap().designation, format!("{} XL", teeth * 2));
        }
        let l = profile("L").unwrap();
        for (code, teeth) in [(124, 33), (150, 40), (187, 50), (210, 56), (322, 86), (367, 98), (600, 160)] {
            assert_eq!(l.stocked(teeth).unwrap().designation, format!("{code} L"));
        }
        assert_eq!(profile("mxl").unwrap().stocked(155).unwrap().designation, "124 MXL");
    }

    /// Pulley outside diameters as DIN 7721-2, ISO 5294, ISO 13050 and makers' tables print them.
    #[test]
    fn outside_diameters_match_the_tables() {
        for (name, teeth, outside, within) in [
            ("XL", 10, 15.66, 0.01),
            ("XL", 20, 31.83, 0.01),
            ("L", 20, 59.88, 0.01),
            ("T2.5", 20, 15.40, 0.03),
            ("T5", 10, 15.05, 0.04),
            ("T5", 12, 18.25, 0.04),
            ("T5", 20, 31.00, 0.04),
            ("T5", 60, 94.65, 0.04),
            ("T10", 20, 61.80, 0.03),
            ("AT5", 20, 30.60, 0.03),
            ("3M", 20, 18.34, 0.01),
            ("5M", 20, 30.69, 0.01),
            ("8M", 22, 54.65, 0.01),
            ("2GT", 20, 12.22, 0.01),
        ] {
            let got = profile(name).unwrap().outside_diameter(teeth);
            assert!((got - outside).abs() < within, "{name} {teeth}: {got} for {outside}");
        }
    }

    #[test]
    fn allowances_grow_with_the_belt() {
        assert_eq!(ALLOWANCES.all().len(), 9);
        assert!(
            ALLOWANCES.all().windows(2).all(|w| w[0].up_to < w[1].up_to
                && w[0].install < w[1].install
                && w[0].tension <= w[1].tension)
        );
        assert_eq!(allowance(250.0).install, 0.8);
        assert_eq!(allowance(250.1).install, 1.0);
        assert_eq!(allowance(1e6).install, 6.6);
    }

    #[test]
    fn designations_are_read_as_they_are_spelt() {
        for (spelt, name) in [
            ("htd 3m", "3M"),
            ("HTD-5M", "5M"),
            ("gt2", "2GT"),
            ("GT2 3mm", "3GT"),
            ("t2,5", "T2.5"),
            ("T-10", "T10"),
            ("at5", "AT5"),
            ("2mgt", "2GT"),
        ] {
            assert_eq!(profile(spelt).unwrap().name, name, "{spelt}");
        }
        let error = profile("Q7").unwrap_err();
        assert!(error.says.contains("'Q7'") && error.remedy.contains("T2.5"));
    }

    #[test]
    fn a_pulley_that_is_all_gap_is_refused() {
        assert!(profile("8M").unwrap().pulley_teeth("--pulleys", 5).is_err());
        assert!(profile("MXL").unwrap().pulley_teeth("--pulleys", 10).is_ok());
    }
}
