//! The room's front door: steady states, transients and waveforms of one circuit at any supply level.

use super::filament::{self, Filaments};
use super::machine::Machine;
use super::netlist::Circuit;
use super::plan::Plan;
use super::results::{Lighting, Steady};
use super::solution::{self, Solution};
use super::transient::{self, Start, Transient, Until};
use super::unsolved::Unsolved;

/// A circuit ready to be solved. Its mode matrices are kept, so solving at another supply level or with the plug the
/// other way round costs less than the first time.
///
/// A supply level (`scale`) is a plain number that multiplies every source's sine: negative for the plug the other way
/// round.
pub struct Solver {
    circuit: Circuit,
    machine: Machine,
    filaments: Filaments,
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
        let filaments = Filaments::cold(circuit);
        let machine = Machine::new(Plan::new(circuit, filaments.ohms())?);
        Ok(Solver { circuit: circuit.clone(), machine, filaments, last: None, peaks: vec![] })
    }

    /// Periodic steady state from rest at a supply level, with every filament lamp at the resistance that its own mean
    /// power settles at.
    ///
    /// # Errors
    /// [`Unsolved::Lost`] when no trustworthy solution exists.
    pub fn steady(&mut self, scale: f64) -> Result<Steady, Unsolved> {
        let mut previous = None;
        for _ in 0..filament::ROUNDS {
            let (steady, solution) = solution::solve(&mut self.machine, scale)?;
            self.peaks = steady.branches.iter().map(|q| q.i_max).collect();
            self.last = Some(solution);
            if self.filaments.settle(&steady.branches, &mut previous) {
                return Ok(steady);
            }
            self.machine = Machine::new(Plan::new(&self.circuit, self.filaments.ohms())?);
        }
        Err(Unsolved::Lost { what: "a filament lamp's resistance did not settle" })
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
