//! One condition once more, with every voltage and current: what the survey kept only the worst of. Judges nothing.

use crate::circuit::{Branch, Circuit, Device, Quantities, Solver};
use crate::judgement::Kind;

use super::clearing::{self, Clearing};
use super::condition::Condition;
use super::ledger::{TouchWorst, six};
use super::model::VOLTMETER;
use super::run::{Bench, believe, feel};

/// Everything in one steady state.
#[derive(Debug, Clone)]
pub struct State {
    /// Each net to earth.
    pub nets: Vec<Quantities>,
    /// The six quantities of each item.
    pub items: Vec<[f64; 6]>,
    /// Each touchable, then each pair of them, as a hand would find it.
    pub touch: Vec<TouchWorst>,
}

/// A condition played through.
#[derive(Debug, Clone)]
pub struct Replay {
    /// As it is, or as it is until a device opens.
    pub state: State,
    /// Devices that are sure to open, the first one first.
    pub opens: Vec<Clearing>,
    /// What is left when the first of them has opened.
    pub after: Option<State>,
}

/// Solves a condition once more. What belongs to a moment starts from the steady state that is solved here.
///
/// # Errors
/// Why it could not be solved.
pub fn replay(bench: &Bench, condition: &Condition) -> Result<Replay, String> {
    let circuit = bench.model.circuit(bench.jig, condition);
    let (state, q) = state(bench, condition, &circuit)?;
    let mut opens: Vec<Clearing> = clearing::opens(bench.jig, bench.model, condition, &q).collect();
    opens.sort_by(|a, b| a.within.total_cmp(&b.within));
    let after = match opens.first() {
        None => None,
        Some(first) => {
            let mut opened = circuit;
            clearing::open(bench.model, first.protector, condition.way, &mut opened);
            Some(self::state(bench, condition, &opened)?.0)
        }
    };
    Ok(Replay { state, opens, after })
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
    let items = model.items.iter().map(|item| six(item, &solved)).collect();
    Ok((State { nets: solved[first..].to_vec(), items, touch }, solved))
}
