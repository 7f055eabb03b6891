//! One job = one way round, one setting of switches and loads, no fault or one: every supply level, the tolerance
//! corners, what a hand would feel, and the transients that belong to it.

use crate::circuit::{Circuit, Device, Quantities, Solver, Steady};
use crate::finding::Kind;
use crate::jig::{Jig, LoadKind, NetId, PartKind};
use crate::part::Neon;
use crate::standard::touch::{Condition as Limits, TouchLimits};
use crate::standard::{self, Level, Mains};

use super::clearing::{Clearing, first_to_clear, opens};
use super::condition::{Condition, Fault};
use super::ledger::{Lamp, Ledger, Ordinal, Outcome, TouchWorst, Tried, Worst};
use super::measured::measured;
use super::model::{Measure, Model};

/// Largest energy residual a solution may have and still be believed.
const BELIEVED: f64 = 1e-6;

/// What a worker needs to know.
pub struct Bench<'a> {
    /// The jig.
    pub jig: &'a Jig,
    /// Its model.
    pub model: &'a Model,
    /// Limits in normal condition and after a single fault.
    pub limits: [TouchLimits; 2],
    /// Longest published time in which a fault to earth is to be ended, seconds; `None` where none is asked.
    pub disconnection: Option<f64>,
    /// How much is tried of a job.
    pub depth: Depth,
}

/// How much is tried of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// Every supply level, tolerance corners, transients.
    Full,
    /// Values as stated at the highest supply, in the steady state: what can be afforded for every pair of faults.
    Steady,
}

impl<'a> Bench<'a> {
    /// Sets a bench up.
    pub fn new(jig: &'a Jig, model: &'a Model, depth: Depth) -> Bench<'a> {
        let limits = [Limits::Normal, Limits::SingleFault].map(standard::touch::limits);
        let earth = jig.supply.mains.as_ref().map(Mains::to_earth);
        // The longer of the two published times goes with the ordinary case, a supply earthed at its source.
        let disconnection = earth
            .and_then(|v| standard::protection::disconnection(v, standard::protection::Earthing::Tn))
            .map(|l| l.value);
        Bench { jig, model, limits, disconnection, depth }
    }

    /// Factor on the nominal supply.
    pub fn scale(&self, level: Level) -> f64 {
        self.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(level))
    }
}

/// One job.
#[derive(Debug, Clone)]
pub struct Job {
    /// Number, which orders the results.
    pub number: u32,
    /// The condition at nominal supply.
    pub condition: Condition,
}

impl Job {
    /// The job of a condition, by its place in a list.
    pub fn numbered((number, condition): (usize, Condition)) -> Job {
        Job { number: u32::try_from(number).unwrap_or(u32::MAX), condition }
    }
}

/// Numbers conditions within a job.
pub struct Desk<'a> {
    /// Where results go.
    pub ledger: &'a mut Ledger,
    job: u32,
    next: u32,
}

impl Desk<'_> {
    /// Notes a condition and gives its number.
    pub fn tried(&mut self, condition: Condition, outcome: Outcome) -> Ordinal {
        let ordinal = (self.job, self.next);
        self.next += 1;
        self.ledger.tried.push(Tried { ordinal, condition, outcome, strained: None });
        ordinal
    }
}

/// Solves, and refuses what cannot be believed.
pub(super) fn believe(solver: &mut Solver, scale: f64) -> Result<Steady, String> {
    let s = solver.steady(scale).map_err(|e| e.to_string())?;
    if s.forced {
        return Err("no consistent set of device states at one instant".into());
    }
    if s.residual > BELIEVED || s.residual.is_nan() {
        return Err(format!("the energies do not balance (residual {:.1e})", s.residual));
    }
    Ok(s)
}

/// Runs one job into the ledger.
pub fn run(bench: &Bench, job: &Job, ledger: &mut Ledger) {
    let mut desk = Desk { ledger, job: job.number, next: 0 };
    if bench.jig.supply.mains.is_some() {
        steady_states(bench, job, &mut desk);
    }
    if bench.depth == Depth::Full {
        super::transients::run(bench, job, &mut desk);
    }
}

