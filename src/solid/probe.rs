//! Straight probes through a closed mesh: where they go in and out, and so how thick the walls are.

use super::{Mesh, Point3, Vector3};

/// Distances along the ray from `origin` in `direction` (unit length) at which it crosses the mesh,
/// ascending. A ray that runs through an edge or corner may count it twice or not at all: aim beside.
pub fn crossings(mesh: &Mesh, origin: Point3, direction: Vector3) -> Vec<f64> {
    let mut found: Vec<f64> = mesh
        .triangles
        .iter()
        .filter_map(|&triangle| hit(mesh.corners(triangle), origin, direction))
        .collect();
    found.sort_by(f64::total_cmp);
    found
}

/// Möller and Trumbore's ray and triangle (Journal of Graphics Tools 2, 1997).
fn hit([a, b, c]: [Point3; 3], origin: Point3, direction: Vector3) -> Option<f64> {
    let (ab, ac) = (b - a, c - a);
    let p = direction.cross(&ac);
    let determinant = ab.dot(&p);
    if determinant == 0.0 {
        return None;
    }
    let t = origin - a;
    let u = t.dot(&p) / determinant;
    if !(0.0..=1.0).contains(&u) {
        return None;
    }
    let q = t.cross(&ab);
    let v = direction.dot(&q) / determinant;
    if v < 0.0 || u + v > 1.0 {
        return None;
    }
    let distance = ac.dot(&q) / determinant;
    (distance > 0.0).then_some(distance)
}

/// The lengths of solid a ray goes through, in order, from pairs of crossings.
pub fn solid_lengths(crossings: &[f64]) -> Vec<f64> {
    crossings.chunks_exact(2).map(|pair| pair[1] - pair[0]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Body, Loop, Point2};

    fn tube() -> Mesh {
        let profile = Loop::rectangle(Point2::new(12.0, 10.0), 4.0, 20.0).unwrap();
        Body::revolve(&profile).unwrap().mesh(0.01).unwrap()
    }

    #[test]
    fn a_ray_across_a_tube_meets_each_wall_once_going_in_and_out() {
        let ray = Vector3::new(0.3_f64.cos(), 0.3_f64.sin(), 0.0);
        let found = crossings(&tube(), Point3::origin() - ray * 50.0 + Vector3::z() * 7.0, ray);
        let walls = solid_lengths(&found);
        assert_eq!(walls.len(), 2);
        assert!(walls.iter().all(|wall| (wall - 4.0).abs() < 0.02), "{walls:?}");
    }
}
