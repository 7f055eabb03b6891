//! The order in which Kirchhoff's equations are solved, worked out once per circuit: which conductance meets which.

use super::forest::Link;

/// Where the conductance of a link goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Slot {
    /// It joins nothing (no conductor, or both ends on one supernode).
    Nowhere,
    /// Between this supernode and the reference.
    Ground(usize),
    /// Between two supernodes: index into the packed conductances.
    Pair(usize),
}

/// Elimination of the nodal matrix: the order of the supernodes, and a slot for every conductance that is there or
/// arises on the way, so that a mode touches only those.
#[derive(Debug, Clone)]
pub(super) struct Elimination {
    /// Supernodes, the one with the fewest neighbours left first: lamps on one feeder then leave nothing behind.
    pub order: Vec<usize>,
    /// The neighbours of `order[k]` when it goes are `around[start[k]..start[k + 1]]`.
    pub start: Vec<usize>,
    /// Supernodes, see `start`.
    pub around: Vec<usize>,
    /// For each k, the packed index of every pair of those neighbours, in the order the pairs are met.
    pub fill: Vec<usize>,
    /// One a link.
    pub slots: Vec<Slot>,
}

/// Bits of a word of [`Joined`].
const BITS: usize = u64::BITS as usize;

/// Rows of bits, one a supernode: who is joined to whom.
struct Joined {
    bits: Vec<u64>,
    words: usize,
}

impl Joined {
    fn new(m: usize) -> Self {
        let words = m.div_ceil(BITS);
        Joined { bits: vec![0; m * words], words }
    }
    fn row(&self, i: usize) -> &[u64] {
        &self.bits[i * self.words..(i + 1) * self.words]
    }
    fn set(&mut self, i: usize, j: usize) {
        self.bits[i * self.words + j / BITS] |= 1 << (j % BITS);
    }
    fn degree(&self, i: usize) -> usize {
        self.row(i).iter().map(|w| w.count_ones() as usize).sum()
    }
    /// Appends the members of row `i`.
    fn members(&self, i: usize, out: &mut Vec<usize>) {
        for (at, &word) in self.row(i).iter().enumerate() {
            let mut left = word;
            while left != 0 {
                out.push(at * BITS + left.trailing_zeros() as usize);
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
            self.bits[i * self.words + gone / BITS] &= !(1 << (gone % BITS));
        }
    }
}

impl Elimination {
    /// Plans it for `m` supernodes other than the reference (which has index `m`).
    pub(super) fn new(links: &[Link], m: usize) -> Self {
        let (order, start, around) = fewest_neighbours_first(links, m);
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
        let slot = |l: &Link| match (l.conducts(), l.ua == m || l.ub == m) {
            (false, _) => Slot::Nowhere,
            (true, true) => Slot::Ground(l.ua.min(l.ub)),
            (true, false) => Slot::Pair(pair(l.ua, l.ub)),
        };
        let slots = links.iter().map(slot).collect();
        Elimination { order, start, around, fill, slots }
    }
}

/// `order`, `start` and `around` of an [`Elimination`]: each supernode that goes leaves its neighbours joined.
fn fewest_neighbours_first(links: &[Link], m: usize) -> (Vec<usize>, Vec<usize>, Vec<usize>) {
    let mut joined = Joined::new(m);
    for l in links.iter().filter(|l| l.conducts() && l.ua < m && l.ub < m) {
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
    (order, start, around)
}
