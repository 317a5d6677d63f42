//! What the guard stands round and on: bracket, belt, pulleys, shafts, encoder, and the machine's face.

use super::Settled;
use super::layout::{FLANGE, Stand};
use super::shape::{back_feet, cover_feet};
use crate::design::Mating;
use crate::error::Result;
use crate::parts::bracket::{mating, shape};
use crate::solid::{Body, Frame, Loop, Point2, Region};

/// Thickness of the machine's face as it is drawn, and how far it is drawn beyond the guard, mm.
const FACE: (f64, f64) = (4.0, 12.0);
/// Room round what goes through the machine's face, mm.
const ROOM: f64 = 2.0;

/// Every body, in working coordinates.
pub(super) fn mating(s: &Settled) -> Result<Vec<Mating>> {
    let b = &s.bracket;
    // What turns is what the picture is for: it stays whole where the cover before it is cut away.
    let clear = |m: Mating| Mating { relation: crate::design::Relation::Clear, ..m }.left_whole();
    let mut bodies: Vec<Mating> = mating::mating(&b.layout, &b.place, &b.drive, &b.encoder, b.spindle())?
        .into_iter()
        .map(clear)
        .collect();
    bodies.push(Mating::clear("bracket", shape::body(&b.layout)?).left_whole());
    bodies.push(Mating::touching("machine's face", face(s)?));
    for (k, head) in heads(s)?.into_iter().enumerate() {
        bodies.push(Mating::touching(format!("guard's screw {}", k + 1), head));
    }
    Ok(bodies)
}

fn face(s: &Settled) -> Result<Body> {
    let l = &s.layout;
    let (least, most) = l.over_all();
    let middle = nalgebra::center(&least, &most);
    let wide = most.x - least.x + 2.0 * FACE.1;
    if let Stand::Shelf(back) = l.stand {
        let (from, to) = (l.inside - l.wall - FACE.1, back + l.ear() + FACE.1);
        let outline = Loop::rectangle(Point2::new(middle.x, (from + to) / 2.0), wide, to - from)?;
        return Body::prism(&outline.into(), -FACE.0, 0.0);
    }
    let outline = Loop::rectangle(middle, wide, most.y - least.y + 2.0 * FACE.1)?;
    let holes = [
        (Point2::new(0.0, s.bracket.layout.axis_height), s.bracket.encoder.body_reach() + ROOM),
        (l.spindle.at, l.spindle.diameter / 2.0 + ROOM),
    ];
    let mut region = Region::from(outline);
    for (at, radius) in holes {
        let hole = Loop::circle(at, radius)?.into();
        if let Some(left) = region.minus(&hole).into_iter().max_by(|a, b| a.area().total_cmp(&b.area())) {
            region = left;
        }
    }
    Body::prism_on(&Frame::facing_minus_y(l.rear + FACE.0), &region, 0.0, FACE.0)
}

/// Washers and heads of the guard's screws.
fn heads(s: &Settled) -> Result<Vec<Body>> {
    let l = &s.layout;
    let disc = |at: Point2| -> Result<Region> { Ok(Loop::circle(at, l.screw.washer_radius())?.into()) };
    let stands = l.screw.stands();
    match &l.stand {
        Stand::Face(columns) => columns
            .iter()
            .map(|at| Body::prism_on(&Frame::facing_minus_y(l.inside - l.wall), &disc(*at)?, 0.0, stands))
            .collect(),
        Stand::Shelf(_) => cover_feet(l)
            .into_iter()
            .chain(back_feet(l))
            .map(|at| Body::prism(&disc(at)?, FLANGE, FLANGE + stands))
            .collect(),
    }
}
