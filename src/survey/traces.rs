//! What a meter on a screen would show of the sound tool: volts and amperes of its lamp or load over two cycles of the mains, and
//! what runs down once nothing feeds it any more. Judges nothing.

use super::condition::{Condition, Moment, Polarity};
use super::context::{Depth, SurveyContext};
use super::model::{Measure, Model};
use super::put_on::{charged, state_of};
use super::settings::{orientations, settings};
use super::unplug::{PHASES, charge_could_matter, pulled, worst_phases};
use super::unsolved::{NotSolved, consistent};
use crate::circuit::{Branch, Circuit, Device, Lighting, Quantities, Repeats, Solver, Start, Until};
use crate::jig::{Jig, LoadKind, NET_L, NET_N, OutletLoad, PartKind};
use crate::part::Role;
use crate::standard::{self, Level};

/// Degrees of a cycle.
const CYCLE: f64 = 360.0;
/// Instants in a cycle, and in what runs down.
const POINTS: usize = 360;
const INSTANTS: usize = 60;
/// Of the longest time a rule names, or that a discharge takes, so much more is shown.
const BEYOND: f64 = 1.3;
/// When a discharge is given up.
const PATIENCE: f64 = 60.0;

/// Whose volts and amperes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shown {
    /// An item of the model.
    Item(usize),
    /// What is plugged into an outlet.
    Outlet(usize),
}

/// Two cycles at nominal supply, values as stated, no fault.
#[derive(Debug, Clone)]
pub(crate) struct Trace {
    /// Whose.
    pub of: Shown,
    /// Volts and amperes at instants evenly over two cycles, from the rising zero of the mains on.
    pub points: Vec<(f64, f64)>,
    /// Hertz of the mains.
    pub hertz: f64,
    /// When it is lit, in parts of the two cycles; nothing where that is not known.
    pub lit: Option<Vec<(f64, f64)>>,
    /// r.m.s., peak and mean.
    pub measured: Quantities,
    /// What everything takes from the mains, mean watts.
    pub taken: f64,
    /// The setting of switches and loads.
    pub condition: Condition,
}

/// What runs down.
#[derive(Debug, Clone)]
pub(crate) struct Emptying {
    /// Whether it stands between the pins of the plug; else it is what was put on to be discharged.
    pub pins: bool,
    /// Seconds, and the volts then.
    pub points: Vec<(f64, f64)>,
    /// Seconds after which at most so many volts may be left, and where that is published.
    pub limits: Vec<(f64, f64, String)>,
}

/// The trace of the lamp or load; nothing without mains, or where there is none.
///
/// # Errors
/// Why the circuit could not be solved.
pub(crate) fn trace(jig: &Jig, model: &Model) -> Result<Option<Trace>, NotSolved> {
    let (Some(mains), Some(condition)) = (&jig.supply.mains, plain(jig)) else { return Ok(None) };
    let context = SurveyContext::new(jig, model, Depth::Steady);
    let circuit = context.circuit(&condition);
    let mut solver = Solver::new(&circuit)?;
    let steady = context.solve_with(&mut solver, Level::Nominal)?;
    let Some(of) = shown(jig, model, &condition, &steady.branches) else { return Ok(None) };
    let (volts, amperes) = branches(model, of);
    let cycles = steady.repeats.cycles().max(1) as usize;
    let lit = match steady.repeats {
        Repeats::Mains { cycles: 1 } => solver.lighting(amperes).map(|l| lit(&l)),
        Repeats::Mains { .. } | Repeats::Window { .. } => None,
    };
    let waves = solver.waveform(context.scale(Level::Nominal), POINTS * cycles)?;
    let one = |k: usize| (waves[volts][k % (POINTS * cycles)].0, waves[amperes][k % (POINTS * cycles)].1);
    let points = (0..=2 * POINTS).map(one).collect();
    let [v, i] = [volts, amperes].map(|b| steady.branches[b]);
    let measured = Quantities { v_rms: v.v_rms, v_mean: v.v_mean, v_max: v.v_max, v_min: v.v_min, ..i };
    let taken = -model.sources.iter().map(|s| steady.branches[*s].power).sum::<f64>();
    Ok(Some(Trace { of, points, hertz: mains.hertz, lit, measured, taken, condition }))
}

