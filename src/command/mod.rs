//! The command line: arguments, call, print. One file a command. Must not judge, solve or word a finding.

mod check;
mod exit;
pub mod plugin;
mod program;
mod progress;
mod schema;
mod screen;
mod size;
mod why;

pub use check::CheckArgs;
pub use exit::Exit;
pub use program::Program;
pub use screen::{ColourWish, Format, Screen, Terminal};
pub use size::{Dropper, LedArgs, NeonArgs, SizeCommand};
pub use why::{Which, WhyArgs};

use crate::finding::{Judgement, Mending, Page, PluginCheck, Sizing};
use clap::{Parser, Subcommand};
use std::fmt::Display;
use std::path::Path;

/// Checks a home-built mains-powered bench tool on paper, before anyone plugs it in.
#[derive(Debug, Parser)]
#[command(name = "deadfront", version, term_width = 80, color = clap::ColorChoice::Never)]
#[command(disable_help_subcommand = true, infer_long_args = false)]
#[command(after_help = "\
Exit status: 0 no DANGER and no WARNING; 1 at least one; 2 an input could not be read or is wrong; 3 the check is not \
complete.

It replaces neither local codes nor a licensed electrician, and it sees only what is written down: not workmanship, \
real distances, false ratings, moisture or age.

Example:
  deadfront check demo-data/neon-wand-230v.toml")]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Tables to read, or JSON for programs
    #[arg(long, global = true, value_enum, value_name = "FORM", default_value_t)]
    #[arg(help_heading = "Output", display_order = 100)]
    pub format: Format,
    /// Colour signal words; auto: on a terminal, unless NO_COLOR is set
    #[arg(long, global = true, value_enum, value_name = "WHEN", default_value_t)]
    #[arg(help_heading = "Output", display_order = 101)]
    pub colour: ColourWish,
}

/// The commands.
#[derive(Debug, Subcommand)]
// Made once a run: its size does not matter.
#[allow(clippy::large_enum_variant)]
pub enum Command {
    /// Check a jig: conditions, ratings, touch, wiring
    Check(CheckArgs),
    /// Choose the dropper of a lamp
    #[command(subcommand, after_help = size::HELP)]
    Size(SizeCommand),
    /// Say what a check looks at, its limit, where that is published, how to mend it
    Why(WhyArgs),
    /// Write and try plugins, and share vetted ones with other shops
    #[command(subcommand, after_help = plugin::HELP)]
    Plugin(plugin::PluginCommand),
    /// Print the JSON Schema of the jig file, for editors
    #[command(after_help = schema::HELP)]
    Schema,
}

/// What the commands need done. The program's own rooms stand behind it; tests put artificial results there.
pub trait Engine {
    /// One thing that is wrong with an input, with its place and what to write instead.
    type Error: Display;

    /// Reads a jig file and judges it, and writes a mended one where that is asked for.
    ///
    /// # Errors
    /// All that is wrong with the file.
    fn check(&self, jig: &Path, args: &CheckArgs) -> Result<(Judgement, Option<Mending>), Vec<Self::Error>>;

    /// Writes the lock beside a jig that was judged: the exact plugins that looked at it.
    ///
    /// # Errors
    /// One of them did not run, or it could not be written; what is there is as it was.
    fn lock(&self, jig: &Path, judgement: &Judgement) -> Result<(), Vec<Self::Error>>;

    /// Sizes the dropper of a neon lamp, and writes the jig file where that is asked for.
    ///
    /// # Errors
    /// All that is wrong with the wishes.
    fn size_neon(&self, args: &NeonArgs) -> Result<Sizing, Vec<Self::Error>>;

    /// Sizes the dropper of a string of LEDs, and writes the jig file where that is asked for.
    ///
    /// # Errors
    /// All that is wrong with the wishes.
    fn size_led(&self, args: &LedArgs) -> Result<Sizing, Vec<Self::Error>>;

    /// The pages of all checks, room by room.
    fn pages(&self) -> Vec<Page>;

    /// The page of one check.
    ///
    /// # Errors
    /// The names nearest to that one, best first.
    fn page(&self, check: &str) -> Result<Page, Vec<String>>;

    /// Checks of that name in the plugins there are.
    fn plugin_checks(&self, _check: &str) -> Vec<PluginCheck> {
        vec![]
    }

    /// JSON Schema of the jig file.
    fn schema(&self) -> serde_json::Value;
}

/// Carries out a command line.
pub fn dispatch(cli: &Cli, engine: &impl Engine, screen: &mut Screen) -> Exit {
    screen.set(cli.format, cli.colour);
    match &cli.command {
        Command::Check(args) => check::run(args, engine, screen),
        Command::Size(SizeCommand::Neon(args)) => size::run(engine.size_neon(args), screen),
        Command::Size(SizeCommand::Led(args)) => size::run(engine.size_led(args), screen),
        Command::Why(args) => why::run(args, engine, screen),
        Command::Plugin(command) => plugin::run(command, screen),
        Command::Schema => schema::run(&engine.schema(), screen),
    }
}
