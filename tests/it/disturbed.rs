//! Requests that somebody might make: sound ones with one to three answers disturbed, and what comes of them.

use crate::plausible::Kind;
use fixwright::design::Design;
use fixwright::error::{Error, Kind as Trouble};
use fixwright::output::report;
use fixwright::parts::KINDS;
use fixwright::workshop::Workshop;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use std::panic::{AssertUnwindSafe, catch_unwind};
use toml::{Table, Value};

/// Answers at most that are looked at for one that counts.
const TRIED: usize = 40;

pub fn draw<T: std::fmt::Debug>(runner: &mut TestRunner, strategy: impl Strategy<Value = T>) -> T {
    strategy.new_tree(runner).unwrap().current()
}

/// A factor on a number: mostly what a second reading might differ by, now and then what a slip makes of it.
fn factor() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => 0.85..1.2_f64,
        2 => 0.3..3.0_f64,
        1 => prop_oneof![Just(0.0), Just(-1.0), Just(25.4), Just(1e3), Just(1e-4), Just(1e12)],
    ]
}

/// A number of an answer times a factor; whole where it stays whole.
pub fn scaled(value: &Value, factor: f64) -> Value {
    match value {
        Value::Integer(whole) => {
            let scaled = *whole as f64 * factor;
            if factor == 1.0 || scaled.fract().abs() < 1e-9 {
                Value::Integer(scaled as i64)
            } else {
                Value::Float((scaled * 100.0).round() / 100.0)
            }
        }
        Value::Float(number) => Value::Float((number * factor * 100.0).round() / 100.0),
        other => other.clone(),
    }
}

/// Keys whose values are counts, or rows of a table.
pub const COUNTS: [&str; 10] =
    ["pulleys", "belt-teeth", "bolt-count", "gussets", "screws", "fan", "button", "tie", "width", "cord"];

/// A sound request with one to three answers disturbed.
pub fn disturbed(runner: &mut TestRunner, kind: &Kind) -> Table {
    let mut request: Table = draw(runner, prop::sample::select(kind.requests)).parse().unwrap();
    let changes = draw(runner, prop_oneof![5 => Just(1), 2 => Just(2), 1 => Just(3)]);
    for _ in 0..changes {
        let answer = answer_that_counts(runner, kind, &request);
        for (key, value) in answer {
            let factor = if COUNTS.contains(&key.as_str()) { 1.0 } else { draw(runner, factor()) };
            request.insert(key, scaled(&value, factor));
        }
    }
    request
}

/// An answer that something comes of beside the others, as nearly all are that a person would give.
fn answer_that_counts(runner: &mut TestRunner, kind: &Kind, request: &Table) -> Table {
    let from_table = KINDS.iter().find(|k| k.name == kind.name).unwrap().from_table;
    let mut answer = Table::new();
    for _ in 0..TRIED {
        answer = draw(runner, prop::sample::select(kind.answers)).parse().unwrap();
        let mut with = request.clone();
        with.extend(answer.clone());
        if draw(runner, 0..8) == 0 || from_table(with).is_ok_and(|part| part.refuse_unused().is_ok()) {
            break;
        }
    }
    answer
}

/// What came of a request.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Class {
    Solid,
    Stopped,
    Refused,
}

pub fn class(kind: &str, request: &Table) -> Result<Class, String> {
    let kind = KINDS.iter().find(|k| k.name == kind).unwrap();
    let designed = catch_unwind(AssertUnwindSafe(|| -> Result<Option<Design>, Error> {
        let Ok(part) = (kind.from_table)(request.clone()) else { return Ok(None) };
        part.refuse_unused()?;
        part.design(&Workshop::find("bed-220", "petg", 0.05)?, "wild").map(Some)
    }));
    match designed {
        Err(_) => Err("a panic".into()),
        Ok(Ok(None)) => Ok(Class::Refused),
        Ok(Err(error)) if error.kind == Trouble::Internal => Err(error.to_string()),
        Ok(Err(error)) if error.says.is_empty() || error.remedy.is_empty() => Err(format!("{error:?}")),
        Ok(Err(_)) => Ok(Class::Refused),
        Ok(Ok(Some(design))) => {
            let open: usize = design.pieces.iter().map(|piece| piece.mesh.open_edges()).sum();
            let sizes = design.sizes.iter().all(|size| size.value.is_finite());
            let says = report::json(&design, &[]).to_string();
            match open == 0 && sizes && !says.contains("NaN") && !design.pieces.is_empty() {
                true if design.findings.iter().any(|finding| finding.stops()) => Ok(Class::Stopped),
                true => Ok(Class::Solid),
                false => Err(format!("{open} open edges, sizes finite: {sizes}")),
            }
        }
    }
}
