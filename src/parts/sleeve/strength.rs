//! The checks of a sleeve: does it touch only what it may, and does it stand the force.

use super::notes::{self, newtons};
use super::press::{Press, SHOP_C};
use super::shape::{End, Shape};
use super::sizing::{Sizing, WALL_TOLERANCE, pushed_diameter};
use super::spec::{Ring, Sleeve};
use super::walls;
use crate::catalog::bearings::{Basis, Bearing};
use crate::catalog::materials::Material;
use crate::checks::{Finding, Level, Relation};
use crate::error::{Result, within};
use crate::mechanics::screws::TWIST;
use crate::mechanics::strength::{self, Conditions, Printed, Safety};
use crate::solid::Mesh;
use crate::workshop::Workshop;
use std::f64::consts::FRAC_PI_4;

/// Half angle of every flare, radians.
const FLARE: f64 = FRAC_PI_4;

/// The plastic of a sleeve as it is when it presses.
#[derive(Clone, Copy, Debug)]
pub struct Plastic {
    /// Strengths as printed, filled and warm.
    pub printed: Printed,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Temperature of the nose, °C.
    pub temperature_c: f64,
    /// Temperature at which it softens, °C.
    pub softening_c: f64,
}

impl Plastic {
    /// The material under the sleeve's infill and temperature.
    pub fn of(spec: &Sleeve, material: &Material) -> Result<(Plastic, f64)> {
        let infill = match spec.infill {
            Some(infill) => within("--infill", infill, 10.0, 100.0, "%")?,
            None => 100.0,
        };
        let temperature_c = spec.warm.unwrap_or(SHOP_C).max(SHOP_C);
        let conditions = Conditions {
            infill_percent: infill,
            temperature_c,
            softening_c: material.softening_c,
            // A pressing takes minutes.
            long_term: 1.0,
        };
        let printed = material.printed().under(&conditions)?;
        Ok((
            Plastic { printed, poisson: material.poisson, temperature_c, softening_c: material.softening_c },
            infill,
        ))
    }
}

/// The widest bore behind the nose.
fn body_bore(shape: &Shape) -> f64 {
    let behind = shape.bore.iter().filter(|step| step.to > shape.nose_length);
    behind.map(|step| step.diameter).fold(0.0, f64::max)
}

/// The sleeve reduced to what its strength depends on.
fn reduced(shape: &Shape, driven: strength::Ring) -> Result<strength::Sleeve> {
    let bores = || shape.bore.iter().map(|step| step.diameter);
    let nose_bore = bores().next().unwrap_or(0.0);
    let flared = shape.body_diameter > shape.nose_diameter + 1e-9;
    // With two faces the relief parts the nose in two rings; their sum carries the force, and the
    // thicker wall between bore and outside starts behind it.
    let contact = match shape.outer_contact {
        None => strength::Ring::new(shape.contact.inner, shape.contact.outer)?,
        Some(outer) => {
            let area = shape.contact.area() + outer.area();
            let inner = (outer.outer * outer.outer - area / std::f64::consts::FRAC_PI_4).max(0.0).sqrt();
            strength::Ring::new(inner, outer.outer)?
        }
    };
    Ok(strength::Sleeve {
        contact,
        nose: strength::Ring::new(nose_bore, shape.nose_diameter)?,
        body: strength::Ring::new(body_bore(shape), shape.body_diameter)?,
        length: shape.length(),
        flare: if flared { FLARE } else { 0.0 },
        drive: driven,
    })
}

/// The ring of plastic that nut, point or plate pushes on.
fn driven(shape: &Shape, sizing_screw: Option<&super::sizing::Screw>) -> Result<strength::Ring> {
    let chamfered = shape.body_diameter - 2.0 * super::shape::FOOT_CHAMFER;
    let bore = shape.bore.last().map_or(0.0, |step| step.diameter);
    match (shape.end, sizing_screw) {
        (End::Rod { hole }, Some(screw)) => {
            strength::Ring::new(hole + 2.0 * super::shape::FOOT_CHAMFER, screw.washer.outer.min(chamfered))
        }
        (End::Puller { dimple, .. }, Some(screw)) => strength::Ring::new(dimple, screw.washer.outer),
        (End::Open, _) => strength::Ring::new(bore + 2.0 * super::shape::FOOT_CHAMFER, chamfered),
        _ => strength::Ring::new(0.0, chamfered),
    }
}

