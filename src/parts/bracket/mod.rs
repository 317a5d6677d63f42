//! The encoder bracket: from a belt that can be bought to a slide stiff enough to tension it.
//!
//! * [`spec`]: what the person says;
//! * [`drive`]: the belt, and the slide solved in true geometry;
//! * [`layout`]: every dimension;
//! * [`shape`]: the solids, and which way up they print;
//! * [`clearance`]: what must not touch what, anywhere in the slide;
//! * [`hold`]: deflection, stress and frequency;
//! * [`checks`]: what holds and what does not;
//! * [`hanging`]: roofs that hang in the chosen lie;
//! * [`remedy`]: the least change that clears a finding;
//! * [`screws`]: where the machine's holes go, and how long the screws are;
//! * [`figures`]: what its drawing shows;
//! * [`notes`]: what the bench is told.

pub mod checks;
pub mod clearance;
mod conditions;
pub mod drive;
pub mod figures;
pub mod hanging;
pub mod hold;
pub mod layout;
pub mod notes;
pub mod remedy;
pub mod screws;
pub mod shape;
pub mod spec;

pub use spec::{Bracket, Hand, Style};

use crate::catalog::encoders::Encoder;
use crate::design::{Cut, Design, Mating, Origin, Part, Piece, Size, Sizes, answers};
use crate::error::{Result, within};
use crate::mechanics::belt_drive::{self as mechanics, Signal};
use crate::mechanics::elements::Grid;
use crate::parts::belt_drive::Drive;
use crate::units::Length;
use crate::workshop::Workshop;
use clearance::Company;
use drive::Place;
use hold::{Asked, Holding};
use layout::{Layout, Thickness};
use serde_json::json;
use shape::{Lie, Print};

/// Everything settled about a bracket, before it is drawn.
pub struct Settled<'a> {
    /// The request.
    pub spec: &'a Bracket,
    /// Printer and material.
    pub workshop: &'a Workshop,
    /// The encoder.
    pub encoder: Encoder,
    /// The belt drive.
    pub drive: Drive,
    /// The slide.
    pub place: Place,
    /// Every dimension.
    pub layout: Layout,
    /// How it holds.
    pub holding: Holding,
    /// What the encoder counts.
    pub signal: Signal,
    /// Top speed of the spindle, 1/min.
    pub rpm: f64,
    /// Pulses per turn of the encoder.
    pub pulses: f64,
}

impl Settled<'_> {
    /// The same, held on another grid of cells.
    fn on(self, grid: &Grid) -> Result<Self> {
        let asked = Asked {
            spec: self.spec,
            workshop: self.workshop,
            encoder: &self.encoder,
            drive: &self.drive,
            place: &self.place,
            layout: &self.layout,
            rpm: self.rpm.max(self.signal.encoder_rpm),
        };
        let holding = Holding::new(&asked, grid)?;
        Ok(Settled { holding, ..self })
    }

    /// Whether everything that a thickness decides is kept.
    fn keeps(&self) -> bool {
        self.holding.lack() <= 0.0 && self.lack().0 == 0
    }

    /// How many of the checks that a thickness decides would stop the print, and by how much limits
    /// are missed; shaft too short for the pulley counts double, since no tuning mends it.
    fn lack(&self) -> (usize, f64) {
        let (grip, whole) = checks::grip(self);
        let h = &self.holding;
        let stops = [
            grip < checks::LEAST_GRIP * whole,
            h.lost_share() > hold::SLACK_SHARE,
            h.safety() < crate::mechanics::strength::REFUSED,
        ];
        (
            stops.into_iter().filter(|stop| *stop).count(),
            h.lack().max(0.0) + 2.0 * (1.0 - grip / whole).max(0.0),
        )
    }
}

