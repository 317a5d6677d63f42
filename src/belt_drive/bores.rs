//! What pulleys can be bored for.

use crate::catalog::belts::Profile;
use crate::catalog::pulleys;
use crate::checks::{Finding, Level};
use crate::error::{Error, Result, number, within};
use serde::Serialize;

/// Least wall between a pulley's bore and the bottom of its tooth gaps, mm: the thinnest in the makers'
/// lists looked through leave a little more (common practice, no source).
pub const LEAST_BORE_WALL: f64 = 1.0;

/// A pulley on the shaft it is bored for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnShaft {
    /// Whose it is: `encoder` or `spindle`.
    pub whose: &'static str,
    /// Its teeth.
    pub teeth: u32,
    /// Diameter of the shaft, mm.
    pub shaft: f64,
}

impl OnShaft {
    /// What is left when a pulley of so many teeth is bored for the shaft, mm; negative where it
    /// cannot be: to the greatest bore makers list, or else of the wall under the tooth gaps.
    fn spare(&self, profile: &Profile, teeth: u32) -> f64 {
        match pulleys::greatest_bore(profile, teeth) {
            Some((greatest, _)) => greatest - self.shaft,
            None => wall(profile, teeth, self.shaft) - LEAST_BORE_WALL,
        }
    }

    /// The least tooth count from this pulley's on that can be bored, of those that are kept first.
    fn least_teeth(&self, profile: &Profile) -> Option<u32> {
        let kept = pulleys::stocked_teeth(profile).into_iter().filter(|teeth| *teeth >= self.teeth);
        kept.chain(self.teeth..=1000).find(|teeth| self.spare(profile, *teeth) >= 0.0)
    }
}

/// Whether the pulleys can be bored for their shafts: of several the one with the least to spare. The
/// remedy names both pulleys, the spindle's first.
pub fn bore_finding(profile: &Profile, teeth: (u32, u32), on: &[OnShaft], level: Level) -> Option<Finding> {
    let spare = |pulley: &OnShaft| pulley.spare(profile, pulley.teeth);
    let worst = on.iter().min_by(|a, b| spare(a).total_cmp(&spare(b)))?;
    let least = |whose: &str, teeth: u32| {
        let of = on.iter().filter(|pulley| pulley.whose == whose);
        of.filter_map(|pulley| pulley.least_teeth(profile)).fold(teeth, u32::max)
    };
    let remedy = format!(
        "Give --pulleys {},{}: the least that can be bored.",
        least("spindle", teeth.0),
        least("encoder", teeth.1)
    );
    let pulley = format!("The {}'s pulley of {} teeth", worst.whose, worst.teeth);
    if let Some((greatest, source)) = pulleys::greatest_bore(profile, worst.teeth) {
        return Some(Finding::at_most(
            "pulley-bore",
            (worst.shaft, greatest, "mm"),
            level,
            format!(
                "{pulley} sits on a shaft of {} mm; makers list it with a bore of up to {} mm.",
                number(worst.shaft),
                number(greatest)
            ),
            remedy,
            source,
        ));
    }
    let wall = wall(profile, worst.teeth, worst.shaft);
    Some(Finding::at_least(
        "pulley-bore",
        (wall, LEAST_BORE_WALL, "mm"),
        level,
        format!(
            "{pulley} is {:.2} mm across the bottom of its tooth gaps; bored for a shaft of {} mm that leaves a wall of {wall:.2} mm.",
            profile.root_diameter(worst.teeth),
            number(worst.shaft),
        ),
        remedy,
        "common practice: 1 mm between the bore and the tooth gaps; the set screw sits in a hub beside the teeth",
    ))
}

/// The least pulley that can be bored for a shaft.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bored {
    /// Shaft diameter, mm.
    pub shaft: f64,
    /// Least tooth count.
    pub teeth: u32,
    /// Wall left between the bore and the bottom of the tooth gaps, mm.
    pub web: f64,
    /// Wall asked for, mm.
    pub least_web: f64,
    /// Set screw the hub takes.
    pub set_screw: &'static str,
    /// Outside diameter over the teeth, mm.
    pub outside_diameter: f64,
    /// Whether makers keep a pulley of so many teeth.
    pub stocked: bool,
    /// What the tooth count rests on.
    pub basis: String,
}

/// Bore up to which each set screw is usual (common practice, no source), and its diameter.
const SET_SCREWS: [(f64, &str, f64); 7] = [
    (5.0, "M3", 3.0),
    (10.0, "M4", 4.0),
    (17.0, "M5", 5.0),
    (25.0, "M6", 6.0),
    (40.0, "M8", 8.0),
    (65.0, "M10", 10.0),
    (f64::INFINITY, "M12", 12.0),
];

/// Set screw of a pulley bored for a shaft: its size and diameter, mm.
pub fn set_screw(shaft: f64) -> (&'static str, f64) {
    // The last row holds every bore.
    let row = SET_SCREWS.into_iter().find(|row| shaft <= row.0).unwrap_or(SET_SCREWS[6]);
    (row.1, row.2)
}

/// Wall between a bore and the bottom of the tooth gaps, mm.
fn wall(profile: &Profile, teeth: u32, bore: f64) -> f64 {
    (profile.root_diameter(teeth) - bore) / 2.0
}

/// Whether a pulley can be bored for a shaft, mm: as far as makers bore it, or where none is known as far as its hub
/// still holds a set screw.
pub fn can_be_bored(profile: &Profile, teeth: u32, shaft: f64) -> bool {
    match pulleys::greatest_bore(profile, teeth) {
        Some((greatest, _)) => shaft <= greatest,
        None => wall(profile, teeth, shaft) >= set_screw(shaft).1,
    }
}

/// The least tooth count that a pulley bored for `shaft` mm may have: of the counts makers keep, the
/// first they bore so far; beyond them the first that leaves a sound wall under its tooth gaps.
///
/// Where no maker's bores are known the hub beside the teeth is taken as large as the tooth gaps leave
/// it, and must hold a set screw by its own diameter of thread; that wall is more than the teeth
/// themselves ask for.
pub fn least_teeth_for_shaft(profile: &'static Profile, shaft: f64) -> Result<Bored> {
    within("--shafts", shaft, 1.0, 200.0, "mm")?;
    let (set_screw, least_web) = set_screw(shaft);
    let kept: Vec<u32> =
        pulleys::stocked_teeth(profile).into_iter().filter(|teeth| *teeth >= profile.least_teeth).collect();
    let beyond = kept.last().map_or(profile.least_teeth, |most| most + 1);
    let teeth = kept
        .iter()
        .copied()
        .chain(beyond..=1000)
        .find(|teeth| can_be_bored(profile, *teeth, shaft))
        .ok_or_else(|| {
            Error::geometry(
                format!(
                    "No {} pulley of up to 1000 teeth can be bored for {} mm.",
                    profile.name,
                    number(shaft)
                ),
                "Take a profile of greater pitch.",
            )
        })?;
    let basis = match pulleys::greatest_bore(profile, teeth) {
        Some((greatest, source)) => format!("bored up to {} mm: {source}", number(greatest)),
        None => {
            "one diameter of set-screw thread in the hub under the tooth gaps (common practice, no source)"
                .into()
        }
    };
    Ok(Bored {
        shaft,
        teeth,
        web: wall(profile, teeth, shaft),
        least_web,
        set_screw,
        outside_diameter: profile.outside_diameter(teeth),
        stocked: kept.contains(&teeth),
        basis,
    })
}
