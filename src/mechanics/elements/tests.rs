use super::*;
use crate::solid::{Body, Loop, Point2, Region};

const PRINT: Elastic = Elastic { modulus: 2000.0, poisson: 0.35 };

fn block(width: f64, depth: f64, height: f64) -> Mesh {
    let outer = Loop::rectangle(Point2::origin(), width, depth).unwrap();
    Body::prism(&Region::new(outer, vec![]).unwrap(), 0.0, height).unwrap().mesh(0.05).unwrap()
}

fn end(z: f64, up: f64, radius: f64) -> Disc {
    Disc { centre: Point3::new(0.0, 0.0, z), normal: Vector3::z() * up, radius, inner: 0.0 }
}

/// A post of 12 × 8 mm held over its foot and moved at its top.
fn post(height: f64, grid: &Grid) -> Answer {
    let mesh = block(12.0, 8.0, height);
    let held = [end(0.0, -1.0, 9.0)];
    let body = Rigid { at: Point3::new(0.0, 0.0, height), discs: vec![end(height, 1.0, 9.0)] };
    Part { mesh: &mesh, poisson: PRINT.poisson, held: &held, body: &body }.solve(grid).unwrap()
}

#[test]
fn a_post_bends_and_is_strained_as_a_cantilever() {
    let (height, force) = (60.0, 30.0);
    for (axis, side, other) in [(0, 12.0_f64, 8.0_f64), (1, 8.0, 12.0)] {
        let answer = post(height, &Grid { layer: 0.05, ..Grid::FINE });
        let mut load = Six::zeros();
        load[axis] = force;
        let second_moment = other * side.powi(3) / 12.0;
        let shear = PRINT.modulus / 2.0 / (1.0 + PRINT.poisson);
        // Bending and shear, the top free to turn.
        let bends = force * height.powi(3) / 3.0 / PRINT.modulus / second_moment
            + 1.2 * force * height / shear / (side * other);
        let gives = answer.moved(&PRINT, &load)[axis];
        assert!((gives / bends - 1.0).abs() < 0.03, "{gives} of {bends}");
        let stress = force * height * side / 2.0 / second_moment;
        let peak = answer.peak(&load);
        assert!((peak.stress / stress - 1.0).abs() < 0.1, "{} of {stress}", peak.stress);
        assert!(peak.at.z < 1e-6);
    }
}
