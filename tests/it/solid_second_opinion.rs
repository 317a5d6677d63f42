//! What other kernels make of the same solids: meshes of boxes and cylinders under mesh booleans,
//! and another boundary representation that reads our STEP.

use crate::bodies::{block, cable_plate, foot_bracket, half_plates, p, rod};
use fixwright::error::Kind;
use fixwright::output::step::step;
use fixwright::solid::{Body, Loop};
use manifold_rust::linalg::Vec3;
use manifold_rust::manifold::Manifold;
use proptest::prelude::*;
use truck_meshalgo::prelude::*;
use truck_stepio::r#in::{Table, ruststep};

/// The volume of what another library reads from our STEP, by its own tessellation.
fn read_back(body: &Body, tolerance: f64) -> f64 {
    let text = String::from_utf8(step("part", &[("part", body)]).unwrap()).unwrap();
    let exchange = ruststep::parser::parse(&text).unwrap();
    let table = Table::from_data_section(&exchange.data[0]);
    let shells = table.shell.values().map(|shell| table.to_compressed_shell(shell).unwrap());
    shells.map(|shell| shell.robust_triangulation(tolerance).to_polygon().volume()).sum()
}

#[test]
fn another_boundary_representation_reads_the_same_volume_from_our_step() {
    let tube = [p(10.0, 0.0), p(20.0, 0.0), p(20.0, 30.0), p(14.0, 36.0), p(14.0, 60.0), p(10.0, 60.0)];
    let tube = Body::revolve(&Loop::polygon(&tube)).unwrap();
    let [upper, lower] = half_plates().unwrap();
    for (name, body) in [
        ("tube", tube),
        ("bracket", foot_bracket().unwrap()),
        ("plate", cable_plate().unwrap()),
        ("upper", upper),
        ("lower", lower),
    ] {
        let (ours, theirs) = (body.volume(), read_back(&body, 0.01));
        assert!((ours - theirs).abs() < 2e-3 * ours, "{name}: {ours} and {theirs}");
    }
}

#[test]
fn another_boundary_representation_sweeps_the_same_volume_round_the_same_profile() {
    use truck_modeling::{Point3, Rad, Solid, Vector3, Wire, builder};
    for corners in [
        vec![(10.0, 0.0), (20.0, 0.0), (20.0, 30.0), (10.0, 30.0)],
        vec![(4.0, 0.0), (12.0, 2.0), (9.0, 8.0), (9.0, 14.0), (5.0, 17.0)],
    ] {
        let profile: Vec<_> = corners.iter().map(|&(r, z)| p(r, z)).collect();
        let ours = Body::revolve(&Loop::polygon(&profile)).unwrap().volume();
        let vertices: Vec<_> =
            corners.iter().map(|&(r, z)| builder::vertex(Point3::new(r, 0.0, z))).collect();
        let sides =
            (0..vertices.len()).map(|i| builder::line(&vertices[i], &vertices[(i + 1) % vertices.len()]));
        let face = builder::try_attach_plane(&[sides.collect::<Wire>()]).unwrap();
        let solid: Solid = builder::rsweep(&face, Point3::origin(), Vector3::unit_z(), Rad(7.0));
        let theirs = solid.triangulation(0.002).to_polygon().volume().abs();
        assert!((ours - theirs).abs() < 2e-3 * ours, "{ours} and {theirs}");
    }
}

const SIDES: i32 = 360;

/// A box or an upright cylinder on a coarse grid, so that faces often coincide.
#[derive(Clone, Debug)]
enum Brick {
    Block([i8; 3], [i8; 3]),
    Rod([i8; 2], u8, [i8; 2]),
}

impl Brick {
    fn ours(&self) -> Body {
        match self {
            Brick::Block(at, size) => {
                let (low, high) =
                    ([0, 1, 2].map(|i| f64::from(at[i])), [0, 1, 2].map(|i| f64::from(at[i] + size[i])));
                block(low, high)
            }
            Brick::Rod(at, r, z) => rod(
                f64::from(at[0]),
                f64::from(at[1]),
                f64::from(*r),
                f64::from(z[0]),
                f64::from(z[0] + z[1]),
            ),
        }
    }

