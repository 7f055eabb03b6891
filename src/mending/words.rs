//! The words of what was tried, as it ended: a later trial may have changed the same part again. Must not try.

use super::trial::State;
use crate::checks::{Change, Proposal, Table};
use crate::jig::{Jig, Part, PartKind};
use crate::part::Resistor;
use crate::quantity::{Kind, format};

/// Whether a change speaks of the key, or is part of the new part, that another one does.
pub(super) fn touches(a: &Change, b: &Change) -> bool {
    let of = |set: &Change, add: &Change| match (set, add) {
        (Change::Set { table: Table::Part(part), .. }, Change::Add { name, .. }) => part == name,
        _ => false,
    };
    a.same_place(b) || of(a, b) || of(b, a)
}

/// The words of a proposal, or of what became of its resistors where it did not stay as it was.
pub(super) fn of(proposal: &Proposal, end: &State) -> String {
    let whole = |part: &String| {
        let strings = end.grown.iter().filter(|g| g.1 == *part && resistor_named(end, part));
        strings.clone().all(|g| proposal.changes.iter().any(|c| matches!(c, Change::Add { name, .. } if *name == g.0)))
    };
    let stands = |c: &Change| match c {
        Change::Set { table: Table::Part(part), .. } => whole(part) && end.changes.contains(c),
        _ => end.changes.contains(c),
    };
    if proposal.changes.iter().all(stands) {
        return proposal.words.clone();
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
    let ends: Option<Vec<String>> = owners.iter().map(|o| resistors(end, o)).collect();
    ends.map_or_else(|| proposal.words.clone(), |e| format!("use {}", e.join(", and ")))
}

fn resistor_named(end: &State, name: &str) -> bool {
    part(&end.jig, name).is_some_and(|p| matches!(p.kind, PartKind::Resistor(_)))
}

fn part<'a>(jig: &'a Jig, name: &str) -> Option<&'a Part> {
    jig.parts.iter().find(|p| p.name == name)
}

/// A resistor and what was put in series with it, as it ended.
fn resistors(end: &State, owner: &str) -> Option<String> {
    let names = std::iter::once(owner).chain(end.grown.iter().filter(|g| g.1 == owner).map(|g| g.0.as_str()));
    let each: Option<Vec<String>> = names.map(|n| resistor(part(&end.jig, n)?)).collect();
    let each = each?;
    match (each.len(), each.iter().all(|e| *e == each[0])) {
        (1, _) => Some(format!("{} for {owner}", each[0])),
        (2, true) => Some(format!("two {} in series in the place of {owner}", each[0])),
        (3, true) => Some(format!("three {} in series in the place of {owner}", each[0])),
        _ => Some(format!("{} in series in the place of {owner}", each.join(" and "))),
    }
}

fn resistor(part: &Part) -> Option<String> {
    let PartKind::Resistor(Resistor { resistance, power, voltage, .. }) = part.kind else { return None };
    let watts = power.map(|w| if w < 1.0 { format!(" {w} W") } else { format!(" {}", format(w, Kind::Power)) });
    let volts = voltage.map(|v| format!(" {}", format(v, Kind::Voltage)));
    Some(format!("{}{}{}", format(resistance, Kind::Resistance), watts.unwrap_or_default(), volts.unwrap_or_default()))
}
