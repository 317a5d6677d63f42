//! Every dimension of a pulley, from its belt and its shaft.
//!
//! The axis is z; the lower flange lies on the bed, above it the teeth, the upper flange and the hub.

use super::bore::{Bore, given};
use super::clamp::{Clamp, lasting};
use super::spec::{Pulley, Sides};
use super::tooth::Teeth;
use crate::belt_drive::bores::set_screw;
use crate::catalog::belts::{self, Profile};
use crate::catalog::fasteners::{self, HexNut};
use crate::catalog::tooth_spaces::Space;
use crate::design::Feature;
use crate::error::{Error, Result, within};
use crate::workshop::{Printer, Workshop};
use std::f64::consts::{FRAC_PI_2, PI, SQRT_2};

/// How much wider than its belt the toothed face is, mm: makers' faces are 1 to 2 mm wider (MISUMI
/// catalogue, Timing Pulleys T5).
const FACE_PLAY: f64 = 1.5;
/// Thickness of the lower flange, and of the upper one's rim, mm (makers' flanges are 1 to 2 mm of
/// metal: MISUMI catalogue, Timing Pulleys).
const FLANGE: f64 = 1.6;
const RIM: f64 = 0.8;
/// How far a flange stands over the belt's back, mm (common practice; ISO 5294 asks for less).
const OVER_BELT: f64 = 1.0;
/// Plastic between bore and nut, and between nut and the hub's outside, mm (common practice, no source).
const BEHIND_NUT: f64 = 2.5;
const BEFORE_NUT: f64 = 3.0;
/// Printed lines about a nut: two from either side (common practice).
pub const PRINTED: f64 = 4.0;
/// What the corners of a mesh take off a wall, mm.
const CORNERS: f64 = 0.1;
/// Play of a nut in its pocket once printed, mm (common practice, no source).
const NUT_PLAY: f64 = 0.2;
/// How far the upper flange begins inside the floor of the tooth spaces, mm.
const INSIDE_ROOT: f64 = 0.2;
/// Run-out taken where none was measured, mm: a print on a print's bore (estimated).
pub const RUN_OUT: f64 = 0.2;

/// Set screws in a hub, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct SetScrews {
    /// Thread.
    pub size: &'static str,
    /// How many.
    pub count: u32,
    /// The nut each turns in.
    pub nut: HexNut,
    /// Side of the square passage for a screw.
    pub passage: f64,
    /// The printer's allowance in pocket and passage, mm.
    pub allowance: f64,
    /// Radius at which the pocket for the nut begins.
    pub pocket: f64,
    /// Height of the screws over the bed.
    pub height: f64,
}

impl SetScrews {
    /// Width, thickness and least height over the bed of a nut's pocket, mm.
    pub fn pocket_size(&self) -> (f64, f64, f64) {
        let play = NUT_PLAY + self.allowance;
        let low = self.height - (self.nut.across_corners() + play) / 2.0;
        (self.nut.across_flats + play, self.nut.height + play, low)
    }

    /// The angles they stand at, rad: the first over the flat of a shaft, none over its key.
    pub fn angles(&self, bore: &Bore) -> Vec<f64> {
        let all = if bore.key.is_some() { [-FRAC_PI_2, PI, 0.0] } else { [FRAC_PI_2, 0.0, PI] };
        all.into_iter().take(self.count as usize).collect()
    }
}

/// A pulley with every dimension settled, mm.
#[derive(Clone, Debug)]
pub struct Layout {
    /// The belt's profile.
    pub profile: &'static Profile,
    /// Width of the belt.
    pub belt_width: f64,
    /// Tension of each span at rest, N.
    pub tension: f64,
    /// The tooth space as published or estimated.
    pub space: Space,
    /// How much wider it is drawn.
    pub clearance: f64,
    /// How much wider than it is to come out the outside of the teeth is drawn, mm.
    pub outside_allowance: f64,
    /// The toothed rim.
    pub teeth: Teeth,
    /// The bore.
    pub bore: Bore,
    /// Height at which the teeth begin, and end.
    pub face: (f64, f64),
    /// Diameter of the flanges; nothing where there are none.
    pub flange: Option<f64>,
    /// Radius of the slope over the teeth, from the floor of their spaces, and the height it ends at.
    pub slope: Option<(f64, f64)>,
    /// Diameter and length of the hub; nothing where there is none.
    pub hub: Option<(f64, f64)>,
    /// Its set screws.
    pub screws: Option<SetScrews>,
    /// The clamp it is instead.
    pub clamp: Option<Clamp>,
    /// Height of the whole.
    pub height: f64,
    /// Run-out on the shaft.
    pub run_out: f64,
}

