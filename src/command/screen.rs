//! Where results and errors go, and how they look there. Must not know what they say.

use super::errors::Errors;
use super::exit::Exit;
use crate::report::{self, Colour, Look};
use clap::ValueEnum;
use std::io::{ErrorKind, IsTerminal, Write};

/// How a result is written.
// No docs on the words: they would turn the short help into a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum Format {
    #[default]
    Table,
    Json,
}

/// When to colour, as the command line says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
#[allow(missing_docs)]
pub(crate) enum ColourWish {
    #[default]
    Auto,
    Always,
    Never,
}

impl From<ColourWish> for Colour {
    fn from(wish: ColourWish) -> Colour {
        match wish {
            ColourWish::Auto => Colour::Auto,
            ColourWish::Always => Colour::Always,
            ColourWish::Never => Colour::Never,
        }
    }
}

/// What is known of the place standard output goes to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Terminal {
    /// Whether it is a terminal.
    pub is_terminal: bool,
    /// Columns the system reports.
    pub columns: Option<u16>,
    /// Environment variable COLUMNS.
    pub columns_variable: Option<String>,
    /// Environment variable NO_COLOR.
    pub no_color: Option<String>,
    /// Environment variable TERM.
    pub term: Option<String>,
    /// Whether it shows nothing but ASCII.
    pub ascii: bool,
}

impl Terminal {
    /// Asks the system and the environment.
    pub(crate) fn of_stdout() -> Terminal {
        let variable = |name| std::env::var_os(name).map(|v| v.to_string_lossy().into_owned());
        Terminal {
            is_terminal: std::io::stdout().is_terminal(),
            columns: terminal_size::terminal_size_of(std::io::stdout()).map(|(width, _)| width.0),
            columns_variable: variable("COLUMNS"),
            no_color: variable("NO_COLOR"),
            term: variable("TERM"),
            ascii: {
                let [all, kind, language] = ["LC_ALL", "LC_CTYPE", "LANG"].map(variable);
                !report::shows_unicode([all.as_deref(), kind.as_deref(), language.as_deref()])
            },
        }
    }
}

/// Standard output and standard error of a run.
pub(crate) struct Screen<'a> {
    out: &'a mut dyn Write,
    err: &'a mut dyn Write,
    terminal: Terminal,
    format: Format,
    look: Look,
}

impl<'a> Screen<'a> {
    /// Results to `out`, errors to `err`.
    pub(crate) fn new(out: &'a mut dyn Write, err: &'a mut dyn Write, terminal: Terminal) -> Screen<'a> {
        Screen { out, err, terminal, format: Format::default(), look: Look::default() }
    }

    /// As the command line wants it.
    pub(crate) fn set(&mut self, format: Format, colour: ColourWish) {
        let t = &self.terminal;
        self.format = format;
        self.look = Look {
            width: report::width_for(t.is_terminal, t.columns, t.columns_variable.as_deref()),
            colour: report::colour_for(colour.into(), t.is_terminal, t.no_color.as_deref(), t.term.as_deref()),
            // A file or another program gets what is written; a terminal what it can show.
            ascii: t.is_terminal && t.ascii,
        };
    }

    pub(super) fn format(&self) -> Format {
        self.format
    }

    /// Clears a terminal, what has scrolled off included; into a pipe nothing is written.
    pub(super) fn clear(&mut self) {
        if self.terminal.is_terminal && self.format == Format::Table {
            // Erase, erase what scrolled, home (ECMA-48; the second is of xterm and known everywhere).
            let _ = self.out.write_all(b"\x1b[2J\x1b[3J\x1b[H").and_then(|()| self.out.flush());
        }
    }

    pub(super) fn look(&self) -> Look {
        self.look
    }

    /// Prints a result that came to `exit`. A reader who has gone (a closed pipe) is no error; a result that
    /// could not be written otherwise (a full disk) is said and counts as incomplete.
    pub(super) fn result(&mut self, text: &str, exit: Exit) -> Exit {
        // Lines are filled already; what was put beside them follows.
        let plain = self.look.ascii && self.format == Format::Table;
        let text = &if plain { report::in_ascii(text) } else { text.to_string() };
        match self.out.write_all(text.as_bytes()).and_then(|()| self.out.flush()) {
            Ok(()) => exit,
            Err(error) if error.kind() == ErrorKind::BrokenPipe => exit,
            Err(error) => {
                self.error(&format!("error: the result could not be written: {}", crate::files::reason(&error)));
                exit.max(Exit::Incomplete)
            }
        }
    }

    /// Prints a result page by page: on a terminal it waits after each, until Enter is pressed or the reader has enough.
    pub(super) fn pages(&mut self, text: &str, exit: Exit) -> Exit {
        let asks = self.terminal.is_terminal && std::io::stdin().is_terminal();
        let mut pages = text.split(report::PAGE_END).map(|p| p.trim_matches('\n')).filter(|p| !p.is_empty()).peekable();
        while let Some(page) = pages.next() {
            let gap = if pages.peek().is_some() { "\n\n" } else { "\n" };
            let done = self.result(&format!("{page}{gap}"), exit);
            if done != exit {
                return done;
            }
            if asks && pages.peek().is_some() {
                let _ = write!(self.err, "Enter: next page, q: end ").and_then(|()| self.err.flush());
                let mut answer = String::new();
                match std::io::stdin().read_line(&mut answer) {
                    Ok(read) if read > 0 && !answer.trim().eq_ignore_ascii_case("q") => {}
                    _ => return exit,
                }
            }
        }
        exit
    }

    /// Says something beside the result.
    pub(super) fn aside(&mut self, text: &str) {
        self.error(text);
    }

    /// Prints what went wrong: of each error first what was being done, where that is known.
    pub(super) fn errors(&mut self, errors: &Errors) -> Exit {
        errors.0.iter().for_each(|error| self.error(&format!("{error:#}")));
        Exit::Unreadable
    }

    fn error(&mut self, text: &str) {
        // Nobody is left to tell when standard error is gone too; the exit status still says it.
        let text = report::clean_lines(text);
        let _ = writeln!(self.err, "{}", if self.look.ascii { report::in_ascii(&text) } else { text });
    }
}
