//! Sizing: from a supply and a lamp to whole jigs that differ in their dropper, each surveyed and judged like any other
//! jig, and the choice between them. It types no limit of its own. Must not know the command line, nor how its result is
//! printed.

mod design;
mod led;
mod neon;
mod parts;
mod supply;
mod trial;
mod wish;

use crate::jig::Fault;
use crate::judgement::{Candidate, Signal, Sizing};
use trial::Trial;

pub use wish::{Circuit, Dropper, LedWish, MainsWish, NeonWish};

/// A sizing and the jig file of the chosen design.
#[derive(Debug, Clone)]
pub struct Sized {
    /// What is to be said.
    pub sizing: Sizing,
    /// Text of the jig file of the chosen design; `None` when no design will do.
    pub text: Option<String>,
}

/// Sizes the dropper of a glow lamp.
///
/// # Errors
/// All that is wrong with the wishes, each naming its option.
pub fn neon(wish: &NeonWish) -> Result<Sized, Vec<Fault>> {
    neon::size(wish)
}

/// Sizes the dropper of a string of LEDs.
///
/// # Errors
/// All that is wrong with the wishes, each naming its option.
pub fn led(wish: &LedWish) -> Result<Sized, Vec<Fault>> {
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
    t.complete && count(&t.candidate, Signal::Danger) + count(&t.candidate, Signal::Warning) == 0
}

/// Sorts the trials, which come in order of preference, by what the checks say, and takes the first that passes.
fn choose(task: String, mut trials: Vec<Trial>, mut why: Vec<String>) -> Sized {
    trials.sort_by_key(|t| (!passes(t), count(&t.candidate, Signal::Caution)));
    let chosen = trials.first().is_some_and(passes).then_some(0);
    if chosen.is_none() {
        why.push(why_none(&trials));
    }
    // As many as stand side by side on a page.
    trials.truncate(3);
    let text = chosen.map(|k| trials[k].text.clone());
    let candidates = trials.into_iter().map(|t| t.candidate).collect();
    Sized { sizing: Sizing { task, chosen, candidates, why }, text }
}

fn why_none(trials: &[Trial]) -> String {
    let Some(best) = trials.first() else {
        return "No resistor of the styles table takes what the dropper would have to take.".into();
    };
    let grave = best.candidate.findings.iter().find(|f| f.signal <= Signal::Warning);
    match grave {
        Some(f) => format!("No design passes the checks; the best one fails at {}: {}.", f.check, f.message),
        None => "No design could be checked to the end.".into(),
    }
}
