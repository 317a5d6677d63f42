//! Every dimension of the bracket, from the drive, the encoder and the screws.
//!
//! Coordinates as the bracket works: x to the right seen from the belt, y away from the belt, z up
//! (for a plate: up the plate). The encoder's axis is x = 0. The belt runs in front of y = 0, the
//! encoder's flange lies against y = thickness, its body behind. A foot stands on z = 0; a plate
//! lies with its back on the machine and has its slots (or its pivot) at z = 0.

use super::drive::{Place, SLOT_TOLERANCE};
use super::jack::{self, Jack, JackScrew};
use super::spec::{Bracket, HubSide, Style};
use crate::belt_drive::Drive;
use crate::catalog::encoders::{Encoder, Outline};
use crate::catalog::fasteners::{self, SocketHead, Washer};
use crate::error::{Error, Result, number, within};
use crate::solid::Point2;
use crate::units::Length;
use crate::workshop::Workshop;
use std::f64::consts::PI;

/// Least gap between things that must not touch, mm (common practice, no source).
pub const GAP: f64 = 1.0;
/// Room round a hexagon key over a screw, mm (common practice, no source).
pub const KEY_ROOM: f64 = 1.5;
/// Least web between openings, mm (common practice, no source): seven lines of a 0.4 mm nozzle.
pub const WEB: f64 = 3.0;
/// Width and length of a slot for a cable tie of up to 3.6 mm, mm (common practice, no source).
pub const TIE: (f64, f64) = (2.4, 4.6);
/// Depth of the groove a tie runs in from slot to slot on the face that meets the machine: the tie's
/// 1.3 mm (`cable_ties.csv`) and a little play, mm.
pub const TIE_GROOVE: f64 = 1.6;
/// Web between the two slots of a tie, mm (common practice, no source).
const TIE_SPAN: f64 = 5.0;
/// How far the groove is wider than its slots all round, mm.
const TIE_ROOM: f64 = 0.7;
/// Rounding of outer corners, mm.
pub const CORNER: f64 = 4.0;
/// Height of a gusset's toe over the base, mm: thick enough not to peel (common practice, no source).
pub const TOE: f64 = 4.0;

/// A screw that holds something, and the room it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Screw {
    /// Thread size.
    pub size: String,
    /// Hole or slot width: the medium clearance hole and the printer's allowance, mm.
    pub hole: f64,
    /// Washer under its head.
    pub washer: Washer,
    /// The standard that washer is made to.
    pub washer_standard: &'static str,
    /// Its head.
    pub head: SocketHead,
}

impl Screw {
    /// The screw of a size on a printer.
    pub fn new(size: &str, workshop: &Workshop) -> Result<Screw> {
        let thread = fasteners::thread(size)?.size;
        Ok(Screw {
            hole: fasteners::clearance_hole(size)?.medium + workshop.printer.hole_allowance,
            washer: fasteners::washer(size)?,
            washer_standard: fasteners::standards(&thread).washer,
            head: fasteners::socket_head(size)?,
            size: thread,
        })
    }

    /// Radius of the washer, mm.
    pub fn washer_radius(&self) -> f64 {
        self.washer.outer / 2.0
    }

    /// Radius kept free over the head for the key, or the head itself where it is larger, mm.
    pub fn key_radius(&self) -> f64 {
        (self.head.key / 3f64.sqrt() + KEY_ROOM).max(self.head.head_diameter / 2.0 + 0.5)
    }

    /// Washer and head over the face, mm.
    pub fn stands(&self) -> f64 {
        self.washer.thickness + self.head.head_height
    }
}

/// A slot: its middle line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Slot {
    /// Between the centres of its round ends; the same point twice is a hole.
    Straight(Point2, Point2),
    /// Round a centre, from one angle counter-clockwise to another (rad).
    Arc {
        /// The pivot.
        centre: Point2,
        /// Radius of the middle line, mm.
        radius: f64,
        /// Where it begins.
        from: f64,
        /// Where it ends.
        to: f64,
    },
}

