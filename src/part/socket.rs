//! Panel connectors, terminal posts, sockets and inlets.

use super::assembly::Assembly;
use super::dead::DeadBranch;
use super::declare::{Declared as _, part};
use super::item::{Item, Role};
use super::joint::Joint;
use super::kind::{Behaviour, Failures, OnceFailed, Protection};
use super::rating::Rating;
use super::reading::Reading;
use super::wanted::Wanted;
use crate::finding::Quantity;
use crate::format::{Holds, NetId, Row};

part! {
    "A panel connector, terminal post, 4 mm socket or inlet; nothing to solve.", Socket = "socket";
    needs "nets" [nets: Vec<NetId>] = Holds::Nets, "The nets on its contacts.";
    may "earth" [earth: Option<NetId>] = Holds::Net, "The net of its earth contact, where it is none of nets.";
    may "type" [socket_type as "type": Option<String>] = Holds::Text, "What it is, e.g. \"4 mm socket\".";
    may "shrouded" [shrouded: Option<bool>] = Holds::Flag, "Whether a finger cannot touch its contacts.";
    may "exposed-pins" [exposed_pins: Option<bool>] = Holds::Flag,
        "Whether it has pins that a finger can touch while nothing is plugged in.";
}

impl Socket {
    /// Whether it is where the mains comes in: its pins get theirs from the connector that covers them.
    pub(crate) fn is_inlet(&self) -> bool {
        self.socket_type.as_ref().is_some_and(|kind| kind.to_lowercase().contains("inlet"))
    }
}

impl Behaviour for Socket {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.nets.iter().copied().chain(self.earth).collect()
    }

    fn joints(&self) -> Vec<Joint> {
        vec![]
    }

    /// Its contacts join nothing.
    fn assemble(&self, _: &mut Assembly) {}

    fn dead(&self) -> Vec<DeadBranch> {
        vec![]
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        Failures::default()
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        None
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::ItemIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
