//! Tolerances where they hurt most: the corner that each quantity asks for, and the crest inside it of a power that
//! matches its loop. Solves and files; judges nothing.

use std::collections::HashSet;

use crate::circuit::{Circuit, Steady};
use crate::finding::{PerQuantity, Quantity};
use crate::part::Toleranced;

use super::condition::{Condition, END};
use super::context::SurveyContext;
use super::measured::measured;
use super::recorder::Recorder;
use super::settle::settle;
use super::touch::{Hand, contacts, touched};
use super::unsolved::NotSolved;

/// Tolerances at their worst corner: the sign of each quantity's sensitivity to each value, then every corner that some
/// quantity asks for is solved and filed, and what lies between corners where a part takes most there.
pub(super) fn corners(
    context: &SurveyContext,
    condition: &Condition,
    circuit: &Circuit,
    nominal: &Steady,
    recorder: &mut Recorder,
) {
    if context.model.toleranced.is_empty() {
        return;
    }
    let trial = Trial { context, condition };
    let slopes = trial.slopes(circuit, nominal, recorder);
    let mut wanted = Wanted::new(context.most_corners);
    slopes.corners(|corner| wanted.want(corner));
    for (item, value) in &slopes.matched {
        if let Some(inside) = trial.most_power(*item, *value, slopes.corner(*item, Quantity::Power), recorder) {
            wanted.want(inside);
        }
    }
    let Wanted { list, left_out, .. } = wanted;
    let solved = list.len();
    for corner in list {
        let (c, circuit) = trial.at(corner);
        match context.solve_near(&circuit, c.level, nominal) {
            Ok(s) => settle(context, &circuit, c, &s, recorder),
            Err(why) => recorder.unsolved(c, why),
        }
    }
    if let Some((corner, left_out)) = left_out {
        let why = NotSolved::CornersLeftOut { solved, left_out };
        recorder.unsolved(Condition { corner, ..condition.clone() }, why);
    }
}

/// Corners that some quantity asks for, each once: quantities that feel the same values the same way share one.
struct Wanted {
    most: usize,
    seen: HashSet<Vec<i8>>,
    list: Vec<Vec<i8>>,
    /// The first one beyond the most, and how many there are.
    left_out: Option<(Vec<i8>, usize)>,
}

impl Wanted {
    fn new(most: usize) -> Wanted {
        Wanted { most, seen: HashSet::new(), list: vec![], left_out: None }
    }

    fn want(&mut self, corner: Vec<i8>) {
        // All as stated has been solved already.
        if corner.iter().all(|end| *end == 0) || !self.seen.insert(corner.clone()) {
            return;
        }
        if self.list.len() < self.most {
            self.list.push(corner);
        } else {
            self.left_out.get_or_insert((corner, 0)).1 += 1;
        }
    }
}

/// Which way each quantity goes when one value alone goes to its upper end: [`END`] up, -[`END`] down, 0 not at all. The
/// first index is the value.
struct Slopes {
    items: Vec<Vec<PerQuantity<i8>>>,
    /// Peak volts at each place for a hand.
    open: Vec<Vec<i8>>,
    /// Amperes through the hand.
    drawn: Vec<Vec<i8>>,
    /// (item, value) of items that take nearly the same power whichever way their own value goes.
    matched: Vec<(usize, usize)>,
}

impl Slopes {
    /// The corner that a quantity of an item asks for.
    fn corner(&self, item: usize, quantity: Quantity) -> Vec<i8> {
        self.items.iter().map(|of_value| of_value[item][quantity]).collect()
    }

    /// The corner that each quantity and each place for a hand asks for.
    fn corners(&self, mut want: impl FnMut(Vec<i8>)) {
        let count = |of: &[Vec<i8>]| of.first().map_or(0, Vec::len);
        for item in 0..self.items.first().map_or(0, Vec::len) {
            Quantity::ALL.into_iter().for_each(|quantity| want(self.corner(item, quantity)));
        }
        for k in 0..count(&self.open) {
            want(self.open.iter().map(|of_value| of_value[k]).collect());
            want(self.drawn.iter().map(|of_value| of_value[k]).collect());
        }
    }
}

/// The way from `old` to `new`, but for rounding; 0 where one of them is not known.
fn slope(new: Option<f64>, old: Option<f64>) -> i8 {
    const ROUNDING: f64 = 1e-9;
    const NOTHING: f64 = 1e-12;
    let (Some(new), Some(old)) = (new, old) else { return 0 };
    if (new - old).abs() <= ROUNDING * old.abs().max(NOTHING) {
        0
    } else if new > old {
        END
    } else {
        -END
    }
}

/// A condition the tolerances of which are tried.
struct Trial<'a> {
    context: &'a SurveyContext<'a>,
    condition: &'a Condition,
}

