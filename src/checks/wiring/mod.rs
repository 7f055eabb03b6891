//! Checks from the wiring itself.

use super::Check;

mod fuse;
mod graph;
mod plug;
mod switch;

/// The list.
pub const LIST: &[&Check] = &[&fuse::CHECK, &switch::CHECK, &plug::CHECK, &plug::BOX];
