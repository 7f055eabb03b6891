//! Sizing: from a supply and a lamp to whole jigs that differ in their dropper, each surveyed and judged like any other
//! jig, and the choice between them. It writes jig text and reads what survey and checks say of it: it computes no
//! stress and types no limit of its own. Must not know the command line, nor how its result is printed.

mod design;
mod led;
mod neon;
mod parts;
mod starting;
mod supply;
mod trial;
mod wish;
mod words;

use crate::finding::{Candidate, Signal, Sizing};
use crate::jig::InputError;
use trial::Trial;

pub use starting::Begun;
pub(crate) use starting::{begin, refusal as no_jig, units};
pub use wish::{Dropper, LedCircuit, LedWish, MainsWish, NeonWish};

/// A sizing and the jig file of the chosen design.
#[derive(Debug, Clone)]
pub(crate) struct Sized {
    /// What is to be said.
    pub sizing: Sizing,
    /// Text of the jig file of the chosen design; `None` when no design will do.
    pub text: Option<String>,
}

/// Sizes the dropper of a glow lamp.
///
/// # Errors
/// All that is wrong with the wishes, each naming its option.
pub(crate) fn neon(wish: &NeonWish) -> Result<Sized, Vec<InputError>> {
    neon::size(wish)
}

/// Sizes the dropper of a string of LEDs.
///
/// # Errors
/// All that is wrong with the wishes, each naming its option.
pub(crate) fn led(wish: &LedWish) -> Result<Sized, Vec<InputError>> {
    led::size(wish)
}

/// Nothing can be designed, for this reason.
fn refused(task: String, why: Vec<String>) -> Sized {
    Sized { sizing: Sizing { task, chosen: None, candidates: vec![], why }, text: None }
}

fn count(c: &Candidate, signal: Signal) -> usize {
    c.findings.iter().filter(|f| f.signal == signal).count()
}

fn passes(t: &Trial) -> bool {
    t.complete && t.blocked.is_none() && count(&t.candidate, Signal::Danger) + count(&t.candidate, Signal::Warning) == 0
}

/// Sorts the trials, which come in order of preference, by what the checks say, and takes the first that passes.
fn choose(task: String, mut trials: Vec<Trial>, mut why: Vec<String>) -> Sized {
    trials.sort_by_key(|t| (!passes(t), count(&t.candidate, Signal::Caution)));
    let chosen = trials.first().is_some_and(passes).then_some(0);
    if chosen.is_none() {
        why.extend(words::why_none(&trials));
    }
    let text = chosen.map(|k| trials[k].text.clone());
    let candidates = trials.into_iter().map(|t| t.candidate).collect();
    Sized { sizing: Sizing { task, chosen, candidates, why }, text }
}
