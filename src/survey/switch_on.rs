//! Switching on at the worst instant: from rest with everything cold, until the inrush has come to its end, with iron at its
//! remanent flux where that draws most; and again after a moment off, with inrush limiters still hot and capacitors as they
//! were left.

use crate::circuit::{Circuit, Device, Solver, Start, Transient, Until};
use crate::finding::{Quantity, Situation};
use crate::jig::PartKind;
use crate::part::{Item, Measure, Thermistor};
use crate::standard;

use super::clearing;
use super::condition::{Condition, Moment, SwitchedFrom};
use super::context::SurveyContext;
use super::gravest::{Gravest, Ordinal};
use super::handled::capacitors;
use super::in_use;
use super::ledger::Outcome;
use super::measured::measured;
use super::pulses::pulses;
use super::recorder::Recorder;
use super::records::Worst;
use super::unplug::worst_phases;
use super::unsolved::{NotSolved, consistent};

/// Angles at which switching on is tried, degrees.
const ANGLES: [f64; 8] = [0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0];
/// The crests among them: where what is still charged meets the mains with most against it.
const CRESTS: [f64; 2] = [90.0, 270.0];
/// Most cycles that an inrush is followed: a second of it heats a part through.
const MOST_CYCLES: usize = 50;
/// Share of the first cycle by which two cycles may still differ when the inrush is at its end.
const SETTLED: f64 = 0.01;

/// Part of the mains that something takes which limits.
const HALF: f64 = 0.5;

/// Switches on at every angle, from rest and again.
pub(super) fn switch_on(context: &SurveyContext, condition: &Condition, circuit: &Circuit, recorder: &mut Recorder) {
    let run = Run {
        context,
        condition,
        counts: !in_use::shorts_an_outlet(context, condition) || lamp_bears_it(context, condition, circuit),
    };
    run.first_time(&with_thermistors(context, circuit, |t| t.cold), recorder);
    let hot = with_thermistors(context, circuit, hot_ohms);
    if context.jig.parts.iter().any(|p| matches!(p.kind, PartKind::Thermistor(_))) {
        ANGLES.iter().for_each(|d| run.again(&hot, *d, SwitchedFrom::Hot, &[], recorder));
    }
    for state in left_charged(context, condition, circuit) {
        CRESTS.iter().for_each(|d| run.again(&hot, *d, SwitchedFrom::Charged, &state, recorder));
    }
}

/// Whether a filament lamp takes the volts of a shorted outlet and nothing opens: that is what a limiter is for, while no other
/// tool is meant to be switched on like this.
fn lamp_bears_it(context: &SurveyContext, condition: &Condition, circuit: &Circuit) -> bool {
    let Ok(s) = context.solve(circuit, condition.level) else { return false };
    let takes = |item: &Item| {
        let lamp = matches!(context.jig.parts[item.part].kind, PartKind::Filament(_));
        lamp && measured(item, &s.branches)[Quantity::VoltageRms] >= HALF * context.model.nominal
    };
    context.model.items.iter().any(takes)
        && clearing::opens(context.jig, context.model, condition, &s.branches).next().is_none()
}

/// Ohms of an inrush limiter in use.
fn hot_ohms(t: &Thermistor) -> f64 {
    t.hot.unwrap_or_else(|| t.cold / standard::bench::thermistor_cold_over_hot().value)
}

fn with_thermistors(context: &SurveyContext, circuit: &Circuit, ohms: impl Fn(&Thermistor) -> f64) -> Circuit {
    let mut out = circuit.clone();
    for item in &context.model.items {
        if let (PartKind::Thermistor(t), Measure::Branch(b)) = (&context.jig.parts[item.part].kind, &item.measure) {
            out.branches[*b].device = Device::Resistor { ohms: ohms(t) };
        }
    }
    out
}

/// The charge that is left when the mains goes at the crests of each capacitor; coils keep nothing.
fn left_charged(context: &SurveyContext, condition: &Condition, circuit: &Circuit) -> Vec<Vec<f64>> {
    let held: Vec<usize> = capacitors(circuit).map(|(k, _)| k).collect();
    if held.is_empty() {
        return vec![];
    }
    // A steady state that is not found is told where it was asked for.
    let Ok((states, phases)) = worst_phases(context, circuit, condition.level) else { return vec![] };
    let left = |phase: usize| {
        let mut state = vec![0.0; circuit.branches.len()];
        held.iter().for_each(|k| state[*k] = states[phase][*k]);
        state
    };
    phases.into_iter().map(left).collect()
}

