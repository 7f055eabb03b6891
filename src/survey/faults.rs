//! Every single fault: what may fail, and how.

use crate::jig::{CapClass, Grade, Jig, NET_L, NET_N, NET_PE, NetId, PartKind, Side, SwitchContacts};

use super::condition::{Conductor, Fault};
use super::model::{Measure, Model};

/// The single faults of a jig, and in words what is not failed and why.
pub fn list(jig: &Jig, model: &Model) -> (Vec<Fault>, Vec<String>) {
    let mut out = vec![];
    let mut spared = vec![];
    for (k, item) in model.items.iter().enumerate() {
        let part = &jig.parts[item.part];
        match &part.kind {
            // A bridge as a whole has no fault of its own, its arms have.
            _ if matches!(item.measure, Measure::Bridge(_)) => {}
            PartKind::Switch { .. } => out.extend([Fault::Open(k), Fault::Welded(k)]),
            PartKind::Wire { .. } => out.push(Fault::Open(k)),
            PartKind::Capacitor { class: Some(c @ (CapClass::Y1 | CapClass::Y2 | CapClass::Y4)), .. } => {
                out.push(Fault::Open(k));
                spared.push(format!(
                    "{}: not shorted, class {c:?} is built not to fail short (IEC 60384-14, class Y)",
                    part.name
                ));
            }
            PartKind::Psu { .. } => {
                // The barrier is spared in the model's assumptions; its two sides fail open.
                out.push(Fault::Open(k));
            }
            PartKind::Load { .. } => out.extend([Fault::Open(k), Fault::Short(k)]),
            _ => out.extend([Fault::Open(k), Fault::Short(k)]),
        }
        if let PartKind::Transformer { insulation, .. } = &part.kind {
            let primary = model.items.iter().position(|i| i.part == item.part);
            if let Some(p) = primary.filter(|p| *p != k) {
                // The windings of an autotransformer are one: there is no insulation between them to fail.
                let one = model.items[p].ends.iter().any(|n| item.ends.contains(n));
                if one {
                    spared.push(format!(
                        "{}: a winding bridged in part; {} is no winding of its own",
                        part.name, item.name
                    ));
                } else if matches!(insulation, Some(Grade::Reinforced | Grade::Double)) {
                    spared.push(format!(
                        "{}: insulation between {} and the primary not failed, it is stated as reinforced or double \
                         (IEC 61558-1)",
                        part.name, item.name
                    ));
                } else {
                    out.push(Fault::WindingsJoined(p, k));
                }
            }
        }
    }
    let wires = [Conductor::L, Conductor::N, Conductor::Pe];
    for (k, c) in wires.into_iter().enumerate() {
        if model.conductors[k].is_some() {
            out.push(Fault::ConductorOpen(c));
        }
    }
    let live = mains_nets(jig);
    for (k, i) in jig.insulations.iter().enumerate() {
        if i.grade >= Grade::Double {
            continue;
        }
        let side = |s: Side| match s {
            Side::Mains => live.clone(),
            Side::Net(n) => vec![n],
        };
        let (a, b) = (side(i.between[0]), side(i.between[1]));
        for x in &a {
            for y in &b {
                if x != y {
                    out.push(Fault::Breakdown(k, *x, *y));
                }
            }
        }
    }
    spared.sort();
    spared.dedup();
    (out, spared)
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
        for p in &jig.parts {
            match &p.kind {
                PartKind::Transformer { primary, secondaries, .. } => {
                    join(primary.across[0], primary.across[1]);
                    secondaries.iter().for_each(|s| join(s.across[0], s.across[1]));
                }
                PartKind::Psu { input, output, .. } => {
                    join(input[0], input[1]);
                    join(output[0], output[1]);
                }
                PartKind::Switch { contacts: SwitchContacts::Poles(poles), .. } => {
                    poles.iter().for_each(|e| join(e[0], e[1]));
                }
                PartKind::Switch { contacts: SwitchContacts::Positions(p), .. } => {
                    p.iter().flat_map(|x| &x.1).for_each(|e| join(e[0], e[1]));
                }
                PartKind::Bridge { ac, plus, minus, .. } => {
                    join(ac[0], *plus);
                    join(ac[1], *plus);
                    join(ac[0], *minus);
                }
                PartKind::Socket { .. } => {}
                // A capacitor does not join conductively.
                PartKind::Capacitor { .. } => {}
                PartKind::Resistor { across, .. }
                | PartKind::Inductor { across, .. }
                | PartKind::Winding { across, .. }
                | PartKind::Diode { across, .. }
                | PartKind::Led { across, .. }
                | PartKind::Suppressor { across, .. }
                | PartKind::Neon { across, .. }
                | PartKind::Filament { across, .. }
                | PartKind::Fuse { across, .. }
                | PartKind::ThermalFuse { across, .. }
                | PartKind::Varistor { across, .. }
                | PartKind::Thermistor { across, .. }
                | PartKind::Load { across, .. }
                | PartKind::Wire { across, .. } => join(across[0], across[1]),
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
