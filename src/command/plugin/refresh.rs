//! `deadfront plugin refresh`. Must not decide what is let in.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::command::exit::Exit;
use crate::report::refreshed_text;
use crate::sharing::refresh::{self, News};
use crate::sharing::{Day, Home};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
Each plugin is taken or refused by itself, as `add` would: the index of the shelf gives no trust. Of several versions the newest \
is meant. Where the index lapsed, is older than one seen before, or is not what lies there, that is told and nothing new comes \
in from it; a known-bad and a key that is called back are heard all the same.

Exit status: 0 the shelf is in order and nothing was refused; 1 otherwise, or something is newly stopped; 2 it could not be \
read.

Example:
  deadfront plugin refresh shelf --dry-run";

/// Take in what is new on a shelf: plugins, vets, warnings, keys
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct RefreshArgs {
    /// The shelf
    pub folder: PathBuf,
    /// Tell what would come in, and change nothing
    #[arg(long)]
    pub dry_run: bool,
    /// Let a plugin take the id of one that ships with the program, or that another shop signed
    #[arg(long)]
    pub replace: bool,
}

pub(super) fn run(args: &RefreshArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let told = refresh::refresh(&home, &args.folder, args.dry_run, args.replace, Day::today())?;
    let refused = told.plugins.iter().any(|p| p.news == News::Refused);
    let clean = !refused && told.amiss.is_empty() && told.stopped.is_empty();
    let plugins = told
        .plugins
        .iter()
        .map(|p| json!({ "id": p.id, "version": p.version, "news": p.news.word(), "before": p.before, "why": p.why }));
    let json = json!({
        "dry_run": args.dry_run, "keeper": told.keeper, "serial": told.serial, "expires": told.expires, "amiss": told.amiss,
        "plugins": plugins.collect::<Vec<_>>(), "stopped": told.stopped, "keys": told.keys, "remarks": told.remarks,
    });
    let dry = args.dry_run;
    let exit = if clean { Exit::Clean } else { Exit::Found };
    Ok(Printed { exit, ..printed(json, move |look| refreshed_text(&told, dry, look))? })
}
