//! `deadfront tables`: the rows that a jig file may name. Must not know them.

use super::engine::Engine;
use super::exit::Exit;
use super::screen::{Format, Screen};
use crate::report;
use clap::Args;

const HELP: &str = "\
Lists: supplies, plugs, lamps, fuses, cords, resistors, units, kinds. Without a name it lists the lists.

Example:
  deadfront tables supplies";

/// List what a jig file may name: supplies, plugs, lamps, units, kinds of part
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct TablesArgs {
    /// The list
    #[arg(value_name = "NAME")]
    pub list: Option<String>,
    /// Of kinds: the kind whose keys are to be listed
    #[arg(value_name = "KIND")]
    pub kind: Option<String>,
}

pub(super) fn run(args: &TablesArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let rows = match engine.rows(args.list.as_deref().unwrap_or_default(), args.kind.as_deref()) {
        Ok(rows) => rows,
        Err(errors) => return screen.errors(&errors),
    };
    let text = match screen.format() {
        Format::Table => report::rows_text(&rows, screen.look()),
        Format::Json => report::rows_json(&rows),
    };
    screen.result(&text, Exit::Clean)
}
