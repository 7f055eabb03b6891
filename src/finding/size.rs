//! What sizing a dropper has to say, as facts: the candidates worked out, which one is chosen and why. Field
//! names follow the stable JSON of `size` (schema version 1). SI base units everywhere. Knows no words but
//! those of the reasons, and nothing of printing.

use super::{Finding, Verdict};
use serde::{Serialize, Serializer, ser::SerializeMap};

/// Everything `size` has to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizing {
    /// What was asked for, in words that follow "Dropper for" ("a neon lamp A1A on 230 V 50 Hz").
    pub task: String,
    /// Index of the chosen candidate, counted from 0; `None` when no design will do.
    pub chosen: Option<usize>,
    /// Designs that were worked out, the best first.
    pub candidates: Vec<Candidate>,
    /// Why none is chosen, or what holds for all candidates.
    pub why: Vec<String>,
}

impl Sizing {
    /// The chosen candidate; `None` too when the index points nowhere.
    pub fn chosen_candidate(&self) -> Option<&Candidate> {
        self.candidates.get(self.chosen?)
    }

    /// Exit status: 1 when no design will do or the chosen one has a DANGER or WARNING, else 0.
    pub fn exit_status(&self) -> u8 {
        let verdict = self.chosen_candidate().map_or(Verdict::Stop, |c| Verdict::of(&c.findings));
        u8::from(verdict == Verdict::Stop)
    }
}

/// One design: `count` equal resistors in series with the lamp.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Candidate {
    /// Ohms of the whole string.
    pub resistance_ohm: f64,
    /// Number of resistors in series.
    pub count: u32,
    /// Ohms of each resistor.
    pub each_ohm: f64,
    /// Power rating of each resistor, watts.
    pub each_power_w: f64,
    /// Limiting element voltage of each resistor, volts r.m.s.
    pub each_voltage_v: f64,
    /// Lamp current at nominal supply, mean of the absolute value, amperes.
    pub lamp_current_mean_a: f64,
    /// Lamp current at nominal supply, amperes r.m.s.
    pub lamp_current_rms_a: f64,
    /// Lamp current at nominal supply, amperes peak.
    pub lamp_current_peak_a: f64,
    /// Watts in the whole string.
    pub dissipation_w: Dissipation,
    /// Peak of the lowest supply over the highest strike voltage; `None` for a lamp that does not strike.
    pub strike_margin: Option<f64>,
    /// Flashes a second; `None` where the light does not go out between half-waves.
    pub flashes_per_second: Option<f64>,
    /// Share of the time the lamp is lit, 0 to 1.
    pub lit_fraction: Option<f64>,
    /// What the checks find on this design.
    pub findings: Vec<Finding>,
    /// Why it is as it is, in sentences.
    pub why: Vec<String>,
    /// Values that only some droppers have (a capacitor, a bleeder), as further keys.
    #[serde(flatten, serialize_with = "extras_as_keys")]
    pub extras: Vec<Extra>,
}

/// Watts in the whole string of resistors of a [`Candidate`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Dissipation {
    /// Nominal supply and values.
    pub nominal: f64,
    /// Highest supply, worst tolerance.
    pub high_supply: f64,
    /// Highest supply, lamp shorted; `None` when nothing can short.
    pub lamp_shorted: Option<f64>,
    /// Highest supply, one resistor shorted: in those that are left. `None` for a single resistor.
    pub one_resistor_shorted: Option<f64>,
}

/// A value that only some droppers have.
#[derive(Debug, Clone, PartialEq)]
pub struct Extra {
    /// JSON key with its unit at the end ("capacitance_f").
    pub key: &'static str,
    /// Words for the table ("dropper capacitor").
    pub label: &'static str,
    /// Value.
    pub value: f64,
    /// SI unit.
    pub unit: &'static str,
}

fn extras_as_keys<S: Serializer>(extras: &[Extra], serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(extras.len()))?;
    for extra in extras {
        map.serialize_entry(extra.key, &extra.value)?;
    }
    map.end()
}
