//! What the format can state of a part, and who judges it in which situation. Each check declares what it judges where it
//! judges it; where nothing can go wrong, or nothing looks, a row of `reasons.toml` says why. No cell is empty, which is
//! tested.

mod reasons;

#[cfg(test)]
pub(crate) use reasons::all as reasons;

use crate::finding::{Cell, CheckId, MatrixPart, MatrixRow};
use crate::format::Section;
use crate::jig::Jig;
use crate::part::SECTIONS;

/// A situation that a tool meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum At {
    /// In normal use.
    Use,
    /// With one fault that nothing ends.
    Fault,
    /// Switched on.
    SwitchOn,
    /// After the plug was pulled.
    Unplugged,
    /// While a charged thing that was put on empties.
    Emptying,
    /// Until a protective device opens.
    Opening,
    /// After one has opened.
    Opened,
}

impl At {
    /// All of them, in the order they are told in.
    pub(crate) const ALL: [At; 7] =
        [At::Use, At::Fault, At::SwitchOn, At::Unplugged, At::Emptying, At::Opening, At::Opened];

    /// What goes on for ever.
    pub(crate) const LASTING: &[At] = &[At::Use, At::Fault, At::Opened];

    /// What lasts, or lasts long enough to heat something.
    pub(crate) const HEATING: &[At] = &[At::Use, At::Fault, At::Opening, At::Opened];

    /// The word for it, as reasons name it and as it is printed.
    pub(crate) fn word(self) -> &'static str {
        match self {
            At::Use => "in use",
            At::Fault => "one fault",
            At::SwitchOn => "switched on",
            At::Unplugged => "unplugged",
            At::Emptying => "emptying",
            At::Opening => "until a device opens",
            At::Opened => "after it has opened",
        }
    }
}

/// What a check judges of one kind of part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Judges {
    /// The kind, as the file writes it.
    pub kind: &'static str,
    /// Its keys.
    pub keys: &'static [&'static str],
    /// In which situations.
    pub at: &'static [At],
}

/// Of a kind, keys in situations.
pub(crate) const fn of(kind: &'static str, keys: &'static [&'static str], at: &'static [At]) -> Judges {
    Judges { kind, keys, at }
}

/// The whole matrix: every kind of part, every key of it.
pub(crate) fn matrix() -> Vec<MatrixPart> {
    let rows = |section: &Section| {
        let keys = section.keys.iter().map(|k| k.name).filter(|k| *k != "kind");
        keys.map(|key| row(section.name, key)).collect()
    };
    SECTIONS.iter().map(|s| MatrixPart { kind: s.name, rows: rows(s) }).collect()
}

fn row(kind: &'static str, key: &'static str) -> MatrixRow {
    let mut cells: Vec<Cell> = vec![];
    for at in At::ALL {
        let checks: Vec<&'static str> = judges(kind, key, at).map(CheckId::name).collect();
        let why = if checks.is_empty() { reasons::of(kind, key, at).map(|r| r.why.as_str()) } else { None };
        match cells.iter_mut().find(|c| c.checks == checks && c.why == why) {
            Some(same) => same.situations.push(at.word()),
            None => cells.push(Cell { situations: vec![at.word()], checks, why }),
        }
    }
    MatrixRow { key, judged: is_judged(kind, key), cells }
}

/// The checks that judge a key of a kind in a situation.
pub(super) fn judges(kind: &str, key: &str, at: At) -> impl Iterator<Item = CheckId> {
    let judges = move |j: &&Judges| j.kind == kind && j.keys.contains(&key) && j.at.contains(&at);
    super::all().filter(move |c| c.judges.iter().any(|j| judges(&j))).map(|c| c.id)
}

/// Why no check judges a key of a kind in a situation, where that is so.
pub(super) fn reason(kind: &str, key: &str, at: At) -> Option<&'static str> {
    let judged = judges(kind, key, at).next().is_some();
    if judged { None } else { reasons::of(kind, key, at).map(|r| r.why.as_str()) }
}

/// What each check declares.
#[cfg(test)]
pub(crate) fn declared() -> impl Iterator<Item = (&'static str, &'static Judges)> {
    super::all().flat_map(|c| c.judges.iter().map(|j| (c.id.name(), j)))
}

/// Whether anything looks at a key at all.
fn is_judged(kind: &str, key: &str) -> bool {
    At::ALL.iter().all(|at| reasons::of(kind, key, *at).is_none_or(|r| !r.unjudged))
}

/// What a jig states of its parts and nothing judges: each part with its key.
pub(crate) fn unjudged(jig: &Jig) -> Vec<(&str, &'static str)> {
    let mut out = vec![];
    for part in &jig.parts {
        let section = part.kind.section();
        let keys = section.keys.iter().map(|k| k.name);
        let stated = keys.filter(|k| part.states(k) && !is_judged(section.name, k));
        out.extend(stated.map(|key| (part.name.as_str(), key)));
    }
    out
}
