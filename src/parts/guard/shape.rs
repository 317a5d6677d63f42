//! The guard's solids, drawn where they stand and laid down as they print: the front on the bed.

use super::layout::{CABLE, CABLE_DEEP, FLANGE, Layout, RIB, Stand, Strap, edge_at};
use crate::error::{Error, Result};
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Vector2, Vector3};

/// How far a cutting body is drawn beyond what it cuts, mm.
const BEYOND: f64 = 1.0;

/// What the strap's file is called.
pub(super) const STRAP: &str = "strap";

/// A printed piece where it stands, and what its file is called.
pub(super) struct Drawn {
    /// Appended to the guard's name.
    pub suffix: &'static str,
    /// The solid, in working coordinates.
    pub body: Body,
}

/// A plane that shows x to the right and z up, at a depth y; what is drawn on it is drawn out towards the belt.
fn facing(y: f64) -> Frame {
    Frame::facing_minus_y(y)
}

/// What turns working coordinates into those of the print: the front lies on the bed, z stays up the sheet.
pub(super) fn lying() -> Frame {
    Frame { origin: Point3::origin(), x: -Vector3::x(), y: Vector3::z(), z: Vector3::y() }
}

/// A prism over x and z from one depth to another.
fn along(region: &Region, from: f64, to: f64) -> Result<Body> {
    Body::prism_on(&facing(to), region, 0.0, to - from)
}

/// The one region that is left, or a fault.
fn whole(mut regions: Vec<Region>) -> Result<Region> {
    match (regions.pop(), regions.len()) {
        (Some(region), 0) => Ok(region),
        _ => Err(Error::geometry(
            "The guard would fall apart.",
            "Give a smaller --guard-screw, or another --clearance.",
        )),
    }
}

fn rectangle(x: (f64, f64), z: (f64, f64)) -> Result<Region> {
    let middle = Point2::new((x.0 + x.1) / 2.0, (z.0 + z.1) / 2.0);
    Ok(Loop::rectangle(middle, x.1 - x.0, z.1 - z.0)?.into())
}

fn without(region: Region, hole: Loop) -> Result<Region> {
    whole(region.minus(&hole.into()))
}

/// The pieces: the cover, in halves where it is parted, and a standing guard's back.
pub(super) fn pieces(layout: &Layout) -> Result<Vec<Drawn>> {
    let mut pieces = match layout.split {
        Some(at) => halves(&cover(layout)?, at, ["left", "right"])?,
        None => vec![Drawn { suffix: "", body: cover(layout)? }],
    };
    if let Stand::Shelf(from) = layout.stand {
        let back = back(layout, from)?;
        match layout.back_split {
            Some(at) => pieces.extend(halves(&back, at, ["back-left", "back-right"])?),
            None => pieces.push(Drawn { suffix: "back", body: back }),
        }
    }
    if let Some(strap) = &layout.strap {
        pieces.push(Drawn { suffix: STRAP, body: plate(strap, layout.inside - layout.wall)? });
    }
    Ok(pieces)
}

fn halves(body: &Body, at: f64, names: [&'static str; 2]) -> Result<Vec<Drawn>> {
    let left = Frame::facing_x(at);
    let right = Frame::new(Point3::new(at, 0.0, 0.0), -Vector3::x(), Vector3::z())?;
    let half = |suffix: &'static str, plane: &Frame| {
        let body = body.behind(plane)?.ok_or_else(|| Error::internal("Half of a guard is empty."))?;
        Ok(Drawn { suffix, body })
    };
    Ok(vec![half(names[0], &left)?, half(names[1], &right)?])
}

/// The outline over everything that stands out of the walls: columns, flanges, ribs.
fn outline(layout: &Layout) -> Result<Region> {
    let mut all: Region = layout.outer.clone().into();
    let (least, most) = layout.outer.bounds();
    match &layout.stand {
        Stand::Face(columns) => {
            for at in columns {
                all = whole(all.union(&Loop::circle(*at, layout.column())?.into()))?;
            }
        }
        Stand::Shelf(_) => {
            let over = rectangle((least.x - BEYOND, most.x + BEYOND), (0.0, most.y + BEYOND))?;
            all = whole(all.common(&over))?;
            let feet = rectangle((least.x - layout.ear(), most.x + layout.ear()), (0.0, FLANGE))?;
            all = whole(all.union(&feet))?;
        }
    }
    for (z, way) in ribs(layout) {
        let at = layout.split.unwrap_or_default();
        let (low, high) = if way > 0.0 { (z - layout.wall, z + RIB.1) } else { (z - RIB.1, z + layout.wall) };
        all = whole(all.union(&rectangle((at - RIB.0, at + RIB.0), (low, high))?))?;
    }
    Ok(all)
}

