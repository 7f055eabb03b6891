//! What the machine's errors mean. Each is cut before anything else is done with it: a plugin may make them long.

use super::failure::{Failed, Failure};
use super::meter::Meter;

/// Characters of an error that are kept.
const MOST_ERROR: usize = 300;

/// What an error of the machine means.
pub(super) fn failed(meter: &Meter, id: &str, error: &mlua::Error) -> Failed {
    if let Some(exceeded) = meter.exceeded() {
        return exceeded;
    }
    match error {
        mlua::Error::SyntaxError { message, .. } => Failed { failure: Failure::Syntax, ..from_text(id, message) },
        mlua::Error::MemoryError(_) => Failed::new(Failure::OutOfMemory, ""),
        mlua::Error::RuntimeError(text) => from_text(id, text),
        mlua::Error::CallbackError { traceback, cause } => {
            let inner = failed(meter, id, cause);
            Failed { line: inner.line.or_else(|| line_in(id, traceback)), ..inner }
        }
        // The words are the library's and the host's own. A full stop for the colon is the slip behind nearly all of them.
        mlua::Error::BadArgument { .. } | mlua::Error::FromLuaConversionError { .. } => {
            let words: String = error.to_string().lines().next().unwrap_or_default().chars().take(MOST_ERROR).collect();
            Failed::new(Failure::Error, format!("{words}; functions of jig are called with a colon: jig:parts(…)"))
        }
        _ => Failed::new(Failure::Error, "it failed with something that is no text"),
    }
}

/// Bytes enough for the longest error that is kept.
pub(super) fn cut(bytes: &[u8]) -> &[u8] {
    &bytes[..bytes.len().min(4 * MOST_ERROR)]
}

/// The first line of the plugin's source that a traceback names.
fn line_in(id: &str, traceback: &str) -> Option<u32> {
    let mark = format!("{id}:");
    let rest = traceback.lines().find_map(|l| l.trim_start().strip_prefix(&mark))?;
    rest.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

/// Takes `id:12: message` apart. Cut before anything else is done with it.
pub(super) fn from_text(id: &str, text: &str) -> Failed {
    let text: String = text.lines().next().unwrap_or_default().chars().take(MOST_ERROR).collect();
    // The machine's own words; a plugin's would stand behind its name and line.
    if text == "not enough memory" {
        return Failed::new(Failure::OutOfMemory, "");
    }
    let rest = text.strip_prefix(id).and_then(|t| t.strip_prefix(':')).and_then(|t| t.split_once(':'));
    let found = rest.and_then(|(line, message)| Some((line.trim().parse().ok()?, message.trim())));
    let (line, message) = found.map_or((None, text.as_str()), |(line, message)| (Some(line), message));
    // A library function that the prelude stands before names its own line there.
    let library = message.strip_prefix("prelude:").and_then(|rest| rest.split_once(": "));
    let message = library.map_or(message, |(_, message)| message);
    // The machine's words for the two slips it is shortest about.
    let more = match message {
        m if m.starts_with("attempt to call a nil value") => {
            "; no function of that name is here: print, pcall, require, os, io and debug are not either"
        }
        "attempt to modify a readonly table" => "; what comes from the jig is for reading only",
        _ => "",
    };
    Failed { failure: Failure::Error, message: format!("{message}{more}"), line }
}
