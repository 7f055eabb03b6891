//! The author's guide is followed word for word in an empty folder: every file is written as printed, every command run and its
//! output compared, every fragment of code run on the guide's own jig.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, root, said, shell};
use std::fs;
use std::path::Path;

/// What stands in the guide, in its order.
#[derive(Debug)]
enum Step {
    File(String, String),
    /// A command and what it prints.
    Shell(String, String),
    /// A fragment of a check, and whether it is one that fails.
    Fragment(String, bool),
}

fn steps(text: &str) -> Vec<Step> {
    let (mut out, mut lines, mut before) = (vec![], text.lines(), "");
    while let Some(line) = lines.next() {
        let Some(kind) = line.strip_prefix("```") else {
            before = if line.is_empty() { before } else { line };
            continue;
        };
        let block: Vec<&str> = lines.by_ref().take_while(|l| *l != "```").collect();
        let whole = block.join("\n") + "\n";
        // "…, in `path`:" or "Replace `path`:" before a block names the file.
        let path = before.strip_suffix("`:").and_then(|b| b.rsplit('`').next());
        match (kind, path) {
            ("console", _) => {
                for line in block {
                    match (line.strip_prefix("$ "), out.last_mut()) {
                        (Some(command), _) => out.push(Step::Shell(command.into(), String::new())),
                        (None, Some(Step::Shell(_, printed))) => *printed += &format!("{line}\n"),
                        _ => panic!("a console block begins with a command: {line}"),
                    }
                }
            }
            ("toml" | "lua", Some(path)) => out.push(Step::File(path.into(), whole)),
            ("lua", None) => out.push(Step::Fragment(whole, false)),
            ("lua error", None) => out.push(Step::Fragment(whole, true)),
            // Run by the walk from one shop to another.
            ("sh", None) => {}
            _ => panic!("a block of {kind:?} that nothing runs: {whole}"),
        }
        before = "";
    }
    out
}

/// Both streams of a command of the guide.
fn told_by(command: &str, folder: &Path) -> String {
    let mut shell = shell(folder, &format!("{{ {command} ; }} 2>&1"));
    fs::create_dir_all(folder.join(".home")).unwrap();
    printed(&shell.env_remove("COLUMNS").env("DEADFRONT_HOME", folder.join(".home")).output().unwrap())
}

#[test]
fn whoever_follows_the_guide_ends_with_a_plugin_that_works() {
    let guide = fs::read_to_string(root().join("plugins/README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let (mut files, mut commands, mut fragments) = (0, 0, 0);
    for step in steps(&guide) {
        match step {
            Step::File(path, text) => {
                files += 1;
                // Only what `plugin new` has made is replaced: a file that nobody reads would be no example.
                assert!(folder.path().join(&path).is_file(), "{path}");
                fs::write(folder.path().join(path), text).unwrap();
            }
            Step::Shell(command, printed) => {
                commands += 1;
                assert_eq!(told_by(&command, folder.path()), printed, "{command}");
            }
            Step::Fragment(code, fails) => {
                fragments += 1;
                fragment(folder.path(), &code, fails);
            }
        }
    }
    assert!(files >= 3 && commands >= 8 && fragments >= 7, "{files} files, {commands} commands, {fragments} fragments");
}

/// Runs a fragment as the body of a check, in a copy of the guide's plugin, on its good case.
fn fragment(folder: &Path, code: &str, fails: bool) {
    let copy = tempfile::tempdir_in(folder).unwrap();
    let id = "dial-lamp-tester";
    let there = copy.path().join(id);
    fs::create_dir_all(there.join("cases")).unwrap();
    for name in ["plugin.toml", "cases/good.toml"] {
        fs::copy(folder.join(id).join(name), there.join(name)).unwrap();
    }
    if code.contains("return {") && !fails {
        let case = fs::read_to_string(there.join("cases/good.toml")).unwrap();
        fs::write(there.join("cases/good.toml"), case.replace("none = true", "findings = [\"over-volts\"]")).unwrap();
    }
    fs::write(there.join("check.lua"), format!("return {{ check = function(jig)\n{code}\nend }}\n")).unwrap();
    let out = program(["plugin", "try"]).arg(&there).output().unwrap();
    let told = printed(&out) + &said(&out);
    assert_eq!(out.status.code(), Some(if fails { 3 } else { 0 }), "{code}\n{told}");
    assert!(!fails || told.contains("check.lua:3"), "{code}\n{told}");
}
