//! Circuits that hands must be kept from. Voltages come from the supply and the nominal solution; must not know what is
//! touched.

use crate::checks::Case;
use crate::finding::Quantity;
use crate::finding::said::HazardSource;
use crate::jig::{Ends, LoadKind, PartKind};
use crate::nets::{Edge, NetSet, Owner};
use crate::part::{Given, Link};
use crate::standard::{Level, Limit, touch};

/// A circuit that hands must be kept from.
pub(crate) struct Hazard {
    /// What it is.
    pub circuit: HazardSource,
    /// Its nets.
    pub nets: NetSet,
    /// Nets that want a stated insulation: all of the mains, which has one word in the file; of another circuit the ends
    /// that feed it or leave the box, which stand for what is strung between them.
    pub ask: NetSet,
    /// Working volts r.m.s. (a steady d.c. voltage counts as its own value).
    pub volts: f64,
}

impl Hazard {
    /// Whether it is the mains.
    pub(crate) fn is_mains(&self) -> bool {
        self.circuit == HazardSource::Mains
    }
}

/// The circuit of a source without what hangs on it through protective impedance alone. Rectified it is as high as its
/// crest, in a doubler twice that.
fn within_reach_of(case: &Case, source: &Source) -> NetSet {
    const DOUBLED: f64 = 2.0;
    // What is plugged in is not always there.
    let pass = |edge: &Edge| !edge.link.is_safety_capacitor() && edge.part().is_some();
    let resistance = case.nets().walk(&source.ends, &pass).round(case.nets().earth()).resistance();
    let circuit = case.nets().circuit(source.ends[0]);
    let volts = DOUBLED * std::f64::consts::SQRT_2 * source.volts;
    NetSet::of(case.nets().count(), |n| circuit.has(n) && !resistance[n].is_harmless(volts))
}

/// Every circuit that hands must be kept from.
pub(crate) fn hazards(case: &Case) -> Vec<Hazard> {
    let mut out: Vec<Hazard> = mains(case).into_iter().collect();
    let ends = ends(case);
    for source in sources(case) {
        if source.volts <= source.limit || out.iter().any(|h| h.is_mains() && h.nets.has(source.ends[0])) {
            continue;
        }
        match out.iter_mut().find(|h| h.nets.has(source.ends[0])) {
            Some(known) => known.volts = known.volts.max(source.volts),
            None => {
                let nets = within_reach_of(case, &source);
                let ask = NetSet::of(case.nets().count(), |n| nets.has(n) && ends.has(n));
                out.push(Hazard { circuit: source.circuit, nets, ask, volts: source.volts });
            }
        }
    }
    out
}

/// Nets of hazardous circuits.
pub(crate) fn hazardous_nets(case: &Case) -> NetSet {
    hazards(case).iter().fold(NetSet::none(case.nets().count()), |nets, hazard| nets.or(&hazard.nets))
}

/// What hangs on the mains.
fn mains(case: &Case) -> Option<Hazard> {
    let live = case.nets().hazardous_live();
    if live.is_empty() {
        return None;
    }
    let items = case.survey.model.items.iter().enumerate().filter(|(_, i)| live.has_all(&i.ends));
    let inner = items.filter_map(|(k, _)| case.nominal(k, Quantity::VoltageRms));
    // Only a circuit that raises the voltage counts above the supply's own.
    let highest = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.at(Level::High));
    let volts = inner.filter(|v| *v > highest).fold(case.nets().volts_to_earth().nominal, f64::max);
    Some(Hazard { circuit: HazardSource::Mains, nets: live.clone(), ask: live.clone(), volts })
}

/// Something that puts volts on a circuit of its own.
struct Source {
    circuit: HazardSource,
    ends: Ends,
    volts: f64,
    /// Volts that may be touched.
    limit: f64,
}

/// Windings, modules and charged capacitors, in the order of the file, then what may be put on the outlets.
fn sources(case: &Case) -> Vec<Source> {
    let limits = touch::limits(touch::LimitsIn::Normal);
    case.nets()
        .edges()
        .iter()
        .flat_map(|edge| match edge.owner {
            Owner::Part(part) => of_part(case, edge, part, [&limits.voltage_rms, &limits.voltage_dc]),
            Owner::Outlet(outlet) => of_outlet(case, edge, outlet, &limits.voltage_dc),
        })
        .collect()
}

fn of_part(case: &Case, edge: &Edge, part: usize, [ac, dc]: [&Limit; 2]) -> Vec<Source> {
    let (volts, limit) = match edge.link.gives() {
        Some(Given::Ac(volts)) => (volts, ac),
        Some(Given::Dc(volts)) => (volts, dc),
        None => return vec![],
    };
    let part = case.jig.parts[part].name.clone();
    let circuit = match &edge.link {
        Link::Winding { name, .. } => HazardSource::Winding { winding: name.clone(), part },
        Link::Capacitor { .. } => HazardSource::Charged { part },
        // A module, or whatever else gives volts: it is not to be lost for want of a word.
        Link::Wire
        | Link::Fuse(_)
        | Link::ThermalFuse
        | Link::Contact(_)
        | Link::Resistor(_)
        | Link::Diode
        | Link::Threshold
        | Link::Arm { .. }
        | Link::Impedance { .. }
        | Link::Module { .. } => HazardSource::Output { part },
    };
    vec![Source { circuit, ends: edge.ends, volts, limit: limit.value }]
}

fn of_outlet(case: &Case, edge: &Edge, outlet: usize, dc: &Limit) -> Vec<Source> {
    let outlet = &case.jig.outlets[outlet];
    let charged = outlet.loads.iter().filter_map(|load| match load.kind {
        LoadKind::Charged(_, volts) => Some(volts),
        LoadKind::Open | LoadKind::Short | LoadKind::Power(_) | LoadKind::Resistance(_) => None,
    });
    let circuit = HazardSource::OnOutlet { outlet: outlet.name.clone() };
    charged.map(|volts| Source { circuit: circuit.clone(), ends: edge.ends, volts, limit: dc.value }).collect()
}

/// Ends of what feeds a circuit or leaves the box.
fn ends(case: &Case) -> NetSet {
    let mut ends = NetSet::none(case.nets().count());
    let through = |kind: &PartKind| matches!(kind, PartKind::Transformer(_) | PartKind::Psu(_) | PartKind::Socket(_));
    let parts = case.jig.parts.iter().filter(|p| through(&p.kind)).flat_map(|p| p.kind.terminals());
    parts.for_each(|net| ends.insert(net));
    let charged = |e: &&Edge| matches!(e.link, Link::Capacitor { charged: Some(_), .. }) || e.part().is_none();
    case.nets().edges().iter().filter(charged).flat_map(|e| e.ends).for_each(|net| ends.insert(net));
    ends
}
