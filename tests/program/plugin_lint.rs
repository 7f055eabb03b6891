//! Lua of ours through a Lua checker that knows nothing of this program, where the machine has one, and through a parser
//! everywhere. What is written in the Luau manner (`x += 1`, `if a then b else c` as a value) only the parser reads.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::root;
use mlua::Lua;
use std::path::{Path, PathBuf};
use std::process::Command;

fn scripts() -> Vec<PathBuf> {
    let mut out = vec![root().join("plugins/api.lua"), root().join("src/plugin/skeleton/check.lua")];
    for entry in std::fs::read_dir(root().join("plugins")).unwrap().map(|e| e.unwrap().path()) {
        if entry.is_dir() {
            out.push(entry.join("check.lua"));
        }
    }
    out.sort();
    out
}

#[test]
fn every_script_is_lua() {
    let lua = Lua::new();
    let all = scripts();
    assert!(all.len() >= 10, "{all:?}");
    for path in all {
        let source = std::fs::read_to_string(&path).unwrap();
        lua.load(&source).into_function().unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    }
    assert!(lua.load("function f(").into_function().is_err());
}

/// The checker's words on a script of plain Lua, and whether it found nothing.
fn checked(path: &Path) -> (bool, String) {
    let names = ["limit", "quantity", "format", "danger", "warning", "caution", "notice"];
    let out = Command::new("luacheck")
        .args(["--no-config", "--no-color", "--std", "lua53", "--no-max-line-length", "--no-unused-args"])
        // The annotations are globals that nobody reads, and a table that is only filled.
        .args(["--allow-defined-top", "--ignore", "131", "241", "--read-globals"])
        .args(names)
        .arg("--")
        .arg(path)
        .output()
        .unwrap();
    (out.status.success(), String::from_utf8_lossy(&out.stdout).into_owned())
}

#[test]
fn a_checker_of_its_own_finds_nothing_in_the_annotations_and_the_new_plugin() {
    if Command::new("luacheck").arg("--version").output().is_err() {
        assert!(std::env::var_os("CI_HAS_LUACHECK").is_none(), "luacheck was installed and cannot be run");
        eprintln!("skipped: no luacheck here");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let guide = std::fs::read_to_string(root().join("plugins/README.md")).unwrap();
    let (_, rest) = guide.split_once("Replace `dial-lamp-tester/check.lua`:\n\n```lua\n").unwrap();
    let written = folder.path().join("check.lua");
    std::fs::write(&written, rest.split_once("```\n").unwrap().0).unwrap();
    for path in [root().join("src/plugin/skeleton/check.lua"), written] {
        let (clean, told) = checked(&path);
        assert!(clean, "{told}");
    }
    // The annotations declare the names they are not to be surprised by.
    let out = Command::new("luacheck")
        .args(["--no-config", "--no-color", "--std", "lua53", "--no-max-line-length", "--no-unused-args"])
        .args(["--allow-defined-top", "--ignore", "131", "241", "--"])
        .arg(root().join("plugins/api.lua"))
        .output()
        .unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stdout));
    // It does find what is wrong.
    let wrong = folder.path().join("wrong.lua");
    std::fs::write(&wrong, "return { check = function(jig) return notise{ check = jig.name } end }\n").unwrap();
    assert!(!checked(&wrong).0);
}
