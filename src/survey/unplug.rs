//! The plug pulled at the worst instant: what is left on its pins, on what can be touched and on the outlets.

use crate::circuit::{Circuit, Device, Solver, Start, Transient, Until};
use crate::standard;
use crate::standard::Level;

use super::clearing;
use super::condition::{Condition, END, Moment, Moved};
use super::context::SurveyContext;
use super::gravest::Ordinal;
use super::handled::{Places, capacitors, taken};
use super::in_use;
use super::ledger::Outcome;
use super::model::Measure;
use super::pulses::pulses;
use super::recorder::Recorder;
use super::records::{ChargeSide, Left, Made, Worst};
use super::settings::{positions, switch_parts};
use super::unsolved::{NotSolved, consistent};
use crate::jig::PartKind;
use crate::part::assembly::open;

/// Phases at which unplugging is looked for.
pub(super) const PHASES: usize = 32;
/// Volts below which a capacitor has no charge worth the name.
const CHARGED: f64 = 1.0;

/// Whether the capacitors could together break a published rule for the pins even at the crest of the highest mains:
/// what every rule exempts needs no waiting for.
pub(super) fn charge_could_matter(context: &SurveyContext, circuit: &Circuit) -> bool {
    let farads: f64 = capacitors(circuit).map(|(_, farads)| farads).sum();
    let crest = std::f64::consts::SQRT_2 * context.scale(Level::High) * context.model.nominal;
    // Twice the crest: what a diode can pump a capacitor up to.
    standard::discharge::plug_pin_rules().iter().any(|r| r.broken(2.0 * crest, farads))
}

/// The states of the steady state over a cycle, and the phases that leave most in a capacitor, either way, with the
/// crests of the mains among them.
///
/// # Errors
/// Why there is no steady state.
pub(super) fn worst_phases(
    context: &SurveyContext,
    circuit: &Circuit,
    level: Level,
) -> Result<(Vec<Vec<f64>>, Vec<usize>), NotSolved> {
    let states = Solver::new(circuit)?.states_over_cycle(context.scale(level), PHASES)?;
    let mut phases: Vec<usize> = vec![PHASES / 4, 3 * PHASES / 4];
    for (k, _) in capacitors(circuit) {
        let by = |a: &usize, b: &usize| states[*a][k].total_cmp(&states[*b][k]);
        phases.extend((0..PHASES).max_by(by));
        phases.extend((0..PHASES).min_by(by));
    }
    phases.sort_unstable();
    phases.dedup();
    Ok((states, phases))
}

/// A condition with its plug out: every toleranced value at the end that keeps a charge longest. A varistor below its knee
/// merely leaks, and that is no way to discharge: the leak of the model is the most that one has.
pub(crate) fn pulled(context: &SurveyContext, condition: &Condition) -> (Condition, Circuit) {
    let corner = vec![END; context.model.toleranced.len()];
    let condition = Condition { corner, ..condition.clone() };
    let mut circuit = context.model.unplugged(context.circuit(&condition));
    circuit.branches.iter_mut().for_each(|b| no_leak(&mut b.device));
    (condition, circuit)
}

pub(super) fn no_leak(device: &mut Device) {
    let Device::Resistor { ohms: least } = open() else { return };
    match device {
        Device::Clamp { off_ohms, .. } => *off_ohms = off_ohms.max(least),
        Device::Source { .. }
        | Device::Meter
        | Device::Diode { .. }
        | Device::Neon { .. }
        | Device::Resistor { .. }
        | Device::Filament { .. }
        | Device::Capacitor { .. }
        | Device::Inductor { .. } => {}
    }
}

/// Pulls the plug at the phases that leave most in each capacitor and between the pins, and waits; without a fault also
/// with each switch moved meanwhile: what empties a capacitor may lie on its other side.
pub(super) fn unplug(context: &SurveyContext, condition: &Condition, circuit: &Circuit, recorder: &mut Recorder) {
    match ends_at_once(context, condition, circuit) {
        Ok(true) => return,
        Ok(false) => {}
        Err(why) => return recorder.unsolved(condition.clone(), why),
    }
    let unplugged = |degrees, moved| Condition { moment: Moment::Unplugged { degrees, moved }, ..condition.clone() };
    let (states, phases) = match worst_phases(context, circuit, condition.level) {
        Ok(found) => found,
        Err(why) => return recorder.unsolved(unplugged(None, None), why),
    };
    let charges: Vec<(usize, f64)> = capacitors(circuit).collect();
    // Without charge there is nothing to wait for.
    if states.iter().all(|s| charges.iter().all(|(k, _)| s[*k].abs() < CHARGED)) {
        return;
    }
    let stays = std::iter::once(None);
    let moves = moves(context, condition).into_iter().filter(|_| condition.faults.is_empty());
    for moved in stays.chain(moves.map(Some)) {
        let mut later = condition.clone();
        if let Some(Moved { switch, to }) = moved {
            later.switches[switch] = to;
        }
        let (_, mut circuit) = pulled(context, &later);
        let places = Places::metered(context.jig, context.model, &mut circuit);
        let wait = Wait { context, pulled: circuit, places };
        for &phase in &phases {
            let degrees = Some(360.0 * phase as f64 / PHASES as f64);
            let corner = vec![END; context.model.toleranced.len()];
            let c = Condition { corner, ..unplugged(degrees, moved) };
            wait.on(c, states[phase].clone(), recorder);
        }
    }
}

