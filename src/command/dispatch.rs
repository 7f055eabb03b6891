//! From a command line to its command. Must not do anything itself.

use super::cli::{Cli, Command};
use super::engine::Engine;
use super::exit::Exit;
use super::screen::Screen;
use super::{check, plugin, schema, size, why};

/// Carries out a command line.
pub(crate) fn dispatch(cli: &Cli, engine: &impl Engine, screen: &mut Screen) -> Exit {
    screen.set(cli.format, cli.colour);
    match &cli.command {
        Command::Check(args) => check::run(args, engine, screen),
        Command::Size(command) => size::run(command, engine, screen),
        Command::Why(args) => why::run(args, engine, screen),
        Command::Plugin(command) => plugin::run(command, screen),
        Command::Schema => schema::run(&engine.schema(), screen),
    }
}
