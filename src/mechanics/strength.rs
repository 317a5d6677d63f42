//! Whether a printed sleeve stands the press: every way it can give, each with its own factor.
//!
//! A sleeve is a short tube, printed upright, pressed end on. It can crush where it touches the
//! ring or the washer, crush through its thinnest section, wrinkle where that section is thin,
//! bow sideways where it is long, burst where its wall flares outwards, or punch through at its
//! closed end. [`Safety`] holds one of these, and
//! [`level`] says what that means: 2 and more is good, 1.3 to 2 is a caution, less is a stop.
//!
//! Strengths are those of the printed material as it is: [`Printed::under`] takes the solid
//! material down for infill, temperature and lasting load.

use crate::checks::Level;
use crate::error::{Error, Result, number, within};
use serde::Serialize;
use std::f64::consts::PI;

/// At or above this factor against yield a part is trusted (common practice for a part that may
/// break without hurting anyone; a print's own scatter is 10 to 20 %).
pub const TRUSTED: f64 = 2.0;
/// Below this factor no part is written (common practice).
pub const REFUSED: f64 = 1.3;

/// The same two factors where the strength is the least a sound print has and the force the most the
/// sizes allow: at 1 the weakest print only begins to yield. A screw stops at a torque, so that no more
/// force comes; a vice or press has no such stop, and a dry seat takes a quarter more than an oiled one.
pub const TRUSTED_LEAST: f64 = 1.5;
/// Refused below it, under a screw that is turned to a torque (common practice).
pub const REFUSED_LEAST: f64 = 1.0;
/// Refused below it, under a vice or a press: 0.15 over 0.12, dry friction over oiled.
pub const REFUSED_UNGAUGED: f64 = 1.25;

/// What a factor against yield means: `ok` from [`TRUSTED`], `stop` below [`REFUSED`] or where it
/// is no number.
pub fn level(factor: f64) -> Level {
    between(factor, TRUSTED, REFUSED)
}

/// What a factor against the least strength means: `ok` from [`TRUSTED_LEAST`], `stop` below `refused`, which is
/// [`REFUSED_LEAST`] or more, or where it is no number.
pub fn level_of_least(factor: f64, refused: f64) -> Level {
    between(factor, TRUSTED_LEAST, refused)
}

fn between(factor: f64, trusted: f64, refused: f64) -> Level {
    if factor >= trusted {
        Level::Ok
    } else if factor >= refused {
        Level::Caution
    } else {
        Level::Stop
    }
}

/// One way to give: the stress that comes, the stress that is stood, and the factor between.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Safety {
    /// Stable name of the mode, such as `contact-crushing`.
    pub mode: &'static str,
    /// Stress under the load, MPa.
    pub stress_mpa: f64,
    /// Stress at which it gives, MPa.
    pub strength_mpa: f64,
    /// Strength over stress; infinite where there is no stress.
    pub factor: f64,
}

impl Safety {
    /// A mode with its factor. A strength of nought under stress gives a factor of nought.
    pub fn new(mode: &'static str, stress_mpa: f64, strength_mpa: f64) -> Self {
        let factor = if stress_mpa > 0.0 { strength_mpa.max(0.0) / stress_mpa } else { f64::INFINITY };
        Self { mode, stress_mpa, strength_mpa, factor }
    }

    /// What the factor means.
    pub fn level(&self) -> Level {
        level(self.factor)
    }
}

/// Strengths of a printed material, MPa. The print is upright: *across* is along the part's axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Printed {
    /// Compressive yield.
    pub compressive_yield: f64,
    /// Tensile strength within a layer (the hoop direction of an upright sleeve).
    pub tensile_in_plane: f64,
    /// Tensile strength across layers.
    pub tensile_across: f64,
    /// Shear strength between layers.
    pub shear_across: f64,
    /// Young's modulus within a layer.
    pub modulus: f64,
    /// Young's modulus across layers.
    pub modulus_across: f64,
}

/// How a printed part is filled and used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Share of the section that is plastic, 0 to 100 %: 100 for a wall printed solid, see
    /// [`section_fill`].
    pub infill_percent: f64,
    /// Temperature of the part, °C.
    pub temperature_c: f64,
    /// Temperature at which the material softens, °C.
    pub softening_c: f64,
    /// Share of the short-term strength left for a load that stays (creep), 0 to 1; 1 for a load
    /// of minutes.
    pub long_term: f64,
}

