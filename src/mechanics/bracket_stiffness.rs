//! How far a printed bracket gives under a belt's pull.
//!
//! The pull F acts on the encoder's shaft, a lever l in front of the middle of the plate the
//! encoder is bolted to. It sways the plate in its own plane and, off the section's shear centre,
//! twists it about the upright axis:
//!
//! ```text
//! deflection = F·(sway + twist·(l − e)²)
//! ```
//!
//! Each share is a handbook case, and they add (Castigliano):
//!
//! - the upright as a short cantilever, bending and shear (Shigley, *Mechanical Engineering Design*,
//!   table A-9 and eq. 4-18), with end gussets as its flanges;
//! - rocking of the foot on its two washers: each washer carries F·h/(2·x), against strips of the
//!   base that run to the upright and to the gusset, guided at both ends (Roark, *Formulas for Stress
//!   and Strain*, table 8.1), their shear included; a strip is taken to reach 0.6 thicknesses into
//!   what it joins and to spread at 45° over its length;
//! - where the washers stand outside the flange, base and upright between them as one beam, bent and
//!   sheared by the same force as a cantilever of that length (Shigley, table A-9): without it a base
//!   would only gain from washers further apart;
//! - the discs that washers and flange clamp, moved in the plane of the sheet (Timoshenko and
//!   Goodier, *Theory of Elasticity*, art. 42, force at a point of a plate, between two circles); a
//!   washer clamps a sheet by its faces, and the middle of a thick one follows less. A base ends close
//!   behind its washers: there the disc counts twice;
//! - the foot turns in the plane of its base on these discs, about a point between them;
//! - twist of the plate between flange and root as a thin rectangle that warps against a spring
//!   (Roark, table 10.3), and its shear; the spring is the tilting of the sheet at the washers, or of
//!   the corner of base and upright, which never lets it warp more than a free end would. Washers
//!   hold a plate's warping over no more than the width they stand on, as its cube;
//! - the flange's edge is round: the plate under it counts as strips side by side, each as long as it
//!   is there (evenly in bending, by x² in twist). The flange presses one face, so in the plate's
//!   middle its edge lies half a thickness inside (45°), and the plate turns about a line behind its
//!   middle. Strips wider than long bend to a cylinder: E/(1 − ν²) (Timoshenko and
//!   Woinowsky-Krieger, *Theory of Plates and Shells*, art. 1);
//! - a hollow rounding at the root counts as a slab of as much section over its leg;
//! - a plate that tapers counts with its mean width, and no wider than the flange spread at 45°;
//! - up and down: the flange nods about a heel near the washers, where the base bends;
//! - with end gussets, the other way for the same torque: across to the gussets as strips that turn
//!   freely there (Roark, table 8.1), no taller than the flange spread at 45°, down the gussets as
//!   tapered cantilevers, and into the base.
//!
//! In nodding the two ways share no material, and their stiffnesses add. In twist they share some:
//! there the sum lies between their plain sum and the hypotenuse of both, by a power of [`SHARED`].
//!
//! What is compared with finite elements, and within which bounds, stands in
//! [`crate::parts::bracket::hold`].
//!
//! Millimetres, newtons, megapascals, radians.

use serde::Serialize;
use std::f64::consts::PI;

/// Elastic constants of the print, MPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    /// Young's modulus: the least of all directions.
    pub modulus: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

impl Elastic {
    /// Shear modulus.
    pub fn shear(&self) -> f64 {
        self.modulus / (2.0 * (1.0 + self.poisson))
    }

    /// A rigid disc of radius `inner` moved in the plane of a sheet held at radius `outer`:
    /// millimetres per newton.
    fn disc(&self, thickness: f64, inner: f64, outer: f64) -> f64 {
        (3.0 - self.poisson) / (8.0 * PI) * (outer / inner).max(1.2).ln() / (self.shear() * thickness)
    }

    /// How much stiffer a strip wider than long bends, since it cannot narrow: 1/(1 − ν²).
    fn cylindrical(&self) -> f64 {
        1.0 / (1.0 - self.poisson * self.poisson)
    }
}

/// How far below the axis a flange holds a foot's upright in twist, in its radii.
const HOLDS: f64 = 0.4;

/// Power by which the two ways of a torque are joined: 1 would be side by side, 2 the hypotenuse.
pub const SHARED: f64 = 1.25;

/// How far behind a plate's middle it turns, as a share of how far behind the face lies that the
/// encoder is held to.
const TURNS_BEHIND: f64 = 0.45;

/// Mean height of a hollow quarter rounding over its leg, in its radii: 1 − π/4.
pub const ROUNDING: f64 = 1.0 - PI / 4.0;

/// Mean depth of a disc's lower edge below its middle over a width of 2·`half`, each place weighted
/// alike.
fn lower_edge(radius: f64, half: f64) -> f64 {
    let u = radius.min(half);
    let area = (u * (radius * radius - u * u).max(0.0).sqrt()
        + radius * radius * (u / radius).clamp(0.0, 1.0).asin())
        / 2.0;
    area / half
}

