//! Does it hold: what the pull and the encoder's weight do to the bracket.
//!
//! Finite cells on the bracket's own mesh ([`crate::mechanics::elements`]): its washers held over and
//! under it, the encoder's flange pressed to its seat as a rigid body, on it the pull at the pulley and
//! the encoder's weight, and for the frequencies encoder, pulley and the print's own mass. Screws,
//! contact and creep are not in it; creep is counted apart. On thirty brackets drawn at random and opened
//! once an independent solver's deflection was given 1.02 to 1.21 times, its lowest frequency 0.93 to 1.02
//! times (`tests/outside/test_bracket_stiffness.py`).

use super::drive::Place;
use super::layout::Layout;
use super::spec::{Bracket, HubSide, Style};
use crate::belt_drive::Drive;
use crate::catalog::encoders::{Encoder, Outline};
use crate::catalog::materials::{Material, material as catalog_material, material_names};
use crate::error::{Error, Result, number, within};
use crate::mechanics::elements::{Answer, Disc, Elastic, Grid, Mass, Mode, Part, Rigid, Six};
use crate::mechanics::strength::{Conditions, Printed, section_fill};
use crate::solid::{Point2, Point3, Vector3};
use crate::workshop::Workshop;
use std::cell::RefCell;
use std::collections::HashMap;
use std::f64::consts::PI;
use std::rc::Rc;

/// How much more a printed thermoplastic gives under a standing load of months than at once (common
/// practice). Published tensile creep moduli of moulded parts (ISO 899-1, 23 °C, 1000 h) lie above the
/// half that this takes: polycarbonate 1900 MPa of 2400 at once, 1/1.26 (material data 'PC', 0.5 %
/// strain); polyamide 6 in moist air 930 MPa of 1400, 1/1.5. For PLA, PETG, ABS and ASA, and for prints
/// of any, none was found.
pub const CREEP: f64 = 2.0;
/// Most of the take-up that creep may eat before the belt must be tensioned again.
pub const LOST_SHARE: f64 = 0.1;
/// Share of the take-up at which creep leaves the belt slack: all of it.
pub const SLACK_SHARE: f64 = 1.0;
/// How many times the turns of the fastest shaft the lowest frequency must lie above (common practice, no
/// source).
pub const ABOVE_TURNS: f64 = 2.0;
/// Notch factor of a hole or slot edge in bending (Peterson, *Stress Concentration Factors*, plate
/// with a hole: 2 or less when the plate is about as thick as the hole is wide; from memory).
pub const NOTCH: f64 = 2.0;
/// Temperature of a bracket at work unless told, °C: a shop, and a few watts in the encoder.
pub const TEMPERATURE: f64 = 25.0;
/// Walls printed solid, in lines.
pub const PERIMETERS: u32 = 4;
/// Gravity, N/kg.
pub const GRAVITY: f64 = 9.81;

/// Share of the encoder's weight that is relied on where it nods the hub against the belt's pull: a
/// given encoder may weigh a quarter less than its pattern (estimated).
const RELIED_WEIGHT: f64 = 0.75;
/// Density of an encoder's pulley, g/cm³: aluminium, full but for its bore (estimated, more than most
/// weigh).
const PULLEY_DENSITY: f64 = 2.7;
/// Share by which the coarse grid's answers may differ from the fine one's: of the brackets compared most
/// lie within half of it.
const COARSE_ERROR: f64 = 0.1;
/// Chord tolerance of the mesh that is cut into cells, mm.
const CHORD: f64 = 0.05;

/// What is counted of the hub's movement along the pull as the encoder's weight nods its axis back, mm:
/// along a line of centres that rises it moves with the pull, along one that falls against it.
fn sag(moved: f64) -> f64 {
    if moved < 0.0 { RELIED_WEIGHT * moved } else { moved }
}

/// The infill asked for or advised, percent.
pub fn infill(spec: &Bracket) -> f64 {
    spec.infill.unwrap_or(40.0)
}

/// How a bracket holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// The print's elastic constants.
    pub elastic: Elastic,
    /// How finely it was cut into cells.
    pub grid: Grid,
    /// By what share the coarse grid's deflection is more, or less.
    pub coarser: Option<f64>,
    /// What swings with the bracket.
    pub masses: Vec<Mass>,
    /// Deflection of the encoder's shaft in the belt's plane, along the line of centres, mm.
    pub deflection: f64,
    /// Turn of the encoder's axis, rad.
    pub slope: f64,
    /// What creep adds to the deflection and so takes from the take-up, mm.
    pub lost: f64,
    /// Least take-up from slack to tension, mm.
    pub take_up: f64,
    /// Greatest stress with its notch, MPa.
    pub stress: f64,
    /// Where it stands, in words.
    pub stressed: &'static str,
    /// Strength it is held against, for good, MPa.
    pub strength: f64,
    /// Lowest frequency, Hz.
    pub frequency: f64,
    /// How it swings then, in words.
    pub swings: &'static str,
    /// Frequency of the fastest shaft's turns, Hz.
    pub turns: f64,
}

