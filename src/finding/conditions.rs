//! What was tried, condition by condition: the list, what ended which fault, one condition in full, pairs of faults.
//! Facts only; keys follow the JSON of `check`. SI base units everywhere.

use super::{Finding, Ordinal, When};
use serde::Serialize;
use std::collections::BTreeMap;

/// One condition that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tried {
    /// Number in the list, from 1; none where the list was not made, since only this condition was asked for.
    pub number: Option<usize>,
    /// In words.
    pub condition: String,
    /// Short names of its faults, as `--only` takes them.
    pub faults: Vec<String>,
    /// low, nominal or high; nothing without mains.
    pub supply: Option<&'static str>,
    /// "as wired", "reversed" or "both live"; nothing without mains.
    pub plug: Option<&'static str>,
    /// Position of each switch.
    pub switches: BTreeMap<String, String>,
    /// Load of each outlet.
    pub loads: BTreeMap<String, String>,
    /// Parts whose value is not as stated: where within its tolerance it stands, from -1 (lower end) to 1 (upper end).
    pub tolerances: BTreeMap<String, f64>,
    /// "switched on at 90°" and the like; empty for the steady state.
    pub moment: String,
    /// solved, cleared or unsolved.
    pub outcome: &'static str,
    /// The device that ends it.
    pub cleared_by: Option<String>,
    /// In at most so many seconds.
    pub within_seconds: Option<f64>,
    /// At so many amperes r.m.s.
    pub amperes: Option<f64>,
    /// Why it could not be solved.
    pub why: Option<String>,
    /// Its place in the survey.
    #[serde(skip)]
    pub ordinal: Ordinal,
    /// In words, with each value that is not as stated.
    #[serde(skip)]
    pub in_full: String,
}

impl Tried {
    /// Whether a finding is worst in this condition. A plugin names it in the words it was given.
    pub fn is_worst_of(&self, finding: &Finding) -> bool {
        match &finding.when {
            When::Tried(at) => *at == self.ordinal,
            When::Written(words) => *words == self.condition,
            When::Always | When::NominalSupply | When::FuseOpen | When::BothTerminals | When::Ambient(_) => false,
            When::PlugReversed | When::SwitchOff { .. } | When::Switches(_) => false,
        }
    }
}

/// A fault (or a shorted outlet) that a protective device ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cleared {
    /// What has failed, in words.
    pub fault: String,
    /// The device that opens first.
    pub by: String,
    /// In at most so many seconds, in the slowest condition.
    pub within_seconds: f64,
    /// Amperes r.m.s. through it in that condition.
    pub amperes: f64,
    /// In how many conditions.
    pub conditions: usize,
    /// Other devices that would open too: nothing assures that they wait.
    pub also: Vec<String>,
    /// The slowest condition, in words.
    pub condition: String,
}

/// One condition once more, with every voltage and current.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Replay {
    /// The condition.
    #[serde(flatten)]
    pub tried: Tried,
    /// What stands until a device opens, after it, and at last for ever.
    pub states: Vec<StepValues>,
    /// Other conditions with the same faults, steady and with values as stated.
    pub others: Vec<usize>,
}

/// A device that opens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Opens {
    /// Its name.
    pub device: String,
    /// In at most so many seconds.
    pub within_seconds: f64,
    /// Amperes r.m.s. through it.
    pub amperes: f64,
}

/// A steady state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepValues {
    /// When it stands: "lasting", "until F1 opens", "after F1 has opened".
    pub when: String,
    /// Devices that are sure to open then, the first one first; none in the state that lasts.
    pub opens: Vec<Opens>,
    /// Each net to earth.
    pub nets: Vec<NetState>,
    /// Each part.
    pub parts: Vec<PartState>,
    /// Each touchable and pair of touchables.
    pub touch: Vec<TouchState>,
}

/// A net to earth.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs)]
pub struct NetState {
    pub net: String,
    pub voltage_rms: f64,
    pub voltage_peak: f64,
    pub voltage_mean: f64,
}

/// A part, with the quantities of the stress rows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs)]
pub struct PartState {
    pub part: String,
    pub power: f64,
    pub voltage_rms: f64,
    pub voltage_peak: f64,
    pub current_rms: f64,
    pub current_mean: f64,
    pub current_peak: f64,
}

/// A touchable, with the quantities of the touch rows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs)]
pub struct TouchState {
    pub touchable: String,
    pub voltage_rms: f64,
    pub voltage_peak: f64,
    pub voltage_dc: f64,
    pub current_rms: f64,
    pub current_peak: f64,
}

/// All pairs of faults: a report, never the verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoubleFaults {
    /// Pairs tried.
    pub pairs: usize,
    /// Conditions solved for them.
    pub conditions: usize,
    /// Pairs of which a condition could not be solved.
    pub unsolved: usize,
    /// Pairs that do harm the check does not already tell of, gravest first.
    pub ranked: Vec<Pair>,
}

/// Two faults at once and the gravest they do together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pair {
    /// Short names of the two.
    pub faults: [String; 2],
    /// In words.
    pub words: String,
    /// The gravest finding that neither of them brings alone.
    pub finding: Finding,
    /// Further findings of that sort.
    pub further: usize,
}
