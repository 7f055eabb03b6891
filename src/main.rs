//! The `deadfront` command.
fn main() {}
