//! Nets by number. Net 0 is `L`, net 1 is `N`, net 2 is `PE`, whether a file mentions them or not.

use super::place::Place;

/// Index into [`Jig::nets`].
pub(crate) type NetId = usize;
/// The plug's L pin as wired.
pub(crate) const NET_L: NetId = 0;
/// The plug's N pin as wired.
pub(crate) const NET_N: NetId = 1;
/// The protective earth pin.
pub(crate) const NET_PE: NetId = 2;

/// Two ends of a part.
pub(crate) type Ends = [NetId; 2];

/// A net.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Net {
    /// Its name.
    pub name: String,
    /// First mention (1:1 for L, N, PE never mentioned).
    pub place: Place,
    /// Ends of parts, outlets and touchables that name it.
    pub ends: usize,
}

/// One side of an insulation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// `"mains"`: every net conductively joined to L or N in any switch position.
    Mains,
    /// One net.
    Net(NetId),
}