impl Slot {
    /// Points along its middle line, both ends among them.
    pub fn points(&self) -> Vec<Point2> {
        const STEPS: i32 = 16;
        let shares = (0..=STEPS).map(|k| f64::from(k) / f64::from(STEPS));
        match *self {
            Slot::Straight(a, b) => shares.map(|s| a + (b - a) * s).collect(),
            Slot::Arc { centre, radius, from, to } => shares
                .map(|s| from + (to - from) * s)
                .map(|angle| centre + Point2::new(angle.cos(), angle.sin()).coords * radius)
                .collect(),
        }
    }
}

/// The encoder's seat.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Bore for the register, mm.
    pub register_bore: f64,
    /// Where the flange's screws lie inside the register: the depth of the recess that takes the
    /// register, and the bore for the shaft in its floor, mm.
    pub recess: Option<(f64, f64)>,
    /// Screws into the flange.
    pub screw: Screw,
    /// Where they lie from the axis, mm.
    pub bolts: Vec<Point2>,
    /// Radius round the axis that flange and screw heads hold flat, mm.
    pub radius: f64,
}

/// Thicknesses, mm: what the stiffness settles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thickness {
    /// Of the upright or plate.
    pub upright: f64,
    /// Of the base.
    pub base: f64,
    /// Of a gusset.
    pub gusset: f64,
}

/// A bracket with every dimension settled, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// How it sits.
    pub style: Style,
    /// Gussets.
    pub gussets: u32,
    /// Thicknesses.
    pub thick: Thickness,
    /// Width along the slide.
    pub width: f64,
    /// Top of the upright or plate.
    pub height: f64,
    /// Lowest edge: 0 for a foot, below the slots for a plate.
    pub low: f64,
    /// Depth of the base from the front face; the thickness for a plate.
    pub depth: f64,
    /// Height of the encoder's axis.
    pub axis_height: f64,
    /// The encoder's seat.
    pub seat: Seat,
    /// Radius of the plate round the seat, for plates.
    pub seat_edge: f64,
    /// Screws that hold the bracket.
    pub screw: Screw,
    /// Width of a slot.
    pub slot_width: f64,
    /// Slots: x and y on a foot's base, x and z on a plate.
    pub slots: Vec<Slot>,
    /// Where the screws stand in them at the working place.
    pub screws: Vec<Point2>,
    /// Vents in the upright: x and z of their ends.
    pub vents: Vec<(Point2, Point2)>,
    /// Width of a vent.
    pub vent_width: f64,
    /// Slots for a cable tie: x and y on a foot's base, x and z on a plate.
    pub ties: Vec<(Point2, Point2)>,
    /// Height to which the gussets reach up the upright.
    pub gusset_height: f64,
    /// How far the gussets reach from the front face.
    pub gusset_reach: f64,
    /// The same two of a gusset under the encoder.
    pub middle_height: f64,
    /// How far that one reaches.
    pub middle_reach: f64,
    /// The jack screw, where there is one.
    pub jack: Option<Jack>,
    /// Leg of the root's rounding where there is no gusset at the ends.
    pub root: f64,
    /// Middle of the belt from the front face.
    pub belt_lever: f64,
    /// Which way the hub of the encoder's pulley points.
    pub hub: HubSide,
    /// Least height for the axis, for the remedy.
    pub least_axis_height: f64,
}

impl Layout {
    /// The layout for a set of thicknesses.
    ///
    /// Fails when a value given is out of bounds or leaves no room.
    pub fn new(
        spec: &Bracket,
        workshop: &Workshop,
        drive: &Drive,
        encoder: &Encoder,
        place: &Place,
        thick: Thickness,
    ) -> Result<Layout> {
        let screw = mount_screw(spec, workshop)?;
        let seat = seat(workshop, encoder)?;
        let belt_lever = match spec.belt_plane {
            Some(plane) => within("--belt-plane", plane.mm(), 1.0, 200.0, "mm")? - thick.upright,
            None => least_lever(drive, encoder, thick.upright, HubSide::Away),
        };
        let mut layout = Layout {
            style: spec.style,
            gussets: spec.gusset_count()?,
            thick,
            width: 0.0,
            height: 0.0,
            low: 0.0,
            depth: thick.upright,
            axis_height: place.axis_height,
            seat_edge: seat.radius + TIE.1 + 2.0 * WEB,
            seat,
            slot_width: screw.hole,
            screw,
            slots: Vec::new(),
            screws: Vec::new(),
            vents: Vec::new(),
            vent_width: 0.0,
            ties: Vec::new(),
            gusset_height: 0.0,
            gusset_reach: 0.0,
            middle_height: 0.0,
            middle_reach: 0.0,
            jack: None,
            root: 0.0,
            belt_lever,
            hub: HubSide::Away,
            least_axis_height: least_axis_height(spec, workshop, encoder, thick.base)?,
        };
        let jack = JackScrew::asked(spec.jack_size(), layout.slot_width, layout.clamped_sheet(), workshop)?;
        match spec.style {
            Style::Foot => layout.foot(encoder, place, jack)?,
            Style::Face => layout.face(place, jack)?,
            Style::Swing => layout.swing(place)?,
        }
        Ok(layout)
    }