/// Switching on in one condition.
struct Run<'a> {
    context: &'a SurveyContext<'a>,
    condition: &'a Condition,
    /// Whether it is meant to be switched on like this.
    counts: bool,
}

impl Run<'_> {
    fn moment(&self, degrees: f64, from: SwitchedFrom) -> Condition {
        Condition { moment: Moment::SwitchedOn { degrees, from }, ..self.condition.clone() }
    }

    fn cycle(&self, solver: &mut Solver, hertz: f64, degrees: f64, state: Vec<f64>) -> Result<Transient, NotSolved> {
        let start = Start { angle: f64::to_radians(degrees), state };
        let until = Until { seconds: 1.0 / hertz, falls_below: None };
        consistent(solver.transient(self.context.scale(self.condition.level), &start, &until)?)
    }

    /// From rest: the first cycle at every angle, and on to the end of the inrush where some part gets most of it.
    fn first_time(&self, cold: &Circuit, recorder: &mut Recorder) {
        let mut solver = match Solver::new(cold) {
            Ok(solver) => solver,
            Err(why) => {
                let c = self.moment(ANGLES[0], SwitchedFrom::Rest);
                return recorder.unsolved(c, why.into());
            }
        };
        let first = ANGLES.map(|degrees| self.cycle(&mut solver, cold.hertz, degrees, vec![]));
        let worst = most_of_all(&first);
        self.magnetised(&mut solver, cold.hertz, &first, recorder);
        for (k, (degrees, cycle)) in ANGLES.into_iter().zip(first).enumerate() {
            let c = self.moment(degrees, SwitchedFrom::Rest);
            let followed = cycle.and_then(|first| {
                let inrush = Inrush { cycles: vec![first] };
                if worst.contains(&k) { self.follow(&mut solver, cold.hertz, degrees, inrush) } else { Ok(inrush) }
            });
            match followed {
                Ok(inrush) => self.file_first(&inrush, c, recorder),
                Err(why) => recorder.unsolved(c, why),
            }
        }
    }

    /// From rest with iron as it was left: magnetised the way in which the mains drives it further, at the angle at which
    /// the winding draws most.
    fn magnetised(
        &self,
        solver: &mut Solver,
        hertz: f64,
        first: &[Result<Transient, NotSolved>],
        recorder: &mut Recorder,
    ) {
        let remanent = &self.context.model.remanent;
        let mut worst: Vec<usize> = remanent.iter().map(|(winding, _)| angle_of_most(first, *winding)).collect();
        worst.sort_unstable();
        worst.dedup();
        for k in worst {
            let Ok(rest) = &first[k] else { continue };
            let mut state = vec![0.0; rest.branches.len()];
            for (winding, amperes) in remanent {
                let q = &rest.branches[*winding];
                // Iron that the mains does not reach stays as it is, and has no say.
                if q.i_peak() >= *amperes {
                    state[*winding] = if q.i_max >= -q.i_min { *amperes } else { -*amperes };
                }
            }
            if state.iter().all(|x| *x == 0.0) {
                continue;
            }
            let c = self.moment(ANGLES[k], SwitchedFrom::Magnetised);
            let cycle = self.cycle(solver, hertz, ANGLES[k], state);
            let followed =
                cycle.and_then(|first| self.follow(solver, hertz, ANGLES[k], Inrush { cycles: vec![first] }));
            match followed {
                Ok(inrush) => self.file_first(&inrush, c, recorder),
                Err(why) => recorder.unsolved(c, why),
            }
        }
    }

    fn file_first(&self, inrush: &Inrush, c: Condition, recorder: &mut Recorder) {
        let at = recorder.tried(c, Outcome::Solved);
        for cycle in &inrush.cycles {
            recorder.ledger.take(&self.context.model.items, &cycle.branches, Situation::Transient, at);
        }
        let whole = inrush.whole();
        pulses(self.context, self.condition, &whole, at, recorder);
        if self.counts {
            let lasting = &mut recorder.ledger.lasting;
            self.file(&whole, at, &mut lasting.inrush, &mut lasting.inrush_i2t);
            for (k, item) in self.context.model.items.iter().enumerate() {
                let crest = |cycle: &Transient| measured(item, &cycle.branches)[Quantity::VoltagePeak];
                let value = inrush.cycles.iter().map(crest).fold(0.0, f64::max);
                lasting.inrush_volts[k].take(Worst { value, at });
            }
        }
    }

    fn follow(&self, solver: &mut Solver, hertz: f64, degrees: f64, mut inrush: Inrush) -> Result<Inrush, NotSolved> {
        while inrush.cycles.len() < MOST_CYCLES && !inrush.settled() {
            let state = inrush.cycles.last().map_or_else(Vec::new, |c| c.state.clone());
            inrush.cycles.push(self.cycle(solver, hertz, degrees, state)?);
        }
        Ok(inrush)
    }

    /// Once more after a moment off: its first cycle.
    fn again(&self, hot: &Circuit, degrees: f64, from: SwitchedFrom, state: &[f64], recorder: &mut Recorder) {
        if !self.counts {
            return;
        }
        let c = self.moment(degrees, from);
        let run = Solver::new(hot).map_err(NotSolved::from);
        match run.and_then(|mut s| self.cycle(&mut s, hot.hertz, degrees, state.to_vec())) {
            Ok(t) => {
                let at = recorder.tried(c, Outcome::Solved);
                recorder.ledger.take(&self.context.model.items, &t.branches, Situation::Transient, at);
                let lasting = &mut recorder.ledger.lasting;
                self.file(&t, at, &mut lasting.inrush_again, &mut lasting.inrush_again_i2t);
            }
            Err(why) => recorder.unsolved(c, why),
        }
    }

    fn file(&self, t: &Transient, at: Ordinal, peaks: &mut [Gravest<Worst>], i2t: &mut [Gravest<Worst>]) {
        for (k, item) in self.context.model.items.iter().enumerate() {
            let branches: &[usize] = match &item.measure {
                Measure::Branch(b) => &[*b],
                Measure::Series(list, _) => &list[..1],
                Measure::Bridge(arms) => &arms[..],
            };
            let most = |f: &dyn Fn(usize) -> f64| branches.iter().map(|b| f(*b)).fold(0.0, f64::max);
            peaks[k].take(Worst { value: most(&|b| t.branches[b].i_peak()), at });
            i2t[k].take(Worst { value: most(&|b| t.i2t[b]), at });
        }
    }
}

