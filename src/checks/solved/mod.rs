//! Checks from the solved circuit.

use super::Check;

/// The list.
pub const LIST: &[&Check] = &[];
