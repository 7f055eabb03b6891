//! Kirchhoff's current law at the supernodes: which conductance meets which is worked out once per circuit, the numbers
//! once per mode. This file knows conductances, offsets and coil currents, nothing of device states or guards.

use super::linear::Sets;
use super::topology::{Link, Plan, Role};

/// Conductance, in siemens, from which a branch's current is taken from Kirchhoff's law and not from its voltage.
pub(super) const STIFF: f64 = 0.5;

/// Where the conductance of a link goes.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Slot {
    /// It joins nothing (no conductor, or both ends on one supernode).
    Nowhere,
    /// Between this supernode and the reference.
    Ground(usize),
    /// Between two supernodes: index into the packed conductances.
    Pair(usize),
}

/// Elimination of the nodal matrix: the order of the supernodes, and a place for every conductance that is there or
/// arises on the way, so that a mode touches only those.
#[derive(Debug, Clone)]
pub(super) struct Elimination {
    /// Supernodes, the one with the fewest neighbours left first: lamps on one feeder then leave nothing behind.
    order: Vec<usize>,
    /// The neighbours of `order[k]` when it goes are `around[start[k]..start[k + 1]]`.
    start: Vec<usize>,
    around: Vec<usize>,
    /// For each k, the packed place of every pair of those neighbours, in the order the pairs are met.
    fill: Vec<usize>,
    /// One a link.
    slots: Vec<Slot>,
}

/// Rows of bits, one a supernode: who is joined to whom.
struct Joined {
    bits: Vec<u64>,
    words: usize,
}

impl Joined {
    fn new(m: usize) -> Self {
        let words = m.div_ceil(64);
        Joined { bits: vec![0; m * words], words }
    }
    fn row(&self, i: usize) -> &[u64] {
        &self.bits[i * self.words..(i + 1) * self.words]
    }
    fn set(&mut self, i: usize, j: usize) {
        self.bits[i * self.words + j / 64] |= 1 << (j % 64);
    }
    fn degree(&self, i: usize) -> usize {
        self.row(i).iter().map(|w| w.count_ones() as usize).sum()
    }
    /// Appends the members of row `i`.
    fn members(&self, i: usize, out: &mut Vec<usize>) {
        for (at, &word) in self.row(i).iter().enumerate() {
            let mut left = word;
            while left != 0 {
                out.push(at * 64 + left.trailing_zeros() as usize);
                left &= left - 1;
            }
        }
    }
    /// Joins `i` to all of row `k`, and takes `i` itself and `k` out of its row.
    fn inherit(&mut self, i: usize, k: usize) {
        for at in 0..self.words {
            self.bits[i * self.words + at] |= self.bits[k * self.words + at];
        }
        for gone in [i, k] {
            self.bits[i * self.words + gone / 64] &= !(1 << (gone % 64));
        }
    }
}

fn conducts(l: &Link) -> bool {
    matches!(l.role, Role::Ohmic(_) | Role::Switching(_)) && l.ua != l.ub
}

impl Elimination {
    /// Plans it for `m` supernodes other than the reference (which has index `m`).
    pub(super) fn new(links: &[Link], m: usize) -> Self {
        let mut joined = Joined::new(m);
        for l in links.iter().filter(|l| conducts(l) && l.ua < m && l.ub < m) {
            joined.set(l.ua, l.ub);
            joined.set(l.ub, l.ua);
        }
        let mut degree: Vec<usize> = (0..m).map(|k| joined.degree(k)).collect();
        let mut left: Vec<usize> = (0..m).collect();
        let (mut order, mut start) = (Vec::with_capacity(m), Vec::with_capacity(m + 1));
        let mut around: Vec<usize> = Vec::with_capacity(2 * m);
        start.push(0);
        while let Some((at, &k)) = left.iter().enumerate().min_by_key(|(_, k)| degree[**k]) {
            left.swap_remove(at);
            order.push(k);
            let from = around.len();
            joined.members(k, &mut around);
            start.push(around.len());
            for &i in &around[from..] {
                joined.inherit(i, k);
                degree[i] = joined.degree(i);
            }
        }
        let mut rank = vec![0; m];
        order.iter().enumerate().for_each(|(at, &k)| rank[k] = at);
        // A pair lives with the one of the two that goes first.
        let pair = |i: usize, o: usize| {
            let (first, other) = if rank[i] < rank[o] { (rank[i], o) } else { (rank[o], i) };
            let range = start[first]..start[first + 1];
            range.start + around[range].iter().position(|&x| x == other).unwrap_or(0)
        };
        let mut fill = vec![];
        for k in 0..m {
            let own = &around[start[k]..start[k + 1]];
            for (at, &i) in own.iter().enumerate() {
                fill.extend(own[at + 1..].iter().map(|&o| pair(i, o)));
            }
        }
        let slot = |l: &Link| match (conducts(l), l.ua == m || l.ub == m) {
            (false, _) => Slot::Nowhere,
            (true, true) => Slot::Ground(l.ua.min(l.ub)),
            (true, false) => Slot::Pair(pair(l.ua, l.ub)),
        };
        let slots = links.iter().map(slot).collect();
        Elimination { order, start, around, fill, slots }
    }
}

/// `to += f * from` on two different rows of `u`.
#[inline]
fn add_row(u: &mut [f64], nz: usize, to: usize, f: f64, from: usize) {
    let (to, from) = if to < from {
        let (a, b) = u.split_at_mut(from * nz);
        (&mut a[to * nz..(to + 1) * nz], &b[..nz])
    } else {
        let (a, b) = u.split_at_mut(to * nz);
        (&mut b[..nz], &a[from * nz..(from + 1) * nz])
    };
    to.iter_mut().zip(from).for_each(|(x, y)| *x += f * y);
}

