//! A value for each kind of condition.

use std::ops::{Index, IndexMut};

use super::gravest::{Graded, Gravest};
use crate::finding::Kind;

/// A value for each kind.
#[derive(Debug, Clone, Default)]
pub(crate) struct PerKind<T>([T; 3]);

impl<T> Index<Kind> for PerKind<T> {
    type Output = T;

    fn index(&self, kind: Kind) -> &T {
        &self.0[place(kind)]
    }
}

impl<T> IndexMut<Kind> for PerKind<T> {
    fn index_mut(&mut self, kind: Kind) -> &mut T {
        &mut self.0[place(kind)]
    }
}

fn place(kind: Kind) -> usize {
    match kind {
        Kind::Normal => 0,
        Kind::SingleFault => 1,
        Kind::Transient => 2,
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

impl<T> Index<Kind> for ByFault<T> {
    type Output = T;

    fn index(&self, kind: Kind) -> &T {
        if kind == Kind::Normal { &self.without } else { &self.with }
    }
}

impl<T> IndexMut<Kind> for ByFault<T> {
    fn index_mut(&mut self, kind: Kind) -> &mut T {
        if kind == Kind::Normal { &mut self.without } else { &mut self.with }
    }
}

impl<T: Graded> ByFault<Gravest<T>> {
    /// Takes what another one holds.
    pub(super) fn merge(&mut self, other: Self) {
        self.without.merge(other.without);
        self.with.merge(other.with);
    }
}
