//! Which nets are joined by what: walks over the wiring of a tool.

use super::tool::{Kind, Part, Tool};
use std::collections::BTreeSet;

/// A joint between two nets: which part (none: what is plugged into an outlet).
#[derive(Clone, Copy)]
pub struct Joint<'a> {
    pub a: &'a str,
    pub b: &'a str,
    pub part: Option<&'a Part>,
}

pub fn joints(tool: &Tool) -> Vec<Joint<'_>> {
    let mut all = Vec::new();
    for part in &tool.parts {
        let e = &part.ends;
        let pairs: Vec<(usize, usize)> = match part.kind {
            Kind::Switch { .. } => (0..e.len() / 2).map(|p| (2 * p, 2 * p + 1)).collect(),
            Kind::Bridge { .. } => vec![(0, 2), (1, 2), (3, 0), (3, 1)],
            _ => vec![(0, 1)],
        };
        all.extend(pairs.into_iter().map(|(a, b)| Joint { a: &e[a], b: &e[b], part: Some(part) }));
    }
    all.extend(tool.outlets.iter().map(|o| Joint { a: &o.across[0], b: &o.across[1], part: None }));
    all
}

pub fn is(joint: &Joint, kind: fn(&Kind) -> bool) -> bool {
    joint.part.is_some_and(|p| kind(&p.kind))
}
pub fn fuse(k: &Kind) -> bool {
    matches!(k, Kind::Fuse { .. })
}
pub fn switch(k: &Kind) -> bool {
    matches!(k, Kind::Switch { .. })
}
pub fn capacitor(k: &Kind) -> bool {
    matches!(k, Kind::Capacitor { .. })
}
pub fn wire(k: &Kind) -> bool {
    matches!(k, Kind::Wire { .. })
}

/// Nets reached from `start` over the joints that `through` lets pass, without going on from the nets of `stop`.
pub fn reach<'a>(tool: &'a Tool, start: &'a str, stop: &[&str], through: impl Fn(&Joint) -> bool) -> BTreeSet<&'a str> {
    let joints = joints(tool);
    let mut seen = BTreeSet::from([start]);
    let mut open = vec![start];
    while let Some(net) = open.pop() {
        if stop.contains(&net) {
            continue;
        }
        for j in joints.iter().filter(|j| through(j)) {
            let to = if j.a == net {
                j.b
            } else if j.b == net {
                j.a
            } else {
                continue;
            };
            if seen.insert(to) {
                open.push(to);
            }
        }
    }
    seen
}

/// Nets joined to `start` by wires, contacts and fuses alone.
pub fn solid<'a>(tool: &'a Tool, start: &'a str) -> BTreeSet<&'a str> {
    reach(tool, start, &[], |j| is(j, fuse) || is(j, switch) || is(j, wire))
}

/// Every way without a fuse from one net to another: its resistors in ohms with their tolerance in per cent.
pub fn unfused(tool: &Tool, from: &str, to: &str) -> Vec<Vec<(f64, f64)>> {
    fn go<'a>(
        joints: &[Joint<'a>],
        at: &'a str,
        to: &str,
        visited: &mut Vec<&'a str>,
        ohms: &mut Vec<(f64, f64)>,
        ways: &mut Vec<Vec<(f64, f64)>>,
    ) {
        if at == to {
            ways.push(ohms.clone());
            return;
        }
        for j in joints.iter().filter(|j| !is(j, fuse)) {
            let next = if j.a == at {
                j.b
            } else if j.b == at {
                j.a
            } else {
                continue;
            };
            if visited.contains(&next) {
                continue;
            }
            visited.push(next);
            let resistor = match j.part.map(|p| &p.kind) {
                Some(Kind::Resistor { ohms, percent, .. }) => Some((*ohms, *percent)),
                _ => None,
            };
            ohms.extend(resistor);
            go(joints, next, to, visited, ohms, ways);
            if resistor.is_some() {
                ohms.pop();
            }
            visited.pop();
        }
    }
    let all = joints(tool);
    let mut ways = Vec::new();
    let mut visited = vec![from];
    go(&all, from, to, &mut visited, &mut Vec::new(), &mut ways);
    ways
}
