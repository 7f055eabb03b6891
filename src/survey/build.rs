//! From the jig to its circuit: the supply, the parts, what is plugged in, and meters wherever something is to be read.

use std::collections::BTreeMap;

use crate::circuit::Device;
use crate::jig::{Jig, NET_L, NET_N, NET_PE, PartKind};
use crate::nets::Nets;
pub(crate) use crate::nets::has_earth;
use crate::part::assembly::{Assembly, open};
use crate::part::{Protection, ThermalFuse};
use crate::standard;
use crate::standard::protection::Earthing;
use crate::standard::residual::RcdKind;

use super::model::{Model, Protector, ProtectorKind, hand};
use super::watts;

/// Hertz of a jig without mains: nothing in it alternates, so any will do.
const HERTZ_WITHOUT_MAINS: f64 = 50.0;

/// Builds the model of a jig.
pub(crate) fn build(jig: &Jig) -> Model {
    let nets = Nets::of(jig);
    let mains = jig.supply.mains.as_ref();
    let nominal = mains.map_or(0.0, |m| m.nominal);
    let mut assembly = Assembly::new(jig.nets.len(), mains.map_or(HERTZ_WITHOUT_MAINS, |m| m.hertz), nominal);
    let supply = connect(jig, &mut assembly);
    for (k, part) in jig.parts.iter().enumerate() {
        assembly.begin(k, &part.name);
        part.kind.assemble(&mut assembly);
    }
    let outlet_branches = jig.outlets.iter().map(|o| assembly.across(o.across, open())).collect();
    let outlet_probes = isolated_outlets(jig, &nets, &mut assembly);
    let touch_probes = jig.touchables.iter().map(|t| assembly.voltmeter(t.net)).collect();
    let pair_probes = pairs(jig, &mut assembly);
    let protectors = protectors(jig, &assembly, &supply);
    let mut model = Model {
        nets,
        base: assembly.circuit,
        items: assembly.items,
        node: assembly.node,
        toleranced: assembly.toleranced,
        remanent: assembly.remanent,
        sources: supply.sources,
        conductors: supply.conductors,
        contacts: assembly.contacts,
        touch_probes,
        pair_probes,
        outlet_branches,
        outlet_probes,
        ohms_of_watts: BTreeMap::new(),
        protectors,
        nominal,
        assumptions: assembly.assumptions,
    };
    model.base.hand = hand();
    let outlets = model.outlet_probes.iter().flatten().flatten();
    model.base.hands =
        model.touch_probes.iter().chain(model.pair_probes.iter().map(|p| &p.2)).chain(outlets).copied().collect();
    // A part whose ends are on one net has no branch of its own to speak of, but must not be a source loop.
    model.base.branches.iter_mut().for_each(|x| {
        if x.a == x.b && matches!(x.device, Device::Source { .. }) {
            x.device = open();
        }
    });
    watts::settle(jig, &mut model);
    model
}

/// Branches of the supply.
struct Supply {
    sources: [usize; 2],
    conductors: [Option<usize>; 3],
}

/// The mains behind the impedance of its loop and the cord, half of it in each conductor. Without mains there is nothing.
fn connect(jig: &Jig, assembly: &mut Assembly) -> Supply {
    let mut supply = Supply { sources: [usize::MAX; 2], conductors: [None; 3] };
    let Some(mains) = &jig.supply.mains else { return supply };
    let (loop_ohms, _) = standard::bench::loop_impedance(mains.to_earth());
    let cord = jig.supply.cord.as_ref();
    let cord = cord.and_then(|c| Some(standard::cord::conductor_resistance(c.area?).value * c.length?));
    let each = Device::Resistor { ohms: 0.5 * loop_ohms.value + cord.unwrap_or(0.0) };
    for (k, net) in [NET_L, NET_N].into_iter().enumerate() {
        let inner = assembly.inner();
        supply.sources[k] = assembly.branch(inner, 0, Device::Source { dc: 0.0, sine: 0.0, phase: 0.0 });
        supply.conductors[k] = Some(assembly.branch(inner, assembly.node[net], each));
    }
    if has_earth(jig) {
        supply.conductors[2] = Some(assembly.branch(assembly.node[NET_PE], 0, earth_return(jig, each)));
    }
    supply
}

/// The earth conductor: back to the source by a wire like the live ones, or through an earth electrode of the house.
fn earth_return(jig: &Jig, wire: Device) -> Device {
    match (jig.supply.earthing, wire) {
        (Earthing::Tt, Device::Resistor { ohms }) => {
            let electrode = standard::protection::earth_electrode(jig.supply.rcd.flatten());
            Device::Resistor { ohms: ohms + electrode.value }
        }
        (_, wire) => wire,
    }
}

/// Voltmeters from both terminals of each outlet that nothing joins to the mains.
fn isolated_outlets(jig: &Jig, nets: &Nets, assembly: &mut Assembly) -> Vec<Option<[usize; 2]>> {
    let mut probe = |outlet: &crate::jig::Outlet| {
        let isolated = nets.has_mains() && !nets.on_mains().has_any(&outlet.across);
        isolated.then(|| outlet.across.map(|n| assembly.voltmeter(n)))
    };
    jig.outlets.iter().map(&mut probe).collect()
}

/// Voltmeters between touchables that are not one net.
fn pairs(jig: &Jig, assembly: &mut Assembly) -> Vec<(usize, usize, usize)> {
    let mut probes = vec![];
    for i in 0..jig.touchables.len() {
        for j in i + 1..jig.touchables.len() {
            let ends = [jig.touchables[i].net, jig.touchables[j].net];
            if ends[0] != ends[1] {
                probes.push((i, j, assembly.across(ends, Device::Meter)));
            }
        }
    }
    probes
}

/// What opens in a fault: parts of the jig, then the fuse in the plug, the breaker and the residual-current device ahead.
fn protectors(jig: &Jig, assembly: &Assembly, supply: &Supply) -> Vec<Protector> {
    let mut protectors = vec![];
    for (k, item) in assembly.items.iter().enumerate() {
        let kind = match jig.parts[item.part].kind.protection() {
            Protection::Fuse => ProtectorKind::Fuse(k),
            Protection::FusibleResistor => ProtectorKind::Fusible(k),
            Protection::ThermalFuse => {
                let PartKind::ThermalFuse(ThermalFuse { on: Some(on), .. }) = &jig.parts[item.part].kind else {
                    continue;
                };
                let Some(part) = jig.parts.iter().position(|p| p.name == *on) else { continue };
                ProtectorKind::Thermal(k, part)
            }
            Protection::None => continue,
        };
        protectors.push(Protector { branch: item.fault_branch, kind });
    }
    let Some(line) = supply.conductors[0] else { return protectors };
    if let Some(amperes) = jig.supply.plug_fuse {
        let kind = ProtectorKind::PlugFuse(amperes);
        protectors.push(Protector { branch: Some(line), kind });
    }
    if let Some(mains) = &jig.supply.mains {
        let usual = || standard::protection::usual_branch(&mains.row).value;
        let amperes = jig.supply.breaker.unwrap_or_else(usual);
        let kind = ProtectorKind::Breaker(amperes, standard::protection::breaker_of(&mains.row));
        protectors.push(Protector { branch: None, kind });
    }
    if let (Some(Some(residual)), Some(earth)) = (jig.supply.rcd, supply.conductors[2]) {
        // Where its type is not stated, the one that sees least is taken.
        let kind = ProtectorKind::Rcd(residual, jig.supply.rcd_type.unwrap_or(RcdKind::Ac));
        protectors.push(Protector { branch: Some(earth), kind });
    }
    protectors
}
