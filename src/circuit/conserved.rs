//! What no mode of a circuit can change: charge that only capacitors hold, flux of loops without resistance. This file
//! knows the circuit and its forest, nothing of the switching devices.

use super::forest::{Forest, Link, Rows};
use super::linear::orthonormalise;
use super::netlist::{Circuit, Device};
use super::sets::Sets;
use super::storage::Storage;

/// What a circuit's forest is made of, for those who look for what it conserves.
pub(super) struct Structure<'a> {
    pub circuit: &'a Circuit,
    pub forest: &'a Forest,
    /// Root node of each supernode but the reference's.
    pub roots: &'a [usize],
    /// The caller's branches, then leaks.
    pub links: &'a [Link],
    /// Rows of the links.
    pub rows: &'a Rows,
    pub storage: &'a Storage,
}

/// Orthonormal directions over the states: charge of every island that only capacitors tie to the rest, flux of every
/// loop of inductors and sources.
pub(super) fn conserved(s: &Structure) -> Vec<Vec<f64>> {
    if s.forest.states() == 0 {
        return vec![];
    }
    let mut found = island_charges(s);
    if !s.forest.coils.is_empty() {
        found.extend(loop_fluxes(s));
    }
    orthonormalise(found)
}

/// The charge of each island over the states.
fn island_charges(s: &Structure) -> Vec<Vec<f64>> {
    let c = s.circuit;
    let mut islands = Sets::new(c.nodes);
    for b in &c.branches {
        if !matches!(b.device, Device::Capacitor { .. } | Device::Meter) {
            islands.join(b.a, b.b);
        }
    }
    // A leak is a real path: it joins the root of its supernode to the reference.
    let supernodes = s.roots.len();
    for l in &s.links[c.branches.len()..] {
        if l.ub == supernodes && l.ua < supernodes {
            islands.join(s.roots[l.ua], 0);
        }
    }
    let mut found = vec![];
    for head in 1..c.nodes {
        if islands.find(head) != head {
            continue;
        }
        let mut v = vec![0.0; s.forest.states()];
        for (k, b) in c.branches.iter().enumerate() {
            let Device::Capacitor { farads } = b.device else {
                continue;
            };
            let (a, z) = (islands.find(b.a) == head, islands.find(b.b) == head);
            if a != z {
                let towards = if a { farads } else { -farads };
                (0..s.forest.tree.len()).for_each(|i| v[i] += towards * s.rows.z(k)[i]);
            }
        }
        if v.iter().any(|x| *x != 0.0) {
            found.push(v);
        }
    }
    found
}

/// The flux of each loop over the states.
fn loop_fluxes(s: &Structure) -> Vec<Vec<f64>> {
    let (c, coils) = (s.circuit, &s.forest.coils);
    let (nc, nl) = (s.forest.tree.len(), coils.len());
    let mut sets = Sets::new(c.nodes);
    let mut forest: Vec<usize> = vec![];
    let mut found = vec![];
    for &k in s.forest.sources.iter().chain(coils) {
        let b = c.branches[k];
        if sets.join(b.a, b.b) {
            forest.push(k);
            continue;
        }
        // This inductor closes a loop: from b.b back to b.a through the forest.
        let mut v = vec![0.0; nc + nl];
        let mut add = |branch: usize, sign: f64| {
            if let Some(i) = coils.iter().position(|&x| x == branch) {
                (0..nl).for_each(|j| v[nc + j] += sign * s.storage.inductance[i * nl + j]);
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
