//! Which orientations of the plug, switch positions and outlet loads are tried.

use crate::jig::{Jig, Part, PartKind, SwitchContacts};

use super::condition::Orientation;
use std::collections::HashSet;

/// Orientations to try: both where the live pin is not assured.
pub(crate) fn orientations(jig: &Jig) -> Vec<Orientation> {
    let Some(mains) = &jig.supply.mains else { return vec![Orientation::AsWired] };
    if mains.both_live() {
        return vec![Orientation::BothLive];
    }
    if jig.supply.reversible() { vec![Orientation::AsWired, Orientation::Reversed] } else { vec![Orientation::AsWired] }
}

/// Indices of the parts that are switches.
pub(crate) fn switch_parts(jig: &Jig) -> Vec<usize> {
    (0..jig.parts.len()).filter(|&k| matches!(jig.parts[k].kind, PartKind::Switch(_))).collect()
}

/// Number of positions of a switch.
pub(crate) fn positions(contacts: &SwitchContacts) -> usize {
    match contacts {
        SwitchContacts::Poles(_) => 2,
        SwitchContacts::Positions(p) => p.len().max(1),
    }
}

/// Off positions of a switch: all contacts of a plain switch open, or a position that says so or closes nothing.
pub(crate) fn off_positions(contacts: &SwitchContacts) -> Vec<usize> {
    match contacts {
        SwitchContacts::Poles(_) => vec![1],
        SwitchContacts::Positions(p) => {
            let off = |(name, closed): &(String, Vec<_>)| closed.is_empty() || name.eq_ignore_ascii_case("off");
            (0..p.len()).filter(|k| off(&p[*k])).collect()
        }
    }
}

/// Most combinations of switches and loads tried in full; above it one thing is varied at a time.
const FULL: usize = 96;

/// Position of each switch and load of each outlet.
pub(crate) type Setting = (Vec<usize>, Vec<usize>);

/// Combinations of switch positions and outlet loads. With too many switches for all of them, each one is varied alone
/// against "everything on, first load" and "everything off": the second value says so.
pub(crate) fn settings(jig: &Jig) -> (Vec<Setting>, bool) {
    let positions_of =
        |part: &Part| if let PartKind::Switch(s) = &part.kind { Some(positions(&s.contacts)) } else { None };
    let mut sizes: Vec<usize> = jig.parts.iter().filter_map(positions_of).collect();
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
    let mut seen: HashSet<Vec<usize>> = out.iter().cloned().collect();
    let last: Vec<usize> = sizes.iter().map(|s| s - 1).collect();
    for base in [vec![0; sizes.len()], last] {
        for k in 0..sizes.len() {
            for d in 0..sizes[k] {
                let mut one = base.clone();
                one[k] = d;
                if seen.insert(one.clone()) {
                    out.push(one);
                }
            }
        }
    }
    (out.into_iter().map(split).collect(), false)
}
