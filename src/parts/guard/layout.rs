//! Every dimension of the guard: what it must go round at any place of the slide, and the walls round that.
//!
//! Coordinates are the bracket's at its working place: x to the right seen from the belt, y away from the
//! belt, z up. The guard stands still on the machine, so all that slides is drawn where the slide takes it.

use super::spec::Guard;
use crate::belt_drive::bores::LEAST_BORE_WALL;
use crate::catalog::reach::Persons;
use crate::catalog::{fasteners, pulleys};
use crate::error::{Error, Result, number, within};
use crate::parts::bracket::clearance::{Bar, GUARD, Surroundings, over_the_face};
use crate::parts::bracket::layout::{CORNER, Screw};
use crate::parts::bracket::outlines::circles;
use crate::parts::bracket::{self, HubSide, SpindleFrom, Style};
use crate::solid::{Loop, Point2, Vector2};
use crate::units::Length;
use crate::workshop::Workshop;
use std::f64::consts::PI;

/// Width of a vent where none is given, mm: the 4 mm of ISO 13857's first row less what a print may be wider.
const OPENING: f64 = 3.6;
/// Longest vent, mm, and the web between two of them (common practice, no source).
const VENT: (f64, f64) = (24.0, 4.0);
/// Most vents side by side.
const MOST_VENTS: f64 = 12.0;
/// From a vent to the inside of the wall, mm (common practice, no source).
const VENT_EDGE: f64 = 5.0;
/// Thickness of the flanges a guard stands on, mm (common practice, no source).
pub(super) const FLANGE: f64 = 5.0;
/// Free room behind the encoder for its cable to bend, mm (common practice, no source).
const CABLE_BEND: f64 = 10.0;
/// Width of the notch for the encoder's cable, mm: it lies far behind the belt.
pub(super) const CABLE: f64 = 8.0;
/// Depth of that notch, mm.
pub(super) const CABLE_DEEP: f64 = 14.0;
/// Play of the back within the cover, mm all round (common practice, no source).
pub(super) const PLAY: f64 = 0.4;
/// Half the thickness of a rib where two halves are screwed together, and how far it stands out, mm.
pub(super) const RIB: (f64, f64) = (5.0, 14.0);
/// How far a standing guard's walls are drawn beneath its face before they are cut off there, mm.
const BELOW: f64 = 20.0;
/// Steps in which a straight slide is looked at, and a swing.
const SLIDES: u32 = 4;
const SWINGS: u32 = 8;

/// The spindle where it goes through the guard.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Spindle {
    /// Its middle.
    pub at: Point2,
    /// Its diameter, mm.
    pub diameter: f64,
    /// Whether that was given; otherwise it is the greatest its pulley can be bored for.
    pub known: bool,
    /// The side it comes from.
    pub from: SpindleFrom,
}

/// What a guard stands on.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Stand {
    /// The machine's face square to the shafts, which closes its back; screws along the shafts at these places.
    Face(Vec<Point2>),
    /// The face a foot stands on; a back of its own from this place along y on.
    Shelf(f64),
}

/// What vents and the spindle's opening may print wider than wanted, mm: the band of their reading on the print.
pub(super) const WIDER: f64 = 0.4;

/// A plate over the seam of two halves, which one presses on without pressing the other: outside the front, on screws
/// whose heads are inside. A nut locks each before the halves go on; a second one holds the strap.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Strap {
    /// Its ends, along x and z.
    pub x: (f64, f64),
    pub z: (f64, f64),
    /// Its screws.
    pub screws: [Point2; 2],
    /// Hole for a screw.
    pub hole: f64,
    /// Pocket round the nut that locks a screw: diameter and depth.
    pub pocket: (f64, f64),
    /// Height of a screw's head, inside.
    pub head: f64,
    /// Thickness of the whole.
    pub thickness: f64,
}

