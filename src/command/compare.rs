//! `deadfront compare`: two jigs checked and laid beside each other. Must not compare.

use super::budget::BudgetArgs;
use super::check::plain_options;
use super::engine::Engine;
use super::exit::Exit;
use super::screen::{Format, Screen};
use crate::report;
use clap::Args;
use std::path::PathBuf;

const HELP: &str = "\
The exit status is that of the new jig, as check gives it.

Example:
  deadfront compare demo-data/neon-wand-120v.toml demo-data/neon-wand-230v.toml";

/// Compare two jigs: what changed, which findings went and came, what is nearer to its limit
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct CompareArgs {
    /// The jig as it was
    #[arg(value_name = "OLD")]
    pub old: PathBuf,
    /// The jig as it is now
    #[arg(value_name = "NEW")]
    pub new: PathBuf,
    #[allow(missing_docs)]
    #[command(flatten)]
    pub budget: BudgetArgs,
}

pub(super) fn run(args: &CompareArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let options = [&args.old, &args.new].map(|jig| plain_options(jig, args.budget));
    let (comparison, status) = match engine.compare([&args.old, &args.new], &options) {
        Ok(done) => done,
        Err(errors) => return screen.errors(&errors),
    };
    let text = match screen.format() {
        Format::Table => report::comparison_text(&comparison, screen.look()),
        Format::Json => report::comparison_json(&comparison),
    };
    screen.result(&text, Exit::from_status(status))
}
