//! Synchronous-belt pulleys as makers list them: stocked tooth counts, widths, flanges, hubs and bores.
//!
//! `pulleys.csv` holds the rows of catalogues, many of them with a tooth count alone;
//! `pulley_widths.csv` says how much wider than its belt a pulley is over its flanges, and how long its
//! hub, where no row does. Of several makers' figures the greatest is taken: a pulley that turns out
//! smaller still fits.

use super::belts::{self, Profile};
use super::own;
use super::table::Table;
use crate::error::{Result, number, within};
use serde::{Deserialize, Serialize};

/// A pulley of a catalogue: one row of `pulleys.csv`, mm. What was not printed is missing.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Row {
    /// The belt profile's designation.
    pub profile: String,
    /// Width of the widest belt it takes.
    pub belt_width: Option<f64>,
    /// Teeth.
    pub teeth: u32,
    /// Pitch diameter.
    pub pitch_diameter: Option<f64>,
    /// Diameter over the teeth.
    pub outside_diameter: Option<f64>,
    /// Diameter of the flanges.
    pub flange_diameter: Option<f64>,
    /// Diameter of the hub.
    pub hub_diameter: Option<f64>,
    /// Face and both flanges.
    pub width_over_flanges: Option<f64>,
    /// The same with the hub.
    pub overall_length: Option<f64>,
    /// Pilot or least bore.
    pub bore_pilot: Option<f64>,
    /// Greatest bore.
    pub bore_max: Option<f64>,
    /// Set screws, in the catalogue's words.
    pub set_screws: String,
    /// Material.
    pub material: String,
    /// Mass, g.
    pub mass_g: Option<f64>,
    /// Where the row stands.
    pub source: String,
    /// Whether the user has it, or the shop round the corner: then it is taken before all others.
    #[serde(skip)]
    pub own: bool,
}

impl own::Row for Row {
    const FILE: &'static str = "pulleys.csv";
    // Its empty cells are filled from the makers' lists.
    const OURS: own::Ours = own::Ours::Stays;

    fn settle(&mut self) -> Result<()> {
        let profile = belts::profile(&self.profile)?;
        self.profile.clone_from(&profile.name);
        profile.pulley_teeth("column 'teeth'", self.teeth)?;
        let outside = profile.outside_diameter(self.teeth);
        let between = |column: &str, value: Option<f64>, least: f64, most: f64| match value {
            Some(value) => within(&format!("column '{column}'"), value, least, most, "mm").map(|_| ()),
            None => Ok(()),
        };
        let width = self.belt_width.unwrap_or(0.0);
        between("belt_width", self.belt_width, 1.0, 150.0)?;
        // A catalogue rounds; one of another pitch or offset is another pulley.
        let pitch = profile.pitch_diameter(self.teeth);
        between("pitch_diameter", self.pitch_diameter, pitch - 0.1, pitch + 0.1)?;
        between("outside_diameter", self.outside_diameter, outside - 0.3, outside + 0.3)?;
        between("flange_diameter", self.flange_diameter, outside, 2.0 * outside + 20.0)?;
        between("hub_diameter", self.hub_diameter, 3.0, 2.0 * outside + 20.0)?;
        between("width_over_flanges", self.width_over_flanges, width, width + 30.0)?;
        let over = self.width_over_flanges.unwrap_or(width);
        between("overall_length", self.overall_length, over, over + 100.0)?;
        between("bore_pilot", self.bore_pilot, 0.0, outside)?;
        between(
            "bore_max",
            self.bore_max,
            self.bore_pilot.unwrap_or(1.0),
            profile.root_diameter(self.teeth),
        )?;
        match self.mass_g {
            Some(mass) => within("column 'mass_g'", mass, 0.1, 50_000.0, "g").map(|_| ()),
            None => Ok(()),
        }
    }

    fn names(&self) -> Vec<String> {
        let width =
            self.belt_width.map_or(String::new(), |width| format!(" for a belt of {} mm", number(width)));
        vec![format!("{} of {} teeth{width}", self.profile, self.teeth)]
    }

    fn mark(&mut self, place: &str) {
        self.source = own::source(place, &self.source);
        self.own = true;
    }
}

