//! What other kernels make of the same solids: meshes of boxes and cylinders under mesh booleans,
//! and another boundary representation that reads our STEP.

mod examples;

use examples::{block, cable_plate, foot_bracket, half_plates, p, rod};
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
    let shells = table
        .shell
        .values()
        .map(|shell| table.to_compressed_shell(shell).unwrap());
    shells
        .map(|shell| shell.robust_triangulation(tolerance).to_polygon().volume())
        .sum()
}

#[test]
fn another_boundary_representation_reads_the_same_volume_from_our_step() {
    let tube = [
        p(10.0, 0.0),
        p(20.0, 0.0),
        p(20.0, 30.0),
        p(14.0, 36.0),
        p(14.0, 60.0),
        p(10.0, 60.0),
    ];
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
        assert!(
            (ours - theirs).abs() < 2e-3 * ours,
            "{name}: {ours} and {theirs}"
        );
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
                let (low, high) = (
                    [0, 1, 2].map(|i| f64::from(at[i])),
                    [0, 1, 2].map(|i| f64::from(at[i] + size[i])),
                );
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
            Brick::Block(at, size) => Manifold::cube(v(size[0], size[1], size[2]), false)
                .translate(v(at[0], at[1], at[2])),
            Brick::Rod(at, r, z) => {
                Manifold::cylinder(f64::from(z[1]), f64::from(*r), f64::from(*r), SIDES)
                    .translate(v(at[0], at[1], z[0]))
            }
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
        for (brick, join) in &more {
            let other = brick.theirs();
            let made = if *join { ours.join(&brick.ours()) } else { ours.cut(&brick.ours()) };
            let next = if *join { theirs.union(&other) } else { theirs.difference(&other) };
            match made {
                Ok(body) => ours = body,
                Err(error) => {
                    prop_assert_eq!(error.kind, Kind::Geometry, "{}", error);
                    let nothing = error.says.contains("Nothing is left");
                    prop_assert!(nothing || error.says.contains("touch along a line"), "{}", error);
                    prop_assert!(!nothing || next.volume() < 0.05, "{}: {}", error, next.volume());
                    return Ok(());
                }
            }
            theirs = next;
            prop_assert!((ours.volume() - theirs.volume()).abs() < 0.2 + 1e-3 * ours.volume(), "{} and {}", ours.volume(), theirs.volume());
            let mesh = ours.mesh(0.02).unwrap();
            prop_assert!((mesh.volume() - ours.volume()).abs() < 0.02 * ours.area());
        }
    }
}
