//! Tolerances where they hurt most: the corner that each quantity asks for, and the crest inside it of a power that
//! matches its loop. Solves and files; judges nothing.

use crate::circuit::{Circuit, Solver, Steady};
use crate::finding::{Kind, PerQuantity, Quantity};

use super::condition::{Condition, END};
use super::ledger::Outcome;
use super::measured::measured;
use super::model::Toleranced;
use super::run::{Bench, Desk, believe, feel, settle};

/// Tolerances at their worst corner: the sign of each quantity's sensitivity to each value, then every corner that some
/// quantity asks for is solved and filed, and what lies between corners where a part takes most there.
pub(super) fn corners(bench: &Bench, condition: &Condition, nominal: &Steady, desk: &mut Desk) {
    const MOST: usize = 64;
    let model = bench.model;
    let n = model.toleranced.len();
    if n == 0 {
        return;
    }
    let base: Vec<PerQuantity<f64>> = model.items.iter().map(|i| measured(i, &nominal.branches)).collect();
    let probes: Vec<usize> = model.touch_probes.iter().copied().chain(model.pair_probes.iter().map(|p| p.2)).collect();
    let plain = bench.model.circuit(bench.jig, condition);
    let felt = touch_currents(bench, condition, &plain, nominal);
    let mut signs = vec![vec![PerQuantity::<i8>::default(); model.items.len()]; n];
    let mut probe_signs = vec![vec![0i8; probes.len()]; n];
    let mut felt_signs = vec![vec![0i8; felt.len()]; n];
    // Items that take nearly the same power whichever way their own value goes.
    let mut matched = vec![];
    for t in 0..n {
        let mut corner = vec![0; n];
        corner[t] = END;
        let (_, circuit, solved) = at_corner(bench, condition, corner);
        let Ok(s) = solved else { continue };
        let sign = |new: f64, old: f64| {
            if (new - old).abs() <= 1e-9 * old.abs().max(1e-12) {
                0
            } else if new > old {
                END
            } else {
                -END
            }
        };
        for (k, item) in model.items.iter().enumerate() {
            let now = measured(item, &s.branches);
            signs[t][k] = PerQuantity::from_fn(|q| sign(now[q], base[k][q]));
            // The logarithmic slope runs over about the tolerance from one end to the other.
            let Toleranced { part, tolerance, .. } = model.toleranced[t];
            if item.part == part
                && base[k][Quantity::Power] > 0.0
                && (now[Quantity::Power] / base[k][Quantity::Power] - 1.0).abs() < 2.0 * tolerance * tolerance
            {
                matched.push((k, t));
            }
        }
        for (k, p) in probes.iter().enumerate() {
            probe_signs[t][k] = sign(s.branches[*p].v_peak(), nominal.branches[*p].v_peak());
        }
        // Behind a capacitor the open volts stay while the current that a hand gets does not.
        for (k, now) in touch_currents(bench, condition, &circuit, &s).into_iter().enumerate() {
            felt_signs[t][k] = sign(now, felt[k]);
        }
    }
    let mut wanted: Vec<Vec<i8>> = vec![];
    let mut want = |corner: Vec<i8>| {
        if corner.iter().any(|s| *s != 0) && !wanted.contains(&corner) && wanted.len() < MOST {
            wanted.push(corner);
        }
    };
    let quantities = (0..model.items.len()).flat_map(|k| Quantity::ALL.map(move |q| (k, q)));
    for (k, q) in quantities {
        want(signs.iter().map(|of_value| of_value[k][q]).collect());
    }
    for k in 0..probes.len() {
        want(probe_signs.iter().map(|of_value| of_value[k]).collect());
        want(felt_signs.iter().map(|of_value| of_value[k]).collect());
    }
    for (k, t) in matched {
        let corner: Vec<i8> = signs.iter().map(|of_value| of_value[k][Quantity::Power]).collect();
        if let Some(inside) = most_power(bench, condition, k, t, corner) {
            want(inside);
        }
    }
    for corner in wanted {
        let (c, circuit, solved) = at_corner(bench, condition, corner);
        match solved {
            Ok(s) => settle(bench, &circuit, c, &s, desk),
            Err(why) => {
                desk.tried(c, Outcome::Unsolved(why));
            }
        }
    }
}

/// Effective current through the body at each touchable, then at each pair; 0 where nothing is solved.
fn touch_currents(bench: &Bench, condition: &Condition, circuit: &Circuit, s: &Steady) -> Vec<f64> {
    let (jig, model) = (bench.jig, bench.model);
    let kind = if condition.faults.is_empty() { Kind::Normal } else { Kind::SingleFault };
    let net = |k: usize| jig.touchables[k].net;
    let singles = model.touch_probes.iter().enumerate().map(|(k, p)| (*p, (net(k), None)));
    let pairs = model.pair_probes.iter().map(|(i, j, p)| (*p, (net(*i), Some(net(*j)))));
    singles
        .chain(pairs)
        .map(|(p, ends)| {
            feel(bench, circuit, condition, &s.branches[p], ends, kind, (0, 0)).map_or(0.0, |t| t.current_rms)
        })
        .collect()
}

/// A condition with its tolerances at a corner, and its circuit solved.
fn at_corner(bench: &Bench, condition: &Condition, corner: Vec<i8>) -> (Condition, Circuit, Result<Steady, String>) {
    let c = Condition { corner, ..condition.clone() };
    let circuit = bench.model.circuit(bench.jig, &c);
    let solved =
        Solver::new(&circuit).map_err(|e| e.to_string()).and_then(|mut x| believe(&mut x, bench.scale(c.level)));
    (c, circuit, solved)
}

/// A resistor takes most power where it matches what else is in the loop, which may lie inside its tolerance and not at
/// an end: the crest of the parabola through three values of the item's own value `t`, the others at their corner.
/// `None` where an end takes most.
fn most_power(bench: &Bench, condition: &Condition, item: usize, t: usize, corner: Vec<i8>) -> Option<Vec<i8>> {
    let at = |own: i8| {
        let mut c = corner.clone();
        c[t] = own;
        let s = at_corner(bench, condition, c).2.ok()?;
        Some(measured(&bench.model.items[item], &s.branches)[Quantity::Power])
    };
    let (low, middle, high) = (at(-END)?, at(0)?, at(END)?);
    let bend = low - 2.0 * middle + high;
    let crest = 0.5 * f64::from(END) * (low - high) / bend;
    let mut inside = corner.clone();
    inside[t] = crest.round() as i8;
    (bend < 0.0 && crest.abs() < f64::from(END)).then_some(inside)
}
