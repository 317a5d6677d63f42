//! The cable plate.

pub mod layout;
pub mod packing;
pub mod spec;
