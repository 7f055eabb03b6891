//! Tests of the whole program: the built binary on real files, and the tree itself.
#![allow(missing_docs, clippy::unwrap_used, dead_code, unreachable_pub)]

#[path = "../support/program.rs"]
mod program;

#[path = "../support/chromium.rs"]
mod chromium;

mod begin;
mod brief;
mod conditions;
mod deadtest;
mod demo_jigs;
mod dependencies;
mod designs;
mod no_typed_limits;
mod plugin_authoring;
mod plugin_diff;
mod plugin_guide;
mod plugin_lint;
mod published_lamps;
mod readme;
mod several;
mod sharing_five_shops;
mod sharing_walk;
mod sheet;
mod solver_order;
mod strobe;
mod strobe_ring;
mod tables;
mod terminal;
mod trust;
mod umask;
