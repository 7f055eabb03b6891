//! What the check says of itself: what it could not solve, and acceptances and plugins that do not hold. Judges no part.

use super::Check;

mod acceptance;
mod plugin_failed;
mod unsolved_condition;

/// The list.
pub(crate) const LIST: &[&Check] = &[&unsolved_condition::CHECK, &acceptance::CHECK, &plugin_failed::CHECK];
