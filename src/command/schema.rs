//! `deadfront schema`: the JSON Schema of the jig file. Must not know the format itself.

use super::exit::Exit;
use super::screen::Screen;

pub(super) const HELP: &str = "\
A schema is JSON whatever --format says.

Example:
  deadfront schema > jig.schema.json";

pub(super) fn run(schema: &serde_json::Value, screen: &mut Screen) -> Exit {
    screen.result(&format!("{schema:#}\n"), Exit::Clean)
}
