//! The program itself, run as a user runs it.
#![allow(dead_code, clippy::unwrap_used)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Where the tree of this crate stands.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The built program. The library's own tests are not told where it is: it stands beside their folder.
pub fn binary() -> PathBuf {
    let known = option_env!("CARGO_BIN_EXE_deadfront").map(PathBuf::from);
    let binary = known.unwrap_or_else(|| {
        let tests = std::env::current_exe().unwrap();
        tests.ancestors().nth(2).unwrap().join(format!("deadfront{}", std::env::consts::EXE_SUFFIX))
    });
    assert!(binary.is_file(), "build the program first: {} is not there", binary.display());
    binary
}

/// A folder for what tests write, beside what is built.
pub fn scratch() -> PathBuf {
    let known = option_env!("CARGO_TARGET_TMPDIR").map(PathBuf::from);
    let folder = known.unwrap_or_else(|| binary().with_file_name("tmp"));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// The program with these arguments and nobody at the keyboard.
pub fn program<A: AsRef<std::ffi::OsStr>>(arguments: impl IntoIterator<Item = A>) -> Command {
    let mut command = Command::new(binary());
    command.args(arguments).stdin(Stdio::null());
    command
}

/// A line or script for the shell in a folder, where `deadfront` is this program.
pub fn shell(folder: &Path, script: &str) -> Command {
    let binary = binary();
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
