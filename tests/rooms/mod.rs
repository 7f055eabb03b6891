//! Tests of the rooms from inside: what users of the crate cannot reach. They are compiled into the library's own tests.
#![allow(missing_docs, clippy::unwrap_used, dead_code, unreachable_pub)]

#[path = "../report_look/contract.rs"]
mod contract;
#[path = "../study/edit.rs"]
mod edit;
#[path = "../fuzz/entries.rs"]
mod entries;
#[path = "../support/manual.rs"]
mod manual;
#[path = "../report_look/pages.rs"]
mod pages;
#[path = "../support/plugins.rs"]
mod plugins;
#[path = "../support/program.rs"]
mod program;
#[path = "../referee/mod.rs"]
mod referee_kit;
#[path = "../support/sharing/mod.rs"]
mod sharing_support;
#[path = "../study/shell.rs"]
mod shell;
#[path = "../report_look/snapshot.rs"]
mod snapshot;
#[path = "../support/mod.rs"]
mod support;
#[path = "../support/svg_read.rs"]
mod svg_read;
#[path = "../study/table.rs"]
mod table;
#[path = "../support/sharing/tars.rs"]
mod tars;
#[path = "../support/tiny.rs"]
mod tiny;
#[path = "../study/values.rs"]
mod values;
#[path = "../study/wiring.rs"]
mod wiring;

mod arcs_and_pulses;
mod bad_input;
mod bounds;
mod causes;
mod checks_lamps;
mod checks_solved;
mod checks_wiring;
mod command_line;
mod dead_test;
mod dead_test_study;
mod ended_slowly;
mod fuzzed;
mod graver_hidden;
mod hand_worked;
mod heat_and_surges;
mod jig_file;
mod many_parts;
mod matrix;
mod mending;
mod mutated_jigs;
mod names_with_commas;
mod nets;
mod nobody_said;
mod normal_use;
mod one_of_each;
mod order_free;
mod plugin_api;
mod plugin_containment;
mod plugin_host;
mod plugin_together;
mod plugin_what_if;
mod published;
mod published_limits;
mod quantities;
mod ratings_after_a_fault;
mod referee;
mod report_look;
mod same_bytes;
mod schema;
mod screens_and_varistors;
mod sharing_home;
mod sharing_hostile;
mod sharing_identity;
mod sharing_keys;
mod sharing_lock;
mod sharing_machine;
mod sharing_shelf;
mod sharing_stops;
mod sharing_trust;
mod sheet_picture;
mod sizing;
mod solver_iron;
mod solver_properties;
mod solver_reference;
mod solver_second_method;
mod solver_textbook;
mod stored_charge;
mod strobe;
mod study;
mod tolerance_corners;
mod unit_names;
mod unit_plugins;
mod unsolved_told;
mod why;