/// The same, each place weighted by the square of its distance from the middle.
fn lower_edge_in_twist(radius: f64, half: f64) -> f64 {
    let (u, r2) = (radius.min(half), radius * radius);
    let moment = (u * (2.0 * u * u - r2) * (r2 - u * u).max(0.0).sqrt()
        + r2 * r2 * (u / radius).clamp(0.0, 1.0).asin())
        / 8.0;
    moment / (half.powi(3) / 3.0)
}

/// Mean length of strips side by side between a straight edge and the lower edge of a disc, whose
/// middle lies `height` above it, out to `half` from the middle. A strip is as stiff as its length to
/// the power −`power`, and counts with its distance from the middle to the power `weight`.
fn strips(height: f64, radius: f64, half: f64, (power, weight): (i32, i32), least: f64) -> f64 {
    const STRIPS: usize = 64;
    let (mut all, mut stiff) = (0.0, 0.0);
    for k in 0..STRIPS {
        let x = (k as f64 + 0.5) / STRIPS as f64 * half;
        let length = (height - (radius * radius - x * x).max(0.0).sqrt()).max(least);
        let counts = x.powi(weight);
        all += counts;
        stiff += counts / length.powi(power);
    }
    (all / stiff).powf(1.0 / f64::from(power))
}

/// Stiffnesses of two ways that share some of their material, joined by a power.
fn joined(one: f64, other: f64, power: f64) -> f64 {
    (one.powf(-power) + other.powf(-power)).powf(-1.0 / power)
}

/// What a bracket gives, each per unit of load at the middle of its plate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Compliance {
    /// Along the slide, force through the shear centre, mm/N.
    pub sway: f64,
    /// About the upright axis, rad/(N·mm).
    pub twist: f64,
    /// How far the shear centre lies in front of the middle of the plate, mm.
    pub shear_centre: f64,
    /// Up and down, mm/N.
    pub lift: f64,
    /// About the axis along the slide, rad/(N·mm).
    pub nod: f64,
    /// How far behind the middle of the plate that axis lies, mm.
    pub heel: f64,
}

impl Compliance {
    /// The lever that twists, of a force `lever` mm in front of the middle of the plate: never less
    /// than half of it, since the shear centre is only estimated.
    pub fn twisting_lever(&self, lever: f64) -> f64 {
        let short = lever - self.shear_centre;
        if lever > 0.0 { short.max(lever / 2.0) } else { short }
    }

    /// Deflection along its own direction of a force of 1 N, `lever` mm in front of the middle of
    /// the plate, that runs along the slide by `along` and up by `up` (a unit vector), mm.
    pub fn along_the_pull(&self, lever: f64, along: f64, up: f64) -> f64 {
        let twist = self.twisting_lever(lever);
        (self.sway + self.twist * twist * twist) * along * along
            + (self.lift + self.nod * (lever + self.heel).powi(2)) * up * up
    }

    /// Turn of the encoder's axis under the same force, rad.
    pub fn slope(&self, lever: f64, along: f64, up: f64) -> f64 {
        (self.twist * self.twisting_lever(lever) * along).hypot(self.nod * (lever + self.heel) * up)
    }

    /// How far the shaft, `lever` mm in front of the middle of the plate, rises for each newton of a
    /// weight that hangs `behind` mm behind it: the plate nods back, and gives downwards as a whole.
    pub fn rise_under_weight(&self, lever: f64, behind: f64) -> f64 {
        self.nod * (behind - self.heel) * (lever + self.heel) - self.lift
    }

    /// The lowest frequency, Hz, at which a mass of `grams` swings, its centre `behind` mm behind the
    /// middle of the plate: sideways or nodding, whichever is lower.
    ///
    /// Rayleigh's method from the static deflection (Shigley, 9th ed., eq. 7-23, for one mass).
    pub fn frequency(&self, grams: f64, behind: f64) -> f64 {
        let sideways = self.sway + self.twist * (behind + self.shear_centre).powi(2);
        let nodding = self.lift + self.nod * behind * behind;
        let softest = sideways.max(nodding);
        // 1 N/mm is 1000 N/m; grams are thousandths of a kilogram.
        (1000.0 / softest / (grams / 1000.0)).sqrt() / (2.0 * PI)
    }
}

/// A strip of the base between a clamped washer and what holds it.
#[derive(Clone, Copy, Debug)]
struct Strip {
    length: f64,
    width: f64,
    thickness: f64,
}

impl Strip {
    fn new(gap: f64, washer: f64, thickness: f64, root: f64) -> Self {
        let length = gap + root * thickness;
        Self { length, width: 2.0 * washer + length, thickness }
    }

    /// The strip with a slot running out under its washer.
    fn slotted(self, slot: f64) -> Self {
        Self { width: (self.width - slot).max(self.thickness / 4.0), ..self }
    }

    fn second_moment(&self) -> f64 {
        self.width * self.thickness.powi(3) / 12.0
    }

    /// Force per movement of one end against the other, both guided, N/mm.
    fn guided(&self, e: &Elastic) -> f64 {
        let bending = self.length.powi(3) / (12.0 * e.modulus * self.second_moment());
        let shear = 1.2 * self.length / (e.shear() * self.width * self.thickness);
        1.0 / (bending + shear)
    }

