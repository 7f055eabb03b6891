//! The vocabulary of what the checks say: findings, and the tables of worst values. A check states facts (`said`, `when`,
//! `way`); the texts of a finding are made of them in `wording` and only laid out in `report`. Field names and order
//! follow the stable JSON of `check` (schema version 1). SI base units everywhere.

use serde::Serialize;

mod action;
mod cause;
mod check_id;
mod circumstance;
mod compared;
pub mod comparison;
pub mod conditions;
mod harm;
pub mod matrix;
pub mod mending;
pub mod page;
mod quantity;
mod rows;
pub mod said;
pub mod size;
pub mod strobe;
pub mod way;
mod when;
pub use action::{Action, actions, gravest};
pub(crate) use cause::stops_it;
pub use check_id::{CheckId, CheckName};
pub use circumstance::{Circumstance, LetPass};
pub use compared::{Compared, Wave};
pub use conditions::{Cleared, DoubleFaults, Replay, Tried};
pub use harm::Harm;
pub use matrix::{Cell, MatrixPart, MatrixRow};
pub use mending::{LeftOver, Mend, Mending};
pub use page::{Difference, Example, Page, PageLimit, PluginCheck, Side};
pub use quantity::{PerQuantity, Quantity};
pub use rows::Rows;
pub use said::Said;
pub use size::{Candidate, Dissipation, Extra, Sizing};
pub use way::{Cure, Way};
pub use when::{Ordinal, Under, When};

/// Signal words of ANSI Z535 / ISO 3864, gravest first when sorted ascending.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Signal {
    /// Death or serious injury if not avoided.
    Danger,
    /// Could be death or serious injury.
    Warning,
    /// Minor or moderate injury.
    Caution,
    /// Damage, or a thing to know; no injury.
    Notice,
}

impl Signal {
    /// All of them, gravest first.
    pub const ALL: [Signal; 4] = [Signal::Danger, Signal::Warning, Signal::Caution, Signal::Notice];

    /// The word as it is printed.
    pub const fn word(self) -> &'static str {
        match self {
            Signal::Danger => "DANGER",
            Signal::Warning => "WARNING",
            Signal::Caution => "CAUTION",
            Signal::Notice => "NOTICE",
        }
    }
}

/// Where in the jig file (counted from 1).
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FilePlace {
    /// File as named on the command line.
    pub file: String,
    /// Line.
    pub line: u32,
    /// Column, in characters.
    pub column: u32,
}

/// A note in the jig file that somebody has looked at a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Accepted {
    /// Why it is accepted.
    pub reason: String,
    /// By whom.
    pub by: String,
    /// Until which day (ISO 8601).
    pub until: String,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The check.
    pub check: CheckName,
    /// Signal word.
    pub signal: Signal,
    /// `core`, or `PLUGIN-ID@VERSION`.
    pub source_of_check: String,
    /// Parts it is about.
    pub parts: Vec<String>,
    /// Nets it is about.
    pub nets: Vec<String>,
    /// Touchables it is about.
    pub touchables: Vec<String>,
    /// The condition in which it is worst, in words.
    pub condition: String,
    /// The same as values; nothing where it holds whatever is done, or was made by others than the core.
    pub situation: Option<Circumstance>,
    /// What was compared.
    pub quantity: Compared,
    /// Its value.
    pub value: Option<f64>,
    /// SI unit of value and limit.
    #[serde(serialize_with = "text_or_null")]
    pub unit: String,
    /// The limit.
    pub limit: Option<f64>,
    /// Limit over value (above 1: inside the limit).
    pub margin: Option<f64>,
    /// Where the limit is published, or "common practice".
    pub source: String,
    /// What it means, in one sentence.
    pub message: String,
    /// What to change.
    pub remedy: String,
    /// Where in the file.
    pub place: FilePlace,
    /// Set when the file accepts the finding.
    pub accepted: Option<Accepted>,
    /// What message and remedy are made of.
    #[serde(skip)]
    pub said: Said,
    /// What the condition is made of.
    #[serde(skip)]
    pub when: When,
    /// What was tried and cures it, told in the place of its own remedy.
    #[serde(skip)]
    pub cure: Option<Cure>,
}

