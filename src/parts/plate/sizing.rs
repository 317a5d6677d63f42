//! From the request to numbers: every length of the plate that does not depend on where the
//! openings come to lie, each with the place it came from.

use super::checks::sound_wall;
use super::packing::{Post, Room};
use super::spec::{Head, Hole, MOST_OPENINGS, Mount, Plate, PlugSize, Size, Split};
use crate::catalog::buttons::{self, Button};
use crate::catalog::cable_ties::{self, CableTie};
use crate::catalog::cables::Group;
use crate::catalog::cords::{self, Cord};
use crate::catalog::fans;
use crate::catalog::fasteners;
use crate::design::Origin;
use crate::error::{Error, Result, number, within};
use crate::solid::Point2;
use crate::workshop::Workshop;
use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// Temperature inside a cabinet at which anchors must still hold, °C. Common practice, no source.
pub const CABINET_C: f64 = 35.0;
/// A tie's strap needs this much more than its own thickness and width to be threaded, mm.
const TIE_PLAY: f64 = 0.6;
/// Height of a tie's lower edge above the plate: pliers get under it. Common practice, no source.
const TIE_LIFT: f64 = 4.0;
/// The same where the cable would be bent too hard on its way to the tie, at most, mm.
const MOST_LIFT: f64 = 9.0;
/// Separation of power from signal that is aimed at, mm.
pub const SEPARATION: f64 = 10.0;
/// Sides longer than this get screws in their middle too, mm. Common practice, no source.
const LONG_SIDE: f64 = 160.0;
/// Round holes up to this are covered by a plate that two screws hold, mm. Common practice, no source.
const SMALL_HOLE: f64 = 25.0;
/// Thickest panel that push-buttons clamp, mm (makers' catalogues, from memory).
const BUTTON_PANEL: f64 = 6.0;
/// Thinnest margin that is drawn unasked, mm.
const THIN: f64 = 2.4;
/// Rounding of the edges the tie bears on, mm.
pub const TIE_ROUND: f64 = 1.0;
/// Flat left of a web or rim between two chamfers, mm.
const FACE: f64 = 0.6;
/// What an anchor bears beyond its tie's rated tension: the factor that counts as sound, and a
/// little for rounding.
pub const ANCHOR_FACTOR: f64 = 2.02;
/// From the chamfered rim of an opening to its post, mm.
pub const POST_STEP: f64 = 0.2;
/// Play that a plug needs to be passed through an opening, mm in diameter.
pub const PLUG_PLAY: f64 = 0.4;

/// A length and where it came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Sourced {
    /// mm.
    pub mm: f64,
    /// Where it came from.
    pub origin: Origin,
}

/// What an opening is for.
#[derive(Clone, Debug, PartialEq)]
pub enum Purpose {
    /// A cable.
    Cable,
    /// Nothing yet; a printed plug closes it.
    Spare,
    /// A push-button or indicator light.
    Button(&'static Button),
}

/// An opening, not yet placed.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// What the person calls the cable.
    pub label: String,
    /// What it is for.
    pub purpose: Purpose,
    /// What runs in it.
    pub group: Group,
    /// Least diameter the jacket may have, mm.
    pub least: f64,
    /// Greatest diameter the jacket may have, mm.
    pub most: f64,
    /// Where the jacket's diameter came from.
    pub origin: Origin,
    /// Diameter of the opening once printed, mm.
    pub bore: f64,
    /// Diameter drawn, mm: `bore` and what the printer takes off holes.
    pub diameter: f64,
    /// The plug that must pass, or be laid in beside.
    pub plug: Option<PlugSize>,
    /// Least bending radius as a multiple of the jacket's diameter, and its source.
    pub bend: (f64, String),
    /// The anchor it gets, if any.
    pub anchor: Option<Anchor>,
}

impl Opening {
    /// Whether its plug is too large for it.
    pub fn must_part(&self) -> bool {
        self.plug.as_ref().is_some_and(|plug| plug.across + PLUG_PLAY > self.bore)
    }

    /// Whether a cable runs in it.
    pub fn is_cable(&self) -> bool {
        self.purpose == Purpose::Cable
    }

    /// Least bending radius of the cable, mm.
    pub fn bend_radius(&self) -> f64 {
        self.bend.0 * self.most
    }
}

