//! The `deadfront` command: command line in, exit status out.

use std::process::ExitCode;

fn main() -> ExitCode {
    deadfront::command::run()
}
