//! Moments: switch-on at the worst instant, the plug pulled at the worst instant, a charged thing put on an outlet.

use crate::circuit::{Circuit, Device, Solver, Start, Until};
use crate::finding::Kind;
use crate::jig::{LoadKind, NetId, PartKind};
use crate::part::{Capacitor, Thermistor};
use crate::standard::{self, Level};

use super::condition::Condition;
use super::ledger::{Left, Outcome, Pulse, Worst};
use super::model::Measure;
use super::run::{Bench, Desk, Job};

/// Angles at which switching on is tried, degrees.
const ANGLES: [f64; 8] = [0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0];
/// Phases at which unplugging is looked for.
const PHASES: usize = 32;
/// Seconds that stand for "at once": long enough for every device to take its state, too short for any charge to go.
const INSTANT: f64 = 1e-6;
/// Seconds after which a discharge that has not come to its end is given up.
const PATIENCE: f64 = 60.0;

/// Everything that happens in a moment rather than for ever.
pub fn run(bench: &Bench, job: &Job, desk: &mut Desk) {
    let condition = Condition { level: Level::High, ..job.condition.clone() };
    let circuit = bench.model.circuit(bench.jig, &condition);
    let stores =
        circuit.branches.iter().any(|b| matches!(b.device, Device::Capacitor { .. } | Device::Inductor { .. }));
    let warms = circuit.branches.iter().any(|b| matches!(b.device, Device::Filament { .. }))
        || bench.jig.parts.iter().any(|p| matches!(p.kind, PartKind::Thermistor(_)));
    if bench.jig.supply.mains.is_some() {
        if condition.faults.is_empty() && (stores || warms) {
            switch_on(bench, &condition, &circuit, desk);
        }
        if charge_could_matter(bench, &circuit) {
            unplug(bench, &condition, &circuit, desk);
        }
    }
    discharge(bench, &condition, &circuit, desk);
}

/// Whether the capacitors could together break a published rule for the pins even at the crest of the highest mains:
/// what every rule exempts needs no waiting for.
fn charge_could_matter(bench: &Bench, circuit: &Circuit) -> bool {
    let farads: f64 =
        circuit.branches.iter().map(|b| if let Device::Capacitor { farads } = b.device { farads } else { 0.0 }).sum();
    let crest = std::f64::consts::SQRT_2 * bench.scale(Level::High) * bench.model.nominal;
    // Twice the crest: what a diode can pump a capacitor up to.
    standard::discharge::plug_pin_rules().iter().any(|r| r.broken(2.0 * crest, farads))
}

fn kind_of(c: &Condition) -> Kind {
    if c.faults.is_empty() { Kind::Normal } else { Kind::SingleFault }
}

fn switch_on(bench: &Bench, condition: &Condition, circuit: &Circuit, desk: &mut Desk) {
    let model = bench.model;
    let mut cold = circuit.clone();
    for (item, part) in model.items.iter().map(|i| (i, &bench.jig.parts[i.part].kind)) {
        if let (PartKind::Thermistor(Thermistor { cold: ohms, .. }), Measure::Branch(b)) = (part, &item.measure) {
            cold.branches[*b].device = Device::Resistor { ohms: *ohms };
        }
    }
    let seconds = 1.0 / circuit.hertz;
    let loads = bench.jig.outlets.iter().zip(&condition.loads);
    let shorted = loads.filter_map(|(o, l)| o.loads.get(*l)).any(|l| l.kind == LoadKind::Short);
    for degrees in ANGLES {
        let c = Condition { moment: format!("switched on at {degrees}°"), ..condition.clone() };
        let start = Start { angle: f64::to_radians(degrees), state: vec![] };
        let run = Solver::new(&cold)
            .and_then(|mut s| s.transient(bench.scale(c.level), &start, &Until { seconds, falls_below: None }));
        match run {
            Ok(t) if !t.forced => {
                let at = desk.tried(c, Outcome::Solved);
                desk.ledger.take_quantities(&model.items, &t.branches, Kind::Transient, at);
                pulses(bench, condition, &t, at, desk);
                inrush(bench, shorted, &t, at, desk);
            }
            Ok(_) => {
                desk.tried(c, Outcome::Unsolved("no consistent set of device states at one instant".into()));
            }
            Err(e) => {
                desk.tried(c, Outcome::Unsolved(e.to_string()));
            }
        }
    }
}

/// The first cycle of what is meant to be switched on: a shorted outlet is not.
fn inrush(bench: &Bench, shorted: bool, t: &crate::circuit::Transient, at: super::ledger::Ordinal, desk: &mut Desk) {
    if shorted {
        return;
    }
    for (k, item) in bench.model.items.iter().enumerate() {
        let branches: &[usize] = match &item.measure {
            Measure::Branch(b) => &[*b],
            Measure::Series(list, _) => &list[..1],
            Measure::Bridge(arms) => &arms[..],
        };
        let most = |f: &dyn Fn(usize) -> f64| branches.iter().map(|b| f(*b)).fold(0.0, f64::max);
        let lasting = &mut desk.ledger.lasting;
        let peak = most(&|b| t.branches[b].i_peak());
        Worst::meet(&mut lasting.inrush[k], Worst { value: peak, at });
        Worst::meet(&mut lasting.inrush_i2t[k], Worst { value: most(&|b| t.i2t[b]), at });
    }
}