    /// Moment per turn of a free end, N·mm/rad.
    fn bent(&self, e: &Elastic) -> f64 {
        e.modulus * self.second_moment() / self.length
    }

    /// Torque per turn, N·mm/rad.
    fn twisted(&self, e: &Elastic) -> f64 {
        e.shear() * self.width * self.thickness.powi(3) / 3.0 / self.length
    }
}

/// A thin rectangle twisted about its length, whose upper end cannot warp.
#[derive(Clone, Copy, Debug)]
struct Twisted {
    length: f64,
    /// Torsional stiffness of the section, N·mm²: a rectangle's, not quite thin (Roark, table 10.7).
    torsion: f64,
    /// Warping stiffness of the section, E·t³·w³/144, N·mm⁴.
    warping: f64,
    /// Turn per torque that the shear of its warping adds, rad/(N·mm).
    shear: f64,
}

impl Twisted {
    fn new(e: &Elastic, length: f64, width: f64, thickness: f64) -> Self {
        let t3 = thickness.powi(3);
        let thick = (1.0 - 0.63 * thickness / width).max(0.3);
        Self {
            length,
            torsion: e.shear() * width * t3 / 3.0 * thick,
            warping: e.modulus * t3 * width.powi(3) / 144.0,
            shear: 14.4 * length / (e.shear() * thickness * width.powi(3)),
        }
    }

    /// The same, where the rectangle is wider than long.
    fn wide(self, e: &Elastic) -> Self {
        Self { warping: self.warping * e.cylindrical(), ..self }
    }

    /// Turn per torque, rad/(N·mm), with a spring against warping at the lower end, N·mm³/rad;
    /// infinite where that end cannot warp either.
    fn give(&self, spring: f64) -> f64 {
        let decay = (self.torsion / self.warping).sqrt();
        let long = decay * self.length;
        // The rate of twist is T/GJ·(1 + a·cosh + b·sinh), with a and b from the spring below and the
        // held end above; its integral, so written that nothing in it grows without bound.
        let (tanh, half) = (long.tanh(), (long / 2.0).tanh());
        let stiff = spring / (self.warping * decay);
        let held = if stiff.is_finite() {
            (tanh + 2.0 * stiff * tanh * half) / (1.0 + stiff * tanh)
        } else {
            2.0 * half
        };
        (self.length - held / decay) / self.torsion + self.shear
    }
}

/// A foot: upright on a base that two washers clamp.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Foot {
    /// Width along the slide.
    pub width: f64,
    /// Thickness of the upright.
    pub upright: f64,
    /// Thickness of the base.
    pub base: f64,
    /// Thickness of each end gusset; 0 without.
    pub gusset: f64,
    /// How far the end gussets reach behind the upright.
    pub gusset_reach: f64,
    /// Height of the end gussets over the ground.
    pub gusset_height: f64,
    /// Height of the encoder's axis over the ground.
    pub axis_height: f64,
    /// Radius that the encoder's flange holds flat.
    pub seat: f64,
    /// Radius to which it holds the middle of the sheet against bending.
    pub grasp: f64,
    /// Half the distance between the screws.
    pub screw: f64,
    /// From the upright's back, or where its root rounding has been counted as a slab, to the washers'
    /// edge.
    pub gap_upright: f64,
    /// From the washers' edge to the end gussets.
    pub gap_gusset: f64,
    /// Depth of the base.
    pub depth: f64,
    /// Radius of a washer.
    pub washer: f64,
    /// Width of a slot.
    pub slot: f64,
    /// Leg of the hollow rounding at the root; 0 without.
    pub root: f64,
    /// Share of the upright over the base that vents leave open.
    pub open: f64,
}

impl Foot {
    /// The upright's constants as a perforated sheet. Holes all over it would leave E·(1 − 3φ) for a
    /// small share φ; vents lie above the axis, where half the upright works, so half of that counts
    /// (holes: whatever Poisson's ratio, Day, Snyder, Garboczi and Thorpe, *J. Mech. Phys. Solids* 40,
    /// 1992; from memory).
    fn perforated(&self, e: &Elastic) -> Elastic {
        Elastic { modulus: e.modulus * (1.0 - 1.5 * self.open).max(0.3), ..*e }
    }

    /// Height of the upright over the base.
    fn rise(&self) -> f64 {
        self.axis_height - self.base
    }

    /// Free length of the upright between base and flange. The flange's edge is round: it holds the
    /// upright as if it ended 0.4 of its radius below the axis.
    fn free(&self) -> f64 {
        (self.rise() - ROUNDING * self.root - HOLDS * self.grasp).max(self.upright)
    }

    /// Width of the upright that works under the flange: its diameter, spread at 45°.
    fn working_width(&self) -> f64 {
        self.width.min(2.0 * self.seat + self.free())
    }

    fn strip_to_upright(&self) -> Strip {
        Strip::new(self.gap_upright, self.washer, self.base, 0.6)
    }

    fn strip_to_gusset(&self) -> Option<Strip> {
        (self.gusset > 0.0).then(|| Strip::new(self.gap_gusset, self.washer, self.base, 0.6))
    }

