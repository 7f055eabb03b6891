//! Which nets hang together through what: parts that limit no current, fuses on the way from a live pin. Judges nothing.

use crate::checks::Case;
use crate::jig::{Ends, NET_L, NET_N, NetId, PartKind, SwitchContacts};
use crate::part::{
    Bridge, Capacitor, Diode, Filament, Fuse, Inductor, Led, Load, Neon, Psu, Resistor, Suppressor, Switch,
    ThermalFuse, Thermistor, Transformer, Varistor, Winding, Wire,
};
use crate::survey::condition::Orientation;
use crate::survey::settings::orientations;

/// Nets joined in groups.
#[derive(Debug, Clone)]
pub(super) struct Groups(Vec<usize>);

impl Groups {
    fn new(nets: usize) -> Groups {
        Groups((0..nets).collect())
    }

    /// The group of a net.
    pub(super) fn of(&self, n: NetId) -> usize {
        self.0[n]
    }

    /// Whether two nets are one.
    pub(super) fn same(&self, a: NetId, b: NetId) -> bool {
        self.of(a) == self.of(b)
    }

    fn join(&mut self, a: NetId, b: NetId) {
        let (a, b) = (self.0[a], self.0[b]);
        self.0.iter_mut().filter(|x| **x == b).for_each(|x| *x = a);
    }
}

/// Closed contacts of a switch with every contact made.
pub(super) fn contacts(c: &SwitchContacts) -> Vec<Ends> {
    match c {
        SwitchContacts::Poles(p) => p.clone(),
        SwitchContacts::Positions(p) => p.iter().flat_map(|x| x.1.iter().copied()).collect(),
    }
}

/// Nets joined by wire and switch contacts (all of them closed), and by fuses where asked.
pub(super) fn by_wire(case: &Case, fuses: bool) -> Groups {
    let mut g = Groups::new(case.jig.nets.len());
    for p in &case.jig.parts {
        match &p.kind {
            PartKind::Wire(Wire { across, .. }) | PartKind::ThermalFuse(ThermalFuse { across, .. }) => {
                g.join(across[0], across[1])
            }
            PartKind::Fuse(Fuse { across, .. }) if fuses => g.join(across[0], across[1]),
            PartKind::Switch(Switch { contacts: c, .. }) => contacts(c).iter().for_each(|e| g.join(e[0], e[1])),
            _ => {}
        }
    }
    g
}

