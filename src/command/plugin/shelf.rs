//! `deadfront plugin shelf`: a folder of plugins, records and keys for others, with its signed index. Must not decide what comes
//! in anywhere.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::shelf_text;
use crate::sharing::own::OwnShop;
use crate::sharing::shelf::ShelfWish;
use crate::sharing::{Day, Home, beforehand};
use clap::{Args, Subcommand};
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
The folder may be a stick, a git work tree, a mounted share or what is sent by mail. In it lie plugins/ID/VERSION/, vets/ and \
keys/; index.toml lists every file with its sha256, a number that only rises and a last day. It vouches for nothing. A \
.gitattributes is written where there is none, since a changed line end breaks a signature.

Example:
  deadfront plugin shelf make shelf --put parcel --put quillgate/key/shop.pub";

/// Keep a shelf: a folder from which other shops refresh their plugins
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct ShelfArgs {
    /// What to do
    #[command(subcommand)]
    pub command: ShelfCommand,
}

/// What is done to a shelf.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum ShelfCommand {
    /// Put files on a shelf, and write and sign its index
    #[command(after_help = HELP)]
    Make {
        /// The shelf
        folder: PathBuf,
        /// Archive, record, key record, public key, or a folder of them; may be given several times
        #[arg(long, value_name = "PATH")]
        put: Vec<PathBuf>,
        /// Days for which the index is to be believed
        #[arg(long, value_name = "DAYS", default_value_t = 90)]
        days: u32,
        /// The password of this shop's key.
        #[command(flatten)]
        password: PasswordArgs,
    },
}

pub(super) fn run(args: &ShelfArgs) -> Result<Printed, Errors> {
    let ShelfCommand::Make { folder, put, days, password } = &args.command;
    let home = Home::find()?;
    beforehand::can_unlock(&home)?;
    let own = OwnShop::unlock(&home, &password.password(false)?)?;
    let made = own.shelf(&home, &ShelfWish { folder, put, days: *days, today: Day::today() })?;
    let index = &made.index;
    let json = json!({
        "shop": index.shop, "shelf": index.shelf, "serial": index.serial, "made": index.made, "expires": index.expires,
        "files": index.files.iter().map(|f| json!({ "path": f.path, "sha256": f.sha256 })).collect::<Vec<_>>(),
        "put": made.put, "left_out": made.left_out, "index": made.place.display().to_string(),
    });
    printed(json, move |look| shelf_text(&made, look))
}
