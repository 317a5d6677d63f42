//! Tables of standards and makers, and look-ups in them. No formulas beyond a standard's own.
<<<<<<< HEAD
pub mod buttons;
pub mod cable_ties;
pub mod cables;
pub mod cords;
pub mod fans;
=======
pub mod fasteners;
>>>>>>> main
pub mod fits;
pub mod materials;
pub mod probes;
mod table;