fn pulses(
    bench: &Bench,
    condition: &Condition,
    t: &crate::circuit::Transient,
    at: super::ledger::Ordinal,
    desk: &mut Desk,
) {
    let broken = super::run::broken(bench, condition);
    for (k, item) in bench.model.items.iter().enumerate().filter(|(k, _)| !broken[*k]) {
        let b = match &item.measure {
            Measure::Branch(b) => *b,
            Measure::Series(list, _) => list[0],
            Measure::Bridge(_) => continue,
        };
        let q = &t.branches[b];
        let pulse = Pulse { energy: t.energy[b], peak: q.v_peak() * q.i_peak(), i2t: t.i2t[b], seconds: t.seconds, at };
        desk.ledger.take_pulse(k, !condition.faults.is_empty(), pulse);
    }
}

/// Branches that are capacitors, and their capacitance.
fn capacitors(circuit: &Circuit) -> Vec<(usize, f64)> {
    let capacitor = |(k, b): (usize, &crate::circuit::Branch)| match b.device {
        Device::Capacitor { farads } => Some((k, farads)),
        _ => None,
    };
    circuit.branches.iter().enumerate().filter_map(capacitor).collect()
}

/// Phases of the cycle that leave most in a capacitor, either way, and the crests of the mains.
fn worst_phases(states: &[Vec<f64>], capacitors: &[(usize, f64)]) -> Vec<usize> {
    let mut phases: Vec<usize> = vec![PHASES / 4, 3 * PHASES / 4];
    for &(k, _) in capacitors {
        let by = |a: &usize, b: &usize| states[*a][k].total_cmp(&states[*b][k]);
        phases.extend((0..PHASES).max_by(by));
        phases.extend((0..PHASES).min_by(by));
    }
    phases.sort_unstable();
    phases.dedup();
    phases
}

/// Volts left between two nets so many seconds after the plug was pulled at the worst phase (or, of a jig without mains,
/// after what is charged was put on), in one condition.
///
/// # Errors
/// Why it could not be solved.
pub fn left_between(bench: &Bench, condition: &Condition, nets: [NetId; 2], seconds: f64) -> Result<f64, String> {
    let model = bench.model;
    let circuit = model.circuit(bench.jig, condition);
    let words = |e: crate::circuit::Unsolved| e.to_string();
    let states = if bench.jig.supply.mains.is_some() {
        let scale = bench.scale(condition.level);
        let states = Solver::new(&circuit).and_then(|mut s| s.states_over_cycle(scale, PHASES)).map_err(words)?;
        let phases = worst_phases(&states, &capacitors(&circuit));
        phases.into_iter().map(|k| states[k].clone()).collect()
    } else {
        let charged = charged(bench, condition);
        let put_on = |sign: f64| {
            let mut state = vec![0.0; circuit.branches.len()];
            charged.iter().for_each(|(b, v, _)| state[*b] = sign * v);
            state
        };
        vec![put_on(1.0), put_on(-1.0)]
    };
    let mut pulled = if bench.jig.supply.mains.is_some() { model.unplugged(circuit.clone()) } else { circuit.clone() };
    let [a, b] = nets.map(|n| model.node[n]);
    let meter = pulled.branches.len();
    let device = Device::Resistor { ohms: super::model::VOLTMETER };
    pulled.branches.push(crate::circuit::Branch { a, b, device });
    let mut most: f64 = 0.0;
    for mut state in states {
        state.resize(pulled.branches.len(), 0.0);
        let until = Until { seconds: seconds.max(INSTANT), falls_below: None };
        let t = Solver::new(&pulled)
            .and_then(|mut s| s.transient(1.0, &Start { angle: 0.0, state }, &until))
            .map_err(words)?;
        if t.forced {
            return Err("no consistent set of device states at one instant".into());
        }
        most = most.max(t.volts[meter].abs());
    }
    Ok(most)
}

/// What stands charged before anything begins: branch, volts, names of its nets.
fn charged(bench: &Bench, condition: &Condition) -> Vec<(usize, f64, [String; 2])> {
    let (jig, model) = (bench.jig, bench.model);
    let mut charged: Vec<(usize, f64, [String; 2])> = vec![];
    for (k, (outlet, &load)) in jig.outlets.iter().zip(&condition.loads).enumerate() {
        if let Some(LoadKind::Charged(_, volts)) = outlet.loads.get(load).map(|l| l.kind) {
            let names = outlet.across.map(|n| jig.nets[n].name.clone());
            charged.push((model.outlet_branches[k], volts, names));
        }
    }
    for item in &model.items {
        if let (PartKind::Capacitor(Capacitor { charged: Some(v), across, .. }), Measure::Branch(b)) =
            (&jig.parts[item.part].kind, &item.measure)
        {
            charged.push((*b, *v, across.map(|n| jig.nets[n].name.clone())));
        }
    }
    charged
}

