//! Finite cells of a foot bracket on the coarse grid and the fine one, and of a cable plate's post.

use criterion::{Criterion, criterion_group, criterion_main};
use fixwright::design::Part as _;
use fixwright::mechanics::elements::{Disc, Grid, Part, Rigid};
use fixwright::parts::bracket::Bracket;
use fixwright::solid::{Body, Loop, Mesh, Point2, Point3, Region, Vector3};
use fixwright::units::Length;
use fixwright::workshop::Workshop;
use std::hint::black_box;

/// A foot's mesh in the print's coordinates, and what of it is held and moved, as its report says.
fn foot() -> (Mesh, Vec<Disc>, Rigid) {
    let workshop = Workshop::find("bed-220", "petg", 0.05).expect("a printer and a material that are there");
    let asked = Bracket { pulleys: vec![36, 24], near: Length::from_mm(100.0).ok(), ..Bracket::default() };
    let design = asked.design(&workshop, "bench").expect("the bench's own request is sound");
    let report = &design.lists["stiffness"];
    let point = |value: &serde_json::Value| {
        Point3::from([0, 1, 2].map(|k| value[k].as_f64().expect("three numbers")))
    };
    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    let held = report["held"].as_array().expect("a list").iter().flat_map(|held| {
        let (from, to) = (point(&held["from"]), point(&held["to"]));
        let up = (to - from).normalize();
        let disc = |centre, normal| Disc { centre, normal, radius: number(&held["radius"]), inner: 2.85 };
        [disc(from, -up), disc(to, up)]
    });
    let seat = &report["seat"];
    let normal = point(&seat["outward"]).coords;
    let disc = Disc { centre: point(&seat["centre"]), normal, radius: number(&seat["radius"]), inner: 0.0 };
    (design.pieces[0].mesh.clone(), held.collect(), Rigid { at: disc.centre, discs: vec![disc] })
}

/// A post of 12 × 8 mm and 60 mm, held over its foot and pulled at its top.
fn post() -> (Mesh, Vec<Disc>, Rigid) {
    let outer = Loop::rectangle(Point2::origin(), 12.0, 8.0).expect("a rectangle");
    let region = Region::new(outer, vec![]).expect("a region");
    let mesh = Body::prism(&region, 0.0, 60.0).and_then(|body| body.mesh(0.05)).expect("a post");
    let end = |z: f64, up: f64| Disc {
        centre: Point3::new(0.0, 0.0, z),
        normal: Vector3::z() * up,
        radius: 9.0,
        inner: 0.0,
    };
    (mesh, vec![end(0.0, -1.0)], Rigid { at: Point3::new(0.0, 0.0, 60.0), discs: vec![end(60.0, 1.0)] })
}

fn cells(criterion: &mut Criterion) {
    for (name, (mesh, held, body)) in [("foot bracket", foot()), ("post", post())] {
        let part = Part { mesh: &mesh, poisson: 0.35, held: &held, body: &body };
        for (grid, size) in [("coarse", Grid::COARSE), ("fine", Grid::FINE)] {
            let counts = part.solve(&size).expect("a part that is held").counts;
            println!("{name}, {grid} cells: {} cells, {} unknowns", counts.0, counts.1);
            criterion.bench_function(&format!("{name}, {grid} cells"), |bencher| {
                bencher.iter(|| black_box(part.solve(&size)).map(|answer| answer.counts));
            });
        }
    }
}

criterion_group!(benches, cells);
criterion_main!(benches);
