//! The solids: the pulley, and a segment of its teeth to try with the belt.

use super::bore::Bore;
use super::clamp::{Clamp, GAP};
use super::layout::Layout;
use crate::catalog::fasteners;
use crate::design::Mating;
use crate::error::{Error, Result};
use crate::solid::{Body, Frame, Loop, Point2, Region, Segment, Vector2, Vector3};
use std::f64::consts::FRAC_PI_3;

/// How far a cut reaches beyond what it cuts, mm.
const BEYOND: f64 = 1.0;
/// Spaces of the trial segment.
pub const TRIED: u32 = 5;
/// Plastic under the spaces of the trial segment, and its thickness, mm.
const UNDER: f64 = 4.0;
const THICK: f64 = 6.0;

/// The pulley, its lower flange on the bed.
pub fn body(layout: &Layout) -> Result<Body> {
    let teeth = Region::new(layout.teeth.outline()?, Vec::new())?;
    let mut made = Body::prism(&teeth, layout.face.0, layout.face.1)?;
    if let Some(diameter) = layout.flange {
        made = made.join(&disc(diameter / 2.0, 0.0, layout.face.0)?)?;
    }
    let mut top = layout.face.1;
    if let Some((radius, height)) = layout.slope {
        let on = layout.height - layout.hub.map_or(0.0, |(_, length)| length);
        let corners = [
            (0.0, layout.face.1),
            (layout.slope_foot(), layout.face.1),
            (radius, height),
            (radius, on),
            (0.0, on),
        ];
        let profile = Loop::polygon(&corners.map(|(r, z)| Point2::new(r, z)));
        made = made.join(&Body::revolve(&profile)?)?;
        top = on;
    }
    match (&layout.clamp, layout.hub) {
        (Some(clamp), _) => made = made.join(&half_hub(clamp, 1.0)?.moved(Vector3::z() * top))?,
        (None, Some((diameter, length))) => made = made.join(&disc(diameter / 2.0, top, top + length)?)?,
        (None, None) => {}
    }
    let bore = Region::new(bore(&layout.bore)?, Vec::new())?;
    made = made.cut(&Body::prism(&bore, -BEYOND, layout.height + BEYOND)?)?;
    set_screws(layout, made)
}

fn disc(radius: f64, low: f64, high: f64) -> Result<Body> {
    Body::prism(&Region::new(Loop::circle(Point2::origin(), radius)?, Vec::new())?, low, high)
}

/// Half of a clamp hub without its bore, on z = 0, towards +y or -y: a flat for the washers, and the screws' holes.
fn half_hub(clamp: &Clamp, way: f64) -> Result<Body> {
    let radius = clamp.diameter / 2.0;
    let (low, high) = if way > 0.0 { (GAP, clamp.flat) } else { (-clamp.flat, -GAP) };
    let slab: Region =
        Loop::rectangle(Point2::new(0.0, (low + high) / 2.0), 2.0 * (radius + BEYOND), high - low)?.into();
    let round: Region = Loop::circle(Point2::origin(), radius)?.into();
    let half = round.common(&slab).pop().ok_or_else(|| Error::internal("Half a hub is empty."))?;
    let mut made = Body::prism(&half, 0.0, clamp.length)?;
    let far = radius + BEYOND;
    for side in [-1.0, 1.0] {
        let hole = Loop::circle(Point2::new(side * clamp.aside, clamp.length / 2.0), clamp.hole / 2.0)?;
        let from = if way > 0.0 { far } else { 0.0 };
        made = made.cut(&Body::prism_on(&Frame::facing_minus_y(from), &hole.into(), 0.0, far)?)?;
    }
    Ok(made)
}

/// The cap of a clamp hub, as it stands and prints.
pub fn cap(layout: &Layout, clamp: &Clamp) -> Result<Body> {
    let bore = Region::new(bore(&layout.bore)?, Vec::new())?;
    half_hub(clamp, -1.0)?.cut(&Body::prism(&bore, -BEYOND, clamp.length + BEYOND)?)
}

