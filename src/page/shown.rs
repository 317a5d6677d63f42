//! Where sizes run and which surfaces a piece has, for the view to light and to measure between.

use crate::design::{Design, Extent, Size};
use crate::solid::surface::Kind;
use crate::solid::{Body, Frame, Point2, Point3, Vector3};
use serde_json::{Value, json};
use std::f64::consts::TAU;

/// Points of a circle that is shown.
const ROUND: usize = 48;
/// Of alike holes so many are lit.
const MOST: usize = 12;

/// The lines that show a size, by the piece they are on: each a row of points.
pub fn lines(design: &Design, size: &Size) -> Value {
    let on = |piece: &str| design.pieces.iter().position(|one| one.suffix == piece);
    let shown = size.shown.iter().filter_map(|shown| {
        let rows: Vec<Vec<[f64; 3]>> = rows(&shown.extent)
            .into_iter()
            .map(|row| row.into_iter().map(|p| [p.x, p.y, p.z]).collect())
            .collect();
        Some(json!({ "piece": on(&shown.piece)?, "rows": rows }))
    });
    shown.collect()
}

fn rows(extent: &Extent) -> Vec<Vec<Point3>> {
    match extent {
        Extent::Between { along, places } => {
            let across = |[from, to]: &[Point3; 2]| {
                let end = from + along * (to - from).dot(along);
                vec![*from, end, *to]
            };
            places.iter().take(1).map(across).collect()
        }
        Extent::Round { axis, radius, at, .. } => {
            at.iter().take(MOST).map(|centre| circle(*centre, *axis, *radius)).collect()
        }
        Extent::Pitch { axis, centre, radius, .. } => vec![circle(*centre, *axis, *radius)],
    }
}

fn circle(centre: Point3, axis: Vector3, radius: f64) -> Vec<Point3> {
    let frame = Frame::along(centre, axis);
    let at = |k: usize| {
        let angle = TAU * k as f64 / ROUND as f64;
        frame.point(Point2::new(radius * angle.cos(), radius * angle.sin()))
    };
    (0..=ROUND).map(at).collect()
}

/// The surfaces of a body's faces, each once.
pub fn faces(body: &Body) -> Value {
    let mut seen = Vec::new();
    for face in body.faces() {
        if !seen.contains(&face.surface) {
            seen.push(face.surface);
        }
    }
    let told = seen.into_iter().map(|surface| {
        let (sort, sizes) = match surface.kind {
            Kind::Plane => ("plane", [0.0, 0.0]),
            Kind::Cylinder { radius } => ("cylinder", [radius, 0.0]),
            Kind::Cone { radius, slope } => ("cone", [radius, slope]),
            Kind::Torus { major, minor } => ("torus", [major, minor]),
        };
        let Frame { origin, z, .. } = surface.frame;
        json!({ "sort": sort, "origin": [origin.x, origin.y, origin.z], "axis": [z.x, z.y, z.z], "sizes": sizes })
    });
    told.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lines_that_show_a_size_are_as_long_as_it_is() {
        let (from, to) = (Point3::new(1.0, 2.0, 3.0), Point3::new(4.0, 9.0, 3.0));
        let row = &rows(&Extent::between(Vector3::x(), from, to))[0];
        assert!(((row[1] - row[0]).norm() - 3.0).abs() < 1e-12 && row[2] == to);
        let round = &rows(&Extent::diameter(Vector3::y(), 10.0, vec![from]))[0];
        assert!(round.iter().all(|p| ((p - from).norm() - 5.0).abs() < 1e-9 && (p.y - from.y).abs() < 1e-9));
        assert!((round[0] - round[ROUND]).norm() < 1e-9);
    }
}
