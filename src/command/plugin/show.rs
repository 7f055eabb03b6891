//! `deadfront plugin show`: one plugin, what it checks, whose it is, who said what of it. Must not run it.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::command::exit::Exit;
use crate::plugin::{Loaded, Stopped};
use crate::report::{Shown, show_json, show_text};
use crate::sharing::{Day, Home, SharingError, Sources, dossier, kept_versions};
use clap::Args;
use std::path::{Path, PathBuf};

const HELP: &str = "\
Of an added plugin the signer, the key, every vet and what the policy lacks are told as well, and the earlier versions that are \
kept for jigs whose lock names them.

Example:
  deadfront plugin show isolated-supply";

/// Show one plugin: what it checks, with limits and sources, whose it is, who vetted it
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct ShowArgs {
    /// Id of the plugin
    pub id: String,
    /// Folder of a plugin, or of several, as for check; may be given several times
    #[arg(long, value_name = "FOLDER")]
    pub plugins: Vec<PathBuf>,
}

pub(super) fn run(args: &ShowArgs) -> Result<Printed, Errors> {
    let home = Home::find().ok();
    let today = Day::today();
    let sources = Sources { home: home.clone(), folders: args.plugins.clone(), lock_of: None };
    let all = sources.all(today)?;
    let Some(known) = all.iter().find(|k| k.plugin.id() == args.id) else {
        let ids: Vec<&str> = all.iter().map(|k| k.plugin.id()).collect();
        let message = format!("no plugin is called \"{}\"", args.id.escape_debug());
        return Err(SharingError::wrong(Path::new("plugins"), message, format!("there are: {}", ids.join(", "))).into());
    };
    let added = match &home {
        Some(home) if known.origin.word() == "added" => dossier::of_installed(home, &args.id, today).ok().flatten(),
        _ => None,
    };
    let kept = home.as_ref().map_or_else(|| Ok(vec![]), |home| kept_versions(home, &args.id))?;
    let (plugin, stopped) = match &known.plugin {
        Loaded::Ready(plugin) => (Some((**plugin).clone()), None),
        Loaded::Stopped(Stopped { why, .. }) => {
            let files = added
                .as_ref()
                .map(|d| crate::plugin::Folder { origin: PathBuf::from(&args.id), files: d.files.clone() });
            (files.and_then(|f| f.plugin().ok()), Some(why.clone()))
        }
    };
    let exit = if stopped.is_some() { Exit::Incomplete } else { Exit::Clean };
    let shown = Shown {
        id: args.id.clone(),
        from: known.origin.word(),
        sha256: known.plugin.sha256().to_string(),
        instead: known.replaces.clone(),
        plugin,
        stopped,
        dossier: added,
        kept,
    };
    Ok(Printed { exit, ..printed(show_json(&shown), move |look| show_text(&shown, look))? })
}
