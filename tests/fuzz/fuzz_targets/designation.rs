#![no_main]
//! See targets.rs.

#[path = "../../it/disturbed.rs"]
mod disturbed;
#[path = "../../it/plausible.rs"]
mod plausible;
#[path = "../targets.rs"]
mod targets;

libfuzzer_sys::fuzz_target!(|data: &[u8]| targets::designation(data));
