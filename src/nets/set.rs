//! Sets of nets.

use crate::format::NetId;

/// A set of the nets of one jig.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct NetSet(Vec<bool>);

impl NetSet {
    /// None of so many nets.
    pub(crate) fn none(nets: usize) -> NetSet {
        NetSet(vec![false; nets])
    }

    /// The nets of `0..nets` that fit.
    pub(crate) fn of(nets: usize, fits: impl Fn(NetId) -> bool) -> NetSet {
        NetSet((0..nets).map(fits).collect())
    }

    /// Whether a net is in it.
    pub(crate) fn has(&self, net: NetId) -> bool {
        self.0.get(net).copied().unwrap_or(false)
    }

    /// Whether both nets are in it.
    pub(crate) fn has_all(&self, nets: &[NetId]) -> bool {
        nets.iter().all(|net| self.has(*net))
    }

    /// Whether one of the nets is in it.
    pub(crate) fn has_any(&self, nets: &[NetId]) -> bool {
        nets.iter().any(|net| self.has(*net))
    }

    /// Puts a net in.
    pub(crate) fn insert(&mut self, net: NetId) {
        if let Some(slot) = self.0.get_mut(net) {
            *slot = true;
        }
    }

    /// Its nets, by rising number.
    pub(crate) fn iter(&self) -> impl Iterator<Item = NetId> + '_ {
        self.0.iter().enumerate().filter_map(|(net, in_it)| in_it.then_some(net))
    }

    /// Whether there is none in it.
    pub(crate) fn is_empty(&self) -> bool {
        self.iter().next().is_none()
    }

    /// Whether some net is in both.
    pub(crate) fn meets(&self, other: &NetSet) -> bool {
        self.iter().any(|net| other.has(net))
    }

    /// The nets of either.
    #[must_use]
    pub(crate) fn or(&self, other: &NetSet) -> NetSet {
        NetSet::of(self.0.len(), |net| self.has(net) || other.has(net))
    }
}
