//! The cable plate.

pub mod layout;
pub mod outline;
pub mod packing;
pub mod shell;
pub mod spec;
