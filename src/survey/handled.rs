//! What a hand or the next tool meets of a tool that nothing feeds any more: the pins of its plug, what can be touched, its
//! outlets and sockets; and what a hand takes from whatever stays charged there. Judges nothing.

use crate::circuit::{Branch, Circuit, Device, Solver, Start, Until};
use crate::finding::Situation;
use crate::jig::{Jig, NET_L, NET_N, NetId, PartKind};
use crate::standard;

use super::context::SurveyContext;
use super::gravest::first_of_most;
use super::model::{Measure, Model};
use super::records::ChargeSide;
use super::unsolved::{NotSolved, consistent};

/// Seconds after which a hand is on for certain: what a stray capacitance of a nanofarad or less holds is gone by then,
/// a charge that could harm has not moved yet.
const ON: f64 = 1e-5;
/// Time constants of everything charged with the hand in which the charge through it is counted.
const WHOLE: f64 = 10.0;

/// Somewhere to put a hand or a tool on.
struct Place {
    side: ChargeSide,
    node: usize,
    /// Voltmeter from there to earth; `None` for earth itself.
    meter: Option<usize>,
}

/// Every two places between which charge may be met, with a voltmeter on each.
pub(crate) struct Places(Vec<Place>);

/// Two places.
#[derive(Debug, Clone, Copy)]
pub(super) struct Between {
    pub(super) sides: [ChargeSide; 2],
    pub(super) nodes: [usize; 2],
    /// Volts from the first to the second.
    pub(super) volts: f64,
}

/// What a hand takes from what stays charged.
#[derive(Debug, Clone, Copy)]
pub(super) struct Taken {
    /// Coulombs through it.
    pub(super) coulombs: f64,
    /// The item that loses most energy by it.
    pub(super) from: Option<usize>,
}

impl Places {
    /// Puts the voltmeters into a circuit of this jig.
    pub(crate) fn metered(jig: &Jig, model: &Model, circuit: &mut Circuit) -> Places {
        let mut places = vec![Place { side: ChargeSide::Earth, node: 0, meter: None }];
        for (side, net) in sides(jig, model) {
            let node = model.node[net];
            let meter = circuit.branches.len();
            circuit.branches.push(Branch { a: node, b: 0, device: Device::Meter });
            places.push(Place { side, node, meter: Some(meter) });
        }
        Places(places)
    }

    /// Every two of them, by the volts of every branch. Earth counts for what can be touched alone: pins and outlets of a
    /// tool that hangs on nothing have no way there.
    pub(super) fn between<'p>(&'p self, volts: &'p [f64]) -> impl Iterator<Item = Between> + 'p {
        let of = |p: &Place| p.meter.map_or(0.0, |m| volts[m]);
        let touched = |p: &Place| matches!(p.side, ChargeSide::Touchable(_));
        let pairs = self.0.iter().enumerate().flat_map(move |(k, a)| self.0[k + 1..].iter().map(move |b| (a, b)));
        let pairs = pairs.filter(move |(a, b)| a.side != ChargeSide::Earth || touched(b));
        pairs.map(move |(a, b)| {
            // What is touched stands first.
            let (a, b) = if a.side == ChargeSide::Earth || (touched(b) && !touched(a)) { (b, a) } else { (a, b) };
            Between { sides: [a.side, b.side], nodes: [a.node, b.node], volts: of(a) - of(b) }
        })
    }
}

