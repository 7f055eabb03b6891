//! Every single fault: what may fail, and how.

use crate::jig::{Grade, Jig, NET_L, NET_N, NET_PE, NetId, Side};
use crate::part::{Failure, Link, Spared};

use super::condition::{Conductor, Fault};
use super::model::Model;

/// A part, or one winding of it, that is not failed, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct NotFailed {
    /// Index of its item.
    pub item: usize,
    /// Why.
    pub why: Spared,
}

/// The single faults of a jig, and what is not failed.
pub fn list(jig: &Jig, model: &Model) -> (Vec<Fault>, Vec<NotFailed>) {
    let (mut out, mut spared) = (vec![], vec![]);
    for (k, item) in model.items.iter().enumerate() {
        let failures = jig.parts[item.part].kind.failures(&model.items, k);
        out.extend(failures.faults.into_iter().map(|failure| match failure {
            Failure::Open => Fault::Open(k),
            Failure::Short => Fault::Short(k),
            Failure::Welded => Fault::Welded(k),
            Failure::JoinedTo(other) => Fault::WindingsJoined(other, k),
        }));
        spared.extend(failures.spared.into_iter().map(|why| NotFailed { item: k, why }));
    }
    for (k, conductor) in [Conductor::L, Conductor::N, Conductor::Pe].into_iter().enumerate() {
        if model.conductors[k].is_some() {
            out.push(Fault::ConductorOpen(conductor));
        }
    }
    out.extend(breakdowns(jig));
    (out, spared)
}

/// Insulation that one fault may break down, between every two nets it lies between.
fn breakdowns(jig: &Jig) -> Vec<Fault> {
    let live = mains_nets(jig);
    let side = |side: Side| match side {
        Side::Mains => live.clone(),
        Side::Net(net) => vec![net],
    };
    let mut out = vec![];
    for (k, insulation) in jig.insulations.iter().enumerate().filter(|(_, i)| i.grade < Grade::Double) {
        let [one, other] = insulation.between.map(side);
        for a in &one {
            out.extend(other.iter().filter(|b| a != *b).map(|b| Fault::Breakdown(k, *a, *b)));
        }
    }
    out
}

/// Nets conductively joined to L or N in some switch position ("mains"): through anything but a transformer, a module
/// or a capacitor, and not through the earth conductor.
pub fn mains_nets(jig: &Jig) -> Vec<NetId> {
    if jig.supply.mains.is_none() {
        return vec![];
    }
    let mut reached = vec![false; jig.nets.len()];
    reached[NET_L] = true;
    reached[NET_N] = true;
    loop {
        let mut grew = false;
        let mut join = |a: NetId, b: NetId| {
            // What hangs on the earth conductor is earthed, not mains: the search ends there.
            if reached[a] != reached[b] && a != NET_PE && b != NET_PE {
                (reached[a], reached[b]) = (true, true);
                grew = true;
            }
        };
        for joint in jig.parts.iter().flat_map(|p| p.kind.joints()) {
            // A capacitor does not join conductively.
            if !matches!(joint.link, Link::Capacitor { .. }) {
                join(joint.ends[0], joint.ends[1]);
            }
        }
        for o in &jig.outlets {
            join(o.across[0], o.across[1]);
        }
        if !grew {
            break;
        }
    }
    (0..reached.len()).filter(|&n| reached[n]).collect()
}
