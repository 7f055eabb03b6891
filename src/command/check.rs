//! `deadfront check`: each jig judged and printed. Must not judge.

use super::budget::BudgetArgs;
use super::engine::Engine;
use super::errors::Errors;
use super::exit::Exit;
use super::jig_files;
use super::new_file;
use super::screen::{Format, Screen};
use super::watch::Saves;
use crate::report;
use crate::sharing::{Home, Sources};
use crate::{Effort, Faults, Options, Report};
use anyhow::anyhow;
use clap::Args;
use std::path::{Path, PathBuf};

const HELP: &str = "\
The page is short: the verdict, what to do, what a hand gets, what is nearest to its limit. --all adds every table.

Of a folder its *.toml files are checked; - reads standard input. Of several jigs there is a line each, the worst first, then \
what is wrong with them; as JSON one jig is an object, more than one an array. A jig that cannot be read is told on standard \
error (and stands in the array with its errors), and the others are checked all the same.

With --mend what a number cures is written into a new jig file, comments and order kept: larger resistances and \
ratings, one more in series, another fuse. Each change was tried: the jig with it is solved and judged like any other. What \
needs hands is listed. The exit status stays that of the jig as it is.

Where the lock of a jig lies beside it (wand.lock for wand.toml), a plugin named in it runs with the bytes named there or \
not at all; the check is then not complete. That holds for the program's own plugins too; of added ones the earlier versions \
are kept. --lock writes it, when every plugin ran, and tells on standard error what it changes.

A check takes as long as --budget allows, 60 s where nothing is said. What could not be tried by then is told, and the check \
is not complete: --budget \"10 min\", or --budget none. Each of several jigs has that time.

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
    /// Jig files, folders of them, or - for standard input
    #[arg(required = true, value_name = "JIG")]
    pub jigs: Vec<PathBuf>,
    /// Every finding in full and every table: stresses, touch, charge left, what ends which fault
    #[arg(long)]
    pub all: bool,
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
    /// Check again on each save, until it is stopped (Ctrl-C)
    #[arg(long)]
    pub watch: bool,
    /// Tell how far a check has come where standard error is no terminal, too
    #[arg(long)]
    pub progress: bool,
    /// Write a lock beside each jig (wand.lock for wand.toml): the exact plugins that checked it
    #[arg(long)]
    pub lock: bool,
    /// Folder of a plugin, or of several, to run besides the others; may be given several times
    #[arg(long, value_name = "FOLDER")]
    pub plugins: Vec<PathBuf>,
    #[allow(missing_docs)]
    #[command(flatten)]
    pub budget: BudgetArgs,
}

pub(super) fn run(args: &CheckArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let jigs = match jig_files::named(&args.jigs) {
        Ok(jigs) => jigs,
        Err(errors) => return screen.errors(&errors),
    };
    if args.mend.is_some() && jigs.len() > 1 {
        let error = "error: --mend writes one file, and several jigs were named\n  help: check them one at a time, each \
                     with its own --mend FILE";
        return screen.errors(&anyhow!(error).into());
    }
    if !args.watch {
        return once(args, &jigs, engine, screen);
    }
    if args.mend.is_some() || args.lock || jigs.iter().any(|j| jig_files::is_stdin(j)) {
        let error = "error: --watch checks files again and again: it goes with neither --mend nor --lock nor standard input\n  \
                     help: leave it out";
        return screen.errors(&anyhow!(error).into());
    }
    // Watched before the first check: a save while it runs is not missed.
    let saves = match Saves::of(&jigs) {
        Ok(saves) => saves,
        Err(errors) => return screen.errors(&errors),
    };
    loop {
        screen.clear();
        let exit = once(args, &jigs, engine, screen);
        if !saves.next() {
            return exit;
        }
    }
}

/// Checks every jig and tells what came of it.
fn once(args: &CheckArgs, jigs: &[PathBuf], engine: &impl Engine, screen: &mut Screen) -> Exit {
    let mut exit = Exit::Clean;
    let mut done: Vec<Done> = vec![];
    for jig in jigs {
        match checked(jig, args, engine) {
            Ok(report) => {
                exit = exit.max(Exit::from_status(report.exit_status()));
                // What was found is told in any case.
                match args.lock.then(|| engine.lock(jig, &report.judgement)) {
                    Some(Err(errors)) => exit = exit.max(screen.errors(&errors)),
                    Some(Ok(changes)) => {
                        let lock = jig.with_extension("lock").display().to_string();
                        changes.iter().for_each(|change| screen.aside(&format!("{lock}: {change}")));
                    }
                    None => {}
                }
                done.push(Done::Judged(Box::new(report)));
            }
            Err(errors) => {
                exit = exit.max(screen.errors(&errors));
                done.push(Done::Unread(jig.display().to_string(), errors.texts()));
            }
        }
    }
    tell(args, &done, exit, screen)
}

/// What came of one jig.
enum Done {
    Judged(Box<Report>),
    Unread(String, Vec<String>),
}

/// One jig as it is; of several first a line each, then those that there is more to say of, the worst first.
fn tell(args: &CheckArgs, done: &[Done], exit: Exit, screen: &mut Screen) -> Exit {
    let reports: Vec<&Report> =
        done.iter().filter_map(|d| if let Done::Judged(r) = d { Some(&**r) } else { None }).collect();
    let look = screen.look();
    let page = |r: &Report| if args.all { r.to_full_text(look) } else { r.to_text(look) };
    match (screen.format(), done) {
        (_, [Done::Unread(..)]) => exit,
        (Format::Table, [Done::Judged(only)]) => screen.result(&page(only), exit),
        (Format::Json, [Done::Judged(only)]) => screen.result(&only.to_json(), exit),
        (Format::Table, _) => {
            let unread =
                done.iter().filter_map(|d| if let Done::Unread(file, _) = d { Some(file.clone()) } else { None });
            let judgements: Vec<_> = reports.iter().map(|r| &r.judgement).collect();
            let mut text = report::overview_text(&judgements, &unread.collect::<Vec<_>>(), look);
            for j in report::ordered(&judgements).into_iter().filter(|j| args.all || report::is_told(j)) {
                let of = reports.iter().find(|r| std::ptr::eq(&r.judgement, j));
                text.extend(of.map(|r| format!("\n\n{}", page(r))));
            }
            screen.result(&text, exit)
        }
        (Format::Json, _) => {
            let checked: Vec<report::Checked> = done
                .iter()
                .map(|d| match d {
                    Done::Judged(r) => report::Checked::Judged(&r.judgement),
                    Done::Unread(file, errors) => report::Checked::Unread(file, errors.clone()),
                })
                .collect();
            screen.result(&report::checks_json(&checked), exit)
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
        file: jig_files::shown(jig),
        conditions: args.conditions,
        only: args.only.clone(),
        faults: if args.faults > 1 { Faults::Pairs } else { Faults::Single },
        mend: if args.mend.is_some() { Effort::File } else { Effort::Words },
        measure_first: !args.all && args.only.is_none(),
        budget: args.budget.allowed(),
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

/// As a check without any wish has it.
pub(super) fn plain_options(jig: &Path, budget: BudgetArgs) -> Options {
    let plugins = Sources { home: Home::find().ok(), folders: vec![], lock_of: Some(jig.to_path_buf()) };
    Options { file: jig_files::shown(jig), budget: budget.allowed(), plugins, ..Options::default() }
}
