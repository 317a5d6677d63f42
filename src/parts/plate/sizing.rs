//! From the request to numbers: every length of the plate that does not depend on where the
//! openings come to lie, each with the place it came from.

use super::anchors::Strengths;
use super::openings::{Opening, Reading};
use super::room::Room;
use super::screw::Screw;
use super::spec::{Hole, Mount, Plate, Split};
use crate::catalog::cords::{self, Cord};
use crate::catalog::fans;
use crate::design::{Feature, Origin};
use crate::error::{Error, Result, number, within};
use crate::solid::Point2;
use crate::workshop::Workshop;
use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// Temperature inside a cabinet at which anchors must still hold, °C: 40 outside (IEC 61439-1, from memory) and a
/// rise of 10 K. Common practice, no source.
pub const CABINET_C: f64 = 50.0;
/// Separation of power from signal that is aimed at, mm.
pub const SEPARATION: f64 = 10.0;
/// Sides longer than this get screws in their middle too, mm. Common practice, no source.
const LONG_SIDE: f64 = 160.0;
/// Round holes up to this are covered by a plate that two screws hold, mm. Common practice, no source.
const SMALL_HOLE: f64 = 25.0;
/// Thinnest margin that is drawn unasked, mm.
const THIN: f64 = 2.4;
/// Flat left of a web or rim between two chamfers, mm.
const FACE: f64 = 0.6;
/// Wall of a spigot that is hollow, mm.
pub const HOLLOW_WALL: f64 = 2.4;

/// The least web or rim that is drawn unless a thinner one is asked for, mm. Common practice.
pub fn sound_wall(line_width: f64) -> f64 {
    (4.0 * line_width).max(2.0)
}

/// A length and where it came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Sourced {
    /// mm.
    pub mm: f64,
    /// Where it came from.
    pub origin: Origin,
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
    /// What the printer wants outsides drawn larger, mm.
    pub outside_allowance: f64,
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
    /// What anchors are computed with.
    pub strengths: Strengths,
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
        let strengths = strengths(spec, workshop)?;
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
            outside_allowance: workshop.printer.allowance(Feature::Outside),
            screw: Screw::of(spec.screw.as_deref().unwrap_or("M4"), spec.head, workshop)?,
            screws: spec.screws.unwrap_or_else(|| usual_screws(hole)),
            openings: vec![],
            strengths,
            gap: 0.2,
            hollow: false,
            sheet,
            spigot_depth,
        };
        sizing.edge = sizing.edge(spec)?;
        let reading = Reading {
            spec,
            workshop,
            bush: sizing.bush,
            edge: sizing.edge.mm,
            full: sizing.full(),
            line_gap: sizing.line_gap(),
            strengths: &sizing.strengths,
        };
        sizing.openings = reading.openings()?;
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

    /// What the plate has to cover wherever its spigot lets it stand: a ragged hole may be wider all on one side.
    pub fn covered_room(&self) -> Room {
        self.hole_room().shrunk(-self.hole.ragged)
    }

    /// The hole lying, as a room about the origin; a ragged one at its least.
    pub fn hole_room(&self) -> Room {
        let (w, h) = (self.hole.width / 2.0, self.hole.height / 2.0);
        Room { half_width: w.max(h), half_height: w.min(h), corner: self.hole.corner }
    }

    /// How much wider than it is to come out the spigot is drawn, mm: what is drawn goes into the hole all the same.
    pub fn spigot_allowance(&self) -> f64 {
        self.outside_allowance.min(self.clearance.mm)
    }

    /// The spigot's contour. Rounded corners are rounded by more than its lead-in takes off them.
    pub fn spigot_room(&self) -> Room {
        let room = self.hole_room().shrunk(self.clearance.mm - self.spigot_allowance() / 2.0);
        match room.corner > 0.0 {
            true => Room { corner: room.corner.max(self.lead + 0.2), ..room },
            false => room,
        }
    }

    /// Where openings may lie.
    pub fn layout_room(&self) -> Room {
        self.spigot_room().shrunk(if self.hollow { HOLLOW_WALL } else { 0.0 })
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

    /// Thickness of the panel that push-buttons clamp, and the band they clamp, mm.
    fn button_panel(&self) -> Option<(f64, f64, f64)> {
        let buttons = || self.openings.iter().filter_map(Opening::button);
        let least = buttons().map(|button| button.panel_least).reduce(f64::max)?;
        let most = buttons().map(|button| button.panel_most).reduce(f64::min)?;
        Some((if self.hollow { self.thickness.mm } else { self.full() }, least, most))
    }

    /// A thickness that nobody asked for shrinks until push-buttons clamp the plate.
    fn make_room_for_buttons(&mut self, spec: &Plate) {
        let Some((panel, _, most)) = self.button_panel().filter(|_| spec.thickness.is_none()) else {
            return;
        };
        let left = most - (panel - self.thickness.mm);
        if panel > most && left >= THIN {
            let why = format!("push-buttons clamp {} mm at most", number(most));
            self.thickness = Sourced { mm: left, origin: Origin::Formula(why) };
        }
    }

    fn check_buttons(&self) -> Result<()> {
        let Some((panel, least, most)) = self.button_panel().filter(|(panel, _, most)| panel > most) else {
            return Ok(());
        };
        Err(Error::geometry(
            format!(
                "The plate is {} mm thick where the push-buttons sit; they clamp {} to {} mm.",
                number(panel),
                number(least),
                number(most)
            ),
            match most - (panel - self.thickness.mm) {
                left if left >= 1.6 => format!(
                    "Give --thickness {} or less, or put the buttons on a plate of their own.",
                    number(left)
                ),
                _ => "Put the buttons on a plate of their own, whose floor is as thin as its margin."
                    .to_string(),
            },
        ))
    }

    /// Thickness through margin and spigot.
    pub fn full(&self) -> f64 {
        self.thickness.mm + self.spigot_depth.mm
    }

    /// What openings and posts keep off a parting line, mm.
    pub fn line_gap(&self) -> f64 {
        self.web.mm + self.gap / 2.0
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
    Ok(Hole::new(diameter, diameter, diameter / 2.0))
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
    let thin = sizing.openings.iter().all(|opening| opening.button().is_some());
    let whole = matches!(spec.split, Split::Auto | Split::Never) && spec.mount == Mount::Screws;
    thin && whole && spec.fan.is_none() && sizing.hole.width.min(sizing.hole.height) > 16.0
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

/// What anchors are computed with, at the temperature inside the cabinet.
fn strengths(spec: &Plate, workshop: &Workshop) -> Result<Strengths> {
    let practice = "inside a cabinet: 40 °C outside it and a rise of 10 K; measure yours";
    let (celsius, origin) = match spec.cabinet_temperature {
        Some(celsius) => (
            within("--cabinet-temperature", celsius, -25.0, 120.0, "°C")?,
            Origin::Given("--cabinet-temperature".into()),
        ),
        None => (CABINET_C, Origin::Practice(practice.into())),
    };
    Strengths::at(workshop, celsius, origin)
}

/// A point of a room's contour on the diagonal of its first corner.
pub fn diagonal(room: &Room) -> (f64, f64) {
    let c = room.corner;
    (room.half_width - c + c * FRAC_1_SQRT_2, room.half_height - c + c * FRAC_1_SQRT_2)
}