/// What a bracket is asked to hold.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    /// The request.
    pub spec: &'a Bracket,
    /// Printer and material.
    pub workshop: &'a Workshop,
    /// The encoder.
    pub encoder: &'a Encoder,
    /// The belt drive.
    pub drive: &'a Drive,
    /// The slide.
    pub place: &'a Place,
    /// Every dimension.
    pub layout: &'a Layout,
    /// Turns of the fastest shaft, 1/min.
    pub rpm: f64,
}

impl Holding {
    /// Solves it on a grid. Fails for an infill or temperature out of bounds.
    pub fn new(asked: &Asked, grid: &Grid) -> Result<Holding> {
        let Asked { spec, workshop, encoder, drive, place, layout, rpm } = *asked;
        let (elastic, strength) = plastic(spec, workshop, layout)?;
        let answer = solved(layout, elastic.poisson, grid)?;
        let flange = flange(layout);
        let hub = Point3::new(0.0, -layout.belt_lever, layout.axis_height);
        let middle = flange + Vector3::y() * (encoder.body_length / 2.0);
        let towards = place.pull();
        let towards = Vector3::new(towards.x, 0.0, towards.y);
        let weight = -Vector3::z() * (encoder.mass / 1000.0 * GRAVITY);
        let (unit, weight) = (answer.load(towards, hub), answer.load(weight, middle));
        let pull = unit * drive.hub_load();
        // The hub moves along the pull by the work that a unit of the pull does (Maxwell and Betti).
        let gives = |answer: &Answer| {
            let along = |load: &Six| unit.dot(&answer.moved(&elastic, load));
            along(&pull) + sag(along(&weight))
        };
        let deflection = gives(&answer);
        let coarser = match grid.size < Grid::COARSE.size {
            true => Some(gives(solved(layout, elastic.poisson, &Grid::COARSE)?.as_ref()) / deflection - 1.0),
            false => None,
        };
        let both = pull + weight;
        let turned = answer.moved(&elastic, &both);
        let peak = answer.peak(&both);
        let masses = masses(encoder, drive, layout);
        let modes = answer.modes(&elastic, workshop.material.density, &masses);
        let lowest = modes.first().ok_or_else(|| Error::internal("A bracket swings in no way."))?;
        Ok(Holding {
            elastic,
            grid: answer.grid,
            coarser,
            masses,
            deflection,
            slope: turned[3].hypot(turned[5]),
            lost: deflection * (CREEP - 1.0),
            take_up: drive.take_up().0,
            stress: NOTCH * peak.stress,
            stressed: stressed(layout, peak.at),
            strength,
            frequency: lowest.frequency,
            swings: swings(lowest, middle - flange),
            turns: rpm / 60.0,
        })
    }

    /// Where its numbers come from, in words.
    pub fn cells(&self) -> String {
        let size = |grid: &Grid| number((10.0 * grid.size).round() / 10.0);
        let differs = self.coarser.map_or(String::new(), |share| {
            let more = if share < 0.0 { "less" } else { "more" };
            format!("; cells of {} mm give {:.0} % {more}", size(&Grid::COARSE), 100.0 * share.abs())
        });
        format!("finite cells of {} mm on the print's own mesh{differs}", size(&self.grid))
    }

    /// Share of the least take-up that creep takes.
    pub fn lost_share(&self) -> f64 {
        self.lost / self.take_up
    }

    /// Safety of the root against breaking.
    pub fn safety(&self) -> f64 {
        self.strength / self.stress
    }

    /// Whether it was solved on a coarse grid and comes so near to a limit that a fine one may say
    /// otherwise.
    pub fn is_near_a_limit(&self) -> bool {
        use crate::mechanics::strength::{REFUSED, TRUSTED};
        let near = |value: f64, limit: f64| (value / limit - 1.0).abs() < COARSE_ERROR;
        self.grid.size > Grid::FINE.size
            && (near(self.lost_share(), LOST_SHARE)
                || near(self.lost_share(), SLACK_SHARE)
                || near(self.safety(), TRUSTED)
                || near(self.safety(), REFUSED)
                || near(self.frequency, ABOVE_TURNS * self.turns))
    }

