//! The jack screw as it stands in a bracket: its bore, its length, what it bears, and what the bench is told.

use super::Settled;
use super::drive::Place;
use super::hold;
use super::jack::{Jack, NUT_PLAY, WALL};
use super::layout::{Layout, Slot};
use super::orientation::Orientation;
use super::spec::Style;
use crate::catalog::fasteners::{self, ScrewLength};
use crate::checks::{Finding, Level};
use crate::design::{Figure, Hardware, Mating, Origin, Sizes};
use crate::error::{Error, Result, hundredth, number};
use crate::mechanics::clamp::PRESSED;
use crate::mechanics::screws::{NutFactor, TWIST, proof_load, torque};
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Vector3};
use std::f64::consts::PI;

/// How many times the belt's pull the jack should bear (common practice).
const HOLDS: f64 = 2.0;

impl Layout {
    /// Thickness of the sheet that is screwed to the machine, which a jack goes through, mm.
    pub fn clamped_sheet(&self) -> f64 {
        if self.style == Style::Foot { self.thick.base } else { self.thick.upright }
    }

    /// A frame square to the slide at x, whose drawing shows the sheet's own breadth; and where the jack's
    /// axis lies on it: in the middle of the sheet.
    fn jack_axis(&self, jack: &Jack, x: f64) -> (Frame, Point2) {
        let middle = self.clamped_sheet() / 2.0;
        let at = match self.style {
            Style::Foot => Point2::new(jack.slit.y, middle),
            _ => Point2::new(middle, jack.slit.y),
        };
        (Frame::facing_x(x), at)
    }

    /// A body round the jack's axis, from one distance to another along the slide away from the spindle.
    fn round_jack(
        &self,
        jack: &Jack,
        outline: impl Fn(Point2) -> Result<Loop>,
        from: f64,
        to: f64,
    ) -> Result<Body> {
        let (least, most) = if jack.away > 0.0 { (from, to) } else { (-to, -from) };
        let (frame, at) = self.jack_axis(jack, least);
        Body::prism_on(&frame, &Region::new(outline(at)?, Vec::new())?, 0.0, most - least)
    }

    /// The same bracket bored for its jack, from its end to the slot.
    pub fn jacked(&self, body: Body) -> Result<Body> {
        let Some(jack) = &self.jack else { return Ok(body) };
        let slot = self.slots.iter().find_map(|slot| match *slot {
            Slot::Straight(a, b) if jack.is_in(a, b) => Some((jack.away * a.x).max(jack.away * b.x)),
            _ => None,
        });
        let Some(slot) = slot else { return Err(Error::internal("A jack has no slot to press through.")) };
        // From within the slot's void to without the end.
        let from = slot + self.slot_width / 4.0;
        body.cut(&self.round_jack(
            jack,
            |at| Loop::circle(at, jack.screw.bore / 2.0),
            from,
            jack.end + 1.0,
        )?)
    }
}

/// A jack in its slide.
#[derive(Clone, Copy)]
pub struct InSlide<'a> {
    layout: &'a Layout,
    place: &'a Place,
    jack: &'a Jack,
}

impl<'a> InSlide<'a> {
    /// The jack of a bracket that has one.
    pub fn of(layout: &'a Layout, place: &'a Place) -> Option<InSlide<'a>> {
        layout.jack.as_ref().map(|jack| InSlide { layout, place, jack })
    }

    /// From the bracket's end to the shank it presses on, with the slide shifted so, mm.
    fn reach(&self, shift: f64) -> Result<f64> {
        let l = self.layout;
        let shank = fasteners::thread(&l.screw.size)?.diameter / 2.0;
        // Seen from the bracket a straight slide's screws move against it.
        let screw = self.jack.away * l.screws[self.jack.stop(&l.screws)].x - shift;
        Ok(self.jack.end - screw - shank)
    }

    /// The screw's length, mm: it reaches with the slide all the way out. Nothing where none is long enough.
    pub fn length(&self) -> Result<Option<ScrewLength>> {
        Ok(fasteners::stock_length(&self.jack.screw.size, self.reach(self.place.outward)?))
    }

    /// The furthest its head stands out, with the slide all the way in: from the encoder's axis, mm.
    pub fn stands_out(&self) -> Result<f64> {
        let reach = self.reach(self.place.outward)?;
        let tip = self.jack.end - self.reach(-self.place.inward)?;
        Ok(tip + self.length()?.map_or(reach.ceil(), |length| length.mm) + self.jack.screw.head.head_height)
    }

    /// The box that its head takes up beyond the bracket's end, wherever it stands: x, and breadth and height
    /// over the sheet.
    pub fn outside(&self) -> Result<[(f64, f64); 3]> {
        let (away, head) = (self.jack.away, self.jack.screw.head.head_diameter / 2.0);
        let (near, far) = (away * self.jack.end, away * self.stands_out()?);
        let middle = self.layout.clamped_sheet() / 2.0;
        let row = self.jack.slit.y;
        Ok([(near.min(far), near.max(far)), (row - head, row + head), (middle - head, middle + head)])
    }
}