/// The angles, by their place, at which some branch gets more I²t than at any other.
fn most_of_all(first: &[Result<Transient, NotSolved>]) -> Vec<usize> {
    let branches = first.iter().filter_map(|t| t.as_ref().ok()).map(|t| t.i2t.len()).max().unwrap_or(0);
    let mut out: Vec<usize> = vec![];
    for b in 0..branches {
        let most = angle_of_most(first, b);
        if !out.contains(&most) {
            out.push(most);
        }
    }
    out
}

/// The angle, by its place, at which a branch gets most I²t: of angles that are alike but for rounding the first.
fn angle_of_most(first: &[Result<Transient, NotSolved>], b: usize) -> usize {
    let at = |k: usize| first[k].as_ref().map_or(0.0, |t| t.i2t[b]);
    (0..first.len()).fold(0, |best, k| if at(k) > (1.0 + SETTLED) * at(best) { k } else { best })
}

/// The cycles of an inrush; never empty.
struct Inrush {
    cycles: Vec<Transient>,
}

impl Inrush {
    /// Whether the last two cycles are alike in every branch, against the largest.
    fn settled(&self) -> bool {
        let [.., before, last] = &self.cycles[..] else { return false };
        let first = &self.cycles[0];
        (0..first.i2t.len()).all(|b| (last.i2t[b] - before.i2t[b]).abs() <= SETTLED * first.i2t[b].max(last.i2t[b]))
    }

    /// What the inrush puts in beyond what goes on for ever: what each cycle has more than the last, and the last itself.
    /// The crests are those of the first cycle.
    fn whole(&self) -> Transient {
        let mut whole = self.cycles[0].clone();
        let last = self.cycles.last().unwrap_or(&self.cycles[0]);
        let sum = |of: &dyn Fn(&Transient) -> f64| {
            self.cycles.iter().map(|c| (of(c) - of(last)).max(0.0)).sum::<f64>() + of(last)
        };
        for b in 0..whole.i2t.len() {
            whole.i2t[b] = sum(&|c| c.i2t[b]);
            whole.energy[b] = sum(&|c| c.energy[b]);
        }
        whole.seconds = self.cycles.iter().map(|c| c.seconds).sum();
        whole
    }
}
