//! Disjoint sets: which nodes hang together.

/// Disjoint sets of the numbers below `n`; each set is named by its smallest member.
pub(super) struct Sets(Vec<usize>);

impl Sets {
    /// Every number a set of its own.
    pub(super) fn new(n: usize) -> Self {
        Sets((0..n).collect())
    }
    /// The smallest member of the set of `i`.
    pub(super) fn find(&mut self, mut i: usize) -> usize {
        while self.0[i] != i {
            self.0[i] = self.0[self.0[i]];
            i = self.0[i];
        }
        i
    }
    /// Joins two sets; `false` when they were one already.
    pub(super) fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.find(a), self.find(b));
        if a == b {
            return false;
        }
        self.0[a.max(b)] = a.min(b);
        true
    }
}