/// How a jack stands and what it bears.
pub struct Standing<'a> {
    s: &'a Settled<'a>,
    jack: &'a Jack,
    slide: InSlide<'a>,
}

/// What bounds the thrust, N, each in words.
type Bound = (f64, &'static str);

impl<'a> Standing<'a> {
    /// The jack of a bracket that has one.
    pub fn of(s: &'a Settled<'a>) -> Option<Standing<'a>> {
        InSlide::of(&s.layout, &s.place).map(|slide| Standing { s, jack: slide.jack, slide })
    }

    /// The belt's pull along the slide, N.
    pub fn pull(&self) -> f64 {
        self.s.drive.hub_load() * self.s.place.pull().x.abs()
    }

    /// Plastic beside the slit, to the nearer edge or wall, no more than the slit is wide, mm.
    fn beside(&self) -> f64 {
        let (l, across) = (&self.s.layout, self.jack.screw.slit().1);
        let side = match l.style {
            Style::Foot => {
                (self.jack.slit.y - l.thick.upright).min(l.depth - self.jack.slit.y) - across / 2.0
            }
            _ => across,
        };
        side.min(across)
    }

    /// The thrust it may be turned up to, N, and what bounds it.
    pub fn allowed(&self) -> Result<Bound> {
        let (l, screw) = (&self.s.layout, &self.jack.screw);
        let sheet = l.clamped_sheet();
        let printed = hold::lasting(self.s.spec, self.s.workshop, sheet)?;
        let face = screw.nut.face(screw.bore);
        let on_end = matches!(Orientation::of(l), Orientation::LeftEnd | Orientation::RightEnd);
        let pulled = if on_end { printed.tensile_across } else { printed.tensile_in_plane };
        let proof = fasteners::property_class(fasteners::UNMARKED, &screw.size)?.proof_stress;
        let stop = fasteners::thread(&l.screw.size)?;
        let bends = PI * stop.minor_diameter.powi(3) / 32.0 / (sheet / 2.0);
        let stop_proof = fasteners::property_class(fasteners::UNMARKED, &stop.size)?.proof_stress;
        let bounds = [
            (printed.compressive_yield * face / PRESSED, "the plastic under the nut"),
            (
                printed.shear_across * 2.0 * self.jack.wall() * sheet / PRESSED,
                "shear of the wall behind the nut",
            ),
            (
                pulled * 2.0 * self.beside() * sheet / PRESSED,
                if on_end { "layers drawn apart beside the nut" } else { "tension beside the nut" },
            ),
            (
                proof_load(proof, fasteners::thread(&screw.size)?.stress_area)? / TWIST,
                "the jack's own thread",
            ),
            (stop_proof * bends / PRESSED, "bending of the screw it presses on"),
        ];
        Ok(bounds.into_iter().fold((f64::INFINITY, ""), |a, b| if b.0 < a.0 { b } else { a }))
    }

    /// The torque at which that thrust is reached with the least friction, N·m.
    fn torque_nm(&self) -> Result<f64> {
        Ok(torque(self.allowed()?.0, self.jack.screw.diameter, NutFactor::GREASED.least)? / 1000.0)
    }

    /// Whether nut, plastic and screws bear it.
    pub fn finding(&self) -> Result<Finding> {
        let ((allowed, bound), pull) = (self.allowed()?, self.pull());
        Ok(Finding::at_least(
            "jack-thrust",
            (allowed.round(), (HOLDS * pull).round(), "N"),
            if allowed < pull { Level::Stop } else { Level::Caution },
            format!(
                "The {} jack bears a thrust of {allowed:.0} N, bounded by {bound}; the belt pulls the bracket back with {pull:.0} N along the slide.",
                self.jack.screw.size
            ),
            "Take a larger --jack, a thicker sheet or a stronger --material.",
            format!(
                "lasting strengths of the print over {}, screws unmarked (class {}); twice the pull is common practice",
                number(PRESSED),
                fasteners::property_class(fasteners::UNMARKED, &self.jack.screw.size)?.class
            ),
        ))
    }

    /// Its sizes.
    pub fn sizes(&self, list: &mut Sizes) -> Result<()> {
        let (screw, (along, across)) = (&self.jack.screw, self.jack.screw.slit());
        let nut = || {
            Origin::Table(format!(
                "{}, the printer's hole allowance and {} mm of play",
                screw.nut.source,
                number(NUT_PLAY)
            ))
        };
        list.add("jack_bore", "bore for the jack screw", screw.bore, Origin::clearance_hole(&screw.size));
        list.add("jack_slit_width", "slit for the jack's nut, across its flats", across, nut());
        list.add("jack_slit_length", "slit for the jack's nut, along the slide", along, nut());
        let practice = Origin::Practice(format!("at least {} mm behind the nut", number(WALL)));
        list.add("jack_wall", "plastic behind the jack's nut", self.jack.wall(), practice);
        let bound = Origin::Formula(format!("least of what bears it: {}", self.allowed()?.1));
        list.add("jack_thrust_n", "the jack may press with", self.allowed()?.0, bound.clone());
        list.add("jack_torque_nm", "turn the jack no harder than", self.torque_nm()?, bound);
        Ok(())
    }

    /// Screw and nut to have at hand.
    pub fn hardware(&self) -> Result<Vec<Hardware>> {
        let size = &self.jack.screw.size;
        let length = match self.slide.length()? {
            Some(length) => length.to_string(),
            None => {
                format!(
                    "{} mm or longer, of threaded rod",
                    hundredth(self.slide.reach(self.s.place.outward)?.ceil())
                )
            }
        };
        let made = fasteners::standards(size);
        Ok(vec![
            Hardware::new(
                "jack screw",
                format!("{size} × {length}"),
                &format!("{}, its end filed flat", made.socket_head),
                1,
            ),
            Hardware::new("hexagon nut for the jack", size.clone(), made.nut, 1),
        ])
    }

    /// How it is put in, before the bracket is bolted down.
    pub fn fitting(&self) -> String {
        format!(
            "Set the {0} nut on edge into its slit at the bracket's end away from the spindle, two flats along the slit's sides, and turn the {0} jack screw in from that end until it shows in the slot.",
            self.jack.screw.size
        )
    }

    /// How the belt is tensioned with it.
    pub fn tensioning(&self) -> Result<String> {
        Ok(format!(
            "Back the jack screw out until the slide goes all the way in, and when the belt is on turn it in against the {} screw's shank: it pushes the bracket out, {} mm a turn. Turn it lightly, never harder than {:.2} N·m, and leave it standing.",
            self.s.layout.screw.size,
            hundredth(fasteners::thread(&self.jack.screw.size)?.pitch),
            self.torque_nm()?
        ))
    }

    /// Screw and nut as they stand at the working place.
    pub fn mating(&self) -> Result<Vec<Mating>> {
        let (l, jack, screw) = (&self.s.layout, self.jack, &self.jack.screw);
        let tip = jack.end - self.slide.reach(0.0)?;
        let reach = self.slide.reach(self.s.place.outward)?;
        let head = tip + self.slide.length()?.map_or(reach.ceil(), |length| length.mm);
        let shank = l.round_jack(jack, |at| Loop::circle(at, screw.diameter / 2.0), tip, head)?;
        let top = |at| Loop::circle(at, screw.head.head_diameter / 2.0);
        let shank = shank.join(&l.round_jack(jack, top, head, head + screw.head.head_height)?)?;
        let outside = jack.away * jack.slit.x + screw.slit().0 / 2.0;
        let radius = screw.nut.across_corners() / 2.0;
        // Two flats stand along the slit's sides: a corner points out of the sheet.
        let first = if l.style == Style::Foot { PI / 2.0 } else { 0.0 };
        let hexagon = |at: Point2| {
            let corners = [0, 1, 2, 3, 4, 5].map(|k| {
                let angle = first + f64::from(k) * PI / 3.0;
                at + Point2::new(angle.cos(), angle.sin()).coords * radius
            });
            Ok(Loop::polygon(&corners))
        };
        let nut = l.round_jack(jack, hexagon, outside - screw.nut.height, outside)?;
        Ok(vec![
            Mating::clear("jack screw", shank).left_whole(),
            Mating::touching("jack's nut", nut).left_whole(),
        ])
    }

    /// Where the drawing shows it.
    pub fn figures(&self) -> Vec<Figure> {
        let (l, jack) = (&self.s.layout, self.jack);
        let (x, across) = (Vector3::x(), if l.style == Style::Foot { Vector3::y() } else { Vector3::z() });
        let (frame, at) = l.jack_axis(jack, jack.away * jack.end);
        let (along, wide) = jack.screw.slit();
        // On the face that shows the slit.
        let place = |p: Point2| match l.style {
            Style::Foot => Point3::new(p.x, p.y, l.thick.base),
            _ => Point3::new(p.x, 0.0, p.y),
        };
        let side = |dx: f64, dy: f64| place(jack.slit + Vector3::new(dx, dy, 0.0).xy());
        vec![
            Figure::diameter("bore for the jack screw", x, jack.screw.bore, vec![frame.point(at)]),
            Figure::between("slit for the jack's nut", across, side(0.0, -wide / 2.0), side(0.0, wide / 2.0)),
            Figure::between(
                "slit for the jack's nut, along",
                x,
                side(-along / 2.0, 0.0),
                side(along / 2.0, 0.0),
            ),
        ]
    }

    /// What is said of the room it needs.
    pub fn room(&self) -> Result<String> {
        Ok(format!(
            "The jack screw's head stands up to {} mm beyond the bracket's end while the belt is laid on: keep that and a key's room free there.",
            hundredth(self.slide.stands_out()? - self.jack.end)
        ))
    }
}