/// A post for a tie: a block with a tunnel through it, square to the line from the opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchor {
    /// The tie.
    pub tie: &'static CableTie,
    /// Across the line from the opening, mm.
    pub width: f64,
    /// Along the line from the opening, mm.
    pub depth: f64,
    /// Wall between the tunnel and the cable, mm.
    pub front: f64,
    /// Tunnel, along the line from the opening, mm.
    pub slot: f64,
    /// Rounding of the upright edges, mm.
    pub corner: f64,
    /// The tunnel's floor above the plate, mm.
    pub floor: f64,
    /// Height of the tunnel, mm.
    pub tunnel: f64,
    /// Height of the post above the plate, mm.
    pub height: f64,
}

impl Anchor {
    /// A post for a tie `lift` mm above the plate, its foot wide enough for twice the tie's rated
    /// tension across layers of a material that bears `allowed` MPa.
    pub fn for_tie(tie: &'static CableTie, lift: f64, allowed: f64) -> Self {
        let slot = tie.thickness + TIE_PLAY;
        let tunnel = tie.width + TIE_PLAY;
        let corner = 1.2;
        let moment = ANCHOR_FACTOR * tie.loop_strength_n * (lift + tunnel / 2.0);
        // A square foot of side a carries a³/6 times what its material bears, whichever way it is
        // pulled.
        let side = (6.0 * moment / allowed).cbrt();
        let front = ((side - slot) / 2.0).max(TIE_ROUND + corner + 0.2);
        let depth = 2.0 * front + slot;
        Self {
            tie,
            width: side.max(6.0),
            depth,
            front,
            slot,
            corner,
            floor: lift,
            tunnel,
            height: lift + tunnel + 3.0,
        }
    }

    /// Height of the tie's middle above the plate, mm.
    pub fn tie_height(&self) -> f64 {
        self.floor + self.tunnel / 2.0
    }

    /// What it takes up beside an opening of the given radius, measured to its rim.
    pub fn post(&self, rim_radius: f64) -> Post {
        let (w, d, c) = (self.width / 2.0 - self.corner, self.depth / 2.0 - self.corner, self.corner);
        Post { radius: w.hypot(d) + c, reach: rim_radius + POST_STEP + self.depth / 2.0 }
    }
}

/// A mounting screw as it concerns the plate. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Screw {
    /// Thread size.
    pub size: String,
    /// Thread diameter.
    pub thread: f64,
    /// Clearance hole drawn.
    pub hole: f64,
    /// Head diameter.
    pub head: f64,
    /// Washer's outside diameter.
    pub washer: f64,
    /// Where the values stand.
    pub source: String,
}

impl Screw {
    /// What washer, nut and two turns beyond it take behind the last sheet, mm: 0.2, 0.8 and 0.4 of
    /// the thread. Common practice, no source.
    pub fn beyond(&self) -> f64 {
        1.4 * self.thread
    }

    /// A screw of that size with its head; below M3 button heads are not made and a socket head is
    /// taken.
    pub fn of(size: &str, head: Head, workshop: &Workshop) -> Result<Self> {
        let hole = fasteners::clearance_hole(size)?;
        let button = fasteners::button_head(size).ok();
        let (diameter, standard) = match (head, button) {
            (Head::Button, Some(button)) => (button.head_diameter, "ISO 7380-1"),
            _ => (fasteners::socket_head(size)?.head_diameter, "ISO 4762"),
        };
        let thread = within("--screw", fasteners::thread(size)?.diameter, 2.0, 8.0, "mm")?;
        Ok(Self {
            size: size.to_string(),
            thread,
            hole: hole.medium + workshop.printer.hole_allowance,
            head: diameter,
            washer: fasteners::washer(size)?.outer,
            source: format!("ISO 273 medium, head {standard}"),
        })
    }
}

impl Screw {
    /// Least distance from the hole to any edge, mm. Common practice: 0.6 times the thread.
    pub fn edge(&self) -> f64 {
        (0.6 * self.thread).max(2.0)
    }
}

