//! What went wrong in a command. Must not know what was done.

use crate::jig::InputError;
use crate::sharing::{SharingError, SharingErrorKind};

/// Everything that went wrong, in the order in which it is printed.
#[derive(Debug)]
pub(crate) struct Errors(pub Vec<anyhow::Error>);

impl Errors {
    /// Each in words, for programs.
    pub(super) fn texts(&self) -> Vec<String> {
        self.0.iter().map(|e| format!("{e:#}")).collect()
    }

    /// Whether all of it is whole, and merely not let in by this shop's policy.
    pub(super) fn all_refused(&self) -> bool {
        let refused = |e: &SharingError| e.kind == SharingErrorKind::Refused;
        self.0.iter().all(|e| e.downcast_ref().is_some_and(refused))
    }
}

impl<E: std::error::Error + Send + Sync + 'static> From<Vec<E>> for Errors {
    fn from(errors: Vec<E>) -> Errors {
        Errors(errors.into_iter().map(anyhow::Error::new).collect())
    }
}

impl From<anyhow::Error> for Errors {
    fn from(error: anyhow::Error) -> Errors {
        Errors(vec![error])
    }
}

impl From<SharingError> for Errors {
    fn from(error: SharingError) -> Errors {
        Errors(vec![error.into()])
    }
}

impl From<InputError> for Errors {
    fn from(error: InputError) -> Errors {
        Errors(vec![error.into()])
    }
}

#[cfg(test)]
mod tests {
    use super::{Errors, SharingError};
    use anyhow::anyhow;
    use std::path::Path;

    #[test]
    fn a_refusal_beside_anything_else_is_more_than_a_refusal() {
        let refused = || SharingError::refused(Path::new("a"), "is old", "");
        let wrong = SharingError::wrong(Path::new("a"), "is broken", "");
        assert!(Errors::from(vec![refused(), refused()]).all_refused());
        assert!(!Errors::from(vec![refused(), wrong]).all_refused());
        assert!(!Errors(vec![refused().into(), anyhow!("the disk is full")]).all_refused());
        // What was being done stands before it, and changes nothing about it.
        let while_adding = anyhow::Error::new(refused()).context("parcel");
        assert_eq!(format!("{while_adding:#}"), "parcel: a: error: is old");
        assert!(Errors(vec![while_adding]).all_refused());
    }
}
