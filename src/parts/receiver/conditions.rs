//! The answers that count only beside others.

use super::drawing_off::{pulled_one_way, thread_holds, wide_face_of_pair};
use super::spec::{By, From, Receiver};
use crate::catalog::bearings;
use crate::design::answers::Condition;

/// All of them; an answer not named here always counts.
pub const CONDITIONS: &[Condition<Receiver>] = &[
    Condition {
        keys: &["shaft-class", "shaft-measured", "shaft-material", "shaft-bore"],
        counts: |receiver| receiver.from == From::Shaft,
        when: "with --from shaft",
    },
    Condition {
        keys: &["housing-class", "housing-measured", "housing-outside", "housing-material", "opening"],
        counts: |receiver| receiver.from == From::Housing,
        when: "with --from housing",
    },
    Condition { keys: &["by"], counts: |receiver| receiver.from == From::Shaft, when: "with --from shaft" },
    Condition {
        keys: &["gap", "gap-shaft"],
        counts: |receiver| receiver.by == By::Puller,
        when: "with --from shaft and --by puller",
    },
    Condition {
        keys: &["shoulder"],
        counts: |receiver| receiver.from == From::Shaft && receiver.by == By::Rod,
        when: "with --from shaft and --by rod",
    },
    Condition {
        keys: &["keep", "reach", "face", "wall", "crush-reading"],
        counts: |receiver| receiver.by == By::Rod,
        when: "with --by rod",
    },
    Condition {
        keys: &["through"],
        counts: |receiver| receiver.by == By::Rod && !thread_holds(receiver),
        when: "with --by rod that passes a hollow spindle (--shaft-bore) or a housing (--from housing)",
    },
    Condition {
        keys: &["wide-face"],
        counts: asks_wide_face,
        when: "with --by rod and a pull through the balls of a single row angular contact bearing, or of a pair that is neither DB nor DF",
    },
];

/// Whether it must be told on which side an angular contact bearing takes the pull.
fn asks_wide_face(receiver: &Receiver) -> bool {
    let bearing = receiver.pressed().bearing_text().and_then(|text| bearings::read(&text));
    bearing.is_ok_and(|bearing| {
        receiver.by == By::Rod && pulled_one_way(receiver, &bearing) && wide_face_of_pair(&bearing).is_none()
    })
}
