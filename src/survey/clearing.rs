//! Which protective device ends a fault, by its published gates, and in at most how long. What no gate covers goes on
//! for ever.

use crate::circuit::{Circuit, Device, Quantities};
use crate::jig::{Jig, NET_L, PartKind};
use crate::part::{Fuse, Resistor, short_circuit_spread};
use crate::standard;
use crate::standard::residual::{RcdKind, Residual, rcd_clears};

use super::condition::{Condition, Fault, Moment, Orientation};
use super::gravest::first_of_most;
use super::model::{Model, Protector, ProtectorKind};
use super::thermal;

/// A protective device that opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Clearing {
    /// Index into the model's protectors.
    pub protector: usize,
    /// Longest time, seconds.
    pub within: f64,
    /// Current through it, amperes r.m.s.
    pub amperes: f64,
}

/// Branches in which a device sits, for the orientation of the plug. A breaker sits in the live conductor.
fn seats(model: &Model, protector: usize, orientation: Orientation) -> Vec<usize> {
    let p = &model.protectors[protector];
    match (&p.kind, p.branch, orientation) {
        (ProtectorKind::Rcd(..), ..) => model.conductors[..2].iter().copied().flatten().collect(),
        (_, Some(b), _) => vec![b],
        (_, None, Orientation::AsWired) => model.conductors[0].into_iter().collect(),
        (_, None, Orientation::Reversed) => model.conductors[1].into_iter().collect(),
        (_, None, Orientation::BothLive) => model.conductors[..2].iter().copied().flatten().collect(),
    }
}

/// Every device that is sure to open at these currents, in the order of the model. A fuse or fusible resistor that is
/// bridged opens nothing, and what has opened already opens no second time, whatever leaks through it.
pub(crate) fn opens<'a>(
    jig: &'a Jig,
    model: &'a Model,
    condition: &'a Condition,
    q: &'a [Quantities],
) -> impl Iterator<Item = Clearing> + 'a {
    let opened: &[usize] = if let Moment::After(opened) = &condition.moment { opened } else { &[] };
    let works = move |(k, p): &(usize, &Protector)| !opened.contains(k) && !bridged(condition, &p.kind);
    model.protectors.iter().enumerate().filter(works).filter_map(move |(k, p)| {
        if let ProtectorKind::Rcd(rated, kind) = p.kind {
            let residual = residual(q.get(p.branch?)?);
            let within = rcd_clears(kind, rated, &residual)?.value;
            return Some(Clearing { protector: k, within, amperes: residual.rms });
        }
        if let ProtectorKind::Thermal(item, on) = p.kind {
            let within = thermal::opens_within(jig, model, item, on, q)?;
            let amperes = q.get(p.branch?)?.i_rms;
            // What it is not made to break welds it, or keeps its arc.
            return thermal::breaks(jig, model, item, amperes).then_some(Clearing { protector: k, within, amperes });
        }
        let watched = seats(model, k, condition.orientation);
        let amperes = watched.iter().filter_map(|b| q.get(*b)).map(|x| x.i_rms).fold(0.0, f64::max);
        let watts = p.branch.and_then(|b| q.get(b)).map_or(0.0, |x| x.power);
        opens_within(jig, model, p, amperes, watts).map(|within| Clearing { protector: k, within, amperes })
    })
}

/// Whether a device of the jig is bridged by the fault, so that nothing in it can open.
pub(super) fn bridged(condition: &Condition, kind: &ProtectorKind) -> bool {
    match kind {
        ProtectorKind::Fuse(item) | ProtectorKind::Fusible(item) | ProtectorKind::Thermal(item, _) => {
            condition.faults.contains(&Fault::Short(*item))
        }
        ProtectorKind::PlugFuse(_) | ProtectorKind::Breaker(..) | ProtectorKind::Rcd(..) => false,
    }
}

/// Seconds within which a device opens for sure that carries so many amperes and takes so many watts.
fn opens_within(jig: &Jig, model: &Model, p: &Protector, amperes: f64, watts: f64) -> Option<f64> {
    let kind = |item: usize| &jig.parts[model.items[item].part].kind;
    match p.kind {
        ProtectorKind::Fuse(item) => {
            let PartKind::Fuse(fuse) = kind(item) else { return None };
            gates_of(fuse).and_then(|g| g.melts_within(amperes)).or_else(|| {
                standard::fuse::ul_gates(fuse.current).melts_within(amperes).filter(|_| fuse.speed.is_none())
            })
        }
        ProtectorKind::Fusible(item) => {
            let PartKind::Resistor(Resistor { resistance, power: Some(rated), .. }) = kind(item) else { return None };
            let (times, within) = standard::resistor::fusing(*resistance)?;
            (watts >= times.value * rated).then_some(within)
        }
        ProtectorKind::PlugFuse(a) => standard::fuse::plug_fuse_gates(a).and_then(|g| g.melts_within(amperes)),
        ProtectorKind::Breaker(a, kind) => standard::protection::breaker_clears(kind, a, amperes).map(|l| l.value),
        // These are not opened by what they carry, but by what comes back through the earth, or by heat.
        ProtectorKind::Rcd(..) | ProtectorKind::Thermal(..) => None,
    }
}

fn residual(q: &Quantities) -> Residual {
    Residual { rms: q.i_rms, mean: q.i_mean, range: [q.i_max, q.i_min] }
}

