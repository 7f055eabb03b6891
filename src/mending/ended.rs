//! What was tried, as it ended: a later trial may have changed the same part again. Must not try.

use super::trial::Attempt;
use crate::checks::{Change, Proposal, Table};
use crate::finding::Way;
use crate::finding::way::{Fitted, ResistorString};
use crate::jig::{Jig, Part, PartKind};
use crate::part::Resistor;

/// Whether a change speaks of the key, or is part of the new part, that another one does.
pub(super) fn touches(a: &Change, b: &Change) -> bool {
    let of = |set: &Change, add: &Change| match (set, add) {
        (Change::Set { table: Table::Part(part), .. }, Change::Add { name, .. }) => part == name,
        _ => false,
    };
    a.same_place(b) || of(a, b) || of(b, a)
}

/// What a proposal is to a person, or what became of its resistors where it did not stay as it was.
pub(super) fn of(proposal: &Proposal, end: &Attempt) -> Way {
    let whole = |part: &String| {
        let strings = end.grown.iter().filter(|g| g.1 == *part && resistor_named(end, part));
        strings.clone().all(|g| proposal.changes.iter().any(|c| matches!(c, Change::Add { name, .. } if *name == g.0)))
    };
    let stands = |c: &Change| match c {
        Change::Set { table: Table::Part(part), .. } => whole(part) && end.changes.contains(c),
        Change::Set { .. } | Change::Add { .. } => end.changes.contains(c),
    };
    if proposal.changes.iter().all(stands) {
        return proposal.way.clone();
    }
    let mut owners: Vec<String> = vec![];
    for c in &proposal.changes {
        let part = match c {
            Change::Set { table: Table::Part(part), .. } => part,
            Change::Add { name, .. } => name,
            Change::Set { .. } => continue,
        };
        let owner = end.grown.iter().find(|g| g.0 == *part).map_or(part, |g| &g.1);
        if !owners.contains(owner) {
            owners.push(owner.clone());
        }
    }
    let ends: Option<Vec<ResistorString>> = owners.iter().map(|o| resistors(end, o)).collect();
    ends.map_or_else(|| proposal.way.clone(), Way::Resistors)
}

fn resistor_named(end: &Attempt, name: &str) -> bool {
    part(&end.jig, name).is_some_and(|p| matches!(p.kind, PartKind::Resistor(_)))
}

fn part<'a>(jig: &'a Jig, name: &str) -> Option<&'a Part> {
    jig.parts.iter().find(|p| p.name == name)
}

/// A resistor and what was put in series with it, as it ended.
fn resistors(end: &Attempt, owner: &str) -> Option<ResistorString> {
    let names = std::iter::once(owner).chain(end.grown.iter().filter(|g| g.1 == owner).map(|g| g.0.as_str()));
    let each: Option<Vec<Fitted>> = names.map(|n| fitted(part(&end.jig, n)?)).collect();
    Some(ResistorString { each: each?, part: owner.to_string() })
}

fn fitted(part: &Part) -> Option<Fitted> {
    let PartKind::Resistor(Resistor { resistance, power, voltage, .. }) = part.kind else { return None };
    Some(Fitted { ohms: resistance, watts: power, volts: voltage })
}
