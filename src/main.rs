//! The `deadfront` command: command line in, exit status out.

use clap::Parser;
use deadfront::command::{Cli, Program, Screen, Terminal, dispatch};
use std::process::ExitCode;

fn main() -> ExitCode {
    // Help, version and usage errors (status 2) end here.
    let cli = Cli::parse();
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    dispatch(&cli, &Program, &mut Screen::new(&mut out, &mut err, Terminal::of_stdout())).into()
}
