//! The answers that count only beside others.

use super::spec::{Anchors, Plate};
use crate::design::answers::Condition;

/// All of them; an answer not named here always counts.
pub const CONDITIONS: &[Condition<Plate>] = &[
    Condition { keys: &["anchors", "tie", "grip"], counts: tied, when: "with a --cable or a --spare" },
    Condition { keys: &["play"], counts: |plate| !plate.cable.is_empty(), when: "with a --cable" },
    Condition {
        keys: &["tie"],
        counts: |plate| !tied(plate) || plate.anchors != Anchors::Off,
        when: "with anchors",
    },
    Condition {
        keys: &["separation"],
        counts: |plate| {
            let power = |wanted: bool| plate.cable.iter().any(|cable| cable.group().is_power() == wanted);
            power(true) && power(false)
        },
        when: "with cables of power (mains, motor) beside cables of signal or data",
    },
    Condition { keys: &["web"], counts: |plate| openings(plate) > 1, when: "with two openings or more" },
    Condition {
        keys: &["screws"],
        counts: |plate| plate.fan.is_none() || plate.hole.is_some(),
        when: "with a --hole; a fan of its own has four",
    },
    Condition { keys: &["rim"], counts: |plate| openings(plate) > 0, when: "with an opening" },
];

/// Whether there is an opening that a cable goes through, now or later.
fn tied(plate: &Plate) -> bool {
    !plate.cable.is_empty() || !plate.spare.is_empty()
}

fn openings(plate: &Plate) -> usize {
    let cables: usize = plate.cable.iter().map(|cable| cable.count).sum();
    let others: usize = plate.spare.iter().chain(&plate.button).map(|alike| alike.count).sum();
    cables + others + usize::from(plate.fan.is_some())
}