/// Everything on, and of each outlet the first load that takes something.
fn plain(jig: &Jig) -> Option<Condition> {
    let (switches, loads) = settings(jig).0.into_iter().next()?;
    let takes = |l: &OutletLoad| matches!(l.kind, LoadKind::Power(_) | LoadKind::Resistance(_));
    let loads = loads.iter().zip(&jig.outlets);
    let loads = loads.map(|(first, o)| o.loads.iter().position(takes).unwrap_or(*first)).collect();
    Some(Condition {
        level: Level::Nominal,
        orientation: orientations(jig).first().copied()?,
        switches,
        loads,
        faults: vec![],
        corner: vec![],
        moment: Moment::Steady,
    })
}

/// What the tool is there for: the first lamp that a current goes through, else what is plugged in, else what else it feeds.
fn shown(jig: &Jig, model: &Model, condition: &Condition, q: &[Quantities]) -> Option<Shown> {
    // More than what the mains drives through something that is open.
    let leak = std::f64::consts::SQRT_2 * model.nominal / standard::bench::fault_open().value;
    let carries = |of: &Shown| q[branches(model, *of).1].i_peak() > 2.0 * leak;
    let item = |fits: &dyn Fn(&PartKind, Role) -> bool| {
        let all = model.items.iter().enumerate();
        let mine =
            all.filter(|(_, i)| fits(&jig.parts[i.part].kind, i.role) && !matches!(i.measure, Measure::Bridge(_)));
        mine.map(|(k, _)| Shown::Item(k)).find(carries)
    };
    let lamp = |k: &PartKind, _: Role| matches!(k, PartKind::Neon(_) | PartKind::Led(_) | PartKind::Filament(_));
    let loaded = |k: &usize| {
        let kind = jig.outlets[*k].loads.get(condition.loads[*k]).map(|l| l.kind);
        matches!(kind, Some(LoadKind::Power(_) | LoadKind::Resistance(_)))
    };
    let outlet = || (0..jig.outlets.len()).filter(loaded).map(Shown::Outlet).find(carries);
    let fed = |k: &PartKind, _: Role| matches!(k, PartKind::Load(_) | PartKind::Winding(_));
    let out = |_: &PartKind, role: Role| matches!(role, Role::Output | Role::Secondary);
    item(&lamp).or_else(outlet).or_else(|| item(&fed)).or_else(|| item(&out))
}

/// The branches its volts and its amperes are read at.
fn branches(model: &Model, of: Shown) -> (usize, usize) {
    match of {
        Shown::Outlet(k) => (model.outlet_branches[k], model.outlet_branches[k]),
        Shown::Item(k) => match &model.items[k].measure {
            Measure::Branch(b) => (*b, *b),
            Measure::Series(list, meter) => (*meter, list[0]),
            Measure::Bridge([arm, ..]) => (*arm, *arm),
        },
    }
}

/// From degrees of one cycle to parts of two.
fn lit(l: &Lighting) -> Vec<(f64, f64)> {
    let part = |degrees: f64| degrees / CYCLE / 2.0;
    let mut out = vec![];
    for on in &l.on_deg {
        // It goes out at the next angle, which may be one of the next cycle.
        let off = l.off_deg.iter().copied().find(|off| off > on);
        let off = off.or_else(|| l.off_deg.first().map(|off| off + CYCLE)).unwrap_or(on + CYCLE);
        for cycle in [-CYCLE, 0.0, CYCLE] {
            let (from, to) = (part(on + cycle).max(0.0), part(off + cycle).min(1.0));
            if from < to {
                out.push((from, to));
            }
        }
    }
    out
}

