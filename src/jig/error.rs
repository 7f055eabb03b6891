//! Errors of a jig file: what is wrong, where, what to write instead. Must not know what a jig means.

use std::fmt;

use super::model::Place;
use crate::quantity::{self, hidden};

/// One error of a jig file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputError {
    /// File as named by the user.
    pub file: String,
    /// Line, from 1; 0 when the error is not at a place in the text (the file cannot be opened, is too large).
    pub line: u32,
    /// Column in characters, from 1; 0 together with line 0.
    pub column: u32,
    /// What is wrong.
    pub message: String,
    /// What was expected, what to write instead; may be empty.
    pub help: String,
}

impl InputError {
    /// Something is wrong with the file as a whole.
    pub fn of_file(file: impl Into<String>, message: impl Into<String>, help: impl Into<String>) -> InputError {
        InputError { file: file.into(), line: 0, column: 0, message: message.into(), help: help.into() }
    }

    /// Something is wrong at this place of the file.
    pub(crate) fn at(
        file: impl Into<String>,
        place: Place,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> InputError {
        InputError { line: place.line, column: place.column, ..InputError::of_file(file, message, help) }
    }
}

impl fmt::Display for InputError {
    /// `wand.toml:14:12: error: "0,6 W" uses a decimal comma; write "0.6 W"`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:", quantity::one_line(&self.file))?;
        if self.line > 0 {
            write!(f, "{}:{}:", self.line, self.column)?;
        }
        write!(f, " error: {}", quantity::one_line(&self.message))?;
        if !self.help.is_empty() {
            write!(f, "; {}", quantity::one_line(&self.help))?;
        }
        Ok(())
    }
}

impl std::error::Error for InputError {}

/// Most errors told in one run; beyond these only their number is told.
pub(crate) const MOST_ERRORS: usize = 20;

/// Characters beyond which advice is told once a file; what gives it again points to the line of the first.
const LONG_ADVICE: usize = 80;

/// Collects the errors of one file.
pub(crate) struct InputErrors {
    file: String,
    found: Vec<Entry>,
}

struct Entry {
    place: Place,
    message: String,
    help: String,
    sort: Sort,
}

/// What sort of error it is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    /// What is written is wrong.
    Wrong,
    /// Something is absent. Such errors are dropped when the text could not be read whole: what is "missing" may stand in
    /// the part that was lost.
    Missing,
    /// The text itself could not be read here.
    Syntax,
}

impl InputErrors {
    pub(crate) fn new(file: &str) -> Self {
        Self { file: file.to_string(), found: Vec::new() }
    }

    /// Something at this place is wrong.
    pub(crate) fn wrong(&mut self, place: Place, message: impl Into<String>, help: impl Into<String>) {
        self.push(place, message.into(), help.into(), Sort::Wrong);
    }

    /// Something is missing at this place.
    pub(crate) fn missing(&mut self, place: Place, message: impl Into<String>, help: impl Into<String>) {
        self.push(place, message.into(), help.into(), Sort::Missing);
    }

    /// The text cannot be read here.
    pub(crate) fn syntax(&mut self, place: Place, message: impl Into<String>, help: impl Into<String>) {
        self.push(place, message.into(), help.into(), Sort::Syntax);
    }

    fn push(&mut self, place: Place, message: String, help: String, sort: Sort) {
        self.found.push(Entry { place, message: one_line(message), help: one_line(help), sort });
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// The errors in the order of the file, at most [`MOST_ERRORS`] and then a count of the others.
    pub(crate) fn finish(self) -> Vec<InputError> {
        let InputErrors { file, mut found } = self;
        let lost: std::collections::BTreeSet<u32> =
            found.iter().filter(|f| f.sort == Sort::Syntax).map(|f| f.place.line).collect();
        if !lost.is_empty() {
            found.sort_by_key(|f| f.place);
            found.retain(|f| match f.sort {
                Sort::Syntax => true,
                Sort::Missing => false,
                Sort::Wrong => !lost.contains(&f.place.line),
            });
        }
        let mut told = std::collections::BTreeSet::new();
        // What follows a slip on its line is nearly always its echo.
        found.retain(|f| f.sort != Sort::Syntax || told.insert(f.place.line));
        // Stable, so that errors of one place stay in the order they were found.
        found.sort_by_key(|f| f.place);
        found.dedup_by(|b, a| a.place == b.place && a.message == b.message);
        let more = found.len().saturating_sub(MOST_ERRORS);
        found.truncate(MOST_ERRORS);
        let last = found.last().map(|f| f.place).unwrap_or_default();
        // The same long advice under each of twenty lines hides what else is wrong.
        for k in 1..found.len() {
            let (before, here) = found.split_at_mut(k);
            let same = |f: &&Entry| f.help == here[0].help && f.help.chars().count() > LONG_ADVICE;
            if let Some(first) = before.iter().find(same) {
                here[0].help = format!("as in line {}", first.place.line);
            }
        }
        let mut errors: Vec<InputError> = found
            .into_iter()
            .map(|f| InputError {
                file: file.clone(),
                line: f.place.line,
                column: f.place.column,
                message: f.message,
                help: f.help,
            })
            .collect();
        if more > 0 {
            let (s, them) = if more == 1 { ("", "it") } else { ("s", "them") };
            errors.push(InputError {
                file,
                line: last.line,
                column: last.column,
                message: format!("{more} more fault{s} in this file"),
                help: format!("mend these and run again to see {them}"),
            });
        }
        errors
    }
}

/// Longest message or help, characters: the longest of our own sentences fits.
const LONGEST_WORDS: usize = 500;

/// Names from the file stand in messages: whatever they hold, a message stays one line, of a length to be read, and
/// without characters that steer a terminal.
fn one_line(words: String) -> String {
    if words.len() <= LONGEST_WORDS && !words.contains(hidden) {
        return words;
    }
    let mut line = String::new();
    for (count, c) in words.chars().enumerate() {
        if count == LONGEST_WORDS {
            line.push('…');
            break;
        }
        if hidden(c) { line.extend(c.escape_unicode()) } else { line.push(c) }
    }
    line
}