impl Printed {
    /// The strengths under given conditions.
    ///
    /// * Along the axis (compression, across layers) a printed infill is a bundle of upright
    ///   walls, so strength and stiffness follow its share: printed PLA crushed at 14 to 17 MPa
    ///   filled 20 % and at 36 MPa filled 50 % (*Scientific Reports* 2025, "Layer combination of
    ///   similar infill patterns on the tensile and compression behavior of 3D printed PLA",
    ///   Table 4).
    /// * Within the layers an infill is a lattice that bends: share to the power 1.5 (Gibson and
    ///   Ashby, *Cellular Solids*, 2nd ed., open cells).
    /// * Temperature: [`temperature_factor`]. Lasting load: `long_term`; stiffness goes with it.
    ///
    /// Fails for an infill outside 1 to 100 %, temperatures outside −50 to 400 °C, or a `long_term`
    /// outside 0.01 to 1.
    pub fn under(&self, conditions: &Conditions) -> Result<Printed> {
        within("the infill", conditions.infill_percent, 1.0, 100.0, "%")?;
        within("the long-term factor", conditions.long_term, 0.01, 1.0, "")?;
        let warm =
            temperature_factor(conditions.temperature_c, conditions.softening_c)? * conditions.long_term;
        let share = conditions.infill_percent / 100.0;
        let (upright, lattice) = (warm * share, warm * share.powf(1.5));
        Ok(Printed {
            compressive_yield: self.compressive_yield * upright,
            tensile_in_plane: self.tensile_in_plane * lattice,
            tensile_across: self.tensile_across * upright,
            shear_across: self.shear_across * upright,
            modulus: self.modulus * lattice,
            modulus_across: self.modulus_across * upright,
        })
    }
}

/// The share of its room-temperature strength a plastic keeps at a temperature, 0 to 1.
///
/// Straight from 1 at 23 °C, where data sheets test, to 0 at the softening temperature. The yield
/// stress of glassy polymers falls about so towards their glass transition (Ward and Sweeney, *An
/// Introduction to the Mechanical Properties of Solid Polymers*; from memory); the softening
/// temperature of a data sheet lies below the glass transition, which is the safe side. Colder than
/// 23 °C counts as 1. Fails for temperatures outside −50 to 400 °C, or softening below 30 °C.
pub fn temperature_factor(temperature_c: f64, softening_c: f64) -> Result<f64> {
    const TESTED_AT: f64 = 23.0;
    within("the part's temperature", temperature_c, -50.0, 400.0, "°C")?;
    within("the material's softening temperature", softening_c, 30.0, 400.0, "°C")?;
    Ok(((softening_c - temperature_c) / (softening_c - TESTED_AT)).clamp(0.0, 1.0))
}

/// How much of a wall is plastic, percent: `perimeters` lines of `line_width` from either side are
/// solid, the rest is infill. A wall no thicker than that is solid.
///
/// Lengths in mm. Fails for lengths that are not positive or an infill outside 0 to 100 %.
pub fn section_fill(wall: f64, perimeters: u32, line_width: f64, infill_percent: f64) -> Result<f64> {
    within("the wall", wall, 0.05, 1000.0, "mm")?;
    within("the line width", line_width, 0.05, 10.0, "mm")?;
    within("the infill", infill_percent, 0.0, 100.0, "%")?;
    let solid = (2.0 * f64::from(perimeters) * line_width).min(wall);
    Ok((solid * 100.0 + (wall - solid) * infill_percent) / wall)
}

/// A flat ring or a tube's cross-section, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ring {
    /// Inner diameter; 0 for a full disc.
    pub inner: f64,
    /// Outer diameter.
    pub outer: f64,
}

impl Ring {
    /// A ring whose diameters nest. Fails where they do not.
    pub fn new(inner: f64, outer: f64) -> Result<Self> {
        within("the ring's inner diameter", inner, 0.0, 5000.0, "mm")?;
        within("the ring's outer diameter", outer, 0.01, 5000.0, "mm")?;
        if inner >= outer {
            return Err(Error::geometry(
                format!(
                    "The ring's inner diameter {} mm is not smaller than its outer diameter {} mm.",
                    number(inner),
                    number(outer)
                ),
                "Leave a wall between the two.",
            ));
        }
        Ok(Self { inner, outer })
    }

