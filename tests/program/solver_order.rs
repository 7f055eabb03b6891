//! The files of the solver build on one another in the order that its first lines tell: each uses only those before it,
//! so that every one can be read and tested with what stands above it.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};

fn room() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src/circuit")
}

fn text(name: &str) -> String {
    std::fs::read_to_string(room().join(name).with_extension("rs")).unwrap()
}

/// Names of the files but for `mod.rs`.
fn files() -> Vec<String> {
    let entries = std::fs::read_dir(room()).unwrap().map(|e| e.unwrap().path());
    let names = entries.map(|p| p.file_stem().unwrap().to_str().unwrap().to_string());
    names.filter(|n| n != "mod").collect()
}

/// Names in backquotes in the numbered list at the head of `mod.rs`, in order.
fn told() -> Vec<String> {
    let head = text("mod");
    let list = head.lines().skip_while(|l| !l.starts_with("//! 1. ")).take_while(|l| *l != "//!");
    list.flat_map(|l| l.split('`').skip(1).step_by(2).map(str::to_string).collect::<Vec<_>>()).collect()
}

/// Names of the neighbours that a file's code uses.
fn neighbours(name: &str) -> Vec<String> {
    let text = text(name);
    let code = text.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
    let after = code.split("super::").skip(1);
    after.map(|rest| rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()).collect()
}

#[test]
fn the_order_names_every_file_once() {
    let (mut told, mut files) = (told(), files());
    assert!(files.len() > 20, "{files:?}");
    told.sort();
    files.sort();
    assert_eq!(told, files);
}

#[test]
fn each_file_uses_only_those_before_it() {
    let order = told();
    let mut uses = 0;
    for (k, name) in order.iter().enumerate() {
        for other in neighbours(name) {
            uses += 1;
            assert!(order[..k].contains(&other), "{name} uses {other}, which does not stand before it");
        }
    }
    assert!(uses > 100, "{uses} uses");
}
