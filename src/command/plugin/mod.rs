//! `deadfront plugin`: plugins written and tried. One file a command. Must not judge.

mod list;
mod new;
mod trial;

pub use list::ListArgs;
pub use new::NewArgs;
pub use trial::TryArgs;

use super::{Exit, Format, Screen};
use crate::jig::Fault;
use crate::report::{Look, value_json};
use clap::Subcommand;

pub(super) const HELP: &str = "\
A plugin is a folder that adds checks for one kind of unit; plugins/README.md tells how to write one.

Exit status: 0 done; 1 a case came out otherwise than expected; 2 something could not be read, is wrong or could not be \
written; 3 the plugin failed.

Example:
  deadfront plugin list";

/// The plugin commands.
#[derive(Debug, Subcommand)]
pub enum PluginCommand {
    /// Make a new plugin: a small one that works, with cases
    New(NewArgs),
    /// Run a plugin's cases: what was expected, what was found
    Try(TryArgs),
    /// List the plugins there are
    List(ListArgs),
}

pub(super) fn run(command: &PluginCommand, screen: &mut Screen) -> Exit {
    let authored = match command {
        PluginCommand::New(args) => new::run(args),
        PluginCommand::Try(args) => trial::run(args),
        PluginCommand::List(args) => list::run(args),
    };
    match authored {
        Ok(Authored { text, json, exit }) => match (screen.format(), json) {
            (Format::Json, serde_json::Value::Object(facts)) => screen.result(&value_json(facts), exit),
            _ => screen.result(&text(screen.look()), exit),
        },
        Err(faults) => screen.faults(&faults),
    }
}

/// A result in both its forms, and how it ended.
struct Authored {
    text: Box<dyn FnOnce(Look) -> String>,
    json: serde_json::Value,
    exit: Exit,
}

fn authored(
    exit: Exit,
    json: serde_json::Value,
    text: impl FnOnce(Look) -> String + 'static,
) -> Result<Authored, Vec<Fault>> {
    Ok(Authored { text: Box::new(text), json, exit })
}
