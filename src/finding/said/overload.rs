//! Facts of smoulder, transformer-rating, psu-rating, winding-rating and varistor-rating.

use super::Amount;
use crate::finding::{Ordinal, Under};

/// Something above its rating with a fault that no fuse is sure to end.
#[derive(Debug, Clone, PartialEq)]
pub struct Smoulder {
    /// The part, or the branch of it.
    pub item: String,
    /// The condition with the fault.
    pub at: Ordinal,
    /// What it takes or carries.
    pub value: Amount,
    /// What it is made for.
    pub limit: Amount,
    /// The fuse that is strained, with its current.
    pub fuse: Option<(String, Amount)>,
    /// The device that ends it after a time, by its index, and within how long.
    pub ends: Option<(usize, Amount)>,
    /// What becomes of it.
    pub fate: Smouldering,
    /// What cures it.
    pub cure: SmoulderCure,
}

/// What becomes of what smoulders.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Smouldering {
    /// It opens, as it was made to.
    OpensAsMade,
    /// Its fuse opens some time, nobody assures when.
    FuseOpensLate,
    /// Its device opens, though only when it has been heated through.
    UntilItOpens,
    /// It roasts without flame.
    Roasts,
    /// It runs hot.
    RunsHot,
    /// Something burns.
    Burns,
}

/// What ends it.
#[derive(Debug, Clone, PartialEq)]
pub enum SmoulderCure {
    /// Nothing is needed.
    NoneNeeded,
    /// A smaller fuse, or a thermal fuse on the part.
    SmallerFuse {
        /// The fuse.
        fuse: String,
        /// The part.
        part: String,
    },
    /// The thermal fuse in its path, if it sits on the part.
    SitsOnIt {
        /// The thermal fuse.
        link: String,
        /// The part.
        part: String,
    },
    /// Another fuse where one in its path is too large to see this.
    TooLarge {
        /// The fuse.
        fuse: String,
        /// Its amperes.
        rating: Amount,
        /// At what it should open.
        value: Amount,
        /// The part.
        part: String,
    },
    /// A fuse in its path, or a thermal fuse on the part.
    FuseAt {
        /// That opens at this.
        value: Amount,
        /// The part.
        part: String,
    },
}

/// A current in normal use that nothing ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Overcurrent {
    /// The winding, coil, inrush limiter or module.
    pub item: String,
    /// The current.
    pub current: Amount,
    /// What it is made for.
    pub limit: Amount,
}

/// A bought module.
#[derive(Debug, Clone, PartialEq)]
pub enum PsuRating {
    /// It gives too much.
    Gives(Overcurrent),
    /// Something drives its output backwards.
    Backwards {
        /// Its output.
        item: String,
        /// Normal use or a fault.
        under: Under,
        /// The current into it.
        current: Amount,
        /// What it is made to give.
        limit: Amount,
    },
    /// Too many volts at its input.
    Input {
        /// The module.
        part: String,
        /// The crest.
        volts: Amount,
        /// What modules are made for.
        limit: Amount,
    },
}

/// A transformer in normal use.
#[derive(Debug, Clone, PartialEq)]
pub enum TransformerRating {
    /// Too many volts on a winding.
    Volts {
        /// The winding.
        winding: String,
        /// The volts.
        volts: Amount,
        /// What it is made for.
        limit: Amount,
        /// Volts it should be made for.
        supply: Amount,
    },
    /// Too much current.
    Current(Overcurrent),
}

/// A part against surges that works all the time.
#[derive(Debug, Clone, PartialEq)]
pub enum VaristorRating {
    /// Volts across a varistor.
    Volts {
        /// The varistor.
        part: String,
        /// The volts.
        volts: Amount,
        /// What it is made for.
        limit: Amount,
        /// Rated volts that are usual on this supply.
        cure: Option<Amount>,
    },
    /// Rated volts of a varistor across the mains that are below the rule.
    Low {
        /// The varistor.
        part: String,
        /// Its rating.
        volts: Amount,
        /// What the rule asks for.
        needed: Amount,
        /// Rated volts that are usual on this supply.
        cure: Option<Amount>,
    },
    /// A varistor from a pole to earth.
    ToEarth {
        /// The varistor.
        part: String,
        /// The net of the pole.
        net: String,
    },
    /// Watts in a suppressor.
    Watts {
        /// The suppressor.
        part: String,
        /// The watts.
        watts: Amount,
        /// What it is made for.
        limit: Amount,
    },
}

impl PsuRating {
    pub(super) fn same_cure(&self, other: &PsuRating) -> bool {
        match (self, other) {
            (PsuRating::Gives(_), PsuRating::Gives(_)) | (PsuRating::Input { .. }, PsuRating::Input { .. }) => true,
            _ => self == other,
        }
    }
}

impl TransformerRating {
    pub(super) fn same_cure(&self, other: &TransformerRating) -> bool {
        match (self, other) {
            (TransformerRating::Volts { supply: a, .. }, TransformerRating::Volts { supply: b, .. }) => a == b,
            (TransformerRating::Current(_), TransformerRating::Current(_)) => true,
            _ => false,
        }
    }
}

impl VaristorRating {
    pub(super) fn same_cure(&self, other: &VaristorRating) -> bool {
        match (self, other) {
            (VaristorRating::Volts { cure: a, .. }, VaristorRating::Volts { cure: b, .. }) => a == b,
            (VaristorRating::Low { needed: a, .. }, VaristorRating::Low { needed: b, .. }) => a == b,
            (VaristorRating::ToEarth { .. }, VaristorRating::ToEarth { .. })
            | (VaristorRating::Watts { .. }, VaristorRating::Watts { .. }) => true,
            _ => false,
        }
    }
}
