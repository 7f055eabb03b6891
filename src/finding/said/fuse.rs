//! Facts of fuse-rating, fuse-breaking, fuse-voltage and fuse-inrush.

use super::{Amount, Contact};
use crate::finding::Ordinal;

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
    /// What a short can give, or what a thermal fuse carries.
    pub short: Amount,
    /// The fault in which a thermal fuse carries that.
    pub heated: Option<Ordinal>,
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
        /// Whether it is the supply that stands across it.
        on_mains: bool,
    },
    /// D.c. across one that is made for a.c.
    Direct {
        /// The fuse.
        part: String,
        /// The d.c. volts.
        volts: Amount,
        /// What it breaks of d.c.
        limit: Amount,
        /// Whether it states that itself.
        stated: bool,
    },
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
    /// Whether it is that of something charged that is put on.
    pub put_on: bool,
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
            (FuseVoltage::Open { on_mains: a, volts: v, .. }, FuseVoltage::Open { on_mains: b, volts: w, .. }) => {
                a == b && (*a || v == w)
            }
            (FuseVoltage::Direct { volts: a, .. }, FuseVoltage::Direct { volts: b, .. }) => a == b,
            (FuseVoltage::Open { .. }, FuseVoltage::Direct { .. })
            | (FuseVoltage::Direct { .. }, FuseVoltage::Open { .. }) => false,
        }
    }
}
