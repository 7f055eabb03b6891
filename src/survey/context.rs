//! What everything that solves a condition needs: the jig, its model, the limits that decide how closely is looked.

use crate::circuit::{Circuit, Solver, Steady};
use crate::finding::Situation;
use crate::jig::Jig;
use crate::standard::touch::{LimitsIn, TouchLimits};
use crate::standard::{self, Level, Mains};

use super::condition::Condition;
use super::model::Model;
use super::unsolved::NotSolved;

/// Largest energy residual a solution may have and still be trusted.
const TRUSTED: f64 = 1e-6;

/// Most corners of the tolerances that are solved for one condition: every quantity of some three hundred parts may ask
/// for its own. What is left out beyond makes the check incomplete.
const MOST_CORNERS: usize = 1000;

/// What a worker needs to know.
pub(crate) struct SurveyContext<'a> {
    /// The jig.
    pub jig: &'a Jig,
    /// Its model.
    pub model: &'a Model,
    /// How much is tried of a job.
    pub depth: Depth,
    /// Most corners of the tolerances that are solved for one condition; beyond, the check is incomplete.
    pub most_corners: usize,
    /// Longest published time in which a fault to earth is to be ended, seconds; `None` where none is asked.
    pub(super) disconnection: Option<f64>,
    /// Limits in normal condition and after a single fault.
    limits: [TouchLimits; 2],
}

/// How much is tried of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Depth {
    /// Every supply level, tolerance corners, transients.
    Full,
    /// Values as stated at the highest supply, in the steady state: what can be afforded for every pair of faults.
    Steady,
}

impl<'a> SurveyContext<'a> {
    /// For the surveys of one jig.
    pub(crate) fn new(jig: &'a Jig, model: &'a Model, depth: Depth) -> SurveyContext<'a> {
        let limits = [LimitsIn::Normal, LimitsIn::SingleFault].map(standard::touch::limits);
        let earth = jig.supply.mains.as_ref().map(Mains::to_earth);
        let disconnection =
            earth.and_then(|v| standard::protection::disconnection(v, jig.supply.earthing)).map(|l| l.value);
        SurveyContext { jig, model, depth, most_corners: MOST_CORNERS, disconnection, limits }
    }

    /// Factor on the nominal supply.
    pub(crate) fn scale(&self, level: Level) -> f64 {
        self.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(level))
    }

    /// Touch limits in a kind of condition.
    pub(super) fn limits(&self, kind: Situation) -> &TouchLimits {
        &self.limits[usize::from(kind != Situation::Normal)]
    }

    /// The circuit of a condition, at nominal supply.
    pub(super) fn circuit(&self, condition: &Condition) -> Circuit {
        self.model.circuit(self.jig, condition)
    }

    /// Solves a circuit at a supply level.
    ///
    /// # Errors
    /// Why there is no solution, or none that can be trusted.
    pub(super) fn solve(&self, circuit: &Circuit, level: Level) -> Result<Steady, NotSolved> {
        self.solve_with(&mut Solver::new(circuit)?, level)
    }

    /// As [`SurveyContext::solve`], with a solver that may have met the circuit before.
    ///
    /// # Errors
    /// As [`SurveyContext::solve`].
    pub(super) fn solve_with(&self, solver: &mut Solver, level: Level) -> Result<Steady, NotSolved> {
        let s = solver.steady(self.scale(level))?;
        if s.forced {
            return Err(NotSolved::Inconsistent);
        }
        if s.residual > TRUSTED || s.residual.is_nan() {
            return Err(NotSolved::Unbalanced { residual: s.residual });
        }
        Ok(s)
    }
}
