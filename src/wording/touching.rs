//! Words for a hand on something.

use super::Known;
use crate::finding::said::{TouchFault, Touching};
use crate::jig::Jig;

/// What is touched.
pub(super) fn between(t: &Touching) -> String {
    format!("{} to {}", t.on, t.to.as_deref().unwrap_or("earth"))
}

/// Two touchables, by their index.
pub(crate) fn both(jig: &Jig, one: usize, other: usize) -> String {
    let name = |k: usize| jig.touchables.get(k).map_or("?", |t| t.name.as_str());
    format!("{} to {}", name(one), name(other))
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