/// The strap's screws, their place beside the seam, and plastic round and under the pocket of a nut, mm (common
/// practice, no source).
const STRAP: (&str, f64, f64) = ("M3", 9.0, 2.4);
/// Its height where nothing bounds it, and how far over the machine's face it ends, mm.
const STRAP_HIGH: (f64, f64) = (20.0, 1.0);

impl Strap {
    /// Thread of its screws.
    pub const SCREW: &'static str = STRAP.0;

    /// The strap below what goes through the front at the seam; none where there is no room for a nut.
    fn new(at: f64, under: f64, workshop: &Workshop) -> Result<Option<Strap>> {
        let (size, beside, plastic) = STRAP;
        let nut = fasteners::hex_nut(size)?;
        let allowance = workshop.printer.hole_allowance;
        let pocket = (nut.across_corners() + 2.0 * allowance, nut.height + allowance);
        let out = beside + pocket.0 / 2.0 + plastic;
        let z = (STRAP_HIGH.1, under.min(STRAP_HIGH.1 + STRAP_HIGH.0));
        let middle = (z.0 + z.1) / 2.0;
        Ok((z.1 - z.0 >= pocket.0 + 2.0).then(|| Strap {
            x: (at - out, at + out),
            z,
            screws: [at - beside, at + beside].map(|x| Point2::new(x, middle)),
            hole: fasteners::clearance_hole(size).map_or(0.0, |hole| hole.medium) + allowance,
            pocket,
            head: fasteners::button_head(size).map_or(0.0, |head| head.head_height),
            thickness: pocket.1 + plastic,
        }))
    }
}

/// A guard with every dimension settled, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    /// Running clearance.
    pub clearance: f64,
    /// Thickness of the walls.
    pub wall: f64,
    /// Width that the vents are to print at; none where it is closed.
    pub opening: Option<f64>,
    /// How much wider vents and the spindle's opening are drawn, for what the printer takes off them.
    pub wider: f64,
    /// Whose fingers are kept out.
    pub persons: Persons,
    /// Screws that hold it.
    pub screw: Screw,
    /// Inside of the front.
    pub inside: f64,
    /// Rim at the back.
    pub rear: f64,
    /// Inside of the walls.
    pub inner: Loop,
    /// The same for the back, which lies within them.
    pub within: Loop,
    /// Outside of the walls, without feet.
    pub outer: Loop,
    /// What it stands on.
    pub stand: Stand,
    /// The spindle.
    pub spindle: Spindle,
    /// Foremost part of the spindle's pulley before the belt's middle.
    pub nose: f64,
    /// Middle lines of the vents in the front.
    pub vents: Vec<(Point2, Point2)>,
    /// Where the encoder's cable leaves.
    pub cable: Option<Point2>,
    /// Where the cover is parted.
    pub split: Option<f64>,
    /// What joins the halves of a standing cover across their seam, low on the front.
    pub strap: Option<Strap>,
    /// Where the back is parted.
    pub back_split: Option<f64>,
}

/// A point of the bracket as the machine sees it after a shift; both over the face the bracket stands on.
fn on_machine(s: &bracket::Settled, point: Point2, shift: f64) -> Point2 {
    let up = Vector2::new(0.0, s.layout.axis_height);
    s.place.on_machine(point - up, shift) + up
}

/// The places of the slide that are looked at; a plate that swings takes its corners round an arc.
pub(super) fn shifts(s: &bracket::Settled) -> Vec<f64> {
    let steps = if s.place.style == Style::Swing { SWINGS } else { SLIDES };
    (0..=steps).map(|k| -s.place.inward + s.place.whole() * f64::from(k) / f64::from(steps)).collect()
}

fn surroundings<'a>(s: &'a bracket::Settled) -> Surroundings<'a> {
    Surroundings { layout: &s.layout, place: &s.place, drive: &s.drive, encoder: &s.encoder }
}

fn moved(s: &bracket::Settled, bars: Vec<Bar>, shift: f64) -> Vec<Bar> {
    let outline = |bar: &Bar| bar.outline.iter().map(|p| on_machine(s, *p, shift)).collect();
    bars.into_iter().map(|bar| Bar { outline: outline(&bar), ..bar }).collect()
}

