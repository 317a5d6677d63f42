//! The `fixwright` command: all it does is call the library's command line.

use std::process::ExitCode;

fn main() -> ExitCode {
    fixwright::cli::run(std::env::args_os())
}
