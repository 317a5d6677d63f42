//! The kinds of part. Each is one folder: its request (what the person measured and wants) and the way
//! from there to a [`Design`](crate::design::Design). A new kind is one folder here and one line in
//! [`KINDS`]; the command line, job files and their schema all come from that list.

pub mod adapter;
pub mod bracket;
pub mod coupon;
mod drilled;
pub mod guard;
pub mod panel;
pub mod plate;
pub mod pulley;
pub mod receiver;
pub mod sleeve;

use crate::design::Kind;

/// Every kind of part there is: the one list of them.
pub const KINDS: &[Kind] = &[
    Kind::of::<sleeve::Sleeve>("sleeve", "A sleeve that presses a bearing on by the one ring that is tight")
        .shown_by(&[
            "sleeve 6204-2Z --ring inner --reach 60 --drive rod --steel-nose",
            "sleeve 6006-2Z --reach 40 --drive puller",
        ]),
    Kind::of::<receiver::Receiver>(
        "receiver",
        "A receiver that draws an old bearing off its shaft or out of its housing",
    )
    .shown_by(&["receiver 6204-2Z --from shaft --reach 60", "receiver 6204-2Z --from housing --opening 41"]),
    Kind::of::<bracket::Bracket>(
        "bracket",
        "A bracket that carries an encoder on a belt, and slides to tension it",
    )
    .shown_by(&[
        "bracket --profile MXL --pulleys 60,36 --near 115 --encoder 40 --pulses 360 --rpm 1500",
        "bracket --style face --pulleys 36,24 --range 80,100 --encoder nema17",
        "bracket --pulleys 36,24 --hole-at 85,145 --jack M3",
        "bracket --style face --pulleys 36,24 --near 110 --shafts 12,6 --template",
    ]),
    Kind::of::<guard::Guard>("guard", "A guard over the belt and pulleys of an encoder's bracket").shown_by(
        &[
            "guard --profile MXL --pulleys 60,36 --near 115 --encoder 40 --shafts 20",
            "guard --style face --pulleys 36,24 --range 80,100 --encoder nema17",
        ],
    ),
    Kind::of::<pulley::Pulley>("pulley", "A belt pulley for a shaft that no stocked pulley is bored for")
        .shown_by(&["pulley --profile MXL --teeth 60 --bore 24"]),
    Kind::of::<plate::Plate>("plate", "A plate that closes a hole round cables and holds each by a tie")
        .shown_by(&[
            "plate --hole 60 --cable 8.2x3 --cable 6:signal",
            "plate --hole 62-65 --cable 9.5:mains --cable 1.4:bundle=7:signal",
            "plate --fan 80",
        ]),
    Kind::of::<panel::Panel>("panel", "A panel with buttons, connectors, glands and meters where you say")
        .shown_by(&["panel --place button-22@0,0 --place estop@60,0 --place gland-M20@0,-55"]),
    Kind::of::<adapter::Adapter>(
        "adapter",
        "A plate between two hole patterns, what is there and what comes",
    )
    .shown_by(&["adapter --old M4x2@25 --new M3x2@20 --offset 0,16"]),
    Kind::of::<coupon::Coupon>("coupon", "A small print to measure, from which a printer's preset is fitted")
        .shown_by(&["coupon --with 20"]),
];

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Serialize;
    use serde::de::DeserializeOwned;

    /// The request of a command line, and the same after it was written as a job's table and read again.
    fn twice<T: clap::Args + Serialize + DeserializeOwned>(line: &str) -> (T, T) {
        let command = T::augment_args(clap::Command::new("part")).no_binary_name(true);
        let first = T::from_arg_matches(&command.get_matches_from(line.split_whitespace())).unwrap();
        let again = toml::Table::try_from(&first).unwrap().try_into().unwrap();
        (first, again)
    }

    #[test]
    fn a_request_written_as_a_table_reads_back_as_it_was() {
        let (one, two) =
            twice::<sleeve::Sleeve>("--bearing 6204-2Z --shaft 17x35,20x25 --reach 1/32in --drive rod");
        assert_eq!(one, two);
        let (one, two) =
            twice::<bracket::Bracket>("--pulleys 36,24 --range 80,100 --encoder nema17 --rpm 1500");
        assert_eq!(one, two);
        let (one, two) = twice::<plate::Plate>(
            "--hole 80x40:obround --cable 9.5x2:mains:plug=28:label=drill:tie=3.6 --cable 3G1.5 --spare 6x2 --button 22x3",
        );
        assert_eq!(one, two);
    }
}
