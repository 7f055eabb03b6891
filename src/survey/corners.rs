//! Tolerances where they hurt most: the corner that each quantity asks for, and the crest inside it of a power that
//! matches its loop. Solves and files; judges nothing.

use std::collections::HashSet;

use crate::circuit::{Circuit, Steady};
use crate::finding::{PerQuantity, Quantity};
use crate::part::Toleranced;

use super::condition::{Condition, END};
use super::context::SurveyContext;
use super::gravest::Ordinal;
use super::measured::measured;
use super::recorder::Recorder;
use super::settle::settle;
use super::touch::{Hand, contacts, touched};
use super::unsolved::NotSolved;
use super::{few, heat};

/// Tolerances at their worst corner: the sign of each quantity's sensitivity to each value, then every corner that some
/// quantity asks for is solved and filed, and what lies between corners where a part takes most there. With a fault among
/// many values only what the fault changes asks for its own ([`few`](super::few)); `at` is where the condition was filed.
pub(super) fn corners(
    context: &SurveyContext,
    condition: &Condition,
    circuit: &Circuit,
    nominal: &Steady,
    at: Ordinal,
    recorder: &mut Recorder,
) {
    if context.model.toleranced.is_empty() {
        return;
    }
    let trial = Trial { context, condition, circuit, nominal };
    match context.sound(condition) {
        Some(sound) => few::corners(&trial, &sound, at, recorder),
        None => {
            let slopes = all_corners(&trial, recorder);
            context.keep_sound(condition, nominal, slopes);
        }
    }
}

/// Every quantity asks for its corner.
pub(super) fn all_corners(trial: &Trial, recorder: &mut Recorder) -> Slopes {
    let base = trial.base(recorder);
    let mut slopes = Slopes { rows: vec![], matched: vec![] };
    for t in 0..trial.context.model.toleranced.len() {
        let row = trial.row(t, &base, &mut slopes.matched, recorder);
        slopes.rows.push(row.unwrap_or_else(|| Row::none(&base)));
    }
    let rows: Vec<&Row> = slopes.rows.iter().collect();
    let toward = Toward { rows: &rows, unfelt: trial.context.unfelt() };
    let mut wanted = Wanted::default();
    for (item, was) in base.items.iter().enumerate() {
        Quantity::ALL.into_iter().for_each(|q| wanted.want(toward.corner(was[q], |_, row| row.items[item][q])));
    }
    for (k, was) in base.open.iter().enumerate() {
        wanted.want(toward.corner(*was, |_, row| row.open[k]));
        wanted.want(toward.corner(base.drawn[k].unwrap_or(0.0), |_, row| row.drawn[k]));
    }
    wanted.want(toward.corner(base.heat, |_, row| row.heat));
    for (item, value) in &slopes.matched {
        let at = toward.corner(base.items[*item][Quantity::Power], |_, row| row.items[*item][Quantity::Power]);
        wanted.extend(trial.most_power(*item, *value, at, recorder));
    }
    trial.file(wanted, recorder);
    slopes
}

/// Which way values move quantities.
pub(super) struct Toward<'a> {
    /// [value].
    pub(super) rows: &'a [&'a Row],
    /// Part of a quantity by which all values together may move it that are not asked for.
    pub(super) unfelt: f64,
}

impl Toward<'_> {
    /// The corner in which every value lies at the end that moves a quantity up that `was` so much; 0 for values that it
    /// hardly feels.
    pub(super) fn corner(&self, was: f64, moved: impl Fn(usize, &Row) -> f32) -> Vec<i8> {
        let mut by: Vec<f32> = self.rows.iter().enumerate().map(|(t, row)| moved(t, row)).collect();
        let mut order: Vec<usize> = (0..by.len()).collect();
        order.sort_by(|a, b| by[*a].abs().total_cmp(&by[*b].abs()));
        let mut left = self.unfelt * was.abs();
        for t in order {
            left -= f64::from(by[t].abs());
            if left < 0.0 {
                break;
            }
            by[t] = 0.0;
        }
        let end = |by: f32| {
            if by > 0.0 {
                END
            } else if by < 0.0 {
                -END
            } else {
                0
            }
        };
        by.into_iter().map(end).collect()
    }
}

/// Corners that some quantity asks for. Those that ask nothing contrary of any value share one: what happens at one end of
/// a tool then costs no more for what happens at the other.
#[derive(Default)]
pub(super) struct Wanted {
    seen: HashSet<Vec<i8>>,
    asked: Vec<Vec<i8>>,
}

impl Wanted {
    pub(super) fn want(&mut self, corner: Vec<i8>) {
        // All as stated has been solved already.
        if corner.iter().any(|end| *end != 0) && self.seen.insert(corner.clone()) {
            self.asked.push(corner);
        }
    }

