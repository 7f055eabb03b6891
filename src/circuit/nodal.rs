//! Kirchhoff's current law at the supernodes, its numbers put in once per mode. This file knows conductances, offsets
//! and coil currents, nothing of switching devices or guards.

use super::elimination::{Elimination, Slot};
use super::forest::Role;
use super::plan::Plan;
use super::sets::Sets;

/// Conductance, in siemens, from which a branch's current is taken from Kirchhoff's law and not from its voltage.
/// A potential of some hundred volts is rounded at about 1e-13 V; times the conductance that is noise in the current,
/// which a milliohm would raise to 1e-10 A while a branch beside it may carry less.
pub(super) const STIFF: f64 = 0.5;

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
    let (m, n, nz) = (plan.supernodes, plan.n, plan.nz);
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
    let (m, nz) = (plan.supernodes, plan.nz);
    let mut stiff = stiff_forest(plan, g);
    if stiff.is_empty() {
        return;
    }
    let mut degree = vec![0usize; m + 1];
    for &b in &stiff {
        degree[plan.links[b].ua] += 1;
        degree[plan.links[b].ub] += 1;
    }
    // Sum of the currents leaving each node through everything outside the forest.
    let mut leaving = vec![0.0; (m + 1) * nz];
    for (b, l) in plan.links.iter().enumerate() {
        let carries = matches!(l.role, Role::Ohmic(_) | Role::Switching(_) | Role::Coil(_)) && l.ua != l.ub;
        let beside = degree[l.ua] > 0 || degree[l.ub] > 0;
        if carries && beside && !(g[b] > STIFF && stiff.contains(&b)) {
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

/// The stiff branches that make no loop among themselves, the stiffest first.
fn stiff_forest(plan: &Plan, g: &[f64]) -> Vec<usize> {
    let joins = |b: usize| plan.links[b].ua != plan.links[b].ub;
    let mut stiff: Vec<usize> = (0..g.len()).filter(|&b| g[b] > STIFF && joins(b)).collect();
    if !stiff.is_empty() {
        stiff.sort_unstable_by(|&x, &y| g[y].total_cmp(&g[x]).then(x.cmp(&y)));
        let mut sets = Sets::new(plan.supernodes + 1);
        stiff.retain(|&b| sets.join(plan.links[b].ua, plan.links[b].ub));
    }
    stiff
}
