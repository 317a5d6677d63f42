//! What a design becomes on disk.

pub mod stl;