/// What stands for the built-in checks in [`Finding::source_of_check`].
pub const CORE: &str = "core";

impl Finding {
    /// A finding of a built-in check at a place of the jig file, which says nothing yet.
    pub fn new(check: impl Into<CheckName>, signal: Signal, place: FilePlace) -> Finding {
        Finding {
            check: check.into(),
            signal,
            source_of_check: CORE.into(),
            parts: vec![],
            nets: vec![],
            touchables: vec![],
            condition: String::new(),
            situation: None,
            quantity: Compared::Nothing,
            value: None,
            unit: String::new(),
            limit: None,
            margin: None,
            source: String::new(),
            message: String::new(),
            remedy: String::new(),
            place,
            accepted: None,
            said: Said::default(),
            when: When::Always,
            cure: None,
        }
    }

    /// As [`Finding::new`], in the words of whoever made the check: what it means, what to change.
    pub fn written(
        check: impl Into<CheckName>,
        signal: Signal,
        place: FilePlace,
        [message, remedy]: [String; 2],
    ) -> Finding {
        let said = Said::Written { message: message.clone(), remedy: remedy.clone() };
        Finding { message, remedy, said, ..Finding::new(check, signal, place) }
    }

    /// Limit over value; nothing where one of them is not there or the value is 0.
    pub fn margin_of(value: Option<f64>, limit: Option<f64>) -> Option<f64> {
        value.zip(limit).filter(|(v, _)| *v != 0.0).map(|(v, l)| l / v)
    }
}

/// Nothing measured is null in JSON, not an empty text.
fn text_or_null<S: serde::Serializer>(text: &str, serializer: S) -> Result<S::Ok, S::Error> {
    if text.is_empty() { serializer.serialize_none() } else { serializer.serialize_str(text) }
}

/// Situation of condition a worst value was found in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Situation {
    /// No fault.
    Normal,
    /// Exactly one fault.
    SingleFault,
    /// Switch-on, unplugging, up to clearing.
    Transient,
}

/// Worst value of one quantity of one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stress {
    /// Part name (`SW1.1` for a pole, `T1.primary` for a winding).
    pub part: String,
    /// What the value is of.
    pub quantity: Quantity,
    /// Value at nominal supply and values, no fault, first load, switches on.
    pub nominal: Option<f64>,
    /// Worst value.
    pub value: f64,
    /// SI unit.
    pub unit: &'static str,
    /// Rating, where one applies.
    pub rating: Option<f64>,
    /// Rating over value.
    pub margin: Option<f64>,
    /// Condition, in words.
    pub condition: String,
    /// Situation of condition.
    pub kind: Situation,
}

/// Worst touch values of one touchable.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Touch {
    /// Name of the touchable.
    pub touchable: String,
    /// Open-circuit volts r.m.s.
    pub voltage_rms: f64,
    /// Open-circuit volts peak.
    pub voltage_peak: f64,
    /// Open-circuit volts, mean.
    pub voltage_dc: f64,
    /// Amperes r.m.s. as the body network is read: weighted by frequency.
    pub current_rms: f64,
    /// Amperes peak, weighted.
    pub current_peak: f64,
    /// Amperes r.m.s. through the body network, not weighted.
    pub unweighted_rms: f64,
    /// Amperes peak, not weighted.
    pub unweighted_peak: f64,
    /// Condition, in words.
    pub condition: String,
    /// Situation of condition.
    pub kind: Situation,
}

/// Charge left after unplugging.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Discharge {
    /// The two nets.
    pub between: [String; 2],
    /// Seconds after unplugging.
    pub seconds: f64,
    /// Volts then, at the worst phase.
    pub volts: f64,
    /// Condition, in words.
    pub condition: String,
}

/// How many conditions were solved.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Conditions {
    /// Solved.
    pub solved: usize,
    /// Not solved.
    pub unsolved: usize,
    /// Ended by a protective device.
    pub cleared: usize,
}

/// What one plugin did.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PluginRun {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: String,
    /// sha256 of the exact bytes.
    pub sha256: String,
    /// Shops that vetted these bytes.
    pub vetted_by: Vec<String>,
    /// ran, failed or skipped.
    pub outcome: &'static str,
    /// Why, when not `ran`.
    pub why: String,
}