/// The plate's numbers. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizing {
    /// The hole as the person gave it.
    pub hole: Hole,
    /// Whether the plan is drawn turned by a quarter: holes are laid out lying, parting lines run
    /// along the longer side.
    pub turned: bool,
    /// Thickness of the sheet.
    pub sheet: Sourced,
    /// Thickness of the margin.
    pub thickness: Sourced,
    /// How far the spigot reaches into the hole.
    pub spigot_depth: Sourced,
    /// Play between spigot and hole, on each side.
    pub clearance: Sourced,
    /// Lead-in of the spigot.
    pub lead: f64,
    /// Chamfer of the openings' rims.
    pub edge: Sourced,
    /// Least web between openings.
    pub web: Sourced,
    /// Least rim.
    pub rim: Sourced,
    /// Separation of power from signal that is asked for.
    pub separation: Sourced,
    /// Whether the separation may be lessened.
    pub separation_firm: bool,
    /// The margin, where the person gave one.
    pub margin: Option<f64>,
    /// A groove for cord in every cable's opening.
    pub cord: Option<&'static Cord>,
    /// Wall of a soft bush in every cable's opening.
    pub bush: Option<f64>,
    /// The mounting screw.
    pub screw: Screw,
    /// Number of mounting screws; a parted plate has at least two in each piece.
    pub screws: u32,
    /// The openings.
    pub openings: Vec<Opening>,
    /// Strength across layers that anchors are reckoned with, MPa.
    pub across: f64,
    /// Strength within a layer that anchors are reckoned with, MPa.
    pub in_plane: f64,
    /// Gap between the pieces of a parted plate, mm.
    pub gap: f64,
    /// Whether the spigot is a wall round a floor as thick as the margin: nothing needs its depth.
    pub hollow: bool,
}

impl Sizing {
    /// Resolves the request.
    ///
    /// Fails when a value is missing or out of bounds, or a name is unknown.
    pub fn new(spec: &Plate, workshop: &Workshop) -> Result<Self> {
        let hole = hole(spec, workshop)?;
        let sheet = sourced(
            spec.sheet,
            "--sheet",
            2.0,
            (0.3, 30.0),
            Origin::Estimate("common sheet of small cabinets; measure yours".into()),
        )?;
        let spigot_depth = spigot_depth(spec, &sheet, hole)?;
        if let Some(behind) = spec.behind {
            within("--behind", behind.mm(), 3.0, 2000.0, "mm")?;
        }
        let line = workshop.printer.line_width;
        let practice = |what: &str| Origin::Practice(what.into());
        let (across, in_plane) = strength(workshop)?;
        let mut sizing = Self {
            hole,
            turned: hole.height > hole.width,
            thickness: sourced(
                spec.thickness,
                "--thickness",
                4.0,
                (1.6, 20.0),
                practice("ten lines wide, stiff under four screws"),
            )?,
            clearance: sourced(
                spec.spigot_clearance,
                "--spigot-clearance",
                0.25,
                (0.0, 3.0),
                practice("prints and sawn holes are seldom truer"),
            )?,
            lead: (0.4 * spigot_depth.mm).min(0.6),
            edge: Sourced { mm: 0.0, origin: practice("no sharp edge on a jacket") },
            web: sourced(
                spec.web,
                "--web",
                sound_wall(line),
                (2.0 * line, 20.0),
                practice("four lines of plastic, at least 2 mm"),
            )?,
            rim: sourced(
                spec.rim,
                "--rim",
                sound_wall(line),
                (2.0 * line, 20.0),
                practice("four lines of plastic, at least 2 mm"),
            )?,
            separation: sourced(
                spec.separation,
                "--separation",
                SEPARATION,
                (0.0, 200.0),
                practice(
                    "jacket to jacket where power and signal pass one plate; along runs EN 50174-2 asks for far more",
                ),
            )?,
            separation_firm: spec.separation.is_some(),
            margin: spec.margin.map(|m| within("--margin", m.mm(), 3.0, 100.0, "mm")).transpose()?,
            cord: spec.cord.map(|cord| cords::of_diameter(cord.mm())).transpose()?,
            bush: spec.bush.map(|wall| within("--bush", wall.mm(), 0.8, 10.0, "mm")).transpose()?,
            screw: Screw::of(spec.screw.as_deref().unwrap_or("M4"), spec.head, workshop)?,
            screws: spec.screws.unwrap_or_else(|| usual_screws(hole)),
            openings: vec![],
            across,
            in_plane,
            gap: 0.2,
            hollow: false,
            sheet,
            spigot_depth,
        };
        sizing.edge = sizing.edge(spec)?;
        sizing.openings = sizing.read_openings(spec, workshop)?;
        sizing.make_room_for_cord(spec);
        sizing.hollow = hollow(spec, &sizing);
        sizing.make_room_for_buttons(spec);
        sizing.check_edge()?;
        sizing.check_screws()?;
        sizing.check_buttons()?;
        Ok(sizing)
    }

