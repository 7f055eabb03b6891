//! Every command and output in the README is real: they are run as printed, in a shell, from the project's folder.
#![allow(missing_docs, clippy::unwrap_used)]

use std::path::Path;
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Command lines of the console blocks with the output printed under each.
fn blocks(text: &str) -> Vec<(String, String)> {
    let mut out: Vec<(String, String)> = vec![];
    let mut inside = false;
    for line in text.lines() {
        if line.starts_with("```") {
            inside = line == "```console";
        } else if let (true, Some(command)) = (inside, line.strip_prefix("$ ")) {
            out.push((command.to_string(), String::new()));
        } else if inside {
            let last = out.last_mut().expect("a console block begins with a command");
            last.1.push_str(line);
            last.1.push('\n');
        }
    }
    out
}

fn run(command: &str, folder: &Path) -> String {
    let binary = super::program::binary();
    let path = format!("{}:{}", binary.parent().unwrap().display(), std::env::var("PATH").unwrap_or_default());
    let shell = format!("{{ {command} ; }} 2>&1");
    let home = super::program::scratch().join("home");
    std::fs::create_dir_all(&home).unwrap();
    let out = Command::new("sh")
        .args(["-c", &shell])
        .current_dir(folder)
        .env("PATH", path)
        .env_remove("COLUMNS")
        // Nothing of the user's own plugins and keys, and nothing written among them.
        .env("DEADFRONT_HOME", home)
        .output()
        .unwrap();
    String::from_utf8(out.stdout).unwrap()
}

#[test]
fn every_command_prints_what_the_readme_shows() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let found = blocks(&readme);
    assert!(found.len() >= 5, "{found:?}");
    let mut shown = 0;
    for (command, printed) in found {
        if command == "cargo test" {
            continue; // this very run
        }
        // The binary is built already: what follows `--` is what cargo would hand to it.
        let command = match command.strip_prefix("cargo run --release -- ") {
            Some(rest) => format!("deadfront {rest}"),
            None => command,
        };
        assert!(command.starts_with("deadfront ") || command.contains("; deadfront "), "{command}");
        let real = run(&command, root());
        assert!(!real.is_empty(), "{command} prints nothing");
        if !printed.is_empty() {
            assert_eq!(real, printed, "{command}");
            shown += 1;
        }
    }
    assert!(shown >= 3, "only {shown} outputs shown");
}

#[test]
fn it_is_short_enough_to_be_read() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.lines().count() <= 200, "{} lines", readme.lines().count());
}

#[test]
fn the_first_two_commands_are_the_main_job_and_the_tests() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let found = blocks(&readme);
    assert!(found[0].0.starts_with("cargo run --release -- check demo-data/"), "{}", found[0].0);
    assert_eq!(found[1].0, "cargo test");
    // What is run before anything goes in runs the same tests.
    let ci = std::fs::read_to_string(root().join(".ci/run")).unwrap();
    assert!(ci.contains("cargo test --locked"), "{ci}");
    // The job in one paragraph stands at the very top, under the name.
    assert!(readme.lines().nth(2).unwrap().starts_with("deadfront checks"), "{readme}");
}

#[test]
fn the_help_examples_run_as_printed() {
    for command in [
        "deadfront --help",
        "deadfront check --help",
        "deadfront size --help",
        "deadfront size neon --help",
        "deadfront size led --help",
        "deadfront why --help",
        "deadfront plugin --help",
        "deadfront schema --help",
        "deadfront new --help",
        "deadfront tables --help",
        "deadfront compare --help",
        "deadfront strobe --help",
        "deadfront deadtest --help",
        "deadfront sheet --help",
        "deadfront completions --help",
        "deadfront man --help",
    ] {
        let help = run(command, root());
        let example =
            help.lines().skip_while(|l| *l != "Example:").nth(1).unwrap_or_else(|| panic!("{command}: {help}"));
        // In a folder of its own, since an example may write a file; a file it writes is its output.
        let folder = tempfile::tempdir().unwrap();
        let demo = folder.path().join("demo-data");
        std::fs::create_dir(&demo).unwrap();
        for entry in std::fs::read_dir(root().join("demo-data")).unwrap().map(Result::unwrap) {
            if entry.path().is_file() {
                std::fs::copy(entry.path(), demo.join(entry.file_name())).unwrap();
            }
        }
        let mut printed = run(example.trim(), folder.path());
        if let Some((_, file)) = example.split_once('>') {
            printed += &std::fs::read_to_string(folder.path().join(file.trim())).unwrap();
        }
        assert!(!printed.is_empty() && !printed.contains("error:"), "{example}: {printed}");
    }
}

#[test]
fn the_jig_shown_in_the_readme_checks_as_it_says() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let jig = readme.split_once("```toml\n").unwrap().1.split_once("\n```").unwrap().0;
    assert!(jig.lines().count() <= 28, "{jig}");
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("lamp.toml"), format!("{jig}\n")).unwrap();
    let page = run("deadfront check lamp.toml; echo status $?", folder.path());
    assert!(page.starts_with("Nothing graver than NOTICE found"), "{page}");
    assert!(page.ends_with("status 0\n"), "{page}");
}
