//! Does it hold: what the pull and the encoder's weight do to the bracket.
//!
//! The deflection comes from handbook cases ([`crate::mechanics::bracket_stiffness`]) and was compared
//! with finite elements on brackets of every style (`tests/outside/test_bracket_stiffness.py`): it lies
//! between the elements' and half as much again, within bounds ([`Bound`]). Beyond them it counts half
//! as much again, and a finding says so.

use super::drive::Place;
use super::layout::Layout;
use super::spec::{Bracket, Style};
use crate::catalog::encoders::Encoder;
use crate::catalog::materials::{Material, material as catalog_material, material_names};
use crate::checks::{Finding, Level};
use crate::error::{Error, Result, number, within};
use crate::mechanics::bracket_stiffness::{Compliance, Elastic, Foot, Load, Plate, ROUNDING};
use crate::mechanics::strength::{Conditions, section_fill};
use crate::parts::belt_drive::Drive;
use crate::workshop::Workshop;
use serde::Serialize;

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
/// How much more is counted where a bracket lies beyond [`bounds`].
const BEYOND: f64 = 1.5;

/// A measure of the bracket against what was compared with finite elements, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// What is measured.
    pub what: &'static str,
    /// The option that would change it.
    pub option: &'static str,
    /// Its value.
    pub value: f64,
    /// The most, or least, that was compared.
    pub limit: f64,
    /// Whether the limit is the least.
    pub least: bool,
}

impl Bound {
    /// Its value as a share of its limit; above 1 it lies beyond.
    fn share(&self) -> f64 {
        if self.least { self.limit / self.value } else { self.value / self.limit }
    }
}

/// What the formula was compared with finite elements within, by the radius of the encoder's seat.
fn bounds(model: &Model, lever: f64) -> [Bound; 5] {
    let (seat, thickness, screw, height) = match model {
        Model::Foot(f) => (f.seat, f.upright, f.screw, f.axis_height),
        Model::Plate(p) => (p.seat, p.thickness, p.screw, p.axis_height),
    };
    let bound = |what, option, value, limit, least| Bound { what, option, value, limit, least };
    [
        bound("thickness of the upright or plate", "--upright-thickness", thickness, seat / 6.2, true),
        bound("distance between the screws", "--screw-spacing", 2.0 * screw, 7.4 * seat, false),
        bound("distance between the screws", "--screw-spacing", 2.0 * screw, 1.5 * seat, true),
        bound("height of the encoder's axis", "--axis-height", height, 5.7 * seat, false),
        bound("distance from the plate's middle to the belt", "--belt-plane", lever, 2.2 * seat, false),
    ]
}

/// The bound that the bracket comes nearest to, or lies furthest beyond.
fn furthest(model: &Model, lever: f64) -> Result<Bound> {
    bounds(model, lever)
        .into_iter()
        .max_by(|a, b| a.share().total_cmp(&b.share()))
        .ok_or_else(|| Error::internal("The stiffness has no bounds."))
}

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
    /// The bracket as the formulas see it.
    pub model: Model,
    /// What the bracket gives per unit of load.
    pub compliance: Compliance,
    /// Deflection of the encoder's shaft in the belt's plane, along the line of centres, mm.
    pub deflection: f64,
    /// The bound that the formula comes nearest to, or lies furthest beyond.
    pub bound: Bound,
    /// Turn of the encoder's axis, rad.
    pub slope: f64,
    /// What creep adds to the deflection and so takes from the take-up, mm.
    pub lost: f64,
    /// Least take-up from slack to tension, mm.
    pub take_up: f64,
    /// Greatest stress with its notch, MPa.
    pub stress: f64,
    /// Strength it is held against, for good, MPa.
    pub strength: f64,
    /// Lowest frequency, Hz.
    pub frequency: f64,
    /// Frequency of the fastest shaft's turns, Hz.
    pub turns: f64,
}

impl Holding {
    /// Reckons it. Fails for an infill or temperature out of bounds.
    pub fn new(
        spec: &Bracket,
        workshop: &Workshop,
        encoder: &Encoder,
        drive: &Drive,
        place: &Place,
        layout: &Layout,
        rpm: f64,
    ) -> Result<Holding> {
        let (elastic, strength) = plastic(spec, workshop, layout)?;
        let body = model(layout);
        let compliance = body.compliance(&elastic);
        let (pull, lever) = (place.pull(), layout.belt_lever + layout.thick.upright / 2.0);
        let force = drive.hub_load();
        let weight = encoder.mass / 1000.0 * GRAVITY;
        let behind = layout.thick.upright / 2.0 + encoder.body_length / 2.0;
        let sag = sag(weight * compliance.rise_under_weight(lever, behind) * pull.y);
        let bound = furthest(&body, lever)?;
        let beyond = if bound.share() > 1.0 { BEYOND } else { 1.0 };
        let deflection = beyond * (force * compliance.along_the_pull(lever, pull.x, pull.y) + sag);
        let slope = force * compliance.slope(lever, pull.x, pull.y) + weight * behind * compliance.nod;
        let load = Load {
            along: force * pull.x.abs(),
            up: force * pull.y.abs() + weight,
            twist: force * pull.x.abs() * compliance.twisting_lever(lever),
            nod: weight * behind + force * pull.y.abs() * lever,
        };
        let (upright, base) = body.stresses(&load);
        Ok(Holding {
            elastic,
            model: body,
            compliance,
            deflection,
            bound,
            slope,
            lost: deflection * (CREEP - 1.0),
            take_up: drive.take_up().0,
            stress: NOTCH * upright.max(base),
            strength,
            frequency: compliance.frequency(encoder.mass + plate_mass(workshop, layout), behind),
            turns: rpm / 60.0,
        })
    }

