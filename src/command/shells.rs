//! `deadfront completions` and `deadfront man`: what a shell and a manual want of the command line. Must not know any command.

use super::cli::Cli;
use super::errors::Errors;
use super::exit::Exit;
use super::screen::Screen;
use crate::files::{self, Existing, Readers};
use crate::jig::InputError;
use clap::{Args, Command, CommandFactory as _};
use std::path::{Path, PathBuf};

const COMPLETIONS_HELP: &str = "\
Example:
  deadfront completions bash > deadfront.bash";

const MAN_HELP: &str = "\
Pages that are there already are replaced.

Example:
  deadfront man manual";

/// Print completions for a shell
#[derive(Debug, Clone, Args)]
#[command(after_help = COMPLETIONS_HELP)]
pub(crate) struct CompletionsArgs {
    /// The shell
    #[arg(value_name = "SHELL")]
    pub shell: clap_complete::Shell,
}

/// Write a manual page of each command into a folder
#[derive(Debug, Clone, Args)]
#[command(after_help = MAN_HELP)]
pub(crate) struct ManArgs {
    /// The folder; it is made where it is not there
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
}

pub(super) fn completions(args: &CompletionsArgs, screen: &mut Screen) -> Exit {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "deadfront", &mut script);
    screen.result(&String::from_utf8_lossy(&script), Exit::Clean)
}

pub(super) fn man(args: &ManArgs, screen: &mut Screen) -> Exit {
    let mut root = Cli::command().disable_help_subcommand(true);
    root.build();
    match pages(&root, "deadfront", &args.folder) {
        Err(errors) => screen.errors(&errors),
        Ok(count) => screen.result(&format!("Wrote {count} pages to {}\n", args.folder.display()), Exit::Clean),
    }
}

/// The page of a command and of those under it.
fn pages(command: &Command, name: &str, folder: &Path) -> Result<usize, Errors> {
    let path = folder.join(format!("{name}.1"));
    let cannot = |e: &std::io::Error| {
        let message = format!("could not be written: {}", files::reason(e));
        InputError::of_file(path.display().to_string(), message, "name a folder you may write to")
    };
    std::fs::create_dir_all(folder).map_err(|e| cannot(&e))?;
    let mut page = Vec::new();
    clap_mangen::Man::new(command.clone()).title(name).render(&mut page).map_err(|e| cannot(&e))?;
    files::write(&path, &page, Existing::Replaced, Readers::Anyone).map_err(|e| cannot(&e))?;
    let mut count = 1;
    for inner in command.get_subcommands().filter(|c| c.get_name() != "help") {
        count += pages(inner, &format!("{name}-{}", inner.get_name()), folder)?;
    }
    Ok(count)
}
