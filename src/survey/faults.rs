//! Every single fault: what may fail, and how.

use crate::jig::{Grade, Jig, Side};
use crate::nets::Nets;
use crate::part::{Failure, Spared};

use super::condition::{Conductor, Fault};
use super::model::Model;

/// A part, or one winding of it, that is not failed, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct NotFailed {
    /// Index of its item.
    pub item: usize,
    /// Why.
    pub why: Spared,
}

/// The single faults of a jig, and what is not failed.
pub(crate) fn list(jig: &Jig, model: &Model) -> (Vec<Fault>, Vec<NotFailed>) {
    let (mut out, mut spared) = (vec![], vec![]);
    for (k, item) in model.items.iter().enumerate() {
        let failures = jig.parts[item.part].kind.failures(&model.items, k);
        out.extend(failures.faults.into_iter().flat_map(|failure| match failure {
            Failure::Open => vec![Fault::Open(k)],
            Failure::Short => vec![Fault::Short(k)],
            Failure::Welded => vec![Fault::Welded(k)],
            Failure::JoinedTo(other) => joined(other, k),
        }));
        spared.extend(failures.spared.into_iter().map(|why| NotFailed { item: k, why }));
    }
    for (k, conductor) in [Conductor::L, Conductor::N, Conductor::Pe].into_iter().enumerate() {
        if model.conductors[k].is_some() {
            out.push(Fault::ConductorOpen(conductor));
        }
    }
    out.extend(breakdowns(jig, &model.nets));
    (out, spared)
}

/// Where the insulation between two windings may break down: from either end of the one to either end of the other. Which
/// end the file names first decides nothing.
fn joined(one: usize, other: usize) -> Vec<Fault> {
    let ends = [(0, 0), (0, 1), (1, 0), (1, 1)];
    ends.map(|(a, b)| Fault::WindingsJoined((one, a), (other, b))).to_vec()
}

/// Insulation that one fault may break down, between every two nets it lies between.
fn breakdowns(jig: &Jig, nets: &Nets) -> Vec<Fault> {
    let side = |side: Side| match side {
        Side::Mains => nets.on_mains().iter().collect(),
        Side::Net(net) => vec![net],
    };
    let mut out = vec![];
    for insulation in jig.insulations.iter().filter(|i| i.grade < Grade::Double) {
        let [one, other] = insulation.between.map(side);
        for a in &one {
            out.extend(other.iter().filter(|b| a != *b).map(|b| Fault::Breakdown(*a, *b)));
        }
    }
    out
}
