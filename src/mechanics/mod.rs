//! Mechanics: pure functions of numbers, without geometry and without tables.
pub mod belt_drive;
