//! Drawing a bearing off, settled: the force, the tube, the rod, and what bears on the bearing behind.

use super::spec::{From, Receiver, Seat, WideFace};
use crate::catalog::bearings::{self, Bearing, Kind, Pair};
use crate::error::{Error, Result, number, within};
use crate::mechanics::ball_bearing;
use crate::mechanics::press_fit::Friction;
use crate::mechanics::screws::{self, NutFactor, Stop};
use crate::mechanics::strength::{self, Ring, Safety};
use crate::parts::sleeve::press::{self, Joint};
use crate::parts::sleeve::rod::{self, DRILLED, PASSING, Screw};
use crate::parts::sleeve::strength::Plastic;
use crate::workshop::Workshop;

/// What a seat that has sat for years takes over a fresh one: likely, and at the most (common practice,
/// no source: fretting rust grips; some never move and are cut).
const OLD: (f64, f64) = (1.5, 2.5);
/// Room round the bearing in the receiver, mm on the diameter (common practice).
const ROUND_BEARING: f64 = 2.0;
/// Room past the end of the travel, mm (common practice).
const PAST_TRAVEL: f64 = 10.0;
/// Walls of a receiver, mm: the thinnest, the thickest, and the step between (common practice).
const WALLS: (f64, f64, f64) = (5.0, 30.0, 0.5);
/// Share of the bore a window is wide, and the widest, mm (common practice).
const WINDOW: (f64, f64) = (0.4, 18.0);
/// Safety of the screw over the most force wanted: it stops at a torque (common practice).
const SCREW_WANTED: f64 = 1.3;
/// Play of the plugs and rings that are put in, mm on the diameter (common practice).
pub const PLAY: f64 = 0.5;
/// How far a washer's face lies lower where it may not bear, mm (common practice).
pub const RELIEF: f64 = 1.0;

/// Pull-off forces, N.
#[derive(Clone, Copy, Debug)]
pub struct Pull {
    /// Likely, with the friction and the age of the seat.
    pub likely: f64,
    /// At the most.
    pub most: f64,
}

/// The tube, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tube {
    /// Bore, over the bearing.
    pub bore: f64,
    /// Outside.
    pub outside: f64,
    /// Length.
    pub length: f64,
    /// Width and height of the window.
    pub window: (f64, f64),
}

impl Tube {
    /// Wall, mm.
    pub fn wall(&self) -> f64 {
        (self.outside - self.bore) / 2.0
    }

    /// The section that is left beside the window, as a ring of the same bore and of the area that bears as
    /// much: the pull runs off the middle of what is left, which bends a thin tube by twice the share cut
    /// out of it (`σ = F/A·(1 + e·r/ρ²)`, `ρ² = r²/2`).
    fn beside_window(&self) -> Result<Ring> {
        let cut = self.window.0 * self.wall();
        let net = (Ring::new(self.bore, self.outside)?.area() - cut).max(1e-3);
        let bears = net / (1.0 + 2.0 * cut / net);
        let outer = (self.bore * self.bore + bears / std::f64::consts::FRAC_PI_4).sqrt();
        Ring::new(self.bore, outer)
    }
}

/// A disc or ring of steel that bears on the bearing or spindle and takes the rod's pull: plastic would be crushed under
/// the rod's washer.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearer {
    /// What it is: `step washer`, `drift`.
    pub what: &'static str,
    /// Bore, mm.
    pub bore: f64,
    /// Outside, mm.
    pub outside: f64,
    /// Thickness, mm.
    pub thickness: f64,
    /// Diameter and height of the spigot that centres it; nought where there is none.
    pub spigot: (f64, f64),
    /// Diameter up to which its face lies [`RELIEF`] lower, clear of shield and inner ring; nought where it is flat.
    pub relief: f64,
    /// Area by which it bears, mm².
    pub face: f64,
    /// Stress on what it bears on at the stop force, MPa.
    pub stress: f64,
    /// Factor against bending between the rod's washer and the edge it bears on.
    pub bends: f64,
}

impl Bearer {
    /// Whether its spigot leaves a wall round the rod, and so is there.
    pub fn centres(&self) -> bool {
        self.spigot.0 - self.bore >= 2.0 && self.spigot.0 < self.outside
    }
}

