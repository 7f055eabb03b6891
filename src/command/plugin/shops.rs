//! `deadfront plugin shops`: the list of trusted keys. Must not know what they sign.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::{clean, shop_text, shops_text};
use crate::sharing::own::{self, TrustTerms};
use crate::sharing::shops::{Purpose, Shop};
use crate::sharing::{Day, Home, beforehand};
use clap::{Args, Subcommand, ValueEnum};
use serde_json::{Value, json};
use std::path::PathBuf;

const HELP: &str = "\
Without a command it lists the shops, and writes the commented policy into the home when there is none yet.

Example:
  deadfront plugin shops";

const HELP_OWN: &str = "\
The secret key is kept encrypted in the home; the public one beside it is for other shops. This shop is then in its own \
list like any other.

Example:
  deadfront plugin shops own \"Quillgate Repair Co-op\"";

const HELP_ADD: &str = "\
sign: its signature says that a plugin is its own. vet: its vets count. warn: nothing but its \"known bad\", which every \
shop of the list says with effect.

Example:
  deadfront plugin shops add \"Saltmarsh Bench\" saltmarsh.pub --for vet";

const HELP_REMOVE: &str = "\
Plugins that rest on its word are stopped at their next check. What it stopped stays stopped.

Example:
  deadfront plugin shops remove \"Saltmarsh Bench\"";

/// What a shop is trusted for, as it is written on the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum PurposeWord {
    Sign,
    Vet,
    Warn,
}

/// List, add or remove the shops whose keys this shop trusts
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct ShopsArgs {
    /// What to do; without it the list is printed.
    #[command(subcommand)]
    pub command: Option<ShopsCommand>,
}

/// What is done to the list.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum ShopsCommand {
    /// Make this shop's own key
    #[command(after_help = HELP_OWN)]
    Own {
        /// Name of this shop
        name: String,
        /// The password of the key.
        #[command(flatten)]
        password: PasswordArgs,
    },
    /// Trust a shop's key
    #[command(after_help = HELP_ADD)]
    Add {
        /// Name of the shop, as it calls itself in its records
        name: String,
        /// File of its public key
        key: PathBuf,
        /// What it is trusted for; may be given several times
        #[arg(long = "for", value_enum, value_name = "WHAT", required = true)]
        trusted: Vec<PurposeWord>,
        /// Plugin for which it is trusted; without it, all
        #[arg(long, value_name = "ID")]
        only: Vec<String>,
        /// Last day of the trust; without it, as long as the policy allows
        #[arg(long, value_name = "DAY", value_parser = day)]
        until: Option<Day>,
    },
    /// End the trust in a shop
    #[command(after_help = HELP_REMOVE)]
    Remove {
        /// Name of the shop
        name: String,
    },
}

fn day(text: &str) -> Result<Day, String> {
    text.parse()
}

pub(super) fn run(args: &ShopsArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let today = Day::today();
    match &args.command {
        None => {
            let shops = own::shops(&home)?;
            let remarks = home.remarks();
            let json = json!({ "shops": shops.iter().map(facts).collect::<Vec<_>>(), "remarks": remarks });
            printed(json, move |look| shops_text(&shops, &home.shops(), &home.policy(), &remarks, today, look))
        }
        Some(ShopsCommand::Own { name, password }) => {
            beforehand::can_make(&home, name)?;
            let shop = own::make(&home, name, &password.password(true)?, today)?;
            printed(facts(&shop), move |look| shop_text(&shop, Some(&home.public_key()), look))
        }
        Some(ShopsCommand::Add { name, key, trusted, only, until }) => {
            let trusted = Purpose::ALL.into_iter().filter(|f| {
                let word = match f {
                    Purpose::Sign => PurposeWord::Sign,
                    Purpose::Vet => PurposeWord::Vet,
                    Purpose::Warn => PurposeWord::Warn,
                };
                trusted.contains(&word)
            });
            let given = TrustTerms { trusted: trusted.collect(), only: only.clone(), until: *until };
            let shop = own::trust(&home, name, key, given, today)?;
            printed(facts(&shop), move |look| shop_text(&shop, None, look))
        }
        Some(ShopsCommand::Remove { name }) => {
            own::distrust(&home, name)?;
            let text = format!("{} is not trusted any more\n", clean(name));
            printed(json!({ "removed": name }), move |_| text)
        }
    }
}

fn facts(shop: &Shop) -> Value {
    json!({
        "name": shop.name, "key": shop.key.text(), "fingerprint": shop.key.fingerprint(), "for": shop.trusted, "only": shop.only, "until": shop.until,
    })
}
