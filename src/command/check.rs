//! `deadfront check`: each jig judged and printed. Must not judge.

use super::engine::Engine;
use super::errors::Errors;
use super::exit::Exit;
use super::new_file;
use super::screen::{Format, Screen};
use crate::report;
use crate::sharing::{Home, Sources};
use crate::{Effort, Faults, Options, Report};
use anyhow::anyhow;
use clap::Args;
use std::path::{Path, PathBuf};

const HELP: &str = "\
Of several jigs the reports stand one below the other; as JSON one jig is an object, more than one an array of such \
objects. A jig that cannot be read is told on standard error, and the others are checked all the same.

With --mend what a number cures is written into a new jig file, comments and order kept: larger resistances and \
ratings, one more in series, another fuse. Each change was tried: the jig with it is solved and judged like any other. What \
needs hands is listed. The exit status stays that of the jig as it is.

Where the lock of a jig lies beside it (wand.lock for wand.toml), a plugin named in it runs with the bytes named there or \
not at all; the check is then not complete. That holds for the program's own plugins too. --lock writes it, when every \
plugin ran.

A check that takes more than half a second tells on standard error how far it has come, if that is a terminal; with \
--progress also where it is none, line by line.

Exit status: 0 no DANGER and no WARNING; 1 at least one; 2 a jig could not be read or is wrong; 3 a check is not \
complete. Over several jigs 2 outranks 3, and 3 outranks 1.

Example:
  deadfront check demo-data/neon-wand-230v.toml";

/// Check a jig: conditions, ratings, touch, wiring
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct CheckArgs {
    /// Jig files
    #[arg(required = true, value_name = "JIG")]
    pub jigs: Vec<PathBuf>,
    /// List every condition that was tried, and how it ended
    #[arg(long)]
    pub conditions: bool,
    /// One condition with every voltage and current: a fault such as R1-short, no-fault, or a number of --conditions
    #[arg(long, value_name = "CONDITION")]
    pub only: Option<String>,
    /// Faults at once: 2 also tries every pair, as a report that leaves the verdict alone
    #[arg(long, value_name = "COUNT", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=2))]
    pub faults: u8,
    /// Write the jig with every number changed that cured a finding when tried
    #[arg(long, value_name = "FILE")]
    pub mend: Option<PathBuf>,
    /// Tell how far a check has come where standard error is no terminal, too
    #[arg(long)]
    pub progress: bool,
    /// Write a lock beside each jig (wand.lock for wand.toml): the exact plugins that checked it
    #[arg(long)]
    pub lock: bool,
    /// Folder of a plugin, or of several, to run besides the others; may be given several times
    #[arg(long, value_name = "FOLDER")]
    pub plugins: Vec<PathBuf>,
}

pub(super) fn run(args: &CheckArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    if args.mend.is_some() && args.jigs.len() > 1 {
        let error = "error: --mend writes one file, and several jigs were named\n  help: check them one at a time, each \
                     with its own --mend FILE";
        return screen.errors(&anyhow!(error).into());
    }
    let mut exit = Exit::Clean;
    let mut reports: Vec<Report> = Vec::new();
    for jig in &args.jigs {
        match checked(jig, args, engine) {
            Ok(report) => {
                exit = exit.max(Exit::from_status(report.exit_status()));
                if screen.format() == Format::Table {
                    let gap = if reports.is_empty() { "" } else { "\n\n" };
                    exit = screen.result(&format!("{gap}{}", report.to_text(screen.look())), exit);
                }
                // What was found is told in any case.
                if let Some(Err(errors)) = args.lock.then(|| engine.lock(jig, &report.judgement)) {
                    exit = exit.max(screen.errors(&errors));
                }
                reports.push(report);
            }
            Err(errors) => exit = exit.max(screen.errors(&errors)),
        }
    }
    match (screen.format(), args.jigs.len(), reports.first()) {
        (Format::Table, ..) | (Format::Json, 1, None) => exit,
        (Format::Json, 1, Some(only)) => screen.result(&only.to_json(), exit),
        (Format::Json, ..) => {
            let judgements: Vec<_> = reports.into_iter().map(|r| r.judgement).collect();
            screen.result(&report::checks_json(&judgements), exit)
        }
    }
}

/// Checks one jig, and writes the mended one where that is asked for and something was changed.
fn checked(jig: &Path, args: &CheckArgs, engine: &impl Engine) -> Result<Report, Errors> {
    args.mend.as_deref().map_or(Ok(()), new_file::free)?;
    let mut report = engine.check(jig, &options(jig, args))?;
    if let (Some(file), Some(text)) = (&args.mend, &report.mended_text) {
        new_file::write(file, text)?;
        if let Some(mending) = &mut report.mending {
            mending.file = Some(file.display().to_string());
        }
    }
    Ok(report)
}

fn options(jig: &Path, args: &CheckArgs) -> Options {
    Options {
        file: jig.display().to_string(),
        conditions: args.conditions,
        only: args.only.clone(),
        faults: if args.faults > 1 { Faults::Pairs } else { Faults::Single },
        mend: if args.mend.is_some() { Effort::File } else { Effort::Words },
        plugins: Sources {
            // A user without a home folder has no plugins there.
            home: Home::find().ok(),
            folders: args.plugins.clone(),
            // A lock that is to be written anew holds nothing back.
            lock_of: (!args.lock).then(|| jig.to_path_buf()),
        },
        ..Options::default()
    }
}
