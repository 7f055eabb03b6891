//! `deadfront plugin list`. Must not look for plugins itself.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::command::exit::Exit;
use crate::plugin::find::KnownPlugin;
use crate::plugin::{Loaded, Stopped};
use crate::report::{Listed, listed_text};
use crate::sharing::{Day, Home, Sources};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
Of two plugins with one id only one is used: a folder named with --plugins comes before what was added, and that before \
what ships.

Example:
  deadfront plugin list --format json";

/// List the plugins there are
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct ListArgs {
    /// Folder of a plugin, or of several, as for check; may be given several times
    #[arg(long, value_name = "FOLDER")]
    pub plugins: Vec<PathBuf>,
}

pub(super) fn run(args: &ListArgs) -> Result<Printed, Errors> {
    let home = Home::find().ok();
    let remarks = home.as_ref().map_or_else(Vec::new, Home::remarks);
    let list: Vec<Listed> =
        Sources { home, folders: args.plugins.clone(), lock_of: None }.all(Day::today())?.iter().map(listed).collect();
    let exit = if list.iter().any(|l| !l.stopped.is_empty()) { Exit::Incomplete } else { Exit::Clean };
    let json = json!({ "plugins": list, "remarks": remarks });
    Ok(Printed { exit, ..printed(json, move |look| listed_text(&list, &remarks, look))? })
}

fn listed(known: &KnownPlugin) -> Listed {
    let (from, instead) = (known.origin.word(), known.replaces.clone());
    match &known.plugin {
        Loaded::Ready(p) => Listed {
            id: p.manifest.id.clone(),
            version: p.manifest.version.to_string(),
            title: p.manifest.title.clone(),
            units: p.manifest.units.clone(),
            from,
            sha256: p.sha256.clone(),
            vetted_by: p.vetted_by.clone(),
            instead,
            stopped: String::new(),
        },
        Loaded::Stopped(Stopped { id, version, sha256, why }) => Listed {
            id: id.clone(),
            version: version.clone(),
            title: String::new(),
            units: vec![],
            from,
            sha256: sha256.clone(),
            vetted_by: vec![],
            instead,
            stopped: why.clone(),
        },
    }
}