/// The ribs that two halves are screwed together by: where the walls end there, and which way they stand out.
pub(super) fn ribs(layout: &Layout) -> Vec<(f64, f64)> {
    let Some(at) = layout.split else { return vec![] };
    let least = |way: f64| {
        let ends = [at - RIB.0, at + RIB.0].map(|x| edge_at(&layout.outer, x, way) * way);
        ends[0].max(ends[1]) * way
    };
    match layout.stand {
        Stand::Face(_) => vec![(least(1.0), 1.0), (least(-1.0), -1.0)],
        Stand::Shelf(_) => vec![(least(1.0), 1.0)],
    }
}

/// Depths at which screws go through ribs and flanges.
pub(super) fn depths(layout: &Layout) -> [f64; 2] {
    let from = layout.inside - layout.wall;
    [0.22, 0.78].map(|share| from + share * layout.depth())
}

/// Where screws go down through the cover's flanges: x and y.
pub(super) fn cover_feet(layout: &Layout) -> Vec<Point2> {
    let Stand::Shelf(_) = layout.stand else { return vec![] };
    let (least, most) = layout.outer.bounds();
    let out = layout.ear() / 2.0;
    let sides = [least.x - out, most.x + out];
    sides.iter().flat_map(|x| depths(layout).map(|y| Point2::new(*x, y))).collect()
}

/// Where screws go down through the back's flange. A whole back has two on the side of the spindle with more room
/// and one on the other; halves have two each, one behind the other where they do not lie side by side.
pub(super) fn back_feet(layout: &Layout) -> Vec<Point2> {
    let Stand::Shelf(from) = layout.stand else { return vec![] };
    let (least, most) = layout.within.bounds();
    let y = from + back_thickness(layout) + layout.ear() / 2.0;
    let edge = layout.column() + 2.0;
    let foot = |x: f64| Point2::new(x, y);
    let Some(at) = layout.back_split else {
        let at = layout.spindle.at.x.clamp(least.x, most.x);
        let (left, right) = (at - least.x, most.x - at);
        let second = if left < right { at + 0.3 * right } else { at - 0.3 * left };
        return [least.x + edge, second, most.x - edge].map(foot).to_vec();
    };
    let half = |end: f64, way: f64| match deeper(layout, (at - end).abs()) {
        0.0 => [foot(end - way * edge), foot(at + way * edge)],
        deeper => {
            let x = end - way * edge.min((at - end).abs() / 2.0);
            [foot(x), foot(x) + Vector2::new(0.0, deeper)]
        }
    };
    [half(least.x, -1.0), half(most.x, 1.0)].concat()
}

/// How much deeper the flange of half a back is whose two screws do not lie side by side, mm.
fn deeper(layout: &Layout, width: f64) -> f64 {
    let apart = 2.0 * layout.screw.washer_radius() + 1.0;
    if width >= 2.0 * (layout.column() + 2.0) + apart { 0.0 } else { apart }
}

/// How far behind the back's plate its flange reaches, mm.
pub(super) fn back_flange(layout: &Layout) -> f64 {
    let (least, most) = layout.within.bounds();
    let halves = layout.back_split.map(|at| [at - least.x, most.x - at].map(|width| deeper(layout, width)));
    layout.ear() + halves.map_or(0.0, |[left, right]| left.max(right))
}

/// Thickness of a standing guard's back.
pub(super) fn back_thickness(layout: &Layout) -> f64 {
    layout.wall.max(3.0)
}