    /// Whether it might keep its limits if it were that many times as thick throughout: nothing stiffens by
    /// more than the cube of its thickness, as a plate in bending does, and all else by less.
    pub fn could_keep(&self, times: f64) -> bool {
        let stiffer = times.powi(3);
        self.lost_share() / stiffer <= LOST_SHARE
            && self.safety() * stiffer >= crate::mechanics::strength::TRUSTED
            && self.frequency * stiffer.sqrt() >= ABOVE_TURNS * self.turns
    }

    /// By how much the limits are missed, as a share of them; 0 or less when all are kept.
    pub fn lack(&self) -> f64 {
        let lost = self.lost_share() / LOST_SHARE - 1.0;
        let strength = crate::mechanics::strength::TRUSTED / self.safety() - 1.0;
        let frequency = ABOVE_TURNS * self.turns / self.frequency - 1.0;
        lost.max(strength).max(frequency)
    }
}

/// Refuses a temperature at which the plastic is soft: it has neither modulus nor strength there.
fn stays_hard(material: &Material, temperature_c: f64) -> Result<()> {
    if temperature_c < material.softening_c {
        return Ok(());
    }
    let harder: Vec<String> = material_names()
        .into_iter()
        .filter_map(|name| catalog_material(name).ok())
        .filter(|other| other.softening_c > temperature_c)
        .map(|other| format!("{} ({} °C)", other.name, number(other.softening_c)))
        .collect();
    let other = if harder.is_empty() {
        String::new()
    } else {
        format!(", or a --material that softens later: {}", harder.join(", "))
    };
    Err(Error::request(
        format!(
            "--temperature is {} °C, but {} softens at {} °C and carries nothing there.",
            number(temperature_c),
            material.label(),
            number(material.softening_c)
        ),
        format!(
            "Give a --temperature below {} °C if the bracket stays cooler{other}.",
            number(material.softening_c)
        ),
    ))
}

/// Modulus now and strength for good, of the print under its infill and temperature.
fn plastic(spec: &Bracket, workshop: &Workshop, layout: &Layout) -> Result<(Elastic, f64)> {
    let material = &workshop.material;
    let infill = within("--infill", infill(spec), 5.0, 100.0, "%")?;
    let temperature_c = within("--temperature", spec.temperature.unwrap_or(TEMPERATURE), -30.0, 150.0, "°C")?;
    stays_hard(material, temperature_c)?;
    let thinnest = layout.thick.upright.min(layout.thick.base);
    let fill = section_fill(thinnest, PERIMETERS, workshop.printer.line_width, infill)?;
    let now =
        Conditions { infill_percent: fill, temperature_c, softening_c: material.softening_c, long_term: 1.0 };
    let printed = material.printed().under(&now)?;
    let lasting = material.lasting(fill, temperature_c)?;
    let elastic = Elastic { modulus: printed.modulus.min(printed.modulus_across), poisson: material.poisson };
    Ok((elastic, lasting.tensile_in_plane.min(lasting.tensile_across)))
}

/// The strengths that a sheet of the print keeps for good, under its infill and temperature.
pub fn lasting(spec: &Bracket, workshop: &Workshop, sheet: f64) -> Result<Printed> {
    let fill = section_fill(sheet, PERIMETERS, workshop.printer.line_width, infill(spec))?;
    workshop.material.lasting(fill, spec.temperature.unwrap_or(TEMPERATURE))
}

/// The middle of the face that the encoder's flange lies against, but for a recess.
fn flange(layout: &Layout) -> Point3 {
    Point3::new(0.0, layout.thick.upright, layout.axis_height)
}

/// Radius of a cylinder with the rotary inertia of the encoder's body, mm: a square's is a/√3.
pub fn body_radius(encoder: &Encoder) -> f64 {
    match encoder.body {
        Outline::Round => encoder.body_size / 2.0,
        Outline::Square => encoder.body_size / 3f64.sqrt(),
    }
}

