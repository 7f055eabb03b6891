//! The command line as a whole. Must not do anything.

use super::check::CheckArgs;
use super::compare::CompareArgs;
use super::deadtest::DeadtestArgs;
use super::new::NewArgs;
use super::plugin::{self, PluginCommand};
use super::schema;
use super::screen::{ColourWish, Format};
use super::sheet::SheetArgs;
use super::shells::{CompletionsArgs, ManArgs};
use super::size::{self, SizeCommand};
use super::strobe::StrobeArgs;
use super::tables::TablesArgs;
use super::why::WhyArgs;
use crate::standard::rules::tables_edition;
use clap::{Parser, Subcommand};
use std::sync::LazyLock;

/// Version of the program and edition of its tables: nothing of it depends on where or when it was built.
fn version() -> &'static str {
    static VERSION: LazyLock<String> =
        LazyLock::new(|| format!("{} (tables of {})", env!("CARGO_PKG_VERSION"), tables_edition()));
    &VERSION
}

/// Checks a home-built mains-powered bench tool on paper, before anyone plugs it in.
#[derive(Debug, Parser)]
#[command(name = "deadfront", version = version(), term_width = 80, color = clap::ColorChoice::Never)]
#[command(infer_long_args = false)]
#[command(after_help = "\
Exit status: 0 no DANGER and no WARNING; 1 at least one; 2 an input could not be read or is wrong; 3 the check is not \
complete.

It replaces neither local codes nor a licensed electrician, and it sees only what is written down: not workmanship, \
real distances, false ratings, moisture or age.

Example:
  deadfront check demo-data/neon-wand-230v.toml")]
pub(crate) struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Tables to read, or JSON for programs
    #[arg(long, global = true, value_enum, value_name = "FORM", default_value_t)]
    #[arg(help_heading = "Output", display_order = 100)]
    pub format: Format,
    /// The same as --format json
    #[arg(long, global = true, help_heading = "Output", display_order = 100)]
    pub json: bool,
    /// Colour signal words; auto: on a terminal, unless NO_COLOR is set
    #[arg(long, alias = "color", global = true, value_enum, value_name = "WHEN", default_value_t)]
    #[arg(help_heading = "Output", display_order = 101)]
    pub colour: ColourWish,
}

/// The commands.
#[derive(Debug, Subcommand)]
// Made once a run: its size does not matter.
#[allow(clippy::large_enum_variant)]
pub(crate) enum Command {
    /// Check a jig: conditions, ratings, touch, wiring
    Check(CheckArgs),
    /// Write a whole, commented jig file to begin from
    New(NewArgs),
    /// Compare two jigs: what changed, which findings went and came, what is nearer to its limit
    Compare(CompareArgs),
    /// Say what a meter must read on the unplugged tool, and what is wrong if it does not
    Deadtest(DeadtestArgs),
    /// Write a sheet to print: wiring picture, waveforms, parts to buy, findings, label
    Sheet(SheetArgs),
    /// Choose the dropper of a lamp
    #[command(subcommand, after_help = size::HELP, disable_help_subcommand = true)]
    Size(SizeCommand),
    /// Say which ring stands still under a strobe lamp, and what a drifting one means
    Strobe(StrobeArgs),
    /// Say what a check looks at, its limit, where that is published, how to mend it
    Why(WhyArgs),
    /// List what a jig file may name: supplies, plugs, lamps, units, kinds of part
    Tables(TablesArgs),
    /// Write and try plugins, and share vetted ones with other shops
    #[command(subcommand, after_help = plugin::HELP, disable_help_subcommand = true)]
    Plugin(PluginCommand),
    /// Print the JSON Schema of the jig file, for editors
    #[command(after_help = schema::HELP)]
    Schema,
    /// Print completions for a shell
    Completions(CompletionsArgs),
    /// Write a manual page of each command into a folder
    Man(ManArgs),
}

impl Cli {
    /// Whether to tell how far the work has come where standard error is no terminal.
    pub(crate) fn progress(&self) -> bool {
        matches!(&self.command, Command::Check(args) if args.progress)
    }
}
