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
        // A foot that cannot narrow as it bends holds a little stiffer than a beam's.
        assert!((gives / bends - 0.98).abs() < 0.03, "{gives} of {bends}");
        let stress = force * height * side / 2.0 / second_moment;
        let peak = answer.peak(&load);
        // Never under the beam's, and not wildly over it.
        assert!((0.97..1.35).contains(&(peak.stress / stress)), "{} of {stress}", peak.stress);
        assert!(peak.at.z < 8.0, "{}", peak.at);
    }
}

#[test]
fn a_mass_on_a_post_swings_as_a_spring_s() {
    let (height, shear) = (60.0_f64, PRINT.modulus / 2.0 / (1.0 + PRINT.poisson));
    let answer = post(height, &Grid { layer: 0.05, ..Grid::FINE });
    let tip = |radius: f64| Mass {
        name: "tip",
        mass_g: 200.0,
        centre: Point3::new(0.0, 0.0, height),
        axis: Vector3::z(),
        radius,
        length: 0.0,
    };
    let second_moment = 12.0 * 8f64.powi(3) / 12.0;
    let bends = height.powi(3) / 3.0 / PRINT.modulus / second_moment + 1.2 * height / shear / 96.0;
    let by_hand = (1.0 / bends / 200e-6).sqrt() / std::f64::consts::TAU;
    // The softest way first; without mass of its own, and with a point at its tip.
    let modes = answer.modes(&PRINT, 0.0, &[tip(0.0)]);
    assert!((modes[0].frequency / by_hand - 1.0).abs() < 0.02, "{} of {by_hand}", modes[0].frequency);
    assert_eq!(modes[0].shape.iamax(), 1);
    assert!(modes.windows(2).all(|pair| pair[0].frequency <= pair[1].frequency));
    // A wide disc turns with the tip and swings lower; plastic of its own weighs too.
    let lowest = |density: f64, radius: f64| answer.modes(&PRINT, density, &[tip(radius)])[0].frequency;
    assert!(lowest(0.0, 60.0) < 0.9 * lowest(0.0, 0.0) && lowest(20.0, 0.0) < 0.95 * lowest(0.0, 0.0));
}

#[test]
fn a_post_alone_swings_as_a_beam_of_even_mass() {
    let answer = post(80.0, &Grid { layer: 0.05, ..Grid::FINE });
    // (1.875)²/2π·√(EI/mL⁴), less what shear and rotary inertia take from a short beam: about 2 %.
    let (second_moment, mass) = (12.0 * 8f64.powi(3) / 12.0, 96.0 * 1.27e-9);
    let slender = 1.875_f64.powi(2) / std::f64::consts::TAU
        * (PRINT.modulus * second_moment / mass / 80f64.powi(4)).sqrt();
    let found = answer.modes(&PRINT, 1.27, &[])[0].frequency;
    assert!((found / slender - 1.0).abs() < 0.04, "{found} of {slender}");
}

#[test]
fn a_load_acts_where_it_is_put() {
    let answer = post(60.0, &Grid::FINE);
    let load = answer.load(Vector3::new(0.0, 2.0, 0.0), Point3::new(3.0, 0.0, 70.0));
    assert_eq!(load, Six::new(0.0, 2.0, 0.0, -20.0, 0.0, 6.0));
    // A body gives along a load alone by as much as the load along it gives (Maxwell and Betti).
    let c = answer.compliance(&PRINT);
    assert!((c - c.transpose()).norm() < 1e-9 * c.norm());
}

/// A plate of 60 × 60 × 6 mm with a round opening, held over its left side, pulled at a disc on its right.
fn plate(opening: f64, thickness: f64) -> f64 {
    let outer = Loop::rectangle(Point2::origin(), 60.0, 60.0).unwrap();
    let holes = if opening > 0.0 { vec![Loop::circle(Point2::origin(), opening).unwrap()] } else { vec![] };
    let mesh = Body::prism(&Region::new(outer, holes).unwrap(), 0.0, thickness).unwrap().mesh(0.05).unwrap();
    let disc = |x: f64, y: f64, z: f64| Disc {
        centre: Point3::new(x, y, z),
        normal: Vector3::z() * if z > 0.0 { 1.0 } else { -1.0 },
        radius: 6.0,
        inner: 0.0,
    };
    let held = [-20.0, 20.0].map(|y| [disc(-22.0, y, 0.0), disc(-22.0, y, thickness)]).concat();
    let body = Rigid { at: Point3::new(22.0, 0.0, thickness), discs: vec![disc(22.0, 0.0, thickness)] };
    let part = Part { mesh: &mesh, poisson: 0.35, held: &held, body: &body };
    let gives = |grid: &Grid| part.solve(grid).unwrap().compliance(&PRINT)[(2, 2)];
    let (coarse, fine, finer) =
        (gives(&Grid::COARSE), gives(&Grid::FINE), gives(&Grid { size: 5.0, layer: 0.6, merge: 1.2 }));
    for (grid, error) in [(coarse, 0.1), (fine, 0.06)] {
        assert!((grid / finer - 1.0).abs() < error, "{coarse} {fine} {finer}");
    }
    fine
}

#[test]
fn openings_and_thinness_soften_a_plate_and_grids_agree() {
    let whole = plate(0.0, 6.0);
    let (opened, thin) = (plate(18.0, 6.0), plate(0.0, 4.1));
    assert!(opened > 1.2 * whole && opened < 3.0 * whole, "{whole} {opened}");
    // Bending goes with the cube of the thickness, and nearly all of it is bending.
    let cube = thin / whole / (6.0_f64 / 4.1).powi(3);
    assert!((0.85..1.02).contains(&cube), "{cube}");
}

#[test]
fn what_bears_on_nothing_is_an_error() {
    let mesh = block(12.0, 8.0, 60.0);
    let beside = Disc { centre: Point3::new(50.0, 0.0, 0.0), ..end(0.0, -1.0, 4.0) };
    let (foot, top) = (end(0.0, -1.0, 9.0), end(60.0, 1.0, 9.0));
    for (held, moved) in [(beside, top), (foot, beside)] {
        let body = Rigid { at: Point3::origin(), discs: vec![moved] };
        let part = Part { mesh: &mesh, poisson: 0.35, held: &[held], body: &body };
        assert!(part.solve(&Grid::COARSE).is_err());
    }
}