/// Every way the sleeve can give under `force`, the end plate's included.
pub fn modes(
    shape: &Shape,
    screw: Option<&super::sizing::Screw>,
    plastic: &Plastic,
    force: f64,
) -> Result<Vec<Safety>> {
    let mut modes =
        reduced(shape, driven(shape, screw)?)?.safety(force, &plastic.printed, plastic.poisson)?;
    if shape.end != End::Open {
        let span = shape.bore.last().map_or(0.0, |step| step.diameter);
        let hole = if let End::Rod { hole } = shape.end { hole } else { 0.0 };
        let plate = strength::end_plate(
            force,
            span,
            pushed_diameter(screw, span),
            hole,
            shape.end_thickness,
            plastic.poisson,
        )?;
        modes.push(Safety::new("end-bending", plate.bending_mpa, plastic.printed.tensile_in_plane));
        modes.push(Safety::new("end-shear", plate.shear_mpa, plastic.printed.shear_across));
    }
    Ok(modes)
}

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
    /// The sleeve's closed mesh.
    pub mesh: &'a Mesh,
}

impl Checked<'_> {
    /// All findings, in the order of the force's way.
    pub fn findings(&self) -> Result<Vec<Finding>> {
        let mut found = vec![self.land_clearance(), self.centring(), self.nose_wall(), self.walls()?];
        found.extend(self.fit());
        found.extend(self.sleeve_modes()?);
        found.extend(self.screw_proof());
        found.push(self.softening());
        found.push(self.housing_clearance());
        found.push(self.shaft_clearance());
        found.extend(self.bed());
        found.push(self.overhang());
        Ok(found)
    }

    /// Least room between the edge of a contact face and the edge of its land on the side where
    /// the other ring, the shield or the cage lies.
    fn land_clearance(&self) -> Finding {
        let (shape, sizing) = (&self.sizing.shape, self.sizing);
        let inner = sizing.land.outer - shape.contact.outer;
        let outer = |face: super::shape::Band, land: super::shape::Band| face.inner - land.inner;
        let room = match (self.spec.ring, shape.outer_contact, sizing.outer_land) {
            (Ring::Outer, _, _) => outer(shape.contact, sizing.land),
            (Ring::Both, Some(face), Some(land)) => inner.min(outer(face, land)),
            _ => inner,
        } / 2.0;
        // Above this the face stays on its land even with sleeve and print as far off as they can be.
        let needed = sizing.shift + WALL_TOLERANCE;
        let says = format!(
            "The face ends {room:.2} mm short of the shoulder; the sleeve can stand {:.2} mm off centre and its wall may be {WALL_TOLERANCE} mm off.",
            sizing.shift
        );
        let basis = "geometry of play and print tolerance (common practice)";
        let numbers = (round(room), round(needed), "mm");
        let inner_guessed = matches!(self.bearing.inner_basis, Basis::Estimated(_));
        let (ring, option, shoulder, shoulder_basis) = match self.spec.ring {
            Ring::Outer => ("outer", "--outer-land", self.bearing.outer_shoulder, &self.bearing.outer_basis),
            Ring::Both if !inner_guessed => {
                ("outer", "--outer-land", self.bearing.outer_shoulder, &self.bearing.outer_basis)
            }
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
                format!(
                    "Give a --nose-diameter of at most {:.1} mm, or a smaller --play.",
                    sizing.land.outer - 2.0 * needed
                ),
                basis,
            ),
        }
    }

    /// Whether shaft or housing reach far enough into or round the sleeve to hold it central.
    fn centring(&self) -> Finding {
        let reach = self.sizing.reach;
        Finding::at_least(
            "centring",
            (round(reach), 3.0, "mm"),
            Level::Caution,
            format!(
                "Shaft or housing stand {reach:.1} mm past the seated face and so hold the sleeve central."
            ),
            "Give the --reach there is; with less than 3 mm centre the sleeve by eye and begin with hardly any force.",
            "common practice: a shorter guide lets a sleeve tip off its land",
        )
    }

    fn nose_wall(&self) -> Finding {
        let wall = self.sizing.shape.least_nose_wall();
        let lines = 2.0 * self.workshop.printer.line_width;
        let finer = 0.5 * wall;
        Finding::at_least(
            "nose-wall",
            (round(wall), round(lines), "mm"),
            Level::Stop,
            format!("The nose is {wall:.2} mm thick; two printed lines are {lines:.2} mm."),
            if self.spec.play.is_none() && wall + self.sizing.play - 0.1 >= lines {
                format!("Give --play {:.2}.", (self.sizing.play - (lines - wall)).max(0.05))
            } else {
                format!(
                    "Use a printer with a line width of at most {finer:.2} mm (--printer fine-180 has 0.28), or turn this sleeve from steel tube."
                )
            },
            "common practice: a wall of fewer than two lines has no strength across it",
        )
    }

    /// The walls as measured through the mesh by rays, beside those of the profile.
    fn walls(&self) -> Result<Finding> {
        let walls = walls::compare(&self.sizing.shape, self.mesh, self.workshop.chord_tolerance)?;
        // Each of the two faces a ray meets may lie one chord tolerance off.
        let slack = 2.0 * self.workshop.chord_tolerance + 1e-6;
        Ok(Finding::at_most(
            "wall-measured",
            (round(walls.furthest_apart), round(slack), "mm"),
            Level::Stop,
            format!(
                "Measured through the mesh on {} lines, the walls are within {:.3} mm of the design; the least is {:.2} mm.",
                walls.lines, walls.furthest_apart, walls.least
            ),
            "This is a fault in fixwright: report it with the command you typed.",
            "ray casting through the mesh against the design's profile",
        ))
    }

    fn fit(&self) -> Vec<Finding> {
        self.press
            .joints()
            .map(|joint| {
                if joint.fit.interference_max_um > 0.0 {
                    let mut finding = joint.fit.finding();
                    finding.check = if joint.partner == "shaft" { "shaft-fit" } else { "housing-fit" };
                    return finding;
                }
                Finding::settled(
                    if joint.partner == "shaft" { "shaft-fit" } else { "housing-fit" },
                    Relation::AtLeast,
                    (round(joint.fit.interference_max_um), 0.0, "µm"),
                    Level::Caution,
                    format!(
                        "The {} is loose on the ring at every size it may have; nothing needs pressing.",
                        joint.partner
                    ),
                    format!("Measure the seat and give it as --{}-measured.", joint.partner),
                    joint.fit.basis.first().cloned().unwrap_or_default(),
                )
            })
            .collect()
    }

    /// One finding for each way the sleeve can give.
    fn sleeve_modes(&self) -> Result<Vec<Finding>> {
        let force = self.press.force.checked;
        let modes = modes(&self.sizing.shape, self.sizing.screw.as_ref(), self.plastic, force)?;
        let steel_nose = self.spec.steel_nose;
        Ok(modes
            .iter()
            .filter(|mode| !(steel_nose && mode.mode == "contact-crushing"))
            // What the force does not reach cannot give: an end whose washer stands on the walls.
            .filter(|mode| mode.factor.is_finite())
            .map(|mode| {
                let factor = mode.factor;
                Finding::at_least(
                    mode.mode,
                    (round(factor), strength::TRUSTED, ""),
                    mode.level(),
                    format!(
                        "{}: {:.1} MPa at {} (tightest sizes, oiled seat) against {:.1} MPa; safety factor {factor:.2}.",
                        mode_words(mode.mode),
                        mode.stress_mpa,
                        newtons(force),
                        mode.strength_mpa
                    ),
                    self.remedy(mode),
                    mode_basis(mode.mode),
                )
            })
            .collect())
    }

    /// The nearest change that brings a mode to the trusted factor.
    fn remedy(&self, mode: &Safety) -> String {
        let lacking = strength::TRUSTED / mode.factor.max(1e-6);
        let shape = &self.sizing.shape;
        let other = self.stronger_material(lacking);
        match mode.mode {
            "contact-crushing" => {
                let mut said = String::new();
                if let Some(warm) = self.warming(lacking) {
                    said = format!("{warm}; or ");
                }
                format!("{said}lay a steel washer between nose and ring and give --steel-nose{other}.")
            }
            "nose-crushing" | "nose-wrinkling" if self.spec.ring == Ring::Inner => {
                match self.warming(lacking) {
                    Some(warm) => format!("{warm}{other}."),
                    None => format!("Measure the seat to narrow the force (--shaft-measured){other}."),
                }
            }
            "end-bending" | "end-shear" => {
                let power = if mode.mode == "end-bending" { lacking.sqrt() } else { lacking };
                format!("Give --end-thickness {:.1}{other}.", shape.end_thickness * power)
            }
            "drive-crushing" => {
                let size = self.sizing.screw.as_ref().map_or(String::new(), |screw| {
                    format!(
                        "Use a larger rod than {} (--rod), or lay a larger steel washer under it",
                        screw.thread
                    )
                });
                if size.is_empty() {
                    format!("Lay a steel plate on the drive end{other}.")
                } else {
                    format!("{size}{other}.")
                }
            }
            "column-bowing" => format!(
                "Give a larger --body-diameter than {:.1} mm, or shorten the reach by taking the shaft's nut or collar off{other}.",
                shape.body_diameter
            ),
            _ => format!("Give a larger --body-diameter than {:.1} mm{other}.", shape.body_diameter),
        }
    }

    /// The bearing temperature that brings the force down by `lacking`, as an option to type, where
    /// the sleeve's plastic and the bearing's grease both allow it.
    fn warming(&self, lacking: f64) -> Option<String> {
        let seat = self.press.shaft.as_ref().filter(|_| self.spec.ring == Ring::Inner)?;
        // Force is in proportion to interference, so it must fall to the same share; the plastic,
        // warm too, loses some of its strength on the way, which the half-degree steps find.
        let fresh = self.workshop.material.compressive_yield;
        (SHOP_C as u32 + 5..120).step_by(5).map(f64::from).find_map(|warm| {
            let rise = warm - self.plastic.temperature_c;
            let left = seat.fit.interference_max_um - self.growth(rise);
            let strength = strength::temperature_factor(warm, self.plastic.softening_c).ok()?;
            let now = self.plastic.printed.compressive_yield / fresh;
            let eased = (left / seat.fit.interference_max_um).max(0.0) * lacking;
            (warm <= seat.warm.limit_c && eased <= strength / now)
                .then(|| format!("Warm the bearing to {warm:.0} °C first and give --warm {warm:.0}"))
        })
    }

    fn growth(&self, rise: f64) -> f64 {
        crate::mechanics::thermal::growth_um(
            self.bearing.bore,
            crate::catalog::materials::metal("bearing steel").map_or(11e-6, |steel| steel.expansion),
            rise,
        )
    }

    /// `, or print it in X`, the first stock material that much stronger.
    fn stronger_material(&self, lacking: f64) -> String {
        let now = &self.workshop.material;
        crate::catalog::materials::material_names()
            .into_iter()
            .filter_map(|name| crate::catalog::materials::material(name).ok())
            .filter(|other| {
                other.compressive_yield >= lacking * now.compressive_yield
                    && other.tensile_in_plane >= now.tensile_in_plane
            })
            .min_by(|a, b| a.compressive_yield.total_cmp(&b.compressive_yield))
            .map_or(String::new(), |other| {
                format!(", or print it in {} (--material {})", other.label(), other.name)
            })
    }

    fn screw_proof(&self) -> Option<Finding> {
        let screw = notes::driven(self.spec, self.sizing)?;
        let factor = screw.proof_load / TWIST / self.press.force.checked.max(1e-9);
        Some(Finding::at_least(
            "screw-proof",
            (round(factor.min(999.0)), strength::TRUSTED, ""),
            strength::level(factor),
            format!(
                "The {} rod's proof load in class {} is {}: with the nut's twist {:.1} times the force to stop at.",
                screw.thread,
                screw.class,
                newtons(screw.proof_load),
                factor.min(999.0)
            ),
            "Use a larger --rod, or a rod of a higher marked class (--rod-class 8.8).",
            "ISO 898-1:2013, proof stress times stress area; twist 1.3 times (VDI 2230, from memory)",
        ))
    }

    fn softening(&self) -> Finding {
        let plastic = self.plastic;
        let limit = plastic.softening_c - 10.0;
        Finding::at_most(
            "softening",
            (round(plastic.temperature_c), round(limit), "°C"),
            Level::Stop,
            format!(
                "The nose may reach {:.0} °C; the material softens at {:.0} °C.",
                plastic.temperature_c, plastic.softening_c
            ),
            "Use a material that stands the heat (--material pc), lay a steel ring between, or warm the bearing less.",
            format!("{}; 10 K kept off it (common practice)", self.workshop.material.source("softening-c")),
        )
    }

    fn housing_clearance(&self) -> Finding {
        let shape = &self.sizing.shape;
        let room = self.bearing.outside - shape.body_diameter.max(shape.nose_diameter);
        Finding::at_least(
            "housing-clearance",
            (round(room), 0.2, "mm"),
            Level::Stop,
            format!("The body is {room:.2} mm smaller in diameter than the housing bore."),
            format!("Give a --body-diameter of at most {:.1} mm.", self.bearing.outside - 0.2),
            "common practice: a printed outside comes out up to 0.1 mm proud on the radius",
        )
    }

    fn shaft_clearance(&self) -> Finding {
        let play = self.sizing.play;
        Finding::at_least(
            "shaft-clearance",
            (round(play), 0.1, "mm"),
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
        let mut found = vec![Finding::at_most(
            "bed-size",
            (round(diameter), x.min(y), "mm"),
            Level::Stop,
            format!("The sleeve is {diameter:.1} mm wide on a bed of {x:.0} × {y:.0} mm."),
            "Use a larger --printer.",
            format!("printer preset {}", self.workshop.printer.name),
        )];
        found.push(Finding::at_most(
            "bed-height",
            (round(shape.length()), z, "mm"),
            Level::Stop,
            format!("The sleeve is {:.1} mm tall in a printer {z:.0} mm high.", shape.length()),
            "Use a taller --printer, or press in two strokes with a shorter --reach.",
            format!("printer preset {}", self.workshop.printer.name),
        ));
        found
    }

    fn overhang(&self) -> Finding {
        let limit = self.workshop.printer.overhang_deg;
        let hanging = self.mesh.overhangs(limit.to_radians());
        let area = hanging.iter().fold(0.0, |sum, it| sum + it.area);
        Finding::at_most(
            "overhang",
            (round(area), 0.0, "mm²"),
            Level::Caution,
            format!("{area:.1} mm² hang over by more than {limit:.0}° from the vertical."),
            "Print with support there.",
            format!("printer preset {}", self.workshop.printer.name),
        )
    }
}

/// A value as a finding shows it: to a thousandth.
fn round(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
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
            "NASA SP-8007 knock-down on the classical thin cylinder; factor 2 trusted, 1.3 refused (common practice)"
        }
        "column-bowing" => {
            "Johnson and Euler columns, Shigley's Mechanical Engineering Design, eqs. 4-42 to 4-44; factor 2 trusted, 1.3 refused (common practice)"
        }
        "flare-bursting" => {
            "ring load on a thin cylinder, Timoshenko, Theory of Plates and Shells, art. 115; factor 2 trusted, 1.3 refused (common practice)"
        }
        "end-bending" | "end-shear" => {
            "Roark's Formulas for Stress and Strain, table 11.2; factor 2 trusted, 1.3 refused (common practice)"
        }
        _ => "force over area against compressive yield; factor 2 trusted, 1.3 refused (common practice)",
    }
}
