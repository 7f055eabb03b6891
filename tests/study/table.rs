//! The study's table: one row a way of breaking, and its place in DEVELOPERS.md.

use super::edit::{Case, Expect};
use std::fmt::Write as _;

/// How a case came out.
#[derive(Debug, Clone, Copy)]
pub struct Score {
    /// Whether something must be said.
    pub broken: bool,
    /// Whether something new and grave enough was said.
    pub told: bool,
    /// Whether it named the guilty one.
    pub named: bool,
    /// Whether the reader refused the file, with words for it, so that nothing was left to check.
    pub refused: bool,
}

impl Score {
    /// Whether it came out as it must.
    pub fn right(self) -> bool {
        if self.broken { self.told && self.named } else { !self.told }
    }
}

/// A case that does not come out as the generator expects, and why.
pub struct Exception {
    pub way: &'static str,
    pub jig: &'static str,
    pub what: &'static str,
    pub why: &'static str,
}

impl Exception {
    pub fn fits(&self, case: &Case) -> bool {
        self.way == case.way && self.jig == case.jig && self.what == case.what
    }
}

/// The table in Markdown: the broken ways, then the harmless ones, then every exception.
pub fn table(scored: &[(Case, Score)], exceptions: &[Exception]) -> String {
    let mut ways: Vec<(&str, bool)> = vec![];
    for (c, s) in scored {
        if !ways.contains(&(c.way, s.broken)) {
            ways.push((c.way, s.broken));
        }
    }
    ways.sort_by_key(|w| !w.1);
    let mut out = String::new();
    let head = "| way | jigs | changed | flagged | refused by the reader | guilty named | missed | false alarms |\n|---|--:|--:|--:|--:|--:|--:|--:|\n";
    out += head;
    let mut row = |name: &str, mine: &[&(Case, Score)], broken: bool| {
        let mut jigs: Vec<&str> = mine.iter().map(|c| c.0.jig).collect();
        jigs.sort_unstable();
        jigs.dedup();
        let count = |f: fn(&Score) -> bool| mine.iter().filter(|c| f(&c.1)).count();
        let (told, named) = (count(|s| s.told), count(|s| s.told && s.named));
        let (right, refused) = (count(|s| s.right()), count(|s| s.refused));
        let wrong = mine.len() - right;
        if broken {
            writeln!(out, "| {name} | {} | {} | {told} | {refused} | {named} | {wrong} | |", jigs.len(), mine.len())
                .unwrap();
        } else {
            writeln!(out, "| {name} | {} | {} | | | | | {wrong} |", jigs.len(), mine.len()).unwrap();
        }
    };
    for (way, broken) in ways {
        let mine: Vec<&(Case, Score)> = scored.iter().filter(|c| c.0.way == way && c.1.broken == broken).collect();
        let name = if broken { way.to_string() } else { format!("*harmless:* {way}") };
        row(&name, &mine, broken);
    }
    for (name, broken) in [("**all that are broken**", true), ("**all that are harmless**", false)] {
        let mine: Vec<&(Case, Score)> = scored.iter().filter(|c| c.1.broken == broken).collect();
        row(name, &mine, broken);
    }
    out += "\nExceptions:";
    out += if exceptions.is_empty() { " none.\n" } else { "\n\n" };
    for e in exceptions {
        writeln!(out, "- {}, {}, {}: {}", e.way, e.jig, e.what, e.why).unwrap();
    }
    debug_assert!(scored.iter().all(|(c, s)| matches!(c.expect, Expect::Flagged(..)) == s.broken));
    out
}
