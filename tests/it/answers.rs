//! Every answer is used or refused: each is given to sound requests, and either it is refused with the words
//! when it would count, or the report of the part differs.

use crate::plausible::{ALL, Kind};
use fixwright::output::report;
use fixwright::parts::KINDS;
use fixwright::workshop::Workshop;
use rayon::prelude::*;
use std::collections::BTreeSet;
use toml::Table;

/// The report of a request, or the words it is refused with.
fn report_of(kind: &str, request: &str, refuse: bool) -> Result<String, String> {
    let kind = KINDS.iter().find(|k| k.name == kind).unwrap();
    let table: Table = request.parse().unwrap_or_else(|e| panic!("{request}: {e}"));
    let part = (kind.from_table)(table).map_err(|e| e.to_string())?;
    if refuse {
        part.refuse_unused().map_err(|e| e.to_string())?;
    }
    let design =
        part.design(&Workshop::find("bed-350", "petg", 0.05).unwrap(), "p").map_err(|e| e.to_string())?;
    let volume: f64 = design.pieces.iter().map(|piece| piece.mesh.volume()).sum();
    Ok(format!("{:.4} {}", volume, report::json(&design, &[])))
}

/// What comes of one answer beside a request.
enum Comes {
    Something,
    Nothing,
    Refused,
    RefusedThoughItCounts(String),
}

fn what_comes(kind: &str, request: &str, plain: &str, answer: &str, key: &str) -> Comes {
    let request = format!("{request}\n{answer}");
    let report = report_of(kind, &request, false);
    let (made, same) = (report.is_ok(), report.is_ok_and(|report| report == plain));
    let refused = report_of(kind, &request, true).err();
    match refused.filter(|says| says.contains(&format!("--{key} is given"))) {
        None if same => Comes::Nothing,
        None => Comes::Something,
        // Where no part can be made with it, the refusal is the better answer.
        Some(says) if made && !same => Comes::RefusedThoughItCounts(says),
        Some(_) => Comes::Refused,
    }
}

/// Gives each answer to each request and returns those that nothing came of, and those refused although
/// something would. Of two values of one answer one may be what it is without, such as the table's.
fn wrong(&Kind { name: kind, requests, answers }: &Kind) -> Vec<String> {
    let key_of = |answer: &str| answer.split_once(" = ").unwrap().0.to_string();
    let one_request = |request: &&str| {
        let plain = report_of(kind, request, true).unwrap_or_else(|e| panic!("{request}: {e}"));
        let mut wrong = Vec::new();
        let keys: BTreeSet<String> = answers.iter().map(|answer| key_of(answer)).collect();
        for key in keys {
            if request.lines().any(|line| line.starts_with(&format!("{key} = "))) {
                continue;
            }
            let mut nothing = true;
            for answer in answers.iter().filter(|answer| key_of(answer) == key) {
                match what_comes(kind, request, &plain, answer, &key) {
                    Comes::Nothing => {}
                    Comes::Something | Comes::Refused => nothing = false,
                    Comes::RefusedThoughItCounts(says) => {
                        wrong.push(format!("{request:?}: it counts, but {says}"))
                    }
                }
            }
            if nothing {
                wrong.push(format!("{request:?}: nothing comes of --{key}"));
            }
        }
        wrong
    };
    requests.par_iter().flat_map(one_request).collect()
}

/// Every key of a kind stands in the list of answers.
fn all_keys_are_tried(&Kind { name, requests, answers }: &Kind) {
    let kind = KINDS.iter().find(|k| k.name == name).unwrap();
    let command = (kind.with_options)(clap::Command::new("x"));
    for arg in command.get_arguments().filter_map(|arg| arg.get_long()) {
        let start = format!("{arg} = ");
        let tried = answers.iter().any(|answer| answer.starts_with(&start));
        assert!(tried || requests.iter().all(|r| r.contains(&start)), "{}: --{arg} is not tried", kind.name);
    }
}

#[test]
fn every_answer_about_a_sleeve_is_used_or_refused() {
    all_keys_are_tried(&ALL[0]);
    let wrong = wrong(&ALL[0]);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_answer_about_a_bracket_is_used_or_refused() {
    all_keys_are_tried(&ALL[1]);
    let wrong = wrong(&ALL[1]);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_answer_about_a_plate_is_used_or_refused() {
    all_keys_are_tried(&ALL[2]);
    let wrong = wrong(&ALL[2]);
    assert!(wrong.is_empty(), "{wrong:#?}");
}