/// Everything settled.
pub struct Settled {
    /// The bearing.
    pub bearing: Bearing,
    /// The tight joint.
    pub joint: Joint,
    /// The forces.
    pub pull: Pull,
    /// What the balls bear that the pull goes through, N: beyond it the bearing may come apart.
    pub balls_bear: Option<f64>,
    /// What tube, plate and screw are checked for: the most pull, or what balls or the step washer's face bear where
    /// that is less, N.
    pub checked: f64,
    /// The plastic.
    pub plastic: Plastic,
    /// The tube.
    pub tube: Tube,
    /// The rod.
    pub screw: Screw,
    /// The widest rod that gets through, mm, and what sets that.
    pub widest: (f64, String),
    /// Stop torque and force.
    pub stop: Stop,
    /// How far the tube's modes are from giving under the most force.
    pub modes: Vec<Safety>,
    /// Length over which the seat is tight, mm.
    pub travel: f64,
    /// Stand-out of the spindle or depth of the bearing, mm, and whether it was given.
    pub reach: (f64, bool),
    /// Steel plate over the receiver's end: thickness and factor.
    pub plate: (f64, f64),
    /// Rod, mm, and whether the length it passes was assumed.
    pub rod: (f64, bool),
    /// Thread in the shaft's end, mm; nought where a nut holds the far end.
    pub engagement: f64,
    /// What bears on the bearing or spindle.
    pub bearers: Vec<Bearer>,
}

impl Settled {
    /// Whether it is the balls that set where it is stopped.
    pub fn stopped_for_balls(&self) -> bool {
        self.balls_bear.is_some_and(|bear| self.stop.force >= 0.99 * bear)
    }
}

/// Settles it. Fails where the request cannot be met.
pub fn settle(spec: &Receiver, workshop: &Workshop) -> Result<Settled> {
    let pressed = spec.pressed();
    let bearing = bearings::read(&pressed.bearing_text()?)?;
    can_be_drawn(spec, &bearing)?;
    let press = press::press(&pressed, &bearing)?;
    let joint = match spec.from {
        From::Shaft => press.shaft,
        From::Housing => press.housing,
    };
    let joint = joint.ok_or_else(|| Error::internal("A seat without a joint."))?;
    let pull = pull(spec, &joint);
    holds(&bearing, &joint, pull)?;
    let plastic = Plastic::of(&pressed, &workshop.material, press.nose_c)?;
    let travel = match spec.seat_length {
        Some(length) => within("--seat-length", length.mm(), 1.0, 500.0, "mm")?,
        None => bearing.stack_width(),
    };
    let reach = match (spec.reach, spec.from) {
        (Some(reach), _) => (within("--reach", reach.mm(), 0.0, 1000.0, "mm")?, true),
        (None, From::Shaft) => ((2.0 * bearing.width).ceil(), false),
        (None, From::Housing) => (0.0, false),
    };
    let length = PAST_TRAVEL
        + match spec.from {
            From::Shaft => reach.0 + travel,
            // Drawn up out of its seat, the bearing stands its width over the housing's face.
            From::Housing => bearing.stack_width() + travel,
        };
    let balls_bear = balls_bear(spec, &bearing);
    let bearer = bearer(spec, &bearing)?;
    let face_bears = bearer.as_ref().and_then(Bearer::face_bears).unwrap_or(f64::INFINITY);
    let checked = pull.most.min(balls_bear.unwrap_or(f64::INFINITY)).min(face_bears);
    let tube = tube(spec, workshop, &bearing, (length.ceil(), checked), &plastic)?;
    let modes = modes(&tube, &plastic, checked)?;
    let widest = widest(spec, &bearing)?;
    let wanted = (checked, SCREW_WANTED);
    let room = rod::Room { screw: widest.0, washer: f64::INFINITY };
    let screw = rod::choose(spec.rod.as_deref(), spec.rod_class.as_deref(), room, wanted)?;
    let weakest = modes.iter().map(|mode| mode.factor).fold(f64::INFINITY, f64::min);
    let stands = if weakest.is_finite() { checked * weakest } else { f64::INFINITY };
    let allowed = checked.min(stands);
    let stop =
        screws::stop(allowed, screw.diameter, screw.proof_stress, screw.stress_area, NutFactor::GREASED)?;
    let plate = strength::steel_plate(stop.force, tube.bore, screw.washer.outer, screw.clearance_hole)?;
    let plate = plate.unwrap_or((30.0, 0.0));
    let opening = spec.opening.map(|opening| opening.mm()).filter(|_| spec.from == From::Housing);
    opening.map(|opening| goes_in(opening, &bearing, &screw)).transpose()?;
    let bearer = bearer.map(|bearer| bearer.under(stop.force, &screw)).transpose()?;
    let bearers: Vec<Bearer> = bearer.into_iter().collect();
    let engagement =
        if thread_holds(spec) { screws::least_engagement(&joint.metal) * screw.diameter } else { 0.0 };
    let rod = rod_length(spec, &bearing, (&tube, plate.0, reach.0, engagement), &screw, &bearers)?;
    Ok(Settled {
        bearing,
        joint,
        pull,
        balls_bear,
        checked,
        plastic,
        tube,
        screw,
        widest,
        stop,
        modes,
        travel,
        reach,
        plate,
        rod,
        engagement,
        bearers,
    })
}