impl Layout {
    /// What turns, where it stands on the machine after a shift: belt, pulleys, hubs, shafts.
    pub fn running(&self, s: &bracket::Settled, shift: f64) -> Result<Vec<Bar>> {
        let around = surroundings(s);
        let mut bars = moved(s, around.running(shift)?, shift);
        let lever = s.layout.belt_lever;
        let hub = s.drive.spindle_pulley.hub_diameter.max(self.spindle.diameter) / 2.0;
        bars.push(Bar::round(
            "the spindle's hub or nose",
            &[(self.spindle.at, hub)],
            (-lever - self.nose, -lever),
        )?);
        let shaft = (s.layout.thick.upright - s.encoder.shaft_length, s.layout.thick.upright);
        let axis = on_machine(s, Point2::new(0.0, s.layout.axis_height), shift);
        bars.push(Bar::round("the encoder's shaft", &[(axis, s.encoder.shaft_diameter / 2.0)], shaft)?);
        bars.push(self.spindle_bar(s)?);
        Ok(bars)
    }

    fn spindle_bar(&self, s: &bracket::Settled) -> Result<Bar> {
        let (lever, half) = (s.layout.belt_lever, s.drive.spindle_pulley.width / 2.0);
        let front = if self.spindle.from == SpindleFrom::Behind { -lever - half } else { f64::NEG_INFINITY };
        let back = if self.spindle.from == SpindleFrom::Front { -lever + half } else { f64::INFINITY };
        Bar::round("the spindle", &[(self.spindle.at, self.spindle.diameter / 2.0)], (front, back))
    }

    /// What slides without turning: the bracket, the heads of its screws, the encoder.
    pub fn sliding(&self, s: &bracket::Settled, shift: f64) -> Result<Vec<Bar>> {
        let around = surroundings(s);
        let mut bars = around.bracket()?;
        if s.layout.style == Style::Foot {
            bars.push(around.body()?);
        }
        Ok(moved(s, bars, shift))
    }

    /// Every dimension, with walls of a thickness that counts where none is given.
    ///
    /// Fails where a value given is out of bounds, or where the guard has no face to stand on.
    pub fn new(guard: &Guard, s: &bracket::Settled, workshop: &Workshop, wall: f64) -> Result<Layout> {
        let cover = &guard.cover;
        let mm = |field: &str, given: Option<Length>, otherwise: f64, least: f64, most: f64| {
            within(field, given.map_or(otherwise, Length::mm), least, most, "mm")
        };
        let clearance = mm("--clearance", cover.clearance, GUARD.0, 0.5, 30.0)?;
        let wall = mm("--wall", cover.wall, wall, 0.8, 10.0)?;
        let opening = match cover.closed {
            true => None,
            false => Some(mm("--opening", cover.opening, OPENING, 1.0, 30.0)?),
        };
        let size = cover.guard_screw.as_deref().unwrap_or("M4");
        // Wide ones, as for whatever holds a print.
        let washer = fasteners::wide_washer(size)?;
        let screw = Screw::new(size, workshop)?;
        let screw = Screw { washer, washer_standard: fasteners::standards(&screw.size).wide_washer, ..screw };
        within("--guard-screw", fasteners::thread(&screw.size)?.diameter, 3.0, 6.0, "mm")?;
        let spindle = spindle(s);
        let nose = nose(guard, s)?;
        let foot = s.layout.style == Style::Foot;
        let inside = front(s, &spindle, nose) - clearance;
        let back = s.layout.depth.max(s.layout.thick.upright + s.encoder.body_length) + CABLE_BEND;
        let rear = if foot { back + wall.max(3.0) } else { s.layout.thick.upright };
        let round = |beyond: f64| Loop::hull(&all_round(s, clearance + beyond)?);
        let (inner, outer) = (round(0.0)?, round(wall)?);
        if foot {
            above_the_shelf(guard, s, wall)?;
        }
        let stand = match foot {
            true => Stand::Shelf(back),
            false => Stand::Face(columns(&outer, &screw, None)),
        };
        let persons = if cover.children { Persons::Children } else { Persons::Adults };
        let mut layout = Layout {
            clearance,
            wall,
            opening,
            // No more than they may print wider: a print that then comes out true still keeps fingers out.
            wider: workshop.printer.hole_allowance.min(WIDER),
            persons,
            screw,
            inside,
            rear,
            within: round(-PLAY)?,
            inner,
            outer,
            stand,
            spindle,
            nose,
            vents: vec![],
            cable: None,
            split: None,
            strap: None,
            back_split: None,
        };
        layout.part(cover.halves, workshop);
        if let Some(at) = layout.split.filter(|_| foot) {
            let ring = if layout.front_hole() { layout.spindle_opening() / 2.0 } else { 0.0 };
            let under = if ring > 0.0 { layout.spindle.at.y - ring - 1.0 } else { f64::INFINITY };
            layout.strap = Strap::new(at, under, workshop)?;
            layout.inside -= layout.strap.as_ref().map_or(0.0, |strap| strap.head);
        }
        if let Stand::Face(at) = &mut layout.stand {
            *at = columns(&layout.outer, &layout.screw, layout.split);
        }
        layout.vents = layout.vents();
        layout.cable = foot.then(|| {
            let top = Point2::new(0.0, layout.within.bounds().1.y);
            Point2::new(top.x, top_at(&layout.within, top.x))
        });
        Ok(layout)
    }

