//! From request to STL bytes in memory for a foot bracket, beside the same body by a mesh library's
//! booleans at the same chord tolerance, and the triangles each takes.

use criterion::{Criterion, criterion_group, criterion_main};
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, draft};
use fixwright::parts::bracket::Bracket;
use fixwright::units::Length;
use manifold_rust::linalg::Vec3;
use manifold_rust::manifold::Manifold;
use std::f64::consts::PI;
use std::hint::black_box;

const CHORD: f64 = 0.01;

fn order() -> Order {
    let part = Bracket {
        pulleys: vec![36, 24],
        near: Length::from_mm(100.0).ok(),
        no_vents: true,
        ..Bracket::default()
    };
    Order { kind: "bracket", shared: Shared::default(), part: Box::new(part), asked: vec![] }
}

/// Sizes of the foot the order asks for, by the report's names.
fn sizes() -> impl Fn(&str) -> f64 {
    let made = draft(&order(), &[Format::Stl]).expect("the bench's own request is sound");
    move |key| made.design.size(key).expect("a dimension the report has")
}

/// Rounding of the outer corners, and the chamfer of the rims on the bed, mm.
const CORNER: f64 = 4.0;
const CHAMFER: f64 = 0.4;

/// Points of a rectangle from (-half, 0) to (half, height) whose two upper corners are rounded, drawn in
/// by `inset`.
fn outline(half: f64, height: f64, inset: f64) -> Vec<(f64, f64)> {
    let steps = (PI / 2.0 / (2.0 * (1.0 - CHORD / CORNER).acos())).ceil() as i32;
    let mut points = vec![(-half + inset, inset), (half - inset, inset)];
    for side in [1.0, -1.0] {
        points.extend((0..=steps).map(|k| {
            let angle = PI / 2.0 * f64::from(k) / f64::from(steps);
            let radius = CORNER - inset;
            (side * (half - CORNER + radius * angle.cos()), height - CORNER + radius * angle.sin())
        }));
    }
    points
}

/// The same foot by hulls, boxes, cylinders and wedges: x along the slide, y up, z away from the belt.
fn by_booleans(v: &impl Fn(&str) -> f64) -> Manifold {
    let (w, t, tb, tg) = (v("width"), v("upright_thickness"), v("base_thickness"), v("gusset_thickness"));
    let (d, h, axis) = (v("depth"), v("height"), v("axis_height"));
    let cuboid = |x: (f64, f64), y: (f64, f64), z: (f64, f64)| {
        Manifold::cube(Vec3::new(x.1 - x.0, y.1 - y.0, z.1 - z.0), false).translate(Vec3::new(x.0, y.0, z.0))
    };
    let segments = |r: f64| (PI / (1.0 - CHORD / r).acos()).ceil() as i32;
    let through = |x: f64, y: f64, r: f64| {
        let n = segments(r + CHAMFER);
        let wide = r + CHAMFER + 0.01;
        Manifold::cylinder(t + 2.0, r, r, n)
            .translate(Vec3::new(x, y, -1.0))
            .union(&Manifold::cylinder(CHAMFER + 0.01, wide, r, n).translate(Vec3::new(x, y, -0.01)))
    };
    let up = |x: f64, z: f64, r: f64| {
        Manifold::cylinder(tb + 2.0, r, r, segments(r))
            .rotate(-90.0, 0.0, 0.0)
            .translate(Vec3::new(x, -1.0, z))
    };
    let half = (-w / 2.0, w / 2.0);
    let layer =
        |z: f64, inset: f64| outline(w / 2.0, h, inset).into_iter().map(move |(x, y)| Vec3::new(x, y, z));
    let upright: Vec<Vec3> = layer(0.0, CHAMFER).chain(layer(CHAMFER, 0.0)).chain(layer(t, 0.0)).collect();
    let base: Vec<Vec3> = [0.0, tb]
        .into_iter()
        .flat_map(|y| {
            outline(w / 2.0, d - t / 2.0, 0.0).into_iter().map(move |(x, z)| Vec3::new(x, y, t / 2.0 + z))
        })
        .collect();
    let mut solid = Manifold::hull(&upright).union(&Manifold::hull(&base));
    let (reach, top, toe) = (d - 4.0, axis.min(h - 4.0), 4.0);
    for x in [half.0, half.1 - tg] {
        let block = cuboid((x, x + tg), (tb - 0.5, top), (t - 0.5, reach));
        let lean = (reach - t - toe).atan2(top - tb - toe).to_degrees();
        let slope = Manifold::cube(Vec3::new(tg + 2.0, 500.0, 500.0), false)
            .translate(Vec3::new(-1.0, -250.0, 0.0))
            .rotate(-lean, 0.0, 0.0)
            .translate(Vec3::new(x, tb + toe, reach));
        solid = solid.union(&block.difference(&slope));
    }
    solid = solid.difference(&through(0.0, axis, v("register_bore") / 2.0));
    for k in 0..3 {
        let angle = 2.0 * PI * f64::from(k) / 3.0;
        let r = v("bolt_circle") / 2.0;
        solid = solid.difference(&through(r * angle.cos(), axis + r * angle.sin(), v("bolt_hole") / 2.0));
    }
    // Two slots for the screws; two for a cable tie, across the way it runs, and the groove between them.
    let (x, z, r) = (v("screw_spacing") / 2.0, v("screw_row"), v("slot_width") / 2.0);
    let long = v("slot_length") / 2.0;
    let (tie_x, tie_z, tie_r, tie_long) = (3.7, d - 5.3, 1.2, 1.1);
    for side in [-1.0, 1.0] {
        let (x, tie_x) = (side * x, side * tie_x);
        let screw = cuboid((x - long, x + long), (-1.0, tb + 1.0), (z - r, z + r))
            .union(&up(x - long, z, r))
            .union(&up(x + long, z, r));
        let along = (tie_z - tie_long, tie_z + tie_long);
        let tie = cuboid((tie_x - tie_r, tie_x + tie_r), (-1.0, tb + 1.0), along)
            .union(&up(tie_x, along.0, tie_r))
            .union(&up(tie_x, along.1, tie_r));
        solid = solid.difference(&screw).difference(&tie);
    }
    solid = solid.difference(&cuboid((-5.6, 5.6), (-1.0, 1.6), (tie_z - 3.0, tie_z + 3.0)));
    solid
}

fn brackets(criterion: &mut Criterion) {
    criterion.bench_function("foot bracket, request to STL bytes", |bencher| {
        let order = order();
        bencher.iter(|| black_box(draft(&order, &[Format::Stl])).map(|made| made.files.len()));
    });
    let v = sizes();
    criterion.bench_function("the same foot by a mesh library's booleans", |bencher| {
        bencher.iter(|| black_box(by_booleans(&v)).num_tri());
    });
    let made = draft(&order(), &[Format::Stl]).expect("the bench's own request is sound");
    let (ours, theirs) = (&made.design.pieces[0].mesh, by_booleans(&v));
    println!(
        "triangles: ours {}, by booleans {}; volume: ours {:.1}, by booleans {:.1} mm³",
        ours.triangles.len(),
        theirs.num_tri(),
        ours.volume(),
        theirs.volume()
    );
    let off = theirs.volume() / ours.volume() - 1.0;
    assert!(off.abs() < 2e-3, "not the same foot: {off}");
}

criterion_group!(benches, brackets);
criterion_main!(benches);