    /// The corner of base and upright against pitching, one washer: N·mm/rad. The slot that runs out
    /// under the washer takes from its hold sideways.
    fn pitch(&self, e: &Elastic) -> f64 {
        Strip::new(self.gap_upright, self.washer, self.base, 0.3).slotted(self.slot).bent(e)
    }

    /// From the flange's edge to a washer's, beside it: the beam that base and upright make there.
    fn span(&self) -> f64 {
        (self.screw - self.seat - self.washer).max(0.0)
    }

    /// Height of the upright to the flange's upper edge.
    fn tall(&self) -> f64 {
        self.axis_height + self.seat
    }

    /// Base and upright between flange and washer as one beam, mm/N at the washer.
    fn beam(&self, e: &Elastic) -> f64 {
        let (span, tall, sheet) = (self.span(), self.tall(), self.perforated(e));
        let (web, flange) = (self.upright * tall, self.base * self.depth);
        let middle = (web * tall / 2.0 + flange * self.base / 2.0) / (web + flange);
        let second_moment = web * (tall * tall / 12.0 + (tall / 2.0 - middle).powi(2))
            + flange * (self.base * self.base / 12.0 + (self.base / 2.0 - middle).powi(2));
        span.powi(3) / (3.0 * sheet.modulus * second_moment) + 1.2 * span / (sheet.shear() * web)
    }

    /// A washer moved in the plane of the base, mm/N.
    fn washer_moved(&self, e: &Elastic) -> f64 {
        2.0 * e.disc(self.base, self.washer, self.depth / 2.0) * (1.0 + self.base / (2.0 * self.washer))
    }

    /// What it gives.
    pub fn compliance(&self, e: &Elastic) -> Compliance {
        let washer =
            self.strip_to_upright().guided(e) + self.strip_to_gusset().map_or(0.0, |strip| strip.guided(e));
        let direct = self.direct_twist(e);
        let above = self.gusset_twist(e).map_or(direct, |other| joined(direct, other, SHARED));
        // The foot turns on its washers, and the upright on the foot, about centres of their own.
        let turn = self.washer_moved(e) / (2.0 * self.screw * self.screw);
        let row = self.upright / 2.0 + self.gap_upright + ROUNDING * self.root + self.washer;
        let (centre, twist) = (self.shear_centre(), above + turn);
        Compliance {
            sway: self.sway(e, washer) + above * turn / twist * (centre + row).powi(2),
            twist,
            shear_centre: (above * centre - turn * row) / twist,
            lift: 1.0 / (2.0 * washer)
                + self.beam(e) / 2.0
                + self.rise() / (e.modulus * self.upright * self.working_width())
                + 2.0 * e.disc(self.upright, self.seat, self.width / 2.0),
            nod: self.nod(e),
            heel: self.heel(e),
        }
    }

    fn sway(&self, e: &Elastic, washer: f64) -> f64 {
        let (rise, sheet) = (self.rise(), self.perforated(e));
        let flanges = self.gusset * self.gusset_reach * ((self.width - self.gusset) / 2.0).powi(2);
        let second_moment = self.upright * self.width.powi(3) / 12.0 + flanges;
        let bending = rise.powi(3) / (3.0 * sheet.modulus * second_moment);
        let sheared = rise - lower_edge(self.seat, self.width / 2.0);
        let shear = 1.2 * sheared.max(0.0) / (sheet.shear() * self.upright * self.width);
        let rocking = (self.axis_height - self.base / 2.0).powi(2) / (2.0 * self.screw * self.screw)
            * (1.0 / washer + self.beam(e));
        // Round the flange the sheet is held at its sides, or at the base where that is nearer.
        let held = (self.width / 2.0).min(rise);
        let discs = sheet.disc(self.upright, self.seat, held) + self.washer_moved(e) / 2.0;
        bending + shear + rocking + discs
    }

    /// Mean free length of the upright under the flange, over so much of its width.
    fn free_strips(&self, half: f64, power_and_weight: (i32, i32)) -> f64 {
        let height = self.rise() - ROUNDING * self.root;
        strips(height, self.grasp, half, power_and_weight, self.upright / 2.0).max(self.upright)
    }

    /// Down to the base, rad/(N·mm). The plate as wide as it works, or as the flange alone: either is
    /// less than all of it, so the stiffer counts.
    fn direct_twist(&self, e: &Elastic) -> f64 {
        let width = self.working_width();
        if self.gusset == 0.0 {
            // The corner pitches where the washers hold it, one forwards and one back.
            let plate = Twisted::new(&self.perforated(e), self.free(), width, self.upright);
            return plate.give(2.0 * self.screw * self.screw * self.pitch(e));
        }
        let flange = (2.0 * self.seat).min(self.width);
        self.direct_twist_over(e, width).min(self.direct_twist_over(e, flange))
    }

