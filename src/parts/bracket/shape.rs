//! The bracket's solid, and which way up it prints.

use super::layout::{CORNER, Gusset, Layout, Slot, TIE, TOE, WEB};
use super::spec::Style;
use crate::error::{Error, Result};
use crate::solid::features::{Chamfer, Edging};
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Segment, Vector3};
use std::f64::consts::{PI, SQRT_2, TAU};

/// Which way up a bracket prints.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Orientation {
    /// A plate on its back, the face that meets the machine and the encoder's flange.
    Back,
    /// A plate on its front, where its back has a recess that must open upwards.
    Face,
    /// A foot on the front of its upright, so that base and gussets stand up from it.
    Front,
    /// A foot on its left end seen from the belt, so that every layer holds the whole L.
    LeftEnd,
    /// A foot on its right end.
    RightEnd,
}

impl Orientation {
    /// The lie of a style: a plate on its back; a foot without end gussets on its end, since there
    /// the bend at the root would pull layers apart; one with gussets on its front, since a gusset
    /// at the upper end would hang in the air and the gussets carry the bend.
    pub fn of(layout: &Layout) -> Orientation {
        match (layout.style, layout.gussets) {
            (Style::Foot, 0) => Orientation::end(layout),
            (Style::Foot, _) => Orientation::Front,
            _ if layout.seat.recess.is_some() => Orientation::Face,
            _ => Orientation::Back,
        }
    }

    /// The end from which the register's peak rises furthest from the flange's screws.
    fn end(layout: &Layout) -> Orientation {
        let nearest = |up: f64| {
            let angle = |at: &Point2| (at.y.atan2(at.x) - up).cos();
            layout.seat.bolts.iter().map(angle).fold(-1.0, f64::max)
        };
        if nearest(0.0) <= nearest(PI) + 1e-9 { Orientation::LeftEnd } else { Orientation::RightEnd }
    }

    /// Towards which angle of the upright, rad, level bores have their peaks, where they lie level.
    fn peak(self) -> Option<f64> {
        match self {
            Orientation::LeftEnd => Some(0.0),
            Orientation::RightEnd => Some(PI),
            _ => None,
        }
    }

    /// In words, for the sheet.
    pub fn words(self) -> &'static str {
        match self {
            Orientation::Back => {
                "flat on its back: the face that goes to the machine and to the encoder's flange lies on the bed"
            }
            Orientation::Face => {
                "flat on its front, the face towards the belt, so that the register's recess opens upwards"
            }
            Orientation::Front => {
                "on the front of the upright, the face towards the belt: base and gussets stand up from the bed"
            }
            Orientation::LeftEnd => {
                "on its end, so that every layer holds the whole L: the end that is on the left seen from the belt lies on the bed"
            }
            Orientation::RightEnd => {
                "on its end, so that every layer holds the whole L: the end that is on the right seen from the belt lies on the bed"
            }
        }
    }

    /// Where the working axes stand in the print.
    fn frame(self, layout: &Layout) -> Frame {
        let (x, y, z) = (Vector3::x(), Vector3::y(), Vector3::z());
        let (origin, x, y, z) = match self {
            Orientation::Back => (Vector3::new(0.0, 0.0, layout.thick.upright), x, -z, y),
            Orientation::Face | Orientation::Front => (Vector3::zeros(), x, z, -y),
            Orientation::LeftEnd => (Vector3::new(0.0, 0.0, layout.width / 2.0), z, x, y),
            Orientation::RightEnd => (Vector3::new(0.0, 0.0, layout.width / 2.0), -z, -x, y),
        };
        Frame { origin: Point3::from(origin), x, y, z }
    }
}

/// Carries working coordinates to the print's: centred on the bed, base on z = 0.
#[derive(Clone, Copy, Debug)]
pub struct Print {
    /// The working axes in the print's coordinates.
    pub frame: Frame,
}

impl Print {
    /// The print of a body drawn in working coordinates.
    pub fn of(layout: &Layout, body: &Body) -> Print {
        let frame = Orientation::of(layout).frame(layout);
        let bounds = body.placed(&frame).bounds();
        let centre = bounds.centre();
        let by = Vector3::new(-centre.x, -centre.y, -bounds.least.z);
        Print { frame: frame.moved(by) }
    }

