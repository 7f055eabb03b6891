//! One condition once more, with every voltage and current: what the survey kept only the worst of. Judges nothing.

use crate::circuit::{Branch, Circuit, Device, Quantities, Solver};
use crate::finding::{Kind, PerQuantity};

use super::clearing::{self, Clearing};
use super::condition::Condition;
use super::ledger::TouchWorst;
use super::measured::measured;
use super::model::VOLTMETER;
use super::run::{Bench, believe, feel};

/// Everything in one steady state.
#[derive(Debug, Clone)]
pub struct State {
    /// Each net to earth.
    pub nets: Vec<Quantities>,
    /// The six quantities of each item.
    pub items: Vec<PerQuantity<f64>>,
    /// Each touchable, then each pair of them, as a hand would find it.
    pub touch: Vec<TouchWorst>,
}

/// One step of a condition played through.
#[derive(Debug, Clone)]
pub struct Step {
    /// What stands in this step.
    pub state: State,
    /// Devices that are sure to open then, the first one first. None: it goes on for ever.
    pub opens: Vec<Clearing>,
}

/// Solves a condition once more, step by step until no device opens any more. What belongs to a moment starts from the steady state that is solved here.
///
/// # Errors
/// Why it could not be solved.
pub fn replay(bench: &Bench, condition: &Condition) -> Result<Vec<Step>, String> {
    let mut circuit = bench.model.circuit(bench.jig, condition);
    let mut steps = vec![];
    loop {
        let (state, q) = state(bench, condition, &circuit)?;
        let mut opens: Vec<Clearing> = clearing::opens(bench.jig, bench.model, condition, &q).collect();
        opens.sort_by(|a, b| a.within.total_cmp(&b.within));
        let first = opens.first().copied();
        steps.push(Step { state, opens });
        let Some(first) = first else { return Ok(steps) };
        clearing::open(bench.model, first.protector, condition.way, &mut circuit);
    }
}

fn state(bench: &Bench, condition: &Condition, circuit: &Circuit) -> Result<(State, Vec<Quantities>), String> {
    let (jig, model) = (bench.jig, bench.model);
    let mut metered = circuit.clone();
    let first = metered.branches.len();
    let meter = |node: &usize| Branch { a: *node, b: 0, device: Device::Resistor { ohms: VOLTMETER } };
    metered.branches.extend(model.node.iter().map(meter));
    let mut solver = Solver::new(&metered).map_err(|e| e.to_string())?;
    let solved = believe(&mut solver, bench.scale(condition.level))?.branches;
    let kind = if condition.faults.is_empty() { Kind::Normal } else { Kind::SingleFault };
    let net = |k: usize| jig.touchables[k].net;
    let singles = model.touch_probes.iter().enumerate().map(|(k, p)| (*p, (net(k), None)));
    let pairs = model.pair_probes.iter().map(|(i, j, p)| (*p, (net(*i), Some(net(*j)))));
    let touch = singles
        .chain(pairs)
        .map(|(probe, ends)| feel(bench, circuit, condition, &solved[probe], ends, kind, (0, 0)))
        .collect::<Result<_, _>>()?;
    let items = model.items.iter().map(|item| measured(item, &solved)).collect();
    Ok((State { nets: solved[first..].to_vec(), items, touch }, solved))
}
