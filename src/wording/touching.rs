//! Words for a hand on something.

use super::Known;
use crate::finding::said::{TouchFault, Touching};

/// What is touched.
pub(super) fn between(t: &Touching) -> String {
    format!("{} to {}", t.on, t.to.as_deref().unwrap_or("earth"))
}

/// Whether it takes a fault, and what ends it.
pub(super) fn fault(known: &Known, t: &Touching) -> String {
    match &t.fault {
        TouchFault::None => "without any fault".into(),
        TouchFault::EndedLate { by, within } => {
            format!("after one fault, and {} takes up to {within} to end it", known.device(*by))
        }
        TouchFault::NotEnded => "after one fault, and nothing ends it in time".into(),
    }
}
