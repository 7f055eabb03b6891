//! In which column and row each symbol stands: a ladder whose upper rail is live and whose lower is neutral. What lies in a
//! rail lies along it, what lies between them stands upright, what feeds a second circuit hands its rails on. Where a ladder is
//! as wide as a sheet, the next one goes on below it.

use super::block::{BETWEEN_PINS, Block, along, upright};
use super::element::{Element, Glyph, Shape};
use super::shelf::{Room, Row, Shelf};
use super::symbol::Side;
use super::tree::{Graph, Tree};
use crate::format::NetId;
use std::collections::BTreeSet;

/// What is taken between the rails as one rung: so many elements above each other, and so many beside.
const HIGHEST: usize = 3;
const BROADEST: usize = 4;
/// Of this rank and above something is what the tool is there for, and stands at the end.
const PURPOSE: u8 = 9;

/// Everything in its place.
pub(super) struct Ladder<'a> {
    graph: Graph<'a>,
    room: Room,
    placed: BTreeSet<usize>,
    shelves: Vec<Shelf>,
}

/// A row of trees, each with the net before and behind it.
type Chain = [(Tree, NetId, NetId)];

/// Ladders of the elements, and what lies on the row of the earth. `feed` is the pair of nets that everything is fed from,
/// `earth` the net that is a rail of its own.
pub(super) fn ladders(elements: &[Element], feed: [NetId; 2], earth: NetId, room: Room) -> (Vec<Shelf>, Vec<Block>) {
    let graph = Graph { elements, apart: BTreeSet::from([earth]) };
    let mut ladder = Ladder { graph, room, placed: BTreeSet::new(), shelves: vec![Shelf::default()] };
    let all: Vec<usize> = (0..elements.len()).filter(|e| elements[*e].conducts()).collect();
    let earthed = ladder.earthed(&all, feed, earth);
    ladder.placed.extend(&earthed);
    ladder.connectors(true);
    ladder.sweep(feed, &all);
    ladder.islands(&all);
    ladder.connectors(false);
    let met = ladder.graph.met_from(&earthed, &[]);
    let mut seen = BTreeSet::from([earth]);
    let row = met.iter().map(|e| {
        let first = first_seen(&elements[*e], &seen);
        seen.extend(ladder.graph.nets(*e));
        along(elements, &Tree::One(*e), first, Side::Above)
    });
    let row = row.collect();
    (ladder.shelves, row)
}

/// The net by which one comes to an element: one that was met, else its first.
fn first_seen(element: &Element, seen: &BTreeSet<NetId>) -> NetId {
    let met = element.ends.iter().take(2).find(|e| seen.contains(&e.net));
    met.or(element.ends.first()).map_or(0, |e| e.net)
}

