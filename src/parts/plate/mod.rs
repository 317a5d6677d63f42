//! The cable plate.

pub mod packing;
