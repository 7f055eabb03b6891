//! The built-in checks: one file a check, one list of them. A check is pure: a jig and its survey in, facts out. It
//! prints nothing, makes no sentence (`wording` does) and types no limit: limits come from `standard` with their source.
//! What it reads was solved by the survey; only no-limiting has single conditions solved once more, and `pairs` and
//! `conditions` solve for what a report shows beside the findings.
// What a kind, a fault or a link is not asked about must be said: a wildcard lets a new one pass in silence.
#![deny(clippy::wildcard_enum_match_arm)]

use crate::finding::CheckId;

mod assumed;
mod case;
pub(crate) mod conditions;
mod fault_name;
mod gaps;
mod judge;
pub(crate) mod matrix;
mod page;
pub(crate) mod pairs;
mod proposal;
mod rating;
mod solved;
mod twins;
mod under;
mod wiring;

pub(crate) use case::{Case, Draft, Seen};
pub(crate) use judge::{add, fold_twins, judge, judge_and_propose};
pub(crate) use page::{page, pages};
pub(crate) use proposal::{Change, Proposal, Table, Value, put_on};
pub(crate) use rating::rating;
pub(crate) use under::{circumstance, tell_under};

/// Where a limit comes from that stands in the jig file itself.
pub(crate) const OWN_RATING: &str = "the part's own rating, as written in the jig file";

/// What a check is, for the report and for `why`: both take their words from here. In `limit` and `how` a number of the
/// published tables is never typed: `{file.table.row.key}` stands for it, `{file.table key key}` for a whole table (see
/// [`page`](fn@page)).
#[derive(Debug, Clone, Copy)]
pub(crate) struct About {
    /// What it looks at, one sentence.
    pub looks_at: &'static str,
    /// The limit, in words.
    pub limit: &'static str,
    /// Rows of the published tables it judges by beside those that `limit` and `how` name: `file.table.row`,
    /// `file.table` for all rows of a table, or `jig` for [`OWN_RATING`]. A finding names no source but theirs.
    pub rows: &'static [&'static str],
    /// How it is worked out, with the formula.
    pub how: &'static str,
    /// How to mend it.
    pub mend: &'static str,
}

/// A built-in check.
#[derive(Clone, Copy)]
pub(crate) struct Check {
    /// Which one: its findings carry the name.
    pub id: CheckId,
    /// Which ratings and properties of parts it judges, in which situations.
    pub judges: &'static [matrix::Judges],
    /// What its page says of it.
    pub about: About,
    /// Judges one jig.
    pub run: fn(&Case, &mut Vec<Draft>),
}

/// The rooms of checks: what they read, and their list.
const ROOMS: [(&str, &[&Check]); 3] =
    [("solved", solved::LIST), ("wiring", wiring::LIST), ("check itself", gaps::LIST)];

/// Every built-in check.
pub(crate) fn all() -> impl Iterator<Item = &'static Check> {
    ROOMS.iter().flat_map(|r| r.1).copied()
}