/// The current in the earth that a residual-current device of a better type would trip at and the one that is there does
/// not see: amperes r.m.s., and the lowest type that sees it.
pub(crate) fn unseen(model: &Model, q: &[Quantities]) -> Option<(f64, RcdKind)> {
    model.protectors.iter().find_map(|p| {
        let ProtectorKind::Rcd(rated, kind) = p.kind else { return None };
        let residual = residual(q.get(p.branch?)?);
        let sees = |k: &RcdKind| rcd_clears(*k, rated, &residual).is_some();
        let better = [RcdKind::A, RcdKind::B].into_iter().find(sees)?;
        (!sees(&kind)).then_some((residual.rms, better))
    })
}

/// The device that opens first; of those that open together the first in the order given.
pub(crate) fn first(opens: impl IntoIterator<Item = Clearing>) -> Option<Clearing> {
    opens.into_iter().reduce(|best, next| if next.within < best.within { next } else { best })
}

/// The fuse of the jig that carries most above its rating, in a condition that none is sure to end: (protector, amperes).
pub(crate) fn strained(jig: &Jig, model: &Model, condition: &Condition, q: &[Quantities]) -> Option<(usize, f64)> {
    let rated = |(k, p): (usize, &Protector)| {
        let (ProtectorKind::Fuse(item), Some(b)) = (&p.kind, p.branch) else { return None };
        let PartKind::Fuse(fuse) = &jig.parts[model.items[*item].part].kind else { return None };
        let whole = !condition.faults.contains(&Fault::Short(*item));
        whole.then_some((k, q.get(b)?.i_rms, fuse.current))
    };
    let fuses = model.protectors.iter().enumerate().filter_map(rated);
    let mut over: Vec<_> = fuses.filter(|(_, amperes, rating)| amperes > rating).collect();
    // Of two that carry the same the one nearer to the line is named, wherever they stand in the file.
    if over.len() > 1 {
        let item = |k: usize| if let ProtectorKind::Fuse(item) = model.protectors[k].kind { item } else { 0 };
        let steps = steps_from_line(jig);
        over.sort_by_key(|(k, ..)| steps[model.items[item(*k)].part]);
    }
    first_of_most(over.into_iter().map(|(k, amperes, rating)| ((k, amperes), amperes / rating))).map(|(fuse, _)| fuse)
}

/// How many parts lie between the line pin and each part, at the least.
fn steps_from_line(jig: &Jig) -> Vec<usize> {
    let ends: Vec<_> = jig.parts.iter().map(|p| p.kind.terminals()).collect();
    let mut steps = vec![usize::MAX; ends.len()];
    let mut reached = vec![NET_L];
    for step in 0..ends.len() {
        let new = |k: &usize| steps[*k] == usize::MAX && ends[*k].iter().any(|n| reached.contains(n));
        let found: Vec<usize> = (0..ends.len()).filter(new).collect();
        for k in found {
            steps[k] = step;
            reached.extend(ends[k].iter().copied());
        }
    }
    steps
}

/// Whether a fuse or fusible resistor of the jig carries more than it is sure to carry for an hour and less than it is sure to open at: it opens
/// some time, though nobody assures when.
pub(crate) fn is_between_gates(jig: &Jig, model: &Model, condition: &Condition, q: &[Quantities]) -> bool {
    let spreads = jig.parts.iter().filter_map(|p| {
        let PartKind::Transformer(t) = &p.kind else { return None };
        Some(short_circuit_spread(t))
    });
    let spread = spreads.fold(1.0, f64::max);
    model.protectors.iter().any(|p| {
        // A fusible resistor far over its rating opens some time, though nobody assures it so soon.
        if let (ProtectorKind::Fusible(item), Some(b)) = (&p.kind, p.branch) {
            let PartKind::Resistor(r) = &jig.parts[model.items[*item].part].kind else { return false };
            let far = r.power.map(|watts| watts * standard::bench::sustained_fire().value);
            return !bridged(condition, &p.kind) && far.is_some_and(|far| q.get(b).is_some_and(|x| x.power > far));
        }
        let (ProtectorKind::Fuse(item), Some(b)) = (&p.kind, p.branch) else { return false };
        let PartKind::Fuse(fuse) = &jig.parts[model.items[*item].part].kind else { return false };
        let Some(gates) = gates_of(fuse) else { return false };
        // A transformer that is stiffer than the middle of what is usual draws more.
        let amperes = q.get(b).map_or(0.0, |x| x.i_rms) * spread;
        !bridged(condition, &p.kind) && gates.carries_for_an_hour().is_some_and(|most| amperes > most)
    })
}

/// The gates of a fuse. One without a marking is taken for the slowest of its rating: nothing says it is quicker.
fn gates_of(fuse: &Fuse) -> Option<standard::fuse::FuseGates> {
    standard::fuse::fuse_gates(fuse.current, fuse.speed.as_deref().unwrap_or("T"), fuse.breaking)
}

/// The moment after one more device has opened.
pub(crate) fn after(before: &Moment, protector: usize) -> Moment {
    let mut opened = if let Moment::After(opened) = before { opened.clone() } else { vec![] };
    opened.push(protector);
    Moment::After(opened)
}

/// Opens a protective device in a circuit.
pub(crate) fn open(model: &Model, protector: usize, orientation: Orientation, circuit: &mut Circuit) {
    for b in seats(model, protector, orientation) {
        circuit.branches[b].device = Device::Resistor { ohms: standard::bench::fault_open().value };
    }
}
