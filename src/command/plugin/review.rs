//! `deadfront plugin review`: what somebody needs who is to vet a plugin, in the order in which it is needed. Nothing of an
//! archive runs before its signature and its bounds were looked at. Must not decide what the vet says.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::command::{exit::Exit, jig_files};
use crate::plugin::cases::{self, CaseResult};
use crate::plugin::demo::{self, OnJig};
use crate::plugin::find::{self};
use crate::plugin::identity::is_kebab;
use crate::plugin::vm::Bounds;
use crate::plugin::{Folder, read_through};
use crate::report::{Review, ReviewedCase, dossier_json, review_text};
use crate::sharing::dossier::{self, Dossier};
use crate::sharing::{Day, Home, SharingError};
use crate::{jig, sizing};
use clap::Args;
use serde_json::json;
use std::path::{Path, PathBuf};

const HELP: &str = "\
In this order: signature, vets and what the policy lacks; checks with their limits and sources; the source with numbered \
lines and every character that is not seen written out, and the lines to look at twice; its cases, run; every demo jig with \
and without it, and your own with --jigs; the questions that a vet answers. On a terminal it stops after each page.

A plugin that ships is reviewed by its id too. `plugin diff` shows what an update changes: read both.

Exit status: 0 all cases came out as expected and nothing calls it bad; 1 otherwise; 2 it could not be read; 3 it failed.

Example:
  deadfront plugin review probe-bleeder-1.0.0.tar.gz";

/// Look through a plugin before it is vetted: signature, limits, source, cases, demo jigs, questions
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct ReviewArgs {
    /// An archive, or the id of a plugin that is here
    #[arg(value_name = "ARCHIVE|ID")]
    pub what: PathBuf,
    /// Jig files, or folders of them, on which it is run besides; may be given several times
    #[arg(long, value_name = "JIG")]
    pub jigs: Vec<PathBuf>,
}

pub(super) fn run(args: &ReviewArgs) -> Result<Printed, Errors> {
    let home = Home::find()?;
    let (dossier, folder) = opened(&home, &args.what)?;
    let plugin = folder.plugin()?;
    let cases = cases::read(&folder, &plugin)?;
    let results: Vec<CaseResult> = cases.iter().map(|c| cases::run(&plugin, c, Bounds::default())).collect();
    let mut jigs = vec![];
    for (file, bytes) in demo::jigs().into_iter().chain(begun(&plugin.manifest.units)) {
        jigs.push(demo::on(&plugin, &file, &bytes)?);
    }
    for place in jig_files::named(&args.jigs)? {
        jigs.push(demo::on(&plugin, &jig_files::shown(&place), &jig::load(&place)?)?);
    }
    let bad = dossier.as_ref().is_some_and(|d| !d.bad.is_empty());
    let exit = match (results.iter().any(|r| r.outcome.is_err()), results.iter().all(CaseResult::as_expected)) {
        (true, _) => Exit::Incomplete,
        (false, true) if !bad => Exit::Clean,
        _ => Exit::Found,
    };
    let shown = Review {
        archive: args.what.display().to_string(),
        files: folder.files.iter().map(|(name, bytes)| (name.clone(), bytes.len())).collect(),
        places: read_through::places(&plugin.source),
        cases: results.iter().map(case).collect(),
        notes: crate::plugin::trial::left_open(&plugin, &results),
        jigs,
        plugin,
        dossier,
    };
    let looked: Vec<_> = shown
        .jigs
        .iter()
        .map(|OnJig { file, unit, without, adds }| {
            json!({ "file": file, "unit": unit, "verdict_without": without.0, "findings_without": without.1, "adds": adds })
        })
        .collect();
    let json = json!({
        "plugin": dossier_json(&shown), "look_twice": shown.places, "jigs": looked, "left_open": shown.notes,
        "cases": shown.cases.iter().map(|c| json!({
            "file": c.file, "expected": c.expected, "found": c.found, "as_expected": c.as_expected, "failed": c.failed,
        })).collect::<Vec<_>>(),
    });
    Ok(Printed { exit, paged: true, ..printed(json, move |look| review_text(&shown, look))? })
}

fn case(r: &CaseResult) -> ReviewedCase {
    ReviewedCase {
        file: Path::new(&r.file).file_name().map_or(r.file.clone(), |n| n.to_string_lossy().into_owned()),
        expected: r.expected.iter().cloned().collect(),
        found: r.found().into_iter().collect(),
        as_expected: r.as_expected(),
        failed: r.outcome.as_ref().err().cloned(),
    }
}

/// An archive, or a plugin that is here, with what is known of it.
pub(super) fn opened(home: &Home, what: &Path) -> Result<(Option<Dossier>, Folder), Errors> {
    let today = Day::today();
    let folder_of = |d: &Dossier| Folder { origin: PathBuf::from(d.identity.stem()), files: d.files.clone() };
    if what.is_dir() {
        return Ok((None, Folder::read(what)?));
    }
    if what.exists() {
        let dossier = dossier::of_file(home, what, today)?;
        let folder = folder_of(&dossier);
        return Ok((Some(dossier), folder));
    }
    let id = what.to_string_lossy();
    let known = if is_kebab(&id) { dossier::of_installed(home, &id, today)? } else { None };
    if let Some(dossier) = known {
        let folder = folder_of(&dossier);
        return Ok((Some(dossier), folder));
    }
    let shipped = find::shipped().into_iter().find(|f| f.origin.file_name().is_some_and(|n| *n == *id));
    let none = || {
        let help = "name an archive ID-VERSION.tar.gz, the folder of a plugin, or an id of `deadfront plugin list`";
        SharingError::wrong(what, "is neither an archive nor a plugin that is here", help)
    };
    Ok((None, shipped.ok_or_else(none)?))
}

/// The jigs that `deadfront new` writes for these units.
fn begun(units: &[String]) -> Vec<(String, Vec<u8>)> {
    let one = |unit: &String| {
        let begun = sizing::begin(unit, &sizing::MainsWish::default()).ok()?;
        Some((format!("deadfront new {unit}"), begun.text.into_bytes()))
    };
    units.iter().filter_map(one).collect()
}
