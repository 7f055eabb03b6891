//! `deadfront plugin affected`: which locked jigs were checked by bytes that are now stopped or superseded. Must not check a jig.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::command::exit::Exit;
use crate::report::affected_text;
use crate::sharing::affected::{self, State};
use crate::sharing::{Day, Home};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
Looks at every lock (wand.lock beside wand.toml) in the folders, and in folders below them. A jig is told where a plugin that \
checked it is stopped now, has a newer version here, or is not here any more.

Exit status: 0 no jig was checked by bytes that are stopped; 1 one was; 2 something could not be read.

Example:
  deadfront plugin affected .";

/// List locked jigs that were checked by a plugin that is stopped, superseded or gone
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct AffectedArgs {
    /// Folders, or jig files
    #[arg(default_value = ".", value_name = "PATH")]
    pub paths: Vec<PathBuf>,
}

pub(super) fn run(args: &AffectedArgs) -> Result<Printed, Errors> {
    let found = affected::affected(Home::find().ok().as_ref(), &args.paths, Day::today())?;
    let stopped = found.jigs.iter().any(|j| matches!(j.state, State::Stopped(_)));
    let json = json!({
        "locks": found.locks,
        "affected": found.jigs.iter().map(|j| json!({
            "jig": j.jig, "id": j.id, "version": j.version, "sha256": j.sha256, "state": j.state.word(), "why": j.state.why(),
        })).collect::<Vec<_>>(),
    });
    let exit = if stopped { Exit::Found } else { Exit::Clean };
    Ok(Printed { exit, ..printed(json, move |look| affected_text(&found, look))? })
}
