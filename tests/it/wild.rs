//! Wild requests: sound ones with one to three answers disturbed, and texts that nobody would write.
//!
//! Each comes to a closed solid or to an error that can be acted on; never to a panic, never to a fault of
//! the program's own. A few are tried with every run of the tests; `FIXWRIGHT_WILD=100000` tries as many.

use crate::plausible::{ALL, COUPON, GUARD, Kind};
use fixwright::design::Design;
use fixwright::error::{Error, Kind as Trouble};
use fixwright::job::Job;
use fixwright::output::report;
use fixwright::parts::KINDS;
use fixwright::text;
use fixwright::workshop::Workshop;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;
use std::panic::{AssertUnwindSafe, catch_unwind};
use toml::{Table, Value};

fn how_many(usual: usize) -> usize {
    std::env::var("FIXWRIGHT_WILD").ok().and_then(|count| count.parse().ok()).unwrap_or(usual)
}

/// The same run every time; another one for another count.
fn runner(count: usize) -> TestRunner {
    let mut seed = [7; 32];
    seed[..8].copy_from_slice(&count.to_le_bytes());
    TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &seed))
}

fn draw<T: std::fmt::Debug>(runner: &mut TestRunner, strategy: impl Strategy<Value = T>) -> T {
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

fn scaled(value: &Value, factor: f64) -> Value {
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
const COUNTS: [&str; 10] =
    ["pulleys", "belt-teeth", "bolt-count", "gussets", "screws", "fan", "button", "tie", "width", "cord"];

/// A sound request with one to three answers disturbed.
fn disturbed(runner: &mut TestRunner, kind: &Kind) -> Table {
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
    loop {
        let answer: Table = draw(runner, prop::sample::select(kind.answers)).parse().unwrap();
        let mut with = request.clone();
        with.extend(answer.clone());
        if draw(runner, 0..8) == 0 || from_table(with).is_ok_and(|part| part.refuse_unused().is_ok()) {
            return answer;
        }
    }
}

/// What came of a request.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Class {
    Solid,
    Stopped,
    Refused,
}

fn class(kind: &str, request: &Table) -> Result<Class, String> {
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

fn sound_or_refused(kind: &Kind, count: usize) {
    let mut runner = runner(count);
    let requests: Vec<Table> = (0..count).map(|_| disturbed(&mut runner, kind)).collect();
    let classes: Vec<Result<Class, String>> =
        requests.par_iter().map(|request| class(kind.name, request)).collect();
    let broken: Vec<String> = requests
        .iter()
        .zip(&classes)
        .filter_map(|(request, class)| Some(format!("{}: {request}", class.as_ref().err()?)))
        .collect();
    assert!(broken.is_empty(), "{} of {count}: {:#?}", broken.len(), &broken[..broken.len().min(20)]);
    let of = |wanted: Class| classes.iter().filter(|class| **class == Ok(wanted)).count();
    let (solid, stopped, refused) = (of(Class::Solid), of(Class::Stopped), of(Class::Refused));
    eprintln!(
        "{count} wild requests for a {}: {solid} solids, {stopped} solids that a check stops, {refused} refused",
        kind.name
    );
    assert!(
        2 * (solid + stopped) >= count,
        "most prove nothing of a {}: {refused} of {count} are refused",
        kind.name
    );
}

#[test]
fn a_sleeve_with_a_few_answers_disturbed_is_a_solid_or_refused() {
    sound_or_refused(&ALL[0], how_many(150));
}

#[test]
fn a_bracket_with_a_few_answers_disturbed_is_a_solid_or_refused() {
    sound_or_refused(&ALL[1], how_many(50));
}

#[test]
fn a_plate_with_a_few_answers_disturbed_is_a_solid_or_refused() {
    sound_or_refused(&ALL[2], how_many(50));
}

#[test]
fn the_other_kinds_with_a_few_answers_disturbed_are_solids_or_refused() {
    ALL[3..].iter().for_each(|kind| sound_or_refused(kind, how_many(40)));
}

#[test]
fn a_guard_with_a_few_answers_disturbed_is_a_solid_or_refused() {
    sound_or_refused(&GUARD, how_many(16));
}

#[test]
fn a_coupon_with_its_answer_disturbed_is_a_solid_or_refused() {
    sound_or_refused(&COUPON, how_many(24));
}

#[test]
fn a_job_file_with_a_few_letters_disturbed_is_read_or_refused_in_words_that_can_be_shown() {
    let mut runner = runner(how_many(2000));
    let jobs: Vec<Vec<char>> = fixwright::job::JOBS.iter().map(|(_, text)| text.chars().collect()).collect();
    let letters = prop_oneof![
        prop::sample::select("\"'[]{}=#,.\n \\0123456789xXabeE-+_:".chars().collect::<Vec<char>>()),
        any::<char>(),
        Just('\u{1b}'),
        Just('\u{202e}'),
    ];
    let (mut read, mut refused) = (0, 0);
    for _ in 0..how_many(2000) {
        let mut text = draw(&mut runner, prop::sample::select(jobs.clone()));
        for _ in 0..draw(&mut runner, 1..4_usize) {
            let (at, letter) = (draw(&mut runner, 0..text.len()), draw(&mut runner, &letters));
            match draw(&mut runner, 0..3) {
                0 => text[at] = letter,
                1 => text.insert(at, letter),
                _ => drop(text.drain(at..(at + 5).min(text.len()))),
            }
        }
        let text: String = text.into_iter().collect();
        let done = catch_unwind(AssertUnwindSafe(|| Job::read(&text))).unwrap_or_else(|_| panic!("{text}"));
        match done {
            Ok(_) => read += 1,
            Err(error) => {
                refused += 1;
                for error in std::iter::once(&error).chain(&error.more) {
                    assert_ne!(error.kind, Trouble::Internal, "{text}");
                    assert!(!text::display(&error.says).contains(text::is_unfit));
                }
            }
        }
    }
    eprintln!("{read} wild job files were read, {refused} refused");
    assert!(read > 0 && refused > 0);
}

#[test]
fn lengths_designations_holes_and_cables_of_any_letters_are_read_or_refused() {
    let mut runner = runner(how_many(3000));
    const PIECES: &[&str] = &[
        "6204", "20x47x14", "-2Z", "NU", "8.2", "x3", ":r=", "80x40", "3/8", "in", "mm", ":plug=", "1e9",
        "-", "0", "label=", "LiYCY ", "G", ":", " ", "/", "M5", "\u{e4}", "\u{663}",
    ];
    for _ in 0..how_many(3000) {
        let some = draw(
            &mut runner,
            prop::collection::vec(
                prop_oneof![3 => prop::sample::select(PIECES).prop_map(str::to_string), 1 => any::<char>().prop_map(String::from)],
                0..6,
            ),
        );
        let word = some.concat();
        let done = catch_unwind(|| {
            let _ = word.parse::<fixwright::units::Length>().map(|length| assert!(length.mm().is_finite()));
            let _ = fixwright::catalog::bearings::read(&word)
                .map(|bearing| assert!(bearing.bore < bearing.outside));
            let _ = word
                .parse::<fixwright::parts::plate::spec::Hole>()
                .map(|hole| assert!(hole.width.is_finite()));
            let _ = word
                .parse::<fixwright::parts::plate::spec::CableWish>()
                .map(|cable| assert!(cable.count > 0));
        });
        assert!(done.is_ok(), "{word:?}");
    }
}
