//! `deadfront check`: each jig judged and printed. Must not judge.

use super::{Engine, Exit, Format, Screen};
use crate::report;
use clap::Args;
use std::path::PathBuf;

const HELP: &str = "\
Of several jigs the reports stand one below the other; as JSON one jig is an object, more than one an array of such \
objects. A jig that cannot be read is told on standard error, and the others are checked all the same.

Where JIG.lock lies beside a jig, a plugin named in it runs with the bytes named there or not at all; the check is then \
not complete. --lock writes it, when every plugin ran.

Exit status: 0 no DANGER and no WARNING; 1 at least one; 2 a jig could not be read or is wrong; 3 a check is not \
complete. Over several jigs 2 outranks 3, and 3 outranks 1.

Example:
  deadfront check demo-data/neon-wand-230v.toml";

/// Check a jig: conditions, ratings, touch, wiring
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub struct CheckArgs {
    /// Jig files
    #[arg(required = true, value_name = "JIG")]
    pub jigs: Vec<PathBuf>,
    /// Write JIG.lock beside each jig: the exact plugins that checked it
    #[arg(long)]
    pub lock: bool,
}

pub(super) fn run(args: &CheckArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let mut exit = Exit::Clean;
    let mut judged = Vec::new();
    for jig in &args.jigs {
        match engine.check(jig, args) {
            Ok(judgement) => {
                exit = exit.max(Exit::from_status(judgement.exit_status()));
                if screen.format() == Format::Table {
                    let gap = if judged.is_empty() { "" } else { "\n\n" };
                    let text = report::check_text(&judgement, screen.look());
                    exit = screen.result(&format!("{gap}{text}"), exit);
                }
                judged.push(judgement);
            }
            Err(faults) => exit = exit.max(screen.faults(&faults)),
        }
    }
    match (screen.format(), args.jigs.len(), judged.first()) {
        (Format::Table, ..) | (Format::Json, 1, None) => exit,
        (Format::Json, 1, Some(only)) => screen.result(&report::check_json(only), exit),
        (Format::Json, ..) => screen.result(&report::checks_json(&judged), exit),
    }
}