    /// A body in the print's coordinates.
    pub fn body(&self, body: &Body) -> Body {
        body.placed(&self.frame)
    }

    /// A point in the print's coordinates.
    pub fn point(&self, x: f64, y: f64, z: f64) -> Point3 {
        self.frame.point3(Point3::new(x, y, z))
    }

    /// A direction in the print's coordinates.
    pub fn direction(&self, x: f64, y: f64, z: f64) -> Vector3 {
        self.frame.direction(Vector3::new(x, y, z))
    }
}

/// The bracket in working coordinates.
pub fn body(layout: &Layout) -> Result<Body> {
    match layout.style {
        Style::Foot => foot(layout),
        _ => plate(layout, &upright_region(layout)?),
    }
}

/// Chamfer of the rims on the bed, mm: the first layer spreads by about as much (common practice,
/// no source).
pub const FOOT: f64 = 0.4;

/// A plane whose drawing shows x to the right and z up, at a depth y, drawn towards the belt.
pub(super) fn facing(y: f64) -> Frame {
    Frame::facing_minus_y(y)
}

/// The upright or plate, front to back, its rims chamfered on the side that lies on the bed; a
/// recess for the register is cut into its back.
fn plate(layout: &Layout, region: &Region) -> Result<Body> {
    let t = layout.thick.upright;
    let chamfer = Some(Chamfer::at_45(FOOT));
    let edging = match Orientation::of(layout) {
        Orientation::Back => Edging { foot: chamfer, head: None },
        Orientation::Face | Orientation::Front => Edging { foot: None, head: chamfer },
        Orientation::LeftEnd | Orientation::RightEnd => Edging::default(),
    };
    // Where webs are thin, the rims of the holes stay sharp rather than eat them.
    let seat = super::webs::drawn(layout)?;
    let seat = super::webs::thinnest(&seat, super::webs::Web::at_seat);
    let holes = if seat.is_some_and(|web| web.width > 3.0 * FOOT) { edging } else { Edging::default() };
    let mut through = Body::edged_prism(region, 0.0, t, edging, holes)?.placed(&facing(t));
    if layout.style != Style::Foot
        && let Some((groove, depth)) = tie_groove(layout)?
    {
        through = through.cut(&Body::prism_on(&facing(t), &groove, -1.0, depth)?)?;
    }
    let Some((depth, _)) = layout.seat.recess else {
        return Ok(through);
    };
    let peak = Orientation::of(layout).peak();
    let recess =
        Region { outer: opening(axis(layout), layout.seat.register_bore / 2.0, peak)?, holes: Vec::new() };
    through.cut(&Body::prism_on(&facing(t), &recess, -1.0, depth)?)
}

pub(super) fn axis(layout: &Layout) -> Point2 {
    Point2::new(0.0, layout.axis_height)
}

/// A flat sheet of the bracket, cut in its middle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// Upright or plate, where the encoder's flange is screwed on.
    Floor,
    /// The same behind that, where a recess takes the register.
    Recess,
    /// A foot's base.
    Base,
}

/// What an outline of a sheet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opening {
    /// Bore or recess for the register.
    Register,
    /// Bore for the encoder's shaft in the floor of a recess.
    Shaft,
    /// Hole for a screw into the flange.
    FlangeScrew,
    /// Vent.
    Vent,
    /// Slot for a screw that holds the bracket, or a swing's pivot.
    Slot,
    /// Slot for a cable tie.
    Tie,
    /// The sheet's edge.
    Edge,
}

impl Opening {
    /// In words, after `between`.
    pub fn words(self) -> &'static str {
        match self {
            Opening::Register => "the register",
            Opening::Shaft => "the shaft's bore",
            Opening::FlangeScrew => "a flange screw",
            Opening::Vent => "a vent",
            Opening::Slot => "a slot",
            Opening::Tie => "a cable tie's slot",
            Opening::Edge => "the edge",
        }
    }
}

