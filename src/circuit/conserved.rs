//! What no mode of a circuit can change: charge that only capacitors hold, flux of loops without resistance. This file
//! knows the circuit and its forest, nothing of device states.

use super::linear::{Sets, orthonormalise};
use super::topology::{Link, inductance};
use super::{Circuit, Device};

/// Charge of every island that only capacitors tie to the rest, flux of every loop of inductors and sources.
/// `row` gives each link's row over z; `nc` is the number of tree capacitors.
pub(super) fn conserved<'a>(
    c: &Circuit,
    links: &[Link],
    row: impl Fn(usize) -> &'a [f64],
    roots: &[usize],
    coils: &[usize],
    nc: usize,
) -> Vec<Vec<f64>> {
    let nl = coils.len();
    let n = nc + nl;
    if n == 0 {
        return vec![];
    }
    let mut found = vec![];
    let mut islands = Sets::new(c.nodes);
    for b in &c.branches {
        if !matches!(b.device, Device::Capacitor { .. }) {
            islands.join(b.a, b.b);
        }
    }
    // A leak is a real path: it joins the root of its supernode to the reference.
    for l in &links[c.branches.len()..] {
        if l.ub == roots.len() && l.ua < roots.len() {
            islands.join(roots[l.ua], 0);
        }
    }
    for head in 1..c.nodes {
        if islands.find(head) != head {
            continue;
        }
        let mut v = vec![0.0; n];
        for (k, b) in c.branches.iter().enumerate() {
            let Device::Capacitor { farads } = b.device else {
                continue;
            };
            let (a, z) = (islands.find(b.a) == head, islands.find(b.b) == head);
            if a != z {
                let sign = if a { farads } else { -farads };
                (0..nc).for_each(|i| v[i] += sign * row(k)[i]);
            }
        }
        if v.iter().any(|x| *x != 0.0) {
            found.push(v);
        }
    }
    if nl > 0 {
        found.extend(flux_loops(c, coils, nc, nl));
    }
    orthonormalise(found)
}

fn flux_loops(c: &Circuit, coils: &[usize], nc: usize, nl: usize) -> Vec<Vec<f64>> {
    let l = inductance(c, coils);
    let mut sets = Sets::new(c.nodes);
    let mut forest: Vec<usize> = vec![];
    let mut found = vec![];
    let sources = (0..c.branches.len()).filter(|&k| matches!(c.branches[k].device, Device::Source { .. }));
    for k in sources.chain(coils.iter().copied()) {
        let b = c.branches[k];
        if sets.join(b.a, b.b) {
            forest.push(k);
            continue;
        }
        // This inductor closes a loop: from b.b back to b.a through the forest.
        let mut v = vec![0.0; nc + nl];
        let mut add = |branch: usize, sign: f64| {
            if let Some(i) = coils.iter().position(|&x| x == branch) {
                (0..nl).for_each(|j| v[nc + j] += sign * l[i * nl + j]);
            }
        };
        add(k, 1.0);
        for (branch, sign) in path(c, &forest, b.b, b.a) {
            add(branch, sign);
        }
        found.push(v);
    }
    found
}

/// Branches of a forest from one node to another, with the sign of passing them.
fn path(c: &Circuit, forest: &[usize], from: usize, to: usize) -> Vec<(usize, f64)> {
    let mut came: Vec<Option<(usize, usize, f64)>> = vec![None; c.nodes];
    let mut todo = vec![from];
    while let Some(node) = todo.pop() {
        for &k in forest {
            let b = c.branches[k];
            for (here, there, sign) in [(b.a, b.b, 1.0), (b.b, b.a, -1.0)] {
                if here == node && there != from && came[there].is_none() {
                    came[there] = Some((node, k, sign));
                    todo.push(there);
                }
            }
        }
    }
    let mut out = vec![];
    let mut node = to;
    while node != from {
        let Some((before, k, sign)) = came[node] else { break };
        out.push((k, sign));
        node = before;
    }
    out
}
