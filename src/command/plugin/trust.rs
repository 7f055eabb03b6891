//! `deadfront plugin trust`: what a shop trusts, carried to another machine. Must not know what is trusted.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::{carried_text, taken_text};
use crate::sharing::carry;
use crate::sharing::own::OwnShop;
use crate::sharing::{Day, Home, beforehand};
use clap::{Args, Subcommand};
use serde_json::json;
use std::path::PathBuf;

const HELP_EXPORT: &str = "\
The file holds the list of shops, the policy, every stop and lift, what is said of keys, the newest version each plugin had, and \
the numbers of the shelves that were read; with --with-key this shop's own key as well, encrypted as it is. It is signed; the \
signature lies beside it.

Example:
  deadfront plugin trust export trust.toml";

const HELP_IMPORT: &str = "\
Into a home without a list of shops all of it is taken. Into any other only what makes it stricter: stops, keys that were called \
back, newest versions. The 12 groups are those that `trust export` printed, or `plugin shops` on the old machine.

Example:
  deadfront plugin trust import trust.toml --fingerprint \"12345 67890 …\"";

/// Carry what this shop trusts, and what it stopped, to another machine
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP_EXPORT)]
pub(crate) struct TrustArgs {
    /// What to do
    #[command(subcommand)]
    pub command: TrustCommand,
}

/// Out or in.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum TrustCommand {
    /// Write it into a signed file
    #[command(after_help = HELP_EXPORT)]
    Export {
        /// The file
        file: PathBuf,
        /// Take this shop's own key along, encrypted as it is
        #[arg(long)]
        with_key: bool,
        /// The password of this shop's key.
        #[command(flatten)]
        password: PasswordArgs,
    },
    /// Take it from such a file
    #[command(after_help = HELP_IMPORT)]
    Import {
        /// The file
        file: PathBuf,
        /// Fingerprint of the key that signed it, all 12 groups; not needed where this home has that key
        #[arg(long, value_name = "GROUPS")]
        fingerprint: Option<String>,
    },
}

pub(super) fn run(args: &TrustArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    match &args.command {
        TrustCommand::Export { file, with_key, password } => {
            beforehand::can_unlock(&home)?;
            let own = OwnShop::unlock(&home, &password.password(false)?)?;
            let carried = own.carry(&home, file, *with_key, Day::today())?;
            let json = json!({
                "shop": carried.shop, "file": file.display().to_string(), "with_key": carried.with_key,
                "fingerprint": carried.key.fingerprint(), "files": carried.files,
            });
            let file = file.clone();
            printed(json, move |look| carried_text(&carried, &file, look))
        }
        TrustCommand::Import { file, fingerprint } => {
            let taken = carry::take(&home, file, fingerprint.as_deref())?;
            let json = json!({
                "shop": taken.shop, "date": taken.date, "merged": taken.merged, "took": taken.took, "left": taken.left,
            });
            printed(json, move |look| taken_text(&taken, look))
        }
    }
}