impl Layout {
    /// Settles a request. Fails for values out of bounds and for a bore that leaves no pulley.
    pub fn new(spec: &Pulley, workshop: &Workshop) -> Result<Layout> {
        let profile = belts::profile(&spec.profile)?;
        let count = profile.pulley_teeth("--teeth", spec.teeth)?;
        within("--teeth", f64::from(count), 8.0, 240.0, "teeth")?;
        let belt_width = match spec.width {
            Some(width) => within("--width", width.mm(), 2.0, 60.0, "mm")?,
            None => profile.usual_width,
        };
        let tension =
            within("--tension", spec.tension.unwrap_or(profile.tension * belt_width), 0.1, 2000.0, "N")?;
        let space = profile.tooth_space(count)?;
        let clearance = match spec.tooth_clearance {
            Some(clearance) => within("--tooth-clearance", clearance.mm(), 0.0, 0.3 * profile.pitch, "mm")?,
            None => workshop.printer.hole_allowance,
        };
        let outside_allowance = workshop.printer.allowance(Feature::Outside);
        let teeth = Teeth::new(
            count,
            (profile.outside_diameter(count) + outside_allowance) / 2.0,
            &space,
            clearance,
        )?;
        let bore = Bore::new(spec, workshop, &teeth)?;
        let sides = spec.flanges.unwrap_or_default();
        let flange_radius = teeth.outside + profile.pitch_line_offset + profile.back() + OVER_BELT;
        let low = if sides == Sides::None { 0.0 } else { FLANGE };
        let face = (low, low + belt_width + FACE_PLAY);
        let clamp = match spec.clamp {
            true => {
                // The most two spans can differ by before one hangs slack is twice the tension at rest.
                let asked = 2.0 * tension * profile.pitch_diameter(count) / 2.0;
                Some(Clamp::new(spec, &bore, asked, workshop.printer.hole_allowance, &lasting(workshop)?)?)
            }
            false => None,
        };
        let hub = if clamp.is_some() { None } else { hub(spec, &bore, &workshop.printer)? };
        let round = clamp.as_ref().map(|clamp| (clamp.diameter, clamp.length));
        let round = round.or(hub.as_ref().map(|hub| (hub.diameter, hub.length)));
        let inside = teeth.root() - INSIDE_ROOT;
        let upper = if sides == Sides::Both { flange_radius } else { 0.0 };
        let upper = upper.max(round.map_or(0.0, |(diameter, _)| diameter / 2.0));
        let slope = (upper > inside).then_some((upper, face.1 + upper - inside));
        let on = slope.map_or(face.1, |(_, top)| top + RIM);
        let height = on + round.map_or(0.0, |(_, length)| length);
        let screws =
            hub.as_ref().map(|hub| SetScrews { height: on + hub.length / 2.0, ..hub.screws.clone() });
        Ok(Layout {
            profile,
            belt_width,
            tension,
            space,
            clearance,
            outside_allowance,
            teeth,
            bore,
            face,
            flange: (sides != Sides::None).then_some(2.0 * flange_radius),
            slope,
            hub: round,
            screws,
            clamp,
            height,
            run_out: given("--run-out", spec.run_out, (0.0, 5.0))?.unwrap_or(RUN_OUT),
        })
    }

    /// Pitch diameter, mm.
    pub fn pitch_diameter(&self) -> f64 {
        self.profile.pitch_diameter(self.teeth.count)
    }

    /// Radius at which the slope over the teeth begins, mm.
    pub fn slope_foot(&self) -> f64 {
        self.teeth.root() - INSIDE_ROOT
    }
}

struct Hub {
    diameter: f64,
    length: f64,
    screws: SetScrews,
}

fn hub(spec: &Pulley, bore: &Bore, printer: &Printer) -> Result<Option<Hub>> {
    let count = spec.set_screws.unwrap_or(2);
    within("--set-screws", f64::from(count), 0.0, 3.0, "screws")?;
    if count == 0 {
        return match spec.hub {
            None => Ok(None),
            Some(_) => Err(Error::request(
                "--hub is given, but --set-screws 0 leaves nothing for a hub to hold.",
                "Leave one of the two out.",
            )),
        };
    }
    let (size, _) = set_screw(bore.shaft);
    let nut = fasteners::hex_nut(size)?;
    let allowance = printer.hole_allowance;
    // As many lines about a nut as its check asks: behind it, before it, and between two that stand square to each other.
    let lines = PRINTED * printer.line_width + CORNERS;
    let wide = nut.across_flats + NUT_PLAY + allowance;
    let beside = if count > 1 { wide / 2.0 + lines / SQRT_2 } else { 0.0 };
    let pocket = (bore.diameter / 2.0 + BEHIND_NUT.max(lines)).max(beside);
    // The nut's outer corners lie nearest to the outside.
    let front = pocket + nut.height + NUT_PLAY + allowance;
    let least = 2.0 * (front + BEFORE_NUT).max(front.hypot(wide / 2.0) + lines);
    let diameter = given("--hub", spec.hub, (least, 300.0))?.unwrap_or((2.0 * least).ceil() / 2.0);
    let passage = fasteners::clearance_hole(size)?.medium + allowance;
    let length = (nut.across_corners() + NUT_PLAY + allowance + 4.0).ceil();
    Ok(Some(Hub {
        diameter,
        length,
        screws: SetScrews { size, count, nut, passage, allowance, pocket, height: 0.0 },
    }))
}