    /// Area, mm².
    pub fn area(&self) -> f64 {
        PI / 4.0 * (self.outer * self.outer - self.inner * self.inner)
    }

    /// Wall, mm.
    pub fn wall(&self) -> f64 {
        (self.outer - self.inner) / 2.0
    }

    /// Radius of the wall's middle, mm.
    pub fn mean_radius(&self) -> f64 {
        (self.outer + self.inner) / 4.0
    }

    /// Radius of gyration about a diameter, mm: `√(outer² + inner²)/4`.
    pub fn gyration(&self) -> f64 {
        (self.outer * self.outer + self.inner * self.inner).sqrt() / 4.0
    }

    /// Mean stress (MPa) under an axial force (N) spread evenly over the ring: a contact band, a
    /// body's section, a washer's face.
    pub fn stress(&self, force: f64) -> f64 {
        force / self.area()
    }
}

/// Stress (MPa) at which a thin tube wrinkles under end load.
///
/// `σ = γ·E·t / (r·√(3·(1−ν²)))` with the knock-down `γ = 1 − 0.901·(1 − e^(−φ))`,
/// `φ = √(r/t)/16`. Source: NASA SP-8007, *Buckling of Thin-Walled Circular Cylinders* (1968
/// revision), axial compression; the classical part also in *Roark's Formulas*, 7th ed., Table 15.2
/// (thin tube under uniform end load). Meant for `r/t` up to 1500 and length up to 5 radii; for thick walls the figure exceeds any
/// yield stress and the tube crushes first.
pub fn wrinkling_stress(ring: &Ring, modulus: f64, poisson: f64) -> f64 {
    let slender = ring.mean_radius() / ring.wall();
    let knock_down = 1.0 - 0.901 * (1.0 - (-slender.sqrt() / 16.0).exp());
    knock_down * modulus / (slender * (3.0 * (1.0 - poisson * poisson)).sqrt())
}

/// Stress (MPa) at which a tube of `length` (mm) bows sideways under end load, at most the yield
/// stress it is given.
///
/// Johnson's parabola for stocky, Euler's hyperbola for slender columns, meeting at
/// `λ = √(2π²E/σy)`, with `λ = K·L/ρ`. Source: *Shigley's Mechanical Engineering Design*, 9th ed.,
/// secs. 4-12 and 4-13. `end_factor` K is 1 for ends free to tilt; a sleeve squeezed flat between a
/// ring and a washer is stiffer (0.65 to 1), one on a puller's point is 1: keep 1 unless it is
/// known.
pub fn column_stress(ring: &Ring, length: f64, end_factor: f64, modulus: f64, yield_stress: f64) -> f64 {
    if yield_stress <= 0.0 || modulus <= 0.0 {
        return 0.0;
    }
    let slenderness = end_factor * length / ring.gyration();
    let meeting = (2.0 * PI * PI * modulus / yield_stress).sqrt();
    if slenderness <= meeting {
        yield_stress - (yield_stress * slenderness / (2.0 * PI)).powi(2) / modulus
    } else {
        PI * PI * modulus / (slenderness * slenderness)
    }
}

/// Highest hoop stress (MPa) where a conical wall opens into a straight one, tension positive.
///
/// A wall that carries the axial force `F` at an angle `α` to the axis (radians) is an inclined
/// strut: at each end of the cone it thrusts sideways with `F·tan α` all round, `q = F·tan α/(2πr)`
/// for each millimetre of the rim. At the wide end the thrust is outwards and the rim is stretched,
/// at the narrow end inwards and it is squeezed, by the same ring force `T = q·r = F·tan α/(2π)`.
/// The rim does not bear it alone; the walls on both sides help over the length a ring load reaches
/// in a thin cylinder, together `1.56·√(r·t)`: the long cylinder under a ring load has
/// `σ = q·r·λ/(2t)`, `λ⁴ = 3(1−ν²)/(r²t²)` (Timoshenko and Woinowsky-Krieger, *Theory of Plates and
/// Shells*, 2nd ed., art. 115), which is the ring force over
/// `1.56·t·√(r·t)` for ν = 0.3. `available` (mm) is the length of wall there is; less of it bears
/// more.
///
/// `radius` is that of the wall's middle at the wide end, `wall` its thickness, both mm. A wall
/// thick against its radius (`t > r/3`) bears more than this says, which is the safe side. Fails for
/// an angle outside 0 to 80°, or lengths that are not positive.
pub fn flare_hoop_stress(force: f64, angle: f64, radius: f64, wall: f64, available: f64) -> Result<f64> {
    within("the cone's angle to the axis", angle.to_degrees(), 0.0, 80.0, "°")?;
    within("the cone's radius", radius, 0.1, 5000.0, "mm")?;
    within("the cone's wall", wall, 0.05, 1000.0, "mm")?;
    within("the wall beside the cone", available, 0.05, 1e6, "mm")?;
    let ring_force = force * angle.tan() / (2.0 * PI);
    let helping = (1.56 * (radius * wall).sqrt()).min(available);
    Ok(ring_force / (helping * wall))
}

