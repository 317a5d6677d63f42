//! fixwright draws the one-off printed parts that the rebuild of an old machine needs.

pub mod catalog;
pub mod checks;
pub mod cli;
pub mod design;
pub mod error;
pub mod fit;
pub mod job;
pub mod mechanics;
pub mod output;
pub mod parts;
pub mod solid;
pub mod units;
pub mod workshop;
