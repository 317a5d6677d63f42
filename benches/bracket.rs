//! From request to STL bytes in memory for a foot bracket, beside the same body by a mesh library's
//! booleans at the same chord tolerance, and the triangles each takes.

use criterion::{Criterion, criterion_group, criterion_main};
use fixwright::job::units::Length;
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, make};
use fixwright::parts::bracket::Bracket;
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
    Order {
        kind: "bracket",
        shared: Shared::default(),
        part: Box::new(part),
    }
}

/// Sizes of the foot the order asks for, by the report's names.
fn sizes() -> impl Fn(&str) -> f64 {
    let made = make(&order(), &[Format::Stl]).expect("the bench's own request is sound");
    move |key| {
        made.design
            .dimension(key)
            .expect("a dimension the report has")
    }
}

/// The foot by boxes, cylinders and wedges.
fn by_booleans(v: &impl Fn(&str) -> f64) -> Manifold {
    let (w, t, tb, tg) = (
        v("width"),
        v("upright_thickness"),
        v("base_thickness"),
        v("gusset_thickness"),
    );
    let (d, h, axis) = (v("depth"), v("height"), v("axis_height"));
    let cuboid = |x: (f64, f64), y: (f64, f64), z: (f64, f64)| {
        Manifold::cube(Vec3::new(x.1 - x.0, y.1 - y.0, z.1 - z.0), false)
            .translate(Vec3::new(x.0, y.0, z.0))
    };
    let segments = |r: f64| (PI / (1.0 - CHORD / r).acos()).ceil() as i32;
    let through = |x: f64, y: f64, r: f64| {
        Manifold::cylinder(t + 2.0, r, r, segments(r)).translate(Vec3::new(x, y, -1.0))
    };
    let up = |x: f64, z: f64, r: f64| {
        Manifold::cylinder(tb + 2.0, r, r, segments(r))
            .rotate(-90.0, 0.0, 0.0)
            .translate(Vec3::new(x, -1.0, z))
    };
    let half = (-w / 2.0, w / 2.0);
    let mut solid = cuboid(half, (0.0, h), (0.0, t)).union(&cuboid(half, (0.0, tb), (0.0, d)));
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
        solid = solid.difference(&through(
            15.0 * angle.cos(),
            axis + 15.0 * angle.sin(),
            v("bolt_hole") / 2.0,
        ));
    }
    let (slot, r) = (v("slot_length"), v("slot_width") / 2.0);
    let (x, z) = (w / 2.0 - tg - 6.0 - slot / 2.0, t + 6.0);
    for x in [-x, x] {
        let middle = cuboid(
            (x - slot / 2.0, x + slot / 2.0),
            (-1.0, tb + 1.0),
            (z - r, z + r),
        );
        let ends = up(x - slot / 2.0, z, r).union(&up(x + slot / 2.0, z, r));
        solid = solid.difference(&middle.union(&ends));
    }
    solid
}

fn brackets(criterion: &mut Criterion) {
    criterion.bench_function("foot bracket, request to STL bytes", |bencher| {
        let order = order();
        bencher.iter(|| black_box(make(&order, &[Format::Stl])).map(|made| made.files.len()));
    });
    let v = sizes();
    criterion.bench_function("the same foot by a mesh library's booleans", |bencher| {
        bencher.iter(|| black_box(by_booleans(&v)).num_tri());
    });
    let made = make(&order(), &[Format::Stl]).expect("the bench's own request is sound");
    let ours = made.design.pieces[0].mesh.triangles.len();
    println!(
        "triangles: ours {ours}, by booleans {}",
        by_booleans(&v).num_tri()
    );
}

criterion_group!(benches, brackets);
criterion_main!(benches);