    fn theirs(&self) -> Manifold {
        let v = |x: i8, y: i8, z: i8| Vec3::new(f64::from(x), f64::from(y), f64::from(z));
        match self {
            Brick::Block(at, size) => {
                Manifold::cube(v(size[0], size[1], size[2]), false).translate(v(at[0], at[1], at[2]))
            }
            Brick::Rod(at, r, z) => Manifold::cylinder(f64::from(z[1]), f64::from(*r), f64::from(*r), SIDES)
                .translate(v(at[0], at[1], z[0])),
        }
    }
}

/// Whether a round wall of the one grazes a flat or round wall of the other, seen along the axis:
/// what is made of them would touch itself along a line.
fn grazes(a: &Brick, b: &Brick) -> bool {
    let whole = |n: [i8; 2]| n.map(i32::from);
    match (a, b) {
        (Brick::Block(..), Brick::Block(..)) => false,
        (Brick::Block(..), Brick::Rod(..)) => grazes(b, a),
        (Brick::Rod(at, r, _), Brick::Block(low, size)) => (0..2).any(|i| {
            let away = |wall: i8| (i32::from(at[i]) - i32::from(wall)).abs();
            [low[i], low[i] + size[i]].into_iter().any(|wall| away(wall) == i32::from(*r))
        }),
        (Brick::Rod(at, r, _), Brick::Rod(to, s, _)) => {
            let (a, b, r, s) = (whole(*at), whole(*to), i32::from(*r), i32::from(*s));
            let apart = (a[0] - b[0]).pow(2) + (a[1] - b[1]).pow(2);
            apart == (r + s).pow(2) || apart == (r - s).pow(2)
        }
    }
}

fn brick() -> impl Strategy<Value = Brick> {
    let at = || [-6i8..6, -6i8..6, -6i8..6];
    prop_oneof![
        (at(), [1i8..9, 1i8..9, 1i8..9]).prop_map(|(at, size)| Brick::Block(at, size)),
        ([-6i8..6, -6i8..6], 1u8..6, [-6i8..6, 1i8..9]).prop_map(|(at, r, z)| Brick::Rod(at, r, z)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// Boxes and cylinders, flush as often as not, joined and cut one after another: the volume is
    /// that of the mesh booleans, every mesh is closed, and what is refused is refused for touching.
    #[test]
    fn boxes_and_cylinders_come_out_as_mesh_booleans_have_them(first in brick(), more in prop::collection::vec((brick(), any::<bool>()), 1..5)) {
        let (mut ours, mut theirs) = (first.ours(), first.theirs());
        let bricks: Vec<&Brick> = std::iter::once(&first).chain(more.iter().map(|(b, _)| b)).collect();
        let graze = (0..bricks.len()).any(|i| bricks[..i].iter().any(|b| grazes(b, bricks[i])));
        for (brick, join) in &more {
            let other = brick.theirs();
            let made = if *join { ours.join(&brick.ours()) } else { ours.cut(&brick.ours()) };
            let next = if *join { theirs.union(&other) } else { theirs.difference(&other) };
            match made {
                Ok(body) => ours = body,
                Err(error) => {
                    prop_assert_eq!(error.kind, Kind::Geometry, "{}", error);
                    let nothing = error.says.contains("Nothing is left");
                    let touch = error.says.contains("touch along a line") || graze && error.says.contains("do not join cleanly");
                    prop_assert!(nothing || touch, "{}", error);
                    prop_assert!(!nothing || next.volume() < 0.05, "{}: {}", error, next.volume());
                    return Ok(());
                }
            }
            theirs = next;
            prop_assert!((ours.volume() - theirs.volume()).abs() < 0.2 + 1e-3 * ours.volume(), "{} and {}", ours.volume(), theirs.volume());
            let mesh = ours.mesh(0.02).map_err(|error| TestCaseError::fail(error.to_string()))?;
            prop_assert!((mesh.volume() - ours.volume()).abs() < 0.02 * ours.area());
        }
    }
}
