//! From the bearing, the shaft and the force to every dimension of the sleeve.

use super::in_the_way::{self, ReachFrom, shaft_in_the_way};
use super::rod::{self, Screw, Way};
use super::shape::{self, Band, BoreStep, Drawn, End, Shape};
use super::spec::{Closure, Drive, Ring, ShaftStep, Sleeve};
use super::steel_ring::SteelRing;
use crate::catalog::bearings::Bearing;
use crate::design::Feature;
use crate::error::{Error, Result, number, within};
use crate::mechanics::strength;
use crate::workshop::Workshop;

/// How far a printed outside wall may stand off its drawn place, mm on the radius (common practice).
pub const WALL_TOLERANCE: f64 = 0.1;
/// Room between the shaft's end and the floor of the bore when the bearing is seated, mm (common practice).
pub const END_GAP: f64 = 3.0;
/// The most that a bore is drawn wider for a printer that prints holes small, mm: beyond it, it is reamed, since a bore
/// that then prints true would let the sleeve stand so far off centre that it meets the shield (common practice).
const MOST_ALLOWANCE: f64 = 0.3;
/// Room along the shaft before the bore may narrow to the next step, mm (common practice).
const STEP_GAP: f64 = 1.0;
/// What an open end stands past the shaft's end, mm, so that the press never meets the shaft (common practice).
const OPEN_STAND: f64 = 10.0;
/// Depth of the relief over shield and balls, mm (common practice).
const RELIEF: f64 = 3.0;
/// Length of a nose before the body may grow, mm: clear of a shield that stands a little proud (common practice).
const NOSE_LENGTH: f64 = 4.0;
/// Thickness of a closed end, mm: the least worth printing and the most worth asking for (common practice).
const LEAST_END: f64 = 5.0;
const MOST_END: f64 = 60.0;
/// The most an edge of the nose is broken, mm: so that no burr of plastic leaves the land (common practice).
const EDGE: f64 = 0.2;
/// How far a turned ring may stand off its sizes, mm on the radius (common practice).
const TURNED_TOLERANCE: f64 = 0.05;
/// Room left under the screw that a puller's point presses, mm (common practice).
const UNDER_SHANK: f64 = 1.0;
/// Rim left round a washer's seat or recess, mm on the radius (common practice).
const SEAT_RIM: f64 = 2.0;

/// The sleeve's shape with what led to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizing {
    /// The shape.
    pub shape: Shape,
    /// The turned ring between nose and bearing, where one is asked for.
    pub steel: Option<SteelRing>,
    /// How deep the seated face lies: past the shaft's end, or behind the housing's face.
    pub reach: f64,
    /// Whether the reach was measured, follows from the shaft steps, or was assumed.
    pub reach_from: ReachFrom,
    /// How far the shaft stands out past the seated face.
    pub shaft_reach: f64,
    /// Diametral play over the shaft once printed.
    pub play: f64,
    /// How much wider the bore is drawn than it is to come out.
    pub wider: f64,
    /// What the printer takes off the diameter of a hole, and of an outside, whether or not it is drawn by it in full.
    pub taken_off: (f64, f64),
    /// Diametral play in the housing bore.
    pub housing_play: f64,
    /// How far the sleeve can stand off centre.
    pub shift: f64,
    /// How far an edge that touches may be off its drawn place, mm on the radius.
    pub tolerance: f64,
    /// The band of the inner ring (or only ring) that may be touched.
    pub land: Band,
    /// The band of the outer ring that may be touched, when both are pressed.
    pub outer_land: Option<Band>,
    /// The bands that touch the bearing, of the print or of the turned ring: the inner (or only) one, and
    /// the outer one where both are pressed.
    pub faces: (Band, Option<Band>),
    /// The screw, for a rod or puller.
    pub screw: Option<Screw>,
    /// The way the rod takes.
    pub way: Option<Way>,
    /// The shaft in the way, from the seat outwards.
    pub steps: Vec<ShaftStep>,
}

impl Sizing {
    /// Overall length of what stands between the bearing and the drive, mm.
    pub fn stands(&self) -> f64 {
        self.shape.length() + self.steel.as_ref().map_or(0.0, |ring| ring.thickness)
    }
}

/// What the strength of a candidate comes to, least safety factor of the body alone.
pub type BodySafety<'a> = dyn Fn(&Shape, Option<&Screw>) -> f64 + 'a;