impl Trial<'_> {
    /// The condition with its tolerances at a corner, and its circuit.
    fn at(&self, corner: Vec<i8>) -> (Condition, Circuit) {
        let c = Condition { corner, ..self.condition.clone() };
        let circuit = self.context.circuit(&c);
        (c, circuit)
    }

    /// Moves one value after the other to its upper end.
    fn slopes(&self, circuit: &Circuit, nominal: &Steady, recorder: &mut Recorder) -> Slopes {
        let model = self.context.model;
        let base: Vec<PerQuantity<f64>> = model.items.iter().map(|i| measured(i, &nominal.branches)).collect();
        let probes: Vec<usize> = contacts(self.context).map(|c| c.probe).collect();
        let drawn = self.drawn(self.condition, circuit, nominal, recorder);
        let n = model.toleranced.len();
        let mut out = Slopes {
            items: vec![vec![PerQuantity::default(); base.len()]; n],
            open: vec![vec![0; probes.len()]; n],
            drawn: vec![vec![0; probes.len()]; n],
            matched: vec![],
        };
        for (t, Toleranced { part, tolerance, .. }) in model.toleranced.iter().enumerate() {
            let mut corner = vec![0; n];
            corner[t] = END;
            let (c, circuit) = self.at(corner);
            let s = match self.context.solve_near(&circuit, c.level, nominal) {
                Ok(s) => s,
                Err(why) => {
                    recorder.unsolved(c, why);
                    continue;
                }
            };
            for (k, item) in model.items.iter().enumerate() {
                let (now, old) = (measured(item, &s.branches), &base[k]);
                out.items[t][k] = PerQuantity::from_fn(|q| slope(Some(now[q]), Some(old[q])));
                let (now, old) = (now[Quantity::Power], old[Quantity::Power]);
                // The logarithmic slope runs over about the tolerance from one end to the other.
                if item.part == *part && old > 0.0 && (now / old - 1.0).abs() < 2.0 * tolerance * tolerance {
                    out.matched.push((k, t));
                }
            }
            for (slot, p) in out.open[t].iter_mut().zip(&probes) {
                *slot = slope(Some(s.branches[*p].v_peak()), Some(nominal.branches[*p].v_peak()));
            }
            // Behind a capacitor the open volts stay while the current that a hand gets does not.
            let now = self.drawn(&c, &circuit, &s, recorder);
            for (slot, (now, old)) in out.drawn[t].iter_mut().zip(now.into_iter().zip(&drawn)) {
                *slot = slope(now, *old);
            }
        }
        out
    }

    /// Effective current through the body at each place for a hand; `None` where it is not solved, which is told.
    fn drawn(&self, condition: &Condition, circuit: &Circuit, s: &Steady, recorder: &mut Recorder) -> Vec<Option<f64>> {
        let hand = Hand { context: self.context, circuit, condition, kind: condition.kind() };
        let draws = contacts(self.context).map(|c| match hand.draws(s, c.probe, c.nets, (0, 0)) {
            Ok(t) => t.map(|t| t.current_rms),
            Err(why) => {
                recorder.unsolved(touched(&hand, c.whom), why);
                None
            }
        });
        draws.collect()
    }

    /// A resistor takes most power where it matches what else is in the loop, which may lie inside its tolerance and not
    /// at an end: the crest of the parabola through three points of the item's own value `t`, the others at their corner.
    /// `None` where an end takes most.
    fn most_power(&self, item: usize, t: usize, corner: Vec<i8>, recorder: &mut Recorder) -> Option<Vec<i8>> {
        let mut power = |own: i8| {
            let mut corner = corner.clone();
            corner[t] = own;
            let (c, circuit) = self.at(corner);
            match self.context.solve(&circuit, c.level) {
                Ok(s) => Some(measured(&self.context.model.items[item], &s.branches)[Quantity::Power]),
                Err(why) => {
                    recorder.unsolved(c, why);
                    None
                }
            }
        };
        let (low, middle, high) = (power(-END)?, power(0)?, power(END)?);
        let bend = low - 2.0 * middle + high;
        let crest = 0.5 * f64::from(END) * (low - high) / bend;
        let mut inside = corner;
        inside[t] = crest.round() as i8;
        (bend < 0.0 && crest.abs() < f64::from(END)).then_some(inside)
    }
}

#[cfg(test)]
mod tests {
    use super::{END, Wanted, slope};

    #[test]
    fn a_corner_is_wanted_once_and_what_is_beyond_the_bound_is_known() {
        let mut wanted = Wanted::new(2);
        for corner in [[0, 0], [END, 0], [END, 0], [0, END], [END, 0], [END, END], [-END, 0], [END, END]] {
            wanted.want(corner.to_vec());
        }
        assert_eq!(wanted.list, [[END, 0], [0, END]]);
        assert_eq!(wanted.left_out, Some((vec![END, END], 2)));
    }

    #[test]
    fn rounding_is_no_slope() {
        assert_eq!(slope(Some(1.0 + 1e-10), Some(1.0)), 0);
        assert_eq!(slope(Some(1.0 + 1e-8), Some(1.0)), END);
        assert_eq!(slope(Some(-1.0), Some(1.0)), -END);
        assert_eq!(slope(Some(1e-22), Some(0.0)), 0);
        assert_eq!(slope(None, Some(1.0)), 0);
    }
}
