//! The program itself, run as a user runs it.
#![allow(dead_code, clippy::unwrap_used)]

use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Where the tree of this crate stands.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The program with these arguments and nobody at the keyboard.
pub fn program<A: AsRef<std::ffi::OsStr>>(arguments: impl IntoIterator<Item = A>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_deadfront"));
    command.args(arguments).stdin(Stdio::null());
    command
}

/// A line or script for the shell in a folder, where `deadfront` is this program.
pub fn shell(folder: &Path, script: &str) -> Command {
    let binary = Path::new(env!("CARGO_BIN_EXE_deadfront"));
    let path = format!("{}:{}", binary.parent().unwrap().display(), std::env::var("PATH").unwrap_or_default());
    let mut command = Command::new("sh");
    command.args(["-c", script]).current_dir(folder).env("PATH", path).stdin(Stdio::null());
    command
}

/// What was printed as the result.
pub fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// What was said besides.
pub fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}
