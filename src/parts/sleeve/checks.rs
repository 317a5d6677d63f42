//! The checks of a sleeve: does it touch only what it may, does it stand the force, and does the set-up
//! round it hold.

use super::press::Press;
use super::pressing::Pressing;
use super::sizing::Sizing;
use super::spec::{Ring, Sleeve};
use super::stack::Tube;
use super::strength::{self as holding, Plastic};
use super::walls;
use crate::catalog::bearings::{Basis, Bearing};
use crate::checks::{Finding, Level, Relation};
use crate::design::Piece;
use crate::error::{Result, newtons, number, to_thousandth};
use crate::fit;
use crate::fit::clearance::ClearanceLeft;
use crate::mechanics::strength;
use crate::workshop::Workshop;

/// Bore from which makers mount warm, mm (SKF, Rolling bearings, 2018, mounting: large bearings).
const MOUNTED_WARM: f64 = 80.0;
/// Length of guide that keeps a sleeve from tipping, mm (common practice).
const GUIDE: f64 = 3.0;

/// Everything the checks compare.
pub struct Checked<'a> {
    /// The request.
    pub spec: &'a Sleeve,
    /// Printer and material.
    pub workshop: &'a Workshop,
    /// The bearing.
    pub bearing: &'a Bearing,
    /// Joints and force.
    pub press: &'a Press,
    /// The sleeve.
    pub sizing: &'a Sizing,
    /// The plastic under its conditions.
    pub plastic: &'a Plastic,
    /// The way home.
    pub pressing: &'a Pressing,
    /// The pieces it is printed in.
    pub tubes: &'a [Tube],
    /// What the fit leaves of the bearing's own clearance.
    pub clearance_left: Option<&'a ClearanceLeft>,
}

