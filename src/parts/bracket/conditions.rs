//! The answers that count only beside others.

use super::spec::{Bracket, Style};
use crate::catalog::encoders::Layout;
use crate::design::answers::Condition;

/// All of them; an answer not named here always counts.
pub const CONDITIONS: &[Condition<Bracket>] = &[
    Condition {
        keys: &["base-thickness", "depth", "no-vents"],
        counts: |bracket| bracket.style == Style::Foot,
        when: "with --style foot",
    },
    Condition {
        keys: &["hole-at"],
        counts: |bracket| bracket.style != Style::Swing,
        when: "with --style foot or face: a swing's pivot settles the place",
    },
    Condition {
        keys: &["near", "screw-spacing", "travel-in", "travel-out"],
        counts: |bracket| bracket.hole_at.is_empty(),
        when: "without --hole-at, which settles it",
    },
    Condition {
        keys: &["ratio"],
        counts: |bracket| bracket.pulleys.is_empty(),
        when: "without --pulleys, which settle it",
    },
    Condition {
        keys: &["jack"],
        counts: |bracket| bracket.style != Style::Swing,
        when: "with --style foot or face, whose slide is straight",
    },
    Condition {
        keys: &["gussets"],
        counts: |bracket| bracket.style == Style::Foot || bracket.gussets == Some(0),
        when: "with --style foot",
    },
    Condition {
        keys: &["gusset-thickness"],
        counts: |bracket| bracket.style == Style::Foot && bracket.gussets != Some(0),
        when: "with --style foot and its gussets",
    },
    Condition {
        keys: &["vent-width"],
        counts: |bracket| bracket.style == Style::Foot && !bracket.no_vents,
        when: "with --style foot and without --no-vents",
    },
    Condition {
        keys: &["bolt-count"],
        // An encoder that cannot be read is refused in its own words.
        counts: |bracket| bracket.encoder().map_or(true, |encoder| encoder.layout == Layout::Circle),
        when: "with an encoder whose screws lie on a circle",
    },
];