/// Whether an outlet is shorted and a device ends that at once: nobody pulls the plug in these milliseconds, and what is left
/// behind an open device is found where that device has failed open.
///
/// # Errors
/// Why there is no steady state.
fn ends_at_once(context: &SurveyContext, condition: &Condition, circuit: &Circuit) -> Result<bool, NotSolved> {
    if !in_use::shorts_an_outlet(context, condition) {
        return Ok(false);
    }
    let s = context.solve(circuit, condition.level)?;
    let first = clearing::first(clearing::opens(context.jig, context.model, condition, &s.branches));
    Ok(first.is_some_and(|c| c.within <= standard::bench::short_overload_power().1.value))
}

/// Every switch moved to every other of its positions.
fn moves(context: &SurveyContext, condition: &Condition) -> Vec<Moved> {
    let mut out = vec![];
    for (switch, part) in switch_parts(context.jig).into_iter().enumerate() {
        let PartKind::Switch(s) = &context.jig.parts[part].kind else { continue };
        let others = (0..positions(&s.contacts)).filter(|to| condition.switches.get(switch).is_some_and(|at| at != to));
        out.extend(others.map(|to| Moved { switch, to }));
    }
    out
}

/// A jig with its plug pulled.
struct Wait<'a> {
    context: &'a SurveyContext<'a>,
    pulled: Circuit,
    places: Places,
}

impl Wait<'_> {
    /// Notes what is left at every time the rules name.
    fn on(&self, condition: Condition, mut state: Vec<f64>, recorder: &mut Recorder) {
        let mut times: Vec<f64> = standard::discharge::plug_pin_rules().iter().map(|r| r.after_s).collect();
        times.sort_by(f64::total_cmp);
        times.dedup();
        state.resize(self.pulled.branches.len(), 0.0);
        let (mut at, mut before) = (None, 0.0);
        let moved = matches!(condition.moment, Moment::Unplugged { moved: Some(_), .. });
        let mut solver = match Solver::new(&self.pulled) {
            Ok(solver) => solver,
            Err(why) => return recorder.unsolved(condition, why.into()),
        };
        for time in times {
            let until = Until { seconds: time - before, falls_below: None };
            let start = Start { angle: 0.0, state };
            let run = solver.transient(1.0, &start, &until);
            let t = match run.map_err(NotSolved::from).and_then(consistent) {
                Ok(t) => t,
                Err(why) => return recorder.unsolved(condition, why),
            };
            let at = *at.get_or_insert_with(|| recorder.tried(condition.clone(), Outcome::Solved));
            // What a switch that is moved empties into, it empties into at once.
            if moved && before == 0.0 {
                dumps(self.context, &condition, &t, at, recorder);
            }
            before = time;
            let left = Left { seconds: time, ..Left::none(at, condition.kind()) };
            if let Err(why) = note(self.context, &self.pulled, &self.places, &t, left, recorder) {
                recorder.unsolved(condition.clone(), why);
            }
            state = t.state;
        }
        if let Some(at) = at.filter(|_| !moved && condition.faults.is_empty()) {
            let start = Start { angle: 0.0, state };
            if let Err(why) = self.keeps(&mut solver, &start, before, at, recorder) {
                recorder.unsolved(condition, why);
            }
        }
    }

    /// Notes what every capacitor still holds when the box may have been opened.
    fn keeps(
        &self,
        solver: &mut Solver,
        start: &Start,
        since: f64,
        at: Ordinal,
        recorder: &mut Recorder,
    ) -> Result<(), NotSolved> {
        let rule = standard::discharge::inside_rule();
        if !capacitors(&self.pulled).any(|(k, farads)| rule.broken(start.state[k], farads)) {
            return Ok(());
        }
        let until = Until { seconds: rule.after_s - since, falls_below: None };
        let t = consistent(solver.transient(1.0, start, &until)?)?;
        for (k, item) in self.context.model.items.iter().enumerate() {
            if let Measure::Branch(b) = item.measure
                && matches!(self.pulled.branches[b].device, Device::Capacitor { farads } if rule.broken(t.volts[b], farads))
            {
                recorder.ledger.lasting.kept[k].take(Worst { value: t.volts[b].abs(), at });
            }
        }
        Ok(())
    }
}

/// Files what stays charged and a switch that is moved empties: the energy in every item, and what flows through it.
fn dumps(context: &SurveyContext, condition: &Condition, t: &Transient, at: Ordinal, recorder: &mut Recorder) {
    pulses(context, condition, t, at, recorder);
    for (k, item) in context.model.items.iter().enumerate() {
        if let Measure::Branch(b) = item.measure {
            let made = Made { i2t: t.i2t[b], peak: t.branches[b].i_peak(), at };
            recorder.ledger.lasting.dumped[k].take(made);
        }
    }
}

/// Notes what is left between every two places at the end of a run; `left` says when. What is too little to break a rule is
/// noted by its volts alone.
///
/// # Errors
/// Why what a hand takes could not be solved.
pub(super) fn note(
    context: &SurveyContext,
    circuit: &Circuit,
    places: &Places,
    t: &Transient,
    left: Left,
    recorder: &mut Recorder,
) -> Result<(), NotSolved> {
    let least = standard::discharge::plug_pin_rules().iter().map(|r| r.limit_v).fold(f64::INFINITY, f64::min);
    for pair in places.between(&t.volts) {
        let volts = pair.volts.abs();
        let mut l = Left { between: pair.sides, volts, ..left };
        if volts > least {
            match taken(context, circuit, &t.state, pair.nodes, left.kind)? {
                Some(hand) => (l.farads, l.holder) = (hand.coulombs / volts, hand.from),
                // A hand brings it down at once.
                None => l.volts = 0.0,
            }
        }
        if volts > CHARGED || l.is_of_pins() || pair.sides[1] == ChargeSide::Earth {
            recorder.ledger.take_left(l);
        }
    }
    Ok(())
}