/// Pulls the plug at the phases that leave most in each capacitor and between the pins, and waits.
fn unplug(bench: &Bench, condition: &Condition, circuit: &Circuit, desk: &mut Desk) {
    let (jig, model) = (bench.jig, bench.model);
    let scale = bench.scale(condition.level);
    let Ok(states) = Solver::new(circuit).and_then(|mut s| s.states_over_cycle(scale, PHASES)) else { return };
    let capacitors = capacitors(circuit);
    let phases = worst_phases(&states, &capacitors);
    // A capacitor without charge worth the name needs no waiting.
    if states.iter().all(|s| capacitors.iter().all(|(k, _)| s[*k].abs() < 1.0)) {
        return;
    }
    let mut times: Vec<f64> = standard::discharge::plug_pin_rules().iter().map(|r| r.after_s).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    let pulled = model.unplugged(circuit.clone());
    for phase in phases {
        let degrees = 360.0 * phase as f64 / PHASES as f64;
        let c = Condition { moment: format!("unplugged at {degrees}°"), ..condition.clone() };
        let kind = kind_of(&c);
        let mut state = states[phase].clone();
        let mut at = None;
        let mut before = 0.0;
        for &time in &times {
            let until = Until { seconds: time - before, falls_below: None };
            let run = Solver::new(&pulled)
                .and_then(|mut s| s.transient(1.0, &Start { angle: 0.0, state: state.clone() }, &until));
            let t = match run {
                Ok(t) => t,
                Err(e) => {
                    desk.tried(c.clone(), Outcome::Unsolved(e.to_string()));
                    break;
                }
            };
            let ordinal = *at.get_or_insert_with(|| desk.tried(c.clone(), Outcome::Solved));
            before = time;
            let farads: f64 = capacitors.iter().filter(|(k, _)| t.state[*k].abs() > 1.0).map(|x| x.1).sum();
            let mut note = |between: [String; 2], probe: usize| {
                let volts = t.volts[probe].abs();
                desk.ledger.take_left(Left { between, seconds: time, volts, farads, at: ordinal, kind, took: false });
            };
            if let Some(p) = model.pin_probe {
                note(["L".into(), "N".into()], p);
            }
            for (touchable, probe) in jig.touchables.iter().zip(&model.touch_probes) {
                note([touchable.name.clone(), "earth".into()], *probe);
            }
            state = t.state;
        }
    }
}

/// A charged capacitor of the jig or on an outlet: both polarities, until it may be handled.
fn discharge(bench: &Bench, condition: &Condition, circuit: &Circuit, desk: &mut Desk) {
    let (jig, model) = (bench.jig, bench.model);
    let charged = charged(bench, condition);
    if charged.is_empty() || jig.supply.mains.is_some() && !condition.faults.is_empty() {
        return;
    }
    let circuit = if jig.supply.mains.is_some() { model.unplugged(circuit.clone()) } else { circuit.clone() };
    let handled = standard::discharge::handle_below();
    for sign in [1.0, -1.0] {
        let mut state = vec![0.0; circuit.branches.len()];
        for (b, v, _) in &charged {
            state[*b] = sign * v;
        }
        let polarity = if sign > 0.0 { "" } else { ", the other polarity" };
        let c = Condition { moment: format!("{} V put on{polarity}", charged[0].1), ..condition.clone() };
        let until = Until { seconds: PATIENCE, falls_below: Some((charged[0].0, handled.value)) };
        let run = Solver::new(&circuit).and_then(|mut s| s.transient(1.0, &Start { angle: 0.0, state }, &until));
        match run {
            Ok(t) => {
                let at = desk.tried(c.clone(), Outcome::Solved);
                desk.ledger.take_quantities(&model.items, &t.branches, Kind::Transient, at);
                pulses(bench, condition, &t, at, desk);
                let broken = super::run::broken(bench, condition);
                let fault = !condition.faults.is_empty();
                desk.ledger.lasting.take_put_on(&model.items, &t.branches, fault, &broken, at);
                let volts = t.volts[charged[0].0].abs();
                let farads = match circuit.branches[charged[0].0].device {
                    Device::Capacitor { farads } => farads,
                    _ => 0.0,
                };
                let between = charged[0].2.clone();
                let kind = kind_of(&c);
                desk.ledger.take_left(Left { between, seconds: t.seconds, volts, farads, at, kind, took: true });
            }
            Err(e) => {
                desk.tried(c, Outcome::Unsolved(e.to_string()));
            }
        }
    }
}
