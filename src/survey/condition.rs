//! What is tried: supply level × way round of the plug × switch positions × outlet loads × faults × tolerance corner,
//! and the words a person would use for it.

use crate::jig::{Jig, LoadKind, PartKind, SwitchContacts};
use crate::part::Switch;

pub use crate::standard::{LEVELS, Level};

/// Which pin of the plug is live.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// L is live, N earthed at the source.
    AsWired,
    /// N is live, L earthed at the source.
    Reversed,
    /// Both pins are live (line to line).
    BothLive,
}

/// One thing that has failed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fault {
    /// A branch of a part is open; index into the model's items.
    Open(usize),
    /// A branch of a part is bridged; index into the model's items.
    Short(usize),
    /// A conductor of the supply is open.
    ConductorOpen(Conductor),
    /// Insulation has broken down between two nets (index of the insulation, the two nets).
    Breakdown(usize, usize, usize),
    /// Insulation between two windings has broken down; indices of the windings' items.
    WindingsJoined(usize, usize),
    /// A switch contact stays closed; item.
    Welded(usize),
}

/// A conductor of the supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)]
pub enum Conductor {
    L,
    N,
    Pe,
}

/// A value at the upper end of its tolerance; what lies inside is counted in hundredths of the tolerance.
pub const END: i8 = 100;

/// One condition.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Condition {
    /// Supply level.
    pub level: Level,
    /// Way round of the plug.
    pub way: Way,
    /// Position of each switch: for poles 0 = on, 1 = off; for positions the index.
    pub switches: Vec<usize>,
    /// Load of each outlet.
    pub loads: Vec<usize>,
    /// Faults, none for the normal condition.
    pub faults: Vec<Fault>,
    /// Where each toleranced value lies in its tolerance: 0 as stated, [`END`] at its upper, -[`END`] at its lower end.
    /// Empty: all as stated.
    pub corner: Vec<i8>,
    /// What is special about it, e.g. "switched on at 90°" or "unplugged at 90°"; empty for the steady state.
    pub moment: String,
}

impl Condition {
    /// Whether this is exactly the nominal condition the `nominal` column shows.
    pub fn is_plain(&self) -> bool {
        self.faults.is_empty() && self.corner.iter().all(|c| *c == 0) && self.moment.is_empty()
    }
}

/// Ways to try: both where the live pin is not assured.
pub fn ways(jig: &Jig) -> Vec<Way> {
    let Some(mains) = &jig.supply.mains else { return vec![Way::AsWired] };
    if mains.both_live() {
        return vec![Way::BothLive];
    }
    match &jig.supply.plug {
        Some(p) if !p.line_pin_assured => vec![Way::AsWired, Way::Reversed],
        _ => vec![Way::AsWired],
    }
}

/// Indices of the parts that are switches.
pub fn switch_parts(jig: &Jig) -> Vec<usize> {
    (0..jig.parts.len()).filter(|&k| matches!(jig.parts[k].kind, PartKind::Switch(_))).collect()
}

/// Number of positions of a switch.
pub fn positions(contacts: &SwitchContacts) -> usize {
    match contacts {
        SwitchContacts::Poles(_) => 2,
        SwitchContacts::Positions(p) => p.len().max(1),
    }
}

/// Most combinations of switches and loads tried in full; above it one thing is varied at a time.
const FULL: usize = 96;

/// Position of each switch and load of each outlet.
pub type Setting = (Vec<usize>, Vec<usize>);

/// Combinations of switch positions and outlet loads. With too many switches for all of them, each one is varied alone
/// against "everything on, first load" and "everything off": the second value says so.
pub fn settings(jig: &Jig) -> (Vec<Setting>, bool) {
    let mut sizes: Vec<usize> = switch_parts(jig)
        .into_iter()
        .map(|k| match &jig.parts[k].kind {
            PartKind::Switch(Switch { contacts, .. }) => positions(contacts),
            _ => 1,
        })
        .collect();
    let switches = sizes.len();
    sizes.extend(jig.outlets.iter().map(|o| o.loads.len().max(1)));
    let total: usize = sizes.iter().fold(1usize, |a, &b| a.saturating_mul(b));
    let split = |x: Vec<usize>| (x[..switches].to_vec(), x[switches..].to_vec());
    if total <= FULL {
        let all = (0..total).map(|mut k| {
            let digits = sizes.iter().map(|&s| {
                let d = k % s;
                k /= s;
                d
            });
            split(digits.collect())
        });
        return (all.collect(), true);
    }
    let mut out = vec![vec![0; sizes.len()]];
    let last: Vec<usize> = sizes.iter().map(|s| s - 1).collect();
    for base in [vec![0; sizes.len()], last] {
        for k in 0..sizes.len() {
            for d in 0..sizes[k] {
                let mut one = base.clone();
                one[k] = d;
                if !out.contains(&one) {
                    out.push(one);
                }
            }
        }
    }
    (out.into_iter().map(split).collect(), false)
}