    /// The upright is as wide as its slots at the foot; the screws stand beside the encoder's body,
    /// where a key reaches them, and the gussets outside the screws.
    fn foot(&mut self, encoder: &Encoder, place: &Place, jack: Option<JackScrew>) -> Result<()> {
        let washer = self.screw.washer_radius();
        let travel = place.whole() + 2.0 * SLOT_TOLERANCE;
        let middle = match place.screw_spacing {
            Some(spacing) => spacing / 2.0,
            None => {
                let beside = self.screw.key_radius().max(washer + GAP);
                body_half_width(encoder) + beside + travel / 2.0
            }
        };
        let outside = middle + travel / 2.0 + washer + GAP;
        let ends = if self.end_gussets() { self.thick.gusset } else { WEB };
        // The jack's nut stands beyond the washers, with a wall behind it.
        let slit = jack.as_ref().map_or(0.0, |jack| jack.slit().0);
        let (nut, outside) = (outside + slit / 2.0, outside + slit);
        let ends = if jack.is_some() { ends.max(jack::WALL) } else { ends };
        let half = (outside + ends).max(self.seat.radius + CORNER + ends);
        self.root = if self.end_gussets() { 0.0 } else { root_leg(self.thick.base) };
        let row = self.thick.upright + self.root + GAP + washer;
        self.width = 2.0 * half;
        self.height = place.axis_height + self.seat.radius + CORNER;
        let under = place.axis_height - encoder.body_reach() - GAP;
        self.middle_height = if self.middle_gusset() { under } else { 0.0 };
        self.gusset_height =
            if self.end_gussets() { place.axis_height.min(self.height - CORNER) } else { self.middle_height };
        // The tie's slots lie in the middle, beside the washers, so they may reach between them.
        let ties = row + washer + GAP + TIE.0 + WEB;
        let behind = row + washer + GAP;
        let reach = |height: f64| (self.thick.upright + 0.7 * (height - self.thick.base)).max(behind);
        self.gusset_reach = if self.gussets == 0 { 0.0 } else { reach(self.gusset_height) };
        self.middle_reach = if self.middle_gusset() { reach(self.middle_height) } else { 0.0 };
        let corner = if self.end_gussets() { CORNER } else { 0.0 };
        self.depth = (self.gusset_reach + corner).max(ties);
        if let Some(room) = place.depth.filter(|room| *room < self.depth) {
            // A gusset that ends before the washers props nothing.
            let least = match self.gussets {
                0 => row + self.slot_width / 2.0 + 1.0,
                _ => row + washer + corner,
            };
            self.depth = within("--depth", room, least, 500.0, "mm")?;
            self.gusset_reach = self.gusset_reach.min(self.depth - corner);
            self.middle_reach = self.middle_reach.min(self.depth - corner);
        }
        self.straight_slots(place, middle, row, travel)?;
        let away = -place.spindle.x.signum();
        self.jack = jack.map(|screw| Jack { screw, away, slit: Point2::new(away * nut, row), end: half });
        let y = self.depth - WEB - TIE.1 / 2.0;
        if y - TIE.1 / 2.0 - TIE_ROOM > self.thick.upright + self.root + GAP {
            self.tie_pair(y);
        }
        Ok(())
    }

