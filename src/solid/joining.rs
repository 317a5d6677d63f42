//! Bodies joined, cut from each other, and what two have in common.
//!
//! Each face of the one body is cut along the lines and circles in which it meets the faces of the
//! other (an arrangement in the face's own parameters), and each cell that comes of it is kept
//! or dropped by where it lies: inside the other body, outside it, or on its surface facing the
//! same or the opposite way. What is kept is merged where it lies on one surface, corners that are
//! no longer corners go, and the faces are sewn anew. Nothing is meshed and nothing approximated:
//! the planes, cylinders and cones of the result are those of the two bodies.
//!
//! Faces that would meet in a curve that is no line or circle make the whole step fail, with an
//! error that says where; so does a result that is not closed.

use super::arrangement::{merge, point_inside, straightened};
use super::body::{Curve, Face, Points, curve};
use super::meeting::{Meeting, cross_askew, hits, meeting, within_turns};
use super::piece::{Piece, turn};
use super::sheet::{Sheet, scaled};
use super::surface::{Kind, Surface};
use super::touching;
use super::{Body, Bounds, EPSILON, Loop, Point2, Point3, Region, Vector2, Vector3};
use crate::error::{Error, Result};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Join,
    Cut,
    Common,
}

impl Body {
    /// Everything that is in either body. Fails where they meet askew (in no line or circle) or
    /// touch along a mere line.
    pub fn join(&self, other: &Body) -> Result<Body> {
        combine(self, other, Step::Join)
    }

    /// This body without what is in `other`. Fails as [`Body::join`], and where nothing is left.
    pub fn cut(&self, other: &Body) -> Result<Body> {
        combine(self, other, Step::Cut)
    }

    /// What is in both bodies. Fails as [`Body::join`], and where that is nothing.
    pub fn common(&self, other: &Body) -> Result<Body> {
        combine(self, other, Step::Common)
    }

    /// Whether a point lies inside. A point on the surface may go either way.
    pub fn contains(&self, p: Point3) -> bool {
        locate(&self.faces, p).unwrap_or(false)
    }
}

/// A region kept, with where it comes from.
struct Kept {
    surface: Surface,
    inward: bool,
    region: Region,
    source: (usize, usize),
    scale: Vector2,
}

fn combine(a: &Body, b: &Body, step: Step) -> Result<Body> {
    let boxes = [b.bounds(), a.bounds()];
    // Faces clear of the other body's box lie outside it and stay as they are, or go.
    let mut untouched = Vec::new();
    let mut sheets: [Vec<(usize, Sheet)>; 2] = [Vec::new(), Vec::new()];
    for (side, body) in [a, b].into_iter().enumerate() {
        for (index, face) in body.faces.iter().enumerate() {
            if boxes[side].touches(&face.bounds) {
                sheets[side].push((index, Sheet::new(face)));
            } else if outside_stays(side, step) {
                untouched.push((face.surface, face.inward, face.region.clone()));
            }
        }
    }
    let [mut first, mut second] = sheets;
    cut_each_other(&mut first, &mut second)?;
    let mut kept = Vec::new();
    for (side, ours, theirs, faces) in [(0, &first, &second, &b.faces), (1, &second, &first, &a.faces)] {
        for (index, sheet) in ours {
            for cell in sheet.cells() {
                let Some(turned) = stays(side, step, place(sheet, &cell, theirs, faces)?) else {
                    continue;
                };
                kept.push(Kept {
                    surface: *sheet.surface(),
                    inward: sheet.face.inward != turned,
                    region: cell,
                    source: (side, *index),
                    scale: sheet.scale,
                });
            }
        }
    }
    if kept.is_empty() && untouched.is_empty() {
        return Err(Error::geometry(
            "Nothing is left of the solid after a step of its making.",
            "Check the dimensions: one shape swallows the other, or they do not meet.",
        ));
    }
    let kept = merged(kept);
    let fresh = kept.len();
    let body = touching::refuse(sewn(kept, untouched)?, fresh)?;
    check_volume(a, b, step, body)
}

/// Whether what lies outside the other body is kept.
fn outside_stays(side: usize, step: Step) -> bool {
    matches!((side, step), (_, Step::Join) | (0, Step::Cut))
}

/// Where a cell lies to the other body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Inside,
    Outside,
    /// On its surface, both facing the same way.
    Same,
    /// On its surface, facing each other.
    Opposite,
}

/// Whether a cell is kept, and if so whether it is turned inside out.
fn stays(side: usize, step: Step, place: Place) -> Option<bool> {
    let kept = matches!(
        (step, side, place),
        (Step::Join, _, Place::Outside)
            | (Step::Common, _, Place::Inside)
            | (Step::Join | Step::Common, 0, Place::Same)
            | (Step::Cut, 0, Place::Outside | Place::Opposite)
            | (Step::Cut, 1, Place::Inside)
    );
    kept.then_some(step == Step::Cut && side == 1)
}

