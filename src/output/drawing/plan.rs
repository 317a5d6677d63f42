//! Which views a piece needs, and where it is cut.

use super::view::View;
use crate::design::{Extent, Figure, Lettered};
use crate::solid::surface::{Kind, Surface};
use crate::solid::{Body, Point3, Vector3};
use std::f64::consts::PI;

/// One view of the plan.
#[derive(Clone, Debug)]
pub struct Planned {
    /// Direction of sight.
    pub view: View,
    /// The plane cut through, for a section.
    pub cut: Option<Point3>,
    /// Column and row: front at (0, 0), from above below it, from the left beside it.
    pub cell: (usize, usize),
}

/// The views a piece needs: a turned part one section and its plan, one that is a plate or mostly round
/// its plan and the section that shows most of its figures, anything else front, plan and left.
pub fn plan(body: &Body, figures: &[Figure], (is_plate, letters): (bool, &[Lettered])) -> Vec<Planned> {
    let bounds = body.bounds();
    let (size, middle) = (bounds.size(), bounds.centre());
    let front = |cut: Option<Point3>| Planned { view: View::front(), cut, cell: (0, 0) };
    let above = Planned { view: View::above(), cut: None, cell: (0, 1) };
    if let Some(axis) = turned_axis(body) {
        return vec![front(Some(axis)), above];
    }
    let flat = is_plate || size.z < 0.45 * size.x.min(size.y);
    let across = size.x.max(size.y);
    let round = figures.iter().any(|figure| {
        matches!(&figure.extent, Extent::Round { axis, radius, at, diameter: true }
            if axis.z.abs() > 1.0 - 1e-9 && at.len() == 1 && 2.0 * radius > 0.8 * across)
    });
    if flat || round {
        let through = Point3::new(middle.x, best_cut(body, figures, (across, letters)), middle.z);
        return vec![front(Some(through)), above];
    }
    vec![front(None), above, Planned { view: View::left(), cut: None, cell: (1, 0) }]
}

/// The upright axis every face turns about or is square to, if there is one.
pub fn turned_axis(body: &Body) -> Option<Point3> {
    let mut axis: Option<Point3> = None;
    for face in body.faces() {
        let frame = &face.surface.frame;
        if frame.z.cross(&Vector3::z()).norm() > 1e-9 {
            return None;
        }
        if !matches!(face.surface.kind, Kind::Plane) {
            let foot = Point3::new(frame.origin.x, frame.origin.y, 0.0);
            if axis.is_some_and(|axis| (axis - foot).norm() > 1e-6) {
                return None;
            }
            axis = Some(foot);
        }
    }
    axis
}

/// The depth y at which a plane square to y shows most: lettered openings, bores by their size, each size once, and
/// heights such as a spigot's depth or a recess's; the middle for a draw. Never one in a face, where
/// it would be neither cut nor whole.
fn best_cut(body: &Body, figures: &[Figure], (across, letters): (f64, &[Lettered])) -> f64 {
    let bounds = body.bounds();
    let (least, most) = (bounds.least.y, bounds.most.y);
    let middle = clear_of_faces(body, (least + most) / 2.0);
    let places = |figure: &Figure| -> Vec<(f64, f64)> {
        match &figure.extent {
            Extent::Round { axis, radius, at, diameter: true } if axis.z.abs() > 1.0 - 1e-9 => {
                at.iter().map(|p| (p.y, 0.2 * radius)).collect()
            }
            Extent::Between { along, places } if along.z.abs() > 1.0 - 1e-9 => {
                places.iter().map(|[a, _]| (a.y, 0.5)).collect()
            }
            _ => vec![],
        }
    };
    let worth = |figure: &Figure| match &figure.extent {
        Extent::Round { radius, .. } => 1.0 + 3.0 * (2.0 * radius / across).min(1.0),
        _ => 1.5,
    };
    // What is lettered is what the piece is for: a section goes through as much of it as lies on a line.
    let lettered = || letters.iter().filter(|l| !l.raised).map(|l| (l.at.y, 0.2 * l.radius));
    let openings =
        |y: f64| OPENING * lettered().filter(|(at, room)| (at - y).abs() <= *room + 1e-9).count() as f64;
    let shows = |y: f64| -> f64 {
        openings(y)
            + figures
                .iter()
                .filter(|figure| {
                    let near = |(at, room): &(f64, f64)| (at - y).abs() <= *room + 1e-9;
                    places(figure).iter().any(near)
                })
                .map(worth)
                .sum::<f64>()
    };
    let mut best = (middle, shows(middle) + 0.1);
    // Along an edge there is nothing to cut, as at the half openings of a parted plate, whose tongues
    // stand a little out of it.
    let edge = 1.0 + 0.06 * (most - least);
    let inside = |(y, _): &(f64, f64)| *y > least + edge && *y < most - edge && !in_a_face(body, *y);
    for (y, _) in figures.iter().flat_map(places).chain(lettered()).filter(inside) {
        let worth = shows(y);
        if worth > best.1 + 1e-9 {
            best = (y, worth);
        }
    }
    best.0
}

