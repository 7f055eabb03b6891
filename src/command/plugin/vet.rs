//! `deadfront plugin vet`. Must not know what a vet is worth.

use super::password::PasswordArgs;
use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::plugin::vm::Bounds;
use crate::plugin::{Folder, cases};
use crate::report::vetted_text;
use crate::sharing::own::{OwnShop, Statement, read_archive};
use crate::sharing::vet::{Did, VetResult};
use crate::sharing::{Day, Home, SharingError, beforehand};
use clap::{Args, ValueEnum};
use serde_json::json;
use std::path::{Path, PathBuf};

const HELP: &str = "\
The record is a text file beside the archive, with its signature. It is about these bytes and no others. \"known-bad\" \
stops the plugin, at its next check, in every shop that lists this one, and cancels what this shop said before; \
\"withdrawn\" takes an earlier record back. Records are numbered: of two the later number holds, whatever the day. Cases \
that are said to have been run are run now.

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
    let did: Vec<Did> = did.collect();
    // What the record says was run is what this program sees run.
    let cases = if did.contains(&Did::RanItsCases) { cases_that_hold(&home, &args.archive)? } else { 0 };
    let said = Statement { did, cases, result, note: args.note.clone(), date: Day::today() };
    beforehand::can_vet(&home, &args.archive, &said)?;
    let own = OwnShop::unlock(&home, &args.password.password(false)?)?;
    let (record, place) = own.vet(&home, &args.archive, said)?;
    let json = json!({
        "id": record.plugin, "version": record.version.to_string(), "sha256": record.sha256, "shop": record.shop,
        "number": record.number, "date": record.date, "did": record.did, "cases": record.cases,
        "program": record.program, "result": record.result, "note": record.note,
        "file": place.display().to_string(),
    });
    printed(json, move |look| vetted_text(&record, &place, look))
}

/// Runs the cases of an archive: how many came out as expected, which is all of them.
fn cases_that_hold(home: &Home, archive: &Path) -> Result<usize, Errors> {
    let (package, _) = read_archive(home, archive)?;
    let folder = Folder { origin: PathBuf::from(package.identity.stem()), files: package.files };
    let plugin = folder.plugin()?;
    let cases = cases::read(&folder, &plugin)?;
    let other: Vec<String> = cases
        .iter()
        .map(|case| cases::run(&plugin, case, Bounds::default()))
        .filter(|result| !result.as_expected())
        .map(|result| result.file)
        .collect();
    if other.is_empty() {
        return Ok(cases.len());
    }
    let message = format!("not every case comes out as expected: {}", other.join(", "));
    let help = "`deadfront plugin try` on the unpacked folder shows how; leave --did ran-its-cases out";
    Err(SharingError::wrong(archive, message, help).into())
}
