//! A belt drive out of the tables: two pulleys, a belt that can be bought, and what it does.
//!
//! * [`choice`]: which stocked belts run on a pair of pulleys;
//! * [`bores`]: what pulleys can be bored for;
//! * [`ratio`]: pulleys by the ratio they keep;
//! * [`request`]: the question that `fixwright belt` answers.
//!
//! Nothing here is printed, but every bracket starts from it. The drive is solved at the belt's own
//! length, never at a round number: a closed belt settles the centre distance, and the question
//! "what fits near here?" is answered by trying the stocked lengths.

pub mod bores;
pub mod choice;
mod findings;
pub mod ratio;
pub mod request;
#[cfg(test)]
mod tests;

pub use bores::{Bored, OnShaft, bore_finding, least_teeth_for_shaft};
pub use choice::Pulleys;
pub use ratio::Ratio;
pub use request::{BeltAnswer, BeltRequest, Running, answer};

use crate::catalog::belts::{self, Profile, Stock, StockedLength};
use crate::catalog::pulleys::Body;
use crate::mechanics::belt_drive as mechanics;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The profile taken where none is named: the finest that is sold everywhere.
pub const PROFILE: &str = "2GT";

/// Fewest teeth in mesh before a synchronous belt may jump.
pub const LEAST_MESH: u32 = 6;

/// Which pulleys carry flanges the belt must be lifted over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize, JsonSchema, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Flanges {
    /// None, or the belt goes on together with a pulley.
    None,
    /// One pulley.
    #[default]
    One,
    /// Both pulleys.
    Both,
}

/// Two pulleys and a belt of one profile at the centre distance the belt asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// The belt's profile.
    pub profile: &'static Profile,
    /// Teeth of the pulley on the spindle.
    pub spindle_teeth: u32,
    /// Teeth of the pulley on the encoder.
    pub encoder_teeth: u32,
    /// Teeth of the belt.
    pub belt_teeth: u32,
    /// The spindle's pulley as a body.
    pub spindle_pulley: Body,
    /// The encoder's pulley as a body.
    pub encoder_pulley: Body,
    /// Width of the belt, mm.
    pub width: f64,
    /// Tension of each span at rest, N.
    pub tension: f64,
    /// Centre distance at which the belt is straight, mm.
    pub centre: f64,
    /// How the belt lies.
    pub path: mechanics::Path,
}

impl Drive {
    /// The belt's designation without its width.
    pub fn designation(&self) -> String {
        self.profile.designate(self.belt_teeth)
    }