    /// The same plate for another hole of the same shape.
    pub fn for_hole(&self, spec: &Plate, hole: Hole) -> Self {
        let mut other = Self {
            hole,
            turned: hole.height > hole.width,
            screws: spec.screws.unwrap_or_else(|| usual_screws(hole)),
            ..self.clone()
        };
        other.hollow = hollow(spec, &other);
        other
    }

    /// The hole lying, as a room about the origin.
    pub fn hole_room(&self) -> Room {
        let (w, h) = (self.hole.width / 2.0, self.hole.height / 2.0);
        Room { half_width: w.max(h), half_height: w.min(h), corner: self.hole.corner }
    }

    /// The spigot's contour.
    pub fn spigot_room(&self) -> Room {
        self.hole_room().shrunk(self.clearance.mm)
    }

    /// Where openings may lie.
    pub fn layout_room(&self) -> Room {
        self.spigot_room().shrunk(if self.hollow { super::shape::HOLLOW_WALL } else { 0.0 })
    }

    /// The chamfer of the openings: 0.6 mm, less where webs or rims are asked to be so thin that two
    /// chamfers would meet on them.
    fn edge(&self, spec: &Plate) -> Result<Sourced> {
        let most = ((self.web.mm - FACE) / 2.0).min(self.rim.mm - self.lead - FACE);
        let why = Origin::Practice("no sharp edge on a jacket".into());
        let edge = sourced(spec.edge, "--edge", most.clamp(0.2, 0.6), (0.2, 3.0), why)?;
        if edge.mm <= most.max(0.2) + 1e-9 {
            return Ok(edge);
        }
        Err(Error::geometry(
            format!(
                "With --edge {} the chamfers of neighbouring openings would meet on webs of {} mm or rims of {} mm.",
                number(edge.mm),
                number(self.web.mm),
                number(self.rim.mm)
            ),
            format!(
                "Give --web {} and --rim {}, or a smaller --edge.",
                number(2.0 * edge.mm + FACE),
                number(edge.mm + self.lead + FACE)
            ),
        ))
    }

    /// Two chamfers and something between them must find room in the thickness.
    fn check_edge(&self) -> Result<()> {
        let floor = if self.hollow { self.thickness.mm } else { self.full() };
        if 2.0 * self.edge.mm + 0.3 <= floor {
            return Ok(());
        }
        Err(Error::geometry(
            format!(
                "The chamfers of {} mm on both sides leave nothing of a plate {} mm thick.",
                number(self.edge.mm),
                number(floor)
            ),
            format!("Give --edge {} or a larger --thickness.", number(((floor - 0.3) / 2.0).max(0.2))),
        ))
    }

    /// What a groove for cord takes of the plate's thickness, mm; 0 without one.
    pub fn cord_height(&self) -> f64 {
        let Some(cord) = self.cord else {
            return 0.0;
        };
        let deepest = self.openings.iter().map(|opening| self.groove(opening)).fold(0.0, f64::max);
        0.8 * cord.cord + 2.0 * (deepest + self.edge.mm + 0.6)
    }

    /// A thickness that nobody asked for grows until the cord's groove finds room.
    fn make_room_for_cord(&mut self, spec: &Plate) {
        let needed = self.cord_height() - self.spigot_depth.mm;
        if spec.thickness.is_none() && needed > self.thickness.mm {
            self.thickness = Sourced {
                mm: (2.0 * needed).ceil() / 2.0,
                origin: Origin::Formula("room for the cord's groove".into()),
            };
        }
    }

    /// A thickness that nobody asked for grows until the bars of margin anchors hold.
    pub fn make_room_for_bars(&mut self, needed: f64) {
        let given = matches!(self.thickness.origin, Origin::Given(_));
        if !given && needed > self.thickness.mm {
            self.thickness = Sourced {
                mm: (2.0 * needed).ceil() / 2.0,
                origin: Origin::Formula("the bars of the margin anchors, in bending".into()),
            };
        }
    }

    fn check_screws(&self) -> Result<()> {
        let (round, count) = (self.hole.is_round(), self.screws);
        let fits = if round { (2..=12).contains(&count) } else { [2, 4, 6, 8].contains(&count) };
        match fits {
            true => Ok(()),
            false => Err(Error::request(
                format!("--screws is {count}, which a plate for a {} does not take.", self.hole.words()),
                if round { "Give 2 to 12." } else { "Give 2, 4, 6 or 8." },
            )),
        }
    }