    fn face(&mut self, place: &Place, jack: Option<JackScrew>) -> Result<()> {
        let washer = self.screw.washer_radius();
        let travel = place.whole() + 2.0 * SLOT_TOLERANCE;
        let middle = match place.screw_spacing {
            Some(spacing) => spacing / 2.0,
            None => self.seat.radius.max(travel / 2.0 + washer + GAP),
        };
        let edge = washer + WEB;
        self.width = (2.0 * (middle + travel / 2.0 + edge)).max(2.0 * self.seat_edge);
        self.height = place.axis_height + self.seat_edge;
        self.low = -edge;
        self.straight_slots(place, middle, 0.0, travel)?;
        if let Some(screw) = jack {
            let jack = Jack::beyond(screw, -place.spindle.x.signum(), middle + travel / 2.0 + washer + GAP);
            self.width = self.width.max(2.0 * jack.end);
            self.jack = Some(jack);
        }
        self.tie_pair(self.height - WEB - TIE.1 / 2.0);
        Ok(())
    }

    /// Two slots either side of the axis; the screws stand where the working place puts them.
    ///
    /// Fails where the screws stand so near that their washers would meet.
    fn straight_slots(&mut self, place: &Place, middle: f64, row: f64, travel: f64) -> Result<()> {
        let least = travel + 2.0 * (self.screw.washer_radius() + GAP);
        let field = if place.longer == 0.0 {
            "--screw-spacing"
        } else {
            "The distance between the holes of --hole-at"
        };
        within(field, 2.0 * middle, least, 500.0, "mm")?;
        // Seen from the bracket the screws run opposite to it: towards the spindle when it goes out.
        let towards = place.spindle.x.signum();
        let off = (place.outward - place.inward) / 2.0 * towards;
        for side in [-1.0, 1.0] {
            let x = side * middle;
            self.slots
                .push(Slot::Straight(Point2::new(x - travel / 2.0, row), Point2::new(x + travel / 2.0, row)));
            self.screws.push(Point2::new(x - off, row));
        }
        Ok(())
    }

    /// A plate on its pivot on one side of the axis, with the arc slot on the other.
    fn swing(&mut self, place: &Place) -> Result<()> {
        let washer = self.screw.washer_radius();
        let edge = washer + WEB;
        let pivot = Point2::new(place.pivot.x, 0.0);
        let radius = place.slot_radius();
        let play = SLOT_TOLERANCE / radius;
        // Seen from the plate the machine turns with the shift when the spindle is on the left.
        let turns = -place.spindle.x.signum();
        let across = if pivot.x > 0.0 { PI } else { 0.0 };
        let (a, b) = (across - turns * (place.inward + play), across + turns * (place.outward + play));
        let (from, to) = (a.min(b), a.max(b));
        if to - from > PI / 3.0 {
            return Err(Error::geometry(
                format!(
                    "The arc slot would run {} degrees round the pivot, more than 60.",
                    number((to - from).to_degrees().round())
                ),
                "Give a greater --screw-spacing or --axis-height, or slip the belt on with a pulley (--flanges none).",
            ));
        }
        self.slots = vec![Slot::Straight(pivot, pivot), Slot::Arc { centre: pivot, radius, from, to }];
        self.screws = vec![pivot, Point2::new(-pivot.x, 0.0)];
        // How far down the slot's ends run from the pivot's level: only the lower one counts.
        let drop = -radius * from.sin().min(to.sin()).min(0.0);
        self.width = 2.0 * (pivot.x.abs() + edge).max(self.seat_edge);
        self.height = place.axis_height + self.seat_edge;
        self.low = -drop - edge;
        self.tie_pair(self.height - WEB - TIE.1 / 2.0);
        Ok(())
    }

    fn tie_pair(&mut self, row: f64) {
        // In the middle, or beside a gusset that stands there.
        let first = match self.gussets {
            1 | 3 => self.thick.gusset / 2.0 + GAP + TIE.0 / 2.0,
            _ => -(TIE_SPAN + TIE.0) / 2.0,
        };
        // A tie runs from slot to slot, so each slot lies across that way.
        let half = (TIE.1 - TIE.0) / 2.0;
        self.ties = [first, first + TIE_SPAN + TIE.0]
            .map(|x| (Point2::new(x, row - half), Point2::new(x, row + half)))
            .to_vec();
    }