/// Bending stress (MPa) of a flat closed end that carries a force on a central ring and rests on
/// its rim, and the shear stress around that ring.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct EndPlate {
    /// Highest bending stress, in the layers of an upright print.
    pub bending_mpa: f64,
    /// Mean shear stress through the thickness around the load, across the layers.
    pub shear_mpa: f64,
}

/// The stresses of a closed end: a disc of `thickness` resting on a rim of diameter `support`,
/// loaded by `force` (N) over a central washer of diameter `washer`, with a hole of diameter `hole`
/// (0 for none). Lengths in mm.
///
/// Simply supported disc, load over a central circle: `M = F/(4π)·[(1+ν)·ln(a/r) + 1 −
/// (1−ν)·r²/(4a²)]`, `σ = 6M/t²` (*Roark*, 7th ed., Table 11.2, simply
/// supported disc, load over a central circle; from memory, and tested against the full-load limit).
/// A hole in
/// equal two-way bending doubles the stress at its edge (Peterson, *Stress Concentration Factors*,
/// limit for a small hole). Shear: force over `π·washer·t`. A washer as large as the support leaves
/// nothing to bend: no bending, no shear.
///
/// Fails for lengths that are not positive, or a hole not smaller than the washer.
pub fn end_plate(
    force: f64,
    support: f64,
    washer: f64,
    hole: f64,
    thickness: f64,
    poisson: f64,
) -> Result<EndPlate> {
    within("the support's diameter", support, 0.1, 5000.0, "mm")?;
    within("the hole", hole, 0.0, 5000.0, "mm")?;
    within("the end's thickness", thickness, 0.05, 5000.0, "mm")?;
    Ring::new(hole, washer)?;
    if washer >= support {
        return Ok(EndPlate { bending_mpa: 0.0, shear_mpa: 0.0 });
    }
    let ratio = washer / support;
    let moment = force / (4.0 * PI)
        * ((1.0 + poisson) * (1.0 / ratio).ln() + 1.0 - (1.0 - poisson) * ratio * ratio / 4.0);
    let raised = if hole > 0.0 { 2.0 } else { 1.0 };
    Ok(EndPlate {
        bending_mpa: raised * 6.0 * moment / (thickness * thickness),
        shear_mpa: force / (PI * washer * thickness),
    })
}

/// Yield of plain structural steel, MPa: S235, EN 10025-2:2019, 16 to 40 mm thick (from memory).
pub const STEEL_YIELD: f64 = 225.0;
/// Steel plate and turned steel are used up to yield over this (common practice).
pub const STEEL_FACTOR: f64 = 1.5;

/// Thickness (mm) of a flat steel plate with a hole that carries `force` (N) from a washer over an
/// opening: the first of the stock thicknesses of flat bar that keeps [`STEEL_FACTOR`], or `None`
/// beyond 30 mm.
///
/// Diameters in mm. Source: [`end_plate`]. Fails as that does.
pub fn steel_plate(force: f64, opening: f64, washer: f64, hole: f64) -> Result<Option<(f64, f64)>> {
    // Stock thicknesses of flat steel bar, EN 10058 (from memory).
    for thickness in [5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0] {
        let plate = end_plate(force, opening, washer.max(hole + 0.1), hole, thickness, 0.3)?;
        let stress = plate.bending_mpa.max(3f64.sqrt() * plate.shear_mpa);
        let factor = if stress > 0.0 { STEEL_YIELD / stress } else { f64::INFINITY };
        if factor >= STEEL_FACTOR {
            return Ok(Some((thickness, factor)));
        }
    }
    Ok(None)
}

