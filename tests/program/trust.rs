//! No network, and nothing of the environment in what is written.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{program, root, said};
use std::path::{Path, PathBuf};

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Lines of the program's own code that hold one of these.
fn lines_with(words: &[&str]) -> Vec<String> {
    let mut files = vec![];
    sources(&root().join("src"), &mut files);
    assert!(files.len() > 300, "{}", files.len());
    files.sort();
    let lines = files.iter().flat_map(|file| {
        let text = std::fs::read_to_string(file).unwrap();
        let name = file.strip_prefix(root()).unwrap().display().to_string();
        let found =
            text.lines().filter(|l| words.iter().any(|w| l.contains(w))).map(|l| format!("{name}: {}", l.trim()));
        found.collect::<Vec<_>>()
    });
    lines.collect()
}

#[test]
fn nothing_in_the_program_opens_a_connection_or_starts_another_program() {
    // A plugin that is vetted is tried in a process of its own: of this program.
    let itself = "src/command/plugin/trial.rs: let out = Command::new(std::env::current_exe()?)";
    let found = lines_with(&[
        "std::net",
        "TcpStream",
        "UdpSocket",
        "UnixStream",
        "ToSocketAddrs",
        "process::Command",
        "Command::new(",
    ]);
    assert_eq!(found, [itself]);
}

#[test]
fn of_the_environment_only_what_is_named_here_is_read() {
    let found = lines_with(&["env::var", "env::vars", "env::temp_dir", "env::home_dir", "env::current_dir"]);
    let files: Vec<&str> = found.iter().map(|l| l.split(':').next().unwrap()).collect();
    assert_eq!(files, READ_IN, "{found:#?}");
}

/// Whether there are colours, the password of a key, where plugins lie.
const READ_IN: &[&str] = &["src/command/plugin/password.rs", "src/command/screen.rs", "src/sharing/home.rs"];

#[test]
fn nothing_of_the_environment_stands_in_what_is_written() {
    const SECRET: &str = "kestrel-4711";
    let folder = tempfile::tempdir().unwrap();
    let jig = folder.path().join("jig.toml");
    std::fs::copy(root().join("demo-data/neon-wand-230v.toml"), &jig).unwrap();
    let home = folder.path().join(format!("home-of-{SECRET}"));
    std::fs::create_dir(&home).unwrap();
    for arguments in [
        &["check", "--all", "--json", "jig.toml"][..],
        &["check", "--all", "jig.toml"],
        &["sheet", "jig.toml"],
        &["deadtest", "jig.toml", "--json"],
        &["strobe", "jig.toml"],
        &["compare", "jig.toml", "jig.toml"],
    ] {
        let mut command = program(arguments);
        command.current_dir(folder.path()).env("HOME", &home).env_remove("DEADFRONT_HOME");
        for name in ["USER", "LOGNAME", "HOSTNAME", "AWS_SECRET_ACCESS_KEY", "SSH_AUTH_SOCK", "XDG_DATA_HOME", "EDITOR"]
        {
            command.env(name, format!("/{SECRET}"));
        }
        let out = command.output().unwrap();
        assert!(!out.stdout.is_empty(), "{arguments:?}: {}", said(&out));
        for written in [&out.stdout, &out.stderr] {
            assert!(!String::from_utf8_lossy(written).contains(SECRET), "{arguments:?}: {}", said(&out));
        }
    }
}
