//! From request to STL bytes in memory: one sleeve, and one for every bearing in the table.

use criterion::{Criterion, criterion_group, criterion_main};
use fixwright::catalog::bearings;
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, draft, make};
use fixwright::parts::sleeve::Sleeve;
use rayon::prelude::*;
use std::hint::black_box;

fn order(bearing: &str) -> Order {
    let part = Sleeve { bearing: Some(bearing.to_string()), ..Sleeve::default() };
    Order { kind: "sleeve", shared: Shared::default(), part: Box::new(part), asked: vec![] }
}

fn sleeves(criterion: &mut Criterion) {
    criterion.bench_function("6204, request to STL bytes", |bencher| {
        let order = order("6204-2Z");
        bencher.iter(|| black_box(draft(&order, &[Format::Stl])).map(|made| made.files.len()));
    });
    criterion.bench_function("6204, judged, request to STL bytes", |bencher| {
        let order = order("6204-2Z");
        bencher.iter(|| black_box(make(&order, &[Format::Stl])).map(|made| made.files.len()));
    });
    let orders: Vec<Order> = bearings::all().map(|bearing| order(&bearing.designation)).collect();
    let mut group = criterion.benchmark_group("table");
    group.sample_size(10);
    group.bench_function(format!("{} bearings, request to STL bytes", orders.len()), |bencher| {
        bencher.iter(|| {
            orders
                .par_iter()
                .filter_map(|order| draft(order, &[Format::Stl]).ok())
                .map(|made| made.files.len())
                .sum::<usize>()
        });
    });
    group.finish();
}

criterion_group!(benches, sleeves);
criterion_main!(benches);