/// The outlines of a sheet, its edge last: x and z of the upright or plate, x and y of a base. What is
/// drawn, and what the webs are measured between.
pub fn openings(layout: &Layout, sheet: Sheet) -> Result<Vec<(Opening, Loop)>> {
    let peak = Orientation::of(layout).peak();
    let seat = &layout.seat;
    let mut all = Vec::new();
    let slots = || layout.slots.iter().map(|slot| Ok((Opening::Slot, slot_loop(slot, layout.slot_width)?)));
    let ties = || layout.ties.iter().map(|&(a, b)| Ok((Opening::Tie, Loop::obround(a, b, TIE.0)?)));
    if sheet == Sheet::Base {
        all.extend(slots().chain(ties()).collect::<Result<Vec<_>>>()?);
        let half = layout.width / 2.0;
        let corners = [(-half, 0.0), (half, 0.0), (half, layout.depth), (-half, layout.depth)]
            .map(|(x, y)| Point2::new(x, y));
        all.push((Opening::Edge, Loop::filleted(&corners, &[0.0, 0.0, CORNER, CORNER])?));
        return Ok(all);
    }
    let register = || opening(axis(layout), seat.register_bore / 2.0, peak);
    match (sheet, seat.recess) {
        (Sheet::Floor, Some((_, shaft))) => {
            all.push((Opening::Shaft, opening(axis(layout), shaft / 2.0, peak)?));
        }
        _ => all.push((Opening::Register, register()?)),
    }
    for bolt in &seat.bolts {
        // Within the recess a screw has no hole of its own; one that reaches beyond its wall cuts it.
        let within = bolt.coords.norm() + seat.screw.hole / 2.0 < seat.register_bore / 2.0;
        if sheet == Sheet::Floor || !within {
            let hole = opening(axis(layout) + bolt.coords, seat.screw.hole / 2.0, peak)?;
            all.push((Opening::FlangeScrew, hole));
        }
    }
    for &(a, b) in &layout.vents {
        all.push((Opening::Vent, Loop::obround(a, b, layout.vent_width)?));
    }
    if layout.style != Style::Foot {
        all.extend(slots().chain(ties()).collect::<Result<Vec<_>>>()?);
    }
    all.push((Opening::Edge, outline(layout)?));
    Ok(all)
}

/// Outline and openings of the upright or plate: x and z.
fn upright_region(layout: &Layout) -> Result<Region> {
    region(openings(layout, Sheet::Floor)?)
}

/// The region of a sheet's outlines, the last of which is its edge.
fn region(mut outlines: Vec<(Opening, Loop)>) -> Result<Region> {
    let (_, edge) = outlines.pop().ok_or_else(|| Error::internal("A sheet has no edge."))?;
    Region::new(edge, outlines.into_iter().map(|(_, outline)| outline).collect())
}

/// Largest hole that bridges itself when its axis lies level, mm (common practice, no source).
pub const ROUND_ENOUGH: f64 = 8.0;

/// A round opening; where it lies level and is large, with a peak towards the print's top.
fn opening(centre: Point2, radius: f64, peak: Option<f64>) -> Result<Loop> {
    match peak {
        Some(up) if 2.0 * radius > ROUND_ENOUGH => {
            // Cut off level a little over the circle, so that the flat is a short bridge.
            let flat = radius + 0.35 * radius * (SQRT_2 - 1.0);
            Loop::teardrop(centre, radius, up, Some(flat))
        }
        _ => Loop::circle(centre, radius),
    }
}

fn slot_loop(slot: &Slot, width: f64) -> Result<Loop> {
    match *slot {
        Slot::Straight(a, b) if (b - a).norm() < 1e-3 => Loop::circle(a, width / 2.0),
        Slot::Straight(a, b) => Loop::obround(a, b, width),
        Slot::Arc { centre, radius, from, to } => Loop::arc_slot(centre, radius, from, to, width),
    }
}

