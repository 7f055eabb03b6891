//! What could not be solved on the way to something else is told too: a moment, a lamp before it strikes, a value moved
//! to see what feels it.
#![allow(missing_docs, clippy::unwrap_used)]

use crate::checks::judge;
use crate::jig;
use crate::survey::ledger::Outcome;
use crate::survey::unsolved::NotSolved;
use crate::survey::{Options, survey};

/// A choke and a capacitor that ring at sixteen million a second, for longer than anything can follow them.
const TEXT: &str = include_str!("../../src/checks/examples/unsolved-condition.fails.toml");

#[test]
fn what_rings_for_longer_than_it_can_be_followed_makes_the_check_incomplete() {
    let jig = jig::parse("ring.toml", TEXT.as_bytes()).unwrap_or_else(|f| panic!("{f:?}"));
    let found = survey(&jig, &Options::default());
    let lost = |t: &&crate::survey::ledger::Tried| matches!(t.outcome, Outcome::Unsolved(NotSolved::Circuit(_)));
    let tried = found.ledger.tried.iter().filter(lost);
    assert!(tried.count() > 0, "this jig shows nothing any more, take another");
    let j = judge(&jig, &found, "2026-01-01");
    assert_eq!(j.exit_status(), 3);
    assert!(j.findings.iter().any(|f| f.message.contains("did not come to an end")));
}
