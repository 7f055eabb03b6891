//! Edges: every two nets that a part, or what is plugged into an outlet, joins.

use crate::format::{Ends, NetId};
use crate::jig::Jig;
use crate::part::Link;

/// What an edge belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Owner {
    /// A part, by its place in [`Jig::parts`].
    Part(usize),
    /// An outlet, by its place in [`Jig::outlets`].
    Outlet(usize),
}

/// Two nets that something joins.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Edge {
    /// The two nets.
    pub ends: Ends,
    /// What joins them. What is plugged into an outlet counts as a load.
    pub link: Link,
    /// Whose it is.
    pub owner: Owner,
}

impl Edge {
    /// The end that is not `net`, when `net` is one of its ends.
    pub(crate) fn other(&self, net: NetId) -> Option<NetId> {
        match self.ends {
            [a, b] if a == net => Some(b),
            [a, b] if b == net => Some(a),
            _ => None,
        }
    }

    /// Its part; `None` for an outlet.
    pub(crate) fn part(&self) -> Option<usize> {
        match self.owner {
            Owner::Part(part) => Some(part),
            Owner::Outlet(_) => None,
        }
    }

    /// Name of its part or outlet.
    pub(crate) fn name<'j>(&self, jig: &'j Jig) -> &'j str {
        match self.owner {
            Owner::Part(part) => &jig.parts[part].name,
            Owner::Outlet(outlet) => &jig.outlets[outlet].name,
        }
    }

    /// Whether it joins without limiting the current at all: wire, fuse or contact.
    pub(crate) fn is_hard(&self) -> bool {
        self.link.is_hard()
    }

    /// Whether it joins as it does in [`is_hard`](Edge::is_hard), and is no fuse.
    pub(crate) fn is_unfused(&self) -> bool {
        self.is_hard() && !matches!(self.link, Link::Fuse(_))
    }

    /// Whether a current through it is there to do something, or may come to be when it fails: neither a hard joint nor
    /// a capacitor that is built not to fail short.
    pub(crate) fn is_body(&self) -> bool {
        !self.is_hard() && !self.link.is_safety_capacitor()
    }

    /// Ohms that limit a current for certain; 0 for anything but a resistor.
    pub(crate) fn sure_ohms(&self) -> f64 {
        if let Link::Resistor(ohms) = self.link { ohms } else { 0.0 }
    }
}
