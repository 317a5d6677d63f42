//! The job: what the person wants, in a file or on the command line.
pub mod units;
pub mod workshop;
