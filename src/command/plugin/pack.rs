//! `deadfront plugin pack`. Must not know what an archive is made of.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::packed_text;
use crate::sharing::{Home, own};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
The same folder gives the same bytes, on every machine and with every version of this program. Hidden files stay \
outside; what cannot travel is told. The archive is named ID-VERSION.tar.gz, and has to keep that name.

Example:
  deadfront plugin pack demo-data/sharing/probe-bleeder";

/// Pack a plugin's folder into one archive
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct PackArgs {
    /// The plugin's folder
    pub folder: PathBuf,
    /// Folder the archive is put into
    #[arg(long, value_name = "FOLDER", default_value = ".")]
    pub into: PathBuf,
}

pub(super) fn run(args: &PackArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let (package, place) = own::pack(&home, &args.folder, &args.into)?;
    let place = place.strip_prefix(".").map(PathBuf::from).unwrap_or(place);
    let json = json!({
        "id": package.identity.id, "version": package.identity.version.to_string(), "sha256": package.sha256,
        "file": place.display().to_string(), "files": package.files.keys().collect::<Vec<_>>(),
    });
    printed(json, move |look| packed_text(&package, &place, look))
}
