//! Checks from the wiring itself.

use super::Check;

/// The list.
pub const LIST: &[&Check] = &[];
