//! The answers that count only beside others.

use super::spec::{Closure, Drive, Ring, RodHolds, Sleeve};
use crate::design::answers::Condition;

/// All of them; an answer not named here always counts.
pub const CONDITIONS: &[Condition<Sleeve>] = &[
    Condition {
        keys: &["rod", "rod-class"],
        counts: |sleeve| sleeve.drive != Drive::Flat,
        when: "with --drive rod or puller",
    },
    Condition { keys: &["rod-holds"], counts: |sleeve| sleeve.drive == Drive::Rod, when: "with --drive rod" },
    Condition {
        keys: &["thread-depth"],
        counts: |sleeve| sleeve.drive == Drive::Rod && !passes(sleeve),
        when: "with --drive rod and --rod-holds shaft-end",
    },
    Condition {
        keys: &["through", "far-opening"],
        counts: |sleeve| sleeve.drive == Drive::Rod && passes(sleeve),
        when: "with --drive rod and --rod-holds spindle or housing",
    },
    Condition { keys: &["end"], counts: |sleeve| sleeve.drive == Drive::Flat, when: "with --drive flat" },
    Condition { keys: &["ram"], counts: |sleeve| sleeve.drive == Drive::Flat, when: "with --drive flat" },
    Condition {
        keys: &["end-thickness"],
        counts: |sleeve| sleeve.drive != Drive::Flat || sleeve.end == Closure::Closed,
        when: "with a closed end",
    },
    Condition {
        keys: &["inner-land", "shaft-class", "shaft-measured", "shaft-material"],
        counts: |sleeve| sleeve.ring.presses_inner(),
        when: "with --ring inner or both",
    },
    Condition {
        keys: &["outer-land", "housing-class", "housing-measured", "housing-outside", "housing-material"],
        counts: |sleeve| sleeve.ring.presses_outer(),
        when: "with --ring outer or both",
    },
    Condition {
        keys: &["shaft-bore"],
        counts: |sleeve| {
            let through = sleeve.rod_holds == Some(RodHolds::Spindle);
            sleeve.ring.presses_inner() || sleeve.drive == Drive::Rod && through
        },
        when: "with --ring inner or both, or --drive rod and --rod-holds spindle",
    },
    Condition {
        keys: &["shaft-reach"],
        counts: |sleeve| sleeve.ring.presses_outer(),
        when: "with --ring outer or both; for an inner ring --reach is the same",
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

/// Whether a rod passes through the machine to a plate on its far side.
fn passes(sleeve: &Sleeve) -> bool {
    match sleeve.rod_holds {
        Some(holds) => holds != RodHolds::ShaftEnd,
        None => sleeve.ring != Ring::Inner || sleeve.shaft_bore.is_some(),
    }
}
