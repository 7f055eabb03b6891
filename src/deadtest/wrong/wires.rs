//! Slips of wiring: whiskers across insulation, wires exchanged, ends on the wrong net.

use super::{List, Wrong, dashed};
use crate::deadtest::Point;
use crate::deadtest::network::{Change, Network};
use crate::deadtest::point::Place;
use crate::format::{NET_L, NET_N, NET_PE, NetId};
use crate::jig::{PartKind, Side};
use crate::nets::has_earth;

impl List<'_> {
    /// A whisker across stated insulation, however strong it is.
    pub(super) fn insulation(&mut self) {
        let nets = crate::nets::Nets::of(self.jig);
        let side = |side: Side| match side {
            Side::Mains => nets.on_mains().iter().collect::<Vec<_>>(),
            Side::Net(net) => vec![net],
        };
        for insulation in &self.jig.insulations {
            let [one, other] = insulation.between.map(side);
            for a in one {
                for b in other.iter().copied().filter(|b| *b != a) {
                    let wrong = Wrong::Joined { nets: [self.net(a), self.net(b)] };
                    let id = format!("insulation-{}-{}", self.net(a), self.net(b));
                    let other_way = format!("insulation-{}-{}", self.net(b), self.net(a));
                    if !self.found.iter().any(|c| c.id == other_way) {
                        self.add(id, wrong, vec![Change::Join(a, b)], "short");
                    }
                }
            }
        }
    }

    pub(super) fn wires_exchanged(&mut self) {
        let cores = self.network.cores();
        let swap = |network: &Network, x: usize, y: usize, end: usize| {
            let (mut a, mut b) = (network.branches[x].ends, network.branches[y].ends);
            std::mem::swap(&mut a[end], &mut b[end]);
            vec![Change::Ends(x, a), Change::Ends(y, b)]
        };
        let mut joints: Vec<Vec<(String, NetId, usize)>> =
            vec![cores.into_iter().map(|(net, b)| (self.net(net), net, b)).collect()];
        for outlet in &self.jig.outlets {
            let of = |(k, p): (usize, &Point)| {
                let mine = p.place == Place::Contact && p.name.starts_with(&format!("{}.", outlet.name));
                mine.then(|| Some((p.name.clone(), p.net, self.network.joint(k)?))).flatten()
            };
            joints.push(self.network.points.iter().enumerate().filter_map(of).collect());
        }
        for group in joints {
            for (k, (a, net_a, x)) in group.iter().enumerate() {
                for (b, net_b, y) in &group[k + 1..] {
                    let wrong = Wrong::WiresExchanged { ends: [self.end(a, *net_a), self.end(b, *net_b)] };
                    let id = format!("{}-{}-exchanged", dashed(a), dashed(b));
                    self.add(id, wrong, swap(self.network, *x, *y, 1), "wire");
                }
            }
        }
        for (k, part) in self.jig.parts.iter().enumerate() {
            let PartKind::Switch(_) = part.kind else { continue };
            let contacts = self.network.of_part(k);
            for (i, x) in contacts.iter().enumerate() {
                for y in &contacts[i + 1..] {
                    let nets = [x, y].map(|c| self.network.branches[*c].ends[1]);
                    if nets[0] != nets[1] {
                        let wrong = Wrong::WiresExchanged { ends: nets.map(|n| self.end(&part.name, n)) };
                        let id = format!("{}-{}-{}-exchanged", part.name, self.net(nets[0]), self.net(nets[1]));
                        self.add(id, wrong, swap(self.network, *x, *y, 1), "wire");
                    }
                }
            }
        }
    }

    /// An end of a part on a net beside the one it belongs on.
    pub(super) fn misplaced(&mut self) {
        for (k, part) in self.jig.parts.iter().enumerate() {
            let branches = self.network.of_part(k);
            let mut nets: Vec<NetId> = branches.iter().flat_map(|b| self.network.branches[*b].ends).collect();
            nets.sort_unstable();
            nets.dedup();
            for net in &nets {
                for beside in self.beside(*net, k).into_iter().filter(|b| !nets.contains(b)) {
                    let moved = |n: NetId| if n == *net { beside } else { n };
                    let mine = branches.iter().filter(|b| self.network.branches[**b].ends.contains(net));
                    let changes = mine.map(|b| Change::Ends(*b, self.network.branches[*b].ends.map(moved))).collect();
                    let wrong = Wrong::Misplaced { end: self.end(&part.name, *net), on: self.net(beside) };
                    self.add(
                        format!("{}.{}-on-{}", part.name, self.net(*net), self.net(beside)),
                        wrong,
                        changes,
                        "wire",
                    );
                }
            }
        }
    }

    /// Nets next to a net: at the other end of what another part joins to it, and the other pins of the plug.
    fn beside(&self, net: NetId, part: usize) -> Vec<NetId> {
        let nets = self.jig.nets.len();
        let mine = self.network.of_part(part);
        let mut out = vec![];
        for (_, b) in self.network.branches.iter().enumerate().filter(|(k, _)| !mine.contains(k)) {
            for (from, to) in [(b.ends[0], b.ends[1]), (b.ends[1], b.ends[0])] {
                if from == net && to < nets {
                    out.push(to);
                }
            }
        }
        let pins: &[NetId] = match (self.jig.supply.mains.is_some(), has_earth(self.jig)) {
            (true, true) => &[NET_L, NET_N, NET_PE],
            (true, false) => &[NET_L, NET_N],
            (false, _) => &[],
        };
        if pins.contains(&net) {
            out.extend(pins.iter().filter(|p| **p != net));
        }
        out.sort_unstable();
        out.dedup();
        out
    }
}