/// How much wider than its belt a pulley is: one row of `pulley_widths.csv`, mm.
#[derive(Clone, Debug, PartialEq, Deserialize)]
struct Excess {
    profile: String,
    up_to: f64,
    over_belt: f64,
    hub_length: f64,
    source: String,
}

static ROWS: Table<Row> = Table::open("pulleys.csv", include_str!("pulleys.csv"));
static EXCESS: Table<Excess> = Table::new("pulley_widths.csv", include_str!("pulley_widths.csv"));

/// Reads the table, so that a wrong row of the user's is told before anything else.
pub(super) fn read() -> Result<()> {
    ROWS.rows().map(|_| ())
}

/// Every row of a profile.
pub fn rows(profile: &Profile) -> impl Iterator<Item = &'static Row> {
    ROWS.all().iter().filter(|row| row.profile == profile.name)
}

/// The tooth counts that makers keep, least first.
pub fn stocked_teeth(profile: &Profile) -> Vec<u32> {
    let mut teeth: Vec<u32> = rows(profile).map(|row| row.teeth).collect();
    teeth.sort_unstable();
    teeth.dedup();
    teeth
}

/// Whether the user has a pulley of so many teeth.
pub fn is_own(profile: &Profile, teeth: u32) -> bool {
    rows(profile).any(|row| row.own && row.teeth == teeth)
}

/// The stocked tooth count nearest to one, the greater of two as near.
pub fn nearest_stocked(profile: &Profile, teeth: u32) -> Option<u32> {
    stocked_teeth(profile).into_iter().rev().min_by_key(|stocked| stocked.abs_diff(teeth))
}

/// The greatest bore any maker lists for a pulley of so many teeth, mm, and where it stands.
pub fn greatest_bore(profile: &Profile, teeth: u32) -> Option<(f64, &'static str)> {
    let of_teeth = || rows(profile).filter(|row| row.teeth == teeth);
    let own = of_teeth().any(|row| row.own && row.bore_max.is_some());
    of_teeth()
        .filter(|row| row.own || !own)
        // One bore alone is a pulley as it was bought, no range.
        .filter(|row| {
            row.own || row.bore_pilot.is_none_or(|pilot| row.bore_max.is_some_and(|most| most > pilot))
        })
        .filter_map(|row| Some((row.bore_max?, row.source.as_str())))
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// A pulley as a body on its shaft, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Face and both flanges.
    pub width: f64,
    /// Diameter of the flanges.
    pub flange_diameter: f64,
    /// Length of the hub beside them; 0 where there is none.
    pub hub_length: f64,
    /// Diameter of the hub.
    pub hub_diameter: f64,
    /// Where the width stands.
    pub source: String,
    /// Whether it stands in a maker's list for this belt, or is estimated by the profile.
    pub listed: bool,
}

/// Height of a flange over the belt's back, mm, where makers' rows tell none (common practice): with
/// 1.4 belt thicknesses over the tooth tips the greatest in the lists looked through.
const FLANGE: (f64, f64) = (1.4, 0.3);

/// The widest and largest pulley that the makers' lists hold for a belt.
pub fn body(profile: &Profile, belt_width: f64, teeth: u32) -> Body {
    let of_belt =
        || rows(profile).filter(|row| row.belt_width.is_some_and(|width| (width - belt_width).abs() < 0.2));
    let widest =
        of_belt().filter_map(|row| Some((row.width_over_flanges?, row))).max_by(|a, b| a.0.total_cmp(&b.0));
    let excess = EXCESS.all().iter().find(|row| row.profile == profile.name && belt_width <= row.up_to + 0.1);
    let outside = profile.outside_diameter(teeth);
    let height = rows(profile)
        .filter_map(|row| Some((row.flange_diameter? - row.outside_diameter?) / 2.0))
        .fold(FLANGE.0 * profile.thickness + FLANGE.1, f64::max);
    let listed_flange =
        rows(profile).filter(|row| row.teeth == teeth).filter_map(|row| row.flange_diameter).reduce(f64::max);
    let hubs = of_belt()
        .filter(|row| row.teeth == teeth)
        .filter_map(|row| Some(row.overall_length? - row.width_over_flanges?))
        .filter(|hub| *hub > 0.0);
    let hub_length = hubs.reduce(f64::max).or(excess.map(|row| row.hub_length)).unwrap_or(0.0);
    let hub = rows(profile).filter(|row| row.teeth == teeth).filter_map(|row| row.hub_diameter);
    let by_rule = belt_width + excess.map_or(0.0, |row| row.over_belt);
    let by_lists = Body {
        width: widest.map_or(by_rule, |(width, _)| width),
        flange_diameter: listed_flange.unwrap_or(outside + 2.0 * height),
        hub_length,
        hub_diameter: hub.reduce(f64::max).unwrap_or(profile.root_diameter(teeth)),
        source: match (widest, excess) {
            (Some((_, row)), _) => row.source.clone(),
            (None, Some(row)) => row.source.clone(),
            (None, None) => "no maker's list".into(),
        },
        listed: widest.is_some(),
    };
    let own = of_belt().find(|row| row.own && row.teeth == teeth);
    own.map_or(by_lists.clone(), |row| by_lists.in_hand(row))
}