/// Refuses a seat that holds nothing.
pub fn holds(bearing: &Bearing, joint: &Joint, pull: Pull) -> Result<()> {
    if pull.most >= 1.0 {
        return Ok(());
    }
    Err(Error::request(
        format!(
            "The seat of {} is loose by what was given ({}): nothing holds the bearing there by force.",
            bearing.designation, joint.sizes
        ),
        "Take off what holds it, nuts, circlips and covers, and draw it by hand. If it sticks, it is not that class: leave the class out, and the usual one is taken.",
    ))
}

/// Refuses what comes apart when its spindle is drawn, or is held by more than its seat.
fn can_be_drawn(spec: &Receiver, bearing: &Bearing) -> Result<()> {
    let name = &bearing.designation;
    let refuse = |says: String, step: &str| Err(Error::geometry(says, step));
    if bearing.tapered_bore {
        return refuse(
            format!(
                "{name} has a tapered bore: it is held by a sleeve or nut, and no class of a plain seat says how tight."
            ),
            "Slacken its lock nut by a few turns, set a tube on the nut and strike that; or use the sleeve's own withdrawal nut.",
        );
    }
    match (spec.from, bearing.kind) {
        (From::Housing, Kind::TaperedRoller) => refuse(
            format!(
                "{name} comes apart: the cone lifts out with the spindle, and only its cup is left in the housing, with nothing in it that a rod could draw by."
            ),
            "Drive the cup out from behind, evenly, with a tube or drift on its back face through the notches or opening behind it; or lay a weld bead round its raceway and let it shrink.",
        ),
        (
            From::Shaft,
            Kind::TaperedRoller
            | Kind::CylindricalRollerNu
            | Kind::CylindricalRollerN
            | Kind::CylindricalRollerNj
            | Kind::CylindricalRollerNup,
        ) => refuse(
            format!(
                "{name} comes apart: the ring that is tight on the spindle leaves with it (of an NUP without its loose rib), and nothing is drawn off."
            ),
            "Draw the spindle out with its ring. Then take the ring off the bare spindle: give --by puller, or use an induction heater, or grind a groove along it and split it there.",
        ),
        (From::Housing, _) if bearing.snap_ring => refuse(
            format!("{name} bears a snap ring, which holds it in its housing beside the seat."),
            "Take the snap ring out of its groove first, and see on which side of the housing it lay: the bearing leaves by that side. Then give the number without the R of NR.",
        ),
        _ => Ok(()),
    }
}

/// Whether nothing of the pull may go, or goes, through balls or rollers.
pub fn spares(spec: &Receiver, bearing: &Bearing) -> bool {
    spec.keep || (spec.from == From::Housing && bearing.kind.is_cylindrical())
}

/// What balls bear of the pull, N; nothing where none of it goes through them.
fn balls_bear(spec: &Receiver, bearing: &Bearing) -> Option<f64> {
    let per_thrust = match bearing.kind {
        Kind::SelfAligningBall => ball_bearing::SELF_ALIGNING,
        _ => ball_bearing::DEEP_GROOVE,
    };
    let through = !(spec.from == From::Housing && spares(spec, bearing));
    through.then(|| ball_bearing::thrust_at_rating(bearing.bore, bearing.outside, per_thrust))
}

/// Whether the pull goes through a bearing that takes it one way only.
pub fn pulled_one_way(spec: &Receiver, bearing: &Bearing) -> bool {
    bearing.kind == Kind::AngularContactBall && !(spec.from == From::Housing && spares(spec, bearing))
}

/// On which side the outer ring's wide face lies of a pair whose mounting tells it.
pub fn wide_face_of_pair(bearing: &Bearing) -> Option<WideFace> {
    match bearing.pair {
        Some(Pair::BackToBack) => Some(WideFace::Far),
        Some(Pair::FaceToFace) => Some(WideFace::Near),
        _ => None,
    }
}

/// Whether the rod is screwed into the spindle's end.
pub fn thread_holds(spec: &Receiver) -> bool {
    spec.from == From::Shaft && spec.shaft_bore.is_none_or(|bore| bore.mm() <= 0.0)
}