    /// Width and height over all feet as it stands.
    pub fn over_all(&self) -> (Point2, Point2) {
        let (mut least, mut most) = self.outer.bounds();
        match &self.stand {
            Stand::Shelf(_) => {
                let ear = self.ear();
                (least.x, most.x, least.y) = (least.x - ear, most.x + ear, 0.0);
            }
            Stand::Face(columns) => {
                let radius = self.column();
                for at in columns {
                    least = least.inf(&Point2::new(at.x - radius, at.y - radius));
                    most = most.sup(&Point2::new(at.x + radius, at.y + radius));
                }
            }
        }
        (least, most)
    }

    /// Depth along the shafts.
    pub fn depth(&self) -> f64 {
        self.rear - self.inside + self.wall
    }

    /// Radius of a column that a screw runs through.
    pub fn column(&self) -> f64 {
        self.screw.washer_radius() + 1.5
    }

    /// How far a flange stands out.
    pub fn ear(&self) -> f64 {
        2.0 * self.screw.washer_radius() + 4.0
    }

    /// Whether the spindle goes out through the front.
    pub fn front_hole(&self) -> bool {
        self.spindle.from != SpindleFrom::Behind
    }

    /// Whether it goes out through a back of the guard's.
    pub fn back_hole(&self) -> bool {
        matches!(self.stand, Stand::Shelf(_)) && self.spindle.from != SpindleFrom::Front
    }

    /// Width that the vents are drawn at.
    pub fn vent_width(&self) -> Option<f64> {
        self.opening.map(|width| width + self.wider)
    }

    /// Open area of all vents, mm².
    pub fn vent_area(&self) -> f64 {
        let width = self.vent_width().unwrap_or_default();
        self.vents.iter().map(|(a, b)| (b - a).norm() * width + PI * width * width / 4.0).sum()
    }

    /// Diameter of the opening for the spindle as it is drawn.
    pub fn spindle_opening(&self) -> f64 {
        self.spindle.diameter + 2.0 * self.clearance + self.wider
    }