impl Part for Bracket {
    fn default_name(&self) -> String {
        let profile = self.profile.as_deref().unwrap_or(drive::PROFILE).to_lowercase();
        let clean = |text: &str| -> String {
            text.chars().map(|c| if c.is_alphanumeric() || c == '.' { c } else { '-' }).collect()
        };
        format!(
            "bracket-{}-{}-{}",
            self.style.word(),
            clean(self.encoder.as_deref().unwrap_or("38")),
            clean(&profile)
        )
    }

    fn refuse_unused(&self) -> Result<()> {
        answers::refuse_unused(self, conditions::CONDITIONS)
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let settled = settle(self, workshop)?;
        let working = shape::body(&settled.layout)?;
        let print = Print::of(&settled.layout, &working);
        let piece = Piece::new("", print.body(&working), workshop.chord_tolerance)?
            .with_figures(figures::figures(&settled, &print));
        let mating = shape::mating(&settled.layout, &settled.place, &settled.drive, &settled.encoder)?;
        let mut findings = checks::findings(&settled, &piece)?;
        remedy::sharpen(&settled, &mut findings);
        Ok(Design {
            stands: Some(print.frame),
            kind: "bracket",
            name: name.to_string(),
            sizes: dimensions(&settled),
            lists: lists(&settled, &print)?,
            findings,
            notes: notes::notes(&settled, piece.body.volume())?,
            mating: mating.into_iter().map(|m| Mating { body: print.body(&m.body), ..m }).collect(),
            cut: Cut::Nothing,
            flat: None,
            chord_tolerance: workshop.chord_tolerance,
            pieces: vec![piece],
        })
    }
}

/// Thicknesses of the upright that are tried, mm.
const LADDER: [f64; 7] = [5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 14.0];

/// Settles everything: of the thicknesses tried, the least that keeps the limits; where none does, the
/// one of them that comes nearest, with the findings that say so.
pub fn settle<'a>(spec: &'a Bracket, workshop: &'a Workshop) -> Result<Settled<'a>> {
    searched(spec, workshop)?.on(&Grid::FINE)
}

/// The same on a coarse grid of cells; where that comes near to a limit the fine one decides.
pub fn searched<'a>(spec: &'a Bracket, workshop: &'a Workshop) -> Result<Settled<'a>> {
    let encoder = spec.encoder()?;
    let drive = drive::settle(spec, &encoder)?;
    let mut best: Option<Settled> = None;
    let rungs = ladder(spec, &encoder)?;
    for (rung, &upright) in rungs.iter().enumerate() {
        let could = |b: &Settled| b.holding.could_keep(upright / b.layout.thick.upright);
        if rung + 1 < rungs.len() && !best.as_ref().is_none_or(could) {
            continue;
        }
        let mut settled = with_thickness(spec, workshop, &encoder, &drive, upright)?;
        if settled.holding.is_near_a_limit() {
            settled = settled.on(&Grid::FINE)?;
        }
        let keeps = settled.keeps();
        if best.as_ref().is_none_or(|b| settled.lack() < b.lack()) {
            best = Some(settled);
        }
        if keeps {
            break;
        }
    }
    // Nothing less than the shaft's length bounds the thickness, so at least one was tried.
    best.ok_or_else(|| crate::error::Error::internal("No thickness of the upright was tried."))
}

/// The thicknesses to try: the one given, or those that leave the encoder's shaft long enough for
/// its pulley.
fn ladder(spec: &Bracket, encoder: &Encoder) -> Result<Vec<f64>> {
    if let Some(given) = spec.upright_thickness {
        return Ok(vec![within("--upright-thickness", given.mm(), 2.0, 40.0, "mm")?]);
    }
    let recess =
        if encoder.screw_radius() < encoder.register_diameter / 2.0 { encoder.register_height } else { 0.0 };
    let most = recess + 0.55 * encoder.shaft_length;
    let fit: Vec<f64> = LADDER.into_iter().filter(|t| *t >= recess + 4.0 && *t <= most).collect();
    Ok(if fit.is_empty() { vec![recess + 5.0] } else { fit })
}

