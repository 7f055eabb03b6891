//! Facts of rcd-standing-leakage.

use super::Amount;

/// What the earth conductor carries in normal use.
#[derive(Debug, Clone, PartialEq)]
pub struct RcdStandingLeakage {
    /// The current.
    pub current: Amount,
    /// What it may be.
    pub limit: Amount,
    /// Who objects.
    pub by: LeakageLimit,
}

/// Whose limit it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeakageLimit {
    /// That of the residual-current device.
    Device,
    /// That of an inspection.
    Inspection,
}
