//! The `deadfront` command: command line in, exit status out.

use clap::Parser;
use deadfront::command::{Cli, Exit};
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    // Help, version and usage errors (status 2) end here.
    let _cli = Cli::parse();
    // Nobody is left to tell when standard error is closed; the exit status still says it.
    let _ = writeln!(std::io::stderr(), "error: this build reads the command line only; it has no engine behind it");
    Exit::Incomplete.into()
}