/// Pins, touchables, then the contacts of outlets and sockets; what wires join to one that is named already is left out.
fn sides(jig: &Jig, model: &Model) -> Vec<(ChargeSide, NetId)> {
    let mut out: Vec<(ChargeSide, NetId)> = vec![];
    if jig.supply.mains.is_some() {
        out.extend([(ChargeSide::PinL, NET_L), (ChargeSide::PinN, NET_N)]);
    }
    let pins = out.len();
    for (k, t) in jig.touchables.iter().enumerate() {
        let wired = model.nets.wired(t.net);
        if !out[pins..].iter().any(|(_, net)| wired.has(*net)) {
            out.push((ChargeSide::Touchable(k), t.net));
        }
    }
    let socket = |kind: &PartKind| match kind {
        PartKind::Socket(socket) if !socket.is_inlet() => socket.nets.clone(),
        PartKind::Socket(_)
        | PartKind::Resistor(_)
        | PartKind::Capacitor(_)
        | PartKind::Inductor(_)
        | PartKind::Winding(_)
        | PartKind::Diode(_)
        | PartKind::Led(_)
        | PartKind::Suppressor(_)
        | PartKind::Bridge(_)
        | PartKind::Neon(_)
        | PartKind::Filament(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Thermistor(_)
        | PartKind::Transformer(_)
        | PartKind::Psu(_)
        | PartKind::Load(_)
        | PartKind::Wire(_) => vec![],
    };
    let contacts = jig.parts.iter().flat_map(|p| socket(&p.kind));
    for net in jig.outlets.iter().flat_map(|o| o.across).chain(contacts) {
        let wired = model.nets.wired(net);
        if !out.iter().any(|(_, known)| wired.has(*known)) {
            out.push((ChargeSide::Net(net), net));
        }
    }
    out
}

/// Branches that are capacitors, and their capacitance.
pub(super) fn capacitors(circuit: &Circuit) -> impl Iterator<Item = (usize, f64)> {
    circuit.branches.iter().enumerate().filter_map(|(k, b)| farads(&b.device).map(|farads| (k, farads)))
}

/// Farads of a capacitor.
pub(super) fn farads(device: &Device) -> Option<f64> {
    match device {
        Device::Capacitor { farads } => Some(*farads),
        Device::Source { .. }
        | Device::Meter
        | Device::Resistor { .. }
        | Device::Filament { .. }
        | Device::Inductor { .. }
        | Device::Diode { .. }
        | Device::Clamp { .. }
        | Device::Neon { .. } => None,
    }
}

/// What a hand between two nodes takes, through the resistance by which a charge is measured. `None` where the current
/// stays inside the limit of direct touch current however much is charged behind it: that is a leak, such as the reverse
/// current of a rectifier, and no charged pin.
///
/// # Errors
/// Why it could not be solved.
pub(super) fn taken(
    context: &SurveyContext,
    circuit: &Circuit,
    state: &[f64],
    [a, b]: [usize; 2],
    kind: Situation,
) -> Result<Option<Taken>, NotSolved> {
    let ohms = standard::discharge::measuring_load().value;
    let mut with = circuit.clone();
    let hand = with.branches.len();
    with.branches.push(Branch { a, b, device: Device::Resistor { ohms } });
    let mut state = state.to_vec();
    state.resize(with.branches.len(), 0.0);
    let start = Start { angle: 0.0, state };
    let mut solver = Solver::new(&with)?;
    let until = |seconds| Until { seconds, falls_below: None };
    let first = consistent(solver.transient(1.0, &start, &until(ON))?)?;
    if first.volts[hand].abs() / ohms <= context.limits(kind).current_dc.value {
        return Ok(None);
    }
    let all: f64 = capacitors(&with).filter(|(k, _)| start.state[*k] != 0.0).map(|(_, farads)| farads).sum();
    let t = consistent(solver.transient(1.0, &start, &until((WHOLE * ohms * all).max(ON)))?)?;
    let square = |x: f64| x * x;
    let lost = |(k, farads): (usize, f64)| (k, farads * (square(start.state[k]) - square(t.state[k])));
    let most = first_of_most(capacitors(&with).map(lost));
    let is = |branch: usize| {
        let items = context.model.items.iter();
        items.enumerate().find(|(_, i)| matches!(i.measure, Measure::Branch(b) if b == branch)).map(|(k, _)| k)
    };
    let coulombs = (t.branches[hand].i_mean * t.seconds).abs();
    Ok(Some(Taken { coulombs, from: most.and_then(|(branch, _)| is(branch)) }))
}
