//! The kinds of part. Each is one folder: its request (what the person measured and wants) and the way
//! from there to a [`Design`](crate::design::Design). A new kind is one folder here and one line in
//! [`KINDS`]; the command line, job files and their schema all come from that list.

pub mod belt_drive;
pub mod bracket;
pub mod plate;
pub mod sleeve;

use crate::design::Kind;

/// Every kind of part there is: the one list of them.
pub const KINDS: &[Kind] = &[
    Kind::of::<sleeve::Sleeve>("sleeve", "A sleeve that presses a bearing on by the one ring that is tight"),
    Kind::of::<bracket::Bracket>(
        "bracket",
        "A bracket that carries an encoder on a belt, and slides to tension it",
    ),
    Kind::of::<plate::Plate>("plate", "A plate that closes a hole round cables and holds each by a tie"),
];
