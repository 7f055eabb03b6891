//! Which protective device ends a fault, by its published gates, and in at most how long. What no gate covers goes on
//! for ever.

use crate::circuit::{Circuit, Device, Quantities};
use crate::jig::{Jig, PartKind};
use crate::part::{Fuse, Resistor};
use crate::standard;
use crate::standard::protection::BreakerType;

use super::condition::{Condition, Fault, Way};
use super::model::{Model, Protector, ProtectorKind};

/// A protective device that opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearing {
    /// Index into the model's protectors.
    pub protector: usize,
    /// Longest time, seconds.
    pub within: f64,
    /// Current through it, amperes r.m.s.
    pub amperes: f64,
}

/// Branches in which a device sits, for the way round of the plug. A breaker sits in the live conductor.
fn seats(model: &Model, protector: usize, way: Way) -> Vec<usize> {
    let p = &model.protectors[protector];
    match (&p.kind, p.branch, way) {
        (ProtectorKind::Rcd(_), ..) => model.conductors[..2].iter().copied().flatten().collect(),
        (_, Some(b), _) => vec![b],
        (_, None, Way::AsWired) => model.conductors[0].into_iter().collect(),
        (_, None, Way::Reversed) => model.conductors[1].into_iter().collect(),
        (_, None, Way::BothLive) => model.conductors[..2].iter().copied().flatten().collect(),
    }
}

/// Every device that is sure to open at these currents, in the order of the model. A fuse or fusible resistor that is
/// bridged opens nothing.
pub fn opens<'a>(
    jig: &'a Jig,
    model: &'a Model,
    condition: &'a Condition,
    q: &'a [Quantities],
) -> impl Iterator<Item = Clearing> + 'a {
    let works =
        |p: &Protector| !matches!(p.kind, ProtectorKind::Fuse(k) if condition.faults.contains(&Fault::Short(k)));
    model.protectors.iter().enumerate().filter(move |(_, p)| works(p)).filter_map(move |(k, p)| {
        let watched = match p.kind {
            ProtectorKind::Rcd(_) => p.branch.into_iter().collect(),
            _ => seats(model, k, condition.way),
        };
        let amperes = watched.iter().filter_map(|b| q.get(*b)).map(|x| x.i_rms).fold(0.0, f64::max);
        let within = match &p.kind {
            ProtectorKind::Fuse(item) => match &jig.parts[model.items[*item].part].kind {
                // A fuse without a marking is taken for the slowest of its rating: nothing says it is quicker.
                PartKind::Fuse(Fuse { current, speed, breaking, .. }) => {
                    standard::fuse::fuse_gates(*current, speed.as_deref().unwrap_or("T"), *breaking)
                        .and_then(|g| g.melts_within(amperes))
                        .or_else(|| {
                            standard::fuse::ul_gates(*current).melts_within(amperes).filter(|_| speed.is_none())
                        })
                }
                _ => None,
            },
            ProtectorKind::Fusible(item) => match &jig.parts[model.items[*item].part].kind {
                PartKind::Resistor(Resistor { resistance, power: Some(rated), .. }) => {
                    let watts = p.branch.and_then(|b| q.get(b)).map_or(0.0, |x| x.power);
                    standard::resistor::fusing(*resistance)
                        .filter(|(times, _)| watts >= times.value * rated)
                        .map(|(_, within)| within)
                }
                _ => None,
            },
            ProtectorKind::PlugFuse(a) => standard::fuse::plug_fuse_gates(*a).and_then(|g| g.melts_within(amperes)),
            // The type of the breaker is not in the file; C is the slower of the two met behind sockets.
            ProtectorKind::Breaker(a) => {
                standard::protection::breaker_clears(BreakerType::C, *a, amperes).map(|l| l.value)
            }
            ProtectorKind::Rcd(a) => standard::protection::rcd_clears(*a, amperes).map(|l| l.value),
        };
        within.map(|within| Clearing { protector: k, within, amperes })
    })
}

/// The device that opens first at these currents, if any is sure to.
pub fn first_to_clear(jig: &Jig, model: &Model, condition: &Condition, q: &[Quantities]) -> Option<Clearing> {
    opens(jig, model, condition, q).reduce(|best, next| if next.within < best.within { next } else { best })
}

/// The fuse of the jig that carries most above its rating, in a condition that none is sure to end: (protector, amperes).
pub fn strained(jig: &Jig, model: &Model, condition: &Condition, q: &[Quantities]) -> Option<(usize, f64)> {
    let fuses = model.protectors.iter().enumerate().filter_map(|(k, p)| match (&p.kind, p.branch) {
        (ProtectorKind::Fuse(item), Some(b)) if !condition.faults.contains(&Fault::Short(*item)) => {
            match &jig.parts[model.items[*item].part].kind {
                PartKind::Fuse(Fuse { current, .. }) => Some((k, q.get(b)?.i_rms, *current)),
                _ => None,
            }
        }
        _ => None,
    });
    let over = fuses.filter(|(_, amperes, rating)| amperes > rating);
    over.max_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2))).map(|(k, amperes, _)| (k, amperes))
}

/// The words for the moment after a device has opened, and one after another.
pub fn opened(before: &str, protector: &Protector) -> String {
    let name = protector.in_a_sentence();
    if before.is_empty() { format!("after {name} has opened") } else { format!("{before} and then {name}") }
}

/// Opens a protective device in a circuit.
pub fn open(model: &Model, protector: usize, way: Way, circuit: &mut Circuit) {
    for b in seats(model, protector, way) {
        circuit.branches[b].device = Device::Resistor { ohms: standard::bench::fault_open().value };
    }
}
