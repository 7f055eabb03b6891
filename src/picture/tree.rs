//! What lies in series between two nets, and what side by side.

use super::element::{Element, Shape};
use crate::format::NetId;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What lies between two nets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Tree {
    /// One element.
    One(usize),
    /// One after the other, each with the net before and behind it.
    Series(Vec<(Tree, NetId, NetId)>),
    /// Side by side.
    Parallel(Vec<Tree>),
    /// Neither: all of them.
    Knot(Vec<usize>),
}

impl Tree {
    /// Every element in it.
    pub(crate) fn all(&self) -> Vec<usize> {
        match self {
            Tree::One(e) => vec![*e],
            Tree::Series(list) => list.iter().flat_map(|(t, ..)| t.all()).collect(),
            Tree::Parallel(list) => list.iter().flat_map(Tree::all).collect(),
            Tree::Knot(list) => list.clone(),
        }
    }
}

/// Elements and the nets they join.
pub(crate) struct Graph<'a> {
    pub(crate) elements: &'a [Element],
    /// Nets that join nothing here: the protective earth is a rail of its own.
    pub(crate) apart: BTreeSet<NetId>,
}

/// Elements that hang together, and the nets round them at which they were cut off.
pub(crate) struct Piece {
    pub(crate) elements: Vec<usize>,
    pub(crate) at: BTreeSet<NetId>,
}

impl Graph<'_> {
    /// Nets of an element that it joins: an earth contact or a screen beside them joins nothing.
    pub(crate) fn nets(&self, e: usize) -> impl Iterator<Item = NetId> {
        let element = &self.elements[e];
        let joined = match element.shape {
            Shape::Pair(_) => 2,
            Shape::Transformer { secondaries, .. } => 2 + 2 * secondaries,
            Shape::Changeover | Shape::Matrix | Shape::Bridge | Shape::Module => element.ends.len(),
            Shape::Connector | Shape::Plug | Shape::Plate => 0,
        };
        element.ends.iter().take(joined).map(|end| end.net)
    }

    /// Pieces into which elements fall when they are cut at some nets.
    pub(crate) fn pieces(&self, of: &[usize], cuts: &BTreeSet<NetId>) -> Vec<Piece> {
        let mut at: BTreeMap<NetId, Vec<usize>> = BTreeMap::new();
        for e in of {
            self.nets(*e).for_each(|net| at.entry(net).or_default().push(*e));
        }
        let cut = |net: &NetId| cuts.contains(net) || self.apart.contains(net);
        let mut done: BTreeSet<usize> = BTreeSet::new();
        let mut pieces = vec![];
        for first in of {
            if !done.insert(*first) {
                continue;
            }
            let mut piece = Piece { elements: vec![], at: BTreeSet::new() };
            let mut todo = VecDeque::from([*first]);
            while let Some(e) = todo.pop_front() {
                piece.elements.push(e);
                for net in self.nets(e) {
                    if cut(&net) {
                        piece.at.insert(net);
                        continue;
                    }
                    todo.extend(at[&net].iter().copied().filter(|other| done.insert(*other)));
                }
            }
            pieces.push(piece);
        }
        pieces
    }

    /// What lies between two nets. What hangs on one of them only, or on a net between, is left out.
    pub(crate) fn tree(&self, of: &[usize], a: NetId, b: NetId) -> Tree {
        if let [one] = of {
            return Tree::One(*one);
        }
        let ends = BTreeSet::from([a, b]);
        let mut pieces = self.pieces(of, &ends);
        pieces.retain(|p| p.at.contains(&a) && p.at.contains(&b));
        match pieces.as_slice() {
            [] => Tree::Knot(of.to_vec()),
            [whole] => self.chain(&whole.elements, a, b),
            several => Tree::Parallel(several.iter().map(|p| self.tree(&p.elements, a, b)).collect()),
        }
    }

    fn chain(&self, of: &[usize], a: NetId, b: NetId) -> Tree {
        if let [one] = of {
            return Tree::One(*one);
        }
        let between: Vec<NetId> = {
            let from = self.steps(of, a, None);
            let nets: BTreeSet<NetId> = of.iter().flat_map(|e| self.nets(*e)).collect();
            let mut cuts: Vec<NetId> = nets
                .into_iter()
                .filter(|n| *n != a && *n != b && !self.apart.contains(n))
                .filter(|n| !self.steps(of, a, Some(*n)).contains_key(&b))
                .collect();
            cuts.sort_by_key(|n| from.get(n).copied().unwrap_or(usize::MAX));
            cuts
        };
        if between.is_empty() {
            return Tree::Knot(of.to_vec());
        }
        let stops: Vec<NetId> = std::iter::once(a).chain(between).chain([b]).collect();
        let cuts: BTreeSet<NetId> = stops.iter().copied().collect();
        let pieces = self.pieces(of, &cuts);
        let mut list = vec![];
        for pair in stops.windows(2) {
            let [from, to] = [pair[0], pair[1]];
            let mine = pieces.iter().filter(|p| p.at.contains(&from) && p.at.contains(&to));
            let inside: Vec<usize> = mine.flat_map(|p| p.elements.iter().copied()).collect();
            list.push((self.tree(&inside, from, to), from, to));
        }
        Tree::Series(list)
    }

    /// How many elements away from a net each other net is, with one net taken out.
    fn steps(&self, of: &[usize], from: NetId, without: Option<NetId>) -> BTreeMap<NetId, usize> {
        let mut steps = BTreeMap::from([(from, 0)]);
        let mut todo = VecDeque::from([from]);
        let mut used: BTreeSet<usize> = BTreeSet::new();
        let mut at: BTreeMap<NetId, Vec<usize>> = BTreeMap::new();
        for e in of {
            self.nets(*e).for_each(|net| at.entry(net).or_default().push(*e));
        }
        while let Some(net) = todo.pop_front() {
            let next = steps[&net] + 1;
            for e in at.get(&net).into_iter().flatten() {
                if !used.insert(*e) {
                    continue;
                }
                for far in self.nets(*e) {
                    if Some(far) != without && !self.apart.contains(&far) && !steps.contains_key(&far) {
                        steps.insert(far, next);
                        todo.push_back(far);
                    }
                }
            }
        }
        steps
    }

    /// Elements in the order in which one meets them from some nets on.
    pub(crate) fn met_from(&self, of: &[usize], from: &[NetId]) -> Vec<usize> {
        let mut left: Vec<usize> = of.to_vec();
        let mut nets: BTreeSet<NetId> = from.iter().copied().collect();
        let mut out = vec![];
        while !left.is_empty() {
            let (next, rest): (Vec<usize>, Vec<usize>) =
                left.iter().partition(|e| self.nets(**e).any(|n| nets.contains(&n) && !self.apart.contains(&n)));
            let (next, rest) = if next.is_empty() { (left, vec![]) } else { (next, rest) };
            next.iter().for_each(|e| nets.extend(self.nets(*e)));
            out.extend(next);
            left = rest;
        }
        out
    }
}
