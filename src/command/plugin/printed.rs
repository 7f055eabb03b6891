//! What a plugin command has to print. Must not know what it is.

use crate::command::errors::Errors;
use crate::command::exit::Exit;
use crate::report::Look;
use serde_json::Value;

/// A result in both its forms, and how it ended.
pub(super) struct Printed {
    pub(super) text: Box<dyn FnOnce(Look) -> String>,
    pub(super) json: Value,
    pub(super) exit: Exit,
    /// Whether a terminal shows it page by page.
    pub(super) paged: bool,
}

/// A result that is as it should be.
pub(super) fn printed(json: Value, text: impl FnOnce(Look) -> String + 'static) -> Result<Printed, Errors> {
    Ok(Printed { text: Box::new(text), json, exit: Exit::Clean, paged: false })
}
