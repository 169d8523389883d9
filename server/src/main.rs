//! The `plinth` binary.

use std::process::ExitCode;

fn main() -> ExitCode {
    plinth::run()
}