/// Pressing friction taken to that of pulling off, and to the age of the seat.
pub fn pull(spec: &Receiver, joint: &Joint) -> Pull {
    let (likely, most) = match spec.seat {
        Seat::Old => OLD,
        Seat::Fresh => (1.0, 1.0),
    };
    let on = joint.fit.friction;
    let off = Friction::PULL_OFF;
    Pull {
        likely: joint.fit.press_force_likely_n * off.likely / on.likely.max(1e-9) * likely,
        most: joint.fit.press_force_max_n * off.most / on.most.max(1e-9) * most,
    }
}

fn tube(
    spec: &Receiver,
    workshop: &Workshop,
    bearing: &Bearing,
    (length, force): (f64, f64),
    plastic: &Plastic,
) -> Result<Tube> {
    let bore = bearing.outside + ROUND_BEARING + workshop.printer.hole_allowance;
    let bridge = workshop.printer.bridge.max(3.0);
    let width = (WINDOW.0 * bore).min(WINDOW.1).min(bridge);
    let height = (0.4 * length).min(1.5 * width);
    let of = |wall: f64| Tube { bore, outside: bore + 2.0 * wall, length, window: (width, height) };
    if let Some(wall) = spec.wall {
        return Ok(of(within("--wall", wall.mm(), 2.0, 60.0, "mm")?));
    }
    let (least, most, step) = WALLS;
    let mut wall = least;
    let holds = |tube: &Tube| -> Result<bool> {
        Ok(modes(tube, plastic, force)?.iter().all(|mode| mode.factor >= strength::TRUSTED_LEAST))
    };
    while wall + step <= most && !holds(&of(wall))? {
        wall += step;
    }
    Ok(of(wall))
}

/// Chamfer on both rims, mm: a first layer spreads by about this much (common practice).
pub const RIM: f64 = 0.5;

/// The ways the tube can give under a force (N).
fn modes(tube: &Tube, plastic: &Plastic, force: f64) -> Result<Vec<Safety>> {
    let crush = plastic.printed.compressive_yield;
    let rim = Ring::new(tube.bore + 2.0 * RIM, tube.outside - 2.0 * RIM)?;
    let net = tube.beside_window()?;
    let column = strength::column_stress(&net, tube.length, 1.0, plastic.printed.modulus_across, crush);
    let wrinkling = strength::wrinkling_stress(&net, plastic.printed.modulus_across, plastic.poisson);
    Ok(vec![
        Safety::new("rim-crushing", rim.stress(force), crush),
        Safety::new("window-crushing", net.stress(force), crush),
        Safety::new("column-bowing", net.stress(force), column.min(wrinkling)),
    ])
}

/// The widest rod that gets through, and what sets that.
fn widest(spec: &Receiver, bearing: &Bearing) -> Result<(f64, String)> {
    let hollow = spec.shaft_bore.map(|bore| bore.mm()).filter(|bore| *bore > 0.0);
    Ok(match (spec.from, hollow) {
        (From::Shaft, None) => {
            (DRILLED * bearing.bore, format!("a thread in a spindle's end of {} mm", number(bearing.bore)))
        }
        (From::Shaft, Some(bore)) => (bore - PASSING, format!("the spindle's bore of {} mm", number(bore))),
        (From::Housing, _) => {
            (bearing.bore - PASSING, format!("the bearing's bore of {} mm", number(bearing.bore)))
        }
    })
}

/// What bears on the bearing or the spindle, before its force is known: a step washer behind the bearing, a drift on
/// the spindle's far end.
fn bearer(spec: &Receiver, bearing: &Bearing) -> Result<Option<Bearer>> {
    let of = |what, outside: f64, spigot, relief, face: f64| Bearer {
        what,
        bore: 0.0,
        outside,
        thickness: 0.0,
        spigot,
        relief,
        face,
        stress: f64::INFINITY,
        bends: 0.0,
    };
    if spec.from == From::Shaft {
        let hollow = spec.shaft_bore.map(|bore| bore.mm()).filter(|_| !thread_holds(spec));
        let outside = bearing.bore - PLAY;
        return Ok(
            hollow.map(|bore| of("drift", outside, (bore - PLAY, 15.0), 0.0, ring_area(bore, outside)))
        );
    }
    let opening = match spec.opening {
        Some(opening) => within("--opening", opening.mm(), bearing.bore, bearing.outside, "mm")?,
        // A shoulder hides the outer ring's face as far in as it may stand.
        None => bearing.outer_shoulder,
    };
    let outside = (opening - PLAY).min(bearing.outside - 2.0);
    let on_inner =
        ring_area(bearing.bore + 2.0 * bearing.chamfer_max_radial_inner, bearing.inner_shoulder.min(outside));
    let edge = bearing.outside - 2.0 * bearing.chamfer_max_radial_outer;
    let on_outer = ring_area(bearing.outer_shoulder, outside.min(edge));
    let spared = spares(spec, bearing);
    let face = if spared { on_outer } else { on_inner + on_outer };
    // Of a bearing that comes apart the inner ring left with the spindle: nothing centres in it.
    let spigot = match bearing.kind.is_cylindrical() {
        true => (0.0, 0.0),
        false => (bearing.bore - PLAY, 0.3 * bearing.width),
    };
    // Where no outer ring shows behind, nothing is left to turn lower from.
    let relieved = spared && bearing.outer_shoulder < outside;
    let relief = if relieved { bearing.outer_shoulder } else { 0.0 };
    Ok(Some(of("step washer", outside, spigot, relief, face)))
}

