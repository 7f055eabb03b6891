//! `deadfront plugin diff`: what an update changes. Runs the cases of the old version on the new one, and both versions on the jigs
//! that are named. Must not judge what it finds.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::command::jig_files;
use crate::jig;
use crate::plugin::cases::{self, Alone};
use crate::plugin::compared;
use crate::plugin::vm::Bounds;
use crate::plugin::{Folder, Plugin};
use crate::report::{Difference, JigDifference, difference_text};
use crate::sharing::Home;
use crate::sharing::own::read_archive;
use clap::Args;
use serde_json::json;
use std::path::{Path, PathBuf};

const HELP: &str = "\
Limits, numbers and settings come first: a limit that was loosened is one line of them. The cases of the old version are run \
on the new one. With --jigs both versions look at your own jigs, and those are told on which they differ. Nothing of an archive is \
written anywhere.

Example:
  deadfront plugin diff bleeder-1.0.0.tar.gz bleeder-1.1.0.tar.gz --jigs .";

/// Compare two versions of a plugin: limits, settings, checks, cases, code
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct DiffArgs {
    /// The old version: its archive or its folder
    pub old: PathBuf,
    /// The new version: its archive or its folder
    pub new: PathBuf,
    /// Jig files, or folders of them, on which both versions are run; may be given several times
    #[arg(long, value_name = "JIG")]
    pub jigs: Vec<PathBuf>,
}

pub(super) fn run(args: &DiffArgs) -> Result<Printed, Errors> {
    let [old, new] = [opened(&args.old)?, opened(&args.new)?];
    let (before, now) = (old.plugin()?, new.plugin()?);
    let shown = Difference {
        stamps: [before.manifest.stamp(), now.manifest.stamp()],
        changes: compared::of_manifests(&before.manifest, &now.manifest),
        files: compared::of_files(&old, &new),
        code: compared::of_lines(&before.source, &now.source),
        old_cases: old_cases(&old, &now),
        jigs: if args.jigs.is_empty() { vec![] } else { on_jigs(&args.jigs, &before, &now)? },
    };
    let files: Vec<_> = shown.files.iter().map(|(name, how)| json!({ "name": name, "how": how })).collect();
    let jigs: Vec<_> = shown.jigs.iter().map(|j| json!({ "file": j.file, "before": j.before, "now": j.now })).collect();
    let json = json!({
        "old": shown.stamps[0], "new": shown.stamps[1], "changes": shown.changes, "files": files, "code": shown.code,
        "old_cases": shown.old_cases, "jigs": jigs,
    });
    printed(json, move |look| difference_text(&shown, look))
}

/// A plugin's files, from its folder or out of its archive.
fn opened(place: &Path) -> Result<Folder, Errors> {
    if place.is_dir() {
        return Ok(Folder::read(place)?);
    }
    let (package, _) = read_archive(&Home::find()?, place)?;
    Ok(Folder { origin: PathBuf::from(package.identity.stem()), files: package.files })
}

/// What the cases of the old version come to on the new one: one line for each that does not come out as it was expected.
fn old_cases(old: &Folder, now: &Plugin) -> Vec<String> {
    let cases = match cases::read(old, now) {
        Ok(cases) => cases,
        // A check that is gone, a unit that is another: that is said of each case.
        Err(errors) => return errors.iter().map(ToString::to_string).collect(),
    };
    let other = cases.iter().map(|c| cases::run(now, c, Bounds::default())).filter(|r| !r.as_expected());
    other
        .map(|r| {
            let list = |names: Vec<String>| if names.is_empty() { "nothing".to_string() } else { names.join(", ") };
            let found = match &r.outcome {
                Ok(_) => format!("finds {}", list(r.found().into_iter().collect())),
                Err(why) => format!("fails: {why}"),
            };
            format!("{}: expected {}, the new version {found}", r.file, list(r.expected.iter().cloned().collect()))
        })
        .collect()
}

/// The jigs on which two versions differ.
fn on_jigs(places: &[PathBuf], before: &Plugin, now: &Plugin) -> Result<Vec<JigDifference>, Errors> {
    let mut differ = vec![];
    for place in jig_files::named(places)? {
        let file = jig_files::shown(&place);
        let jig = jig::parse(&file, &jig::load(&place)?)?;
        let looks = |p: &Plugin| p.manifest.units.contains(&jig.unit);
        if !looks(before) && !looks(now) {
            continue;
        }
        let alone = Alone::new(jig.clone());
        let of = |p: &Plugin| {
            if looks(p) { alone.told_by(p, Bounds::default()) } else { vec!["does not look at it".into()] }
        };
        let (before, now) = (of(before), of(now));
        if before != now {
            differ.push(JigDifference { file, before, now });
        }
    }
    Ok(differ)
}