/// The upright's outline, or the plate's: all it must hold, drawn together by tangents.
pub fn outline(layout: &Layout) -> Result<Loop> {
    let half = layout.width / 2.0;
    if layout.style == Style::Foot {
        let corners = [(-half, 0.0), (half, 0.0), (half, layout.height), (-half, layout.height)]
            .map(|(x, z)| Point2::new(x, z));
        return Loop::filleted(&corners, &[0.0, 0.0, CORNER, CORNER]);
    }
    let edge = layout.screw.washer_radius() + WEB;
    let mut circles = vec![(axis(layout), layout.seat_edge)];
    for slot in &layout.slots {
        match *slot {
            Slot::Straight(a, b) => circles.extend([(a, edge), (b, edge)]),
            Slot::Arc { centre, radius, from, to } => {
                let steps = 4;
                circles.extend((0..=steps).map(|k| {
                    let angle = from + (to - from) * f64::from(k) / f64::from(steps);
                    (centre + Point2::new(angle.cos(), angle.sin()).coords * radius, edge)
                }));
            }
        }
    }
    hull(&circles)
}

/// The convex hull of circles: arcs and their common tangents, counter-clockwise.
///
/// In every direction one circle reaches furthest. The directions in which two reach equally far
/// part the turn into the arcs of the hull.
pub fn hull(circles: &[(Point2, f64)]) -> Result<Loop> {
    let reach =
        |k: usize, angle: f64| circles[k].0.x * angle.cos() + circles[k].0.y * angle.sin() + circles[k].1;
    let mut turns = Vec::new();
    for (i, a) in circles.iter().enumerate() {
        for b in &circles[..i] {
            let d = b.0 - a.0;
            let share = (a.1 - b.1) / d.norm();
            if share.abs() < 1.0 {
                let towards = d.y.atan2(d.x);
                turns
                    .extend([towards + share.acos(), towards - share.acos()].map(|t: f64| t.rem_euclid(TAU)));
            }
        }
    }
    turns.sort_by(f64::total_cmp);
    turns.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let furthest =
        |angle: f64| (0..circles.len()).max_by(|&a, &b| reach(a, angle).total_cmp(&reach(b, angle)));
    let mut arcs: Vec<(usize, f64, f64)> = Vec::new();
    for (k, &from) in turns.iter().enumerate() {
        let to = turns.get(k + 1).copied().unwrap_or(turns[0] + TAU);
        let Some(best) = furthest((from + to) / 2.0) else {
            continue;
        };
        match arcs.last_mut() {
            Some(last) if last.0 == best => last.2 = to,
            _ => arcs.push((best, from, to)),
        }
    }
    if arcs.len() > 1 && arcs[0].0 == arcs[arcs.len() - 1].0 {
        let last = arcs.remove(arcs.len() - 1);
        arcs[0].1 = last.1 - TAU;
    }
    match arcs[..] {
        [] => circles.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or_else(
            || Err(Error::internal("The hull of no circles was asked for.")),
            |&(centre, radius)| Loop::circle(centre, radius),
        ),
        _ => trace(circles, &arcs),
    }
}

fn trace(circles: &[(Point2, f64)], arcs: &[(usize, f64, f64)]) -> Result<Loop> {
    let at = |k: usize, angle: f64| {
        let (centre, radius) = circles[k];
        Point2::new(centre.x + radius * angle.cos(), centre.y + radius * angle.sin())
    };
    let start = at(arcs[0].0, arcs[0].1);
    let mut here = start;
    let mut segments = Vec::new();
    for &(k, from, to) in arcs {
        let begin = at(k, from);
        if (begin - here).norm() > 1e-6 {
            segments.push(Segment::Line { to: begin });
        }
        let end = at(k, to);
        if (end - begin).norm() > 1e-6 || to - from > PI {
            segments.push(Segment::Arc { to: end, centre: circles[k].0, ccw: true });
        }
        here = end;
    }
    if (start - here).norm() > 1e-6 {
        segments.push(Segment::Line { to: start });
    } else if let Some(Segment::Line { to } | Segment::Arc { to, .. }) = segments.last_mut() {
        *to = start;
    }
    Loop::new(start, segments)
}

/// The L: upright, base behind it, and gussets or a rounded root.
fn foot(layout: &Layout) -> Result<Body> {
    let upright = plate(layout, &upright_region(layout)?)?;
    let mut made = upright.join(&base(layout)?)?;
    if layout.root > 0.0 {
        made = made.join(&root(layout)?)?;
    }
    for one in layout.gussets() {
        made = made.join(&gusset(layout, &one)?)?;
    }
    Ok(made)
}