impl Bearer {
    /// What its face bears of the pull, N, where it is of steel; nothing where it finds no face.
    pub fn face_bears(&self) -> Option<f64> {
        (self.face > 0.0).then(|| self.face * strength::STEEL_YIELD / strength::STEEL_FACTOR)
    }

    /// The same of steel, as thick as the force (N) asks between the rod's washer and the edge it bears on.
    fn under(self, force: f64, screw: &Screw) -> Result<Bearer> {
        let bore = screw.clearance_hole;
        let washer = screw.washer.outer.max(bore + 0.1);
        let lower = if self.relief > 0.0 { RELIEF } else { 0.0 };
        let mut made = Bearer { bore, stress: force / self.face.max(1e-9), ..self };
        for thickness in THICK {
            let plate = strength::end_plate(force, made.outside, washer, bore, thickness - lower, 0.3)?;
            let stress = plate.bending_mpa.max(3f64.sqrt() * plate.shear_mpa);
            (made.thickness, made.bends) = (thickness, (strength::STEEL_YIELD / stress).min(999.0));
            if made.bends >= strength::STEEL_FACTOR {
                break;
            }
        }
        Ok(made)
    }
}

/// Thicknesses tried of a step washer or drift that is turned from bar, mm.
const THICK: [f64; 10] = [6.0, 7.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0, 30.0];

/// Least width of the face by which a step washer bears on the inner ring, mm on the radius (common practice).
const LEAST_FACE: f64 = 1.0;

/// Whether step washer, nut and washer of the rod go in behind the bearing, and still bear on its inner ring.
fn goes_in(opening: f64, bearing: &Bearing, screw: &Screw) -> Result<()> {
    let bears = bearing.bore + 2.0 * (bearing.chamfer_max_radial_inner + LEAST_FACE) + PLAY;
    let passes = screw.washer.outer.max(screw.nut.across_corners()) + PLAY;
    if opening >= bears.max(passes) {
        return Ok(());
    }
    let (needs, step) = match opening < bears {
        true => (
            format!("a step washer that bears on the inner ring needs {} mm", crate::error::hundredth(bears)),
            "Measure the opening again. If it is right nothing can bear on this bearing from behind: cut it out, or drive it out from the other side.".to_string(),
        ),
        false => (
            format!("the washer and nut of the {} rod need {} mm", screw.thread, crate::error::hundredth(passes)),
            "Measure the opening again, or give a thinner --rod.".to_string(),
        ),
    };
    Err(Error::geometry(format!("--opening is {} mm; {needs} to go in through it.", number(opening)), step))
}

fn ring_area(inner: f64, outer: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * (outer * outer - inner * inner).max(0.0)
}

/// Length of rod, mm, and whether the length it passes was assumed.
fn rod_length(
    spec: &Receiver,
    bearing: &Bearing,
    (tube, plate, reach, engagement): (&Tube, f64, f64, f64),
    screw: &Screw,
    bearers: &[Bearer],
) -> Result<(f64, bool)> {
    let near = plate + screw.nut_side();
    let up = |length: f64| (length / 5.0).ceil() * 5.0;
    if engagement > 0.0 {
        return Ok((up(engagement + (tube.length - reach).max(0.0) + near), false));
    }
    let (through, assumed) = match (spec.through, spec.from) {
        (Some(through), _) => (within("--through", through.mm(), 1.0, 3000.0, "mm")?, false),
        (None, From::Housing) => (reach + bearing.stack_width(), false),
        (None, From::Shaft) => (10.0 * bearing.width, true),
    };
    let behind: f64 = bearers.iter().map(|bearer| bearer.thickness).sum();
    Ok((up(screw.nut_side() + behind + through + tube.length + near), assumed))
}
