//! The space between two teeth of a pulley.
//!
//! Straight flanks and a flat floor for the trapezoidal belts (ISO 5294, DIN 7721-2), an arc for a floor
//! for the curvilinear ones (JB/T 7512.2). Where no space is published it follows the belt's own tooth
//! with a stated clearance, and says that it is estimated.

use super::table::Table;
use crate::error::{Error, Result};
use serde::Deserialize;

/// One figure of a tooth space: one row of `tooth_spaces.csv`, mm or degrees.
#[derive(Clone, Debug, Deserialize)]
struct Row {
    profile: String,
    quantity: String,
    value: f64,
    source: String,
}

static ROWS: Table<Row> = Table::new("tooth_spaces.csv", include_str!("tooth_spaces.csv"));

/// The floor of a space, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Floor {
    /// Flat, this wide between the flanks.
    Flat(f64),
    /// An arc of this radius.
    Round(f64),
}

/// A tooth space, mm and rad.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// From the outside diameter to the floor.
    pub depth: f64,
    /// Its floor.
    pub floor: Floor,
    /// A flank against the middle line.
    pub half_angle: f64,
    /// Rounding where flank and outside diameter meet.
    pub tip_radius: f64,
    /// Rounding between flank and a flat floor.
    pub root_radius: f64,
    /// Whether the space itself is published, and not estimated from the belt's tooth.
    pub published: bool,
    /// Where it stands.
    pub source: String,
}

/// The tooth space of a pulley of so many teeth, for a belt profile by its designation and the height of
/// its tooth.
pub fn space(profile: &str, tooth_height: f64, teeth: u32) -> Result<Space> {
    let row = |quantity: &str| ROWS.all().iter().find(|r| r.profile == profile && r.quantity == quantity);
    let value = |quantity: &str| {
        row(quantity)
            .map(|r| r.value)
            .ok_or_else(|| Error::internal(format!("{profile} has no {quantity} in tooth_spaces.csv.")))
    };
    let source = |quantity: &str| row(quantity).map_or(String::new(), |r| r.source.clone());
    let tip = || value("tip_radius");
    if row("bottom_width").is_some() {
        return Ok(Space {
            depth: value("depth")?,
            floor: Floor::Flat(value("bottom_width")?),
            half_angle: value("half_angle")?.to_radians(),
            tip_radius: tip()?,
            root_radius: value("root_radius_max")?,
            published: true,
            source: source("bottom_width"),
        });
    }
    if row("top_width_N").is_some() {
        // The narrow form for few teeth, which leaves less play (DIN 7721-2).
        let (top, depth) =
            if teeth <= FEW { ("top_width_SE", "depth_SE") } else { ("top_width_N", "depth_N_min") };
        let (half, depth) = ((value("included_angle")? / 2.0).to_radians(), value(depth)?);
        return Ok(Space {
            depth,
            floor: Floor::Flat(value(top)? - 2.0 * depth * half.tan()),
            half_angle: half,
            tip_radius: tip()?,
            root_radius: value("root_radius_max")?,
            published: true,
            source: source(top),
        });
    }
    if row("bottom_arc_radius").is_some() {
        return Ok(Space {
            depth: value("depth")?,
            floor: Floor::Round(value("bottom_arc_radius")?),
            half_angle: (value("profile_angle")? / 2.0).to_radians(),
            tip_radius: (value("tip_radius_min")? + value("tip_radius_max")?) / 2.0,
            root_radius: 0.0,
            published: true,
            source: source("bottom_arc_radius"),
        });
    }
    let clearance = value("clearance")?;
    let depth = tooth_height + clearance;
    if row("belt_tooth_radius").is_some() {
        return Ok(Space {
            depth,
            floor: Floor::Round(value("belt_tooth_radius")? + clearance / 2.0),
            half_angle: (value("profile_angle")? / 2.0).to_radians(),
            tip_radius: tip()?,
            root_radius: 0.0,
            published: false,
            source: source("belt_tooth_radius"),
        });
    }
    Ok(Space {
        depth,
        floor: Floor::Flat(value("belt_tooth_tip_width")? + clearance),
        half_angle: (value("included_angle")? / 2.0).to_radians(),
        tip_radius: tip()?,
        root_radius: value("root_radius_max")?,
        published: false,
        source: source("belt_tooth_tip_width"),
    })
}

/// Most teeth of a pulley that takes the narrow form of a T space (DIN 7721-2, from memory).
const FEW: u32 = 20;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::belts::profiles;

    #[test]
    fn every_profile_has_a_space_that_takes_its_belt_s_tooth() {
        for profile in profiles() {
            for teeth in [profile.least_teeth, 20, 21, 60] {
                let space = profile.tooth_space(teeth).unwrap();
                // ISO 5294 and DIN 7721-2 let a T belt's narrow space carry it on the tooth's tip.
                let least = if profile.name.starts_with('T') { 1.0 } else { 1.03 } * profile.tooth_height;
                assert!(space.depth >= least, "{}: {space:?}", profile.name);
                assert!(space.depth < 2.0 * profile.tooth_height && space.source.len() > 10);
                let wide = match space.floor {
                    Floor::Flat(width) => width,
                    Floor::Round(radius) => 2.0 * radius,
                };
                assert!(wide > 0.15 * profile.pitch && wide < 0.75 * profile.pitch, "{}", profile.name);
            }
        }
    }

    #[test]
    fn widths_at_the_outside_follow_from_the_floor() {
        let at_outside = |name: &str| {
            let space = crate::catalog::belts::profile(name).unwrap().tooth_space(30).unwrap();
            let Floor::Flat(width) = space.floor else { panic!("{name}") };
            width + 2.0 * space.depth * space.half_angle.tan()
        };
        for (name, wide) in [("MXL", 1.34), ("XL", 2.86), ("L", 4.99), ("T5", 3.32), ("T10", 6.57)] {
            assert!((at_outside(name) - wide).abs() < 0.01, "{name}: {}", at_outside(name));
        }
    }
}
