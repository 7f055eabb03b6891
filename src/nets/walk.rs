//! The walk that every question about nets is answered by: from nets through edges, carrying a value along.

use std::collections::VecDeque;

use super::{Edge, NetSet, Nets};
use crate::format::NetId;

/// Which edges a walk goes through.
pub(crate) type Pass<'p> = &'p dyn Fn(&Edge) -> bool;

/// A walk from some nets, through the edges that pass.
#[derive(Clone, Copy)]
pub(crate) struct Walk<'n> {
    nets: &'n Nets,
    from: &'n [NetId],
    pass: Pass<'n>,
    ending_at: Option<&'n NetSet>,
    round: Option<&'n NetSet>,
}

impl<'n> Walk<'n> {
    /// A walk from `from` through what passes.
    pub(super) fn new(nets: &'n Nets, from: &'n [NetId], pass: Pass<'n>) -> Walk<'n> {
        Walk { nets, from, pass, ending_at: None, round: None }
    }

    /// It reaches these nets and goes no further, unless it starts there.
    #[must_use]
    pub(crate) fn ending_at(self, nets: &'n NetSet) -> Walk<'n> {
        Walk { ending_at: Some(nets), ..self }
    }

    /// It goes round these nets: no edge that ends on one of them is walked.
    #[must_use]
    pub(crate) fn round(self, nets: &'n NetSet) -> Walk<'n> {
        Walk { round: Some(nets), ..self }
    }

    /// The nets it reaches, those it starts from among them.
    pub(crate) fn reached(&self) -> NetSet {
        let found = self.best((), &|(), _| (), &|(), ()| ());
        NetSet::of(found.len(), |net| found[net].is_some())
    }

    /// For each net the best value that arrives there, `None` where no way leads. A walk starts with `start`; `along`
    /// gives the value behind an edge, `better` the better of two. A way through more edges must never be better.
    pub(crate) fn best<T: Copy + PartialEq>(
        &self,
        start: T,
        along: &dyn Fn(T, &Edge) -> T,
        better: &dyn Fn(T, T) -> T,
    ) -> Vec<Option<T>> {
        let mut best: Vec<Option<T>> = vec![None; self.nets.count()];
        self.from.iter().for_each(|net| best[*net] = Some(start));
        let mut todo: VecDeque<NetId> = self.from.iter().copied().collect();
        while let Some(net) = todo.pop_front() {
            let ends = self.ending_at.is_some_and(|set| set.has(net)) && !self.from.contains(&net);
            let Some(here) = best[net].filter(|_| !ends) else { continue };
            for edge in self.nets.edges_at(net).filter(|edge| self.walks(edge)) {
                let Some(far) = edge.other(net) else { continue };
                let arriving = along(here, edge);
                let value = Some(best[far].map_or(arriving, |known| better(known, arriving)));
                if best[far] != value {
                    best[far] = value;
                    todo.push_back(far);
                }
            }
        }
        best
    }

    /// The edges of a shortest way to a net, the last one first; `None` where no way leads there.
    pub(crate) fn way(&self, to: NetId) -> Option<Vec<&'n Edge>> {
        let steps = self.best(0usize, &|steps, _| steps + 1, &usize::min);
        let (mut at, mut left) = (to, steps[to]?);
        let mut way = vec![];
        while left > 0 {
            let back = |edge: &&Edge| edge.other(at).is_some_and(|near| steps[near] == Some(left - 1));
            let edge = self.nets.edges_at(at).filter(|edge| self.walks(edge)).find(back)?;
            way.push(edge);
            (at, left) = (edge.other(at)?, left - 1);
        }
        Some(way)
    }

    fn walks(&self, edge: &Edge) -> bool {
        (self.pass)(edge) && !self.round.is_some_and(|set| set.has_any(&edge.ends))
    }
}

/// Nets in groups: those of one group are joined.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Groups(Vec<usize>);

impl Groups {
    /// Groups by the edges that pass.
    pub(super) fn new(nets: &Nets, pass: Pass) -> Groups {
        let mut group = vec![None; nets.count()];
        for net in 0..nets.count() {
            if group[net].is_none() {
                let joined = Walk::new(nets, &[net], pass).reached();
                joined.iter().for_each(|member| group[member] = Some(net));
            }
        }
        Groups(group.into_iter().enumerate().map(|(net, group)| group.unwrap_or(net)).collect())
    }

    /// Whether two nets are of one group.
    pub(crate) fn same(&self, a: NetId, b: NetId) -> bool {
        self.0[a] == self.0[b]
    }
}
