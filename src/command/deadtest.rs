//! `deadfront deadtest`: what a meter must read on the unplugged tool, and what readings say. Must not measure.

use super::budget::BudgetArgs;
use super::check::plain_options;
use super::engine::Engine;
use super::exit::Exit;
use super::jig_files;
use super::screen::{Format, Screen};
use crate::report;
use clap::Args;
use std::path::PathBuf;

const HELP: &str = "\
Points are the pins of the plug (L, N, PE), the contacts of outlets (OUT.O1), what can be touched, by its name, and what \
[[point]] of the jig file opens up. \"none\" and \"OL\" both say that the meter shows no number.

A file of readings is TOML: format = 1, jig = \"sha256 of the jig file\" (deadtest --json tells it), and for each one \
[[reading]] with id = \"M1\", or between = [\"L\", \"N\"] with setting = \"SW1=off\" and range = \"ohms\", and \
value = \"299 kΩ\", \"none\" or \"OL\".

--first-power checks the jig too; its steps are not offered while DANGER or WARNING is found or a reading differs.

Exit status: 0 the readings are as expected, or none were given; 1 one differs; 2 the jig or a reading could not be \
read or is wrong; 3 not all points, positions or slips were tried.

Example:
  deadfront deadtest demo-data/neon-wand-230v.toml --reading \"L-N=OL\"";

/// Say what a meter must read on the unplugged tool, and what is wrong if it does not
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct DeadtestArgs {
    /// Jig file, or - for standard input
    #[arg(value_name = "JIG")]
    pub jig: PathBuf,
    /// A reading that was taken: "M1=299 kΩ", "L-N=OL", "L-N SW1=off ohms=OL"; may be given several times
    #[arg(long, value_name = "READING")]
    pub reading: Vec<String>,
    /// A file of readings
    #[arg(long, value_name = "FILE")]
    pub readings: Option<PathBuf>,
    /// Take readings of another jig, or of this one before it was changed
    #[arg(long)]
    pub any_jig: bool,
    /// The steps of the first power-up, too
    #[arg(long)]
    pub first_power: bool,
    #[allow(missing_docs)]
    #[command(flatten)]
    pub budget: BudgetArgs,
}

pub(super) fn run(args: &DeadtestArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let options = crate::Options { file: jig_files::shown(&args.jig), ..plain_options(&args.jig, args.budget) };
    let tested = match engine.dead_test(args, &options) {
        Ok(tested) => tested,
        Err(errors) => return screen.errors(&errors),
    };
    let text = match screen.format() {
        Format::Table => report::dead_test_text(&tested, screen.look()),
        Format::Json => report::dead_test_json(&tested),
    };
    screen.result(&text, Exit::from_status(tested.exit_status()))
}
