//! What bytes that nobody would send may come to: a reading or an error that can be acted on, never a panic, never a
//! fault of the program's own. Each function fails on what must not be.
//!
//! `cargo fuzz run --fuzz-dir tests/fuzz --sanitizer none TARGET` looks for such bytes by what code they reach; what is
//! kept in `corpus/` is tried again with every run of the tests.
#![allow(dead_code, reason = "each program that includes this calls one of them")]

use crate::disturbed::{COUNTS, class, scaled};
use crate::plausible::{ALL, COUPON, GUARD, Kind};
use fixwright::catalog::bearings;
use fixwright::error::{Error, Kind as Trouble};
use fixwright::job::Job;
use fixwright::parts::plate::spec::{CableWish, Hole};
use fixwright::text;
use fixwright::units::Length;
use toml::Table;

/// An error that can be shown and acted on.
fn to_act_on(error: &Error, of: &str) {
    for error in std::iter::once(error).chain(&error.more) {
        assert_ne!(error.kind, Trouble::Internal, "{of:?}: {error}");
        assert!(!error.says.is_empty() && !error.remedy.is_empty(), "{of:?}: {error:?}");
        assert!(!text::display(&error.says).contains(text::is_unfit), "{of:?}: {error:?}");
    }
}

fn text(data: &[u8]) -> String {
    String::from_utf8_lossy(data).into_owned()
}

/// A bearing's number, or three sizes of one.
pub fn designation(data: &[u8]) {
    let word = text(data);
    match bearings::read(&word) {
        Ok(bearing) => {
            let sizes = [bearing.bore, bearing.outside, bearing.width];
            assert!(sizes.iter().all(|size| size.is_finite() && *size > 0.0), "{word:?}: {sizes:?}");
            assert!(bearing.bore < bearing.outside, "{word:?}: {sizes:?}");
        }
        Err(error) => to_act_on(&error, &word),
    }
}

/// A length with its unit.
pub fn length(data: &[u8]) {
    let word = text(data);
    match word.parse::<Length>() {
        Ok(length) => assert!(length.mm().is_finite(), "{word:?}"),
        Err(error) => to_act_on(&error, &word),
    }
}

/// A cable of a plate, and the hole they go through.
pub fn cable(data: &[u8]) {
    let word = text(data);
    match word.parse::<CableWish>() {
        Ok(cable) => assert!(cable.count > 0, "{word:?}"),
        Err(error) => to_act_on(&error, &word),
    }
    match word.parse::<Hole>() {
        Ok(hole) => assert!(hole.width.is_finite(), "{word:?}"),
        Err(error) => to_act_on(&error, &word),
    }
}

/// A job file.
pub fn job(data: &[u8]) {
    let file = text(data);
    if let Err(error) = Job::read(&file) {
        to_act_on(&error, &file);
    }
}

/// What a number is multiplied by: mostly what a second reading might differ by, else what a slip makes of it.
fn factor(byte: u8) -> f64 {
    const SLIPS: [f64; 16] =
        [0.0, -1.0, 25.4, 1.0 / 25.4, 1e3, 1e-4, 1e12, 0.3, 0.5, 0.7, 1.4, 2.0, 3.0, 10.0, 0.1, 1.0];
    match byte.checked_sub(240) {
        Some(slip) => SLIPS[usize::from(slip)],
        None => 0.85 + 0.35 * f64::from(byte) / 239.0,
    }
}

/// A whole request: the bytes choose a sound one, the answers of it that are disturbed and by how much.
pub fn request(data: &[u8]) {
    let mut bytes = data.iter().copied().map(usize::from);
    let mut one_of = |count: usize| bytes.next().unwrap_or(0) % count;
    let kinds: Vec<&Kind> = ALL.iter().chain([&GUARD, &COUPON]).collect();
    let kind = kinds[one_of(kinds.len())];
    let mut request: Table = kind.requests[one_of(kind.requests.len())].parse().unwrap();
    for _ in 0..1 + one_of(3) {
        let answer: Table = kind.answers[one_of(kind.answers.len())].parse().unwrap();
        for (key, value) in answer {
            let factor = if COUNTS.contains(&key.as_str()) { 1.0 } else { factor(one_of(256) as u8) };
            request.insert(key, scaled(&value, factor));
        }
    }
    if let Err(fault) = class(kind.name, &request) {
        panic!("{fault}: {} {request}", kind.name);
    }
}
