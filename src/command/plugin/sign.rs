//! `deadfront plugin sign`. Must not know how a signature is made.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::signed_text;
use crate::sharing::{Home, beforehand, own::OwnShop};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
The signature is put beside the archive, as ARCHIVE.minisig. The minisign program verifies it too: minisign -V -p \
shop.pub -m ARCHIVE.

Example:
  deadfront plugin sign probe-bleeder-1.0.0.tar.gz";

/// Sign an archive with this shop's key
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct SignArgs {
    /// The archive
    pub archive: PathBuf,
    /// The password of this shop's key.
    #[command(flatten)]
    pub password: PasswordArgs,
}

pub(super) fn run(args: &SignArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    beforehand::can_sign(&home, &args.archive)?;
    let own = OwnShop::unlock(&home, &args.password.password(false)?)?;
    let (package, signature) = own.sign(&home, &args.archive)?;
    let json = json!({
        "id": package.identity.id, "version": package.identity.version.to_string(), "sha256": package.sha256,
        "shop": own.name, "key": own.key.text(), "fingerprint": own.key.fingerprint(), "signature": signature.display().to_string(),
    });
    printed(json, move |look| signed_text(&package, &own.name, &own.key, &signature, look))
}
