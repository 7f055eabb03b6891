//! How a report looks on this terminal: width and colour. Pure rules; the terminal and the environment are
//! asked elsewhere and handed in. Must not know what is printed.

use crate::finding::Signal;
use crate::standard::signal as standard;
use anstyle::{Ansi256Color, Style};
use std::borrow::Cow;

/// Columns of a report that does not go to a terminal.
pub(crate) const WIDTH: usize = 80;
/// Columns that are used at most: longer lines of prose are hard to read.
pub(crate) const WIDEST: usize = 120;
/// Columns that are used at least: below this there is no room for a sentence.
const NARROWEST: usize = 40;

/// How a report looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Columns no line goes beyond.
    pub width: usize,
    /// Whether signal words are coloured.
    pub colour: bool,
    /// Whether nothing but ASCII is shown: other characters are written out before lines are filled.
    pub ascii: bool,
}

impl Default for Look {
    /// What a pipe gets.
    fn default() -> Self {
        Look { width: WIDTH, colour: false, ascii: false }
    }
}

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set or the terminal is `dumb`.
    #[default]
    Auto,
    /// Even into a pipe, and whatever NO_COLOR says: asked for on the command line.
    Always,
    /// Not at all.
    Never,
}

/// Whether to colour. `no_color` and `term` are the environment variables NO_COLOR (which counts when it is set
/// to anything but nothing) and TERM.
pub(crate) fn colour_for(wish: Colour, terminal: bool, no_color: Option<&str>, term: Option<&str>) -> bool {
    match wish {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => terminal && no_color.is_none_or(str::is_empty) && term != Some("dumb"),
    }
}

/// Columns to use. A pipe gets [`WIDTH`]; a terminal its own width (`reported`, or the environment variable
/// COLUMNS where the system does not tell), within bounds.
pub(crate) fn width_for(terminal: bool, reported: Option<u16>, columns: Option<&str>) -> usize {
    if !terminal {
        return WIDTH;
    }
    let told = reported.filter(|&w| w > 0).map(usize::from);
    let width = told.or_else(|| columns.and_then(|c| c.trim().parse().ok())).unwrap_or(WIDTH);
    width.clamp(NARROWEST, WIDEST)
}

/// The panel of a signal word: its letter and safety colours are published in `standard::signal` (ANSI Z535.4).
/// A colour the terminal has no code for is left out.
fn panel(signal: Signal) -> Style {
    let word = super::word(signal);
    let ground = standard::by_word(word).map(|row| row.panel_colour.as_str());
    let letters = standard::letters(word).map(|(colour, _)| colour);
    let code = |colour: Option<&str>| colour.and_then(terminal_code).map(|code| Ansi256Color(code).into());
    Style::new().bold().fg_color(code(letters)).bg_color(code(ground))
}

/// The nearest colour of a terminal's 256-colour table.
fn terminal_code(colour: &str) -> Option<u8> {
    Some(match colour {
        "white" => 231,
        "black" => 16,
        "safety red" => 160,
        "safety orange" => 208,
        "safety yellow" => 220,
        "safety blue" => 26,
        _ => return None,
    })
}

impl Look {
    /// A text as it is shown.
    pub(super) fn shown<'t>(&self, text: &'t str) -> Cow<'t, str> {
        if self.ascii { super::in_ascii(text).into() } else { text.into() }
    }

    /// The signal word in its panel colours, or as it is.
    pub(super) fn paint(&self, signal: Signal) -> String {
        let word = super::word(signal);
        if !self.colour {
            return word.to_string();
        }
        let panel = panel(signal);
        format!("{}{word}{}", panel.render(), panel.render_reset())
    }
}
