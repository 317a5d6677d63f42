//! The cable plate.

pub mod layout;
pub mod packing;