/// What runs down once the plug is pulled, or what is put on a tool without mains; nothing where no charge is worth a rule.
///
/// # Errors
/// Why it could not be followed.
pub(crate) fn emptying(jig: &Jig, model: &Model) -> Result<Option<Emptying>, NotSolved> {
    let Some(condition) = settings(jig).0.into_iter().next() else { return Ok(None) };
    let context = SurveyContext::new(jig, model, Depth::Full);
    let (switches, loads) = condition;
    let Some(orientation) = orientations(jig).first().copied() else { return Ok(None) };
    let condition = Condition {
        level: Level::High,
        orientation,
        switches,
        loads,
        faults: vec![],
        corner: vec![],
        moment: Moment::Steady,
    };
    if jig.supply.mains.is_some() { unplugged(&context, &condition) } else { put_on(&context, &condition) }
}

fn unplugged(context: &SurveyContext, condition: &Condition) -> Result<Option<Emptying>, NotSolved> {
    let circuit = context.circuit(condition);
    if !charge_could_matter(context, &circuit) {
        return Ok(None);
    }
    let (states, phases) = worst_phases(context, &circuit, condition.level)?;
    let (_, mut circuit) = pulled(context, condition);
    let [a, b] = [NET_L, NET_N].map(|net| context.model.node[net]);
    let meter = circuit.branches.len();
    circuit.branches.push(Branch { a, b, device: Device::Meter });
    let rules = standard::discharge::plug_pin_rules();
    let first = rules.iter().map(|r| r.after_s).fold(f64::INFINITY, f64::min);
    let last = rules.iter().map(|r| r.after_s).fold(0.0, f64::max) * BEYOND;
    let mut most: Option<(f64, usize)> = None;
    for phase in phases.into_iter().filter(|p| *p < PHASES) {
        let left = followed(&circuit, states[phase].clone(), meter, first, 1)?.last().map_or(0.0, |(_, v)| v.abs());
        if most.is_none_or(|(known, _)| left > known) {
            most = Some((left, phase));
        }
    }
    let Some((_, phase)) = most else { return Ok(None) };
    let points = followed(&circuit, states[phase].clone(), meter, last, INSTANTS)?;
    let limits = rules.map(|r| (r.after_s, r.limit_v, r.source)).to_vec();
    Ok(Some(Emptying { pins: true, points, limits }))
}

fn put_on(context: &SurveyContext, condition: &Condition) -> Result<Option<Emptying>, NotSolved> {
    let charged = charged(context, condition);
    let Some(first) = charged.first() else { return Ok(None) };
    let (_, circuit) = pulled(context, condition);
    let limit = standard::discharge::handle_below();
    let until = Until { seconds: PATIENCE, falls_below: Some((first.branch, limit.value)) };
    let state = state_of(&charged, Polarity::Stated, circuit.branches.len());
    let start = Start { angle: 0.0, state: state.clone() };
    let whole = Solver::new(&circuit)?.transient(1.0, &start, &until)?.seconds;
    let points = followed(&circuit, state, first.branch, whole * BEYOND, INSTANTS)?;
    Ok(Some(Emptying { pins: false, points, limits: vec![(whole, limit.value, limit.source)] }))
}

/// The volts of a branch at instants from a state on.
fn followed(
    circuit: &Circuit,
    mut state: Vec<f64>,
    branch: usize,
    seconds: f64,
    instants: usize,
) -> Result<Vec<(f64, f64)>, NotSolved> {
    let mut solver = Solver::new(circuit)?;
    state.resize(circuit.branches.len(), 0.0);
    // Closer together at first, where most of it goes.
    let at = |k: usize| seconds * (k as f64 / instants as f64).powi(2);
    let mut points = vec![];
    for k in 1..=instants {
        let until = Until { seconds: at(k) - at(k - 1), falls_below: None };
        let t = consistent(solver.transient(1.0, &Start { angle: 0.0, state }, &until)?)?;
        // At its beginning it stands as high as it ever does.
        if k == 1 && instants > 1 {
            let q = &t.branches[branch];
            points.push((0.0, if q.v_max > -q.v_min { q.v_max } else { q.v_min }));
        }
        points.push((at(k), t.volts[branch]));
        state = t.state;
    }
    Ok(points)
}
