//! From a command line to its command. Must not do anything itself.

use super::cli::{Cli, Command};
use super::engine::Engine;
use super::exit::Exit;
use super::screen::{Format, Screen};
use super::{check, compare, deadtest, new, plugin, schema, sheet, shells, size, strobe, tables, why};

/// Carries out a command line.
pub(crate) fn dispatch(cli: &Cli, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let format = if cli.json { Format::Json } else { cli.format };
    screen.set(format, cli.colour);
    match &cli.command {
        Command::Check(args) => check::run(args, engine, screen),
        Command::Compare(args) => compare::run(args, engine, screen),
        Command::Deadtest(args) => deadtest::run(args, engine, screen),
        Command::New(args) => new::run(args, engine, screen),
        Command::Sheet(args) => sheet::run(args, engine, screen),
        Command::Tables(args) => tables::run(args, engine, screen),
        Command::Size(command) => size::run(command, engine, screen),
        Command::Strobe(args) => strobe::run(args, engine, screen),
        Command::Why(args) => why::run(args, engine, screen),
        Command::Plugin(command) => plugin::run(command, screen),
        Command::Completions(args) => shells::completions(args, screen),
        Command::Man(args) => shells::man(args, screen),
        Command::Schema => schema::run(&engine.schema(), screen),
    }
}
