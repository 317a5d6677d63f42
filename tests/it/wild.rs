//! Wild requests: sound ones with one to three answers disturbed, and texts that nobody would write.
//!
//! Each comes to a closed solid or to an error that can be acted on; never to a panic, never to a fault of
//! the program's own. A few are tried with every run of the tests; `FIXWRIGHT_WILD=100000` tries as many.

use crate::disturbed::{Class, class, disturbed, draw};
use crate::plausible::{ALL, COUPON, GUARD, Kind};
use fixwright::error::Kind as Trouble;
use fixwright::job::Job;
use fixwright::text;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;
use std::panic::{AssertUnwindSafe, catch_unwind};
use toml::Table;

fn how_many(usual: usize) -> usize {
    std::env::var("FIXWRIGHT_WILD").ok().and_then(|count| count.parse().ok()).unwrap_or(usual)
}

/// The same run every time; another one for another count.
fn runner(count: usize) -> TestRunner {
    let mut seed = [7; 32];
    seed[..8].copy_from_slice(&count.to_le_bytes());
    TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &seed))
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
