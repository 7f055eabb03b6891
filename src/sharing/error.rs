//! What is wrong with something that was to be shared, where, and what to do instead. Must not know who reads it.

use crate::jig::{self, InputError};
use crate::quantity::one_line;
use std::fmt;
use std::path::Path;

/// What kind of trouble it is, from which the exit status follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SharingErrorKind {
    /// The input is not what it has to be: broken, tampered with, not allowed.
    Wrong,
    /// The input is whole, but this shop's policy does not let it in.
    Refused,
    /// The machine did not do it: no room, no permission.
    Machine,
}

/// One error.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharingError {
    /// File or folder, with `:line:column` where there is one.
    pub place: String,
    /// What is wrong.
    pub message: String,
    /// What was expected, what to do instead; may be empty.
    pub help: String,
    /// Kind of trouble.
    pub kind: SharingErrorKind,
}

impl SharingError {
    /// Something about this file is wrong.
    pub(crate) fn wrong(place: &Path, message: impl Into<String>, help: impl Into<String>) -> SharingError {
        SharingError {
            place: place.display().to_string(),
            message: message.into(),
            help: help.into(),
            kind: SharingErrorKind::Wrong,
        }
    }

    /// The policy does not let it in.
    pub(crate) fn refused(place: &Path, message: impl Into<String>, help: impl Into<String>) -> SharingError {
        SharingError { kind: SharingErrorKind::Refused, ..SharingError::wrong(place, message, help) }
    }

    /// The machine did not do it.
    pub(crate) fn machine(place: &Path, doing: &str, error: &std::io::Error) -> SharingError {
        SharingError {
            kind: SharingErrorKind::Machine,
            ..SharingError::wrong(place, format!("{doing}: {}", crate::files::reason(error)), "")
        }
    }

    /// A TOML text that does not read, at its place.
    pub(super) fn toml(place: &Path, text: &str, error: &toml::de::Error, help: impl Into<String>) -> SharingError {
        let message = error.message();
        match error.span() {
            None => SharingError::wrong(place, message, help),
            Some(span) => {
                let at = jig::place_in(text, span.start);
                InputError::at(place.display().to_string(), at, message, help).into()
            }
        }
    }
}

impl From<InputError> for SharingError {
    fn from(error: InputError) -> SharingError {
        let InputError { file, line, column, message, help } = error;
        let place = if line == 0 { file } else { format!("{file}:{line}:{column}") };
        SharingError { place, message, help, kind: SharingErrorKind::Wrong }
    }
}

impl From<SharingError> for InputError {
    /// The place holds line and column already.
    fn from(error: SharingError) -> InputError {
        InputError::of_file(error.place, error.message, error.help)
    }
}

impl fmt::Display for SharingError {
    /// `probe-1.0.0.tar.gz: error: it was changed after it was signed; fetch it again`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: error: {}", one_line(&self.place), one_line(&self.message))?;
        if !self.help.is_empty() {
            write!(f, "; {}", one_line(&self.help))?;
        }
        Ok(())
    }
}

impl std::error::Error for SharingError {}
