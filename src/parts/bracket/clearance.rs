//! What must not touch what, anywhere in the slide.
//!
//! Bracket, belt, pulleys, screw heads and encoder are all convex outlines drawn out along the
//! shaft, or are boxed in by such. So the distance between two of them is that of their outlines
//! seen along the shaft and the gap along it, together. The belt counts as filled from back to back,
//! pulleys with their flanges, heads with their washers.

use super::drive::Place;
use super::jacking::InSlide;
use super::layout::{Gusset, Layout, body_half_width, is_square};
use super::spec::{HubSide, SpindleFrom, Style};
use crate::belt_drive::Drive;
use crate::catalog::encoders::Encoder;
use crate::error::Result;
use crate::solid::{Loop, Point2, Vector2, polygon};

/// What a guard asks for about all that turns, mm: running clearance for a belt that flaps and a print that is a
/// millimetre off, its thinnest wall, and how thick that may become for a hand (common practice, no source).
pub(in crate::parts) const GUARD: (f64, f64, f64) = (3.0, 2.4, 6.0);

/// How much higher the spindle's axis lies over the face a foot stands on than its pulley and hub reach, mm.
pub(in crate::parts) fn over_the_face(s: &super::Settled) -> f64 {
    let pulley = s.drive.reach(s.drive.spindle_teeth).max(s.drive.spindle_pulley.hub_diameter / 2.0);
    s.layout.axis_height + s.place.spindle.y - pulley
}

/// How finely round outlines are looked at, mm: far below every gap asked for.
const CHORD: f64 = 0.02;

/// Least gap between things that stand, mm (common practice, no source).
pub const BESIDE: f64 = 0.5;

/// What the head of a jack screw is called.
pub(in crate::parts) const JACK: &str = "the jack screw";

/// A convex outline (x and z) drawn out along y.
#[derive(Clone, Debug)]
pub struct Bar {
    /// What it is.
    pub name: String,
    pub(in crate::parts) outline: Vec<Point2>,
    pub(in crate::parts) y: (f64, f64),
}

impl Bar {
    pub(in crate::parts) fn round(name: &str, circles: &[(Point2, f64)], y: (f64, f64)) -> Result<Bar> {
        Ok(Bar { name: name.into(), outline: Loop::hull(circles)?.points(CHORD), y })
    }

    fn boxed(name: &str, x: (f64, f64), y: (f64, f64), z: (f64, f64)) -> Bar {
        let outline =
            [(x.0, z.0), (x.1, z.0), (x.1, z.1), (x.0, z.1)].map(|(x, z)| Point2::new(x, z)).to_vec();
        Bar { name: name.into(), outline, y }
    }

    /// The distance to another, mm; where they overlap, less than nothing by the least that one would
    /// have to move.
    pub fn distance(&self, other: &Bar) -> f64 {
        let along = (self.y.0 - other.y.1).max(other.y.0 - self.y.1);
        let across = apart(&self.outline, &other.outline);
        if along > 0.0 && across > 0.0 { along.hypot(across) } else { along.max(across) }
    }

    /// What the distance to another is not below, mm, as their boxes tell at once.
    fn at_least(&self, other: &Bar) -> f64 {
        let along = (self.y.0 - other.y.1).max(other.y.0 - self.y.1);
        along.max(boxes_apart(&self.outline, &other.outline))
    }
}

/// The distance between the boxes round two outlines; where they meet, no bound.
fn boxes_apart(a: &[Point2], b: &[Point2]) -> f64 {
    let between = |of: fn(&Point2) -> f64| {
        let span = |outline: &[Point2]| {
            outline
                .iter()
                .map(of)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), at| (least.min(at), most.max(at)))
        };
        let (a, b) = (span(a), span(b));
        (a.0 - b.1).max(b.0 - a.1).max(0.0)
    };
    let apart = between(|p| p.x).hypot(between(|p| p.y));
    if apart > 0.0 { apart } else { f64::NEG_INFINITY }
}

/// The distance between two convex outlines; where they overlap, less than nothing by how deep.
fn apart(a: &[Point2], b: &[Point2]) -> f64 {
    let over = beyond(a, b).max(beyond(b, a));
    if over < 0.0 {
        return over;
    }
    polygon::apart(a, b)
}

