//! `deadfront new`: a whole jig file to begin from. Must not know how one is written.

use super::engine::Engine;
use super::errors::Errors;
use super::exit::Exit;
use super::new_file;
use super::screen::{Format, Screen};
use crate::MainsWish;
use crate::report;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

const HELP: &str = "\
The file is written only when the jig in it checks with no DANGER and no WARNING, and never over a file that is there. \
Of a unit that cannot be built for a supply it says why, and writes nothing. deadfront tables units lists the units, deadfront \
tables supplies and deadfront tables plugs what to name.

Example:
  deadfront new bench-lamp my-lamp.toml --supply \"230 V 50 Hz\"";

/// Write a whole, commented jig file to begin from
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct NewArgs {
    /// What you build: deadfront tables units lists them
    #[arg(value_name = "UNIT")]
    pub unit: String,
    /// The jig file to write
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The mains at your bench, as in a jig file [default: 230 V 50 Hz]; deadfront tables supplies lists them
    #[arg(long, value_name = "MAINS")]
    pub supply: Option<String>,
    /// Letter of the plug type, or "fixed" [default: by the supply]
    #[arg(long, value_name = "LETTER")]
    pub plug: Option<String>,
}

pub(super) fn run(args: &NewArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    match written(args, engine) {
        Err(errors) => screen.errors(&errors),
        Ok(begun) => {
            let file = args.file.display().to_string();
            let text = match screen.format() {
                Format::Table => report::begun_text(&begun, &file, screen.look()),
                Format::Json => report::value_json(serde_json::Map::from_iter([
                    ("unit".to_string(), json!(begun.unit)),
                    ("file".to_string(), json!(file)),
                    ("supply".to_string(), json!(begun.supply)),
                    ("change_first".to_string(), json!(begun.first)),
                    ("notes".to_string(), json!(begun.notes)),
                ])),
            };
            screen.result(&text, Exit::Clean)
        }
    }
}

fn written(args: &NewArgs, engine: &impl Engine) -> Result<crate::Begun, Errors> {
    // Before anything is solved: a file that is there is told at once.
    new_file::free(&args.file)?;
    let wish = MainsWish { supply: args.supply.clone(), plug: args.plug.clone(), ..MainsWish::default() };
    let begun = engine.begin(&args.unit, &wish)?;
    new_file::write(&args.file, &begun.text)?;
    Ok(begun)
}
