//! The encoder bracket: from a belt that can be bought to a slide stiff enough to tension it.
//!
//! * [`spec`]: what the person says;
//! * [`drive`]: the belt, and the slide solved in true geometry;
//! * [`layout`]: every dimension;
//! * [`pulley_seat`]: how the encoder's pulley sits on its shaft;
//! * [`orientation`]: which way up it prints;
//! * [`outlines`]: the outlines of its sheets and openings;
//! * [`shape`]: the solid;
//! * `mating`: what it works with;
//! * `clamp`: the screws' torque, and what holds it against the belt;
//! * [`jack`]: the jack screw that sets the tension; `jacking`: how it stands and what it bears;
//! * [`clearance`]: what must not touch what, anywhere in the slide;
//! * [`hold`]: deflection, stress and frequency;
//! * [`checks`]: what holds and what does not;
//! * [`hanging`]: roofs that hang in the chosen lie;
//! * [`remedy`]: the least change that clears a finding;
//! * [`screws`]: where the machine's holes go, and how long the screws are;
//! * `template`: what the machine is marked and drilled by;
//! * [`figures`]: what its drawing shows;
//! * [`webs`]: what plastic is left between openings, drawn and measured;
//! * [`notes`]: what the bench is told.

pub mod checks;
mod clamp;
pub mod clearance;
mod clearance_checks;
mod conditions;
pub mod drive;
pub mod figures;
pub mod hanging;
pub mod hold;
pub mod jack;
mod jacking;
pub mod layout;
pub(in crate::parts) mod lists;
pub(in crate::parts) mod mating;
pub mod notes;
pub mod orientation;
pub mod outlines;
pub mod pulley_seat;
pub mod remedy;
pub mod screws;
pub mod shape;
mod sizes;
pub mod spec;
mod template;
mod vents;
mod wall_checks;
pub mod webs;

pub use spec::{Bracket, Hand, HubSide, SpindleFrom, Style};

use crate::belt_drive::Drive;
use crate::catalog::encoders::Encoder;

use crate::design::{Companion, Cut, Design, FreeFace, Mating, Part, Piece, Slice, answers};
use crate::error::{Result, within};
use crate::mechanics::belt_drive::{self as mechanics, Signal};
use crate::mechanics::elements::Grid;
use crate::units::Length;
use crate::workshop::Workshop;
use clearance::Surroundings;
use drive::Place;
use hold::{Asked, Holding};
use layout::{Layout, Thickness};
use pulley_seat::PulleySeat;
use shape::Print;

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
    /// A drive that was passed over though it comes nearer to the distance wished for.
    pub nearer: Option<Drive>,
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
    /// The spindle, where its diameter was given.
    pub(in crate::parts) fn spindle(&self) -> Option<mating::Spindle> {
        let diameter = self.spec.shafts.first()?.mm();
        Some(mating::Spindle { diameter, from: self.spec.spindle_from.unwrap_or(SpindleFrom::Behind) })
    }

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
        let seat = clearance_checks::pulley_seat(self);
        let h = &self.holding;
        let stops = [
            seat.stops(),
            h.lost_share() > hold::SLACK_SHARE,
            h.safety() < crate::mechanics::strength::REFUSED,
        ];
        (
            stops.into_iter().filter(|stop| *stop).count(),
            h.lack().max(0.0) + 2.0 * (1.0 - seat.grip() / seat.wanted).max(0.0),
        )
    }
}

impl Part for Bracket {
    fn default_name(&self) -> String {
        let profile = self.profile.as_deref().unwrap_or(crate::belt_drive::PROFILE).to_lowercase();
        let clean = |text: &str| -> String {
            text.chars().map(|c| if c.is_alphanumeric() || c == '.' { c } else { '-' }).collect()
        };
        format!(
            "{}-{}-{}-{}",
            if self.template { "template" } else { "bracket" },
            self.style.word(),
            clean(self.encoder.as_deref().unwrap_or("38")),
            clean(&profile)
        )
    }

    fn refuse_unused(&self) -> Result<()> {
        answers::refuse_unused(self, conditions::CONDITIONS)
    }

