//! What is joined hard while the switches stand somewhere: contacts of one switch that are closed in different positions
//! never join anything at once.

use super::{Edge, Groups, NetSet, Nets};
use crate::format::NetId;
use crate::part::Link;

/// Most combinations of positions that are told apart; past them every contact counts as closed.
const MOST: usize = 256;

impl Nets {
    /// Where the switches may stand with something closed in each: position of each, in the order of the file. `None` past
    /// what is told apart.
    pub(crate) fn standings(&self) -> Option<Vec<Vec<usize>>> {
        let mut all = vec![vec![]];
        for switch in &self.switches {
            let contacts = self.edges().iter().filter(|e| e.part() == Some(*switch)).filter_map(|e| {
                let Link::Contact(closed) = &e.link else { return None };
                Some(closed)
            });
            let contacts: Vec<&Vec<bool>> = contacts.collect();
            let positions = contacts.iter().map(|c| c.len()).max().unwrap_or(1);
            let closes = |p: &usize| contacts.iter().any(|c| c.get(*p) == Some(&true));
            let mut stands: Vec<usize> = (0..positions).filter(closes).collect();
            if stands.is_empty() {
                stands.push(0);
            }
            if all.len() * stands.len() > MOST {
                return None;
            }
            all = all.iter().flat_map(|done| stands.iter().map(|p| [&done[..], &[*p]].concat())).collect();
        }
        Some(all)
    }

    /// Nets joined to `net` by nothing that limits a current, in some standing of the switches.
    pub(crate) fn hard_joined(&self, net: NetId) -> NetSet {
        let from = [net];
        let Some(standings) = self.standings() else { return self.walk(&from, &Edge::is_hard).reached() };
        let none = NetSet::none(self.count());
        standings.iter().fold(none, |all, at| {
            let pass = |e: &Edge| e.is_hard() && self.is_closed(e, at);
            all.or(&self.walk(&from, &pass).reached())
        })
    }

    /// Nets in groups that are joined by nothing that limits a current: one for every standing of the switches.
    pub(crate) fn hard_groups(&self) -> Vec<Groups> {
        match self.standings() {
            Some(all) => all.iter().map(|at| self.groups(&|e: &Edge| e.is_hard() && self.is_closed(e, at))).collect(),
            None => vec![self.groups(&Edge::is_hard)],
        }
    }
}
