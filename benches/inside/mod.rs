//! What the benchmarks run inside the rooms; compiled for them alone, and no part of the interface.
#![allow(clippy::unwrap_used, missing_docs, unreachable_pub)]

pub mod plugins;
pub mod sharing;
pub mod survey;
