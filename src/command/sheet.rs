//! `deadfront sheet`: a jig as a sheet to print, or one of its pictures. Must not draw.

use super::budget::BudgetArgs;
use super::check::plain_options;
use super::engine::Engine;
use super::errors::Errors;
use super::exit::Exit;
use super::jig_files;
use super::new_file::{self, Existing};
use super::screen::{Format, Screen};
use crate::front::{Sheet, SheetPart};
use anyhow::anyhow;
use clap::{Args, ValueEnum};
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
One file that any browser shows and prints, on A4 or Letter: it needs no network and runs no program. On it stand the verdict of \
the check, the wiring picture, what to do, what a hand gets, what is nearest to its limit, waveforms, the parts to buy, the \
faults and what ends them, a label to cut out. With --only it is one of the pictures alone (SVG).

Without --write it goes to standard output. A file that is there stays as it is, unless --replace is given.

The exit status is that of the check; of --only wiring, for which nothing is solved, 0.

Example:
  deadfront sheet demo-data/neon-wand-230v.toml --write wand.html";

/// Write a sheet to print: wiring picture, waveforms, parts to buy, findings, label
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct SheetArgs {
    /// The jig file, or - for standard input
    #[arg(value_name = "JIG")]
    pub jig: PathBuf,
    /// The file to write [default: standard output]
    #[arg(long, value_name = "FILE")]
    pub write: Option<PathBuf>,
    /// One picture alone (SVG)
    #[arg(long, value_enum, value_name = "PICTURE")]
    pub only: Option<Only>,
    /// Write over a file that is there
    #[arg(long, requires = "write")]
    pub replace: bool,
    #[allow(missing_docs)]
    #[command(flatten)]
    pub budget: BudgetArgs,
}

/// The pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum Only {
    Wiring,
    Waveforms,
}

pub(super) fn run(args: &SheetArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let existing = if args.replace { Existing::Replaced } else { Existing::Kept };
    match made(args, existing, engine) {
        Err(errors) => screen.errors(&errors),
        Ok(sheet) => {
            let exit = Exit::from_status(sheet.exit_status);
            let Some(file) = &args.write else { return screen.result(&sheet.text, exit) };
            let text = match screen.format() {
                Format::Table => format!("{} written.\n{}\n", file.display(), sheet.verdict),
                Format::Json => crate::report::value_json(serde_json::Map::from_iter([
                    ("file".to_string(), json!(file.display().to_string())),
                    ("bytes".to_string(), json!(sheet.text.len())),
                ])),
            };
            screen.result(&text, exit)
        }
    }
}

fn made(args: &SheetArgs, existing: Existing, engine: &impl Engine) -> Result<Sheet, Errors> {
    if args.jig.is_dir() {
        let error = "error: a sheet is made of one jig, and this is a folder\n  help: name a jig file in it";
        return Err(anyhow!("{}: {error}", args.jig.display()).into());
    }
    // Before anything is solved: a file that is there is told at once.
    if let (Some(file), Existing::Kept) = (&args.write, existing) {
        new_file::free_or_replace(file)?;
    }
    let part = match args.only {
        None => SheetPart::Page,
        Some(Only::Wiring) => SheetPart::Wiring,
        Some(Only::Waveforms) => SheetPart::Waveforms,
    };
    let mut options = plain_options(&args.jig, args.budget);
    options.file = jig_files::shown(&args.jig);
    let sheet = engine.sheet(&args.jig, &options, part)?;
    if let Some(file) = &args.write {
        new_file::write_existing(file, &sheet.text, existing)?;
    }
    Ok(sheet)
}