fn with_thickness<'a>(
    spec: &'a Bracket,
    workshop: &'a Workshop,
    encoder: &Encoder,
    drive: &Drive,
    upright: f64,
) -> Result<Settled<'a>> {
    let own = |field: &str, given: Option<Length>, otherwise: f64| match given {
        Some(given) => within(field, given.mm(), 2.0, 40.0, "mm"),
        None => Ok(otherwise),
    };
    let thick = Thickness {
        upright,
        base: own("--base-thickness", spec.base_thickness, upright + 2.0)?,
        gusset: own("--gusset-thickness", spec.gusset_thickness, upright)?,
    };
    let (encoder, place, layout) = &placed(spec, workshop, encoder, drive, thick)?;
    let rpm = within("--rpm", spec.rpm.unwrap_or(3000.0), 0.0, 100_000.0, "1/min")?;
    let pulses = within("--pulses", spec.pulses.unwrap_or(600.0), 1.0, 1e6, "pulses")?;
    let signal = mechanics::signal(pulses, drive.spindle_teeth, drive.encoder_teeth, rpm);
    let asked = Asked { spec, workshop, encoder, drive, place, layout, rpm: rpm.max(signal.encoder_rpm) };
    let holding = Holding::new(&asked, &Grid::COARSE)?;
    Ok(Settled {
        spec,
        workshop,
        encoder: encoder.clone(),
        drive: drive.clone(),
        place: place.clone(),
        layout: layout.clone(),
        holding,
        signal,
        rpm,
        pulses,
    })
}

/// How much higher a plate is tried, mm, and how often.
const RISE: (f64, usize) = (1.0, 100);

/// Encoder, slide and layout. A plate whose axis height was left out stands as high as its swing
/// needs, as the key and the heads of its screws need to pass belt and encoder, and as leaves a web
/// between slots and seat.
fn placed(
    spec: &Bracket,
    workshop: &Workshop,
    encoder: &Encoder,
    drive: &Drive,
    thick: Thickness,
) -> Result<(Encoder, Place, Layout)> {
    let least = layout::axis_height(spec, workshop, encoder, drive, thick.base)?;
    let first = placed_at(spec, workshop, encoder, drive, thick, least);
    if spec.style == Style::Foot || spec.axis_height.is_some() {
        return first.map(|(placed, _)| placed);
    }
    if matches!(first, Ok((_, true))) {
        return first.map(|(placed, _)| placed);
    }
    (1..=RISE.1)
        .map(|step| least + RISE.0 * step as f64)
        .filter_map(|height| placed_at(spec, workshop, encoder, drive, thick, height).ok())
        .find_map(|(placed, clear)| clear.then_some(placed))
        .map_or_else(|| first.map(|(placed, _)| placed), Ok)
}

/// The same at one axis height, and whether screws and key are clear.
fn placed_at(
    spec: &Bracket,
    workshop: &Workshop,
    encoder: &Encoder,
    drive: &Drive,
    thick: Thickness,
    axis_height: f64,
) -> Result<((Encoder, Place, Layout), bool)> {
    let place = Place::new(spec, drive, axis_height, layout::aside(spec, workshop, encoder)?)?;
    let encoder = turned(spec, encoder, &place);
    let mut layout = Layout::new(spec, workshop, drive, &encoder, &place, thick)?;
    let company = Company { layout: &layout, place: &place, drive, encoder: &encoder };
    let clear = company.key()?.gap >= layout::KEY_ROOM
        && company.inside()?.gap >= clearance::BESIDE
        && checks::slot_to_seat(&layout) >= checks::least_web(workshop.printer.line_width);
    if spec.belt_plane.is_none() {
        let least = company.least_lever()?;
        layout.belt_lever = layout.belt_lever.max(least);
    }
    Ok(((encoder, place, layout), clear))
}

