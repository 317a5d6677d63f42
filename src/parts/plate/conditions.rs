//! The answers that count only beside others.

use super::spec::{Anchors, Plate};
use crate::design::answers::Condition;

/// All of them; an answer not named here always counts.
pub const CONDITIONS: &[Condition<Plate>] = &[
    Condition {
        keys: &["anchors", "tie", "grip", "play", "separation"],
        counts: |plate| !plate.cable.is_empty(),
        when: "with a --cable",
    },
    Condition { keys: &["tie"], counts: |plate| plate.anchors != Anchors::Off, when: "with anchors" },
];