    /// The groove for a tie on the face that meets the machine: its middle, width, height and depth,
    /// mm; wider than the slots, so that it holds their rims.
    pub fn tie_groove(&self) -> Option<(Point2, f64, f64, f64)> {
        let [(a, b), (c, d)] = self.ties[..] else {
            return None;
        };
        let thickness = match self.style {
            Style::Foot => self.thick.base,
            _ => self.thick.upright,
        };
        Some((
            nalgebra::center(&a, &d),
            (c.x - a.x).abs() + TIE.0 + 2.0 * TIE_ROOM,
            (b.y - a.y).abs() + TIE.0 + 2.0 * TIE_ROOM,
            TIE_GROOVE.min(thickness / 2.0),
        ))
    }

    /// Sizes of the box the bracket fits in as it works: width, depth, height, mm.
    pub fn size(&self) -> (f64, f64, f64) {
        (self.width, self.depth, self.height - self.low)
    }

    /// Length of the straight part of a slot, or of its middle line, mm.
    pub fn slot_length(&self) -> f64 {
        match self.slots.last() {
            Some(Slot::Straight(a, b)) => (b - a).norm(),
            Some(Slot::Arc { radius, from, to, .. }) => radius * (to - from),
            None => 0.0,
        }
    }

    /// Whether gussets stand at the ends of a foot.
    pub fn end_gussets(&self) -> bool {
        self.gussets >= 2
    }

    /// Whether one stands under the encoder.
    pub fn middle_gusset(&self) -> bool {
        self.gussets % 2 == 1
    }

    /// The gussets of a foot.
    pub fn gussets(&self) -> Vec<Gusset> {
        let (half, thick) = (self.width / 2.0, self.thick.gusset);
        let mut all = Vec::new();
        if self.end_gussets() {
            let (height, reach) = (self.gusset_height, self.gusset_reach);
            all.extend([-half, half - thick].map(|start| Gusset { start, height, reach }));
        }
        if self.middle_gusset() {
            let (height, reach) = (self.middle_height, self.middle_reach);
            all.push(Gusset { start: -thick / 2.0, height, reach });
        }
        all
    }
}

/// A gusset, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gusset {
    /// Its side at the lesser x.
    pub start: f64,
    /// Height to which it reaches up the upright.
    pub height: f64,
    /// How far it reaches from the front face.
    pub reach: f64,
}

/// The screws taken where none are named: a plate's also hold against turning, since the belt pulls above them.
fn usual_screw(style: Style) -> &'static str {
    if style == Style::Foot { "M5" } else { "M6" }
}

/// The screws that hold the bracket, M3 to M12.
fn mount_screw(spec: &Bracket, workshop: &Workshop) -> Result<Screw> {
    let asked = spec.screw.as_deref().unwrap_or(usual_screw(spec.style));
    let mut screw = Screw::new(asked, workshop)?;
    // On its upright's front it prints with upright slots: no round shrinks, the bridge sags a layer (common practice).
    if spec.style == Style::Foot && spec.gusset_count()? > 0 {
        screw.hole += workshop.printer.layer - workshop.printer.hole_allowance;
    }
    within("--screw", fasteners::thread(asked)?.diameter, 3.0, 12.0, "mm")?;
    if !spec.plain_washers {
        screw.washer = fasteners::wide_washer(asked)?;
        screw.washer_standard = fasteners::standards(&screw.size).wide_washer;
    }
    Ok(screw)
}

/// How far a swing's pivot lies beside the encoder's axis, and its slot on the other side, mm.
pub fn aside(spec: &Bracket, workshop: &Workshop, encoder: &Encoder) -> Result<f64> {
    let screw = mount_screw(spec, workshop)?;
    let least = screw.washer.outer + GAP;
    match spec.screw_spacing {
        Some(spacing) => Ok(within("--screw-spacing", spacing.mm(), 2.0 * least, 500.0, "mm")? / 2.0),
        None => Ok(seat(workshop, encoder)?.radius.max(least)),
    }
}

/// Where the belt runs in front of the plate at least, mm, so that the pulley clears it by [`GAP`].
pub fn least_lever(drive: &Drive, encoder: &Encoder, upright: f64, hub: HubSide) -> f64 {
    let pulley = &drive.encoder_pulley;
    let towards = if hub == HubSide::Encoder { pulley.hub_length } else { 0.0 };
    pulley.width / 2.0 + towards + GAP + (encoder.register_height - upright).max(0.0)
}