/// How far all of `other` lies beyond that edge of `outline` which it lies furthest beyond; less than
/// nothing where it reaches behind each. Two convex outlines overlap where that holds both ways.
fn beyond(outline: &[Point2], other: &[Point2]) -> f64 {
    let over = |(a, b): (&Point2, &Point2)| {
        let run = b - a;
        let out = Vector2::new(run.y, -run.x) / run.norm();
        other.iter().map(|p| (p - a).dot(&out)).fold(f64::INFINITY, f64::min)
    };
    polygon::sides(outline)
        .filter(|(a, b)| (*b - *a).norm() > 1e-9)
        .map(over)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// The nearest two things and where in the slide.
#[derive(Clone, Debug)]
pub struct Nearest {
    /// Distance, mm.
    pub gap: f64,
    /// What comes near.
    pub what: String,
    /// To what.
    pub to: String,
    /// At which shift of the slide.
    pub shift: f64,
}

/// Where everything is.
pub struct Surroundings<'a> {
    /// The bracket.
    pub layout: &'a Layout,
    /// The slide.
    pub place: &'a Place,
    /// The drive.
    pub drive: &'a Drive,
    /// The encoder.
    pub encoder: &'a Encoder,
}

impl Surroundings<'_> {
    fn axis(&self) -> Point2 {
        Point2::new(0.0, self.layout.axis_height)
    }

    /// The bracket's own pieces.
    pub(in crate::parts) fn bracket(&self) -> Result<Vec<Bar>> {
        let l = self.layout;
        let t = l.thick;
        let half = l.width / 2.0;
        let jack = match InSlide::of(l, self.place).map(|jack| jack.outside()).transpose()? {
            Some([x, y, z]) if l.style == Style::Foot => Some(Bar::boxed(JACK, x, y, z)),
            Some([x, z, y]) => Some(Bar::boxed(JACK, x, y, z)),
            None => None,
        };
        if l.style != Style::Foot {
            let outline = super::outlines::outline(l)?.points(CHORD);
            let plate = Bar { name: "the plate".into(), outline, y: (0.0, t.upright) };
            return Ok([plate].into_iter().chain(jack).collect());
        }
        let mut bars = vec![
            Bar::boxed("the upright", (-half, half), (0.0, t.upright), (0.0, l.height)),
            Bar::boxed("the base", (-half, half), (t.upright, l.depth), (0.0, t.base)),
        ];
        if l.root > 0.0 {
            let (back, top) = (t.upright + l.root, t.base + l.root);
            bars.push(Bar::boxed("the root's rounding", (-half, half), (t.upright, back), (t.base, top)));
        }
        bars.extend(self.gussets());
        bars.extend(jack);
        Ok(bars)
    }

    fn gussets(&self) -> Vec<Bar> {
        let t = self.layout.thick;
        let bar = |g: Gusset| {
            let x = (g.start, g.start + t.gusset);
            Bar::boxed("a gusset", x, (t.upright, g.reach), (t.base, g.height))
        };
        self.layout.gussets().into_iter().map(bar).collect()
    }

    /// Belt and pulleys at a shift.
    pub(in crate::parts) fn running(&self, shift: f64) -> Result<Vec<Bar>> {
        let (axis, lever) = (self.axis(), self.layout.belt_lever);
        let spindle = axis + self.place.spindle_at(shift).coords;
        let profile = self.drive.profile;
        let back = |teeth: u32| profile.pitch_diameter(teeth) / 2.0 + profile.back();
        let over = |half: f64| (-lever - half, -lever + half);
        let (encoder, wheel) = (self.drive.encoder_teeth, self.drive.spindle_teeth);
        let (own, other) = (&self.drive.encoder_pulley, &self.drive.spindle_pulley);
        let mut bars = vec![
            Bar::round(
                "the belt",
                &[(axis, back(encoder)), (spindle, back(wheel))],
                over(self.drive.width / 2.0),
            )?,
            Bar::round("the encoder's pulley", &[(axis, self.drive.reach(encoder))], over(own.width / 2.0))?,
            Bar::round(
                "the spindle's pulley",
                &[(spindle, self.drive.reach(wheel))],
                over(other.width / 2.0),
            )?,
        ];
        let beside = match self.layout.hub {
            HubSide::Away => Some((-lever - own.width / 2.0 - own.hub_length, -lever - own.width / 2.0)),
            HubSide::Encoder => Some((-lever + own.width / 2.0, -lever + own.width / 2.0 + own.hub_length)),
            HubSide::None => None,
        };
        if let Some(y) = beside {
            bars.push(Bar::round("the hub of the encoder's pulley", &[(axis, own.hub_diameter / 2.0)], y)?);
        }
        Ok(bars)
    }

    /// A spindle of a radius that comes from such a side, at a shift.
    pub(in crate::parts) fn spindle(&self, radius: f64, from: SpindleFrom, shift: f64) -> Result<Bar> {
        let (lever, half) = (self.layout.belt_lever, self.drive.spindle_pulley.width / 2.0);
        let front = if from == SpindleFrom::Behind { -lever - half } else { f64::NEG_INFINITY };
        let back = if from == SpindleFrom::Front { -lever + half } else { f64::INFINITY };
        let at = self.axis() + self.place.spindle_at(shift).coords;
        Bar::round("the spindle", &[(at, radius)], (front, back))
    }

    /// The nearest that such a spindle comes to the bracket, to screws or to the encoder, anywhere in
    /// the slide.
    pub fn past_spindle(&self, radius: f64, from: SpindleFrom) -> Result<Nearest> {
        let mut still = self.bracket()?;
        still.extend(self.seat()?);
        still.push(self.body()?);
        let mut nearest = None;
        for shift in self.place.shifts() {
            let mut others = still.clone();
            others.extend(self.heads(shift)?);
            closest(&[self.spindle(radius, from, shift)?], &others, shift, &mut nearest);
        }
        Ok(nearest.unwrap_or(far()))
    }

    /// Washers and heads of the screws that hold the bracket, at a shift.
    fn heads(&self, shift: f64) -> Result<Vec<Bar>> {
        let l = self.layout;
        let (radius, stands) =
            (l.screw.washer_radius().max(l.screw.head.head_diameter / 2.0), l.screw.stands());
        self.screws_at(shift)
            .into_iter()
            .map(|at| {
                if l.style == Style::Foot {
                    let y = (at.y - radius, at.y + radius);
                    return Ok(Bar::boxed(
                        "a screw's head",
                        (at.x - radius, at.x + radius),
                        y,
                        (l.thick.base, l.thick.base + stands),
                    ));
                }
                Bar::round("a screw's head", &[(at, radius)], (-stands, 0.0))
            })
            .collect()
    }

    /// Where the screws that hold the bracket stand in it at a shift: x and y on a base, x and z on
    /// a plate.
    pub fn screws_at(&self, shift: f64) -> Vec<Point2> {
        let up = if self.layout.style == Style::Foot { Point2::origin() } else { self.axis() };
        self.layout
            .screws
            .iter()
            .map(|screw| self.place.seen(*screw - up.coords, shift) + up.coords)
            .collect()
    }

    /// Heads of the flange's screws, on the front, and a register that stands through.
    fn seat(&self) -> Result<Vec<Bar>> {
        let (l, axis) = (self.layout, self.axis());
        let screw = &l.seat.screw;
        let mut bars = Vec::new();
        for bolt in &l.seat.bolts {
            bars.push(Bar::round(
                "a flange screw's head",
                &[(axis + bolt.coords, screw.head.head_diameter / 2.0)],
                (-screw.head.head_height, 0.0),
            )?);
        }
        let through = self.encoder.register_height - l.thick.upright;
        if through > 0.0 && l.seat.recess.is_none() {
            bars.push(Bar::round(
                "the register",
                &[(axis, self.encoder.register_diameter / 2.0)],
                (-through, 0.0),
            )?);
        }
        Ok(bars)
    }

    pub(in crate::parts) fn body(&self) -> Result<Bar> {
        let l = self.layout;
        let half = body_half_width(self.encoder);
        let y = (l.thick.upright, l.thick.upright + self.encoder.body_length);
        if is_square(self.encoder) {
            return Ok(Bar::boxed(
                "the encoder",
                (-half, half),
                y,
                (l.axis_height - half, l.axis_height + half),
            ));
        }
        Bar::round("the encoder", &[(self.axis(), half)], y)
    }

    /// The nearest that belt and pulleys come to bracket or screws, anywhere in the slide.
    pub fn belt(&self) -> Result<Nearest> {
        let mut still = self.bracket()?;
        still.extend(self.seat()?);
        let mut nearest = None;
        for shift in self.place.shifts() {
            let mut others = still.clone();
            others.extend(self.heads(shift)?);
            closest(&self.running(shift)?, &others, shift, &mut nearest);
        }
        Ok(nearest.unwrap_or(far()))
    }

    /// The nearest that screw heads come to gussets, to the upright behind them, or to the encoder;
    /// and the encoder to the gussets and the base.
    pub fn inside(&self) -> Result<Nearest> {
        let mut nearest = None;
        let body = [self.body()?];
        if self.layout.style != Style::Foot {
            for shift in self.place.shifts() {
                closest(&self.heads(shift)?, &self.seat()?, shift, &mut nearest);
            }
            return Ok(nearest.unwrap_or(far()));
        }
        let bracket = self.bracket()?;
        // Not the base for the heads: they stand on it. Not the upright for the encoder: it is bolted to it.
        let walls: Vec<Bar> = bracket.iter().filter(|bar| bar.name != "the base").cloned().collect();
        let around: Vec<Bar> = bracket.iter().filter(|bar| bar.name != "the upright").cloned().collect();
        for shift in self.place.shifts() {
            let heads = self.heads(shift)?;
            closest(&heads, &walls, shift, &mut nearest);
            closest(&heads, &body, shift, &mut nearest);
        }
        closest(&body, &around, 0.0, &mut nearest);
        Ok(nearest.unwrap_or(far()))
    }

    /// Room beside the key over a screw, to whatever lies in its way, anywhere in the slide, mm.
    pub fn key(&self) -> Result<Nearest> {
        let l = self.layout;
        let key = l.screw.head.key / 3f64.sqrt();
        let half = body_half_width(self.encoder);
        let mut nearest = far();
        for shift in self.place.shifts() {
            if l.style == Style::Foot {
                // The key comes from above, past the encoder and between the gussets.
                for at in self.screws_at(shift) {
                    let gap = at.x.abs() - key - half;
                    if gap < nearest.gap {
                        nearest = Nearest { gap, what: "the key".into(), to: "the encoder".into(), shift };
                    }
                }
                continue;
            }
            // The key comes from the front, past belt and pulleys.
            let keys = self
                .screws_at(shift)
                .into_iter()
                .map(|at| Bar::round("the key", &[(at, key)], (f64::NEG_INFINITY, 0.0)))
                .collect::<Result<Vec<_>>>()?;
            let mut found = None;
            closest(&keys, &self.running(shift)?, shift, &mut found);
            nearest = [Some(nearest), found]
                .into_iter()
                .flatten()
                .min_by(|a, b| a.gap.total_cmp(&b.gap))
                .unwrap_or(far());
        }
        Ok(nearest)
    }

    /// The least lever of the belt at which it and the pulleys pass what stands out of the front
    /// beneath them, anywhere in the slide, mm.
    pub fn least_lever(&self) -> Result<f64> {
        let mut least: f64 = 0.0;
        for shift in self.place.shifts() {
            let mut stands = self.seat()?;
            if self.layout.style != Style::Foot {
                stands.extend(self.heads(shift)?);
            }
            for runs in self.running(shift)? {
                let back = runs.y.1 + self.layout.belt_lever;
                let beneath = |stand: &&Bar| {
                    boxes_apart(&runs.outline, &stand.outline) < super::layout::GAP
                        && apart(&runs.outline, &stand.outline) < super::layout::GAP
                };
                for stand in stands.iter().filter(beneath) {
                    least = least.max(back + super::layout::GAP - stand.y.0);
                }
            }
        }
        Ok(least)
    }
}

