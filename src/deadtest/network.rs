//! The unplugged tool as a meter sees it: what stands between which nodes. A node is a net of the jig; every point that hangs on
//! its net by a joint has one of its own. Must not know what may be wrong.

use super::point::{self, Place, Point};
use crate::jig::{Jig, NET_L, NET_N, NET_PE};
use crate::part::dead::{Dead, joint as joint_of};
use crate::standard;
use crate::survey::settings::switch_parts;

/// What a branch belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Owner {
    /// A part, by its index.
    Part(usize),
    /// The joint of a point, by its index.
    Joint(usize),
}

/// Something between two nodes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Branch {
    pub ends: [usize; 2],
    pub dead: Dead,
    /// The switch it is a contact of, by its number among the switches, and whether it is closed in each position.
    pub closed: Option<(usize, Vec<bool>)>,
    pub owner: Owner,
}

impl Branch {
    /// Whether it is there while the switches stand so.
    pub(crate) fn is_there(&self, setting: &[usize]) -> bool {
        self.closed.as_ref().is_none_or(|(switch, closed)| {
            setting.get(*switch).and_then(|position| closed.get(*position)).copied().unwrap_or(false)
        })
    }
}

/// A change of a network.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Change {
    /// A branch is not there.
    Remove(usize),
    /// A branch is a wire, whatever its switch does.
    Bridge(usize),
    /// A wire between two nodes more.
    Join(usize, usize),
    /// A branch is something else.
    Is(usize, Dead),
    /// A branch ends elsewhere.
    Ends(usize, [usize; 2]),
}

/// The unplugged tool.
#[derive(Debug, Clone)]
pub(crate) struct Network {
    pub nodes: usize,
    pub branches: Vec<Branch>,
    /// Where a meter can reach.
    pub points: Vec<Point>,
    /// Node of each point.
    pub at: Vec<usize>,
    /// Whether those are all points of the jig.
    pub all_points: bool,
}

/// A wire.
pub(crate) fn wire() -> Dead {
    joint_of(0.0)
}

impl Network {
    /// That of a sound jig.
    pub(super) fn of(jig: &Jig) -> Network {
        let switches = switch_parts(jig);
        let mut branches = vec![];
        for (k, part) in jig.parts.iter().enumerate() {
            let switch = switches.iter().position(|s| *s == k);
            for b in part.kind.dead() {
                let closed = switch.zip(b.closed);
                branches.push(Branch { ends: b.ends, dead: b.dead, closed, owner: Owner::Part(k) });
            }
        }
        let (points, all_points) = point::points(jig);
        let cord = jig
            .supply
            .cord
            .as_ref()
            .and_then(|c| Some(standard::cord::conductor_resistance(c.area?).value * c.length?));
        let mut network = Network { nodes: jig.nets.len(), branches, points: vec![], at: vec![], all_points };
        for (k, p) in points.iter().enumerate() {
            if !p.joined {
                network.at.push(p.net);
                continue;
            }
            let ohms = if p.place == Place::Pin { cord.unwrap_or(0.0) } else { 0.0 };
            let node = network.nodes;
            network.nodes += 1;
            network.at.push(node);
            let dead = joint_of(ohms);
            network.branches.push(Branch { ends: [node, p.net], dead, closed: None, owner: Owner::Joint(k) });
        }
        network.points = points;
        network
    }

    /// With something changed.
    pub(super) fn changed(&self, changes: &[Change]) -> Vec<Branch> {
        let mut branches = self.branches.clone();
        let mut gone = vec![false; branches.len()];
        for change in changes {
            match change {
                Change::Remove(k) => gone[*k] = true,
                Change::Bridge(k) => {
                    branches[*k].dead = wire();
                    branches[*k].closed = None;
                }
                Change::Join(a, b) => {
                    branches.push(Branch {
                        ends: [*a, *b],
                        dead: wire(),
                        closed: None,
                        owner: Owner::Part(usize::MAX),
                    });
                    gone.push(false);
                }
                Change::Is(k, dead) => branches[*k].dead = *dead,
                Change::Ends(k, ends) => branches[*k].ends = *ends,
            }
        }
        branches.into_iter().zip(gone).filter(|(_, gone)| !gone).map(|(b, _)| b).collect()
    }

    /// The branches of a part.
    pub(super) fn of_part(&self, part: usize) -> Vec<usize> {
        (0..self.branches.len()).filter(|k| self.branches[*k].owner == Owner::Part(part)).collect()
    }

    /// The joint of a point.
    pub(super) fn joint(&self, point: usize) -> Option<usize> {
        self.branches.iter().position(|b| b.owner == Owner::Joint(point))
    }

    /// The joints of the pins.
    pub(super) fn cores(&self) -> Vec<(usize, usize)> {
        let pins = [NET_L, NET_N, NET_PE];
        let of = |net: usize| {
            let at = self.points.iter().position(|p| p.place == Place::Pin && p.net == net)?;
            Some((net, self.joint(at)?))
        };
        pins.into_iter().filter_map(of).collect()
    }
}
