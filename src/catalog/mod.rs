//! Tables of standards and makers, and look-ups in them. No formulas beyond a standard's own.
pub mod belts;
pub mod encoders;
pub mod materials;
