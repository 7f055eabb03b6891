//! Names of what a finding is about.

use crate::checks::Case;
use crate::jig::NetId;
use crate::nets::Edge;

/// Names without doubles, in order.
pub(crate) fn once(names: impl IntoIterator<Item = String>) -> Vec<String> {
    let mut out: Vec<String> = vec![];
    for name in names {
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out
}

/// What edges belong to, each once.
pub(crate) fn of_edges<'e>(case: &Case, edges: impl Iterator<Item = &'e Edge>) -> Vec<String> {
    once(edges.map(|edge| edge.name(case.jig).to_string()))
}

/// The names of nets.
pub(crate) fn of_nets(case: &Case, nets: impl IntoIterator<Item = NetId>) -> Vec<String> {
    nets.into_iter().map(|net| case.net(net).to_string()).collect()
}