/// The encoder turned so that one screw of a circle points away from the spindle, where the belt
/// does not pass over its head; unless its angle was given.
fn turned(spec: &Bracket, encoder: &Encoder, place: &Place) -> Encoder {
    let mut encoder = encoder.clone();
    if spec.bolt_start.is_none() && encoder.layout == crate::catalog::encoders::Layout::Circle {
        let pull = place.pull();
        encoder.start_angle = (-pull.y).atan2(-pull.x).to_degrees();
    }
    encoder
}

/// The numbers that hands need.
const AT_BENCH: &[&str] = &[
    "span_frequency_hz",
    "tension_n",
    "hub_load_n",
    "centre_distance",
    "hole_1_from_spindle",
    "hole_2_from_spindle",
    "belt_plane",
    "slot_travel",
];

fn dimensions(s: &Settled) -> Vec<Size> {
    let mut list = Sizes::default();
    drive_dimensions(&mut list, s);
    hole_dimensions(&mut list, s);
    encoder_dimensions(&mut list, s);
    bracket_dimensions(&mut list, s);
    holding_dimensions(&mut list, s);
    list.for_bench(AT_BENCH);
    list.0
}

fn drive_dimensions(list: &mut Sizes, s: &Settled) {
    let f = s.drive.figures();
    let solved = || Origin::Formula("two-pulley length equation, solved exactly".into());
    let pulley = || Origin::Table(s.drive.profile.source.clone());
    list.add("centre_distance", "centre distance", f.centre_distance, solved());
    list.add(
        "belt_length",
        "belt pitch length",
        f.belt_length,
        Origin::Table(s.drive.stocked().map_or("not stocked".into(), |row| row.source.clone())),
    );
    list.add("span_length", "free span", f.span_length, solved());
    list.add("wrap_small_deg", "wrap on the smaller pulley", f.wrap_small_deg, solved());
    list.add("outside_diameter_small", "smaller pulley outside", f.outside_diameter_small, pulley());
    list.add("outside_diameter_large", "larger pulley outside", f.outside_diameter_large, pulley());
    let makers = if s.drive.tension < s.drive.profile.tension * s.drive.width {
        Origin::Formula("less than the maker's, to spare the encoder's bearings".into())
    } else {
        Origin::Table(s.drive.profile.tension_source.clone())
    };
    let tension = Origin::given_or(s.spec.tension.is_some(), "--tension", makers);
    list.add("tension_n", "tension of each span", f.tension_n, tension);
    list.add(
        "hub_load_n",
        "load on the encoder's shaft",
        f.hub_load_n,
        Origin::Formula("sum of the two spans' pulls".into()),
    );
    list.add(
        "span_frequency_hz",
        "a span sounds at",
        f.span_frequency_hz,
        Origin::Formula(format!("T = 4·m·L²·f²; mass: {}", s.drive.profile.mass_source)),
    );
    let stiffness = format!("belt stiffness: {}", s.drive.profile.stiffness_source);
    let stiffness = if s.drive.profile.stiffness_scatter > 1.0 {
        Origin::Estimate(stiffness)
    } else {
        Origin::Table(stiffness)
    };
    list.add("take_up", "slack to tension", f.take_up, stiffness.clone());
    list.add("take_up_least", "slack to tension, at least", f.take_up_least, stiffness);
}

/// Where the machine's holes go, at the working place.
fn hole_dimensions(list: &mut Sizes, s: &Settled) {
    let [near, far] = screws::holes(s);
    let placed = || Origin::Formula("the working place, with the belt tensioned".into());
    let (first, second) = match near.name {
        "slot" => ("slot's hole level from the spindle", "pivot level from the spindle"),
        "pivot" => ("pivot level from the spindle", "slot's hole level from the spindle"),
        _ => ("first hole level from the spindle", "second hole level from the spindle"),
    };
    list.add("hole_1_from_spindle", first, near.from_spindle, placed());
    list.add("hole_2_from_spindle", second, far.from_spindle, placed());
    let below = if s.layout.style == Style::Foot {
        "face below the spindle's axis"
    } else {
        "holes below the spindle's axis"
    };
    list.add("holes_below_spindle", below, -near.over_spindle, placed());
    let behind = if s.layout.style == Style::Foot {
        "holes behind the middle of the belt"
    } else {
        "machine's face behind the middle of the belt"
    };
    list.add("holes_behind_belt", behind, near.behind_belt, placed());
}