impl Body {
    /// The same as far as a row of the user's own does not say otherwise.
    fn in_hand(self, row: &Row) -> Body {
        let width = row.width_over_flanges.unwrap_or(self.width);
        Body {
            width,
            flange_diameter: row.flange_diameter.unwrap_or(self.flange_diameter),
            hub_length: row.overall_length.map_or(self.hub_length, |overall| (overall - width).max(0.0)),
            hub_diameter: row.hub_diameter.unwrap_or(self.hub_diameter),
            listed: self.listed || row.width_over_flanges.is_some(),
            source: if row.width_over_flanges.is_some() { row.source.clone() } else { self.source },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::belts::{profile, profiles};

    #[test]
    fn every_row_reads_and_its_diameters_agree_with_the_profile() {
        assert_eq!(ROWS.all().len(), 371);
        for row in ROWS.all() {
            let of = profile(&row.profile).unwrap();
            assert!(row.source.len() > 10 && row.teeth >= 10);
            if let Some(pitch) = row.pitch_diameter {
                assert!((pitch - of.pitch_diameter(row.teeth)).abs() < 0.03, "{row:?}");
            }
            if let Some(outside) = row.outside_diameter {
                assert!((outside - of.outside_diameter(row.teeth)).abs() < 0.12, "{row:?}");
            }
            if let (Some(pilot), Some(most)) = (row.bore_pilot, row.bore_max) {
                assert!(pilot <= most && most < of.root_diameter(row.teeth), "{row:?}");
            }
        }
        for profile in profiles() {
            assert!(stocked_teeth(profile).len() >= 10, "{}", profile.name);
            assert!(
                EXCESS.all().iter().filter(|row| row.profile == profile.name).any(|row| row.up_to > 500.0)
            );
        }
    }

    #[test]
    fn pulleys_are_as_wide_as_makers_list_them() {
        for (name, belt, teeth, width) in
            [("T5", 10.0, 24, 16.0), ("XL", 9.5, 12, 14.3), ("L", 12.7, 12, 19.0), ("2GT", 6.0, 36, 10.0)]
        {
            let body = body(profile(name).unwrap(), belt, teeth);
            assert!(body.listed && (body.width - width).abs() < 1e-9, "{name}: {body:?}");
        }
        let unlisted = body(profile("5M").unwrap(), 9.0, 20);
        assert!(!unlisted.listed && unlisted.width == 16.0);
    }

    #[test]
    fn no_row_s_flange_or_width_is_greater_than_the_body_taken() {
        for row in ROWS.all() {
            let Some(belt) = row.belt_width else { continue };
            let body = body(profile(&row.profile).unwrap(), belt, row.teeth);
            assert!(row.flange_diameter.is_none_or(|d| d <= body.flange_diameter), "{row:?}");
            assert!(row.width_over_flanges.is_none_or(|w| w <= body.width), "{row:?}");
        }
    }

    #[test]
    fn a_bore_no_pulley_has_is_known() {
        let t5 = profile("T5").unwrap();
        assert_eq!(greatest_bore(t5, 24).unwrap().0, 17.0);
        assert_eq!(nearest_stocked(t5, 23), Some(24));
        assert!(greatest_bore(profile("2GT").unwrap(), 60).is_none());
    }
}
