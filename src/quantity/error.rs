//! The error of reading a quantity, in words for the bench.

use std::fmt;

use super::hidden::hidden;

/// Why a text is not the quantity that was wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ReadError {
    /// What is wrong, e.g. `"0,6 W" uses a decimal comma`.
    pub message: String,
    /// What to write instead, e.g. `write "0.6 W"`.
    pub help: String,
}

impl ReadError {
    pub(crate) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: seen(message.into()), help: seen(help.into()) }
    }
}

/// With everything visible: parts of the user's text stand in a help as they were written.
fn seen(text: String) -> String {
    let show = |c: char| if hidden(c) { c.escape_unicode().to_string() } else { c.to_string() };
    if text.contains(hidden) { text.chars().map(show).collect() } else { text }
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for ReadError {}

/// Most characters of a user's text repeated in a message.
const LONGEST_QUOTE: usize = 40;

/// The user's text in double quotes, shortened, with control characters made visible, so that no text can
/// break the line of a message or the terminal it is printed on.
pub(crate) fn quote(text: &str) -> String {
    let mut out = String::from("\"");
    for (count, c) in text.chars().enumerate() {
        if count == LONGEST_QUOTE {
            out.push('…');
            break;
        }
        if hidden(c) { out.extend(c.escape_unicode()) } else { out.push(c) }
    }
    out.push('"');
    out
}