fn base(layout: &Layout) -> Result<Body> {
    let (half, t) = (layout.width / 2.0, layout.thick.upright);
    let corners =
        [(-half, t), (half, t), (half, layout.depth), (-half, layout.depth)].map(|(x, y)| Point2::new(x, y));
    let outer = Loop::filleted(&corners, &[0.0, 0.0, CORNER, CORNER])?;
    let mut outlines = openings(layout, Sheet::Base)?;
    if let Some((_, edge)) = outlines.last_mut() {
        *edge = outer;
    }
    let region = region(outlines)?;
    let made = Body::prism(&region, 0.0, layout.thick.base)?;
    match tie_groove(layout)? {
        Some((groove, depth)) => made.cut(&Body::prism(&groove, -1.0, depth)?),
        None => Ok(made),
    }
}

/// The groove for a cable tie from slot to slot, and its depth.
fn tie_groove(layout: &Layout) -> Result<Option<(Region, f64)>> {
    let Some((middle, width, height, depth)) = layout.tie_groove() else {
        return Ok(None);
    };
    let outer = Loop::rectangle(middle, width, height)?;
    Ok(Some((Region::new(outer, Vec::new())?, depth)))
}

/// A gusset: y to the back, z up.
fn gusset(layout: &Layout, gusset: &Gusset) -> Result<Body> {
    let (t, tb) = (layout.thick.upright, layout.thick.base);
    let (reach, top) = (gusset.reach, gusset.height);
    let corners =
        [(t, tb), (reach, tb), (reach, tb + TOE), (t + TOE, top), (t, top)].map(|(y, z)| Point2::new(y, z));
    let region = Region::new(Loop::polygon(&corners), Vec::new())?;
    Body::prism_on(&Frame::facing_x(gusset.start), &region, 0.0, layout.thick.gusset)
}

/// The rounding where base and upright meet, over the whole width.
fn root(layout: &Layout) -> Result<Body> {
    let (t, tb, leg) = (layout.thick.upright, layout.thick.base, layout.root);
    let (corner, along, up) = (Point2::new(t, tb), Point2::new(t + leg, tb), Point2::new(t, tb + leg));
    let outline = Loop::new(
        corner,
        vec![
            Segment::Line { to: along },
            Segment::Arc { to: up, centre: Point2::new(t + leg, tb + leg), ccw: false },
            Segment::Line { to: corner },
        ],
    )?;
    let half = layout.width / 2.0;
    Body::prism_on(&Frame::facing_x(-half), &Region::new(outline, Vec::new())?, 0.0, layout.width)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hull_of_two_circles_has_the_belts_length() {
        let hull = hull(&[(Point2::new(0.0, 0.0), 10.0), (Point2::new(60.0, 0.0), 40.0)]).unwrap();
        let by_hand = crate::mechanics::belt_drive::belt_length(60.0, 20.0, 80.0);
        assert!(
            (hull.pieces().iter().map(|piece| piece.length()).sum::<f64>() - by_hand).abs() < 1e-9
                && hull.is_ccw()
        );
    }

    #[test]
    fn a_hull_swallows_what_lies_inside() {
        let circles = [(Point2::new(0.0, 0.0), 5.0), (Point2::new(1.0, 0.0), 1.0)];
        assert!((hull(&circles).unwrap().area() - 25.0 * PI).abs() < 1e-9);
        let square = [(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0), (0.0, 0.0)]
            .map(|(x, y)| (Point2::new(x, y), 2.0));
        let rounded = hull(&square).unwrap();
        assert!((rounded.area() - (400.0 + 4.0 * 20.0 * 2.0 + 4.0 * PI)).abs() < 1e-9);
    }

    #[test]
    fn a_teardrop_still_holds_its_register_round() {
        let hole = opening(Point2::origin(), 18.0, Some(0.0)).unwrap();
        assert!(hole.area() > 18.0 * 18.0 * PI);
        for k in 0..360 {
            let angle = f64::from(k).to_radians();
            assert!(hole.contains(Point2::new(angle.cos(), angle.sin()) * 17.99));
        }
    }
}
