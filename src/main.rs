//! Runs the command line and hands its exit status to the system.

use std::process::ExitCode;

fn main() -> ExitCode {
    matchmark::command_line::run()
}