fn cut_each_other(first: &mut [(usize, Sheet)], second: &mut [(usize, Sheet)]) -> Result<()> {
    for (_, a) in first.iter_mut() {
        for (_, b) in second.iter_mut().filter(|(_, b)| b.face.bounds.touches(&a.face.bounds)) {
            let (for_a, for_b) = match meeting(a.surface(), b.surface()) {
                Meeting::Same => {
                    let borders = |of: &Sheet, on: &Sheet| {
                        of.pieces.iter().map(|p| of.lifted(p)).flat_map(|run| on.laid(&run)).collect()
                    };
                    (borders(b, a), borders(a, b))
                }
                Meeting::Along(wholes) => {
                    let parts = |of: &Sheet, on: &Sheet| -> Vec<Piece> {
                        let traces = wholes.iter().flat_map(|w| of.trace(w));
                        let clipped = traces.flat_map(|t| of.clip(&t));
                        clipped.flat_map(|part| on.laid(&of.lifted(&part))).collect()
                    };
                    (parts(b, a), parts(a, b))
                }
                Meeting::Askew if cross_askew(a.face, b.face) => {
                    let at = a.face.bounds.centre();
                    return Err(Error::geometry(
                        format!(
                            "A round face near ({:.1}, {:.1}, {:.1}) mm meets another face askew, in a curve that is no line or circle.",
                            at.x, at.y, at.z
                        ),
                        "Move the two shapes apart, or make the one where they meet flat and square to the other.",
                    ));
                }
                Meeting::Askew => continue,
            };
            a.cuts.extend::<Vec<Piece>>(for_a);
            b.cuts.extend::<Vec<Piece>>(for_b);
        }
    }
    Ok(())
}

fn place(sheet: &Sheet, cell: &Region, others: &[(usize, Sheet)], faces: &[Face]) -> Result<Place> {
    let lost =
        || Error::internal("A piece of a face is too thin to tell which side of the other body it lies on.");
    // A point may happen to lie where the other body grazes this face; another will not.
    let cell = scaled(cell, sheet.scale);
    [0.5, 0.37, 0.71, 0.44]
        .into_iter()
        .find_map(|share| place_of(sheet, point_inside(&cell, share)?, others, faces))
        .ok_or_else(lost)
}

/// Where a point of a sheet, in its millimetres, lies to the other body.
fn place_of(sheet: &Sheet, p: Point2, others: &[(usize, Sheet)], faces: &[Face]) -> Option<Place> {
    let p = sheet.surface().point(sheet.back(p));
    let on = others.iter().map(|(_, s)| s.face).find(|face| {
        let same = face.surface.same(sheet.surface());
        same && within_turns(face, face.surface.parameters(p)).any(|q| face.holds(q))
    });
    Some(match on {
        Some(face) if face.inward == sheet.face.inward => Place::Same,
        Some(_) => Place::Opposite,
        None if locate(faces, p)? => Place::Inside,
        None => Place::Outside,
    })
}

/// Whether `p` lies inside the solid these faces close: by how often a ray crosses them. Rays that
/// come near an edge or graze a face are given up for another.
pub(crate) fn locate(faces: &[Face], p: Point3) -> Option<bool> {
    // No face this program makes lies along any of these.
    const RAYS: [[f64; 3]; 8] = [
        [0.577_31, 0.611_7, 0.541_1],
        [-0.613_9, 0.331_7, 0.716_3],
        [0.289_7, -0.781_9, -0.551_9],
        [-0.433_1, -0.518_7, 0.737_1],
        [0.817_3, -0.209_3, 0.536_9],
        [0.137_9, 0.901_7, -0.409_7],
        [-0.709_1, 0.677_3, -0.196_3],
        [0.353_9, 0.187_3, 0.916_1],
    ];
    RAYS.iter().find_map(|d| crossings(faces, p, Vector3::from(*d))).map(|count| count % 2 == 1)
}

fn crossings(faces: &[Face], p: Point3, along: Vector3) -> Option<usize> {
    let mut count = 0;
    for face in faces.iter().filter(|face| ray_meets_box(&face.bounds, p, along)) {
        for (t, grazes) in hits(&face.surface, p, along) {
            if t < -EPSILON {
                continue;
            }
            let q = face.surface.parameters(p + along * t);
            let inside = within_turns(face, q).any(|q| face.holds(q));
            let near = within_turns(face, q).any(|q| face.border_distance(q) < 1e-5);
            if near || (inside && (grazes || t < EPSILON)) {
                return None;
            }
            count += usize::from(inside);
        }
    }
    Some(count)
}

fn ray_meets_box(bounds: &Bounds, p: Point3, along: Vector3) -> bool {
    let (mut enters, mut leaves) = (-EPSILON, f64::INFINITY);
    for i in 0..3 {
        let (a, b) =
            ((bounds.least[i] - EPSILON - p[i]) / along[i], (bounds.most[i] + EPSILON - p[i]) / along[i]);
        enters = f64::max(enters, a.min(b));
        leaves = f64::min(leaves, a.max(b));
    }
    enters <= leaves
}