/// What the encoder is taken for beyond its seat.
fn encoder_dimensions(list: &mut Sizes, s: &Settled) {
    let (e, spec) = (&s.encoder, s.spec);
    let mut add = |key, label, value, given: bool, option: &'static str| {
        let origin = if e.assumed.contains(&option) {
            Origin::Estimate(format!("nobody measured it: give {option}"))
        } else {
            Origin::given_or(given, option, Origin::Table(e.source.clone()))
        };
        list.add(key, label, value, origin);
    };
    let height = spec.register_height.is_some();
    add("register_height", "height of the register", e.register_height, height, "--register-height");
    let length = spec.body_length.is_some();
    add("body_length", "encoder's body behind its flange", e.body_length, length, "--body-length");
    add("encoder_mass_g", "mass of the encoder", e.mass, spec.encoder_mass.is_some(), "--encoder-mass");
    add(
        "encoder_greatest_rpm",
        "encoder made for up to",
        e.greatest_rpm,
        spec.encoder_rpm.is_some(),
        "--encoder-rpm",
    );
}

fn bracket_dimensions(list: &mut Sizes, s: &Settled) {
    let (l, spec) = (&s.layout, s.spec);
    let allowance = || {
        Origin::Formula(format!(
            "maker's allowance for laying on and tensioning, and {} mm at each end for the print",
            drive::SLOT_TOLERANCE
        ))
    };
    let travel = l.slot_length() - 2.0 * drive::SLOT_TOLERANCE;
    list.add(
        "slot_travel",
        "travel of the slide",
        travel,
        Origin::given_or(
            spec.travel_in.is_some() || spec.travel_out.is_some(),
            "--travel-in, --travel-out",
            allowance(),
        ),
    );
    list.add("slot_length", "slot, between end centres", l.slot_length(), allowance());
    list.add("slot_width", "slot width", l.slot_width, Origin::clearance_hole(&l.screw.size));
    list.add(
        "axis_height",
        "encoder's axis",
        l.axis_height,
        Origin::given_or(
            spec.axis_height.is_some(),
            "--axis-height",
            Origin::Formula("lowest that the encoder's body allows".into()),
        ),
    );
    list.add(
        "register_bore",
        "register bore",
        l.seat.register_bore,
        Origin::Table(format!(
            "{}, + the printer's hole allowance and {} mm of play",
            s.encoder.source,
            layout::REGISTER_PLAY
        )),
    );
    list.add(
        "bolt_hole",
        "flange screw holes",
        l.seat.screw.hole,
        Origin::clearance_hole(&l.seat.screw.size),
    );
    if s.encoder.layout == crate::catalog::encoders::Layout::Circle {
        let source = Origin::Table(s.encoder.source.clone());
        list.add(
            "bolt_circle",
            "flange screws on a circle of",
            2.0 * s.encoder.screw_radius(),
            Origin::given_or(spec.bolt_spacing.is_some(), "--bolt-spacing", source),
        );
    }
    if let Some((depth, shaft)) = l.seat.recess {
        let play = || Origin::Practice("the register's height and a little play".into());
        list.add("recess_depth", "recess for the register", depth, play());
        let room = Origin::Practice("room round the encoder's shaft".into());
        list.add("shaft_bore", "bore for the shaft", shaft, room);
    }
    list.add(
        "screw_spacing",
        "between the screws",
        (l.screws[1] - l.screws[0]).norm(),
        Origin::given_or(
            spec.screw_spacing.is_some(),
            "--screw-spacing",
            Origin::Formula("beside the encoder, where a key reaches".into()),
        ),
    );
    if l.style == Style::Foot {
        list.add(
            "screw_row",
            "screws from the front face",
            l.screws[0].y,
            Origin::Formula("upright, root and washer".into()),
        );
    }
    list.add(
        "belt_plane",
        "belt from the encoder's flange",
        l.belt_lever + l.thick.upright,
        Origin::given_or(
            spec.belt_plane.is_some(),
            "--belt-plane",
            Origin::Formula("pulley as near as heads and register allow".into()),
        ),
    );
    let stiff = || Origin::Formula("least that keeps the deflection limit".into());
    list.add(
        "upright_thickness",
        if l.style == Style::Foot { "upright" } else { "plate" },
        l.thick.upright,
        Origin::given_or(spec.upright_thickness.is_some(), "--upright-thickness", stiff()),
    );
    let (base, of_base) = if l.style == Style::Foot {
        let practice = Origin::Practice("2 mm more than the upright".into());
        let given = spec.base_thickness.is_some();
        (l.thick.base, Origin::given_or(given, "--base-thickness", practice))
    } else {
        (0.0, Origin::Formula("a flat plate has none".into()))
    };
    list.add("base_thickness", "base", base, of_base);
    let (gusset, of_gusset) = if l.gussets > 0 {
        let practice = Origin::Practice("as thick as the upright".into());
        let given = spec.gusset_thickness.is_some();
        (l.thick.gusset, Origin::given_or(given, "--gusset-thickness", practice))
    } else {
        (0.0, Origin::Formula("there are none".into()))
    };
    list.add("gusset_thickness", "gussets", gusset, of_gusset);
    if l.root > 0.0 {
        list.add(
            "root_radius",
            "rounding at the root",
            l.root,
            Origin::Practice("most of the base's thickness, at most 6 mm".into()),
        );
    }
    if !l.vents.is_empty() {
        list.add(
            "vent_width",
            "vent width",
            l.vent_width,
            Origin::given_or(
                spec.vent_width.is_some(),
                "--vent-width",
                Origin::Practice("what leaves sound webs, at most 8 mm".into()),
            ),
        );
    }
    let (width, depth, height) = l.size();
    let drawn = || Origin::Formula("from the slots, the seat and the walls they need".into());
    list.add("width", "width along the slide", width, drawn());
    list.add("depth", "depth along the shaft", depth, drawn());
    list.add("height", "height", height, drawn());
}