/// The screws of a clamp hub with their washers and nuts, as they stand: heads on the cap.
pub fn clamp_screws(layout: &Layout, clamp: &Clamp) -> Result<Vec<Mating>> {
    let (head, nut) = (fasteners::socket_head(clamp.size)?, fasteners::hex_nut(clamp.size)?);
    let (washer, thread) = (fasteners::wide_washer(clamp.size)?, fasteners::thread(clamp.size)?);
    let on = clamp.flat + washer.thickness;
    let mut all = Vec::new();
    for side in [-1.0, 1.0] {
        let at = Point2::new(side * clamp.aside, layout.height - clamp.length / 2.0);
        let along_y = |outline: Region, from: f64, to: f64| {
            Body::prism_on(&Frame::facing_minus_y(to), &outline, 0.0, to - from)
        };
        let round = |diameter: f64| Ok::<Region, Error>(Loop::circle(at, diameter / 2.0)?.into());
        let shank = along_y(round(thread.diameter)?, -on, clamp.screw_length - on)?;
        let shank = shank.join(&along_y(round(head.head_diameter)?, -on - head.head_height, -on)?)?;
        let corners = [0, 1, 2, 3, 4, 5].map(|k| {
            let angle = f64::from(k) * FRAC_PI_3;
            at + Vector2::new(angle.cos(), angle.sin()) * (nut.across_corners() / 2.0)
        });
        let ring =
            Region::new(Loop::circle(at, washer.outer / 2.0)?, vec![Loop::circle(at, washer.inner / 2.0)?])?;
        let nut = along_y(Loop::polygon(&corners).into(), on, on + nut.height)?;
        all.extend([
            Mating::beside("clamp screw", shank).left_whole(),
            Mating::beside("its nut", nut).left_whole(),
            Mating::beside("wide washer", along_y(ring.clone(), clamp.flat, on)?).left_whole(),
            Mating::beside("wide washer", along_y(ring, -on, -clamp.flat)?).left_whole(),
        ]);
    }
    Ok(all)
}

/// The bore's outline, its keyway or flat towards +y.
pub fn bore(bore: &Bore) -> Result<Loop> {
    let radius = bore.diameter / 2.0;
    let round = |to, centre| Segment::Arc { to, centre, ccw: true };
    if let Some((width, depth)) = bore.key {
        let half = width / 2.0;
        let at = (radius * radius - half * half).sqrt();
        let top = radius + depth;
        let start = Point2::new(-half, at);
        return Loop::new(
            start,
            vec![
                round(Point2::new(half, at), Point2::origin()),
                Segment::Line { to: Point2::new(half, top) },
                Segment::Line { to: Point2::new(-half, top) },
                Segment::Line { to: start },
            ],
        );
    }
    if let Some(flat) = bore.flat {
        let at = flat - radius;
        let half = (radius * radius - at * at).max(0.0).sqrt();
        let start = Point2::new(-half, at);
        return Loop::new(
            start,
            vec![round(Point2::new(half, at), Point2::origin()), Segment::Line { to: start }],
        );
    }
    Loop::circle(Point2::origin(), radius)
}

/// A square passage and a nut's pocket for each set screw.
fn set_screws(layout: &Layout, mut made: Body) -> Result<Body> {
    let (Some(screws), Some((hub, _))) = (&layout.screws, layout.hub) else {
        return Ok(made);
    };
    let (width, thick, low) = screws.pocket_size();
    for angle in screws.angles(&layout.bore) {
        let slab = |from: f64, to: f64, wide: f64, low: f64, high: f64| -> Result<Body> {
            let middle = Point2::new((from + to) / 2.0, 0.0);
            let outline = Loop::rectangle(middle, to - from, wide)?.turned(Point2::origin(), angle);
            Body::prism(&Region::new(outline, Vec::new())?, low, high)
        };
        made = made.cut(&slab(screws.pocket, screws.pocket + thick, width, low, layout.height + BEYOND)?)?;
        let half = screws.passage / 2.0;
        let (least, most) = (screws.height - half, screws.height + half);
        // From inside the bore, wherever a flat brings it nearest, out through the hub's wall.
        made =
            made.cut(&slab(0.2 * layout.bore.diameter, hub / 2.0 + BEYOND, screws.passage, least, most)?)?;
    }
    Ok(made)
}

/// A segment of the rim with five spaces, flat on the bed.
pub fn trial(layout: &Layout) -> Result<Body> {
    let inner = (layout.teeth.root() - UNDER).max(0.3 * layout.teeth.root());
    let spaces = TRIED.min(layout.teeth.count / 2);
    let outline = layout.teeth.sector(spaces, inner)?;
    let (least, most) = outline.bounds();
    let middle = nalgebra::center(&least, &most);
    let region = Region::new(outline.moved(-middle.coords), Vec::new())?;
    Body::prism(&region, 0.0, THICK)
}
