//! What every kind of part has to answer. None of it has a default: a new kind that forgets a question does not compile.

use super::assembly::Assembly;
use super::dead::DeadBranch;
use super::declare::Declared;
use super::item::{Failure, Item, Role, Spared};
use super::joint::Joint;
use super::rating::Rating;
use super::reading::Reading;
use super::wanted::Wanted;
use crate::finding::Quantity;
use crate::format::{NetId, Row};

/// How the items of a part fail one at a time, and what does not and why.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Failures {
    /// What fails.
    pub(crate) faults: Vec<Failure>,
    /// What does not.
    pub(crate) spared: Vec<Spared>,
}

impl Failures {
    /// These, and nothing is spared.
    pub(super) fn of(faults: &[Failure]) -> Failures {
        Failures { faults: faults.to_vec(), spared: vec![] }
    }
}

/// Most parts: open, or bridged.
pub(super) fn open_or_short() -> Failures {
    Failures::of(&[Failure::Open, Failure::Short])
}

/// What a part does about a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Protection {
    /// Nothing.
    None,
    /// A fuse-link opens by its gates.
    Fuse,
    /// A fusible resistor opens by its power.
    FusibleResistor,
    /// A thermal fuse opens by the heat of what it sits on.
    ThermalFuse,
}

/// What is left to judge of a part that has failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OnceFailed {
    /// It is there to open, and still stands its volts.
    StandsItsVolts,
    /// The item that failed is past its ratings.
    ItemIsBroken,
    /// The whole part is, with all its items.
    PartIsBroken,
}

/// A kind of part.
pub(crate) trait Behaviour: Declared {
    /// The part a row describes; `None` where it cannot be built, which is told through `reading` or was already.
    fn read(row: &Row, reading: &mut Reading) -> Option<Self>;

    /// The nets its terminals are on, one entry a terminal.
    fn terminals(&self) -> Vec<NetId>;

    /// Which of its nets it joins, and through what.
    fn joints(&self) -> Vec<Joint>;

    /// Its branches in a circuit and the items they are. Values as stated, switches on.
    fn assemble(&self, circuit: &mut Assembly);

    /// What it is to a meter while the tool is unplugged: one entry for each item that can fail, in their order, then what
    /// else it joins.
    fn dead(&self) -> Vec<DeadBranch>;

    /// How item `k` of `items`, one of its own, fails.
    fn failures(&self, items: &[Item], k: usize) -> Failures;

    /// The quantity whose excess heats an item of this role until it burns.
    fn overheats_by(&self, role: Role) -> Option<Quantity>;

    /// What it can still be judged by once it has failed itself.
    fn once_failed(&self) -> OnceFailed;

    /// Whether it is there to open in a fault.
    fn protection(&self) -> Protection;

    /// Its ratings, or those of an item of this role, and who judges each.
    fn ratings(&self, role: Role) -> Vec<Rating>;

    /// Keys that checks need of it.
    fn wanted(&self) -> Vec<Wanted>;

    /// Keys that are compared with and never solved: another value there leaves the circuit as it is.
    fn only_compared(&self) -> &'static [&'static str];

    /// A value the circuit depends on and a what-if may change, by its key in the file.
    fn value_mut(&mut self, key: &str) -> Option<&mut f64>;
}
