//! What a part touches: its meshes against those of the bodies it works with.

use crate::checks::{Finding, Level};
use crate::design::{Design, Mating, Relation};
use crate::error::Result;
use crate::solid::{Bounds, Mesh, Point3, Vector3};
use truck_meshalgo::prelude::{Collision, Faces, IncludingPointInDomain, PolygonMesh, StandardAttributes};

/// Nearer than this counts as touching, mm: a tenth of what a printer resolves.
pub const REACH: f64 = 0.02;

/// Greatest distance between a round mating body and its triangles, mm.
const CHORD: f64 = 0.02;

/// How a body lies to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// A gap all round.
    Clear,
    /// They meet, and a small move apart frees them.
    Touching,
    /// They overlap.
    Overlapping,
}

/// How a body lies to a part made of these meshes.
pub fn lies(part: &[Mesh], body: &Mesh) -> Lies {
    let axes = [Vector3::x(), Vector3::y(), Vector3::z()].map(|axis| axis * REACH);
    let moved = axes.iter().flat_map(|axis| [*axis, -*axis]);
    let mut found = Lies::Clear;
    for piece in part {
        // Only what lies in both boxes can meet.
        let room = shared(&piece.bounds(), &body.bounds());
        let near = soup(piece, &room, Vector3::zeros());
        let beside = |by: Vector3| soup(body, &room, by);
        let cuts = |by: Vector3| near.collide_with(&beside(by)).is_some();
        let hits: Vec<bool> = moved.clone().map(cuts).collect();
        if hits.iter().any(|hit| *hit) {
            let freed = hits.chunks(2).any(|pair| pair[0] != pair[1]);
            if !freed && cuts(Vector3::zeros()) {
                return Lies::Overlapping;
            }
            found = Lies::Touching;
        } else if holds(piece, body) || holds(body, piece) {
            return Lies::Overlapping;
        }
    }
    found
}

/// Whether the first corner of `inner` lies within `outer`, of which no triangle cuts it.
fn holds(outer: &Mesh, inner: &Mesh) -> bool {
    let Some(p) = inner.points.first() else {
        return false;
    };
    let bounds = outer.bounds();
    let inside = (0..3).all(|i| bounds.least[i] <= p[i] && p[i] <= bounds.most[i]);
    let everywhere = grown(&bounds, 1.0);
    inside && soup(outer, &everywhere, Vector3::zeros()).inside([p.x, p.y, p.z].into())
}

/// What two boxes have in common, and a little more.
fn shared(a: &Bounds, b: &Bounds) -> Bounds {
    grown(&Bounds { least: a.least.sup(&b.least), most: a.most.inf(&b.most) }, 2.0 * REACH)
}

fn grown(bounds: &Bounds, by: f64) -> Bounds {
    let by = Vector3::repeat(by);
    Bounds { least: bounds.least - by, most: bounds.most + by }
}

/// The triangles of a mesh that reach into a box, moved, as the judge takes them.
fn soup(mesh: &Mesh, room: &Bounds, by: Vector3) -> PolygonMesh {
    let reaches = |corners: &[Point3; 3]| {
        (0..3).all(|i| {
            corners.iter().any(|p| p[i] >= room.least[i]) && corners.iter().any(|p| p[i] <= room.most[i])
        })
    };
    let corners = mesh.triangles.iter().map(|&triangle| mesh.corners(triangle)).filter(reaches);
    let positions: Vec<_> = corners
        .flatten()
        .map(|p| p + by)
        .map(|p| truck_meshalgo::prelude::Point3::new(p.x, p.y, p.z))
        .collect();
    let faces: Vec<[usize; 3]> = (0..positions.len() / 3).map(|k| [3 * k, 3 * k + 1, 3 * k + 2]).collect();
    PolygonMesh::new(StandardAttributes { positions, ..Default::default() }, Faces::from_iter(faces))
}

/// The pieces as they stand about the first one.
fn mounted(design: &Design) -> Vec<Mesh> {
    let at = |(k, piece): (usize, &crate::design::Piece)| {
        let place = if k == 0 { piece.place.or(Some(Vector3::zeros())) } else { piece.place }?;
        let mut mesh = piece.mesh.clone();
        mesh.points.iter_mut().for_each(|p| *p += place);
        Some(mesh)
    };
    design.pieces.iter().enumerate().filter_map(at).collect()
}

/// Whether a part touches the bodies it should, and only those; `None` where it works with none.
pub fn finding(design: &Design) -> Result<Option<Finding>> {
    let promised: Vec<&Mating> = design.mating.iter().filter(|m| m.relation != Relation::Beside).collect();
    if promised.is_empty() {
        return Ok(None);
    }
    let part = mounted(design);
    let mut wrong = Vec::new();
    for mating in &promised {
        let name = &mating.name;
        match (mating.relation, lies(&part, &mating.body.mesh(CHORD)?)) {
            (Relation::Touches, Lies::Clear) => wrong.push(format!("does not reach the {name}")),
            (Relation::Clear, Lies::Touching) => wrong.push(format!("touches the {name}")),
            (_, Lies::Overlapping) => wrong.push(format!("cuts into the {name}")),
            _ => {}
        }
    }
    let names = |relation: Relation| {
        let mut names: Vec<&str> =
            promised.iter().filter(|m| m.relation == relation).map(|m| m.name.as_str()).collect();
        names.dedup();
        if names.is_empty() { "nothing".to_string() } else { names.join(", ") }
    };
    let says = match wrong.is_empty() {
        true => format!(
            "Measured on the meshes by another library, the part touches {} and keeps clear of {}.",
            names(Relation::Touches),
            names(Relation::Clear)
        ),
        false => format!("Measured on the meshes by another library, the part {}.", wrong.join(", ")),
    };
    Ok(Some(Finding::at_most(
        "contact",
        (wrong.len() as f64, 0.0, ""),
        Level::Stop,
        says,
        "Do not print it: change the size nearest to that body, and ask again.",
        "truck-meshalgo's interference of meshes; contact counts from 0.02 mm",
    )))
}