    /// The stocked row, if the length is stocked.
    pub fn stocked(&self) -> Option<&'static StockedLength> {
        self.profile.stocked(self.belt_teeth)
    }

    pub(crate) fn stock(&self) -> Option<Stock> {
        self.stocked().map(|row| row.stock)
    }

    /// Pitch length of the belt, mm.
    pub fn length(&self) -> f64 {
        f64::from(self.belt_teeth) * self.profile.pitch
    }

    /// Teeth of the smaller pulley.
    pub fn small_teeth(&self) -> u32 {
        self.spindle_teeth.min(self.encoder_teeth)
    }

    /// Teeth of the larger pulley.
    pub fn large_teeth(&self) -> u32 {
        self.spindle_teeth.max(self.encoder_teeth)
    }

    /// Teeth in mesh on the smaller pulley.
    pub fn mesh(&self) -> u32 {
        mechanics::teeth_in_mesh(self.small_teeth(), self.path.wrap_small)
    }

    /// Mass of the belt over its width, g/m.
    pub fn mass(&self) -> f64 {
        self.profile.mass * self.width
    }

    /// Frequency a span sounds at, Hz.
    pub fn span_frequency(&self) -> f64 {
        mechanics::span_frequency(self.tension, self.mass(), self.path.span)
    }

    /// Load on either shaft along the line of centres, N.
    pub fn hub_load(&self) -> f64 {
        mechanics::hub_load(self.tension, self.path.wrap_small)
    }

    /// Centre travel from slack to tension, mm: least, likely and most, as far as the belt's
    /// stiffness is known.
    pub fn take_up(&self) -> (f64, f64, f64) {
        let stiffness = self.profile.stiffness * self.width;
        let scatter = self.profile.stiffness_scatter;
        let (small, large) = (
            self.profile.pitch_diameter(self.small_teeth()),
            self.profile.pitch_diameter(self.large_teeth()),
        );
        // The drive was solved, so the belt reaches round the pulleys and each of these exists.
        let at = |stiffness: f64| {
            mechanics::take_up(self.length(), small, large, self.tension, stiffness).unwrap_or(f64::NAN)
        };
        (at(stiffness * scatter), at(stiffness), at(stiffness / scatter))
    }

    /// Inward travel, mm, to lay the belt on.
    pub fn install_allowance(&self, flanges: Flanges) -> f64 {
        let over = match flanges {
            Flanges::None => 0.0,
            Flanges::One => self.profile.one_flange,
            Flanges::Both => self.profile.two_flanges,
        };
        belts::allowance(self.length()).install + over
    }

    /// Outward travel, mm, to tension the belt: the maker's allowance, or twice the greatest
    /// take-up where that is more, for the belt's own length tolerance and its settling.
    pub fn tension_allowance(&self) -> f64 {
        belts::allowance(self.length()).tension.max(2.0 * self.take_up().2)
    }

    /// Radius, mm, of the circle that a pulley of this drive stays within, with its flanges and the
    /// belt on it.
    pub fn reach(&self, teeth: u32) -> f64 {
        let body = if teeth == self.encoder_teeth { &self.encoder_pulley } else { &self.spindle_pulley };
        let back = self.profile.pitch_diameter(teeth) / 2.0 + self.profile.back();
        (body.flange_diameter / 2.0).max(back)
    }

    /// The numbers a report gives, under the names the JSON keeps.
    pub fn numbers(&self) -> Numbers {
        let (least, likely, most) = self.take_up();
        Numbers {
            belt: self.designation(),
            belt_teeth: self.belt_teeth,
            stock: self.stock(),
            belt_length: self.length(),
            width: self.width,
            centre_distance: self.centre,
            wrap_small_deg: self.path.wrap_small.to_degrees(),
            wrap_large_deg: self.path.wrap_large.to_degrees(),
            teeth_in_mesh_small: self.mesh(),
            ratio: f64::from(self.large_teeth()) / f64::from(self.small_teeth()),
            pitch_diameter_small: self.profile.pitch_diameter(self.small_teeth()),
            pitch_diameter_large: self.profile.pitch_diameter(self.large_teeth()),
            outside_diameter_small: self.profile.outside_diameter(self.small_teeth()),
            outside_diameter_large: self.profile.outside_diameter(self.large_teeth()),
            span_length: self.path.span,
            tension_n: self.tension,
            hub_load_n: self.hub_load(),
            span_frequency_hz: self.span_frequency(),
            take_up_least: least,
            take_up: likely,
            take_up_most: most,
        }
    }
}

/// A drive's numbers. Millimetres unless the name ends in a unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Numbers {
    /// The belt's designation.
    pub belt: String,
    /// Teeth round the belt.
    pub belt_teeth: u32,
    /// `common`, `range` or nothing when no maker in the table keeps it.
    pub stock: Option<Stock>,
    /// Pitch length.
    pub belt_length: f64,
    /// Belt width.
    pub width: f64,
    /// Centre distance.
    pub centre_distance: f64,
    /// Wrap on the smaller pulley.
    pub wrap_small_deg: f64,
    /// Wrap on the larger pulley.
    pub wrap_large_deg: f64,
    /// Whole teeth in mesh on the smaller pulley.
    pub teeth_in_mesh_small: u32,
    /// Teeth of the larger pulley over those of the smaller.
    pub ratio: f64,
    /// Pitch diameter of the smaller pulley.
    pub pitch_diameter_small: f64,
    /// Pitch diameter of the larger pulley.
    pub pitch_diameter_large: f64,
    /// Outside diameter of the smaller pulley.
    pub outside_diameter_small: f64,
    /// Outside diameter of the larger pulley.
    pub outside_diameter_large: f64,
    /// Length of one free span.
    pub span_length: f64,
    /// Tension of each span at rest.
    pub tension_n: f64,
    /// Load on either shaft at rest.
    pub hub_load_n: f64,
    /// Frequency a span sounds at when plucked.
    pub span_frequency_hz: f64,
    /// Least take-up from slack to tension, if the belt is as stiff as it may be.
    pub take_up_least: f64,
    /// Likely take-up.
    pub take_up: f64,
    /// Most take-up, if the belt is as soft as it may be.
    pub take_up_most: f64,
}