/// Pins that can be live.
pub(super) fn live_pins(case: &Case) -> Vec<NetId> {
    if case.jig.supply.mains.is_none() {
        return vec![];
    }
    let mut out = vec![];
    for orientation in orientations(case.jig) {
        match orientation {
            Orientation::AsWired => out.push(NET_L),
            Orientation::Reversed => out.push(NET_N),
            Orientation::BothLive => out.extend([NET_L, NET_N]),
        }
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// For each net the largest fuse rating that a current from a live pin passes on the way there (infinite where a path
/// without a fuse leads there): no more than that device lets through can flow for ever. `None`: no path.
pub(super) fn behind_fuse(case: &Case) -> Vec<Option<f64>> {
    let mut best: Vec<Option<f64>> = vec![None; case.jig.nets.len()];
    for pin in live_pins(case) {
        best[pin] = Some(f64::INFINITY);
    }
    let edges = edges(case);
    loop {
        let mut grew = false;
        for (a, b, through) in &edges {
            for (from, to) in [(*a, *b), (*b, *a)] {
                let Some(reach) = best[from].map(|x: f64| x.min(*through)) else { continue };
                if best[to].is_none_or(|x| reach > x) {
                    best[to] = Some(reach);
                    grew = true;
                }
            }
        }
        if !grew {
            return best;
        }
    }
}

/// Every two-ended path within one conductive circuit, with the rating of the fuse in it.
fn edges(case: &Case) -> Vec<(NetId, NetId, f64)> {
    let mut out = vec![];
    for p in &case.jig.parts {
        match &p.kind {
            PartKind::Fuse(Fuse { across, current, .. }) => out.push((across[0], across[1], *current)),
            PartKind::Switch(Switch { contacts: c, .. }) => {
                out.extend(contacts(c).iter().map(|e| (e[0], e[1], f64::INFINITY)));
            }
            PartKind::Transformer(_) | PartKind::Psu(_) | PartKind::Socket(_) => {}
            kind => {
                let t = kind.terminals();
                out.extend(t.windows(2).map(|w| (w[0], w[1], f64::INFINITY)));
            }
        }
    }
    out
}

/// Whether a part hangs between the poles of a source with nothing that limits its current in the way: wires, contacts,
/// fuses, semiconductors, other lamps and resistors below `ohms` limit nothing, nor does a `shorted` part. A bridge conducts
/// one way at a time: `turn` says which.
pub(super) fn unlimited(case: &Case, part: usize, across: Ends, shorted: Option<usize>, ohms: f64, turn: bool) -> bool {
    let wired = by_wire(case, true);
    let ways = limitless(case, part, shorted, ohms, turn);
    sources(case).iter().any(|&[s, t]| {
        // What stands between the poles already is a dead short, not this part's fault.
        !wired.same(s, t)
            && !wired.same(across[0], across[1])
            && [[s, t], [t, s]].iter().any(|&[one, other]| {
                reaches(&wired, &ways, across[0], one, other) && reaches(&wired, &ways, across[1], other, one)
            })
    })
}

/// Whether one net leads to another without passing a third: what lies beside the part, such as a varistor or a heater across
/// the mains, is no way round it.
fn reaches(wired: &Groups, ways: &[Ends], from: NetId, to: NetId, past: NetId) -> bool {
    if wired.same(from, past) {
        return false;
    }
    let mut reached = vec![from];
    let mut next = 0;
    while next < reached.len() {
        let at = reached[next];
        if wired.same(at, to) {
            return true;
        }
        for &[a, b] in ways {
            for (here, there) in [(a, b), (b, a)] {
                let new =
                    wired.same(here, at) && !wired.same(there, past) && !reached.iter().any(|r| wired.same(*r, there));
                if new {
                    reached.push(there);
                }
            }
        }
        next += 1;
    }
    false
}

/// Ends of all parts but one that limit next to no current, wires and fuses aside.
fn limitless(case: &Case, without: usize, shorted: Option<usize>, ohms: f64, turn: bool) -> Vec<Ends> {
    let mut out = vec![];
    for (k, p) in case.jig.parts.iter().enumerate().filter(|(k, _)| *k != without) {
        match &p.kind {
            PartKind::Bridge(Bridge { ac, plus, minus, .. }) => {
                let [a, b] = if turn { [ac[0], ac[1]] } else { [ac[1], ac[0]] };
                out.extend([[a, *plus], [b, *minus]]);
            }
            PartKind::Diode(Diode { across, .. })
            | PartKind::Led(Led { across, .. })
            | PartKind::Neon(Neon { across, .. })
            | PartKind::Suppressor(Suppressor { across, .. })
            | PartKind::Varistor(Varistor { across, .. }) => out.push(*across),
            PartKind::Resistor(Resistor { across, resistance, .. }) if *resistance < ohms || shorted == Some(k) => {
                out.push(*across);
            }
            PartKind::Capacitor(Capacitor { across, .. })
            | PartKind::Inductor(Inductor { across, .. })
            | PartKind::Winding(Winding { across, .. })
            | PartKind::Filament(Filament { across, .. })
            | PartKind::Thermistor(Thermistor { across, .. })
            | PartKind::Load(Load { across, .. })
                if shorted == Some(k) =>
            {
                out.push(*across);
            }
            _ => {}
        }
    }
    out
}

/// Pairs of nets that a stiff source stands between: the pins, a module's output, a transformer's secondary, the
/// terminals of an outlet on a tool without mains.
pub(super) fn sources(case: &Case) -> Vec<Ends> {
    let mut out = vec![];
    if case.jig.supply.mains.is_some() {
        out.push([NET_L, NET_N]);
    } else {
        out.extend(case.jig.outlets.iter().map(|o| o.across));
    }
    for p in &case.jig.parts {
        match &p.kind {
            PartKind::Psu(Psu { output, .. }) => out.push(*output),
            PartKind::Transformer(Transformer { secondaries, .. }) => out.extend(secondaries.iter().map(|s| s.across)),
            _ => {}
        }
    }
    out
}