    /// Parts the cover where the spindle goes out through it or the bed is too small, and the back likewise.
    fn part(&mut self, halves: bool, workshop: &Workshop) {
        let bed = workshop.printer.bed;
        let fits = |x: f64, y: f64| x.max(y) <= bed[0].max(bed[1]) && x.min(y) <= bed[0].min(bed[1]);
        let (least, most) = self.over_all();
        let middle = (least.x + most.x) / 2.0;
        if self.front_hole() {
            self.split = Some(self.spindle.at.x);
        } else if !fits(most.x - least.x, most.y - least.y) {
            self.split = Some(middle);
        }
        let (from, to) = self.within.bounds();
        if self.back_hole() && halves {
            self.back_split = Some(self.spindle.at.x);
        } else if !fits(to.x - from.x, to.y) {
            // Beside the spindle's opening and the cable's notch, as near to the middle as may be.
            let web = 2.0 * self.column();
            let openings = [(self.spindle.at.x, self.spindle_opening() / 2.0), (0.0, CABLE / 2.0)];
            let beside = |x: &f64| openings.iter().all(|(at, half)| (x - at).abs() >= half + web);
            let places = (0..40).flat_map(|k| [5.0, -5.0].map(|step| middle + step * f64::from(k)));
            self.back_split = Some(places.clone().find(beside).unwrap_or(middle));
        }
    }

    /// Slots in the front, upright, at its lower and its upper edge, so that air rises through.
    fn vents(&self) -> Vec<(Point2, Point2)> {
        let Some(width) = self.vent_width() else { return vec![] };
        let (least, most) = self.inner.bounds();
        let span = most.x - least.x - 2.0 * VENT_EDGE;
        let pitch = (width + VENT.1).max(span / MOST_VENTS);
        let count = (span / pitch).floor().max(0.0) as u32;
        let first = (least.x + most.x) / 2.0 - pitch * (f64::from(count) - 1.0) / 2.0;
        let out = self.strap.as_ref().map_or(RIB.0, |strap| (strap.x.1 - strap.x.0) / 2.0 + 1.0);
        let beside = |x: f64| self.split.is_none_or(|at| (x - at).abs() > width / 2.0 + out);
        let columns = (0..count).map(|k| first + pitch * f64::from(k)).filter(|x| beside(*x));
        columns.flat_map(|x| self.vents_at(x, width)).collect()
    }

    /// The vents of one upright line: one at either end where there is room, or one between.
    fn vents_at(&self, x: f64, width: f64) -> Vec<(Point2, Point2)> {
        let edge = VENT_EDGE + width / 2.0;
        let low = if matches!(self.stand, Stand::Shelf(_)) { FLANGE + edge } else { f64::NEG_INFINITY };
        let hole = self.spindle_opening() / 2.0 + edge;
        let free = |z: f64| {
            let p = Point2::new(x, z);
            let past_hole = !self.front_hole() || (p - self.spindle.at).norm() > hole;
            z >= low && self.inner.contains(p) && self.inner.distance(p) >= edge && past_hole
        };
        let (least, most) = self.inner.bounds();
        let steps = (most.y - least.y).ceil().max(1.0) as u32;
        let heights: Vec<f64> = (0..=steps).map(|k| least.y + f64::from(k)).filter(|z| free(*z)).collect();
        let (Some(&bottom), Some(&top)) = (heights.first(), heights.last()) else { return vec![] };
        let run = VENT.0 - width;
        let slot = |from: f64, to: f64| {
            let whole = (0..=8).all(|k| free(from + (to - from) * f64::from(k) / 8.0));
            (whole && to - from > width).then(|| (Point2::new(x, from), Point2::new(x, to)))
        };
        match top - bottom > 2.0 * run + width + VENT.1 {
            true => [slot(bottom, bottom + run), slot(top - run, top)].into_iter().flatten().collect(),
            false => slot(bottom, top.min(bottom + 2.0 * run)).into_iter().collect(),
        }
    }
}

/// The spindle: its diameter where it was given, or the greatest its pulley can be bored for.
fn spindle(s: &bracket::Settled) -> Spindle {
    let at = Point2::new(0.0, s.layout.axis_height) + s.place.spindle.coords;
    let (profile, teeth) = (s.drive.profile, s.drive.spindle_teeth);
    let greatest = || {
        let bored = profile.root_diameter(teeth) - 2.0 * LEAST_BORE_WALL;
        pulleys::greatest_bore(profile, teeth).map_or(bored, |(most, _)| most.max(bored))
    };
    let given = s.spec.shafts.first().map(|length| length.mm());
    Spindle {
        at,
        diameter: given.unwrap_or_else(greatest),
        known: given.is_some(),
        from: s.spec.spindle_from.unwrap_or(SpindleFrom::Behind),
    }
}

