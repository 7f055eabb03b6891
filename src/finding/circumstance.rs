//! Under what a finding is worst, as values beside its words. Keys follow the JSON of `check`.

use super::{Situation, Tried};
use serde::Serialize;
use std::collections::BTreeMap;

/// The condition in which a finding is worst.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Circumstance {
    /// Without a fault and lasting, with a fault, or of a moment without one.
    pub kind: Situation,
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
}

impl From<Tried> for Circumstance {
    fn from(tried: Tried) -> Circumstance {
        let Tried { faults, supply, plug, switches, loads, tolerances, moment, .. } = tried;
        let kind = match (faults.is_empty(), moment.is_empty()) {
            (false, _) => Situation::SingleFault,
            (true, true) => Situation::Normal,
            (true, false) => Situation::Transient,
        };
        Circumstance { kind, faults, supply, plug, switches, loads, tolerances, moment }
    }
}

/// A rating that is exceeded and that no finding is about.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LetPass {
    /// The part.
    pub part: String,
    /// What is compared.
    pub quantity: super::Quantity,
    /// Worst value.
    pub value: f64,
    /// SI unit.
    pub unit: &'static str,
    /// The rating.
    pub rating: f64,
    /// Condition, in words.
    pub condition: String,
    /// Situation of condition.
    pub kind: Situation,
    /// Why no finding follows from it.
    pub why: String,
}
