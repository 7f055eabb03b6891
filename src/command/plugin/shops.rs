//! `deadfront plugin shops`: the list of trusted keys. Must not know what they sign.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::{clean, key_text, shop_text, shops_text};
use crate::sharing::keys::{self, not_listed};
use crate::sharing::own::{self, OwnShop, TrustTerms};
use crate::sharing::rotate::{KeyStatement, KeyWritten};
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

const HELP_ROTATE: &str = "\
The old key names the new one in a record (*.succession.keyrec) for the shops that list this one: they add it like a vet. \
There it is taken once a shop of their list, or a person, has compared the new key with yours. The new key has the password \
of the old one, which stays beside it so that it can be called back.

Example:
  deadfront plugin shops rotate --reason \"a new machine\" --into parcel";

const HELP_REVOKE: &str = "\
Without a name this shop's own key is called back, in a record (*.revocation.keyrec) for everybody who lists it; with --key an \
earlier one. Of another shop, which has lost its key or cannot be reached, the key is called back here alone. What the key \
signed counts only where it was here before that day, if the policy lets it (before-revocation). A key that was called back \
never comes again: `shops own` or `shops add` puts the shop's new one in its row.

Example:
  deadfront plugin shops revoke --since 2026-11-20 --reason \"the laptop was stolen\" --into parcel";

const HELP_CONFIRM: &str = "\
Compare all 12 groups of the new key with the shop by voice first. With --into the word is written down as a record \
(*.confirmation.keyrec), on which shops that list this one may rely.

Example:
  deadfront plugin shops confirm \"Quillgate Repair Co-op\"";

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
    /// Give this shop a new key, which the old one names
    #[command(after_help = HELP_ROTATE)]
    Rotate {
        /// Why; everybody reads it
        #[arg(long, value_name = "TEXT", default_value = "")]
        reason: String,
        /// Folder for the record
        #[arg(long, value_name = "FOLDER", default_value = ".")]
        into: PathBuf,
        /// The password of the key, old and new.
        #[command(flatten)]
        password: PasswordArgs,
    },
    /// Call a key back: this shop's own, or here alone that of another
    #[command(after_help = HELP_REVOKE)]
    #[command(override_usage = "deadfront plugin shops revoke --since <DAY> --reason <TEXT> [NAME]")]
    Revoke {
        /// Name of another shop; without it, this one
        name: Option<String>,
        /// First day on which the key is not to be relied on
        #[arg(long, value_name = "DAY", value_parser = day)]
        since: Day,
        /// Why; everybody reads it
        #[arg(long, value_name = "TEXT")]
        reason: String,
        /// Number of the earlier key of this shop that is called back
        #[arg(long, value_name = "NUMBER", conflicts_with = "name")]
        key: Option<String>,
        /// Folder for the record
        #[arg(long, value_name = "FOLDER", default_value = ".")]
        into: PathBuf,
        /// The password of this shop's key.
        #[command(flatten)]
        password: PasswordArgs,
    },
    /// Take the new key of a shop, which its old one names, after comparing it
    #[command(after_help = HELP_CONFIRM)]
    Confirm {
        /// Name of the shop
        name: String,
        /// Folder for a record that tells it to others
        #[arg(long, value_name = "FOLDER")]
        into: Option<PathBuf>,
        /// The password of this shop's key.
        #[command(flatten)]
        password: PasswordArgs,
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
        Some(ShopsCommand::Rotate { reason, into, password }) => {
            beforehand::can_unlock(&home)?;
            let password = password.password(false)?;
            let own = OwnShop::unlock(&home, &password)?;
            let said = KeyStatement { reason: reason.clone(), into: into.clone(), date: today };
            let (shop, written) = own.rotate(&home, &password, &said)?;
            printed(key_facts(&written), move |look| key_text(&written, Some(&shop), look))
        }
        Some(ShopsCommand::Revoke { name, since, reason, key, into, password }) => {
            let own = OwnShop::unlock_key(&home, key.as_deref(), &password.password(false)?)?;
            let said = KeyStatement { reason: reason.clone(), into: into.clone(), date: today };
            let shops = own::shops(&home)?;
            let other = match name {
                None => None,
                Some(name) if *name == own.name => None,
                Some(name) => Some(shops.named(name).ok_or_else(|| not_listed(&home.shops(), name, &shops))?),
            };
            let written = own.revoke(&home, other, *since, &said)?;
            printed(key_facts(&written), move |look| key_text(&written, None, look))
        }
        Some(ShopsCommand::Confirm { name, into, password }) => {
            let own = into.as_ref().map(|_| OwnShop::unlock(&home, &password.password(false)?).map_err(Errors::from));
            let own = own.transpose()?;
            let (shop, record) = keys::confirm(&home, name)?;
            if let (Some(into), Some(own)) = (into, own) {
                let said = KeyStatement { reason: String::new(), into: into.clone(), date: today };
                let written = own.confirmation(&home, &record, &said)?;
                return printed(key_facts(&written), move |look| key_text(&written, Some(&shop), look));
            }
            printed(facts(&shop), move |look| shop_text(&shop, None, look))
        }
        Some(ShopsCommand::Remove { name }) => {
            own::distrust(&home, name)?;
            let text = format!("{} is not trusted any more\n", clean(name));
            printed(json!({ "removed": name }), move |_| text)
        }
    }
}

fn key_facts(written: &KeyWritten) -> Value {
    let KeyWritten { record, place } = written;
    json!({
        "says": record.says, "shop": record.shop, "number": record.number, "key": record.key, "signed_by": record.signed_by,
        "new_key": record.new_key().map(|k| json!({ "key": k.text(), "fingerprint": k.fingerprint() })),
        "since": record.since, "date": record.date, "reason": record.reason, "file": place.display().to_string(),
    })
}

fn facts(shop: &Shop) -> Value {
    json!({
        "name": shop.name, "key": shop.key.text(), "fingerprint": shop.key.fingerprint(), "for": shop.trusted, "only": shop.only, "until": shop.until,
        "earlier": shop.earlier.iter().map(|e| json!({ "key": e.key.text(), "last_number": e.last_number })).collect::<Vec<_>>(),
    })
}