fn far() -> Nearest {
    Nearest { gap: 1e3, what: "nothing".into(), to: "anything".into(), shift: 0.0 }
}

fn closest(these: &[Bar], those: &[Bar], shift: f64, nearest: &mut Option<Nearest>) {
    for a in these {
        for b in those {
            if nearest.as_ref().is_some_and(|n| a.at_least(b) >= n.gap) {
                continue;
            }
            let gap = a.distance(b);
            if nearest.as_ref().is_none_or(|n| gap < n.gap) {
                *nearest = Some(Nearest { gap, what: a.name.clone(), to: b.name.clone(), shift });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_as_far_apart_as_they_look() {
        let a = Bar::boxed("a", (0.0, 1.0), (0.0, 1.0), (0.0, 1.0));
        assert_eq!(a.distance(&Bar::boxed("b", (4.0, 5.0), (0.0, 1.0), (0.0, 1.0))), 3.0);
        assert_eq!(a.distance(&Bar::boxed("b", (4.0, 5.0), (5.0, 6.0), (0.0, 1.0))), 5.0);
        // Half a millimetre each way would part them.
        assert_eq!(a.distance(&Bar::boxed("b", (0.5, 5.0), (0.5, 6.0), (0.5, 1.0))), -0.5);
        // A cross overlaps although no corner lies in the other.
        let bar = Bar::boxed("b", (-5.0, 5.0), (0.0, 1.0), (0.4, 0.6));
        assert!((a.distance(&bar) + 0.6).abs() < 1e-12);
        let disc = Bar::round("disc", &[(Point2::new(9.0, 7.0), 3.0)], (2.0, 3.0)).unwrap();
        assert!(a.at_least(&disc) < a.distance(&disc) && a.at_least(&disc) > 5.0);
        assert_eq!(a.at_least(&bar), -1.0);
        let disc = Bar::round("disc", &[(Point2::new(4.0, 0.5), 1.0)], (0.0, 1.0)).unwrap();
        assert!((a.distance(&disc) - 2.0).abs() < CHORD);
    }
}