/// The condition in words: only what is not a matter of course is said.
pub fn words(jig: &Jig, items: &[super::model::Item], c: &Condition) -> String {
    let mut out = vec![];
    for f in &c.faults {
        out.push(fault_words(jig, items, f));
    }
    if jig.supply.mains.is_some() {
        out.push(format!("mains {}", c.level.word()));
    }
    if c.way == Way::Reversed {
        out.push("plug reversed".into());
    }
    for (k, &position) in switch_parts(jig).iter().zip(&c.switches) {
        let part = &jig.parts[*k];
        let PartKind::Switch(Switch { contacts, .. }) = &part.kind else { continue };
        match contacts {
            SwitchContacts::Poles(_) if position == 0 => {}
            SwitchContacts::Poles(_) => out.push(format!("{} off", part.name)),
            SwitchContacts::Positions(p) => {
                let word = p.get(position).map_or("?", |x| x.0.as_str());
                out.push(format!("{} at {word}", part.name));
            }
        }
    }
    for (outlet, &load) in jig.outlets.iter().zip(&c.loads) {
        if let Some(l) = outlet.loads.get(load) {
            let label = match l.kind {
                LoadKind::Open => "open",
                LoadKind::Short => "shorted",
                _ => l.label.as_str(),
            };
            out.push(format!("{} {label}", outlet.name));
        }
    }
    if c.corner.iter().any(|x| *x != 0) {
        out.push("tolerances at their worst".into());
    }
    if !c.moment.is_empty() {
        out.push(c.moment.clone());
    }
    out.join(", ")
}

/// One fault in words.
pub fn fault_words(jig: &Jig, items: &[super::model::Item], f: &Fault) -> String {
    let name = |k: usize| items.get(k).map_or("?", |i| i.name.as_str());
    let net = |k: usize| jig.nets.get(k).map_or("?", |n| n.name.as_str());
    match f {
        Fault::Open(k) => format!("{} open", name(*k)),
        Fault::Short(k) => match items.get(*k).map(|i| &jig.parts[i.part].kind) {
            Some(PartKind::Fuse(_)) => format!("{} bridged", name(*k)),
            _ => format!("{} shorted", name(*k)),
        },
        Fault::ConductorOpen(Conductor::L) => "L conductor open".into(),
        Fault::ConductorOpen(Conductor::N) => "N conductor open".into(),
        Fault::ConductorOpen(Conductor::Pe) => "earth conductor open".into(),
        Fault::Breakdown(_, a, b) => format!("insulation from {} to {} broken down", net(*a), net(*b)),
        Fault::WindingsJoined(a, b) => format!("insulation between {} and {} broken down", name(*a), name(*b)),
        Fault::Welded(k) => format!("{} welded shut", name(*k)),
    }
}

/// Short name of a fault for `--only`: `R1-short`, `SW1.1-welded`, `L-open`, `insulation-a-b`.
pub fn fault_id(jig: &Jig, items: &[super::model::Item], f: &Fault) -> String {
    let name = |k: usize| items.get(k).map_or("?", |i| i.name.as_str());
    let net = |k: usize| jig.nets.get(k).map_or("?", |n| n.name.as_str());
    match f {
        Fault::Open(k) => format!("{}-open", name(*k)),
        Fault::Short(k) => format!("{}-short", name(*k)),
        Fault::ConductorOpen(Conductor::L) => "L-open".into(),
        Fault::ConductorOpen(Conductor::N) => "N-open".into(),
        Fault::ConductorOpen(Conductor::Pe) => "PE-open".into(),
        Fault::Breakdown(_, a, b) => format!("insulation-{}-{}", net(*a), net(*b)),
        Fault::WindingsJoined(a, b) => format!("windings-{}-{}", name(*a), name(*b)),
        Fault::Welded(k) => format!("{}-welded", name(*k)),
    }
}