impl Ladder<'_> {
    fn left(&self, of: &[usize]) -> Vec<usize> {
        of.iter().copied().filter(|e| !self.placed.contains(e)).collect()
    }

    fn rank(&self, of: &[usize]) -> u8 {
        of.iter().map(|e| self.graph.elements[*e].rank).max().unwrap_or(0)
    }

    /// What hangs on the earth and on nothing else, that which ends on it first.
    fn earthed(&self, all: &[usize], feed: [NetId; 2], earth: NetId) -> Vec<usize> {
        let pieces = self.graph.pieces(all, &BTreeSet::from(feed));
        let on_earth = pieces.into_iter().filter(|p| p.at.iter().eq([&earth]));
        let mut earthed: Vec<usize> = on_earth.flat_map(|p| p.elements).collect();
        earthed.sort_by_key(|e| (!self.graph.nets(*e).any(|n| n == earth), *e));
        earthed
    }

    /// What hangs together with none of the rails so far.
    fn islands(&mut self, all: &[usize]) {
        while let Some(first) = self.left(all).first().copied() {
            let left = self.left(all);
            let pieces = self.graph.pieces(&left, &BTreeSet::new());
            let Some(piece) = pieces.into_iter().find(|p| p.elements.contains(&first)) else { return };
            // What feeds the most comes first.
            let source = piece.elements.iter().copied().max_by_key(|e| (self.graph.elements[*e].rank, usize::MAX - e));
            let nets: Vec<NetId> = source.map_or(vec![], |e| self.graph.nets(e).collect());
            if let [a, b, ..] = nets[..] {
                self.sweep([a, b], &piece.elements);
            }
            self.spread(&piece.elements, &nets);
        }
    }

    /// Goes from a pair of rails on to everything that hangs on them.
    fn sweep(&mut self, rails: [NetId; 2], of: &[usize]) {
        let left = self.left(of);
        let cuts = BTreeSet::from(rails);
        let mut pieces = self.graph.pieces(&left, &cuts);
        pieces.retain(|p| p.at.iter().any(|n| cuts.contains(n)));
        let (through, hanging): (Vec<_>, Vec<_>) =
            pieces.into_iter().partition(|p| cuts.len() == 2 && cuts.iter().all(|n| p.at.contains(n)));
        hanging.iter().for_each(|piece| self.hang(&piece.elements, rails));
        let tree = |p: super::tree::Piece| (self.graph.tree(&p.elements, rails[0], rails[1]), p.elements);
        let mut trees: Vec<(Tree, Vec<usize>)> = through.into_iter().map(tree).collect();
        trees.sort_by_key(|(t, all)| {
            let rank = self.rank(&t.all());
            (!self.is_rung(t), rank >= PURPOSE, all.len(), rank)
        });
        let Some((main, whole)) = trees.pop() else { return };
        let mut apart = vec![];
        for (tree, all) in trees {
            if self.is_rung(&tree) { self.rung(&tree, rails, &all) } else { apart.push(all) }
        }
        self.go_on(&main, &whole, rails);
        for all in apart {
            self.next_shelf();
            self.sweep(rails, &all);
            self.spread(&all, &rails);
        }
    }

    /// The last and largest of what lies between two rails.
    fn go_on(&mut self, main: &Tree, whole: &[usize], rails: [NetId; 2]) {
        match main {
            Tree::Series(list) if self.height(main) >= HIGHEST || !self.is_rung(main) => {
                let body = self.body(list);
                let met = self.along_rails(list, body);
                met.into_iter().for_each(|net| self.hang_on(net, whole));
                self.sweep([list[body].1, list[body].2], whole);
            }
            Tree::Knot(list) => self.knot(list, whole, rails),
            Tree::One(e) if self.graph.elements[*e].hands_on() => self.knot(&[*e], whole, rails),
            Tree::One(_) | Tree::Series(_) | Tree::Parallel(_) => self.rung(main, rails, whole),
        }
        self.spread(whole, &rails);
    }

    /// What is neither in series nor side by side: what hands the rails on, or all of it column by column.
    fn knot(&mut self, list: &[usize], whole: &[usize], rails: [NetId; 2]) {
        let elements = self.graph.elements;
        let is_fed = |e: &&usize| {
            let ends = &elements[**e].ends;
            elements[**e].hands_on()
                && ends[0].net != ends[1].net
                && rails.iter().all(|r| ends[..2].iter().any(|e| e.net == *r))
        };
        let Some(e) = list.iter().find(is_fed).copied() else { return };
        self.rung(&Tree::One(e), rails, &[e]);
        let outs: Vec<NetId> = self.graph.nets(e).skip(2).collect();
        for out in outs.chunks_exact(2) {
            self.sweep([out[0], out[1]], whole);
        }
    }

    /// Whether it may stand between the rails as it is.
    fn is_rung(&self, tree: &Tree) -> bool {
        self.height(tree) <= HIGHEST && self.breadth(tree) <= BROADEST
    }

    /// Elements above each other.
    fn height(&self, tree: &Tree) -> usize {
        match tree {
            Tree::One(e) if self.graph.elements[*e].hands_on() => HIGHEST + 1,
            Tree::One(_) => 1,
            Tree::Series(list) => list.iter().map(|(t, ..)| self.height(t)).sum(),
            Tree::Parallel(list) => list.iter().map(|t| self.height(t)).max().unwrap_or(0),
            Tree::Knot(_) => HIGHEST + 1,
        }
    }

    /// Elements beside each other.
    fn breadth(&self, tree: &Tree) -> usize {
        match tree {
            Tree::One(_) => 1,
            Tree::Series(list) => list.iter().map(|(t, ..)| self.breadth(t)).max().unwrap_or(0),
            Tree::Parallel(list) => list.iter().map(|t| self.breadth(t)).sum(),
            Tree::Knot(list) => list.len(),
        }
    }

    /// The place in a row of what the row is there for.
    fn body(&self, list: &Chain) -> usize {
        let rank = |k: &usize| self.rank(&list[*k].0.all());
        let most = (0..list.len()).map(|k| rank(&k)).max().unwrap_or(0);
        let best: Vec<usize> = (0..list.len()).filter(|k| rank(k) == most).collect();
        best[best.len() / 2]
    }

    /// Lays what comes before the body along the upper rail, what comes after it along the lower one. Poles of one switch stand
    /// above each other. Gives the nets between.
    fn along_rails(&mut self, list: &Chain, body: usize) -> Vec<NetId> {
        let mut lower: Vec<&(Tree, NetId, NetId)> = list[body + 1..].iter().rev().collect();
        for (tree, from, _) in &list[..body] {
            let partner = lower.iter().position(|(other, ..)| self.are_poles(tree, other));
            if let Some(k) = partner {
                for (before, _, to) in lower.drain(..k) {
                    self.on_rail(before, *to, Row::Lower);
                }
                self.last().level();
                let both = BETWEEN_PINS + along(self.graph.elements, tree, *from, Side::Above).reach.right;
                self.make_room(both);
                self.on_rail(tree, *from, Row::Upper);
                let (pole, _, to) = lower.remove(0);
                self.on_rail(pole, *to, Row::Lower);
            } else {
                self.on_rail(tree, *from, Row::Upper);
            }
        }
        for (tree, _, to) in lower {
            self.on_rail(tree, *to, Row::Lower);
        }
        list[..list.len() - 1]
            .iter()
            .enumerate()
            .filter(|(k, _)| *k + 1 != body && *k != body)
            .map(|(_, l)| l.2)
            .collect()
    }

    fn are_poles(&self, a: &Tree, b: &Tree) -> bool {
        let (Tree::One(a), Tree::One(b)) = (a, b) else { return false };
        let [a, b] = [a, b].map(|e| &self.graph.elements[*e]);
        let contact = Shape::Pair(Glyph::Contact);
        a.pole.is_some() && a.owner == b.owner && a.shape == contact && b.shape == contact
    }

    /// What hangs on a net and on nothing else but the earth.
    fn hang_on(&mut self, net: NetId, of: &[usize]) {
        let left = self.left(of);
        let all: BTreeSet<NetId> = left.iter().flat_map(|e| self.graph.nets(*e)).collect();
        let pieces = self.graph.pieces(&left, &all);
        let apart = self.graph.apart.clone();
        let mine =
            pieces.into_iter().filter(|p| p.at.contains(&net) && p.at.iter().all(|n| *n == net || apart.contains(n)));
        mine.collect::<Vec<_>>().iter().for_each(|p| self.hang(&p.elements, [net, net]));
    }

    /// What hangs on one rail only.
    fn hang(&mut self, piece: &[usize], rails: [NetId; 2]) {
        let rails = if rails[0] == rails[1] { &rails[..1] } else { &rails[..] };
        self.spread(piece, rails);
    }

    /// Everything that is left of some elements, column by column in the order in which one meets it; what leads to the earth
    /// below the ladder.
    fn spread(&mut self, of: &[usize], from: &[NetId]) {
        let left = self.left(of);
        let mut seen: BTreeSet<NetId> = from.iter().copied().collect();
        for e in self.graph.met_from(&left, from) {
            let first = first_seen(&self.graph.elements[e], &seen);
            seen.extend(self.graph.nets(e));
            let to_earth = self.graph.nets(e).any(|n| self.graph.apart.contains(&n));
            let block = upright(self.graph.elements, &Tree::One(e), first);
            self.put(block, if to_earth { Row::Earthed } else { Row::Between });
        }
    }

    fn rung(&mut self, tree: &Tree, rails: [NetId; 2], whole: &[usize]) {
        let block = upright(self.graph.elements, tree, rails[0]);
        self.put(block, Row::Between);
        self.spread(whole, &rails);
    }

    fn on_rail(&mut self, tree: &Tree, from: NetId, row: Row) {
        let side = if row == Row::Lower { Side::Below } else { Side::Above };
        let block = along(self.graph.elements, tree, from, side);
        self.put(block, row);
    }

    /// Connectors: the inlet at the beginning, the others at the end.
    fn connectors(&mut self, inlet: bool) {
        for e in 0..self.graph.elements.len() {
            let element = &self.graph.elements[e];
            if element.shape == Shape::Connector && element.is_inlet == inlet {
                let block = upright(self.graph.elements, &Tree::One(e), 0);
                self.put(block, Row::Between);
            }
        }
    }

    fn put(&mut self, block: Block, row: Row) {
        self.placed.extend(block.elements());
        self.make_room(block.reach.left + block.reach.right);
        let room = self.room;
        self.last().put(block, row, room);
    }

    fn make_room(&mut self, wide: i32) {
        if self.last().end() + wide > self.room.broadest {
            self.next_shelf();
        }
    }

    fn last(&mut self) -> &mut Shelf {
        if self.shelves.is_empty() {
            self.shelves.push(Shelf::default());
        }
        let k = self.shelves.len() - 1;
        &mut self.shelves[k]
    }

    /// Begins a ladder below, unless this one is empty.
    fn next_shelf(&mut self) {
        if !self.last().is_empty() {
            self.shelves.push(Shelf::default());
        }
    }
}
