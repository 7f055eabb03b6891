//! `deadfront plugin`: plugins written, tried and shared. One file a command. Must not judge, nor decide whom to trust.

mod add;
mod list;
mod new;
mod pack;
mod password;
mod remove;
mod shops;
mod sign;
mod trial;
mod vet;

pub use add::AddArgs;
pub use list::ListArgs;
pub use new::NewArgs;
pub use pack::PackArgs;
pub use password::PasswordArgs;
pub use remove::RemoveArgs;
pub use shops::{ShopsArgs, ShopsCommand};
pub use sign::SignArgs;
pub use trial::TryArgs;
pub use vet::VetArgs;

use super::{Exit, Format, Screen};
use crate::report::{Look, value_json};
use crate::sharing::{SharingError, SharingErrorKind};
use clap::Subcommand;

pub(super) const HELP: &str = "\
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
pub enum PluginCommand {
    /// Make a new plugin: a small one that works, with cases
    New(NewArgs),
    /// Run a plugin's cases: what was expected, what was found
    Try(TryArgs),
    /// List the plugins there are
    List(ListArgs),
    /// Pack a plugin's folder into one archive
    Pack(PackArgs),
    /// Sign an archive with this shop's key
    Sign(SignArgs),
    /// Write and sign a record of what this shop did with an archive
    Vet(VetArgs),
    /// List, add or remove the shops whose keys this shop trusts
    Shops(ShopsArgs),
    /// Add a plugin that was signed and vetted by shops you trust
    Add(AddArgs),
    /// Remove an added plugin
    Remove(RemoveArgs),
}

pub(super) fn run(command: &PluginCommand, screen: &mut Screen) -> Exit {
    let shared = match command {
        PluginCommand::New(args) => return authored_on(new::run(args), screen),
        PluginCommand::Try(args) => return authored_on(trial::run(args), screen),
        PluginCommand::List(args) => return authored_on(list::run(args), screen),
        PluginCommand::Pack(args) => pack::run(args),
        PluginCommand::Sign(args) => sign::run(args),
        PluginCommand::Vet(args) => vet::run(args),
        PluginCommand::Shops(args) => shops::run(args),
        PluginCommand::Add(args) => add::run(args),
        PluginCommand::Remove(args) => remove::run(args),
    };
    match shared {
        Ok(Printed { text, json }) => show(text, json, Exit::Clean, screen),
        Err(faults) => {
            screen.faults(&faults);
            // A fault of the machine or of an input leaves more open than a refusal.
            let refused = faults.iter().all(|f| f.kind == SharingErrorKind::Refused);
            if refused { Exit::Found } else { Exit::Unreadable }
        }
    }
}

fn authored_on(result: Result<Authored, Vec<crate::jig::InputError>>, screen: &mut Screen) -> Exit {
    match result {
        Ok(Authored { text, json, exit }) => show(text, json, exit, screen),
        Err(faults) => screen.faults(&faults),
    }
}

type Text = Box<dyn FnOnce(Look) -> String>;

fn show(text: Text, json: serde_json::Value, exit: Exit, screen: &mut Screen) -> Exit {
    match (screen.format(), json) {
        (Format::Json, serde_json::Value::Object(facts)) => screen.result(&value_json(facts), exit),
        _ => screen.result(&text(screen.look()), exit),
    }
}

/// A result in both its forms.
struct Printed {
    text: Text,
    json: serde_json::Value,
}

fn printed(json: serde_json::Value, text: impl FnOnce(Look) -> String + 'static) -> Result<Printed, Vec<SharingError>> {
    Ok(Printed { text: Box::new(text), json })
}

/// A result in both its forms, and how it ended.
struct Authored {
    text: Text,
    json: serde_json::Value,
    exit: Exit,
}

fn authored(
    exit: Exit,
    json: serde_json::Value,
    text: impl FnOnce(Look) -> String + 'static,
) -> Result<Authored, Vec<crate::jig::InputError>> {
    Ok(Authored { text: Box::new(text), json, exit })
}

fn one(fault: SharingError) -> Vec<SharingError> {
    vec![fault]
}
