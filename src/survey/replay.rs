//! One condition once more, with every voltage and current: what the survey kept only the worst of. Judges nothing.

use crate::circuit::{Branch, Circuit, Device, Quantities, Solver};
use crate::finding::PerQuantity;
use crate::jig::NetId;

use super::clearing::{self, Clearing};
use super::condition::Condition;
use super::context::SurveyContext;
use super::measured::measured;
use super::model::Measure;
use super::records::TouchWorst;
use super::rig::Rig;
use super::touch::{Hand, contacts};
use super::unsolved::NotSolved;

/// What meters show everywhere in one steady state.
#[derive(Debug, Clone)]
pub(crate) struct Readings {
    /// Each net to earth.
    pub nets: Vec<Quantities>,
    /// The six quantities of each item.
    pub items: Vec<PerQuantity<f64>>,
    /// Each touchable, then each pair of them, as a hand would find it.
    pub touch: Vec<TouchWorst>,
    /// What is plugged into each outlet.
    pub outlets: Vec<Quantities>,
    /// Each pair of [`Rig::between`].
    pub between: Vec<Quantities>,
    /// Amperes of the items of [`Rig::waves`], at [`WAVE_POINTS`] instants evenly over what is repeated.
    pub waves: Vec<Vec<f64>>,
    /// What flows through the body of [`Rig::hold`], where there is one.
    pub held: Option<Quantities>,
    /// Mains cycles in what is repeated.
    pub cycles: u32,
}

/// Instants of a wave: one each 1.4 degrees of a cycle.
pub(crate) const WAVE_POINTS: usize = 256;

/// One step of a condition played through.
#[derive(Debug, Clone)]
pub(crate) struct Step {
    /// What stands in this step.
    pub readings: Readings,
    /// Devices that are sure to open then, the first one first. None: it goes on for ever.
    pub opens: Vec<Clearing>,
}

/// Solves a condition once more, step by step until no device opens any more. What belongs to a moment starts from the
/// steady state that is solved here.
///
/// # Errors
/// Why it could not be solved.
pub(crate) fn replay(context: &SurveyContext, condition: &Condition) -> Result<Vec<Step>, NotSolved> {
    replay_with(context, condition, &Rig::default())
}

/// As [`replay`], with something added.
///
/// # Errors
/// As [`replay`].
pub(crate) fn replay_with(context: &SurveyContext, condition: &Condition, rig: &Rig) -> Result<Vec<Step>, NotSolved> {
    let mut circuit = context.circuit(condition);
    let body = rig.put(context, &mut circuit);
    let mut steps = vec![];
    let mut now = condition.clone();
    loop {
        let (readings, q) = read(context, condition, &circuit, (rig, body))?;
        let mut opens: Vec<Clearing> = clearing::opens(context.jig, context.model, &now, &q).collect();
        opens.sort_by(|a, b| a.within.total_cmp(&b.within));
        let first = opens.first().copied();
        steps.push(Step { readings, opens });
        let Some(first) = first else { return Ok(steps) };
        clearing::open(context.model, first.protector, condition.orientation, &mut circuit);
        now.moment = clearing::after(&now.moment, first.protector);
    }
}

/// What a hand on a net, the other one on earth, draws in the steady state of a condition.
///
/// # Errors
/// Why it could not be solved.
pub(crate) fn hand_on(context: &SurveyContext, condition: &Condition, net: NetId) -> Result<TouchWorst, NotSolved> {
    let circuit = context.circuit(condition);
    let mut metered = circuit.clone();
    let meter = metered.branches.len();
    metered.branches.push(Branch { a: context.model.node[net], b: 0, device: Device::Meter });
    metered.hands = vec![meter];
    let steady = context.solve(&metered, condition.level)?;
    let hand = Hand { context, circuit: &circuit, condition, kind: condition.kind() };
    hand.drawn(&steady, meter, (net, None), (0, 0))
}

fn read(
    context: &SurveyContext,
    condition: &Condition,
    circuit: &Circuit,
    (rig, body): (&Rig, Option<usize>),
) -> Result<(Readings, Vec<Quantities>), NotSolved> {
    let model = context.model;
    let mut metered = circuit.clone();
    let first = metered.branches.len();
    let meter = |node: &usize| Branch { a: *node, b: 0, device: Device::Meter };
    metered.branches.extend(model.node.iter().map(meter));
    let pairs = metered.branches.len();
    metered.branches.extend(rig.meters(context));
    let mut solver = Solver::new(&metered)?;
    let steady = context.solve_with(&mut solver, condition.level)?;
    let hand = Hand { context, circuit, condition, kind: condition.kind() };
    let touch = contacts(context).map(|c| hand.drawn(&steady, c.probe, c.nets, (0, 0))).collect::<Result<_, _>>()?;
    let waves = waves(context, condition, rig, &mut solver)?;
    let cycles = steady.repeats.cycles();
    let solved = steady.branches;
    let items = model.items.iter().map(|item| measured(item, &solved)).collect();
    let nets = solved[first..pairs].to_vec();
    let outlets = model.outlet_branches.iter().map(|b| solved[*b]).collect();
    let held = body.map(|b| solved[b]);
    let between = solved[pairs..].to_vec();
    Ok((Readings { nets, items, touch, outlets, between, waves, held, cycles }, solved))
}

fn waves(
    context: &SurveyContext,
    condition: &Condition,
    rig: &Rig,
    solver: &mut Solver,
) -> Result<Vec<Vec<f64>>, NotSolved> {
    if rig.waves.is_empty() {
        return Ok(vec![]);
    }
    let all = solver.waveform(context.scale(condition.level), WAVE_POINTS)?;
    let amperes = |b: usize| all[b].iter().map(|(_, amperes)| *amperes);
    let of = |item: &usize| match &context.model.items[*item].measure {
        Measure::Branch(b) => amperes(*b).collect(),
        Measure::Series(list, _) => amperes(list[0]).collect(),
        // What leaves at plus.
        Measure::Bridge([first, second, ..]) => amperes(*first).zip(amperes(*second)).map(|(a, b)| a + b).collect(),
    };
    Ok(rig.waves.iter().map(of).collect())
}
