//! The command line: arguments, call, print. One file a command. Must not judge, solve or word a finding.

mod budget;
mod check;
mod cli;
mod compare;
mod deadtest;
mod dispatch;
mod engine;
mod errors;
mod exit;
mod jig_files;
mod lost;
mod new;
mod new_file;
pub(crate) mod plugin;
mod program;
mod progress;
mod schema;
mod screen;
mod sheet;
mod shells;
mod size;
mod strobe;
mod tables;
mod watch;
mod why;

pub(crate) use cli::Cli;
#[cfg(test)]
pub(crate) use deadtest::DeadtestArgs;
pub(crate) use dispatch::dispatch;
#[cfg(test)]
pub(crate) use engine::Engine;
#[cfg(test)]
pub(crate) use errors::Errors;
pub(crate) use program::Program;
pub(crate) use screen::{Screen, Terminal};

/// Runs the program: the command line of this process in, exit status out.
pub fn run() -> std::process::ExitCode {
    use clap::Parser as _;
    // Help, version and usage errors (status 2) end here.
    let cli = Cli::try_parse().unwrap_or_else(|error| {
        let arguments: Vec<String> = std::env::args_os().map(|a| a.to_string_lossy().into_owned()).collect();
        lost::hinted(error, &arguments).exit()
    });
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    dispatch(&cli, &Program { progress: cli.progress() }, &mut Screen::new(&mut out, &mut err, Terminal::of_stdout()))
        .into()
}
