//! The answers that count only beside others.

use super::spec::{From, Receiver};
use crate::design::answers::Condition;

/// All of them; an answer not named here always counts.
pub const CONDITIONS: &[Condition<Receiver>] = &[
    Condition {
        keys: &["shaft-class", "shaft-measured", "shaft-material"],
        counts: |receiver| receiver.from == From::Shaft,
        when: "with --from shaft",
    },
    Condition {
        keys: &["housing-class", "housing-measured", "housing-outside", "housing-material", "opening"],
        counts: |receiver| receiver.from == From::Housing,
        when: "with --from housing",
    },
    Condition {
        keys: &["gap", "gap-shaft", "shoulder"],
        counts: |receiver| receiver.from == From::Shaft,
        when: "with --from shaft",
    },
];
