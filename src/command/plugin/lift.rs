//! `deadfront plugin lift`. Must not decide what may run then.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::lifted_text;
use crate::sharing::lift::LiftReason;
use crate::sharing::own::OwnShop;
use crate::sharing::{Day, Home, beforehand};
use clap::Args;
use serde_json::json;

const HELP: &str = "\
Name and reason are kept in a record that this shop signs. The vets of the shops that said \"known-bad\" stay cancelled: the \
plugin runs again only where others suffice. The next known-bad stops it again.

Example:
  deadfront plugin lift probe-bleeder@1.0.0 --by \"A. Person\" --reason \"measured, see bench book\"";

/// Take back what stopped a plugin, by name and with a reason
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct LiftArgs {
    /// ID@VERSION, or the first 12 digits or more of the archive's sha256
    #[arg(value_name = "WHAT")]
    pub what: String,
    /// Name of the person who lifts it
    #[arg(long, value_name = "NAME")]
    pub by: String,
    /// Why it may be used after all
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
    /// Only what this shop said; without it, all that stops these bytes
    #[arg(long, value_name = "SHOP", default_value = "")]
    pub of: String,
    /// The password of this shop's key.
    #[command(flatten)]
    pub password: PasswordArgs,
}

pub(super) fn run(args: &LiftArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let why = LiftReason { by: args.by.clone(), reason: args.reason.clone(), of: args.of.clone(), date: Day::today() };
    beforehand::can_lift(&home, &args.what, &why)?;
    let own = OwnShop::unlock(&home, &args.password.password(false)?)?;
    let (lift, stops) = own.lift(&home, &args.what, why)?;
    let shops: Vec<&str> = stops.iter().map(|s| s.shop.as_str()).collect();
    let json = json!({
        "sha256": lift.sha256, "by": lift.by, "reason": lift.reason, "date": lift.date, "of": shops,
    });
    printed(json, move |look| lifted_text(&lift, &stops, look))
}
