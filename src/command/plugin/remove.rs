//! `deadfront plugin remove`. Must not know how a plugin is kept.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::clean;
use crate::sharing::{self, Home};
use clap::Args;
use serde_json::json;

const HELP: &str = "\
Its version is remembered, so that an older one cannot come in unnoticed; --forget lets that go too.

Example:
  deadfront plugin remove probe-bleeder";

/// Remove an added plugin
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct RemoveArgs {
    /// Id of the plugin
    pub id: String,
    /// Forget its version as well, so that an older one can be added
    #[arg(long)]
    pub forget: bool,
}

pub(super) fn run(args: &RemoveArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let removed = sharing::remove(&home, &args.id, args.forget)?;
    let memory = if removed.forgotten { "its version is forgotten" } else { "an older version is still refused" };
    let text = format!("Removed {} {}; {memory}\n", clean(&args.id), removed.version);
    let json = json!({ "id": args.id, "version": removed.version, "forgotten": removed.forgotten });
    printed(json, move |_| text)
}
