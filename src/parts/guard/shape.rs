//! The guard's solids, drawn where they stand and laid down as they print: the front on the bed.

use super::layout::{CABLE, CABLE_DEEP, FLANGE, Layout, RIB, Stand, edge_at};
use crate::error::{Error, Result};
use crate::solid::{Body, Frame, Loop, Point2, Point3, Region, Vector3};

/// How far a cutting body is drawn beyond what it cuts, mm.
const BEYOND: f64 = 1.0;

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

/// Where screws go down through the back's flange: two on the side with more room, one on the other.
pub(super) fn back_feet(layout: &Layout) -> Vec<Point2> {
    let Stand::Shelf(from) = layout.stand else { return vec![] };
    let (least, most) = layout.within.bounds();
    let y = from + back_thickness(layout) + layout.ear() / 2.0;
    let edge = layout.column() + 2.0;
    let at = layout.back_split.unwrap_or(layout.spindle.at.x).clamp(least.x, most.x);
    let (left, right) = (at - least.x, most.x - at);
    let places = match left < right {
        true => [least.x + edge, at + 0.3 * right, most.x - edge],
        false => [least.x + edge, at - 0.3 * left, most.x - edge],
    };
    places.map(|x| Point2::new(x, y)).to_vec()
}

/// Thickness of a standing guard's back.
pub(super) fn back_thickness(layout: &Layout) -> f64 {
    layout.wall.max(3.0)
}

/// The cover: its front, and the walls back to the rim.
fn cover(layout: &Layout) -> Result<Body> {
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
    for at in back_feet(layout) {
        body = drilled_down(body, layout, at)?;
    }
    Ok(body)
}
