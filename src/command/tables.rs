//! `deadfront tables`: the rows that a jig file may name. Must not know them.

use super::engine::Engine;
use super::exit::Exit;
use super::screen::{Format, Screen};
use crate::report;
use clap::Args;

const HELP: &str = "\
Lists: sections, supplies, plugs, lamps, fuses, cords, resistors, units, bounds, kinds. Without a name it lists the lists.

Example:
  deadfront tables supplies";

/// List what a jig file may name: sections and kinds of part with their keys, supplies, plugs, lamps, units
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct TablesArgs {
    /// The list
    #[arg(value_name = "NAME")]
    pub list: Option<String>,
    /// Of kinds or sections: the one whose keys are to be listed
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
