//! Inputs that fuzzing kept: each is tried again as it is and with a few of its bytes changed.

use crate::disturbed::draw;
use crate::fuzz_targets::{cable, designation, job, length, request};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;
use std::path::Path;

fn kept(target: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(target);
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
    files.sort();
    assert!(files.len() >= 20, "{target}: {} inputs", files.len());
    files.iter().map(|file| std::fs::read(file).unwrap()).collect()
}

/// The inputs, and `more` of each with one to four of its bytes changed, put in or left out.
fn tried(target: &str, more: usize) -> Vec<Vec<u8>> {
    let mut runner =
        TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &[11; 32]));
    let mut all = kept(target);
    for input in all.clone() {
        for _ in 0..more {
            let mut bytes = input.clone();
            for _ in 0..draw(&mut runner, 1..5) {
                let (at, byte) = (draw(&mut runner, 0..=bytes.len()), draw(&mut runner, any::<u8>()));
                match draw(&mut runner, 0..3) {
                    0 if at < bytes.len() => bytes[at] = byte,
                    1 if at < bytes.len() => drop(bytes.remove(at)),
                    _ => bytes.insert(at, byte),
                }
            }
            all.push(bytes);
        }
    }
    all
}

#[test]
fn bytes_that_nobody_would_send_are_read_or_refused_in_words_to_act_on() {
    type Target = (&'static str, fn(&[u8]), usize);
    let targets: [Target; 4] =
        [("designation", designation, 40), ("length", length, 40), ("cable", cable, 40), ("job", job, 4)];
    for (name, target, more) in targets {
        let inputs = tried(name, more);
        inputs.par_iter().for_each(|input| target(input));
        eprintln!("{} inputs for a {name}", inputs.len());
    }
}

#[test]
fn requests_that_fuzzing_kept_are_solids_or_refused() {
    kept("request").par_iter().for_each(|input| request(input));
}
