//! The outlines of a bracket's sheets and of their openings, and hulls of circles.

use super::layout::{CORNER, Layout, Slot, TIE, WEB};
use super::orientation::Orientation;
use super::spec::Style;
use crate::error::Result;
use crate::solid::{Loop, Point2};
use std::f64::consts::SQRT_2;

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
    /// Slit for the jack's nut.
    Nut,
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
            Opening::Nut => "the jack's nut",
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
    let slits = || layout.jack.iter().map(|jack| Ok((Opening::Nut, jack.slit_outline()?)));
    let slots = || {
        let slots = layout.slots.iter().map(|slot| Ok((Opening::Slot, slot_loop(slot, layout)?)));
        slots.chain(slits())
    };
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

/// Largest hole that bridges itself when its axis lies level, mm (common practice, no source).
pub const ROUND_ENOUGH: f64 = 8.0;

/// A round opening; where it lies level and is large, with a peak towards the print's top.
pub(super) fn opening(centre: Point2, radius: f64, peak: Option<f64>) -> Result<Loop> {
    match peak {
        Some(up) if 2.0 * radius > ROUND_ENOUGH => {
            // Cut off level a little over the circle, so that the flat is a short bridge.
            let flat = radius + 0.35 * radius * (SQRT_2 - 1.0);
            Loop::teardrop(centre, radius, up, Some(flat))
        }
        _ => Loop::circle(centre, radius),
    }
}

fn slot_loop(slot: &Slot, layout: &Layout) -> Result<Loop> {
    let width = layout.slot_width;
    match *slot {
        Slot::Straight(a, b) if layout.jack.as_ref().is_some_and(|jack| jack.is_in(a, b)) => layout
            .jack
            .as_ref()
            .map_or_else(|| Loop::circle(a, width / 2.0), |jack| jack.slot_outline(a, b, width)),
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
    Loop::hull(&circles(layout))
}

/// The circles that a plate's outline is drawn round.
pub(in crate::parts) fn circles(layout: &Layout) -> Vec<(Point2, f64)> {
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
    if let Some(jack) = &layout.jack {
        // A flat end, which the jack's head is turned against.
        let high = (jack.screw.head.head_diameter / 2.0 + 1.0).max(jack.screw.slit().1 / 2.0);
        let x = jack.away * (jack.end - CORNER);
        circles.extend([-high, high].map(|z| (Point2::new(x, jack.slit.y + z), CORNER)));
    }
    circles
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_teardrop_still_holds_its_register_round() {
        let hole = opening(Point2::origin(), 18.0, Some(0.0)).unwrap();
        assert!(hole.area() > 18.0 * 18.0 * std::f64::consts::PI);
        for k in 0..360 {
            let angle = f64::from(k).to_radians();
            assert!(hole.contains(Point2::new(angle.cos(), angle.sin()) * 17.99));
        }
    }
}
