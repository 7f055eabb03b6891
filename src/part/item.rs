//! What a part is in the circuit: the things with stresses of their own. A two-ended part is one, so is a contact of a
//! switch, a winding, a bridge as a whole and each of its arms.

use crate::format::Ends;

/// What an item's quantities are made of.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Measure {
    /// One branch.
    Branch(usize),
    /// Current and power through these branches in series (the first carries the current), volts from a voltmeter.
    Series(Vec<usize>, usize),
    /// A bridge as a whole: arms into plus, arms from minus.
    Bridge([usize; 4]),
}

/// What an item is of its part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    /// The whole part.
    Whole,
    /// One contact of a switch.
    Contact,
    /// One arm of a bridge.
    Arm,
    /// The winding on the supply's side.
    Primary,
    /// A winding on the other side.
    Secondary,
    /// What a module takes from the mains.
    Input,
    /// What a module gives.
    Output,
}

/// One thing with a row of stresses.
#[derive(Debug, Clone)]
pub(crate) struct Item {
    /// Name in reports.
    pub name: String,
    /// Index of its part.
    pub part: usize,
    /// What it is of its part.
    pub role: Role,
    /// Where its quantities come from.
    pub measure: Measure,
    /// Its two nets.
    pub ends: Ends,
    /// Branch that a fault opens or bridges; `None` for a bridge as a whole.
    pub fault_branch: Option<usize>,
}

/// A value with a tolerance.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Toleranced {
    /// Branch whose device changes.
    pub branch: usize,
    /// Part.
    pub part: usize,
    /// Fraction either way.
    pub tolerance: f64,
}

/// What fails of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Failure {
    /// It opens.
    Open,
    /// It is bridged.
    Short,
    /// A contact stays closed.
    Welded,
    /// The insulation to another winding of its part breaks down; index of that winding's item.
    JoinedTo(usize),
}

/// What is not failed, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Spared {
    /// A capacitor of a class that is built not to fail short.
    SafetyCapacitor,
    /// A winding of an autotransformer: there is no insulation between its windings.
    PartOfAWinding,
    /// Insulation between windings that is stated as double or reinforced.
    StrongInsulation,
}