/// Verdict of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Verdict {
    /// At least one DANGER or WARNING.
    #[serde(rename = "stop")]
    Stop,
    /// At least one CAUTION, nothing graver.
    #[serde(rename = "caution")]
    Caution,
    /// Nothing above NOTICE.
    #[serde(rename = "no finding")]
    NoFinding,
}

impl Verdict {
    /// The verdict that follows from the gravest of these findings.
    pub fn of(findings: &[Finding]) -> Verdict {
        match findings.iter().map(|f| f.signal).min() {
            Some(Signal::Danger | Signal::Warning) => Verdict::Stop,
            Some(Signal::Caution) => Verdict::Caution,
            Some(Signal::Notice) | None => Verdict::NoFinding,
        }
    }

    /// As it is written.
    pub const fn word(self) -> &'static str {
        match self {
            Verdict::Stop => "stop",
            Verdict::Caution => "caution",
            Verdict::NoFinding => "no finding",
        }
    }
}

/// Everything a check of one jig has to say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Judgement {
    /// Day of the check (yyyy-mm-dd).
    pub date: String,
    /// Name of the jig.
    pub jig_name: String,
    /// File as named on the command line.
    pub jig_file: String,
    /// sha256 of the file, lower-case hex.
    pub jig_sha256: String,
    /// Conditions tried.
    pub conditions: Conditions,
    /// Findings, gravest first.
    pub findings: Vec<Finding>,
    /// Worst stresses.
    pub stresses: Vec<Stress>,
    /// Worst touch values.
    pub touch: Vec<Touch>,
    /// Charge left.
    pub discharge: Vec<Discharge>,
    /// Plugins.
    pub plugins: Vec<PluginRun>,
    /// Whether only the one condition that was asked for was looked at, and nothing is known of the others.
    pub only: bool,
    /// What was not checked, in words.
    pub not_checked: Vec<String>,
    /// What was taken because the file states nothing.
    pub assumed: Vec<Assumed>,
    /// The kind of unit that the file names and no plugin is for.
    pub unit_without_checks: Option<String>,
    /// Ratings that are exceeded and let pass.
    pub let_pass: Vec<LetPass>,
    /// Faults that a protective device ends.
    pub cleared: Vec<Cleared>,
    /// Every condition, where it was asked for.
    pub tried: Option<Vec<Tried>>,
    /// One condition in full, where it was asked for.
    pub replay: Option<Replay>,
    /// Pairs of faults, where they were asked for.
    pub double_faults: Option<DoubleFaults>,
    /// What a meter must read first on the unplugged tool, where that was asked for and nothing is to be changed first.
    pub measure_first: Option<MeasureFirst>,
}

/// A value that was taken because the file states none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assumed {
    /// The part; nothing where it is of the supply.
    pub part: Option<String>,
    /// The key that would state it.
    pub key: String,
    /// The value, in `unit`.
    pub value: f64,
    /// SI base unit; empty for a fraction or a ratio.
    pub unit: String,
    /// Where it comes from.
    pub source: String,
}

/// What a meter must read first on the unplugged tool.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MeasureFirst {
    /// How many measurements the dead test has.
    pub all: usize,
    /// The first of them: where, and what is read there.
    pub first: Vec<(String, String)>,
}

impl Judgement {
    /// The verdict, which follows from the gravest finding (an accepted DANGER or WARNING still counts).
    pub fn verdict(&self) -> Verdict {
        Verdict::of(&self.findings)
    }

    /// Whether everything that was to be tried was tried. A check that solved nothing has judged nothing, and one that
    /// looked at one condition nothing else.
    pub fn complete(&self) -> bool {
        let Conditions { solved, unsolved, .. } = self.conditions;
        !self.only && solved > 0 && unsolved == 0 && self.plugins.iter().all(|p| p.outcome != "failed")
    }

    /// Exit status: 3 incomplete, else 1 for DANGER or WARNING, else 0.
    pub fn exit_status(&self) -> u8 {
        if !self.complete() {
            3
        } else if self.verdict() == Verdict::Stop {
            1
        } else {
            0
        }
    }
}