/// From the belt's middle to the foremost of the spindle's pulley, its hub or the spindle's nose.
fn nose(guard: &Guard, s: &bracket::Settled) -> Result<f64> {
    let pulley = &s.drive.spindle_pulley;
    let half = pulley.width / 2.0;
    match guard.cover.nose {
        Some(nose) => within("--nose", nose.mm(), half, 300.0, "mm"),
        None => Ok(half + pulley.hub_length),
    }
}

/// The foremost of all that turns or slides, along y.
fn front(s: &bracket::Settled, spindle: &Spindle, nose: f64) -> f64 {
    let lever = s.layout.belt_lever;
    let encoder = &s.drive.encoder_pulley;
    let hub = if s.layout.hub == HubSide::Away { encoder.hub_length } else { 0.0 };
    let shaft = s.layout.thick.upright - s.encoder.shaft_length;
    let spindle = if spindle.from == SpindleFrom::Behind { nose } else { nose.max(0.0) };
    (-lever - spindle).min(-lever - encoder.width / 2.0 - hub).min(shaft)
}

/// The circles that go round all that turns or slides, at every place of the slide, and a distance beyond.
fn all_round(s: &bracket::Settled, beyond: f64) -> Result<Vec<(Point2, f64)>> {
    let axis = Point2::new(0.0, s.layout.axis_height);
    let reach = |teeth: u32, hub: f64| s.drive.reach(teeth).max(hub / 2.0) + beyond;
    let (own, other) = (&s.drive.encoder_pulley, &s.drive.spindle_pulley);
    let mut all = vec![(axis + s.place.spindle.coords, reach(s.drive.spindle_teeth, other.hub_diameter))];
    let l = &s.layout;
    let mut of_bracket: Vec<(Point2, f64)> = match l.style {
        Style::Foot => {
            let half = l.width / 2.0 - CORNER;
            let top = l.height - CORNER;
            vec![
                (Point2::new(-half, top), CORNER),
                (Point2::new(half, top), CORNER),
                (axis, s.encoder.body_reach()),
            ]
        }
        _ => circles(l),
    };
    // A jack's head stands out past the bracket's end.
    if l.jack.is_some() {
        let bars = surroundings(s).bracket()?;
        let jack = bars.iter().filter(|bar| bar.name == bracket::clearance::JACK);
        of_bracket.extend(jack.flat_map(|bar| bar.outline.iter().map(|at| (*at, 0.0))));
    }
    let ends = [-s.place.inward, s.place.outward];
    let places = if l.style == Style::Swing { shifts(s) } else { ends.to_vec() };
    for shift in places {
        all.push((on_machine(s, axis, shift), reach(s.drive.encoder_teeth, own.hub_diameter)));
        all.extend(of_bracket.iter().map(|(at, r)| (on_machine(s, *at, shift), r + beyond)));
    }
    if l.style == Style::Foot {
        let left = all.iter().map(|(at, r)| at.x - r).fold(f64::INFINITY, f64::min);
        let right = all.iter().map(|(at, r)| at.x + r).fold(f64::NEG_INFINITY, f64::max);
        all.extend([left + CORNER, right - CORNER].map(|x| (Point2::new(x, -BELOW), CORNER)));
    }
    Ok(all)
}

/// How much higher the spindle's axis lies over the face a foot stands on than a guard round its pulley needs, mm; less
/// than nothing where it has no room.
pub(super) fn over_the_shelf(guard: &Guard, s: &bracket::Settled, wall: f64) -> f64 {
    let given = |length: Option<Length>, otherwise: f64| length.map_or(otherwise, Length::mm);
    let beyond = given(guard.cover.clearance, GUARD.0) + given(guard.cover.wall, wall);
    over_the_face(s) - beyond
}