/// Rows over z of the supernodes' voltages, the reference's (zero) last. Elimination without subtraction: the
/// conductance to the reference is kept apart from the others, so every number stays positive and accurate for any
/// mixture of milliohms and gigaohms. `g` (siemens) and `j` (amperes) make each link's `i = g v + j`.
pub(super) fn potentials(plan: &Plan, g: &[f64], j: &[f64]) -> Vec<f64> {
    let (m, n, nz) = (plan.m, plan.n, plan.nz);
    let Elimination { order, start, around, fill, slots } = &plan.elimination;
    // Conductances between pairs, then to the reference, then what each node sees when it goes.
    let mut room = vec![0.0; around.len() + 2 * m];
    let (pairs, rest) = room.split_at_mut(around.len());
    let (ground, sums) = rest.split_at_mut(m);
    let mut u = vec![0.0; (m + 1) * nz];
    for (b, l) in plan.links.iter().enumerate() {
        if let Role::Coil(k) = l.role {
            if l.ua != l.ub {
                u[l.ua * nz + plan.nc + k] -= 1.0;
                u[l.ub * nz + plan.nc + k] += 1.0;
            }
            continue;
        }
        match slots[b] {
            Slot::Nowhere => continue,
            Slot::Ground(k) => ground[k] += g[b],
            Slot::Pair(at) => pairs[at] += g[b],
        }
        if l.driven {
            for (c, w) in plan.w(b).iter().enumerate() {
                let f = g[b] * w;
                u[l.ua * nz + c] -= f;
                u[l.ub * nz + c] += f;
            }
        }
        u[l.ua * nz + n] -= j[b];
        u[l.ub * nz + n] += j[b];
    }
    u[m * nz..].fill(0.0);
    let mut next_fill = fill.iter();
    for (at, &k) in order.iter().enumerate() {
        let range = start[at]..start[at + 1];
        let d = ground[k] + pairs[range.clone()].iter().sum::<f64>();
        sums[k] = d;
        for e in range.clone() {
            let (i, f) = (around[e], pairs[e] / d);
            ground[i] += f * ground[k];
            add_row(&mut u, nz, i, f, k);
            for (o, &to) in (e + 1..range.end).zip(&mut next_fill) {
                pairs[to] += f * pairs[o];
            }
        }
    }
    for (at, &k) in order.iter().enumerate().rev() {
        for e in start[at]..start[at + 1] {
            add_row(&mut u, nz, k, pairs[e], around[e]);
        }
        u[k * nz..(k + 1) * nz].iter_mut().for_each(|x| *x /= sums[k]);
    }
    u
}

/// Currents of stiff branches as a difference of nearly equal voltages carry rounding; along a forest of the
/// stiffest branches they follow from Kirchhoff's current law instead, and their voltages from the currents.
pub(super) fn stiff_currents(plan: &Plan, g: &[f64], j: &[f64], v: &mut [f64], i: &mut [f64]) {
    let (m, nz) = (plan.m, plan.nz);
    let joins = |b: usize| plan.links[b].ua != plan.links[b].ub;
    let mut stiff: Vec<usize> = (0..g.len()).filter(|&b| g[b] > STIFF && joins(b)).collect();
    if stiff.is_empty() {
        return;
    }
    stiff.sort_unstable_by(|&x, &y| g[y].total_cmp(&g[x]).then(x.cmp(&y)));
    let mut sets = Sets::new(m + 1);
    stiff.retain(|&b| sets.join(plan.links[b].ua, plan.links[b].ub));
    let mut degree = vec![0usize; m + 1];
    for &b in &stiff {
        degree[plan.links[b].ua] += 1;
        degree[plan.links[b].ub] += 1;
    }
    // Sum of the currents leaving each node through everything outside the forest.
    let mut leaving = vec![0.0; (m + 1) * nz];
    for (b, l) in plan.links.iter().enumerate() {
        let carries = matches!(l.role, Role::Ohmic(_) | Role::Switching(_) | Role::Coil(_));
        let beside = degree[l.ua] > 0 || degree[l.ub] > 0;
        if carries && joins(b) && beside && !(g[b] > STIFF && stiff.contains(&b)) {
            let i = &i[b * nz..(b + 1) * nz];
            leaving[l.ua * nz..(l.ua + 1) * nz].iter_mut().zip(i).for_each(|(x, i)| *x += i);
            leaving[l.ub * nz..(l.ub + 1) * nz].iter_mut().zip(i).for_each(|(x, i)| *x -= i);
        }
    }
    // Strip leaves (never the reference, whose own currents we do not sum).
    while let Some(at) = stiff.iter().position(|&b| {
        let l = &plan.links[b];
        (l.ua < m && degree[l.ua] == 1) || (l.ub < m && degree[l.ub] == 1)
    }) {
        let b = stiff.swap_remove(at);
        let l = &plan.links[b];
        let (leaf, rest, sign) = if l.ua < m && degree[l.ua] == 1 { (l.ua, l.ub, 1.0) } else { (l.ub, l.ua, -1.0) };
        for c in 0..nz {
            let out = leaving[leaf * nz + c];
            i[b * nz + c] = -sign * out;
            v[b * nz + c] = (i[b * nz + c] - if c == plan.n { j[b] } else { 0.0 }) / g[b];
            leaving[rest * nz + c] += out;
        }
        degree[leaf] -= 1;
        degree[rest] -= 1;
    }
}