    fn button_panel(&self) -> Option<f64> {
        let has_buttons = self.openings.iter().any(|opening| matches!(opening.purpose, Purpose::Button(_)));
        let panel = if self.hollow { self.thickness.mm } else { self.full() };
        has_buttons.then_some(panel)
    }

    /// A thickness that nobody asked for shrinks until push-buttons clamp the plate.
    fn make_room_for_buttons(&mut self, spec: &Plate) {
        let Some(panel) = self.button_panel().filter(|_| spec.thickness.is_none()) else {
            return;
        };
        let left = BUTTON_PANEL - (panel - self.thickness.mm);
        if panel > BUTTON_PANEL && left >= THIN {
            self.thickness =
                Sourced { mm: left, origin: Origin::Formula("push-buttons clamp 6 mm at most".into()) };
        }
    }

    fn check_buttons(&self) -> Result<()> {
        let Some(panel) = self.button_panel().filter(|&panel| panel > BUTTON_PANEL) else {
            return Ok(());
        };
        Err(Error::geometry(
            format!(
                "The plate is {} mm thick where the push-buttons sit; they clamp 1 to 6 mm.",
                number(panel)
            ),
            format!(
                "Give --thickness {} or less, or put the buttons on a plate of their own.",
                number((BUTTON_PANEL - (panel - self.thickness.mm)).max(1.6))
            ),
        ))
    }

    /// Thickness through margin and spigot.
    pub fn full(&self) -> f64 {
        self.thickness.mm + self.spigot_depth.mm
    }

    /// Depth of the cord's groove in an opening's wall, mm; 0 without one.
    pub fn groove(&self, opening: &Opening) -> f64 {
        self.cord.filter(|_| opening.is_cable()).map_or(0.0, |cord| {
            // The cord fills what the opening leaves open and the groove, squeezed by the jacket.
            (cord.groove_depth - (opening.bore - opening.most) / 2.0).max(0.3)
        })
    }

    /// From an opening's centre to the outermost of its wall, mm.
    pub fn wall_radius(&self, opening: &Opening) -> f64 {
        opening.diameter / 2.0 + self.groove(opening)
    }

    fn read_openings(&self, spec: &Plate, workshop: &Workshop) -> Result<Vec<Opening>> {
        let mut openings = vec![];
        for wish in &spec.cable {
            for number in 0..wish.count {
                let mut opening = self.cable(spec, wish, workshop)?;
                if wish.count > 1 {
                    opening.label = format!("{} #{}", opening.label, number + 1);
                }
                openings.push(opening);
            }
        }
        for spare in &spec.spare {
            openings.extend((0..spare.count).map(|_| {
                self.plain(format!("spare {} mm", number(spare.size)), spare.size, Purpose::Spare, workshop)
            }));
        }
        for wanted in &spec.button {
            let button = buttons::of_size(wanted.size)?;
            let label = format!("button {} mm", number(button.size));
            openings.extend(
                (0..wanted.count)
                    .map(|_| self.plain(label.clone(), button.middle(), Purpose::Button(button), workshop)),
            );
        }
        if openings.len() > MOST_OPENINGS {
            return Err(Error::request(
                format!(
                    "The plate has {} openings; it is laid out with at most {MOST_OPENINGS}.",
                    openings.len()
                ),
                "Make two plates of it.",
            ));
        }
        number_alike(&mut openings);
        Ok(openings)
    }

    fn plain(&self, label: String, size: f64, purpose: Purpose, workshop: &Workshop) -> Opening {
        Opening {
            label,
            purpose,
            group: Group::Signal,
            least: size,
            most: size,
            origin: Origin::Given("--spare or --button".into()),
            bore: size,
            diameter: size + workshop.printer.hole_allowance,
            plug: None,
            bend: (0.0, String::new()),
            anchor: None,
        }
    }