/// Refuses a drive that reaches down into the face its bracket stands on.
fn above_the_shelf(guard: &Guard, s: &bracket::Settled, wall: f64) -> Result<()> {
    let room = over_the_shelf(guard, s, wall);
    if room >= -1e-9 {
        return Ok(());
    }
    let spindle = s.layout.axis_height + s.place.spindle.y;
    let raised = half_up(s.layout.axis_height - room);
    let heights = match s.spec.spindle_height {
        None => format!("Give --axis-height {} or more", number(raised)),
        Some(_) => format!(
            "Pack the bracket lower by {} mm and give both heights anew",
            number(raised - s.layout.axis_height)
        ),
    };
    Err(Error::geometry(
        format!(
            "The guard stands on the face that the foot stands on, but the spindle's axis is {} mm over it and its pulley needs {} mm there.",
            number((100.0 * spindle).round() / 100.0),
            number((100.0 * (spindle - room)).ceil() / 100.0)
        ),
        format!("{heights}, {OTHER_STYLE}"),
    ))
}

/// What else makes room under a foot's guard.
pub(super) const OTHER_STYLE: &str =
    "or take --style face or swing, whose guard stands on the face the spindle comes out of.";

/// A height as it is asked for: the next half millimetre up.
pub(super) fn half_up(height: f64) -> f64 {
    (2.0 * height - 1e-6).ceil() / 2.0
}

/// Where columns for screws stand out of a wall: as near to the four corners of what it fills as the place where
/// it is parted allows, two on either side of that.
fn columns(outer: &Loop, screw: &Screw, split: Option<f64>) -> Vec<Point2> {
    let (least, most) = outer.bounds();
    let out = screw.hole / 2.0 + 0.8;
    let beside = screw.washer_radius() + 1.5 + RIB.0 + 1.0;
    let walls = outer.points(0.05);
    let sides = || walls.iter().zip(walls.iter().cycle().skip(1));
    // A millimetre apart at most, each with the way out of the wall.
    let places: Vec<(Point2, Vector2)> = sides()
        .filter(|(a, b)| (*b - *a).norm() > 1e-6)
        .flat_map(|(a, b)| {
            let run = b - a;
            let steps = run.norm().ceil() as u32;
            let way = Vector2::new(run.y, -run.x) / run.norm();
            (0..steps).map(move |k| (a + run * ((f64::from(k) + 0.5) / f64::from(steps)), way))
        })
        .collect();
    [(least.x, least.y), (most.x, least.y), (most.x, most.y), (least.x, most.y)]
        .into_iter()
        .filter_map(|(x, z)| {
            let side = (x - (least.x + most.x) / 2.0).signum();
            let free = |at: &Point2| split.is_none_or(|split| (at.x - split) * side >= beside);
            let corner = Point2::new(x, z);
            let at = |(p, way): &(Point2, Vector2)| p + way * out;
            let nearest = |a: &Point2, b: &Point2| (a - corner).norm().total_cmp(&(b - corner).norm());
            places.iter().map(at).filter(free).min_by(nearest)
        })
        .collect()
}

/// The top of a convex outline over a place.
pub(super) fn top_at(outline: &Loop, x: f64) -> f64 {
    edge_at(outline, x, 1.0)
}

/// Where an upright line through a convex outline leaves it, upwards or downwards.
pub(super) fn edge_at(outline: &Loop, x: f64, way: f64) -> f64 {
    let (least, most) = outline.bounds();
    let (mut inside, mut outside) = match way > 0.0 {
        true => (outline.centroid().y, most.y + 1.0),
        false => (outline.centroid().y, least.y - 1.0),
    };
    for _ in 0..60 {
        let middle = (inside + outside) / 2.0;
        match outline.contains(Point2::new(x, middle)) {
            true => inside = middle,
            false => outside = middle,
        }
    }
    inside
}