    fn design(&self, workshop: &Workshop, name: &str) -> Result<Design> {
        let settled = settle(self, workshop)
            .map_err(|error| remedy::further(self, workshop, remedy::spaced(self, workshop, error)))?;
        if self.template {
            return template::design(&settled, name);
        }
        let working = shape::body(&settled.layout)?;
        let print = Print::of(&settled.layout, &working);
        let piece = Piece::new("", print.body(&working), workshop.chord_tolerance)?
            .with_figures(figures::figures(&settled, &print));
        let mut mating = mating::mating(
            &settled.layout,
            &settled.place,
            &settled.drive,
            &settled.encoder,
            settled.spindle(),
        )?;
        if let Some(jack) = jacking::Standing::of(&settled) {
            mating.extend(jack.mating()?);
        }
        let mut findings = checks::findings(&settled, &piece, &print, workshop.chord_tolerance)?;
        remedy::sharpen(&settled, &mut findings);
        Ok(Design {
            stands: Some(print.frame),
            kind: "bracket",
            name: name.to_string(),
            sizes: sizes::sizes(&settled)?,
            lists: lists::lists(&settled, &print)?,
            findings,
            notes: notes::notes(&settled, piece.body.volume())?,
            mating: mating.into_iter().map(|m| Mating { body: print.body(&m.body), ..m }).collect(),
            cut: Cut::Nothing,
            flat: None,
            chord_tolerance: workshop.chord_tolerance,
            pieces: vec![piece],
            free_face: free_face(&settled),
            slices: slices(&settled),
            companion: Some(Companion::new(false, self, lists::fits(&settled))),
            ..Design::default()
        })
    }
}

/// Thicknesses of the upright that are tried, mm.
const LADDER: [f64; 7] = [5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 14.0];

/// The first millimetres of what lies flat on the bed: its register, and its slots where they are in the same plate. A foot
/// that prints on its end shows neither in a slice.
fn slices(s: &Settled) -> Vec<Slice> {
    use orientation::Orientation;
    let orientation = Orientation::of(&s.layout);
    let one = |name: &'static str, readings: &'static [&'static str], to_try: &str| Slice {
        name,
        piece: String::new(),
        heights: (0.0, 2.4_f64.min(s.layout.thick.upright / 2.0)),
        to_try: to_try.into(),
        readings,
    };
    let register = one(
        "register",
        &["register_bore"],
        "Set the encoder's register into its bore: it must go in by hand and not rattle; the flange's screws must find their holes.",
    );
    let slot = one(
        "slot",
        &["slot_width", "slot_over_ends"],
        "Lay it on the machine: the screws must pass the slots along their whole length without binding.",
    );
    match orientation {
        Orientation::Back => vec![register, slot],
        Orientation::Face => vec![slot],
        Orientation::Front if s.layout.seat.recess.is_none() => vec![register],
        _ => vec![],
    }
}

/// The face that neither machine nor encoder lies on: the front of a plate on its back, else the one on the bed, clear of
/// washers and keys.
fn free_face(s: &Settled) -> FreeFace {
    let up = (orientation::Orientation::of(&s.layout) == orientation::Orientation::Back)
        .then_some(s.layout.thick.upright);
    let margin =
        s.layout.screw.key_radius().max(s.layout.screw.washer_radius()) - s.layout.screw.hole / 2.0 + 0.5;
    FreeFace::Level { piece: String::new(), up, margin, lettered: false }
}

/// Settles everything: of the thicknesses tried, the least that keeps the limits; where none does, the
/// one of them that comes nearest, with the findings that say so.
pub fn settle<'a>(spec: &'a Bracket, workshop: &'a Workshop) -> Result<Settled<'a>> {
    let found = searched(spec, workshop)?;
    let nearest = if found.keeps() { found } else { among(spec, workshop, true)? };
    nearest.on(&Grid::FINE)
}

/// The same on a coarse grid of cells; where that comes near to a limit the fine one decides. Thicknesses
/// that cannot keep the limits are passed over.
pub fn searched<'a>(spec: &'a Bracket, workshop: &'a Workshop) -> Result<Settled<'a>> {
    among(spec, workshop, false)
}

