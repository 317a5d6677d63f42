//! Walls that touch where they share no edge.
//!
//! A solid may close on every edge and still touch itself along a line: a round wall that only
//! grazes a flat one, a lump that stands on another's face by its edge. No printer and no other
//! program would know what to make of it, so such a solid is refused.

use super::body::{Body, Face};
use super::meeting::{Meeting, Whole, meeting, within_turns};
use super::sheet::Sheet;
use super::{Bounds, EPSILON, Point3};
use crate::error::{Error, Result};

/// Refuses a body any of whose first `fresh` faces touches another face, or an edge of another,
/// along a line they do not share.
pub(crate) fn refuse(body: Body, fresh: usize) -> Result<Body> {
    match lying_edge(&body, fresh).or_else(|| grazing_walls(&body, fresh)) {
        None => Ok(body),
        Some(at) => Err(Error::geometry(
            format!(
                "Two walls of the solid would touch along a line near ({:.3}, {:.3}, {:.3}) mm.",
                at.x, at.y, at.z
            ),
            "Move them apart or let them overlap.",
        )),
    }
}

/// The middle of an edge that lies within a face it does not bound.
fn lying_edge(body: &Body, fresh: usize) -> Option<Point3> {
    for edge in body.edges() {
        let middle = body.edge_point(edge, 0.5);
        let is_fresh = edge.faces.iter().any(|&f| (f as usize) < fresh);
        let faces = if is_fresh { body.faces() } else { &body.faces()[..fresh] };
        let at = Bounds::at(middle);
        let touched = faces.iter().enumerate().any(|(i, face)| {
            !edge.faces.contains(&(i as u32)) && face.bounds.touches(&at) && lies_within(face, middle)
        });
        if touched {
            return Some(middle);
        }
    }
    None
}

/// A point at which two faces graze each other within their borders.
fn grazing_walls(body: &Body, fresh: usize) -> Option<Point3> {
    let faces = body.faces();
    for (i, a) in faces.iter().enumerate().take(fresh) {
        for b in &faces[i + 1..] {
            if a.surface.is_round() || b.surface.is_round() {
                let found = a.bounds.touches(&b.bounds).then(|| grazing(a, b)).flatten();
                if found.is_some() {
                    return found;
                }
            }
        }
    }
    None
}

/// The same for two faces: the line along which a cylinder grazes a plane or another cylinder is
/// tried between every two places where it enters or leaves either face.
fn grazing(a: &Face, b: &Face) -> Option<Point3> {
    let Meeting::Along(wholes) = meeting(&a.surface, &b.surface) else {
        return None;
    };
    let [Whole::Line { point, along }] = wholes[..] else {
        return None;
    };
    let normal = |face: &Face| face.surface.normal(face.surface.parameters(point));
    if normal(a).cross(&normal(b)).norm() > 1e-3 {
        return None;
    }
    let spans = |face: &Face| -> Vec<[f64; 2]> {
        let sheet = Sheet::new(face);
        let parts = sheet.trace(&wholes[0]).into_iter().flat_map(|t| sheet.clip(&t));
        let ends = parts.map(|part| sheet.lifted(&part)).map(|run| [run.from, run.to]);
        ends.map(|ends| ends.map(|p| (p - point).dot(&along))).collect()
    };
    let (ours, theirs) = (spans(a), spans(b));
    let pairs = ours.iter().flat_map(|s| theirs.iter().map(move |t| (s, t)));
    let both = pairs.map(|(s, t)| {
        let (low, high) = (s[0].min(s[1]).max(t[0].min(t[1])), s[0].max(s[1]).min(t[0].max(t[1])));
        (high - low, point + along * ((low + high) / 2.0))
    });
    let mut long = both.filter(|(length, _)| *length > 10.0 * EPSILON);
    long.find(|&(_, p)| lies_within(a, p) && lies_within(b, p)).map(|(_, p)| p)
}

/// Whether a point lies on a face, clear of its border.
fn lies_within(face: &Face, p: Point3) -> bool {
    face.surface.distance(p).abs() < 10.0 * EPSILON
        && within_turns(face, face.surface.parameters(p))
            .any(|q| face.holds(q) && face.border_distance(q) > 10.0 * EPSILON)
}