    fn cable(&self, spec: &Plate, wish: &super::spec::CableWish, workshop: &Workshop) -> Result<Opening> {
        let (least, most, origin, bend) = match &wish.size {
            Size::Measured(diameter) => (
                *diameter,
                *diameter,
                Origin::Given("--cable, by caliper".into()),
                (
                    6.0,
                    "common practice where the cable is not named: six times its diameter, the safe side"
                        .to_string(),
                ),
            ),
            Size::Named(cable) => (
                cable.least,
                cable.most,
                Origin::Table(cable.source.clone()),
                (cable.bend, cable.source.clone()),
            ),
        };
        let close = [("--grip", spec.grip), ("--bush", spec.bush.is_some())];
        if let Some((option, _)) = close.iter().find(|(_, given)| *given && least < most) {
            return Err(Error::request(
                format!(
                    "{option} needs the diameter of {}, which may be anything from {} to {} mm.",
                    wish.label(),
                    number(least),
                    number(most)
                ),
                format!(
                    "Measure the jacket and give it, such as --cable {}:label='{}'.",
                    number((least + most) / 2.0),
                    wish.label()
                ),
            ));
        }
        // A light grip squeezes the jacket by a few hundredths of its diameter.
        let play = match spec.grip {
            true => -(0.03 * most).clamp(0.15, 0.4),
            false => spec.play.map_or(Ok(0.4), |play| within("--play", play.mm(), 0.0, 5.0, "mm"))?,
        };
        let bore = most + play + 2.0 * self.bush.unwrap_or(0.0);
        let diameter = bore + workshop.printer.hole_allowance;
        let tie = match wish.tie.or(spec.tie.map(|tie| tie.mm())) {
            Some(width) => cable_ties::of_width(width)?,
            None => cable_ties::for_cable(most)?,
        };
        Ok(Opening {
            label: wish.label(),
            purpose: Purpose::Cable,
            group: wish.group(),
            least,
            most,
            origin,
            bore,
            diameter,
            plug: wish.plug.clone(),
            anchor: Some(Anchor::for_tie(
                tie,
                self.tie_lift(spec, tie, (bend.0 * most, diameter - most)),
                self.across,
            )),
            bend,
        })
    }

    /// How high a tie stands over the plate, so that its cable is bent no harder than its least
    /// radius on the way there; see the check of that name.
    fn tie_lift(&self, spec: &Plate, tie: &CableTie, (radius, play): (f64, f64)) -> f64 {
        let aside = self.edge.mm + POST_STEP + play.max(0.0) / 2.0 + 0.12;
        let arcs = if spec.grip { 2.0 } else { 1.0 };
        let length = (2.0 * aside * arcs * radius - aside * aside).max(0.0).sqrt();
        (length - self.full() - (tie.width + TIE_PLAY) / 2.0).clamp(TIE_LIFT, MOST_LIFT)
    }

    /// From the hole's edge outwards to the middle of a mounting screw.
    pub fn screw_offset(&self) -> f64 {
        (1.5 * self.screw.thread).max(self.screw.head / 2.0 + 1.5)
    }

    /// The margin that screws need.
    pub fn least_margin(&self) -> f64 {
        let screw = &self.screw;
        let outside = (screw.head / 2.0 + 1.5).max(screw.hole / 2.0 + screw.edge());
        ((self.screw_offset() + outside) * 2.0).ceil() / 2.0
    }

    /// Where, inside the hole, the screws of a backing ring stand: from the spigot's contour inwards.
    pub fn ring_screw_offset(&self) -> f64 {
        self.screw.washer / 2.0 + 1.2
    }
}

/// The hole as given; without one, the one a fan's blades want, or what its screws leave of it.
fn hole(spec: &Plate, workshop: &Workshop) -> Result<Hole> {
    if let Some(hole) = spec.hole {
        return Ok(hole);
    }
    let Some(frame) = spec.fan else {
        return Err(Error::request(
            "--hole was not given.",
            "Measure the hole in the sheet and give it: --hole 60, --hole 80x40, --hole 80x40:obround.",
        ));
    };
    let fan = fans::of_frame(frame.mm())?;
    let screw = Screw::of(&fan.screw, spec.head, workshop)?;
    let edge = screw.edge().max(sound_wall(workshop.printer.line_width));
    let between = fan.pitch * SQRT_2 - screw.hole - 2.0 * edge;
    let diameter = fan.swept.ceil().min(between.floor());
    Ok(Hole { width: diameter, height: diameter, corner: diameter / 2.0 })
}

/// Four; two round a small round hole, and more where a side is so long that the plate would bow
/// between its corners.
fn usual_screws(hole: Hole) -> u32 {
    let (long, short) = (hole.width.max(hole.height), hole.width.min(hole.height));
    match (long > LONG_SIDE, short > LONG_SIDE) {
        (true, true) => 8,
        (true, false) => 6,
        _ if hole.is_round() && long <= SMALL_HOLE => 2,
        _ => 4,
    }
}