/// Half the width of the encoder's body seen from the front, mm.
pub fn body_half_width(encoder: &Encoder) -> f64 {
    encoder.body_size / 2.0
}

/// Leg of the rounding at the root of a foot without end gussets, mm: most of the base's thickness
/// (common practice, no source).
fn root_leg(base: f64) -> f64 {
    (0.8 * base).min(6.0)
}

/// The lowest the encoder's axis can lie over foot, slots or pivot, mm.
pub fn least_axis_height(spec: &Bracket, workshop: &Workshop, encoder: &Encoder, base: f64) -> Result<f64> {
    let screw = mount_screw(spec, workshop)?;
    let seat = seat(workshop, encoder)?;
    Ok(match (spec.style, spec.gusset_count()?) {
        (Style::Foot, 1) => base + root_leg(base) + GAP + encoder.body_reach() + 8.0,
        (Style::Foot, 3) => base + GAP + encoder.body_reach().max(seat.radius) + 8.0,
        (Style::Foot, 0) => base + root_leg(base) + GAP + (encoder.body_size / 2.0).max(seat.radius),
        (Style::Foot, _) => base + GAP + (encoder.body_size / 2.0).max(seat.radius),
        _ => screw.washer_radius() + GAP + WEB + (encoder.body_reach()).max(seat.radius),
    })
}

fn seat(workshop: &Workshop, encoder: &Encoder) -> Result<Seat> {
    let screw = Screw::new(&encoder.screw, workshop)?;
    let bolts: Vec<Point2> = encoder.screws().into_iter().map(|(x, z)| Point2::new(x, z)).collect();
    let head = screw.head.head_diameter / 2.0;
    let register_bore = encoder.register_diameter + workshop.printer.hole_allowance + REGISTER_PLAY;
    // Some flanges have their screws inside the register: those go into the register's own face.
    let inside = encoder.screw_radius() - screw.hole / 2.0 < register_bore / 2.0;
    let recess =
        inside.then_some((encoder.register_height + RECESS_PLAY, encoder.shaft_diameter + 2.0 * SHAFT_ROOM));
    let radius = (encoder.screw_radius() + head).max(register_bore / 2.0 + WEB);
    Ok(Seat { register_bore, recess, screw, bolts, radius })
}

/// Depth of a recess beyond the register, mm.
const RECESS_PLAY: f64 = 0.3;
/// Room round the encoder's shaft in the floor of a recess, mm.
const SHAFT_ROOM: f64 = 1.5;

/// Play of the register in its bore over the printer's allowance, mm (common practice, no source).
pub const REGISTER_PLAY: f64 = 0.1;

impl Seat {
    /// Thickness of the plate that the flange's screws hold, mm.
    pub fn floor(&self, upright: f64) -> f64 {
        upright - self.recess.map_or(0.0, |(depth, _)| depth)
    }
}

/// The axis height asked for, or the least that encoder and pulley leave, rounded up to a half millimetre.
pub fn axis_height(
    spec: &Bracket,
    workshop: &Workshop,
    encoder: &Encoder,
    drive: &Drive,
    base: f64,
) -> Result<f64> {
    let least = least_axis_height(spec, workshop, encoder, base)?;
    match spec.axis_height.map(Length::mm) {
        None => {
            // The face a foot stands on may run on under the encoder's pulley.
            let pulley = match spec.style {
                Style::Foot => drive.reach(drive.encoder_teeth) + GAP,
                _ => 0.0,
            };
            Ok((2.0 * least.max(pulley)).ceil() / 2.0)
        }
        Some(height) => {
            within("--axis-height", height, 1.0, 500.0, "mm")?;
            if height + 1e-9 < least {
                return Err(Error::geometry(
                    format!(
                        "--axis-height is {} mm, but the encoder's body and its screws need {:.1} mm there.",
                        number(height),
                        least
                    ),
                    format!(
                        "Give --axis-height {:.1} or more, or pack the bracket's place lower.",
                        (least * 10.0).ceil() / 10.0
                    ),
                ));
            }
            Ok(height)
        }
    }
}

/// Whether the body is square, so that its corners reach further than its sides.
pub fn is_square(encoder: &Encoder) -> bool {
    encoder.body == Outline::Square
}
