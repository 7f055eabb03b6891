//! deadfront checks a home-built mains-powered bench tool on paper, before anyone plugs it in.
//!
//! Data walks one way: **jig → survey → judgement → report**. Each room knows the rooms before it and
//! none of those after it.

pub mod checks;
pub mod circuit;
pub mod command;
pub mod files;
pub mod finding;
pub mod format;
pub mod jig;
pub mod mending;
pub mod nets;
pub mod part;
pub mod plugin;
pub mod quantity;
pub mod report;
pub mod sharing;
pub mod sizing;
pub mod standard;
pub mod survey;
pub mod wording;

/// Tests of the rooms from inside; they stand with the other tests.
#[cfg(test)]
#[path = "../tests/rooms/mod.rs"]
mod tests;