/// The strap over a seam, on the front.
fn plate(strap: &Strap, front: f64) -> Result<Body> {
    let mut floor = rectangle(strap.x, strap.z)?;
    let mut round = floor.clone();
    for at in strap.screws {
        floor = without(floor, Loop::circle(at, strap.hole / 2.0)?)?;
        round = without(round, Loop::circle(at, strap.pocket.0 / 2.0)?)?;
    }
    let under = front - strap.pocket.1;
    along(&floor, front - strap.thickness, under)?.join(&along(&round, under, front)?)
}

/// The cover as one, as its halves stand joined: its front, and the walls back to the rim.
pub(super) fn cover(layout: &Layout) -> Result<Body> {
    let outline = outline(layout)?;
    let mut front = outline.clone();
    let mut walls = without(outline, layout.inner.clone())?;
    if let Stand::Face(columns) = &layout.stand {
        for at in columns {
            let hole = Loop::circle(*at, layout.screw.hole / 2.0)?;
            front = without(front, hole.clone())?;
            walls = without(walls, hole)?;
        }
    }
    if let Some(width) = layout.vent_width() {
        for &(a, b) in &layout.vents {
            front = without(front, Loop::obround(a, b, width)?)?;
        }
    }
    if layout.front_hole() {
        front = without(front, Loop::circle(layout.spindle.at, layout.spindle_opening() / 2.0)?)?;
    }
    if let Some(strap) = &layout.strap {
        for at in strap.screws {
            front = without(front, Loop::circle(at, strap.hole / 2.0)?)?;
        }
    }
    let mut body = along(&front, layout.inside - layout.wall, layout.inside)?.join(&along(
        &walls,
        layout.inside,
        layout.rear,
    )?)?;
    for at in cover_feet(layout) {
        body = drilled_down(body, layout, at)?;
    }
    let across = layout.split.map_or(0.0, |at| at - RIB.0 - BEYOND);
    for (z, way) in ribs(layout) {
        for y in depths(layout) {
            let hole = Loop::circle(Point2::new(y, rib_hole(z, way)), layout.screw.hole / 2.0)?;
            let bore = Body::prism_on(&Frame::facing_x(across), &hole.into(), 0.0, 2.0 * (RIB.0 + BEYOND))?;
            body = body.cut(&bore)?;
        }
    }
    Ok(body)
}

/// Height of the screws through a rib.
pub(super) fn rib_hole(z: f64, way: f64) -> f64 {
    z + way * RIB.1 / 2.0
}

fn drilled_down(body: Body, layout: &Layout, at: Point2) -> Result<Body> {
    let hole = Loop::circle(at, layout.screw.hole / 2.0)?;
    body.cut(&Body::prism(&hole.into(), -BEYOND, FLANGE + BEYOND)?)
}

/// A standing guard's back: a plate within the cover's rim, on a flange of its own.
fn back(layout: &Layout, from: f64) -> Result<Body> {
    let (least, most) = layout.within.bounds();
    let over = rectangle((least.x - BEYOND, most.x + BEYOND), (0.0, most.y + BEYOND))?;
    let mut plate = whole(Region::from(layout.within.clone()).common(&over))?;
    if layout.back_hole() {
        plate = without(plate, Loop::circle(layout.spindle.at, layout.spindle_opening() / 2.0)?)?;
    }
    if let Some(top) = layout.cable {
        let (a, b) =
            (Point2::new(top.x, top.y - CABLE_DEEP + CABLE / 2.0), Point2::new(top.x, top.y + CABLE));
        plate = without(plate, Loop::obround(a, b, CABLE)?)?;
    }
    let to = from + back_thickness(layout);
    let flange = rectangle((least.x, most.x), (from, to + layout.ear()))?;
    let mut body = along(&plate, from, to)?.join(&Body::prism(&flange, 0.0, FLANGE)?)?;
    if let Some(at) = layout.back_split {
        for (left, right) in [(least.x, at), (at, most.x)] {
            let deeper = deeper(layout, right - left);
            if deeper > 0.0 {
                let more = rectangle((left, right), (to, to + layout.ear() + deeper))?;
                body = body.join(&Body::prism(&more, 0.0, FLANGE)?)?;
            }
        }
    }
    for at in back_feet(layout) {
        body = drilled_down(body, layout, at)?;
    }
    Ok(body)
}
