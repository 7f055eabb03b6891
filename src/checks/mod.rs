//! The built-in checks: one file a check (or a close family), one list of them. A check is pure: a jig and its survey in,
//! findings out. It prints nothing, solves nothing and types no limit: limits come from `standard` with their source.

mod case;
mod judge;
mod proposal;
mod rating;
mod solved;
mod wiring;

pub use case::{Case, Draft, Seen};
pub use judge::{judge, judge_and_propose};
pub use proposal::{Change, Proposal, Table, Value, put_on};
pub use rating::{needed, rating};

/// What a check is, for the report and for `why`: both take their words from here.
#[derive(Debug, Clone, Copy)]
pub struct About {
    /// What it looks at, one sentence.
    pub looks_at: &'static str,
    /// The limit, in words, and where it is published.
    pub limit: &'static str,
    /// How it is worked out, with the formula.
    pub how: &'static str,
    /// How to mend it.
    pub mend: &'static str,
}

/// A built-in check (or a family of names judged together).
#[derive(Clone, Copy)]
pub struct Check {
    /// The names its findings carry, kebab-case.
    pub names: &'static [&'static str],
    /// One page for each name, in the same order.
    pub about: &'static [About],
    /// Judges one jig.
    pub run: fn(&Case, &mut Vec<Draft>),
}

/// Every built-in check.
pub fn all() -> impl Iterator<Item = &'static Check> {
    solved::LIST.iter().chain(wiring::LIST).copied()
}