    pub(super) fn extend(&mut self, corner: Option<Vec<i8>>) {
        corner.into_iter().for_each(|corner| self.want(corner));
    }

    /// Corners in each of which one or more get what they ask for: those that ask most first.
    fn shared(self) -> Vec<Vec<i8>> {
        let mut asked = self.asked;
        let of = |corner: &[i8]| corner.iter().filter(|end| **end != 0).count();
        asked.sort_by_key(|corner| std::cmp::Reverse(of(corner)));
        let mut out: Vec<Vec<i8>> = vec![];
        for corner in asked {
            let contrary = |(a, b): (&i8, &i8)| *a != 0 && *b != 0 && a != b;
            match out.iter_mut().find(|have| !have.iter().zip(&corner).any(contrary)) {
                Some(have) => have.iter_mut().zip(corner).filter(|(_, end)| *end != 0).for_each(|(h, end)| *h = end),
                None => out.push(corner),
            }
        }
        out
    }
}

/// How far each quantity goes when one value alone goes to its upper end, in its unit; 0 but for rounding: not at all.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// [item].
    pub(super) items: Vec<PerQuantity<f32>>,
    /// Peak volts at each place for a hand.
    pub(super) open: Vec<f32>,
    /// Amperes through the hand.
    pub(super) drawn: Vec<f32>,
    /// Watts in the box.
    pub(super) heat: f32,
}

impl Row {
    /// Nothing goes anywhere.
    pub(super) fn none(base: &Base) -> Row {
        let places = base.open.len();
        Row {
            items: vec![PerQuantity::default(); base.items.len()],
            open: vec![0.0; places],
            drawn: vec![0.0; places],
            heat: 0.0,
        }
    }
}

/// The rows of every value.
#[derive(Debug, Clone)]
pub(super) struct Slopes {
    /// [value].
    pub(super) rows: Vec<Row>,
    /// (item, value) of items that take nearly the same power whichever way their own value goes.
    matched: Vec<(usize, usize)>,
}

/// What stands with every value as stated.
pub(super) struct Base {
    pub(super) items: Vec<PerQuantity<f64>>,
    /// Peak volts at each place for a hand.
    pub(super) open: Vec<f64>,
    pub(super) drawn: Vec<Option<f64>>,
    pub(super) heat: f64,
}

/// How far it is from `old` to `new`, but for rounding; 0 where one of them is not known.
fn moved(new: Option<f64>, old: Option<f64>) -> f32 {
    const ROUNDING: f64 = 1e-9;
    const NOTHING: f64 = 1e-12;
    let (Some(new), Some(old)) = (new, old) else { return 0.0 };
    if (new - old).abs() <= ROUNDING * old.abs().max(NOTHING) {
        0.0
    } else {
        // However little it is, its sign stays.
        let by = new - old;
        (by as f32).abs().max(f32::MIN_POSITIVE).copysign(by as f32)
    }
}

/// A condition the tolerances of which are tried.
pub(super) struct Trial<'a> {
    pub(super) context: &'a SurveyContext<'a>,
    pub(super) condition: &'a Condition,
    /// With every value as stated, and its steady state.
    pub(super) circuit: &'a Circuit,
    pub(super) nominal: &'a Steady,
}