impl Checked<'_> {
    /// All findings that need no mesh, in the order of the force's way.
    pub fn findings(&self) -> Result<Vec<Finding>> {
        let mut found = vec![self.land_clearance(), self.centring(), self.guidance(), self.nose_wall()];
        found.extend(self.press.joints().map(|joint| self.fit(joint)));
        found.extend(self.internal_clearance());
        found.extend(self.mounted_warm());
        found.extend(self.warm_by_hand());
        found.extend(self.sleeve_modes()?);
        found.extend(self.screw_proof()?);
        found.extend(self.rod_passes());
        found.extend(self.thread_engagement());
        found.extend(self.far_plate());
        found.extend(self.drive_plate());
        found.extend(self.room());
        found.push(self.softening());
        found.extend(self.bearing_heat());
        found.push(self.housing_clearance());
        found.push(self.shaft_clearance());
        found.extend(self.bed());
        Ok(found)
    }

    /// Least room between the edge of a contact face and the edge of its land on the side where
    /// the other ring, the shield or the cage lies.
    fn land_clearance(&self) -> Finding {
        let sizing = self.sizing;
        let (first, second) = sizing.faces;
        let inner = sizing.land.outer - first.outer;
        let outer = |face: super::shape::Band, land: super::shape::Band| face.inner - land.inner;
        let room = match (self.spec.ring, second, sizing.outer_land) {
            (Ring::Outer, _, _) => outer(first, sizing.land),
            (Ring::Both, Some(face), Some(land)) => inner.min(outer(face, land)),
            _ => inner,
        } / 2.0;
        // Above this the face stays on its land even with sleeve and print as far off as they can be.
        let needed = sizing.shift + sizing.tolerance;
        let says = format!(
            "The face ends {room:.2} mm short of the shoulder; the sleeve can stand {:.2} mm off centre and its edge may be {:.2} mm off.",
            sizing.shift, sizing.tolerance
        );
        let basis = "geometry of play and print tolerance (common practice)";
        let numbers = (to_thousandth(room), to_thousandth(needed), "mm");
        let inner_guessed = matches!(self.bearing.inner_basis, Basis::Estimated(_));
        let of_outer = ("outer", "--outer-land", self.bearing.outer_shoulder, &self.bearing.outer_basis);
        let (ring, option, shoulder, shoulder_basis) = match self.spec.ring {
            Ring::Outer => of_outer,
            Ring::Both if !inner_guessed => of_outer,
            _ => ("inner", "--inner-land", self.bearing.inner_shoulder, &self.bearing.inner_basis),
        };
        match shoulder_basis {
            Basis::Estimated(how) if room >= needed => Finding::settled(
                "land-clearance",
                Relation::AtLeast,
                numbers,
                Level::Caution,
                format!("{says} The shoulder itself, {shoulder:.2} mm, is an estimate on the safe side."),
                format!("Measure the {ring} ring's shoulder with the caliper and give it as {option}."),
                format!("{how}; {basis}"),
            ),
            _ => Finding::at_least(
                "land-clearance",
                numbers,
                if room < sizing.shift { Level::Stop } else { Level::Caution },
                says,
                format!("Measure the {ring} ring's shoulder with the caliper and give it as {option}."),
                basis,
            ),
        }
    }

    /// Whether shaft or housing hold the sleeve central once the ring is home.
    fn centring(&self) -> Finding {
        let reach = match self.spec.ring {
            Ring::Both => self.sizing.reach.max(self.sizing.shaft_reach),
            _ => self.sizing.reach,
        };
        Finding::at_least(
            "centring",
            (to_thousandth(reach), GUIDE, "mm"),
            Level::Caution,
            format!(
                "Shaft or housing stand {reach:.1} mm past the seated face and so hold the sleeve central."
            ),
            "Give the --reach there is; with less than 3 mm centre the sleeve by eye and begin with hardly any force.",
            "common practice: a shorter guide lets a sleeve tip off its land",
        )
    }

    /// Whether they hold it when the force starts.
    fn guidance(&self) -> Finding {
        let guide = self.pressing.guide_at_start;
        Finding::at_least(
            "guidance",
            (to_thousandth(guide), GUIDE, "mm"),
            Level::Caution,
            format!(
                "When the ring first meets its seat, {:.1} mm before home, the sleeve is guided over {guide:.1} mm.",
                self.pressing.travel
            ),
            "Start the ring square by hand, hold the sleeve central on its face until the ring has gone on a third, and begin with hardly any force.",
            "common practice: a shorter guide lets a sleeve tip off its land",
        )
    }

    fn nose_wall(&self) -> Finding {
        let wall = self.sizing.shape.least_nose_wall();
        let lines = 2.0 * self.workshop.printer.line_width;
        Finding::at_least(
            "nose-wall",
            (to_thousandth(wall), to_thousandth(lines), "mm"),
            Level::Stop,
            format!("The nose is {wall:.2} mm thick; two printed lines are {lines:.2} mm."),
            "Turn this sleeve from steel tube.",
            "common practice: a wall of fewer than two lines has no strength across it",
        )
    }

    fn fit(&self, joint: &super::press::Joint) -> Finding {
        let check = if joint.partner == "shaft" { "shaft-fit" } else { "housing-fit" };
        if joint.fit.interference_max_um > 0.0 && !joint.freed {
            return Finding { check, ..joint.fit.finding() };
        }
        let (says, remedy) = match (joint.drops_on, joint.freed) {
            (true, _) => (
                format!(
                    "At these temperatures the {} is {:.0} µm clear: the ring drops on by hand. At 20 °C it is up to {:.0} µm tight, and the print is checked for that, should it stick.",
                    joint.partner, -joint.meets_um, joint.cold_um
                ),
                "Have everything ready: it grips within seconds. What sticks is pressed home once all is cold.".to_string(),
            ),
            (false, true) => (
                format!(
                    "At these temperatures the {} is free by {:.0} µm, too little for the ring to drop on by hand; at 20 °C it is up to {:.0} µm tight.",
                    joint.partner, -joint.meets_um, joint.cold_um
                ),
                "Warm or chill it further, as far as the limits allow, or press it cold.".to_string(),
            ),
            (false, false) => (
                format!(
                    "The {} is loose on the ring at every size it may have; nothing needs pressing.",
                    joint.partner
                ),
                match joint.assumed {
                    true => format!("Measure the seat and give it as --{}-measured.", joint.partner),
                    false => "Measure it again: a ring that turns on its seat wears it away.".to_string(),
                },
            ),
        };
        Finding::settled(
            check,
            Relation::AtLeast,
            (to_thousandth(joint.meets_um), 0.0, "µm"),
            Level::Caution,
            says,
            remedy,
            joint.fit.basis.first().cloned().unwrap_or_default(),
        )
    }

    /// A bearing whose fits take all of its clearance runs preloaded, and hot.
    fn internal_clearance(&self) -> Option<Finding> {
        let left = self.clearance_left?;
        Some(Finding::at_least(
            "internal-clearance",
            (to_thousandth(left.left_likely_um), 0.0, "µm"),
            Level::Caution,
            left.says.clone(),
            format!("Take the bearing with {} clearance, or a looser seat.", left.wanted),
            "ISO 5753-1; what the rings' swelling takes, by Lamé",
        ))
    }

    fn mounted_warm(&self) -> Option<Finding> {
        let bore = self.bearing.bore;
        (bore > MOUNTED_WARM && !self.press.by_hand).then(|| {
            Finding::settled(
                "warm-mounting",
                Relation::AtMost,
                (bore, MOUNTED_WARM, "mm"),
                Level::Caution,
                format!(
                    "A bearing of {} mm bore is mounted warm, not pressed: the force and the harm of a slip grow with its size.",
                    number(bore)
                ),
                "Warm it within its limit and drop it on by hand; give --warm with that temperature.",
                "SKF, Rolling bearings (2018), mounting: over about 80 mm bore by heat or oil",
            )
        })
    }

    /// What is warm goes together by hand or not at all: pushed, it cools and grips on the way, and takes the cold force.
    fn warm_by_hand(&self) -> Option<Finding> {
        let warm = self.spec.warm.filter(|_| !self.press.by_hand)?;
        let needed = self.press.joints().map(|joint| joint.drops_on_c).fold(0.0, f64::max);
        Some(Finding::settled(
            "warm-by-hand",
            Relation::AtLeast,
            (warm, to_thousandth(needed), "°C"),
            Level::Stop,
            format!(
                "At {} °C it does not go together by hand; pushed, it cools within seconds, grips short of home, and then takes the whole cold force.",
                number(warm)
            ),
            "Warm it, within the bearing's limit, until it goes together by hand; or leave --warm out and press it cold.",
            "differential expansion with play to go together by hand; what is warm is not pushed by plastic (common practice)",
        ))
    }

    /// One finding for each way the sleeve can give.
    fn sleeve_modes(&self) -> Result<Vec<Finding>> {
        let force = newtons(self.press.force.checked);
        let modes = holding::checked(self.spec, self.sizing, self.plastic, self.press)?;
        // What the force does not reach cannot give: an end whose washer stands on the walls.
        let reached = modes.iter().filter(|mode| mode.factor.is_finite());
        Ok(reached
            .map(|mode| {
                Finding::at_least(
                    mode.mode,
                    (to_thousandth(mode.factor), strength::TRUSTED_LEAST, ""),
                    holding::level(self.spec, mode.factor),
                    format!(
                        "{}: {:.1} MPa under {force} (tightest sizes, oiled seat) against {:.1} MPa, the least a sound print has; safety factor {:.2}.",
                        mode_words(mode.mode),
                        mode.stress_mpa,
                        mode.strength_mpa,
                        mode.factor
                    ),
                    format!(
                        "Measure the seat to narrow the force (--{}-measured), or turn this sleeve from steel tube.",
                        if self.spec.ring == Ring::Outer { "housing" } else { "shaft" }
                    ),
                    mode_basis(mode.mode),
                )
            })
            .collect())
    }

    fn screw_proof(&self) -> Result<Option<Finding>> {
        let Some(screw) = &self.sizing.screw else {
            return Ok(None);
        };
        let factor = screw.safety(self.press.force.most)?.min(999.0);
        Ok(Some(Finding::at_least(
            "screw-proof",
            (to_thousandth(factor), strength::TRUSTED, ""),
            strength::level(factor),
            format!(
                "The {} screw of class {}, twisted as it is turned, holds {factor:.2} times what a dry seat may take.",
                screw.thread, screw.class
            ),
            "Give a rod of a higher marked class, such as --rod-class 8.8.",
            "ISO 898-1:2013, proof stress times stress area, over 1.3 for the twist of the nut (VDI 2230, from memory)",
        )))
    }

    fn rod_passes(&self) -> Option<Finding> {
        let (screw, way) = (self.sizing.screw.as_ref()?, self.sizing.way.as_ref()?);
        Some(Finding::at_most(
            "rod-passes",
            (screw.diameter, to_thousandth(way.widest), "mm"),
            Level::Stop,
            format!("The rod is {} and has to go through {}.", screw.thread, way.narrowest),
            "Warm the bearing or chill the shaft, and join them by hand.",
            "common practice: half a millimetre of play for a rod, six tenths of a shaft's end for a thread",
        ))
    }

    fn thread_engagement(&self) -> Option<Finding> {
        let (rod, depth) = (self.pressing.rod.as_ref()?, self.spec.thread_depth?);
        (rod.engagement > 0.0).then(|| {
            Finding::at_least(
                "thread-engagement",
                (depth.mm(), to_thousandth(rod.engagement), "mm"),
                Level::Stop,
                format!(
                    "The rod can be screwed {} mm into the shaft's end; its full strength takes {:.0} mm.",
                    number(depth.mm()),
                    rod.engagement
                ),
                "Drill and tap the shaft's end deeper, or warm the bearing and drop it on by hand.",
                "least thread engagement, Roloff/Matek, Maschinenelemente (from memory)",
            )
        })
    }

    fn far_plate(&self) -> Option<Finding> {
        let plate = self.pressing.far_plate?;
        Some(Finding::at_least(
            "far-plate",
            (to_thousandth(plate.factor.min(999.0)), strength::STEEL_FACTOR, ""),
            Level::Stop,
            format!(
                "A steel plate {} mm thick over an opening of {} mm at the far end.",
                number(plate.thickness),
                number(plate.opening)
            ),
            "Give the --far-opening there is, or use --drive flat.",
            "Roark's Formulas for Stress and Strain, table 11.2; S235 at 225 MPa, EN 10025-2",
        ))
    }

    /// The plate over an open end bends between the walls.
    fn drive_plate(&self) -> Option<Finding> {
        let plate = self.pressing.drive_plate.filter(|plate| plate.factor.is_finite())?;
        Some(Finding::at_least(
            "drive-plate",
            (to_thousandth(plate.factor.min(999.0)), strength::STEEL_FACTOR, ""),
            Level::Stop,
            format!(
                "A steel plate {} mm thick over the open end, under a ram of {:.0} mm or more.",
                number(plate.thickness),
                self.pressing.ram.map_or(0.0, |(ram, _)| ram.ceil())
            ),
            "Leave --end open away: a closed end spreads the force.",
            "Roark's Formulas for Stress and Strain, table 11.2; S235 at 225 MPa, EN 10025-2; under the ram",
        ))
    }

    fn room(&self) -> Option<Finding> {
        let room = self.spec.room?.mm();
        let (what, basis) = self.pressing.room_for();
        Some(Finding::at_least(
            "room",
            (room, to_thousandth(self.pressing.room), "mm"),
            Level::Stop,
            format!("Before the force starts {what} is needed: {:.0} mm.", self.pressing.room),
            "Take off what stands in the way.",
            basis,
        ))
    }

    fn softening(&self) -> Finding {
        let plastic = self.plastic;
        Finding::at_most(
            "softening",
            (to_thousandth(plastic.temperature_c), to_thousandth(plastic.top_c), "°C"),
            Level::Stop,
            format!(
                "The nose would push a ring at {:.0} °C; the material may be {:.0} °C under load.",
                plastic.temperature_c, plastic.top_c
            ),
            "A warm ring is not pushed by plastic: leave --warm away and press cold, or warm and chill until it drops on by hand.",
            self.workshop.material.source("loaded-top-c").to_string(),
        )
    }

    fn bearing_heat(&self) -> Option<Finding> {
        let (limit, basis) = fit::heat_closure(self.bearing).limit_c();
        self.spec.warm.filter(|_| self.spec.ring == Ring::Inner)?;
        Some(Finding::at_most(
            "bearing-heat",
            (to_thousandth(self.press.bearing_c), limit, "°C"),
            Level::Stop,
            format!("The bearing is warmed to {:.0} °C.", self.press.bearing_c),
            format!("Warm it to {limit:.0} °C at most (--warm {limit:.0})."),
            basis,
        ))
    }

    fn housing_clearance(&self) -> Finding {
        let shape = &self.sizing.shape;
        let room = self.bearing.outside - shape.body_diameter.max(shape.nose_diameter);
        Finding::at_least(
            "housing-clearance",
            (to_thousandth(room), 0.2, "mm"),
            Level::Stop,
            format!("The body is {room:.2} mm smaller in diameter than the housing bore."),
            "Leave --body-diameter and --nose-diameter out.",
            "common practice: a printed outside comes out up to 0.1 mm proud on the radius",
        )
    }

    fn shaft_clearance(&self) -> Finding {
        let play = self.sizing.play;
        Finding::at_least(
            "shaft-clearance",
            (to_thousandth(play), 0.1, "mm"),
            Level::Caution,
            format!("The bore passes the shaft with {play:.2} mm of play on the diameter once printed."),
            "Give a --play of 0.1 or more.",
            "common practice: less binds on the first burr",
        )
    }

    fn bed(&self) -> Vec<Finding> {
        let shape = &self.sizing.shape;
        let diameter = shape.body_diameter.max(shape.nose_diameter);
        let [x, y, z] = self.workshop.printer.bed;
        let tallest = self.tubes.iter().map(Tube::height).fold(0.0, f64::max);
        let basis = format!("printer preset {}", self.workshop.printer.name);
        let pieces = match self.tubes.len() {
            1 => String::new(),
            count => format!(" in {count} pieces"),
        };
        vec![
            Finding::at_most(
                "bed-size",
                (to_thousandth(diameter), x.min(y), "mm"),
                Level::Stop,
                format!("The sleeve is {diameter:.1} mm wide on a bed of {x:.0} × {y:.0} mm."),
                "Use a larger --printer.",
                basis.clone(),
            ),
            Finding::at_most(
                "bed-height",
                (to_thousandth(tallest), z, "mm"),
                Level::Stop,
                format!("The sleeve prints{pieces}, {tallest:.1} mm tall, in a printer {z:.0} mm high."),
                "Use a taller --printer.",
                basis,
            ),
        ]
    }

    /// What is measured on the meshes that are written: walls, and what hangs over.
    pub fn measured(&self, pieces: &[Piece]) -> Result<Vec<Finding>> {
        let tolerance = self.workshop.chord_tolerance;
        let mut walls = walls::Walls::none();
        let mut area = 0.0;
        let limit = self.workshop.printer.overhang_deg;
        for (tube, piece) in self.tubes.iter().zip(pieces) {
            walls.compare(&tube.corners, &piece.mesh, tolerance)?;
            area += piece.mesh.overhangs(limit.to_radians()).iter().map(|it| it.area).sum::<f64>();
        }
        // Each of the two faces a ray meets may lie one chord tolerance off, and along an upright ray a
        // cone of 45° as much more.
        let slack = 2.0 * tolerance + 1e-6;
        Ok(vec![
            Finding::at_most(
                "wall-measured",
                (to_thousandth(walls.furthest_apart), to_thousandth(slack), "mm"),
                Level::Stop,
                format!(
                    "Measured through the mesh on {} lines, the walls are within {:.3} mm of the design; the least is {:.2} mm.",
                    walls.lines, walls.furthest_apart, walls.least
                ),
                "This is a fault in fixwright: report it with the command you typed.",
                "ray casting through the mesh against the design's profile",
            ),
            Finding::at_most(
                "overhang",
                (to_thousandth(area), 0.0, "mm²"),
                Level::Caution,
                format!("{area:.1} mm² hang over by more than {limit:.0}° from the vertical."),
                "Print with support there.",
                format!("printer preset {}", self.workshop.printer.name),
            ),
        ])
    }
}

