//! Every single fault: what may fail, and how.

use crate::jig::{Grade, Jig, NetId, PartKind, Side};
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
    let known = out.clone();
    out.extend(onto_screens(jig, &model.nets).filter(|f| !known.contains(f)));
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

/// Where the insulation from the primary of a transformer to its screen may break down: what is stated of the transformer
/// is that to its secondaries. None where what lies between their nets is stated as double or reinforced.
fn onto_screens<'a>(jig: &'a Jig, nets: &'a Nets) -> impl Iterator<Item = Fault> + 'a {
    jig.parts.iter().flat_map(move |p| {
        let PartKind::Transformer(t) = &p.kind else { return vec![] };
        let Some(screen) = t.screen else { return vec![] };
        let on = |side: Side, net: NetId| match side {
            Side::Mains => nets.on_mains().has(net),
            Side::Net(other) => nets.wired(other).has(net),
        };
        let between = |[a, b]: [Side; 2], end: NetId| on(a, end) && on(b, screen) || on(b, end) && on(a, screen);
        let strong = |end| jig.insulations.iter().any(|i| i.grade >= Grade::Double && between(i.between, end));
        let ends = t.primary.across.into_iter().filter(|end| *end != screen && !strong(*end));
        ends.map(|end| Fault::Breakdown(end, screen)).collect()
    })
}
