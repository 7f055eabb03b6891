//! The plugin commands and the way to each. Must not do anything itself.

use super::printed::Printed;
use super::{
    add, affected, diff, lift, list, new, pack, refresh, remove, review, shelf, shops, show, sign, stops, trial, trust,
    vet,
};
use crate::command::exit::Exit;
use crate::command::screen::{Format, Screen};
use crate::report::value_json;
use clap::Subcommand;
use serde_json::Value;

pub(in crate::command) const HELP: &str = "\
A plugin is a folder that adds checks for one kind of unit; plugins/README.md tells how to write one. A shop packs its \
plugin, signs it, and says in a vet record what it did with it; another shop lists the keys it trusts and adds it. What \
travels are plain files: by mail, on a stick, in a git repository, in a folder of the web.

Keys, policy and plugins live in the folder that DEADFRONT_HOME names, else where the system keeps a program's data.

Exit status: 0 done; 1 refused by this shop's policy, or a case came out otherwise than expected; 2 something could not be \
read, is wrong or could not be written; 3 the plugin failed.

Example:
  deadfront plugin list";

/// The plugin commands.
#[derive(Debug, Subcommand)]
pub(crate) enum PluginCommand {
    /// Make a new plugin: a small one that works, with cases
    New(new::NewArgs),
    /// Run a plugin's cases: what was expected, what was found
    Try(trial::TryArgs),
    /// List the plugins there are
    List(list::ListArgs),
    /// Show one plugin: what it checks, with limits and sources, whose it is, who vetted it
    Show(show::ShowArgs),
    /// Look through a plugin before it is vetted: signature, limits, source, cases, demo jigs, questions
    Review(review::ReviewArgs),
    /// Compare two versions of a plugin: limits, settings, checks, cases, code
    Diff(diff::DiffArgs),
    /// Pack a plugin's folder into one archive
    Pack(pack::PackArgs),
    /// Sign an archive with this shop's key
    Sign(sign::SignArgs),
    /// Write and sign a record of what this shop did with an archive
    Vet(vet::VetArgs),
    /// List, add or remove the shops whose keys this shop trusts
    Shops(shops::ShopsArgs),
    /// Add a plugin that was signed and vetted by shops you trust
    Add(add::AddArgs),
    /// Take in what is new on a shelf: plugins, vets, warnings, keys
    Refresh(refresh::RefreshArgs),
    /// Keep a shelf: a folder from which other shops refresh their plugins
    Shelf(shelf::ShelfArgs),
    /// Carry what this shop trusts, and what it stopped, to another machine
    Trust(trust::TrustArgs),
    /// Remove an added plugin
    Remove(remove::RemoveArgs),
    /// List what is stopped, by whom and why
    Stops(stops::StopsArgs),
    /// List locked jigs that were checked by a plugin that is stopped, superseded or gone
    Affected(affected::AffectedArgs),
    /// Take back what stopped a plugin, by name and with a reason
    Lift(lift::LiftArgs),
}

pub(in crate::command) fn run(command: &PluginCommand, screen: &mut Screen) -> Exit {
    let result = match command {
        PluginCommand::New(args) => new::run(args),
        PluginCommand::Try(args) => trial::run(args),
        PluginCommand::List(args) => list::run(args),
        PluginCommand::Show(args) => show::run(args),
        PluginCommand::Review(args) => review::run(args),
        PluginCommand::Affected(args) => affected::run(args),
        PluginCommand::Diff(args) => diff::run(args),
        PluginCommand::Pack(args) => pack::run(args),
        PluginCommand::Sign(args) => sign::run(args),
        PluginCommand::Vet(args) => vet::run(args),
        PluginCommand::Shops(args) => shops::run(args),
        PluginCommand::Add(args) => add::run(args),
        PluginCommand::Refresh(args) => refresh::run(args),
        PluginCommand::Shelf(args) => shelf::run(args),
        PluginCommand::Trust(args) => trust::run(args),
        PluginCommand::Remove(args) => remove::run(args),
        PluginCommand::Stops(args) => stops::run(args),
        PluginCommand::Lift(args) => lift::run(args),
    };
    match result {
        Ok(Printed { text, json, exit, paged }) => match (screen.format(), json) {
            (Format::Json, Value::Object(facts)) => screen.result(&value_json(facts), exit),
            _ if paged => screen.pages(&text(screen.look()), exit),
            _ => screen.result(&text(screen.look()), exit),
        },
        Err(errors) => {
            screen.errors(&errors);
            // What the machine did not do, or an input that is wrong, leaves more open than a refusal.
            if errors.all_refused() { Exit::Found } else { Exit::Unreadable }
        }
    }
}