/// One region for all that lie on one plane and border each other, and for all cells of one round
/// face.
fn merged(kept: Vec<Kept>) -> Vec<(Surface, bool, Region)> {
    let mut groups: Vec<Vec<Kept>> = Vec::new();
    for one in kept {
        let fits = |group: &Vec<Kept>| {
            let other = &group[0];
            let flat = matches!(one.surface.kind, Kind::Plane) && one.surface.same(&other.surface);
            one.inward == other.inward && (flat || one.source == other.source)
        };
        match groups.iter_mut().find(|g| fits(g)) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    groups.into_iter().flat_map(merge_group).collect()
}

fn merge_group(group: Vec<Kept>) -> Vec<(Surface, bool, Region)> {
    let (surface, inward, scale) = (group[0].surface, group[0].inward, group[0].scale);
    let back = Vector2::new(1.0 / scale.x, 1.0 / scale.y);
    let regions: Vec<Region> = match group.len() {
        1 => vec![straightened(&group[0].region)],
        _ => {
            let regions: Vec<Region> = group.iter().map(|k| scaled(&k.region, scale)).collect();
            merge(&regions).iter().map(|r| scaled(r, back)).collect()
        }
    };
    regions.into_iter().map(|region| (surface, inward, region)).collect()
}

/// Sews faces whose corners may lie in the middle of each other's sides, and untouched ones whose
/// corners no new side ends at.
fn sewn(faces: Vec<(Surface, bool, Region)>, untouched: Vec<(Surface, bool, Region)>) -> Result<Body> {
    let mut points = Points::default();
    for (surface, _, region) in faces.iter().chain(&untouched) {
        for piece in region.loops().flat_map(Loop::pieces) {
            points.find(surface.point(piece.from));
        }
    }
    let mut corners = points.all;
    corners.sort_by(|a, b| a.x.total_cmp(&b.x));
    let split = |surface: &Surface, outline: &Loop| {
        Loop::from_pieces(
            &outline.pieces().iter().flat_map(|piece| split_at(surface, piece, &corners)).collect::<Vec<_>>(),
        )
    };
    let faces = faces
        .into_iter()
        .map(|(surface, inward, region)| {
            let holes = region.holes.iter().map(|h| split(&surface, h)).collect();
            (surface, inward, Region { outer: split(&surface, &region.outer), holes })
        })
        .chain(untouched)
        .collect();
    Body::from_faces(faces).map_err(|e| {
        Error::geometry(
            e.says.replace("A solid would be left open", "Two shapes do not join cleanly"),
            "Move one of them by a tenth of a millimetre, so that they overlap or part clearly.",
        )
    })
}

/// A side cut at every corner of another face that lies on it.
fn split_at(surface: &Surface, piece: &Piece, corners: &[Point3]) -> Vec<Piece> {
    let (from, to) = (surface.point(piece.from), surface.point(piece.to));
    let line = curve(surface, piece);
    let (low, high) = match line {
        Curve::Line => (from.x.min(to.x), from.x.max(to.x)),
        Curve::Arc { frame, radius, .. } => (frame.origin.x - radius, frame.origin.x + radius),
    };
    let first = corners.partition_point(|p| p.x < low - EPSILON);
    let mut cuts: Vec<f64> = corners[first..]
        .iter()
        .take_while(|p| p.x <= high + EPSILON)
        .filter(|p| (*p - from).norm() >= EPSILON && (*p - to).norm() >= EPSILON)
        .filter_map(|p| share_in_space(&line, from, to, *p))
        .collect();
    if cuts.is_empty() {
        return vec![*piece];
    }
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
    let stops: Vec<(f64, Point2)> = std::iter::once((0.0, piece.from))
        .chain(cuts.into_iter().map(|t| (t, piece.at(t))))
        .chain([(1.0, piece.to)])
        .collect();
    stops.windows(2).map(|w| piece.part(w[0], w[1])).collect()
}

fn share_in_space(line: &Curve, from: Point3, to: Point3, p: Point3) -> Option<f64> {
    match *line {
        Curve::Line => {
            let d = to - from;
            let t = (p - from).dot(&d) / d.norm_squared();
            (t > 0.0 && t < 1.0 && (from + d * t - p).norm() < EPSILON).then_some(t)
        }
        Curve::Arc { frame, radius, sweep } => {
            let foot = frame.project(p);
            let on = frame.height(p).abs() < EPSILON && (foot.coords.norm() - radius).abs() < EPSILON;
            let angle = turn(foot.y.atan2(foot.x));
            (on && angle < sweep).then_some(angle / sweep)
        }
    }
}

/// The result can be no larger and no smaller than its two parts allow.
fn check_volume(a: &Body, b: &Body, step: Step, body: Body) -> Result<Body> {
    let (a, b, made) = (a.volume(), b.volume(), body.volume());
    let slack = 1e-9 * (a + b);
    let sound = match step {
        Step::Join => made > a.max(b) - slack && made < a + b + slack,
        Step::Cut => made > a - b - slack && made < a + slack,
        Step::Common => made > 0.0 && made < a.min(b) + slack,
    };
    if sound {
        return Ok(body);
    }
    Err(Error::internal(format!(
        "A step of the solid's making gave {made:.3} mm³ from {a:.3} and {b:.3} mm³."
    )))
}