/// The force and the plastic a sleeve is sized for.
pub struct Load<'a> {
    /// Greatest press force on an oiled seat, N.
    pub force: f64,
    /// The same on a dry seat, for the screw.
    pub dry: f64,
    /// Compressive strength of the plastic, MPa.
    pub crush: f64,
    /// Tension in the layer plane the end plate may see at the wanted safety, MPa.
    pub bending_allowed: f64,
    /// Shear between the layers it may see, MPa.
    pub shear_allowed: f64,
    /// Poisson's ratio of the plastic.
    pub poisson: f64,
    /// The body's least safety factor for a shape.
    pub body_safety: &'a BodySafety<'a>,
    /// The safety factor wanted.
    pub wanted: f64,
}

/// Sizes the sleeve. Fails when no sleeve can be drawn between the limits; whether one that can be
/// drawn holds is for the checks to say.
pub fn size(spec: &Sleeve, workshop: &Workshop, bearing: &Bearing, load: &Load) -> Result<Sizing> {
    let (reach, reach_from) = in_the_way::reach(spec, bearing)?;
    let shaft_reach = in_the_way::shaft_reach(spec, reach)?;
    let play = match spec.play {
        Some(play) => within("--play", play.mm(), 0.05, 2.0, "mm")?,
        None => (0.015 * bearing.bore).clamp(0.2, 0.5),
    };
    let way = rod::way(spec, bearing)?;
    // A cup's front face is so thin that it asks for the closest guide a print still slides in.
    let closest = bearing.tapered.is_some() && spec.ring == Ring::Outer;
    let housing_play = if closest { 0.3 } else { (0.01 * bearing.outside).clamp(0.3, 1.0) };
    let washer = bearing.outside - housing_play - 2.0 * (shape::FOOT_CHAMFER + LEAST_RIM);
    let in_recess = washer - workshop.printer.hole_allowance - RECESS_PLAY;
    let screw = rod::screw(spec, way.as_ref(), in_recess, load.dry)?;
    let frame = Frame {
        spec,
        workshop,
        bearing,
        reach,
        shaft_reach,
        play,
        housing_play,
        tolerance: if spec.steel_nose { TURNED_TOLERANCE } else { WALL_TOLERANCE },
        steps: shaft_in_the_way(spec, bearing, shaft_reach)?,
        seat_diameter: screw.as_ref().map_or(0.0, |screw| screw.washer.outer + 2.0 * SEAT_RIM),
    };
    let lands = Lands::of(spec, bearing)?;
    let (mut shape, faces) = frame.draft(&lands, &screw)?;
    shape.end_thickness = frame.end_thickness(&shape, &screw, load)?;
    let steel = spec.steel_nose.then(|| frame.steel_ring(&mut shape, faces, &screw, load)).transpose()?;
    shape.end_thickness = frame.end_thickness(&shape, &screw, load)?;
    if steel.is_none() {
        frame.grow(&mut shape, screw.as_ref(), load)?;
    }
    frame.holds_washer(&shape, screw.as_ref())?;
    let shift = frame.shift();
    shape.drawn = frame.drawn(&shape, &lands);
    Ok(Sizing {
        shape,
        steel,
        reach,
        reach_from,
        shaft_reach,
        play,
        wider: frame.allowance(),
        taken_off: [Feature::Hole, Feature::Outside]
            .map(|feature| workshop.printer.allowance(feature))
            .into(),
        housing_play: frame.housing_play,
        shift,
        tolerance: frame.tolerance,
        land: lands.first,
        outer_land: lands.second,
        faces,
        screw,
        way,
        steps: frame.steps,
    })
}

/// The bands the sleeve may touch.
struct Lands {
    first: Band,
    second: Option<Band>,
}

impl Lands {
    fn of(spec: &Sleeve, bearing: &Bearing) -> Result<Lands> {
        let inner = || {
            bearing.inner_land().map(|land| Band { inner: land.inner_diameter, outer: land.outer_diameter })
        };
        let outer = || {
            bearing.outer_land().map(|land| Band { inner: land.inner_diameter, outer: land.outer_diameter })
        };
        Ok(match spec.ring {
            Ring::Inner => Lands { first: inner()?, second: None },
            Ring::Outer => Lands { first: outer()?, second: None },
            Ring::Both => Lands { first: inner()?, second: Some(outer()?) },
        })
    }
}

