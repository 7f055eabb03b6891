//! One entry of `entries.rs`, named by the variable `ENTRY`, under libFuzzer.
#![no_main]

use deadfront::fuzzed::{ENTRIES, Entry};
use std::sync::LazyLock;

static CHOSEN: LazyLock<Entry> = LazyLock::new(|| {
    let wanted = std::env::var("ENTRY").unwrap_or_default();
    let known: Vec<&str> = ENTRIES.iter().map(|(name, _)| *name).collect();
    let found = ENTRIES.iter().find(|(name, _)| *name == wanted);
    found.unwrap_or_else(|| panic!("ENTRY is one of {}", known.join(", "))).1
});

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| CHOSEN(bytes));
