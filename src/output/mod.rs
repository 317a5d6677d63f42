//! What a design becomes on disk.

pub mod step;
pub mod stl;