/// What the drafting of one sleeve stands on.
struct Frame<'a> {
    spec: &'a Sleeve,
    workshop: &'a Workshop,
    bearing: &'a Bearing,
    reach: f64,
    shaft_reach: f64,
    play: f64,
    housing_play: f64,
    tolerance: f64,
    steps: Vec<ShaftStep>,
    seat_diameter: f64,
}

impl Frame<'_> {
    /// A hole drawn so that it comes out `size` wide.
    fn hole(&self, size: f64) -> f64 {
        size + self.allowance()
    }

    fn allowance(&self) -> f64 {
        self.workshop.printer.hole_allowance.min(MOST_ALLOWANCE)
    }

    /// The printer's errors as the profile takes them: an outside drawn larger stays on the lands and in the housing's
    /// bore even where it prints true, and a face on the bed keeps most of its width.
    fn drawn(&self, shape: &Shape, lands: &Lands) -> Drawn {
        let printer = &self.workshop.printer;
        let outermost = shape.outer_contact.unwrap_or(shape.contact);
        let room = [
            lands.first.outer - shape.contact.outer,
            lands.second.map_or(f64::INFINITY, |land| land.outer - outermost.outer),
            self.bearing.outside - shape.body_diameter,
        ];
        let room = room.into_iter().fold(f64::INFINITY, f64::min) - WALL_TOLERANCE;
        Drawn {
            inside: self.inside(outermost),
            outside: printer.allowance(Feature::Outside).min(room.max(WALL_TOLERANCE)),
            relief: printer.first_layer.min(0.15 * outermost.width().min(shape.contact.width())),
        }
    }

    /// How much larger the edge of a face on an outer ring is drawn that looks towards the shield: what a hole prints
    /// smaller, as far as the face stays wide enough. A turned ring comes out as it is asked for.
    fn inside(&self, face: Band) -> f64 {
        let spare = 2.0 * (face.width() - LEAST_FACE);
        let printed = self.spec.ring != Ring::Inner && !self.spec.steel_nose;
        if printed { self.allowance().min(spare.max(0.0)) } else { 0.0 }
    }

    /// How far the sleeve can stand off centre, on the radius: it is held by the shaft, the housing
    /// bore, or where both rings are pressed by the closer of the two.
    fn shift(&self) -> f64 {
        let play = match self.spec.ring {
            Ring::Inner => self.play,
            Ring::Outer => self.housing_play,
            Ring::Both => self.play.min(self.housing_play),
        };
        play / 2.0
    }

    fn closed_or_open(&self) -> bool {
        self.spec.drive != Drive::Flat || self.spec.end == Closure::Closed
    }

    /// Greatest diameter that still goes into the housing bore.
    fn housing_limit(&self) -> f64 {
        self.bearing.outside - self.housing_play
    }

    /// The first draft: contact faces, bore and end, with the leanest body. Beside it the faces.
    fn draft(&self, lands: &Lands, screw: &Option<Screw>) -> Result<(Shape, (Band, Option<Band>))> {
        let contact = match self.spec.ring {
            Ring::Inner | Ring::Both => self.inner_contact(lands.first)?,
            Ring::Outer => self.outer_contact(lands.first)?,
        };
        let outer_contact = lands.second.map(|land| self.outer_contact(land)).transpose()?;
        let nose_diameter = match self.spec.ring {
            Ring::Inner => contact.outer + 2.0 * self.edge(self.inner_nose(lands.first)?),
            Ring::Outer | Ring::Both => self.housing_limit(),
        };
        let bore = self.bore(contact)?;
        let last = bore.last().map_or(0.0, |step| step.diameter);
        let end = self.end(screw, last)?;
        let shape = Shape {
            contact,
            outer_contact,
            relief: RELIEF,
            bore,
            nose_diameter,
            nose_length: match self.spec.nose_length {
                Some(length) => within("--nose-length", length.mm(), 1.0, 500.0, "mm")?,
                None => NOSE_LENGTH,
            },
            body_diameter: nose_diameter,
            end_thickness: 0.0,
            end,
            drawn: Drawn::default(),
        };
        if let Some(outer) = outer_contact
            && outer.inner - contact.outer < 1.0
        {
            return Err(Error::geometry(
                "The faces for inner and outer ring leave no room for a relief over the shield.",
                "Press one ring at a time, with --ring inner or --ring outer.",
            ));
        }
        Ok((shape, (contact, outer_contact)))
    }

    /// The turned ring that takes the faces over, and the sleeve behind it: a plain tube on the ring's
    /// wide side, shorter by the ring's thickness, and as wide as its strength asks.
    fn steel_ring(
        &self,
        shape: &mut Shape,
        faces: (Band, Option<Band>),
        screw: &Option<Screw>,
        load: &Load,
    ) -> Result<SteelRing> {
        let bore = shape.bore.iter().map(|step| step.diameter).fold(0.0, f64::max);
        let area = strength::TRUSTED_LEAST * load.force / load.crush.max(1e-9) / std::f64::consts::FRAC_PI_4;
        let limit = self.housing_limit();
        let mut back = match self.spec.ring {
            Ring::Inner => {
                let least = faces.0.outer.max(bore + 6.0).max(self.seat_diameter);
                let wanted = (area + (bore + 2.0 * EDGE).powi(2)).sqrt() + 4.0 * EDGE;
                Band { inner: bore, outer: wanted.max(least).min(limit) }
            }
            Ring::Outer => Band { inner: shape.bore.last().map_or(bore, |step| step.diameter), outer: limit },
            Ring::Both => Band { inner: bore, outer: limit },
        };
        shape.outer_contact = None;
        loop {
            shape.contact = Band { inner: back.inner + 2.0 * EDGE, outer: back.outer - 2.0 * EDGE };
            (shape.nose_diameter, shape.body_diameter) = (back.outer, back.outer);
            if back.outer + 0.5 > limit || (load.body_safety)(shape, screw.as_ref()) >= load.wanted {
                break;
            }
            back.outer += 0.5;
        }
        // What is turned comes out as it is asked for: no allowance in its bore.
        let turned = Band { inner: back.inner - self.allowance(), ..back };
        let ring = SteelRing::new(faces, turned, load.force);
        let floor = shape.floor();
        if floor < ring.thickness + 1.0 {
            return Err(Error::geometry(
                format!(
                    "The turned ring is {} mm thick and fills the {} mm that the sleeve would reach over: there is no sleeve left to print.",
                    number(ring.thickness),
                    number(floor)
                ),
                "Turn the ring and press on it with a flat steel plate or the ram; or give the --reach that there is.",
            ));
        }
        shape.bore.iter_mut().for_each(|step| step.to -= ring.thickness);
        shape.bore.retain(|step| step.to > 1.0);
        if self.spec.ring == Ring::Outer {
            let floor = shape.bore.last().map_or(1.0, |step| step.to);
            shape.bore = vec![BoreStep { diameter: back.inner, to: floor }];
        }
        if shape.bore.is_empty() {
            shape.bore = vec![BoreStep { diameter: back.inner, to: 1.0 + END_GAP }];
        }
        Ok(ring)
    }

    /// Diameter and bore of a nose on an inner ring, before its edges are broken: the bore clears
    /// the shaft, and the outside keeps the sleeve's play and the print's tolerance off the shoulder.
    fn inner_nose(&self, land: Band) -> Result<Band> {
        let bore = self.hole(self.bearing.bore + self.play);
        let outer = match self.spec.nose_diameter {
            Some(diameter) => {
                within("--nose-diameter", diameter.mm(), bore + 0.4, self.housing_limit(), "mm")?
            }
            None => land.outer - 2.0 * (self.shift() + self.tolerance),
        };
        Ok(Band { inner: bore, outer })
    }

    /// How far an edge of the nose is broken, radially and axially.
    fn edge(&self, nose: Band) -> f64 {
        (0.05 * nose.width()).clamp(0.0, EDGE)
    }

    fn inner_contact(&self, land: Band) -> Result<Band> {
        let nose = self.inner_nose(land)?;
        let edge = self.edge(nose);
        let contact = Band { inner: land.inner.max(nose.inner + 2.0 * edge), outer: nose.outer - 2.0 * edge };
        self.wide_enough(contact, land, "inner", "--inner-land")
    }

    fn outer_contact(&self, land: Band) -> Result<Band> {
        let edge = EDGE.min(0.1 * land.width());
        let contact = Band {
            inner: land.inner + 2.0 * (self.shift() + self.tolerance + edge),
            outer: land.outer.min(self.housing_limit() - 2.0 * edge),
        };
        self.wide_enough(contact, land, "outer", "--outer-land")
    }

    fn wide_enough(&self, contact: Band, land: Band, ring: &str, option: &str) -> Result<Band> {
        if contact.width() >= LEAST_FACE {
            return Ok(contact);
        }
        let left = match contact.width() > 0.0 {
            true => format!("a face {:.2} mm wide is left, and 0.2 mm is the least", contact.width()),
            false => "no face is left".to_string(),
        };
        let closer = if ring == "inner" { ", give a smaller --play" } else { "" };
        Err(Error::geometry(
            format!(
                "The {ring} ring of {} may be touched from {:.2} to {:.2} mm; with play and print tolerance {left}.",
                self.bearing.designation, land.inner, land.outer
            ),
            format!(
                "Measure the ring's shoulder and give it as {option}{closer}, or turn this sleeve from steel tube."
            ),
        ))
    }

    /// The bore from the nose inwards: clear of every step the sleeve passes on its way, wide enough
    /// over the shield for an outer ring, and ended by the gap past the shaft's end.
    fn bore(&self, contact: Band) -> Result<Vec<BoreStep>> {
        // Past the shaft's end, and past the housing's face that the press must not meet.
        let deepest = match self.spec.ring {
            Ring::Inner => self.shaft_reach,
            _ => self.shaft_reach.max(self.reach),
        };
        let floor = deepest + if self.closed_or_open() { END_GAP } else { OPEN_STAND };
        let mut bore = Vec::new();
        let mut height = 0.0;
        for (at, step) in self.steps.iter().enumerate() {
            height += step.length;
            let widest = self.steps[at..].iter().map(|step| step.diameter).fold(0.0, f64::max);
            bore.push(BoreStep { diameter: self.hole(widest + self.play), to: height + STEP_GAP });
        }
        match bore.last_mut() {
            Some(last) => last.to = floor,
            // No shaft in the way: the rod alone passes, or nothing does.
            None => bore.push(BoreStep { diameter: self.hole(self.bearing.bore + self.play), to: floor }),
        }
        // A step of less than a millimetre is not worth a change of bore.
        bore = bore.into_iter().fold(Vec::new(), |mut kept: Vec<BoreStep>, step| {
            match kept.last_mut() {
                Some(last) if last.diameter - step.diameter < 1.0 => last.to = step.to,
                _ => kept.push(step),
            }
            kept
        });
        if self.spec.ring == Ring::Outer {
            bore = self.outer_bore(bore, contact)?;
        }
        Ok(bore)
    }

    /// For an outer ring: wide over the shield, then as the body needs it. The body's bore starts
    /// from a wall of 5 mm and is widened where the shaft asks.
    fn outer_bore(&self, shaft: Vec<BoreStep>, contact: Band) -> Result<Vec<BoreStep>> {
        let over_shield = contact.inner - 2.0 * EDGE.min(0.1 * contact.width());
        let needed = shaft.iter().map(|step| step.diameter).fold(0.0, f64::max);
        let body = match self.spec.body_bore {
            Some(bore) => within("--body-bore", bore.mm(), needed, over_shield, "mm")?,
            None => needed.max((self.housing_limit() - 10.0).min(over_shield)),
        };
        if body > over_shield {
            return Err(Error::geometry(
                format!(
                    "The shaft in the way needs a bore of {} mm, but the face on the outer ring begins at {} mm.",
                    number(needed),
                    number(over_shield)
                ),
                "Measure the shaft in the way again, or take the part that is wider off it.",
            ));
        }
        let floor = shaft.last().map_or(0.0, |step| step.to);
        let wide_to = RELIEF.min(floor);
        let narrows = (over_shield + self.inside(contact) - body) / 2.0;
        if narrows < 0.5 || wide_to + narrows >= floor {
            return Ok(vec![BoreStep { diameter: over_shield + self.inside(contact), to: floor }]);
        }
        Ok(vec![
            BoreStep { diameter: over_shield + self.inside(contact), to: wide_to },
            BoreStep { diameter: body, to: floor },
        ])
    }

    fn end(&self, screw: &Option<Screw>, bore: f64) -> Result<End> {
        Ok(match (self.spec.drive, screw) {
            (Drive::Rod, Some(screw)) => End::Rod { hole: self.hole(screw.clearance_hole).min(bore) },
            (Drive::Puller, Some(screw)) => End::Puller {
                recess: self.hole(screw.washer.outer + RECESS_PLAY),
                recess_depth: screw.washer.thickness,
                shank: self.hole(screw.clearance_hole),
                shank_depth: screw.head.shortest - screw.washer.thickness + UNDER_SHANK,
            },
            _ if self.spec.end == Closure::Open => End::Open,
            _ => End::Flat,
        })
    }

    fn end_thickness(&self, shape: &Shape, screw: &Option<Screw>, load: &Load) -> Result<f64> {
        if shape.end == End::Open {
            return Ok(0.0);
        }
        if let Some(thickness) = self.spec.end_thickness {
            return within("--end-thickness", thickness.mm(), 1.0, 200.0, "mm");
        }
        let span = shape.bore.last().map_or(0.0, |step| step.diameter);
        let pushed = pushed_diameter(self.spec, screw.as_ref(), span);
        let hole = if let End::Rod { hole } = shape.end { hole } else { 0.0 };
        // Thickened by tenths until bending and shear both keep the wanted safety.
        let mut thickness = LEAST_END;
        while thickness < MOST_END {
            let plate = strength::end_plate(load.force, span, pushed, hole, thickness, load.poisson)?;
            if plate.bending_mpa <= load.bending_allowed && plate.shear_mpa <= load.shear_allowed {
                break;
            }
            thickness += 0.5;
        }
        Ok(thickness)
    }

    /// Grows the body behind the nose until it holds, takes the washer's seat, and is no flimsier
    /// than the nose; never past the housing bore.
    fn grow(&self, shape: &mut Shape, screw: Option<&Screw>, load: &Load) -> Result<()> {
        if self.spec.ring != Ring::Inner {
            return Ok(());
        }
        let most = self.housing_limit().max(shape.nose_diameter);
        if let Some(diameter) = self.spec.body_diameter {
            shape.body_diameter =
                within("--body-diameter", diameter.mm(), shape.nose_diameter, 1000.0, "mm")?;
        } else {
            let bore = shape.bore.first().map_or(0.0, |step| step.diameter);
            let least = (bore + 6.0).max(self.seat_diameter).max(shape.nose_diameter).min(most);
            // A body hardly wider than the nose is not worth a flare.
            shape.body_diameter = if least - shape.nose_diameter < 0.5 { shape.nose_diameter } else { least };
            while (load.body_safety)(shape, screw) < load.wanted && shape.body_diameter + 0.5 <= most {
                shape.body_diameter += 0.5;
            }
        }
        let flare_end = shape.nose_length + (shape.body_diameter - shape.nose_diameter) / 2.0;
        if flare_end > shape.length() - 2.0 {
            // Too short to flare: the nose keeps its diameter all the way.
            shape.body_diameter = shape.nose_diameter;
        }
        Ok(())
    }

    /// Refuses a puller's end that has no rim left round its washer.
    fn holds_washer(&self, shape: &Shape, screw: Option<&Screw>) -> Result<()> {
        let (End::Puller { recess, .. }, Some(screw)) = (shape.end, screw) else {
            return Ok(());
        };
        let rim = (shape.body_diameter - recess) / 2.0 - shape::FOOT_CHAMFER;
        if rim >= LEAST_RIM {
            return Ok(());
        }
        Err(Error::geometry(
            format!(
                "The washer of a puller's {} screw lies in a recess of {} mm, and the sleeve is only {} mm wide: no rim is left round it.",
                screw.thread,
                number(recess),
                number(shape.body_diameter)
            ),
            "Give a smaller --rod, or --drive flat and press it with a vice.",
        ))
    }
}

/// Least width of a face that presses, mm (common practice).
const LEAST_FACE: f64 = 0.2;
/// Least rim round a puller's washer, mm: a printed line (common practice).
const LEAST_RIM: f64 = 0.4;
/// Play of a puller's washer in its recess, mm on the diameter (common practice).
const RECESS_PLAY: f64 = 0.3;

/// Diameter over which the drive pushes on the end plate, mm.
pub fn pushed_diameter(spec: &Sleeve, screw: Option<&Screw>, span: f64) -> f64 {
    match (screw, spec.ram) {
        (Some(screw), _) => screw.washer.outer,
        (None, Some(ram)) => ram.mm().max(0.1),
        // A ram or plate covers at least half the plate; the steps say so.
        (None, None) => 0.5 * span,
    }
}