    fn direct_twist_over(&self, e: &Elastic, width: f64) -> f64 {
        // Below the axis there are no vents.
        let free = self.free_strips(width / 2.0, (3, 2));
        let plate = Twisted::new(e, free, width, self.upright).wide(e);
        // Guided at both ends, a strip brings half its length as lever to the corner; the push and the
        // turn it brings count alike. It comes at half the width, the washers hold at theirs, and base
        // and upright twist between. A corner that pitches freely lets the plate warp there, no more.
        let arms = width / 2.0 * self.screw.max(width / 2.0);
        let torsion = (self.depth * self.base.powi(3) + self.tall() * self.upright.powi(3)) / 3.0 * e.shear();
        let pitches = 1.0 / self.pitch(e) + self.span() / torsion;
        let corner = 2.0 * (free / 2.0).powi(2) * pitches / (2.0 * arms);
        (plate.give(f64::INFINITY) + corner).min(plate.give(0.0))
    }

    /// How high the strips across to the gussets work: from the gusset's top down to the flange's lower
    /// edge spread at 45°.
    fn strip_height(&self) -> f64 {
        let across = (self.width / 2.0 - self.gusset - self.seat).max(self.upright);
        (self.gusset_height - self.base).min(self.seat + across)
    }

    fn gusset_twist(&self, e: &Elastic) -> Option<f64> {
        let strip = self.strip_to_gusset()?;
        let (sheet, t, s) = (self.perforated(e), self.upright, self.grasp);
        let arm = (self.width - self.gusset) / 2.0;
        let across = (self.width / 2.0 - self.gusset - s).max(t);
        let tall = self.strip_height();
        let second_moment = tall * t.powi(3) / 12.0;
        // One end turns with the flange and moves with its edge, the other turns freely.
        let strips = 2.0
            * sheet.modulus
            * second_moment
            * (3.0 / across + 6.0 * s / across.powi(2) + 3.0 * s * s / across.powi(3));
        let strip_shear = 1.2 * across / (sheet.shear() * t * tall) / (2.0 * (self.width / 2.0).powi(2));
        let pitch = self.pitch(e) + strip.twisted(e);
        let base = (self.axis_height - self.base / 2.0).powi(2) / (2.0 * pitch);
        Some(1.0 / strips + strip_shear + (self.gusset_push(e) + base) / (2.0 * arm * arm))
    }

    /// A tapered gusset pushed at its top, mm/N: half as much again as a straight one of its root's
    /// section, and the shear of its mean one.
    fn gusset_push(&self, e: &Elastic) -> f64 {
        let (rise, reach) = (self.rise(), self.gusset_reach);
        let root = self.gusset * reach.powi(3) / 12.0;
        1.5 * rise.powi(3) / (3.0 * e.modulus * root) + 1.2 * rise / (e.shear() * self.gusset * reach / 2.0)
    }

    /// Shear centre of a channel in front of its web (Roark, table 9.2), with the gussets' mean
    /// depth. A web that is wide beside the flange bends before the gussets take their share: then it
    /// counts less.
    fn shear_centre(&self) -> f64 {
        let (depth, tg) = (self.gusset_reach / 2.0, self.gusset);
        let across = (self.width / 2.0 - tg - self.seat).max(self.upright);
        let share = (0.6 * self.seat / across).min(1.0).powf(1.5);
        3.0 * depth * depth * tg / (self.width * self.upright + 6.0 * depth * tg) * share
    }

    /// Nodding of the upright on its corner: of the plate, and of the corner.
    fn direct_nod(&self, e: &Elastic) -> (f64, f64) {
        let width = self.working_width();
        let free = self.free_strips(width / 2.0, (1, 0));
        let second_moment = width * self.upright.powi(3) / 12.0;
        let plate = free / (e.modulus * e.cylindrical() * second_moment);
        (plate, 1.0 / (2.0 * self.pitch(e)))
    }

    /// How far behind the middle of the upright it nods: the base bends near the washers, the upright
    /// under its flange.
    fn heel(&self, e: &Elastic) -> f64 {
        let (plate, corner) = self.direct_nod(e);
        (self.upright / 2.0 + self.gap_upright + 0.3 * self.base) * corner / (plate + corner)
    }

    fn nod(&self, e: &Elastic) -> f64 {
        let (plate, corner) = self.direct_nod(e);
        let direct = plate + corner;
        let Some(strip) = self.strip_to_gusset() else {
            return direct;
        };
        let (sheet, tall) = (self.perforated(e), self.strip_height());
        let across = (self.width / 2.0 - self.gusset - self.seat).max(self.upright);
        let strips = across / (2.0 * sheet.shear() * tall * self.upright.powi(3) / 3.0);
        let gussets = 1.5 * self.rise() / (2.0 * e.modulus * self.gusset * self.gusset_reach.powi(3) / 12.0);
        let other = strips + gussets + 1.0 / (2.0 * (self.pitch(e) + strip.twisted(e)));
        joined(direct, other, 1.0)
    }

