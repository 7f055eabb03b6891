//! What is written in watts and does not hang on the mains: its resistance is that which takes them at the volts it gets.
//! Judges nothing.

use crate::circuit::{Circuit, Device, Solver};
use crate::finding::Quantity;
use crate::jig::{Jig, LoadKind, PartKind};
use crate::part::assembly::open;
use crate::part::{Item, Load, Measure};
use crate::standard::bench;

use super::condition::Condition;
use super::conditions;
use super::measured::measured;
use super::model::Model;

/// Rounds in which volts and resistance are brought together, and the change at which they are.
const ROUNDS: usize = 12;
const SETTLED: f64 = 1e-3;

/// Finds the resistance of every part and every outlet's load that is written in watts and that nothing joins to the mains. A
/// source that cannot give the watts is taken at the least volts it is asked to keep.
pub(super) fn settle(jig: &Jig, model: &mut Model) {
    if jig.supply.mains.is_none() || !has_any(jig, model) {
        return;
    }
    let settings = positions(jig);
    let fixed: Vec<(usize, f64)> = fixed(jig, model).collect();
    for (item, watts) in fixed {
        let was = model.base.clone();
        let ohms = model.nominal * model.nominal / watts;
        let volts = |model: &mut Model, wanted: f64| {
            put(&mut model.base, &was, &model.items[item], wanted / ohms);
            let of = |model: &Model, c: &Condition| {
                let solved = Solver::new(&unloaded(jig, model, c)).ok()?.steady(1.0).ok()?;
                Some(measured(&model.items[item], &solved.branches)[Quantity::VoltageRms])
            };
            settings.iter().filter_map(|c| of(model, c)).fold(0.0, f64::max)
        };
        let found = resistance(model.nominal, watts, |wanted| volts(model, wanted));
        put(&mut model.base, &was, &model.items[item], found.map_or(1.0, |r| r / ohms));
    }
    for (outlet, load, watts) in outlets(jig, model).collect::<Vec<_>>() {
        let branch = model.outlet_branches[outlet];
        let volts = |ohms: f64| {
            let of = |c: &Condition| {
                let mut circuit = unloaded(jig, model, c);
                circuit.branches[branch].device = Device::Resistor { ohms };
                Some(Solver::new(&circuit).ok()?.steady(1.0).ok()?.branches[branch].v_rms)
            };
            settings.iter().filter_map(of).fold(0.0, f64::max)
        };
        if let Some(ohms) = resistance(model.nominal, watts, volts) {
            model.ohms_of_watts.insert((outlet, load), ohms);
        }
    }
}

/// The ohms that take the watts at the volts they leave, or at those of the mains where it is about as many; `None` where there
/// are no volts.
fn resistance(nominal: f64, watts: f64, mut volts: impl FnMut(f64) -> f64) -> Option<f64> {
    let Device::Resistor { ohms: none } = open() else { return None };
    let open_volts = volts(none);
    if bench::is_near_mains(open_volts / nominal) {
        return Some(nominal * nominal / watts);
    }
    let least = bench::least_volts_of_watts().value * open_volts;
    let mut ohms = open_volts * open_volts / watts;
    for _ in 0..ROUNDS {
        if ohms <= 0.0 {
            return None;
        }
        let v = volts(ohms).max(least);
        let next = v * v / watts;
        if (next - ohms).abs() <= SETTLED * ohms {
            break;
        }
        ohms = next;
    }
    Some(ohms)
}

fn has_any(jig: &Jig, model: &Model) -> bool {
    outlets(jig, model).next().is_some() || fixed(jig, model).next().is_some()
}

/// Outlets that nothing joins to the mains, and their loads in watts.
fn outlets(jig: &Jig, model: &Model) -> impl Iterator<Item = (usize, usize, f64)> {
    let isolated = jig.outlets.iter().enumerate().filter(|(k, _)| model.outlet_probes[*k].is_some());
    isolated.flat_map(|(k, outlet)| {
        outlet.loads.iter().enumerate().filter_map(move |(l, load)| match load.kind {
            LoadKind::Power(watts) => Some((k, l, watts)),
            LoadKind::Open | LoadKind::Short | LoadKind::Resistance(_) | LoadKind::Charged(..) => None,
        })
    })
}

/// Items of the parts in watts that nothing joins to the mains.
fn fixed(jig: &Jig, model: &Model) -> impl Iterator<Item = (usize, f64)> {
    model.items.iter().enumerate().filter_map(|(k, item)| {
        let PartKind::Load(Load { power: Some(watts), resistance: None, .. }) = jig.parts[item.part].kind else {
            return None;
        };
        (!model.nets.on_mains().has_any(&item.ends)).then_some((k, watts))
    })
}

/// Every position of the switches, with the plug as it is first tried.
fn positions(jig: &Jig) -> Vec<Condition> {
    let mut out: Vec<Condition> = vec![];
    for c in conditions(jig, &[]) {
        if !out.iter().any(|o| o.switches == c.switches) {
            out.push(c);
        }
    }
    out
}

/// The circuit of a condition with nothing plugged in.
fn unloaded(jig: &Jig, model: &Model, c: &Condition) -> Circuit {
    let mut circuit = model.circuit(jig, c);
    model.outlet_branches.iter().for_each(|b| circuit.branches[*b].device = open());
    circuit
}

fn branches(item: &Item) -> Vec<usize> {
    match &item.measure {
        Measure::Branch(b) => vec![*b],
        Measure::Series(list, _) => list.clone(),
        Measure::Bridge(_) => vec![],
    }
}

/// The branches of an item at so many times what they were.
fn put(circuit: &mut Circuit, was: &Circuit, item: &Item, times: f64) {
    for b in branches(item) {
        let mut device = was.branches[b].device;
        if let Device::Resistor { ohms: x } | Device::Inductor { henries: x } = &mut device {
            *x *= times;
        }
        circuit.branches[b].device = device;
    }
}