fn steady_states(bench: &Bench, job: &Job, desk: &mut Desk) {
    let model = bench.model;
    let circuit = model.circuit(bench.jig, &job.condition);
    let mut solver = match Solver::new(&circuit) {
        Ok(s) => s,
        Err(e) => {
            desk.tried(job.condition.clone(), Outcome::Unsolved(e.to_string()));
            return;
        }
    };
    let levels: &[Level] = match bench.depth {
        Depth::Full => &[Level::Nominal, Level::High, Level::Low],
        Depth::Steady => &[Level::High],
    };
    for &level in levels {
        let condition = Condition { level, ..job.condition.clone() };
        let solution = match believe(&mut solver, bench.scale(level)) {
            Ok(s) => s,
            Err(why) => {
                desk.tried(condition, Outcome::Unsolved(why));
                continue;
            }
        };
        let plain = job.number == 0 && level == Level::Nominal && condition.is_plain();
        if plain {
            for (k, item) in model.items.iter().enumerate() {
                desk.ledger.nominal[k] = Some(measured(item, &solution.branches));
            }
            lamps(bench, &solver, &solution, desk);
        }
        settle(bench, &circuit, condition.clone(), &solution, desk);
        if level == Level::Low && condition.faults.is_empty() {
            strike_margins(bench, &condition, desk);
        }
        // Low mains is the harsher end only for what should work and does not: that is asked without a fault.
        let worth = level == Level::High || level == Level::Low && condition.faults.is_empty();
        if bench.depth == Depth::Full && worth {
            super::corners::corners(bench, &condition, &solution, desk);
        }
    }
}

/// Files a steady state: as it is, or as what comes before and after protective devices open.
pub(super) fn settle(bench: &Bench, circuit: &Circuit, condition: Condition, s: &Steady, desk: &mut Desk) {
    settle_after(bench, circuit, condition, s, 0.0, desk);
}

/// As [`settle`], so many seconds after the condition began. What the first device leaves may make the next one open; each
/// opens once, so this comes to an end.
fn settle_after(bench: &Bench, circuit: &Circuit, condition: Condition, s: &Steady, elapsed: f64, desk: &mut Desk) {
    let model = bench.model;
    let normal = condition.faults.is_empty();
    let kind = if normal { Kind::Normal } else { Kind::SingleFault };
    let Some(Clearing { protector, within, amperes }) = first_to_clear(bench.jig, model, &condition, &s.branches)
    else {
        let at = desk.tried(condition.clone(), Outcome::Solved);
        lasts(bench, circuit, &condition, s, kind, at, desk);
        return;
    };
    let by = model.protectors[protector].name.clone();
    let also = opens(bench.jig, model, &condition, &s.branches)
        .filter(|c| c.protector != protector)
        .map(|c| (model.protectors[c.protector].name.clone(), c.within))
        .collect();
    let within = elapsed + within;
    let at = desk.tried(condition.clone(), Outcome::Cleared { by, within, amperes, also });
    // Up to the opening it is a transient when it is brief; otherwise it lasts long enough to count.
    let brief = within <= standard::bench::short_overload_power().1.value;
    let before = if brief { Kind::Transient } else { kind };
    let late = brief && bench.disconnection.is_some_and(|limit| within > limit);
    desk.ledger.take(&model.items, s, before, at);
    touch(bench, circuit, &condition, s, (before, late), at, desk);
    let mut opened = circuit.clone();
    super::clearing::open(model, protector, condition.way, &mut opened);
    let solution =
        Solver::new(&opened).map_err(|e| e.to_string()).and_then(|mut x| believe(&mut x, bench.scale(condition.level)));
    let moment = super::clearing::opened(&condition.moment, &model.protectors[protector]);
    let after = Condition { moment, ..condition };
    match solution {
        Ok(s) => settle_after(bench, &opened, after, &s, within, desk),
        Err(why) => {
            desk.tried(after, Outcome::Unsolved(why));
        }
    }
}

/// Files a steady state that nothing ends.
fn lasts(
    bench: &Bench,
    circuit: &Circuit,
    condition: &Condition,
    s: &Steady,
    kind: Kind,
    at: Ordinal,
    desk: &mut Desk,
) {
    let model = bench.model;
    desk.ledger.take(&model.items, s, kind, at);
    let nominal = condition.level == Level::Nominal;
    let fault = kind != Kind::Normal;
    let broken = broken(bench, condition);
    desk.ledger.lasting.take(&model.items, &model.conductors, &s.branches, (fault, nominal), &broken, at);
    let strained = super::clearing::strained(bench.jig, model, condition, &s.branches);
    if let Some(t) = desk.ledger.tried.last_mut() {
        t.strained = strained;
    }
    touch(bench, circuit, condition, s, (kind, false), at, desk);
    if condition.level == Level::High && condition.corner.is_empty() {
        outlet_touch(bench, circuit, condition, s, kind, at, desk);
    }
}

/// Items that have failed themselves in a condition. A fuse that has opened and a switch still stand their volts; a
/// bridge with one broken arm is a broken bridge.
pub(super) fn broken(bench: &Bench, condition: &Condition) -> Vec<bool> {
    let mut out = vec![false; bench.model.items.len()];
    for f in &condition.faults {
        let (Fault::Open(k) | Fault::Short(k)) = f else { continue };
        let part = bench.model.items[*k].part;
        match bench.jig.parts[part].kind {
            PartKind::Fuse(_) | PartKind::ThermalFuse(_) | PartKind::Switch(_) => {}
            PartKind::Bridge(_) => {
                out.iter_mut().zip(&bench.model.items).filter(|(_, i)| i.part == part).for_each(|(b, _)| *b = true);
            }
            _ => out[*k] = true,
        }
    }
    out
}

