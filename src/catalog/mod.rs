//! Tables of standards and makers, and look-ups in them. No formulas beyond a standard's own.
pub mod buttons;
pub mod cable_pulls;
pub mod cable_ties;
pub mod cables;
pub mod cords;
pub mod fans;

pub mod bearings;
pub mod belts;
pub mod encoders;
pub mod fasteners;
pub mod fits;
pub mod inserts;
pub mod least_strengths;
pub mod materials;
mod own;
pub mod panel_parts;
pub mod probes;
pub mod pulleys;
pub mod reach;
mod table;
pub mod tooth_spaces;

pub use own::{FILES as OWN_FILES, FOLDER as OWN_FOLDER};

use crate::error::{Error, Result};
use std::path::Path;

/// What a user begins an own table with, by the name of its file.
pub fn own_beginnings() -> impl Iterator<Item = (&'static str, String)> {
    OWN_FILES.iter().map(|&(name, what)| {
        let ours = match name {
            "encoders.csv" => include_str!("encoders.csv"),
            "pulleys.csv" => include_str!("pulleys.csv"),
            "belt_lengths.csv" => include_str!("belt_lengths.csv"),
            "plugs.csv" => include_str!("plugs.csv"),
            _ => include_str!("bearings/products.csv"),
        };
        (name, own::beginning(what, ours))
    })
}

/// Adds the rows of the user's own tables to ours, for as long as the program runs, and names the files.
///
/// Fails with every wrong row, by its line and column, and where anything was looked up before.
pub fn install_tables(folder: &Path) -> Result<Vec<String>> {
    let shown = own::install(folder)?;
    let checks: [fn() -> Result<()>; 5] =
        [encoders::read, pulleys::read, belts::read, cables::read_plugs, bearings::read_own];
    Error::all(checks.into_iter().filter_map(|check| check().err())).map_or(Ok(shown), Err)
}