    /// Greatest stresses under a load, MPa: in the upright at its root, and in the base at a washer.
    pub fn stresses(&self, load: &Load) -> (f64, f64) {
        let (rise, free, width) = (self.rise(), self.free(), self.working_width());
        let t = self.upright;
        let sideways = load.along * rise / (t * self.width * self.width / 6.0);
        let arm = self.screw.max(width / 2.0);
        let warping = load.twist / (2.0 * arm) * free / 2.0 / (width / 2.0 * t * t / 6.0);
        let nodding = load.nod / (width * t * t / 6.0);
        let (strip, b2) = (self.strip_to_upright(), self.base * self.base);
        let rocking = load.along * self.axis_height / (2.0 * self.screw) * strip.length
            / 2.0
            / (strip.width * b2 / 6.0);
        let pitching = load.nod / 2.0 / (strip.width * b2 / 6.0);
        let lifting = load.up / 2.0 * strip.length / 2.0 / (strip.width * b2 / 6.0);
        (sideways + warping + nodding, rocking + pitching + lifting)
    }
}

/// What the belt and the encoder's weight do to the plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Force along the slide, N.
    pub along: f64,
    /// Force up, N.
    pub up: f64,
    /// Torque about the upright axis, N·mm.
    pub twist: f64,
    /// Moment about the axis along the slide, N·mm.
    pub nod: f64,
}

/// A flat plate that two washers clamp to the machine, the encoder beyond them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Plate {
    /// Thickness.
    pub thickness: f64,
    /// Width of the outline at the screws.
    pub width: f64,
    /// Width of the outline at the encoder's axis.
    pub top: f64,
    /// From the line of the screws, or the pivot, to the encoder's axis.
    pub axis_height: f64,
    /// Radius that the encoder's flange holds flat.
    pub seat: f64,
    /// Radius to which it holds the middle of the sheet against bending.
    pub grasp: f64,
    /// Radius of a washer.
    pub washer: f64,
    /// Width of a slot.
    pub slot: f64,
    /// Half the distance between the screws, which stand side by side.
    pub screw: f64,
    /// How far behind the plate's middle the face lies that the encoder is held to.
    pub grip: f64,
}

impl Plate {
    /// Free length between washers and flange, whose edge lies so far below the axis.
    fn free(&self, edge: f64) -> f64 {
        (self.axis_height - edge - self.washer).max(self.thickness / 2.0)
    }

    /// Mean width between screws and axis.
    fn mean_width(&self) -> f64 {
        (self.width + self.top) / 2.0
    }

    /// Length and width of the plate that twists.
    fn twisted(&self) -> (f64, f64) {
        let edge = |width: f64| lower_edge_in_twist(self.grasp, self.screw.min(width / 2.0));
        let mean = self.mean_width();
        let width = mean.min(2.0 * self.seat + self.free(edge(mean)));
        (self.free(edge(width)), width)
    }

    /// The plate at one washer against tilting, N·mm/rad; the slot that runs out under the washer takes
    /// from its hold sideways.
    fn tilt(&self, e: &Elastic) -> f64 {
        Strip::new(0.0, self.washer, self.thickness, 0.6).slotted(self.slot).bent(e)
    }

    fn twist(&self, e: &Elastic) -> f64 {
        let (length, width) = self.twisted();
        let held = ((self.screw + self.washer) / (width / 2.0)).min(1.0);
        let spring = 2.0 * self.screw * self.screw * self.tilt(e) * held.powi(3);
        Twisted::new(e, length, width, self.thickness).wide(e).give(spring)
    }

    fn nod(&self, e: &Elastic) -> f64 {
        let free = self.free(lower_edge(self.grasp, self.width / 2.0));
        let (width, least) = (self.width.min(2.0 * self.seat + free), self.thickness / 2.0);
        let height = self.axis_height - self.washer;
        let bent = strips(height, self.grasp, width / 2.0, (1, 0), least);
        let second_moment = width * self.thickness.powi(3) / 12.0;
        let pitch = Strip::new(0.0, self.washer, self.thickness, 0.3).bent(e);
        bent / (e.modulus * second_moment) + 1.0 / (2.0 * pitch)
    }

    /// A washer moved in the plane of the plate, mm/N: over its slot it holds no more than a disc of as
    /// much plastic, by its faces, and the plate is held as far off as the other washer's share begins,
    /// or the flange.
    fn washer_moved(&self, e: &Elastic) -> f64 {
        let to_flange = self.axis_height.hypot(self.screw) - self.seat;
        let plastic = self.washer * self.washer - 2.0 * self.washer * self.slot / PI;
        let disc = plastic.max(0.0).sqrt().max(self.washer / 4.0);
        e.disc(self.thickness, disc, self.screw.min(to_flange)) * (1.0 + self.thickness / (2.0 * self.washer))
    }

    /// What it gives.
    pub fn compliance(&self, e: &Elastic) -> Compliance {
        let (h, t, half) = (self.axis_height, self.thickness, self.screw);
        let (washer, area) = (self.washer_moved(e), t * self.width);
        let bending = (h - lower_edge(self.seat, self.width / 2.0)).max(t).powi(3)
            / (3.0 * e.modulus * t * self.width.powi(3) / 12.0);
        let sheared = self.free(lower_edge(self.seat, self.width / 2.0));
        let shear = 1.2 * sheared / (e.shear() * area);
        let turning = h * h / (2.0 * half * half) * washer;
        let discs = e.disc(t, self.seat, self.width / 2.0) + washer / 2.0;
        Compliance {
            sway: bending + shear + turning + discs,
            twist: self.twist(e),
            shear_centre: -TURNS_BEHIND * self.grip,
            lift: discs + h / (e.modulus * area),
            nod: self.nod(e),
            heel: 0.0,
        }
    }

