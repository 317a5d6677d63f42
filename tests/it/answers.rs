//! Every answer is used or refused: each is given to sound requests, and either it is refused with the words
//! when it would count, or the report of the part differs.

use crate::plausible::{ALL, Kind};
use fixwright::design::Part;
use fixwright::output::report;
use fixwright::parts::KINDS;
use fixwright::workshop::Workshop;
use rayon::prelude::*;
use std::collections::BTreeSet;
use toml::Table;

/// The report of a request without its advice, which may speak of other answers; nothing where no part can be made
/// of it.
fn report_of(part: &dyn Part) -> Option<String> {
    let design = part.design(&Workshop::find("bed-350", "petg", 0.05).unwrap(), "p").ok()?;
    let volume: f64 = design.pieces.iter().map(|piece| piece.mesh.volume()).sum();
    let mut report = report::json(&design, &[]);
    for finding in
        report["findings"].as_array_mut().into_iter().flatten().filter_map(|one| one.as_object_mut())
    {
        finding.remove("try");
        finding.remove("changes");
    }
    Some(format!("{volume:.4} {report}"))
}

fn part_of(kind: &str, request: &str) -> Option<Box<dyn Part>> {
    let kind = KINDS.iter().find(|k| k.name == kind).unwrap();
    let table: Table = request.parse().unwrap_or_else(|e| panic!("{request}: {e}"));
    (kind.from_table)(table).ok()
}

/// What comes of one answer beside a request.
enum Comes {
    Something,
    Nothing,
    Refused,
    RefusedThoughItCounts(String),
}

fn what_comes(kind: &str, request: &str, plain: &str, answer: &str, key: &str) -> Comes {
    let Some(part) = part_of(kind, &format!("{request}\n{answer}")) else { return Comes::Something };
    let refused = part.refuse_unused().err().map(|error| error.to_string());
    let report = report_of(part.as_ref());
    match refused.filter(|says| says.contains(&format!("--{key} is given"))) {
        None if report.as_deref() == Some(plain) => Comes::Nothing,
        None => Comes::Something,
        // Where no part can be made with it, the refusal is the better answer.
        Some(says) if report.is_some_and(|report| report != plain) => Comes::RefusedThoughItCounts(says),
        Some(_) => Comes::Refused,
    }
}

/// Gives each answer to each request and returns those that nothing came of, and those refused although
/// something would. Of two values of one answer one may be what it is without, such as the table's.
fn wrong(&Kind { name: kind, requests, answers }: &Kind) -> Vec<String> {
    let key_of = |answer: &str| answer.split_once(" = ").unwrap().0.to_string();
    let one_request = |request: &&str| {
        let part = part_of(kind, request).unwrap_or_else(|| panic!("{request} cannot be read"));
        part.refuse_unused().unwrap_or_else(|e| panic!("{request}: {e}"));
        let plain = report_of(part.as_ref()).unwrap_or_else(|| panic!("{request} makes no part"));
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
    // A bracket's cells take their time: two of its requests stand for all.
    let most = if kind == "bracket" { 2 } else { requests.len() };
    requests[..most].par_iter().flat_map(one_request).collect()
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

#[test]
fn every_answer_about_a_receiver_a_pulley_a_panel_or_an_adapter_is_used_or_refused() {
    ALL[3..].iter().for_each(all_keys_are_tried);
    let wrong: Vec<(&str, Vec<String>)> = ALL[3..].iter().map(|kind| (kind.name, wrong(kind))).collect();
    assert!(wrong.iter().all(|(_, wrong)| wrong.is_empty()), "{wrong:#?}");
}
