//! `deadfront size`: a dropper chosen and printed. Options carry the names of the jig file's keys, and values
//! are written as they are there. Must not choose.

use super::engine::Engine;
use super::errors::Errors;
use super::exit::Exit;
use super::new_file;
use super::screen::{Format, Screen};
use crate::sizing::{self, LedWish, MainsWish, NeonWish};
use crate::{Design, Wish};
use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Example:
  deadfront size neon --supply \"230 V 50 Hz\" --type A1A";

const NEON_HELP: &str = "\
Exit status 1 when no design passes the checks.

Example:
  deadfront size neon --supply \"230 V 50 Hz\" --type A1A";

const LED_HELP: &str = "\
Exit status 1 when no design passes the checks.

Example:
  deadfront size led --supply \"230 V 50 Hz\" --forward \"2 V\" --current \"5 mA\"";

/// The lamps that can be sized.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum SizeCommand {
    /// Choose the dropper of a neon lamp
    #[command(after_help = NEON_HELP)]
    Neon(NeonArgs),
    /// Choose the dropper of a string of LEDs
    #[command(after_help = LED_HELP)]
    Led(LedArgs),
}

/// What holds for every lamp.
#[derive(Debug, Clone, Args)]
pub(crate) struct Mains {
    /// The mains: a row of the supplies table, as in the jig file
    #[arg(long, value_name = "MAINS")]
    pub supply: Option<String>,
    /// Nominal volts, where the table has no row
    #[arg(long, value_name = "V")]
    pub volts: Option<String>,
    /// Frequency, where the table has no row
    #[arg(long, value_name = "HZ")]
    pub frequency: Option<String>,
    /// Tolerance of the volts, where the table has no row
    #[arg(long, value_name = "PERCENT")]
    pub tolerance: Option<String>,
    /// Letter of the plug type, or "fixed"
    #[arg(long, value_name = "LETTER")]
    pub plug: Option<String>,
    /// Write the whole jig file with the chosen design
    #[arg(long, value_name = "FILE")]
    pub write: Option<PathBuf>,
}

/// Options of `size neon`; quantities as the jig file writes them.
#[derive(Debug, Clone, Args)]
pub(crate) struct NeonArgs {
    /// Supply, plug, file to write.
    #[command(flatten)]
    pub mains: Mains,
    /// Row of the lamps table; or give strike, maintain and current
    #[arg(long = "type", value_name = "TYPE", required_unless_present = "strike")]
    pub lamp_type: Option<String>,
    /// Strike voltage (peak or d.c.)
    #[arg(long, value_name = "V")]
    pub strike: Option<String>,
    /// Strike voltage of the worst lamp of the type
    #[arg(long, value_name = "V")]
    pub strike_max: Option<String>,
    /// Maintaining voltage
    #[arg(long, value_name = "V")]
    pub maintain: Option<String>,
    /// Design current (r.m.s.)
    #[arg(long, value_name = "A")]
    pub current: Option<String>,
    /// Highest current the lamp may carry (r.m.s.)
    #[arg(long, value_name = "A")]
    pub max_current: Option<String>,
    /// With a diode in series: the lamp lights on one half-wave only
    #[arg(long)]
    pub with_diode: bool,
}

/// What drops the voltage of an LED string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum Dropper {
    #[default]
    Resistor,
    Capacitor,
}

/// Options of `size led`; quantities as the jig file writes them.
#[derive(Debug, Clone, Args)]
pub(crate) struct LedArgs {
    /// Supply, plug, file to write.
    #[command(flatten)]
    pub mains: Mains,
    /// Forward voltage of one LED
    #[arg(long, value_name = "V")]
    pub forward: String,
    /// Wanted mean current
    #[arg(long, value_name = "A")]
    pub current: String,
    /// Highest mean current of the LED
    #[arg(long, value_name = "A")]
    pub max_current: Option<String>,
    /// Highest peak current of the LED
    #[arg(long, value_name = "A")]
    pub peak_current: Option<String>,
    /// Highest reverse voltage of the LED
    #[arg(long, value_name = "V")]
    pub reverse: Option<String>,
    /// LEDs in series
    #[arg(long, value_name = "COUNT", default_value_t = 1)]
    pub series: u32,
    /// Resistors, or an X-class capacitor with a resistor
    #[arg(long, value_enum, value_name = "KIND", default_value_t)]
    pub dropper: Dropper,
    /// What keeps the reverse volts off the LEDs [default: by dropper and number of LEDs]
    #[arg(long, value_enum, value_name = "FORM")]
    pub circuit: Option<Form>,
}

/// What keeps the reverse volts off the LEDs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum Form {
    AntiparallelDiode,
    AntiparallelLed,
    Bridge,
}

pub(super) fn run(command: &SizeCommand, engine: &impl Engine, screen: &mut Screen) -> Exit {
    let (wish, mains) = match command {
        SizeCommand::Neon(args) => (Wish::Neon(neon(args)), &args.mains),
        SizeCommand::Led(args) => (Wish::Led(led(args)), &args.mains),
    };
    let design = match sized(&wish, mains, engine) {
        Ok(design) => design,
        Err(errors) => return screen.errors(&errors),
    };
    let text = match screen.format() {
        Format::Table => design.to_text(screen.look()),
        Format::Json => design.to_json(),
    };
    screen.result(&text, Exit::from_status(design.exit_status()))
}

/// Sizes a lamp, and writes the chosen design where that is asked for.
fn sized(wish: &Wish, mains: &Mains, engine: &impl Engine) -> Result<Design, Errors> {
    let design = engine.size(wish)?;
    if let (Some(path), Some(text)) = (&mains.write, &design.text) {
        new_file::write(path, text)?;
    }
    Ok(design)
}

fn neon(args: &NeonArgs) -> NeonWish {
    NeonWish {
        mains: mains(&args.mains),
        lamp_type: args.lamp_type.clone(),
        strike: args.strike.clone(),
        strike_max: args.strike_max.clone(),
        maintain: args.maintain.clone(),
        current: args.current.clone(),
        max_current: args.max_current.clone(),
        with_diode: args.with_diode,
    }
}

fn led(args: &LedArgs) -> LedWish {
    LedWish {
        mains: mains(&args.mains),
        forward: args.forward.clone(),
        current: args.current.clone(),
        max_current: args.max_current.clone(),
        peak_current: args.peak_current.clone(),
        reverse: args.reverse.clone(),
        series: args.series,
        dropper: match args.dropper {
            Dropper::Resistor => sizing::Dropper::Resistor,
            Dropper::Capacitor => sizing::Dropper::Capacitor,
        },
        circuit: args.circuit.map(|c| match c {
            Form::AntiparallelDiode => sizing::LedCircuit::AntiparallelDiode,
            Form::AntiparallelLed => sizing::LedCircuit::AntiparallelLed,
            Form::Bridge => sizing::LedCircuit::Bridge,
        }),
    }
}

fn mains(args: &Mains) -> MainsWish {
    MainsWish {
        supply: args.supply.clone(),
        volts: args.volts.clone(),
        frequency: args.frequency.clone(),
        tolerance: args.tolerance.clone(),
        plug: args.plug.clone(),
        file: args.write.as_ref().map(|p| p.display().to_string()),
    }
}