    /// Greatest stresses under a load, MPa: in the plate before the washers, and at a washer.
    pub fn stresses(&self, load: &Load) -> (f64, f64) {
        let (t, width, h) = (self.thickness, self.mean_width(), self.axis_height);
        let sideways = load.along * h / (t * self.width * self.width / 6.0);
        let shear = 3.0 * load.twist / (width * t * t);
        let nodding = load.nod / (width * t * t / 6.0);
        let strip = 2.0 * self.washer + t;
        let arm = 2.0 * self.screw;
        let tilt = (load.nod / 2.0 + load.twist * self.washer / arm) / (strip * t * t / 6.0);
        // Torsion's shear and bending together, by von Mises.
        ((sideways + nodding).hypot(3f64.sqrt() * shear), tilt)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRINT: Elastic = Elastic { modulus: 2000.0, poisson: 0.35 };

    fn foot() -> Foot {
        Foot {
            width: 100.0,
            upright: 6.0,
            base: 6.0,
            gusset: 6.0,
            gusset_reach: 39.0,
            gusset_height: 45.0,
            axis_height: 45.0,
            seat: 28.0,
            grasp: 25.0,
            screw: 32.0,
            gap_upright: 2.0,
            gap_gusset: 7.0,
            depth: 45.0,
            washer: 5.0,
            slot: 5.7,
            root: 0.0,
            open: 0.0,
        }
    }

    #[test]
    fn a_plate_that_cannot_warp_twists_less_than_saint_venant_says() {
        let plate = Twisted::new(&PRINT, 60.0, 40.0, 5.0);
        let free = 60.0 / plate.torsion;
        let held = plate.give(f64::INFINITY);
        assert!(held < free && held > 0.5 * free);
        // Long, narrow and thin, the ends hardly matter.
        let long = Twisted::new(&PRINT, 2000.0, 20.0, 1.0);
        let twist = long.give(f64::INFINITY) - long.shear;
        assert!((twist / (2000.0 / long.torsion) - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_spring_against_warping_lies_between_a_free_end_and_a_held_one() {
        let plate = Twisted::new(&PRINT, 40.0, 60.0, 5.0);
        let (free, held) = (plate.give(0.0), plate.give(f64::INFINITY));
        let mut last = free;
        for power in 3..10 {
            let give = plate.give(10f64.powi(power));
            assert!(give < last && give > held, "{power}");
            last = give;
        }
        assert!((plate.give(1e15) / held - 1.0).abs() < 1e-3);
        // One end free: L/GJ·(1 − tanh(kL)/kL).
        let decay = (plate.torsion / plate.warping).sqrt() * 40.0;
        let closed = 40.0 / plate.torsion * (1.0 - decay.tanh() / decay) + plate.shear;
        assert!((free / closed - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_disc_s_lower_edge_has_the_means_of_a_half_circle() {
        assert!((lower_edge(10.0, 10.0) - 10.0 * PI / 4.0).abs() < 1e-12);
        assert!((lower_edge_in_twist(10.0, 10.0) - 10.0 * 3.0 * PI / 16.0).abs() < 1e-12);
        // Under a narrow strip it is the whole radius.
        assert!((lower_edge(10.0, 0.01) - 10.0).abs() < 1e-4);
        assert!((lower_edge_in_twist(10.0, 0.01) - 10.0).abs() < 1e-4);
    }

    #[test]
    fn more_material_gives_less() {
        let give = |f: &Foot| f.compliance(&PRINT).along_the_pull(17.0, 1.0, 0.0);
        let plain = give(&foot());
        for stiffer in [
            Foot { upright: 8.0, ..foot() },
            Foot { base: 8.0, ..foot() },
            Foot { gusset: 9.0, ..foot() },
            Foot { axis_height: 40.0, ..foot() },
            Foot { screw: 36.0, ..foot() },
        ] {
            assert!(give(&stiffer) < plain);
        }
        assert!(give(&Foot { gusset: 0.0, gusset_reach: 0.0, ..foot() }) > plain);
        assert!((give(&foot()) - plain).abs() < 1e-15);
    }

    #[test]
    fn a_wide_base_bends_between_its_washers() {
        let give = |screw: f64| {
            let wide = Foot { width: 2.0 * screw + 36.0, screw, ..foot() };
            wide.compliance(&PRINT)
        };
        // Inside the flange there is no beam; beyond it, it grows without end, and at last outweighs what
        // the washers gain by standing apart.
        assert_eq!(foot().beam(&PRINT), 0.0);
        assert!(give(60.0).lift > 1.1 * give(40.0).lift);
        assert!(give(200.0).sway > give(100.0).sway);
    }

    #[test]
    fn a_foot_turns_behind_its_upright_on_its_washers() {
        let open = Foot { gusset: 0.0, gusset_reach: 0.0, ..foot() };
        let give = open.compliance(&PRINT);
        let turn = open.washer_moved(&PRINT) / (2.0 * open.screw * open.screw);
        // The row of washers lies 3 + 2 + 5 mm behind the upright's middle.
        assert!((give.shear_centre + 10.0 * turn / give.twist).abs() < 1e-12);
        // At the centre both turns together leave the sway that the force there gives.
        let at = |lever: f64| give.sway + give.twist * (lever - give.shear_centre).powi(2);
        let apart =
            |lever: f64| (give.twist - turn) * lever * lever + turn * (lever + 10.0).powi(2) + give.sway;
        let shift = apart(0.0) - at(0.0);
        assert!((apart(40.0) - at(40.0) - shift).abs() < 1e-12);
    }

    #[test]
    fn strips_under_a_disc_lie_between_the_gap_and_the_whole_height() {
        // Beside no disc a strip is as long as the height.
        assert!((strips(20.0, 0.0, 30.0, (3, 2), 1.0) - 20.0).abs() < 1e-9);
        let (even, twist) = (strips(20.0, 15.0, 25.0, (1, 0), 1.0), strips(20.0, 15.0, 25.0, (3, 2), 1.0));
        assert!(even > 5.0 && even < 20.0 && twist > 5.0 && twist < 20.0);
        // Half a circle over its own width, its middle twice its radius above: the mean of
        // 1/(2 − √(1 − x²)) is 4π/(3√3) − π/2.
        let mean = 4.0 * PI / (3.0 * 3f64.sqrt()) - PI / 2.0;
        assert!((1.0 / strips(2.0, 1.0, 1.0, (1, 0), 0.1) / mean - 1.0).abs() < 1e-3);
    }

    #[test]
    fn stiffness_joined_lies_between_the_sum_and_the_hypotenuse() {
        assert!((joined(2.0, 2.0, 1.0) - 1.0).abs() < 1e-12);
        assert!((joined(3.0, 4.0, 2.0) - 1.0 / (1.0f64 / 3.0).hypot(0.25)).abs() < 1e-12);
        let some = joined(3.0, 4.0, SHARED);
        assert!(some > joined(3.0, 4.0, 1.0) && some < joined(3.0, 4.0, 2.0));
    }

    fn plate() -> Plate {
        Plate {
            thickness: 6.0,
            width: 52.0,
            top: 52.0,
            axis_height: 45.0,
            seat: 18.0,
            grasp: 15.0,
            washer: 5.0,
            slot: 5.7,
            screw: 18.0,
            grip: 3.0,
        }
    }

    #[test]
    fn washers_near_each_other_hold_less_of_a_plate() {
        let near = Plate { screw: 12.0, ..plate() };
        let ratio = |p: &Plate| {
            let (length, width) = p.twisted();
            let free = Twisted::new(&PRINT, length, width, p.thickness).wide(&PRINT).give(0.0);
            p.twist(&PRINT) / free
        };
        // Standing on two thirds of the width they leave it nearly as free to warp as no hold at all.
        assert!(ratio(&near) > 0.9 && ratio(&near) < 1.0);
        assert!(ratio(&plate()) < 0.9);
    }

    #[test]
    fn a_plate_turns_behind_its_middle_where_it_is_gripped_behind() {
        let give = |grip: f64| Plate { grip, ..plate() }.compliance(&PRINT);
        assert!(give(3.0).shear_centre < 0.0 && give(-1.0).shear_centre > 0.0);
        assert!(give(3.0).along_the_pull(18.0, 1.0, 0.0) > give(0.0).along_the_pull(18.0, 1.0, 0.0));
    }

    #[test]
    fn compliance_goes_with_the_modulus() {
        let twice = Elastic { modulus: 4000.0, ..PRINT };
        let (a, b) = (foot().compliance(&PRINT), foot().compliance(&twice));
        assert!(
            (a.sway / b.sway - 2.0).abs() < 1e-12
                && (a.twist / b.twist - 2.0).abs() < 1e-12
                && (a.nod / b.nod - 2.0).abs() < 1e-12
        );
    }

    #[test]
    fn a_spring_of_known_rate_swings_at_its_textbook_frequency() {
        let c = Compliance { sway: 0.01, twist: 0.0, shear_centre: 0.0, lift: 0.001, nod: 0.0, heel: 0.0 };
        // 100 N/mm under 0.25 kg: sqrt(100 000/0.25)/2π.
        assert!((c.frequency(250.0, 30.0) - (400_000f64).sqrt() / (2.0 * PI)).abs() < 1e-9);
    }

    #[test]
    fn a_longer_lever_bends_more_and_an_upward_pull_nods() {
        let c = foot().compliance(&PRINT);
        assert!(c.along_the_pull(20.0, 1.0, 0.0) > c.along_the_pull(10.0, 1.0, 0.0));
        assert!(c.slope(10.0, 0.0, 1.0) > 0.0);
        let load = Load { along: 30.0, up: 0.0, twist: 400.0, nod: 60.0 };
        let (upright, base) = foot().stresses(&load);
        assert!(upright > 0.0 && base > 0.0 && upright < 5.0);
    }
}