    /// Whether the bracket lies within what the formula of its deflection was compared for.
    pub fn range(&self) -> Finding {
        let Bound { what, option, value, limit, least } = self.bound;
        let round = |length: f64| number((10.0 * length).round() / 10.0);
        let (way, change) = if least { ("down", "greater") } else { ("up", "lesser") };
        let says = format!(
            "The {what} is {} mm; the formula of the deflection was compared with finite elements {way} to {} mm.",
            round(value),
            round(limit)
        );
        let remedy = format!(
            "Give a {change} {option}. Until then half as much again is counted for the deflection, and it remains a guess."
        );
        let basis = "finite elements on brackets of every style, bounds by the radius of the encoder's seat";
        let compared = (value, limit, "mm");
        let (check, level) = ("stiffness-range", Level::Caution);
        if least {
            Finding::at_least(check, compared, level, says, remedy, basis)
        } else {
            Finding::at_most(check, compared, level, says, remedy, basis)
        }
    }

    /// Share of the least take-up that creep takes.
    pub fn lost_share(&self) -> f64 {
        self.lost / self.take_up
    }

    /// Safety of the root against breaking.
    pub fn safety(&self) -> f64 {
        self.strength / self.stress
    }

    /// By how much the limits are missed, as a share of them; 0 or less when all are kept.
    pub fn lack(&self) -> f64 {
        let lost = self.lost_share() / LOST_SHARE - 1.0;
        let strength = crate::mechanics::strength::TRUSTED / self.safety() - 1.0;
        let frequency = super::checks::ABOVE_TURNS * self.turns / self.frequency - 1.0;
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
    let lasting = material.printed().under(&Conditions { long_term: material.long_term, ..now })?;
    let elastic = Elastic { modulus: printed.modulus.min(printed.modulus_across), poisson: material.poisson };
    Ok((elastic, lasting.tensile_in_plane.min(lasting.tensile_across)))
}

/// Plastic that swings with the encoder: half the upright, g.
fn plate_mass(workshop: &Workshop, layout: &Layout) -> f64 {
    0.5 * layout.width * (layout.height - layout.low) * layout.thick.upright * workshop.material.density
        / 1000.0
}

/// The bracket as the formulas see it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Model {
    /// An L on its base.
    Foot(Foot),
    /// A flat plate.
    Plate(Plate),
}

impl Model {
    fn compliance(&self, elastic: &Elastic) -> Compliance {
        match self {
            Model::Foot(foot) => foot.compliance(elastic),
            Model::Plate(plate) => plate.compliance(elastic),
        }
    }

    fn stresses(&self, load: &Load) -> (f64, f64) {
        match self {
            Model::Foot(foot) => foot.stresses(load),
            Model::Plate(plate) => plate.stresses(load),
        }
    }
}

/// Radii that the encoder holds flat, and to which it holds the sheet against bending, mm. In a recess it
/// is held to the floor: no further than the recess's wall, and the ring of floor up to the wall bends
/// more than the sheet beyond, so that it counts half as long again.
fn seat(layout: &Layout) -> (f64, f64) {
    let (seat, upright) = (&layout.seat, layout.thick.upright);
    let grasp = seat.grasp(upright);
    if seat.recess.is_none() {
        return (seat.radius, grasp);
    }
    let wall = seat.register_bore / 2.0;
    (wall, grasp - (wall - grasp).max(0.0) / 2.0)
}

fn model(layout: &Layout) -> Model {
    let (l, t) = (layout, layout.thick);
    let washer = l.screw.washer_radius();
    let near = l.screws.iter().map(|at| at.x.abs()).fold(f64::INFINITY, f64::min);
    let far = l.screws.iter().map(|at| at.x.abs()).fold(0.0, f64::max);
    let (seat, grasp) = seat(l);
    if l.style == Style::Foot {
        let row = l.screws.first().map_or(0.0, |at| at.y);
        let ends = l.gussets == 2;
        return Model::Foot(Foot {
            width: l.width,
            upright: t.upright,
            base: t.base,
            gusset: if ends { t.gusset } else { 0.0 },
            gusset_reach: if ends { l.gusset_reach - t.upright } else { 0.0 },
            gusset_height: l.gusset_height,
            axis_height: l.axis_height,
            seat,
            grasp,
            screw: (near + far) / 2.0,
            gap_upright: row - washer - t.upright - ROUNDING * l.root,
            gap_gusset: if ends { l.width / 2.0 - t.gusset - near - washer } else { 0.0 },
            depth: l.depth,
            washer,
            slot: l.slot_width,
            root: l.root,
            open: l.vent_area() / (l.width * (l.height - t.base)),
        });
    }
    let half = (near + far) / 2.0;
    Model::Plate(Plate {
        thickness: t.upright,
        width: l.width,
        top: 2.0 * l.seat_edge,
        axis_height: l.axis_height,
        seat,
        grasp,
        washer,
        slot: l.slot_width,
        screw: half,
        grip: l.seat.floor(t.upright) - t.upright / 2.0,
    })
}