/// What swings with the bracket, as cylinders: the encoder, its pulley, and the pulley's hub.
fn masses(encoder: &Encoder, drive: &Drive, layout: &Layout) -> Vec<Mass> {
    let (pulley, lever) = (&drive.encoder_pulley, layout.belt_lever);
    let cylinder = |name, mass_g, before: f64, radius, length| Mass {
        name,
        mass_g,
        centre: Point3::new(0.0, -before, layout.axis_height),
        axis: Vector3::y(),
        radius,
        length,
    };
    let turned = |name, before, diameter: f64, length: f64| {
        let full = (diameter * diameter - encoder.shaft_diameter * encoder.shaft_diameter) * PI / 4.0;
        cylinder(name, PULLEY_DENSITY * full.max(0.0) * length / 1000.0, before, diameter / 2.0, length)
    };
    let behind = -(layout.thick.upright + encoder.body_length / 2.0);
    let outside = drive.profile.outside_diameter(drive.encoder_teeth);
    let mut all = vec![
        cylinder("encoder", encoder.mass, behind, body_radius(encoder), encoder.body_length),
        turned("pulley", lever, outside, pulley.width),
    ];
    let off = (pulley.width + pulley.hub_length) / 2.0;
    let hub = |before| turned("pulley's hub", before, pulley.hub_diameter, pulley.hub_length);
    match layout.hub {
        HubSide::Away => all.push(hub(lever + off)),
        HubSide::Encoder => all.push(hub(lever - off)),
        HubSide::None => {}
    }
    all
}

/// How the encoder's middle, `off` the flange, moves most.
fn swings(mode: &Mode, off: Vector3) -> &'static str {
    let shape = &mode.shape;
    let turned = Vector3::new(shape[3], shape[4], shape[5]);
    let moved = Vector3::new(shape[0], shape[1], shape[2]) + turned.cross(&off);
    ["sideways", "fore and aft, along its shaft,", "up and down"][moved.iamax()]
}

/// Where a point of the bracket lies, in words.
fn stressed(layout: &Layout, at: Point3) -> &'static str {
    let near = |disc: &Disc| (at - disc.centre).norm() <= disc.radius + layout.thick.upright;
    let from_axis = (at.x).hypot(at.z - layout.axis_height);
    match layout.style {
        _ if held(layout).iter().any(near) => "beside a washer",
        _ if from_axis <= layout.seat.radius + layout.thick.upright => "at the encoder's flange",
        Style::Foot if at.z <= 2.0 * layout.thick.base => "at the root of the upright",
        Style::Foot => "in the upright",
        _ => "in the plate",
    }
}

/// The washers' discs on both faces of the base or plate.
fn held(layout: &Layout) -> Vec<Disc> {
    let disc = |centre: Point3, normal: Vector3| Disc {
        centre,
        normal,
        radius: layout.screw.washer_radius(),
        inner: layout.slot_width / 2.0,
    };
    let (x, y, z) = (Vector3::x(), Vector3::y(), Vector3::z());
    let faces = |at: &Point2| match layout.style {
        Style::Foot => {
            let low = Point3::new(at.x, at.y, 0.0);
            [disc(low, -z), disc(low + z * layout.thick.base, z)]
        }
        _ => {
            let front = Point3::from(x * at.x + z * at.y);
            [disc(front, -y), disc(front + y * layout.thick.upright, y)]
        }
    };
    layout.screws.iter().flat_map(faces).collect()
}

/// The encoder's flange on its seat: in a recess on the recess's floor.
fn seated(layout: &Layout) -> Rigid {
    let (seat, upright) = (&layout.seat, layout.thick.upright);
    let depth = upright - seat.floor(upright);
    let radius = match seat.recess {
        Some(_) => seat.radius.min(seat.register_bore / 2.0),
        None => seat.radius,
    };
    let centre = flange(layout) - Vector3::y() * depth;
    Rigid { at: flange(layout), discs: vec![Disc { centre, normal: Vector3::y(), radius, inner: 0.0 }] }
}

/// Answers kept: as many as a search and its advice come back to.
const KEPT: usize = 24;

thread_local! {
    /// What was solved before. A solved shape serves every pull, infill and material, and a search comes
    /// back to the same shapes; the answer to a question does not depend on what was asked before it.
    static SOLVED: RefCell<HashMap<String, Rc<Answer>>> = RefCell::default();
}

/// The bracket's shape solved on a grid for a modulus of 1.
fn solved(layout: &Layout, poisson: f64, grid: &Grid) -> Result<Rc<Answer>> {
    let shape = Layout { belt_lever: 0.0, least_axis_height: 0.0, ..layout.clone() };
    let key = format!("{poisson} {grid:?} {shape:?}");
    if let Some(known) = SOLVED.with_borrow(|known| known.get(&key).cloned()) {
        return Ok(known);
    }
    let mesh = super::shape::body(layout)?.mesh(CHORD)?;
    let part = Part { mesh: &mesh, poisson, held: &held(layout), body: &seated(layout) };
    let answer = Rc::new(part.solve(grid)?);
    SOLVED.with_borrow_mut(|known| {
        if known.len() >= KEPT {
            known.clear();
        }
        known.insert(key, answer.clone());
    });
    Ok(answer)
}
