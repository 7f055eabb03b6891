//! What is wished for, as texts written like the values of a jig file, and reading them. Must not know how the texts
//! come here, but for the names of the options that errors point at.

use crate::jig::InputError;
use crate::quantity::{self, Kind, Range, quote};
use crate::standard;

/// The supply and the plug wished for.
#[derive(Debug, Clone, Default)]
pub struct MainsWish {
    /// Words or row of the supplies table; or volts, frequency and tolerance.
    pub supply: Option<String>,
    /// Nominal volts.
    pub volts: Option<String>,
    /// Frequency.
    pub frequency: Option<String>,
    /// Tolerance of the volts.
    pub tolerance: Option<String>,
    /// Letter of the plug type, or "fixed"; by the system when not given.
    pub plug: Option<String>,
    /// Name of the jig file that findings point at.
    pub file: Option<String>,
}

/// A glow lamp to size a dropper for.
#[derive(Debug, Clone, Default)]
pub struct NeonWish {
    /// Supply and plug.
    pub mains: MainsWish,
    /// Row of the lamps table.
    pub lamp_type: Option<String>,
    /// Strike volts, peak.
    pub strike: Option<String>,
    /// Strike volts of the worst lamp.
    pub strike_max: Option<String>,
    /// Maintaining volts.
    pub maintain: Option<String>,
    /// Design current, r.m.s.
    pub current: Option<String>,
    /// Highest current, r.m.s.
    pub max_current: Option<String>,
    /// A diode in series, so that the lamp lights on one half-wave only.
    pub with_diode: bool,
}

/// What drops the volts of an LED string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dropper {
    /// Resistors.
    #[default]
    Resistor,
    /// An X2 capacitor with a bleeder and a surge resistor.
    Capacitor,
}

/// What keeps the reverse volts off the LEDs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LedCircuit {
    /// A diode the other way round across the string.
    AntiparallelDiode,
    /// A second string the other way round.
    AntiparallelLed,
    /// A bridge rectifier.
    Bridge,
}

/// LEDs to size a dropper for.
#[derive(Debug, Clone, Default)]
pub struct LedWish {
    /// Supply and plug.
    pub mains: MainsWish,
    /// Forward volts of one LED.
    pub forward: String,
    /// Wanted mean current.
    pub current: String,
    /// Highest mean current.
    pub max_current: Option<String>,
    /// Highest peak current.
    pub peak_current: Option<String>,
    /// Highest reverse volts of one LED.
    pub reverse: Option<String>,
    /// LEDs in series.
    pub series: u32,
    /// Dropper.
    pub dropper: Dropper,
    /// LedCircuit; by dropper and number of LEDs when not given.
    pub circuit: Option<LedCircuit>,
}

/// Collects what is wrong with the wishes.
#[derive(Debug, Default)]
pub(super) struct Reader {
    pub(super) errors: Vec<InputError>,
}

impl Reader {
    /// An error that names an option.
    pub(super) fn wrong(&mut self, option: &str, message: impl Into<String>, help: impl Into<String>) {
        let (message, help) = (message.into(), help.into());
        self.errors.push(InputError { file: option.to_string(), line: 0, column: 0, message, help });
    }

    /// A quantity above zero.
    pub(super) fn quantity(&mut self, option: &str, text: &str, kind: Kind) -> Option<f64> {
        match quantity::parse_in(text, kind, Range::Positive) {
            Ok(value) => Some(value),
            Err(error) => {
                self.wrong(option, error.message, error.help);
                None
            }
        }
    }

    /// A quantity that may be left out.
    pub(super) fn optional(&mut self, option: &str, text: Option<&String>, kind: Kind) -> Option<f64> {
        text.and_then(|t| self.quantity(option, t, kind))
    }

    /// An option that must be there when another one is not.
    pub(super) fn needed(&mut self, option: &str, text: Option<&String>, kind: Kind, unless: &str) -> Option<f64> {
        if text.is_none() {
            let help = format!("write e.g. {option} \"{}\", or {unless}", kind.example());
            self.wrong(option, "is missing", help);
        }
        self.optional(option, text, kind)
    }

    /// A row of the lamps table.
    pub(super) fn lamp(&mut self, name: &str) -> Option<crate::standard::LampRow> {
        match standard::lamp(name) {
            Ok(row) => Some(row),
            Err(near) => {
                let meant = near.first().map(|n| format!("did you mean \"{n}\"? ")).unwrap_or_default();
                let help = format!("{meant}Else give --strike, --maintain and --current");
                self.wrong("--type", format!("the lamps table has no {}", quote(name)), help);
                None
            }
        }
    }
}
