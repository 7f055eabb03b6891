//! `deadfront strobe`: a strobe lamp in use. Must not work anything out.

use super::budget::BudgetArgs;
use super::check::plain_options;
use super::engine::Engine;
use super::errors::Errors;
use super::exit::Exit;
use super::new_file;
use super::screen::{Format, Screen};
use crate::jig::InputError;
use crate::{RingWish, StrobeWish, Strobing};
use clap::{Args, ValueEnum};
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
    /// Write the rings to print, true to scale: an .svg, or an .html that prints by itself
    #[arg(long, value_name = "FILE", help_heading = "A ring to print")]
    pub ring: Option<PathBuf>,
    /// A disc, or a band for the rim of a platter
    #[arg(
        long,
        value_enum,
        value_name = "SHAPE",
        default_value_t,
        requires = "ring",
        help_heading = "A ring to print"
    )]
    pub shape: Shape,
    /// Diameter of the disc or of the rim [default: 180 mm, 300 mm]
    #[arg(long, value_name = "LENGTH", requires = "ring", help_heading = "A ring to print")]
    pub outer: Option<String>,
    /// Diameter of the hole [default: 7.3 mm]
    #[arg(long, value_name = "LENGTH", requires = "ring", help_heading = "A ring to print")]
    pub hole: Option<String>,
    /// A4, A3, Letter or Tabloid [default: A4]
    #[arg(long, value_name = "SHEET", requires = "ring", help_heading = "A ring to print")]
    pub paper: Option<String>,
    /// Rings of a bar fewer and more on either side of each, 0 to 3 [default: 1, on a band none]
    #[arg(long, value_name = "COUNT", requires = "ring", help_heading = "A ring to print")]
    pub neighbours: Option<u32>,
    #[allow(missing_docs)]
    #[command(flatten)]
    pub budget: BudgetArgs,
}

/// What is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum Shape {
    #[default]
    Disc,
    Band,
}

pub(super) fn run(args: &StrobeArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let used = match used(args, engine) {
        Ok(used) => used,
        Err(errors) => return screen.errors(&errors),
    };
    let text = match screen.format() {
        Format::Table => used.to_text(screen.look()),
        Format::Json => used.to_json(),
    };
    screen.result(&text, Exit::from_status(used.exit_status()))
}

/// What the lamp shows, with the ring written where that is asked for and there is one.
fn used(args: &StrobeArgs, engine: &impl Engine) -> Result<Strobing, Errors> {
    args.ring.as_deref().map_or(Ok(()), new_file::free)?;
    let wish = wish(args)?;
    let options = args.jig.as_deref().map(|jig| plain_options(jig, args.budget));
    let mut used = engine.strobe(args.jig.as_deref().zip(options.as_ref()), &wish)?;
    if let (Some(file), Some(text)) = (&args.ring, &used.drawing) {
        new_file::write(file, text)?;
        if let Some(drawn) = &mut used.strobe.drawing {
            drawn.file = Some(file.display().to_string());
        }
    }
    Ok(used)
}

fn ring(args: &StrobeArgs) -> Result<Option<RingWish>, InputError> {
    let Some(file) = &args.ring else { return Ok(None) };
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let html = match ending.as_str() {
        "svg" => false,
        "html" | "htm" => true,
        _ => {
            let help = "name a file that ends in .svg or .html";
            return Err(InputError::of_file("--ring", format!("{} is no drawing", file.display()), help));
        }
    };
    Ok(Some(RingWish {
        html,
        band: args.shape == Shape::Band,
        outer: args.outer.clone(),
        hole: args.hole.clone(),
        paper: args.paper.clone(),
        neighbours: args.neighbours,
    }))
}

fn wish(args: &StrobeArgs) -> Result<StrobeWish, InputError> {
    Ok(StrobeWish {
        supply: args.supply.clone(),
        flashes: args.flashes.clone(),
        rpm: args.rpm.clone(),
        bars: args.bars.clone(),
        lamps: args.lamps.clone(),
        drift: args.drift.clone(),
        at: args.at.clone(),
        ring: ring(args)?,
    })
}
