//! A value for each kind of condition.

use std::ops::{Index, IndexMut};

use super::gravest::{Graded, Gravest};
use crate::finding::Situation;

/// A value for each kind.
#[derive(Debug, Clone, Default)]
pub(crate) struct PerKind<T>([T; 3]);

impl<T> Index<Situation> for PerKind<T> {
    type Output = T;

    fn index(&self, kind: Situation) -> &T {
        &self.0[place(kind)]
    }
}

impl<T> IndexMut<Situation> for PerKind<T> {
    fn index_mut(&mut self, kind: Situation) -> &mut T {
        &mut self.0[place(kind)]
    }
}

fn place(kind: Situation) -> usize {
    match kind {
        Situation::Normal => 0,
        Situation::SingleFault => 1,
        Situation::Transient => 2,
    }
}

impl<T: Graded> PerKind<Gravest<T>> {
    /// Takes what another one holds.
    pub(super) fn merge(&mut self, other: Self) {
        self.0.iter_mut().zip(other.0).for_each(|(mine, theirs)| mine.merge(theirs));
    }
}

/// A value without and one with a fault, of what lasts or belongs to no kind.
#[derive(Debug, Clone, Default)]
pub(crate) struct ByFault<T> {
    without: T,
    with: T,
}

impl<T> Index<Situation> for ByFault<T> {
    type Output = T;

    fn index(&self, kind: Situation) -> &T {
        if kind == Situation::Normal { &self.without } else { &self.with }
    }
}

impl<T> IndexMut<Situation> for ByFault<T> {
    fn index_mut(&mut self, kind: Situation) -> &mut T {
        if kind == Situation::Normal { &mut self.without } else { &mut self.with }
    }
}

impl<T: Graded> ByFault<Gravest<T>> {
    /// Takes what another one holds.
    pub(super) fn merge(&mut self, other: Self) {
        self.without.merge(other.without);
        self.with.merge(other.with);
    }
}
