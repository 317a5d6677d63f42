//! The answers that count only beside others.

use super::spec::{Closure, Drive, Ring, Sleeve};
use crate::design::answers::Condition;

/// All of them; an answer not named here always counts.
pub const CONDITIONS: &[Condition<Sleeve>] = &[
    Condition {
        keys: &["rod", "rod-class"],
        counts: |sleeve| sleeve.drive != Drive::Flat,
        when: "with --drive rod or puller",
    },
    Condition { keys: &["end"], counts: |sleeve| sleeve.drive == Drive::Flat, when: "with --drive flat" },
    Condition {
        keys: &["end-thickness"],
        counts: |sleeve| sleeve.drive != Drive::Flat || sleeve.end == Closure::Closed,
        when: "with a closed end",
    },
    Condition {
        keys: &["inner-land", "shaft-class", "shaft-measured", "shaft-bore", "shaft-material"],
        counts: |sleeve| sleeve.ring.presses_inner(),
        when: "with --ring inner or both",
    },
    Condition {
        keys: &["outer-land", "housing-class", "housing-measured", "housing-outside", "housing-material"],
        counts: |sleeve| sleeve.ring.presses_outer(),
        when: "with --ring outer or both",
    },
    Condition {
        keys: &["measured-by"],
        counts: |sleeve| sleeve.shaft_measured.is_some() || sleeve.housing_measured.is_some(),
        when: "with --shaft-measured or --housing-measured",
    },
    Condition {
        keys: &["body-bore"],
        counts: |sleeve| sleeve.ring == Ring::Outer,
        when: "with --ring outer",
    },
];