/// Thickness (mm) of a turned steel ring that carries `force` (N) from a wide face over to a narrow one
/// whose middle lies `arm` (mm, radial) away: a strip bent about its root, `6·q·arm/t²` with `q` the
/// force for each millimetre round the narrow face's middle diameter.
///
/// The ring's own hoop stiffness, which helps, is left out. Never less than 2 mm, by halves.
pub fn steel_ring(force: f64, diameter: f64, arm: f64) -> f64 {
    let q = force / (PI * diameter.max(0.1));
    let least = (6.0 * q * arm.abs() / (STEEL_YIELD / STEEL_FACTOR)).sqrt().max(2.0);
    (2.0 * least).ceil() / 2.0
}

/// Thickness (mm) of a flat ring, slotted to one side, that two jaws press at either side of its slot while its land
/// bears `arm` (mm) further in.
///
/// Each jaw makes a couple of half the `force` (N) and that arm: it twists the ring's section beside the slot,
/// `τ = T/(b·c²)·(3 + 1.8·c/b)` (*Shigley's Mechanical Engineering Design*, eq. 3-40), and bends it opposite the slot,
/// `σ = 6·M/(b·t²)`. `width` is that of the ring on the radius, mm; the stresses allowed are in bending and in shear,
/// MPa. By halves, at least 2 and at most 200 mm.
pub fn slotted_ring(force: f64, width: f64, arm: f64, (bending, shear): (f64, f64)) -> f64 {
    let couple = force / 2.0 * arm.abs();
    let holds = |thickness: f64| {
        let (long, short) = (width.max(thickness), width.min(thickness));
        let twist = couple / (long * short * short) * (3.0 + 1.8 * short / long);
        twist <= shear && 6.0 * couple / (width * thickness * thickness) <= bending
    };
    let by_halves = (4..400).map(|halves| f64::from(halves) / 2.0);
    by_halves.into_iter().find(|thickness| holds(*thickness)).unwrap_or(200.0)
}

/// A sleeve between ring and washer, reduced to what its strength depends on. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sleeve {
    /// The band that touches the bearing's ring.
    pub contact: Ring,
    /// The thinnest full section of the nose.
    pub nose: Ring,
    /// The body's section.
    pub body: Ring,
    /// Overall length.
    pub length: f64,
    /// Half angle of the flare from nose to body, radians; 0 for none.
    pub flare: f64,
    /// What carries the force at the driven end: washer or plate on the print.
    pub drive: Ring,
}

impl Sleeve {
    /// Every mode by which the sleeve may give under `force` (N), in the order of the force's way
    /// from the bearing to the drive. `printed` is the material as printed and at its temperature,
    /// `poisson` its Poisson's ratio.
    ///
    /// Modes: `contact-crushing`, `nose-crushing`, `nose-wrinkling`, `flare-bursting` (where there
    /// is a flare), `body-crushing`, `column-bowing` (the body over the whole length; the nose is a
    /// stub), `drive-crushing`. Fails for a force that is negative or no number, or a flare
    /// beyond 80°.
    pub fn safety(&self, force: f64, printed: &Printed, poisson: f64) -> Result<Vec<Safety>> {
        within("the press force", force, 0.0, 1e7, "N")?;
        within("the sleeve's length", self.length, 0.1, 10_000.0, "mm")?;
        let crush = printed.compressive_yield;
        // Wrinkling bends the wall both ways; the softer direction is the safe one.
        let modulus = printed.modulus.min(printed.modulus_across);
        let mut modes = vec![
            Safety::new("contact-crushing", self.contact.stress(force), crush),
            Safety::new("nose-crushing", self.nose.stress(force), crush),
            Safety::new(
                "nose-wrinkling",
                self.nose.stress(force),
                wrinkling_stress(&self.nose, modulus, poisson),
            ),
        ];
        if self.flare > 0.0 {
            let wide =
                flare_hoop_stress(force, self.flare, self.body.mean_radius(), self.body.wall(), self.length)?;
            modes.push(Safety::new("flare-bursting", wide, printed.tensile_in_plane));
        }
        modes.push(Safety::new("body-crushing", self.body.stress(force), crush));
        modes.push(Safety::new(
            "column-bowing",
            self.body.stress(force),
            column_stress(&self.body, self.length, 1.0, printed.modulus_across, crush),
        ));
        modes.push(Safety::new("drive-crushing", self.drive.stress(force), crush));
        Ok(modes)
    }
}

#[cfg(test)]
mod tests;