fn holding_dimensions(list: &mut Sizes, s: &Settled) {
    let h = &s.holding;
    let cells = || Origin::Formula(h.cells());
    list.add("deflection", "gives under the belt", h.deflection, cells());
    list.add(
        "deflection_lasting",
        "gives after months",
        h.deflection * hold::CREEP,
        Origin::Practice(format!("creep factor {}", hold::CREEP)),
    );
    list.add("slope_deg", "encoder's axis turns by", h.slope.to_degrees(), cells());
    list.add("root_stress_mpa", "greatest stress", h.stress, cells());
    list.add(
        "lowest_frequency_hz",
        "lowest frequency",
        h.frequency,
        Origin::Formula(format!("{}; encoder, pulley and print as masses", h.cells())),
    );
    list.add(
        "print_modulus_mpa",
        "modulus of the print",
        h.elastic.modulus,
        Origin::Preset(format!("{}, at {} % infill", s.workshop.material.name, hold::infill(s.spec))),
    );
}

fn lists(s: &Settled, print: &Print) -> Result<serde_json::Map<String, serde_json::Value>> {
    let mut map = serde_json::Map::new();
    let l = &s.layout;
    map.insert(
        "belt".into(),
        json!({
            "designation": s.drive.designation(),
            "teeth": s.drive.belt_teeth,
            "width": s.drive.width,
            "pulleys": [s.drive.spindle_teeth, s.drive.encoder_teeth],
            "teeth_in_mesh_small": s.drive.mesh(),
        }),
    );
    map.insert(
        "signal".into(),
        json!({
            "pulses_per_spindle_turn": s.signal.pulses_per_turn,
            "counts_per_spindle_turn": s.signal.counts_per_turn,
            "frequency_hz": s.signal.frequency,
            "encoder_rpm": s.signal.encoder_rpm,
            "controller_ratio": [s.signal.ratio.0, s.signal.ratio.1],
        }),
    );
    let length = screws::bracket_screw(s)?;
    map.insert("screws".into(), screws::holes(s).iter().map(|hole| json!({
        "name": hole.name, "x": hole.from_spindle, "y": hole.over_spindle, "z": hole.behind_belt, "diameter": l.slot_width,
        "size": l.screw.size, "length": length, "washer": "ISO 7089", "head": "ISO 4762",
    })).collect());
    map.insert("flange_screws".into(), flange_screws(s)?);
    map.insert("stiffness".into(), stiffness(s, print));
    Ok(map)
}