/// A hand on each terminal of every isolated outlet.
fn outlet_touch(
    bench: &Bench,
    circuit: &Circuit,
    condition: &Condition,
    s: &Steady,
    kind: Kind,
    at: Ordinal,
    desk: &mut Desk,
) {
    // A lost insulation on the isolated side alone is the first fault that isolation is there to bear.
    let live = super::faults::mains_nets(bench.jig);
    let borne = |f: &Fault| matches!(f, Fault::Breakdown(_, a, b) if !live.contains(a) && !live.contains(b));
    if condition.faults.iter().any(borne) {
        return;
    }
    for (k, probes) in bench.model.outlet_probes.iter().enumerate() {
        let Some(probes) = probes else { continue };
        let load = condition.loads.get(k).and_then(|l| bench.jig.outlets[k].loads.get(*l));
        // Both terminals of a shorted outlet are one: nothing that the open one does not show.
        if load.is_some_and(|l| l.kind == LoadKind::Short) {
            continue;
        }
        for (probe, net) in probes.iter().zip(bench.jig.outlets[k].across) {
            match feel(bench, circuit, condition, &s.branches[*probe], (net, None), kind, at) {
                Ok(t) => t.meet(&mut desk.ledger.lasting.outlets[k][usize::from(kind != Kind::Normal)]),
                Err(why) => {
                    let moment = format!("a terminal of {} touched", bench.jig.outlets[k].name);
                    desk.tried(Condition { moment, ..condition.clone() }, Outcome::Unsolved(why));
                }
            }
        }
    }
}

/// Share of its limits a waveform takes: d.c. and a.c. parts added, the a.c. part by r.m.s. or crest, whichever is more.
fn share(q: (f64, f64, f64, f64), rms: f64, peak: f64, dc: f64) -> f64 {
    let (r, mean, max, min) = q;
    let ac = (r * r - mean * mean).max(0.0).sqrt();
    let crest = (max - mean).max(mean - min);
    standard::touch::combined_share(mean, dc, ac, rms).max(standard::touch::combined_share(mean, dc, crest, peak))
}

/// Beyond 1 the voltage is over its limit.
pub fn voltage_share(l: &TouchLimits, q: &Quantities) -> f64 {
    share((q.v_rms, q.v_mean, q.v_max, q.v_min), l.voltage_rms.value, l.voltage_peak.value, l.voltage_dc.value)
}

/// Beyond 1 the current is over its limit.
pub fn current_share(l: &TouchLimits, q: &Quantities) -> f64 {
    share((q.i_rms, q.i_mean, q.i_max, q.i_min), l.current_rms.value, l.current_peak.value, l.current_dc.value)
}

/// Files the touch of every touchable and pair. `how` is the kind to file it under, and whether a device ends it later
/// than the published disconnection time.
fn touch(
    bench: &Bench,
    circuit: &Circuit,
    condition: &Condition,
    s: &Steady,
    how: (Kind, bool),
    at: Ordinal,
    desk: &mut Desk,
) {
    let (kind, late) = how;
    let (jig, model) = (bench.jig, bench.model);
    let singles = model.touch_probes.iter().enumerate().map(|(k, p)| (false, k, *p, jig.touchables[k].net, None));
    let pairs = model
        .pair_probes
        .iter()
        .enumerate()
        .map(|(k, (i, j, p))| (true, k, *p, jig.touchables[*i].net, Some(jig.touchables[*j].net)));
    for (pair, k, probe, from, to) in singles.chain(pairs) {
        match feel(bench, circuit, condition, &s.branches[probe], (from, to), kind, at) {
            Ok(t) => {
                desk.ledger.take_touch(pair, k, kind, t);
                let lasting = &mut desk.ledger.lasting;
                if late {
                    t.meet(if pair { &mut lasting.late_pairs[k] } else { &mut lasting.late[k] });
                }
            }
            Err(why) => {
                let name = jig.touchables.iter().find(|t| t.net == from).map_or("", |t| &t.name);
                let moment = format!("{name} touched");
                desk.tried(Condition { moment, ..condition.clone() }, Outcome::Unsolved(why));
            }
        }
    }
}

