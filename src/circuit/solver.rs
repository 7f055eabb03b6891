//! The room's front door: steady states, transients and waveforms of one circuit at any supply level.

use super::filament::{self, Filaments};
use super::machine::Machine;
use super::netlist::Circuit;
use super::plan::Plan;
use super::results::{Lighting, Steady};
use super::solution::{self, Solution};
use super::strays::{Groups, SAMPLES};
use super::transient::{self, Start, Transient, Until};
use super::unsolved::{Unsolved, in_time};

/// A circuit ready to be solved. Its mode matrices are kept, so solving at another supply level or with the plug the
/// other way round costs less than the first time.
///
/// A supply level (`scale`) is a plain number that multiplies every source's sine: negative for the plug the other way
/// round.
pub struct Solver {
    circuit: Circuit,
    machine: Machine,
    filaments: Filaments,
    /// Nodes that only strays hold against each other, where a hand meets them.
    groups: Option<Groups>,
    /// Capacitor volts and inductor amperes, one a branch, near which the steady state is to be looked for.
    near: Option<Vec<f64>>,
    /// The steady state last solved.
    last: Option<Solution>,
    /// Largest current of each branch in it, amperes.
    peaks: Vec<f64>,
}

impl Solver {
    /// Prepares a circuit. Its filament lamps are cold.
    ///
    /// # Errors
    /// [`Unsolved::BadValue`] for a value outside its model's range, [`Unsolved::SourceLoop`] for sources joined
    /// directly, [`Unsolved::Lost`] for a circuit without frequency or reference node, or with windings that are coupled
    /// without any leakage.
    pub fn new(circuit: &Circuit) -> Result<Solver, Unsolved> {
        in_time(circuit.until)?;
        let filaments = Filaments::cold(circuit);
        let machine = Machine::new(Plan::new(circuit, filaments.ohms())?);
        let groups = Groups::new(circuit);
        Ok(Solver { circuit: circuit.clone(), machine, filaments, groups, near: None, last: None, peaks: vec![] })
    }

    /// Tells of capacitor volts and inductor amperes, one a branch (those it does not name are 0), near those of the steady
    /// state that is asked for next: of the same circuit a little changed. The solution is the same, found sooner.
    pub fn begin_near(&mut self, state: &[f64]) {
        self.near = Some(state.to_vec());
    }

    /// Periodic steady state from rest at a supply level, with every filament lamp at the resistance that its own mean
    /// power settles at.
    ///
    /// # Errors
    /// [`Unsolved::Lost`] when no trustworthy solution exists, [`Unsolved::Unsettled`] when a filament lamp does not settle.
    pub fn steady(&mut self, scale: f64) -> Result<Steady, Unsolved> {
        let mut previous = None;
        for _ in 0..filament::ROUNDS {
            in_time(self.circuit.until)?;
            let (mut steady, solution) = solution::solve(&mut self.machine, scale, self.near.as_deref())?;
            self.near = Some(steady.state.clone());
            self.peaks = steady.branches.iter().map(|q| q.i_max).collect();
            if self.filaments.settle(&steady.branches, &mut previous) {
                if let Some(groups) = &self.groups {
                    let waves = solution.sums_over_cycle(&self.machine, groups.wanted(&self.circuit), SAMPLES);
                    steady.felt = groups.felt(&self.circuit, &waves);
                }
                self.last = Some(solution);
                return Ok(steady);
            }
            self.machine = Machine::new(Plan::new(&self.circuit, self.filaments.ohms())?);
        }
        Err(match self.filaments.least_settled(&previous) {
            Some(branch) => Unsolved::Unsettled { branch },
            None => Unsolved::Lost { what: "a filament lamp's resistance did not settle" },
        })
    }

    /// When a glow lamp or LED is lit in the steady state last solved; `None` for other parts, and before there is one.
    pub fn lighting(&self, branch: usize) -> Option<Lighting> {
        let peak = self.peaks.get(branch).copied().unwrap_or(0.0);
        self.last.as_ref()?.lighting(&self.machine, branch, peak)
    }

    /// A transient at a supply level. Filament lamps keep the resistance they have: cold after [`Solver::new`], settled
    /// after [`Solver::steady`].
    ///
    /// # Errors
    /// [`Unsolved::Lost`] for one of no duration, or when the walk through time fails.
    pub fn transient(&mut self, scale: f64, start: &Start, until: &Until) -> Result<Transient, Unsolved> {
        transient::run(&mut self.machine, scale, start, until)
    }

    /// Voltage (volts) and current (amperes) of every branch at `points` instants evenly over the period of the steady
    /// state (outer index = branch; the first point is the rising zero of the mains).
    ///
    /// # Errors
    /// As [`Solver::steady`].
    pub fn waveform(&mut self, scale: f64, points: usize) -> Result<Vec<Vec<(f64, f64)>>, Unsolved> {
        self.steady(scale)?;
        Ok(self.last.as_ref().map_or_else(Vec::new, |s| s.waveform(&self.machine, points)))
    }

    /// Capacitor volts and inductor amperes of the steady state, one a branch (0 for others), at `points` angles evenly
    /// over its first cycle (outer index = point), for transients that start anywhere in the cycle.
    ///
    /// # Errors
    /// As [`Solver::steady`].
    pub fn states_over_cycle(&mut self, scale: f64, points: usize) -> Result<Vec<Vec<f64>>, Unsolved> {
        self.steady(scale)?;
        Ok(self.last.as_ref().map_or_else(Vec::new, |s| s.states_over_cycle(&self.machine, points)))
    }
}
