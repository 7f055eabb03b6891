//! `deadfront strobe`: a strobe lamp in use. Must not work anything out.

use super::check::plain_options;
use super::engine::Engine;
use super::exit::Exit;
use super::screen::{Format, Screen};
use crate::StrobeWish;
use clap::Args;
use std::path::PathBuf;

const HELP: &str = "\
The jig is checked as check does it; with no jig, the lamp is taken to light on both half-waves of the mains. Exit status 1 also \
for a lamp that does not flash.

Example:
  deadfront strobe --supply \"230 V 50 Hz\" --drift \"12 bars in 60 s forward\"";

/// Say which ring stands still under a strobe lamp, and what a drifting one means
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct StrobeArgs {
    /// The jig of the lamp; - reads it from standard input
    #[arg(value_name = "JIG", required_unless_present_any = ["supply", "flashes"], conflicts_with_all = ["supply", "flashes"])]
    pub jig: Option<PathBuf>,
    /// With no jig: the mains, a row of the supplies table
    #[arg(long, value_name = "MAINS")]
    pub supply: Option<String>,
    /// With no jig: flashes a second
    #[arg(long, value_name = "COUNT")]
    pub flashes: Option<String>,
    /// A speed, turns a minute; may be given again [default: the usual ones of records]
    #[arg(long, value_name = "RPM")]
    pub rpm: Vec<String>,
    /// Bars of the ring you have, for the first speed
    #[arg(long, value_name = "COUNT")]
    pub bars: Option<String>,
    /// The lamp of the jig that gives the light; may be given again [default: the brightest]
    #[arg(long = "lamp", value_name = "PART")]
    pub lamps: Vec<String>,
    /// Bars that went by a mark: "12 bars in 60 s forward" (with the turning) or backward
    #[arg(long, value_name = "COUNT")]
    pub drift: Option<String>,
    /// What one should see at a wanted speed, turns a minute
    #[arg(long, value_name = "RPM")]
    pub at: Option<String>,
}

pub(super) fn run(args: &StrobeArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let options = args.jig.as_deref().map(plain_options);
    let used = match engine.strobe(args.jig.as_deref().zip(options.as_ref()), &wish(args)) {
        Ok(used) => used,
        Err(errors) => return screen.errors(&errors),
    };
    let text = match screen.format() {
        Format::Table => used.to_text(screen.look()),
        Format::Json => used.to_json(),
    };
    screen.result(&text, Exit::from_status(used.exit_status()))
}

fn wish(args: &StrobeArgs) -> StrobeWish {
    StrobeWish {
        supply: args.supply.clone(),
        flashes: args.flashes.clone(),
        rpm: args.rpm.clone(),
        bars: args.bars.clone(),
        lamps: args.lamps.clone(),
        drift: args.drift.clone(),
        at: args.at.clone(),
    }
}