/// What an opening in the section is worth, against the figures it shows.
const OPENING: f64 = 10.0;

/// How far a cutting plane keeps from a face that looks its way, mm.
const BESIDE: f64 = 0.2;

/// Whether the plane square to y at this depth lies in a face, or all but.
pub fn in_a_face(body: &Body, y: f64) -> bool {
    body.faces().iter().any(|face| {
        let (frame, flat) = (&face.surface.frame, matches!(face.surface.kind, Kind::Plane));
        flat && frame.z.y.abs() > 1.0 - 1e-9 && (frame.origin.y - y).abs() < BESIDE
    })
}

/// The depth nearest to this one at which no face lies.
fn clear_of_faces(body: &Body, y: f64) -> f64 {
    let beside = (1..100).flat_map(|k| [1.0, -1.0].map(|side| y + side * BESIDE * f64::from(k)));
    std::iter::once(y).chain(beside).find(|&y| !in_a_face(body, y)).unwrap_or(y)
}

/// A straight axis that something round turns about.
pub struct Axis {
    /// A point of it.
    pub at: Point3,
    /// Unit vector.
    pub direction: Vector3,
    /// Largest radius about it.
    pub radius: f64,
    /// How far along `direction` from `at` it reaches.
    pub reach: (f64, f64),
}

/// Nothing as narrow has a centre line, mm on the radius: the strokes of raised or engraved letters end so.
const STROKE_END: f64 = 0.6;

/// The axes of round faces that go at least half round.
pub fn axes(body: &Body) -> Vec<Axis> {
    let mut found: Vec<(Axis, Vec<(Surface, f64)>)> = Vec::new();
    for face in body.faces().iter().filter(|face| face.surface.is_round()) {
        let (frame, (least, most)) = (&face.surface.frame, face.region.bounds());
        let heights = [face.surface.height(least.y), face.surface.height(most.y)];
        let reach = (heights[0].min(heights[1]), heights[0].max(heights[1]));
        let radius = face.surface.radius(least.y).max(face.surface.radius(most.y));
        let turn = most.x - least.x;
        let same = found.iter_mut().find(|(axis, _)| {
            let d = frame.origin - axis.at;
            axis.direction.cross(&frame.z).norm() < 1e-9
                && (d - axis.direction * d.dot(&axis.direction)).norm() < 1e-6
        });
        match same {
            Some((axis, turned)) => {
                let shift = (frame.origin - axis.at).dot(&axis.direction);
                axis.reach = (axis.reach.0.min(reach.0 + shift), axis.reach.1.max(reach.1 + shift));
                axis.radius = axis.radius.max(radius);
                match turned.iter_mut().find(|(surface, _)| *surface == face.surface) {
                    Some((_, turned)) => *turned += turn,
                    None => turned.push((face.surface, turn)),
                }
            }
            None => {
                let axis = Axis { at: frame.origin, direction: frame.z, radius, reach };
                found.push((axis, vec![(face.surface, turn)]));
            }
        }
    }
    found
        .into_iter()
        // A corner's rounding goes a quarter of the way round, however many faces are stacked on it.
        .filter(|(axis, turned)| {
            axis.radius > STROKE_END && turned.iter().any(|(_, turned)| *turned > 0.9 * PI)
        })
        .map(|(axis, _)| axis)
        .collect()
}
