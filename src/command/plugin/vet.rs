//! `deadfront plugin vet`. Must not know what a vet is worth.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::vetted_text;
use crate::sharing::own::{OwnShop, Statement};
use crate::sharing::vet::{Did, VetResult};
use crate::sharing::{Day, Home};
use clap::{Args, ValueEnum};
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
The record is a text file beside the archive, with its signature. It is about these bytes and no others. \"known-bad\" \
stops the plugin, at its next check, in every shop that trusts this one to warn; \"withdrawn\" takes an earlier record \
back.

Example:
  deadfront plugin vet lamp-1.0.0.tar.gz --did read-the-source --result good";

/// What was done with a plugin, as it is written on the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum DidWord {
    ReadTheSource,
    RanItsCases,
    TriedOnABenchUnit,
    Measured,
}

/// What came of it, as it is written on the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum ResultWord {
    Good,
    KnownBad,
    Withdrawn,
}

/// Write and sign a record of what this shop did with an archive
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct VetArgs {
    /// The archive
    pub archive: PathBuf,
    /// What was done; may be given several times
    #[arg(long, value_enum, value_name = "WHAT")]
    pub did: Vec<DidWord>,
    /// What came of it
    #[arg(long, value_enum, value_name = "RESULT")]
    pub result: ResultWord,
    /// Anything else worth saying
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub note: String,
    /// The password of this shop's key.
    #[command(flatten)]
    pub password: PasswordArgs,
}

pub(super) fn run(args: &VetArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let did = args.did.iter().map(|d| match d {
        DidWord::ReadTheSource => Did::ReadTheSource,
        DidWord::RanItsCases => Did::RanItsCases,
        DidWord::TriedOnABenchUnit => Did::TriedOnABenchUnit,
        DidWord::Measured => Did::Measured,
    });
    let result = match args.result {
        ResultWord::Good => VetResult::Good,
        ResultWord::KnownBad => VetResult::KnownBad,
        ResultWord::Withdrawn => VetResult::Withdrawn,
    };
    let said = Statement { did: did.collect(), result, note: args.note.clone(), date: Day::today() };
    let own = OwnShop::unlock(&home, &args.password.password(false)?)?;
    let (record, place) = own.vet(&home, &args.archive, said)?;
    let json = json!({
        "id": record.plugin, "version": record.version.to_string(), "sha256": record.sha256, "shop": record.shop,
        "date": record.date, "did": record.did, "result": record.result, "note": record.note,
        "file": place.display().to_string(),
    });
    printed(json, move |look| vetted_text(&record, &place, look))
}
