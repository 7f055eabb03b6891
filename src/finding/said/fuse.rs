//! Facts of fuse-rating, fuse-breaking, fuse-voltage and fuse-inrush.

use super::{Amount, Contact};

/// Current of a fuse in normal use.
#[derive(Debug, Clone, PartialEq)]
pub enum FuseRating {
    /// More than its rating.
    Over {
        /// The fuse.
        part: String,
        /// The current.
        current: Amount,
        /// Its rating.
        rating: Amount,
        /// The next rating that would do.
        cure: Option<Amount>,
    },
    /// More than a North American type is loaded with.
    OverShare {
        /// The fuse.
        part: String,
        /// The current.
        current: Amount,
        /// The next rating that would do.
        cure: Option<Amount>,
    },
    /// Of a thermal fuse.
    Thermal(Contact),
}

/// The current a fuse can break.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseBreaking {
    /// The fuse.
    pub part: String,
    /// What it can break.
    pub breaks: Amount,
    /// What a short can give.
    pub short: Amount,
}

/// Volts across an open fuse.
#[derive(Debug, Clone, PartialEq)]
pub enum FuseVoltage {
    /// Of a fuse.
    Open {
        /// The fuse.
        part: String,
        /// The volts.
        volts: Amount,
        /// What it is made for.
        limit: Amount,
    },
    /// Of a thermal fuse.
    Thermal(Contact),
}

/// The inrush through a fuse.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseInrush {
    /// The fuse.
    pub part: String,
    /// I²t of the first cycle.
    pub i2t: Amount,
    /// What it is sure to carry.
    pub carries: Amount,
    /// A time-lag rating that carries it, where there is one.
    pub cure: Option<Amount>,
}

impl FuseRating {
    pub(super) fn same_cure(&self, other: &FuseRating) -> bool {
        let cure = |f: &FuseRating| match f {
            FuseRating::Over { cure, .. } | FuseRating::OverShare { cure, .. } => Some(*cure),
            FuseRating::Thermal(_) => None,
        };
        match (self, other) {
            (FuseRating::Thermal(a), FuseRating::Thermal(b)) => a.same_cure(b),
            _ => cure(self).is_some() && cure(self) == cure(other),
        }
    }
}

impl FuseVoltage {
    pub(super) fn same_cure(&self, other: &FuseVoltage) -> bool {
        match (self, other) {
            (FuseVoltage::Open { .. }, FuseVoltage::Open { .. }) => true,
            (FuseVoltage::Thermal(a), FuseVoltage::Thermal(b)) => a.same_cure(b),
            _ => false,
        }
    }
}
