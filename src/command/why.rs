//! `deadfront why`: the page of a check, or the list of all. Must not know the checks.

use super::engine::Engine;
use super::exit::Exit;
use super::screen::{Format, Screen};
use crate::finding::PluginCheck;
use crate::report;
use anyhow::anyhow;
use clap::{Args, ValueEnum};

const HELP: &str = "\
Without a name: the list of all checks of the program. A plugin's check is told as its plugin.toml tells it. --example prints one of the two jigs whole, so that it can be checked and changed.

Exit status: 0; 2 when there is no check of that name.

Example:
  deadfront why touch-current";

/// Say what a check looks at, its limit, where that is published, how to mend it
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct WhyArgs {
    /// Name of the check, as a finding carries it
    #[arg(value_name = "CHECK")]
    pub check: Option<String>,
    /// Print the whole jig file that fails or the one that passes
    #[arg(long, value_enum, value_name = "WHICH", requires = "check")]
    pub example: Option<Which>,
    /// Print who judges what a jig can state of its parts, situation by situation
    #[arg(long, conflicts_with_all = ["check", "example"])]
    pub matrix: bool,
}

/// One of the two example jigs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum Which {
    Fails,
    Passes,
}

pub(super) fn run(args: &WhyArgs, engine: &impl Engine, screen: &mut Screen) -> Exit {
    if args.matrix {
        let matrix = engine.matrix();
        let text = match screen.format() {
            Format::Table => report::matrix_text(&matrix, screen.look()),
            Format::Json => report::matrix_json(&matrix),
        };
        return screen.result(&text, Exit::Clean);
    }
    let Some(check) = &args.check else {
        let pages = engine.pages();
        let text = match screen.format() {
            Format::Table => report::why_list_text(&pages, screen.look()),
            Format::Json => report::why_list_json(&pages),
        };
        return screen.result(&text, Exit::Clean);
    };
    let page = match engine.page(check) {
        Ok(page) => page,
        Err(near) => {
            let of_plugins = engine.plugin_checks(check);
            if !of_plugins.is_empty() {
                return of_plugin(args, &of_plugins, screen);
            }
            let help = match near.first() {
                Some(first) => format!("did you mean {first}? "),
                None => String::new(),
            };
            let error = anyhow!("error: there is no check \"{check}\"; {help}\"deadfront why\" lists all of them");
            return screen.errors(&error.into());
        }
    };
    let text = match (args.example, screen.format()) {
        (Some(Which::Fails), _) => page.example.fails.to_string(),
        (Some(Which::Passes), _) => page.example.passes.to_string(),
        (None, Format::Table) => report::why_text(&page, screen.look()),
        (None, Format::Json) => report::why_json(&page),
    };
    screen.result(&text, Exit::Clean)
}

/// The page of a plugin's check: what its `plugin.toml` says.
fn of_plugin(args: &WhyArgs, checks: &[PluginCheck], screen: &mut Screen) -> Exit {
    if args.example.is_some() {
        let plugins = checks.iter().map(|c| c.plugin.as_str()).collect::<Vec<_>>().join(", ");
        let error = anyhow!("error: a check of a plugin ({plugins}) has no example here; its cases are in its folder");
        return screen.errors(&error.into());
    }
    let text = match screen.format() {
        Format::Table => report::why_plugin_text(checks, screen.look()),
        Format::Json => report::why_plugin_json(checks),
    };
    screen.result(&text, Exit::Clean)
}
