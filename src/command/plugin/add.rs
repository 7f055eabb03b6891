//! `deadfront plugin add`. Must not decide what is let in.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::added_text;
use crate::sharing::{self, Day, Home};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
Of a folder everything in it is taken; with an archive the signature and the records that lie beside it. What the policy \
asks for and is not there is told, and nothing is installed. A known-bad record of a trusted shop is kept in any case.

Example:
  deadfront plugin add parcel";

/// Add a plugin that was signed and vetted by shops you trust
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct AddArgs {
    /// Archives, records, or folders in which they lie
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Let it take the id of a plugin that ships with the program, or that another shop signed
    #[arg(long)]
    pub replace: bool,
}

pub(super) fn run(args: &AddArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let added = sharing::add(&home, &args.paths, args.replace, Day::today())?;
    let plugins = added.plugins.iter().map(|p| {
        json!({
            "id": p.id, "version": p.version, "sha256": p.sha256, "before": p.before, "signed_by": p.signed_by,
            "vetted_by": p.vetted_by,
        })
    });
    let json = json!({ "plugins": plugins.collect::<Vec<_>>(), "warnings": added.warnings, "remarks": added.remarks, "keys": added.keys });
    printed(json, move |look| added_text(&added, look))
}
