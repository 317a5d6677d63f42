//! From request to STL bytes in memory: the plate of the demo job, and one of nineteen equal cables;
//! and to the refusal of cables that do not fit.

use criterion::{Criterion, criterion_group, criterion_main};
use fixwright::job::{Order, Shared};
use fixwright::output::{Format, draft};
use fixwright::parts::plate::Plate;
use fixwright::parts::plate::spec::Anchors;
use std::hint::black_box;

fn order(part: Plate) -> Order {
    Order { kind: "plate", shared: Shared::default(), part: Box::new(part), asked: vec![] }
}

fn plate(hole: &str, cables: &[&str]) -> Plate {
    Plate {
        hole: hole.parse().ok(),
        cable: cables.iter().filter_map(|c| c.parse().ok()).collect(),
        ..Plate::default()
    }
}

fn plates(criterion: &mut Criterion) {
    let mut bench = |name: &str, part: Plate| {
        let order = order(part);
        criterion.bench_function(name, |bencher| {
            bencher.iter(|| black_box(draft(&order, &[Format::Stl])).map(|made| made.files.len()));
        });
    };
    bench(
        "control box, six cables in halves, request to STL bytes",
        plate(
            "80",
            &[
                "8.2:mains:plug=CEE 7/7:label=supply",
                "9.6:motor:label=spindle motor",
                "5.6:signal:plug=M12-field:label=encoder",
                "5.6x2:signal:label=limit switch",
                "4.4:signal:label=foot switch",
            ],
        ),
    );
    bench("thirty cables where nine find room, request to refusal", plate("60", &["8x30"]));
    // At 1.10 times the least circle known to hold nineteen.
    let container = 1.10 * 4.863_703 * (8.6 + 2.0) / 2.0;
    bench(
        "nineteen cables close packed, request to STL bytes",
        Plate { anchors: Anchors::Off, ..plate(&format!("{:.4}", 2.0 * (container + 2.25)), &["8x19"]) },
    );
}

criterion_group!(benches, plates);
criterion_main!(benches);
