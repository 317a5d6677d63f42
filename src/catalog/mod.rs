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
pub mod panel_parts;
pub mod probes;
pub mod pulleys;
pub mod reach;
mod table;
pub mod tooth_spaces;