impl Trial<'_> {
    /// The condition with its tolerances at a corner, and its circuit.
    pub(super) fn at(&self, corner: Vec<i8>) -> (Condition, Circuit) {
        let c = Condition { corner, ..self.condition.clone() };
        let circuit = self.context.circuit(&c);
        (c, circuit)
    }

    /// Solves and files every corner that is wanted.
    pub(super) fn file(&self, wanted: Wanted, recorder: &mut Recorder) {
        let mut list = wanted.shared();
        let left_out = list.split_off(list.len().min(self.context.most_corners));
        let solved = list.len();
        for corner in list {
            let (c, circuit) = self.at(corner);
            match self.context.solve_near(&circuit, c.level, self.nominal) {
                Ok(s) => settle(self.context, &circuit, c, &s, recorder),
                Err(why) => recorder.unsolved(c, why),
            }
        }
        if let Some(corner) = left_out.first() {
            let why = NotSolved::CornersLeftOut { solved, left_out: left_out.len() };
            recorder.unsolved(Condition { corner: corner.clone(), ..self.condition.clone() }, why);
        }
    }

    /// What stands with every value as stated.
    pub(super) fn base(&self, recorder: &mut Recorder) -> Base {
        let q = &self.nominal.branches;
        Base {
            items: self.context.model.items.iter().map(|i| measured(i, q)).collect(),
            open: contacts(self.context).map(|c| q[c.probe].v_peak()).collect(),
            drawn: self.drawn(self.condition, self.circuit, self.nominal, recorder),
            heat: self.heat(self.nominal),
        }
    }

    fn heat(&self, s: &Steady) -> f64 {
        heat::watts(self.context.jig, self.context.model, &s.branches).with_lamps
    }

    /// Moves one value to its upper end. `None` where that is not solved, which is told.
    pub(super) fn row(
        &self,
        t: usize,
        base: &Base,
        matched: &mut Vec<(usize, usize)>,
        recorder: &mut Recorder,
    ) -> Option<Row> {
        let model = self.context.model;
        let mut corner = vec![0; model.toleranced.len()];
        corner[t] = END;
        let (c, circuit) = self.at(corner);
        let s = match self.context.solve_near(&circuit, c.level, self.nominal) {
            Ok(s) => s,
            Err(why) => {
                recorder.unsolved(c, why);
                return None;
            }
        };
        let Toleranced { part, tolerance, .. } = model.toleranced[t];
        let mut out = Row::none(base);
        for (k, item) in model.items.iter().enumerate() {
            let (now, old) = (measured(item, &s.branches), &base.items[k]);
            out.items[k] = PerQuantity::from_fn(|q| moved(Some(now[q]), Some(old[q])));
            let (now, old) = (now[Quantity::Power], old[Quantity::Power]);
            // The logarithmic slope runs over about the tolerance from one end to the other.
            if item.part == part && old > 0.0 && (now / old - 1.0).abs() < 2.0 * tolerance * tolerance {
                matched.push((k, t));
            }
        }
        for ((slot, contact), old) in out.open.iter_mut().zip(contacts(self.context)).zip(&base.open) {
            *slot = moved(Some(s.branches[contact.probe].v_peak()), Some(*old));
        }
        // Behind a capacitor the open volts stay while the current that a hand gets does not.
        let now = self.drawn(&c, &circuit, &s, recorder);
        for (slot, (now, old)) in out.drawn.iter_mut().zip(now.into_iter().zip(&base.drawn)) {
            *slot = moved(now, *old);
        }
        out.heat = moved(Some(self.heat(&s)), Some(base.heat));
        Some(out)
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
    pub(super) fn most_power(
        &self,
        item: usize,
        t: usize,
        corner: Vec<i8>,
        recorder: &mut Recorder,
    ) -> Option<Vec<i8>> {
        let mut power = |own: i8| {
            let mut corner = corner.clone();
            corner[t] = own;
            let (c, circuit) = self.at(corner);
            match self.context.solve_near(&circuit, c.level, self.nominal) {
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
        // 0 would ask nothing of it.
        inside[t] = if crest < 0.0 { crest.round().min(-1.0) } else { crest.round().max(1.0) } as i8;
        (bend < 0.0 && crest.abs() < f64::from(END)).then_some(inside)
    }
}

#[cfg(test)]
mod tests {
    use super::{Base, END, Row, Toward, Wanted, moved};

    #[test]
    fn corners_are_shared_by_those_that_ask_nothing_contrary() {
        let mut wanted = Wanted::default();
        for corner in [[0, 0, 0], [END, 0, 0], [0, -END, 0], [END, END, 0], [END, 0, 0], [0, 0, -40], [-END, 0, 0]] {
            wanted.want(corner.to_vec());
        }
        assert_eq!(wanted.shared(), [[END, END, -40], [-END, -END, 0]]);
    }

    #[test]
    fn what_a_quantity_hardly_feels_is_not_asked_for() {
        let base = Base { items: vec![], open: vec![1.0], drawn: vec![], heat: 0.0 };
        let rows = [0.3f32, -4e-5, 0.0, -5e-5, 2e-4].map(|by| Row { open: vec![by], ..Row::none(&base) });
        let rows: Vec<&Row> = rows.iter().collect();
        let corner = |unfelt| Toward { rows: &rows, unfelt }.corner(1.0, |_, row| row.open[0]);
        assert_eq!(corner(0.0), [END, -END, 0, -END, END]);
        assert_eq!(corner(5e-5), [END, 0, 0, -END, END]);
        assert_eq!(corner(1e-4), [END, 0, 0, 0, END]);
    }

    #[test]
    fn rounding_moves_nothing() {
        assert_eq!(moved(Some(1.0 + 1e-10), Some(1.0)), 0.0);
        assert!(moved(Some(1.0 + 1e-8), Some(1.0)) > 0.0);
        assert!(moved(Some(-1.0), Some(1.0)) < 0.0);
        assert_eq!(moved(Some(1e-22), Some(0.0)), 0.0);
        assert_eq!(moved(None, Some(1.0)), 0.0);
        assert!(moved(Some(1e-9), Some(2e-9)) < 0.0);
    }
}
