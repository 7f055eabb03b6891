//! `deadfront plugin new`. Must not know what stands in the files.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::plugin::skeleton;
use crate::report::made_text;
use clap::Args;
use serde_json::json;
use std::path::Path;

const HELP: &str = "\
Makes the folder ID where you are, whole or not at all; a folder that is there already is left alone.

Example:
  deadfront plugin new probe-bleeder";

/// Make a new plugin: a small one that works, with cases
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct NewArgs {
    /// Id: lower-case words joined by hyphens
    pub id: String,
}

pub(super) fn run(args: &NewArgs) -> Result<Printed, Errors> {
    let (folder, files) = skeleton::write(Path::new("."), &args.id)?;
    let json = json!({ "id": args.id, "folder": folder.display().to_string(), "files": files });
    printed(json, move |look| made_text(&folder, &files, look))
}