fn mode_words(mode: &str) -> &'static str {
    match mode {
        "contact-crushing" => "Compression at the face that touches the ring",
        "nose-crushing" => "Compression through the nose",
        "nose-wrinkling" => "Wrinkling of the nose as a thin ring",
        "flare-bursting" => "Hoop tension where the nose flares into the body",
        "body-crushing" => "Compression through the body",
        "column-bowing" => "Bowing of the sleeve as a column",
        "drive-crushing" => "Compression under washer, point or plate",
        "end-bending" => "Bending of the closed end",
        "end-shear" => "Shear of the closed end between the layers",
        _ => "Load",
    }
}

fn mode_basis(mode: &str) -> &'static str {
    match mode {
        "nose-wrinkling" => {
            "NASA SP-8007 knock-down on the classical thin cylinder; 1.5 over the least strength is trusted (common practice)"
        }
        "column-bowing" => {
            "Johnson and Euler columns, Shigley's Mechanical Engineering Design, eqs. 4-42 to 4-44; 1.5 over the least strength is trusted (common practice)"
        }
        "flare-bursting" => {
            "ring load on a thin cylinder, Timoshenko, Theory of Plates and Shells, art. 115; 1.5 over the least strength is trusted (common practice)"
        }
        "end-bending" | "end-shear" => {
            "Roark's Formulas for Stress and Strain, table 11.2; 1.5 over the least strength is trusted (common practice)"
        }
        _ => "force over area against the least compressive strength; 1.5 is trusted (common practice)",
    }
}