/// The flange's screws: x to the right seen from the belt and y up, from the encoder's axis.
fn flange_screws(s: &Settled) -> Result<serde_json::Value> {
    let seat = &s.layout.seat;
    let length = match screws::flange_screw(s)? {
        screws::Fastening::Stock(length, _) | screws::Fastening::Cut(length) => Some(length),
        screws::Fastening::Nuts(_) => None,
    };
    let one = |at: &crate::solid::Point2| json!({ "x": at.x, "y": at.y, "diameter": seat.screw.hole, "size": seat.screw.size, "length": length });
    Ok(seat.bolts.iter().map(one).collect())
}

/// Where the bracket is held and where it is pulled, in the print's coordinates: what anyone needs to
/// reckon its deflection again.
fn stiffness(s: &Settled, print: &Print) -> serde_json::Value {
    let l = &s.layout;
    let t = l.thick.upright;
    let pull = s.place.pull();
    let point = |x: f64, y: f64, z: f64| {
        let p = print.point(x, y, z);
        [p.x, p.y, p.z]
    };
    let way = |x: f64, y: f64, z: f64| {
        let d = print.direction(x, y, z);
        [d.x, d.y, d.z]
    };
    let held: Vec<serde_json::Value> = l
        .screws
        .iter()
        .map(|at| match l.style {
            Style::Foot => json!({ "from": point(at.x, at.y, 0.0), "to": point(at.x, at.y, l.thick.base), "radius": l.screw.washer_radius() }),
            _ => json!({ "from": point(at.x, 0.0, at.y), "to": point(at.x, t, at.y), "radius": l.screw.washer_radius() }),
        })
        .collect();
    json!({
        "modulus_mpa": s.holding.elastic.modulus,
        "poisson": s.holding.elastic.poisson,
        "held": held,
        "seat": { "centre": point(0.0, t, l.axis_height), "outward": way(0.0, 1.0, 0.0), "radius": l.seat.radius, "opening": l.seat.register_bore / 2.0,
                  "floor": l.seat.floor(t) },
        "thickness": t,
        "shaft_radius": s.encoder.shaft_diameter / 2.0,
        "body_length": s.encoder.body_length,
        "body_radius": hold::body_radius(&s.encoder),
        "masses": s.holding.masses.iter().map(|mass| mass.placed(&print.frame)).collect::<Vec<_>>(),
        "density_g_cm3": s.workshop.material.density,
        "weight_n": s.encoder.mass / 1000.0 * hold::GRAVITY,
        "down": way(0.0, 0.0, -1.0),
        "pulled_at": point(0.0, -l.belt_lever, l.axis_height),
        "pull": way(pull.x, 0.0, pull.y),
        "pull_n": s.drive.hub_load(),
        "deflection": s.holding.deflection,
        "frequency_hz": s.holding.frequency,
        "cell": s.holding.grid.size,
    })
}

/// Which way up it prints, for the sheet.
pub fn lie(layout: &Layout) -> Lie {
    Lie::of(layout)
}