/// What a hand feels between two nets (or a net and earth) that stand at `q` before they are touched. The body network
/// is put on where the open-circuit voltage could matter, and in normal condition wherever there is any; elsewhere the
/// voltage over the network's resistance bounds the current.
pub(super) fn feel(
    bench: &Bench,
    circuit: &Circuit,
    condition: &Condition,
    q: &Quantities,
    (from, to): (NetId, Option<NetId>),
    kind: Kind,
    at: Ordinal,
) -> Result<TouchWorst, String> {
    // No limit: what is hazardous needs a voltage share above 1, so below this one the cheap bound is enough. In normal
    // condition the table of touch values is to be exact wherever a meter would show anything.
    const FELT: f64 = 0.5;
    const SHOWN: f64 = 1e-3;
    let limits = &bench.limits[usize::from(kind != Kind::Normal)];
    let v = voltage_share(limits, q);
    let worth = v > FELT || (kind == Kind::Normal && v > SHOWN);
    let felt = if worth {
        let mut with = circuit.clone();
        let branch = bench.model.touch(&mut with, from, to);
        let mut solver = Solver::new(&with).map_err(|e| e.to_string())?;
        believe(&mut solver, bench.scale(condition.level))?.branches[branch]
    } else {
        let body = standard::touch::body_network();
        let over = body.rs + body.rb;
        Quantities {
            i_rms: q.v_rms / over,
            i_mean: q.v_mean / over,
            i_max: q.v_max / over,
            i_min: q.v_min / over,
            ..*q
        }
    };
    Ok(TouchWorst {
        voltage_rms: q.v_rms,
        voltage_peak: q.v_peak(),
        voltage_dc: q.v_mean,
        current_rms: felt.i_rms,
        current_peak: felt.i_peak(),
        current_dc: felt.i_mean,
        hazard: v.min(current_share(limits, &felt)),
        at,
    })
}

/// When lamps are lit at nominal supply.
fn lamps(bench: &Bench, solver: &Solver, solution: &Steady, desk: &mut Desk) {
    let hertz = bench.model.base.hertz;
    for (k, item) in bench.model.items.iter().enumerate() {
        let Measure::Branch(b) = item.measure else { continue };
        let lights =
            matches!(bench.jig.parts[item.part].kind, crate::jig::PartKind::Neon(_) | crate::jig::PartKind::Led(_));
        if let (true, Some(l)) = (lights, solver.lighting(b)) {
            // Behind a diode a glow lamp may strike the other way too, on nothing but the diode's leak: that is seen by
            // nobody. Then only the half-wave that carries current counts.
            let q = &solution.branches[b];
            let (ahead, back) = (q.i_max, -q.i_min);
            let neon = matches!(bench.jig.parts[item.part].kind, crate::jig::PartKind::Neon(_));
            let one_way =
                neon && ahead.min(back) < standard::bench::glow_seen().value * ahead.max(back) && l.on_deg.len() > 1;
            let lit_half = |d: &f64| (*d < 180.0) == (ahead > back);
            let half = if one_way { 0.5 } else { 1.0 };
            let keep = |list: Vec<f64>| list.into_iter().filter(|d| !one_way || lit_half(d)).collect();
            desk.ledger.take_lamp(Lamp {
                item: k,
                strike_margin: None,
                flashes_per_second: half * l.flashes_per_cycle * hertz,
                lit_fraction: half * l.lit_fraction,
                on_deg: keep(l.on_deg),
                off_deg: keep(l.off_deg),
            });
        }
    }
}

/// Crest of the voltage that would stand across each glow lamp if it stayed dark, against its worst strike volts.
fn strike_margins(bench: &Bench, condition: &Condition, desk: &mut Desk) {
    let model = bench.model;
    for (k, item) in model.items.iter().enumerate() {
        let crate::jig::PartKind::Neon(Neon { strike, strike_max, .. }) = bench.jig.parts[item.part].kind else {
            continue;
        };
        let Measure::Branch(b) = item.measure else { continue };
        let mut circuit = model.circuit(bench.jig, condition);
        circuit.branches[b].device = Device::Resistor { ohms: standard::bench::neon_dark().value };
        let solved = Solver::new(&circuit)
            .map_err(|e| e.to_string())
            .and_then(|mut x| believe(&mut x, bench.scale(condition.level)));
        let Ok(s) = solved else { continue };
        let crest = s.branches[b].v_peak();
        // A lamp switched off is not expected to strike.
        if crest < 1.0 {
            continue;
        }
        let at = desk
            .tried(Condition { moment: format!("before {} strikes", item.name), ..condition.clone() }, Outcome::Solved);
        desk.ledger.take_lamp(Lamp {
            item: k,
            strike_margin: Some(Worst { value: crest / strike_max.unwrap_or(strike).max(strike), at }),
            flashes_per_second: 0.0,
            lit_fraction: 0.0,
            on_deg: vec![],
            off_deg: vec![],
        });
    }
}
