//! The jig file: what is written down, where it stands, what it means. Knows nothing of solving or judging, and gets
//! the published numbers it needs through [`Tables`].
//!
//! Reading goes one way: bytes → text (`source`) → TOML tree → rows by the one description of the format
//! (`sections` and the kinds of `part`, `walk`, `contents`) → parts, supply, nets (`build`, `supply`, `nets`). All errors of a file are
//! collected and told in one run.

pub(crate) mod bounds;
mod build;
mod contents;
mod error;
mod lists;
pub(crate) mod model;
mod nets;
mod plugins;
mod repeated;
mod schema;
mod sections;
mod source;
mod supply;
mod trade;
mod walk;
mod words;
pub(crate) mod write;

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use crate::standard::Tables;

pub use error::InputError;
#[cfg(any(test, feature = "fuzzed"))]
pub(crate) use error::MOST_ERRORS;
pub(crate) use model::*;
pub(crate) use nets::suggest_net;
pub(crate) use schema::schema;
pub(crate) use sections::{REPEATED, SINGLE};
pub(crate) use trade::help as kind_instead;

/// The kinds of part, in the words of the file.
pub(crate) fn kinds() -> impl Iterator<Item = &'static str> {
    crate::part::SECTIONS.iter().map(|part| part.name)
}

/// Where in a text a byte stands; one inside a character or past the end is moved back.
pub(crate) fn place_in(text: &str, at: usize) -> Place {
    source::Index::new(text).place(at)
}

/// Reads a jig file with the published tables of this program.
///
/// # Errors
/// Every error of the file, in its order; or why it cannot be opened.
#[cfg(any(test, feature = "measured"))]
pub(crate) fn read(path: &Path) -> Result<Jig, Vec<InputError>> {
    read_with(path, crate::standard::tables())
}

/// As [`read`], with tables of the caller's.
///
/// # Errors
/// As [`read`].
#[cfg(any(test, feature = "measured"))]
pub(crate) fn read_with(path: &Path, tables: &dyn Tables) -> Result<Jig, Vec<InputError>> {
    parse_with(&path.display().to_string(), &load(path)?, tables)
}

/// The bytes of a jig file, for who needs them besides what they mean. At most a little more than a jig file may have.
///
/// # Errors
/// Why it cannot be opened.
pub(crate) fn load(path: &Path) -> Result<Vec<u8>, Vec<InputError>> {
    let name = path.display().to_string();
    let cannot = |message: &str, help: &str| {
        vec![InputError {
            file: name.clone(),
            line: 0,
            column: 0,
            message: message.to_string(),
            help: help.to_string(),
        }]
    };
    if path.is_dir() {
        return Err(cannot("this is a folder", "name the jig file in it"));
    }
    let mut bytes = Vec::new();
    // One byte more than allowed is enough to know; an endless device is not read to its end.
    let most = bounds::LARGEST_FILE as u64 + 1;
    match File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes)) {
        Ok(_) => Ok(bytes),
        Err(error) => {
            let help = match error.kind() {
                std::io::ErrorKind::NotFound => "look at the spelling of the path",
                std::io::ErrorKind::PermissionDenied => "look at the rights of the file",
                _ => "",
            };
            let why = match error.kind() {
                std::io::ErrorKind::NotFound => "no such file".to_string(),
                std::io::ErrorKind::PermissionDenied => "you may not read this file".to_string(),
                _ => format!("cannot be read: {}", crate::files::reason(&error)),
            };
            Err(cannot(&why, help))
        }
    }
}

/// The bytes of a jig on standard input, as [`load`] reads a file.
///
/// # Errors
/// It cannot be read.
pub(crate) fn load_stdin() -> Result<Vec<u8>, Vec<InputError>> {
    let mut bytes = Vec::new();
    let most = bounds::LARGEST_FILE as u64 + 1;
    match std::io::stdin().lock().take(most).read_to_end(&mut bytes) {
        Ok(_) => Ok(bytes),
        Err(error) => {
            let why = format!("cannot be read: {}", crate::files::reason(&error));
            Err(vec![InputError::of_file("standard input", why, "")])
        }
    }
}

/// Reads the bytes of a jig file with the published tables of this program. `file_name` is what errors name.
///
/// # Errors
/// Every error of the file, in its order, at most [`MOST_ERRORS`] and then a count.
pub(crate) fn parse(file_name: &str, bytes: &[u8]) -> Result<Jig, Vec<InputError>> {
    parse_with(file_name, bytes, crate::standard::tables())
}

/// As [`parse`], with tables of the caller's.
///
/// # Errors
/// As [`parse`].
pub(crate) fn parse_with(file_name: &str, bytes: &[u8], tables: &dyn Tables) -> Result<Jig, Vec<InputError>> {
    build::jig(file_name, bytes, tables)
}