fn among<'a>(spec: &'a Bracket, workshop: &'a Workshop, every: bool) -> Result<Settled<'a>> {
    let encoder = spec.encoder()?;
    let drive::Choice { drive, nearer } = drive::settle(spec, &encoder)?;
    let mut best: Option<Settled> = None;
    let rungs = ladder(spec, &encoder)?;
    for (rung, &upright) in rungs.iter().enumerate() {
        let could = |b: &Settled| b.holding.could_keep(upright / b.layout.thick.upright);
        if !every && rung + 1 < rungs.len() && !best.as_ref().is_none_or(could) {
            continue;
        }
        let mut settled = with_thickness(spec, workshop, &encoder, &drive, upright)?;
        if settled.holding.is_near_a_limit() {
            settled = settled.on(&Grid::FINE)?;
        }
        let keeps = settled.keeps();
        if best.as_ref().is_none_or(|b| settled.lack() < b.lack()) {
            best = Some(Settled { nearer: nearer.clone(), ..settled });
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
    let jacked = match spec.style {
        Style::Foot => 0.0,
        _ => jack::JackScrew::sheet_for(spec.jack_size())?,
    };
    let least = jacked.max(recess + 4.0);
    let fit: Vec<f64> = LADDER.into_iter().filter(|t| *t >= least && *t <= most).collect();
    Ok(if fit.is_empty() { vec![jacked.max(recess + 5.0)] } else { fit })
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
    let jacked = jack::JackScrew::sheet_for(spec.jack_size())?;
    let thick = Thickness {
        upright,
        base: own("--base-thickness", spec.base_thickness, (upright + 2.0).max(jacked))?,
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
        nearer: None,
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
    vents::place(&mut layout, spec, &encoder, workshop.printer.bridge)?;
    let layout = with_pulley(spec, drive, &encoder, &place, layout)?;
    let around = Surroundings { layout: &layout, place: &place, drive, encoder: &encoder };
    let clear = around.key()?.gap >= layout::KEY_ROOM
        && around.inside()?.gap >= clearance::BESIDE
        && slots_clear_the_seat(&layout, wall_checks::least_web(workshop.printer.line_width))?;
    Ok(((encoder, place, layout), clear))
}

/// The layout with the encoder's pulley on its shaft: the first way to turn its hub in which its set
/// screws press on the shaft, or the one in which they come nearest to it.
fn with_pulley(
    spec: &Bracket,
    drive: &Drive,
    encoder: &Encoder,
    place: &Place,
    layout: Layout,
) -> Result<Layout> {
    let mut best: Option<(f64, Layout)> = None;
    for hub in pulley_seat::sides(spec, drive) {
        let mut tried = Layout { hub, ..layout.clone() };
        if spec.belt_plane.is_none() {
            tried.belt_lever = layout::least_lever(drive, encoder, layout.thick.upright, hub);
            let around = Surroundings { layout: &tried, place, drive, encoder };
            tried.belt_lever = tried.belt_lever.max(around.least_lever()?);
        }
        let seat = PulleySeat::new(&tried, drive, encoder, spec.hub_length.is_some());
        let least = layout::least_lever(drive, encoder, layout.thick.upright, hub);
        let fits = tried.belt_lever >= least - 1e-9;
        if fits && seat.grip() >= seat.wanted - 1e-9 {
            return Ok(tried);
        }
        let merit = if fits { seat.grip() + seat.beyond_screws.min(0.0) } else { f64::NEG_INFINITY };
        if best.as_ref().is_none_or(|(most, _)| merit > *most) {
            best = Some((merit, tried));
        }
    }
    Ok(best.map_or(layout, |(_, tried)| tried))
}

/// Whether a plate's slots leave a web to the openings of the seat.
fn slots_clear_the_seat(layout: &Layout, least: f64) -> Result<bool> {
    if layout.style == Style::Foot {
        return Ok(true);
    }
    let slot = |web: &webs::Web| web.at_seat() && web.beside(outlines::Opening::Slot);
    Ok(webs::thinnest(&webs::drawn(layout)?, slot).is_none_or(|web| web.width >= least))
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
