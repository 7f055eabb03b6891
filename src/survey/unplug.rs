//! The plug pulled at the worst instant: what is left on its pins and on what can be touched.

use crate::circuit::{Branch, Circuit, Device, Solver, Start, Until};
use crate::standard;
use crate::standard::Level;

use super::condition::{Condition, Moment};
use super::context::SurveyContext;
use super::ledger::Outcome;
use super::recorder::Recorder;
use super::records::{ChargeSide, Left};
use super::unsolved::{NotSolved, consistent};

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

/// Branches that are capacitors, and their capacitance.
pub(super) fn capacitors(circuit: &Circuit) -> impl Iterator<Item = (usize, f64)> {
    let capacitor = |(k, b): (usize, &Branch)| match b.device {
        Device::Capacitor { farads } => Some((k, farads)),
        Device::Source { .. }
        | Device::Resistor { .. }
        | Device::Filament { .. }
        | Device::Inductor { .. }
        | Device::Diode { .. }
        | Device::Clamp { .. }
        | Device::Neon { .. } => None,
    };
    circuit.branches.iter().enumerate().filter_map(capacitor)
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

/// Pulls the plug at the phases that leave most in each capacitor and between the pins, and waits.
pub(super) fn unplug(context: &SurveyContext, condition: &Condition, circuit: &Circuit, recorder: &mut Recorder) {
    let (states, phases) = match worst_phases(context, circuit, condition.level) {
        Ok(found) => found,
        Err(why) => {
            let moment = Moment::Unplugged { degrees: None };
            return recorder.unsolved(Condition { moment, ..condition.clone() }, why);
        }
    };
    let capacitors: Vec<(usize, f64)> = capacitors(circuit).collect();
    // Without charge there is nothing to wait for.
    if states.iter().all(|s| capacitors.iter().all(|(k, _)| s[*k].abs() < CHARGED)) {
        return;
    }
    let pulled = context.model.unplugged(circuit.clone());
    let unplugged = Unplugged { context, capacitors, pulled };
    for phase in phases {
        let degrees = Some(360.0 * phase as f64 / PHASES as f64);
        let c = Condition { moment: Moment::Unplugged { degrees }, ..condition.clone() };
        unplugged.wait(c, states[phase].clone(), recorder);
    }
}

/// A jig with its plug pulled.
struct Unplugged<'a> {
    context: &'a SurveyContext<'a>,
    capacitors: Vec<(usize, f64)>,
    pulled: Circuit,
}

impl Unplugged<'_> {
    /// Notes what is left at every time the rules name.
    fn wait(&self, condition: Condition, mut state: Vec<f64>, recorder: &mut Recorder) {
        let mut times: Vec<f64> = standard::discharge::plug_pin_rules().iter().map(|r| r.after_s).collect();
        times.sort_by(f64::total_cmp);
        times.dedup();
        let (mut at, mut before) = (None, 0.0);
        for time in times {
            let until = Until { seconds: time - before, falls_below: None };
            let start = Start { angle: 0.0, state };
            let run = Solver::new(&self.pulled).and_then(|mut s| s.transient(1.0, &start, &until));
            let t = match run.map_err(NotSolved::from).and_then(consistent) {
                Ok(t) => t,
                Err(why) => return recorder.unsolved(condition, why),
            };
            let at = *at.get_or_insert_with(|| recorder.tried(condition.clone(), Outcome::Solved));
            before = time;
            let charged = self.capacitors.iter().filter(|(k, _)| t.state[*k].abs() > CHARGED);
            let farads: f64 = charged.map(|x| x.1).sum();
            for (between, probe) in self.sides() {
                let volts = t.volts[probe].abs();
                let kind = condition.kind();
                recorder.ledger.take_left(Left { between, seconds: time, volts, farads, at, kind, took: false });
            }
            state = t.state;
        }
    }

    /// What charge may be left between, and the voltmeter there.
    fn sides(&self) -> impl Iterator<Item = ([ChargeSide; 2], usize)> {
        let model = self.context.model;
        let pins = model.pin_probe.map(|p| ([ChargeSide::PinL, ChargeSide::PinN], p));
        let touchables = model.touch_probes.iter().enumerate();
        pins.into_iter().chain(touchables.map(|(k, p)| ([ChargeSide::Touchable(k), ChargeSide::Earth], *p)))
    }
}
