//! Facts of rcd-type.

use super::Amount;
use crate::finding::Under;

/// A current to earth that the residual-current device is not sure to see.
#[derive(Debug, Clone, PartialEq)]
pub struct RcdUnseen {
    /// Normal use or a fault.
    pub under: Under,
    /// The current.
    pub current: Amount,
    /// The type that is stated; `None` where the worst was taken.
    pub stated: Option<&'static str>,
    /// The type that sees it.
    pub sees: &'static str,
}