/// How far the spigot reaches into the hole: past the sheet, but short of it where something behind
/// the sheet, a ring or a fan, has to be drawn up against it.
fn spigot_depth(spec: &Plate, sheet: &Sourced, hole: Hole) -> Result<Sourced> {
    let behind = match spec.mount {
        Mount::Ring => "ring",
        Mount::Screws if fan_bears_on_sheet(spec, hole)? => "fan",
        Mount::Screws => {
            let why = Origin::Practice("past the sheet by 1 mm, at least 3 mm".into());
            return sourced(spec.spigot_depth, "--spigot-depth", (sheet.mm + 1.0).max(3.0), (0.5, 60.0), why);
        }
    };
    let most = sheet.mm - 0.2;
    let why =
        Origin::Practice(format!("0.4 mm short of the sheet, so that the {behind} draws up on the sheet"));
    let depth = sourced(spec.spigot_depth, "--spigot-depth", sheet.mm - 0.4, (0.3, 60.0), why)?;
    if depth.mm > most || depth.mm < 0.3 {
        return Err(Error::geometry(
            format!(
                "The spigot is {} mm deep in a sheet of {} mm; the {behind} behind the sheet would rest on it, or it would not register.",
                number(depth.mm),
                number(sheet.mm)
            ),
            match behind {
                "ring" if most >= 0.3 => {
                    format!("Give --spigot-depth between 0.3 and {} mm.", number(most))
                }
                "ring" => "A sheet under 0.7 mm needs --mount screws.".to_string(),
                _ => format!(
                    "Give --spigot-depth between 0.3 and {} mm; a sheet under 0.7 mm holds no fan.",
                    number(most.max(0.3))
                ),
            },
        ));
    }
    Ok(depth)
}

/// Whether a fan's screws lie outside the hole, so that its frame bears on the sheet.
fn fan_bears_on_sheet(spec: &Plate, hole: Hole) -> Result<bool> {
    let Some(frame) = spec.fan else {
        return Ok(false);
    };
    let half = fans::of_frame(frame.mm())?.pitch / 2.0;
    let room = Room { half_width: hole.width / 2.0, half_height: hole.height / 2.0, corner: hole.corner };
    Ok(room.depth(Point2::new(half, half)).0 < 0.0)
}

/// A plate of push-buttons, or a blank, has a floor as thin as its margin.
fn hollow(spec: &Plate, sizing: &Sizing) -> bool {
    let thin = sizing.openings.iter().all(|opening| matches!(opening.purpose, Purpose::Button(_)));
    let whole = matches!(spec.split, Split::Auto | Split::Never) && spec.mount == Mount::Screws;
    thin && whole && spec.fan.is_none() && sizing.hole.width.min(sizing.hole.height) > 16.0
}

/// Cables of one label get numbers, so that each opening can be told from its fellows.
fn number_alike(openings: &mut [Opening]) {
    for i in 0..openings.len() {
        let label = openings[i].label.clone();
        let alike: Vec<usize> = (i..openings.len()).filter(|&j| openings[j].label == label).collect();
        if alike.len() > 1 {
            for (at, j) in alike.into_iter().enumerate() {
                openings[j].label = format!("{label} #{}", at + 1);
            }
        }
    }
}

fn sourced(
    given: Option<crate::units::Length>,
    field: &'static str,
    usual: f64,
    bounds: (f64, f64),
    why: Origin,
) -> Result<Sourced> {
    Ok(match given {
        Some(length) => Sourced {
            mm: within(field, length.mm(), bounds.0, bounds.1, "mm")?,
            origin: Origin::Given(field.into()),
        },
        None => Sourced { mm: usual, origin: why },
    })
}

/// Strength across layers and within one at cabinet temperature, MPa.
fn strength(workshop: &Workshop) -> Result<(f64, f64)> {
    let material = &workshop.material;
    let warm = crate::mechanics::strength::temperature_factor(CABINET_C, material.softening_c)?;
    Ok((material.tensile_across * warm, material.tensile_in_plane * warm))
}

/// A point of a room's contour on the diagonal of its first corner.
pub fn diagonal(room: &Room) -> (f64, f64) {
    let c = room.corner;
    (room.half_width - c + c * FRAC_1_SQRT_2, room.half_height - c + c * FRAC_1_SQRT_2)
}
