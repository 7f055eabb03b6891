//! What everything that solves a condition needs: the jig, its model, the limits that decide how closely is looked.

use std::collections::HashMap;
use std::sync::{Arc, RwLock};

use crate::circuit::{Circuit, Device, Solver, Steady};
use crate::finding::Situation;
use crate::jig::Jig;
use crate::standard::touch::{LimitsIn, TouchLimits};
use crate::standard::{self, Level, Mains};

use super::condition::{Condition, Orientation};
use super::corners::Slopes;
use super::few::{Sound, Thrift};
use super::measured::measured;
use super::model::Model;
use super::touch::contacts;
use super::unsolved::NotSolved;

/// Largest energy residual a solution may have and still be trusted.
const TRUSTED: f64 = 1e-6;

/// Largest mean power that a capacitor or the inductors may seem to take, over the volt-amperes of the circuit.
const TRUSTED_STORED: f64 = 1e-4;

/// Most corners of the tolerances that are solved for one condition: every quantity of some three hundred parts may ask
/// for its own. What is left out beyond makes the check incomplete.
const MOST_CORNERS: usize = 1000;

/// What of a condition is set by hand.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct Setting {
    orientation: Orientation,
    switches: Vec<usize>,
    loads: Vec<usize>,
}

impl Setting {
    fn of(condition: &Condition) -> Setting {
        let Condition { orientation, switches, loads, .. } = condition;
        Setting { orientation: *orientation, switches: switches.clone(), loads: loads.clone() }
    }
}

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
    /// How corners of the tolerances are saved.
    pub thrift: Thrift,
    /// Longest published time in which a fault to earth is to be ended, seconds; `None` where none is asked.
    pub(super) disconnection: Option<f64>,
    /// Limits in normal condition and after a single fault.
    limits: [TouchLimits; 2],
    /// Stored volts and amperes of every setting without a fault, one a branch.
    sound: HashMap<Setting, Vec<f64>>,
    /// What every setting is at the highest supply without a fault: filed by the conditions without one, read by the others.
    found: RwLock<HashMap<Setting, Arc<Sound>>>,
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
        SurveyContext {
            jig,
            model,
            depth,
            most_corners: MOST_CORNERS,
            thrift: Thrift::default(),
            disconnection,
            limits,
            sound: HashMap::new(),
            found: RwLock::default(),
        }
    }

    /// Factor on the nominal supply.
    pub(crate) fn scale(&self, level: Level) -> f64 {
        self.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(level))
    }

    /// Whether the jig has so many values with a tolerance that a fault is to ask for the corners of what it changes only.
    pub(super) fn has_many(&self) -> bool {
        self.model.toleranced.len() > self.thrift.many
    }

    /// Part of a quantity of which its corner asks nothing.
    pub(super) fn unfelt(&self) -> f64 {
        if self.has_many() { self.thrift.unfelt_of_many } else { self.thrift.unfelt }
    }

    /// What the setting of a condition with a fault is without it, at the highest supply; `None` where every quantity is
    /// to ask for its corner.
    pub(super) fn sound(&self, condition: &Condition) -> Option<Arc<Sound>> {
        if condition.faults.is_empty() || condition.level != Level::High {
            return None;
        }
        self.found.read().ok()?.get(&Setting::of(condition)).cloned()
    }

    /// Keeps that of a condition without a fault.
    pub(super) fn keep_sound(&self, condition: &Condition, nominal: &Steady, slopes: Slopes) {
        if !self.has_many() || !condition.faults.is_empty() || condition.level != Level::High {
            return;
        }
        let items = self.model.items.iter().map(|i| measured(i, &nominal.branches)).collect();
        let open = contacts(self).map(|c| nominal.branches[c.probe].v_peak()).collect();
        if let Ok(mut found) = self.found.write() {
            found.insert(Setting::of(condition), Arc::new(Sound { items, open, slopes }));
        }
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

    /// As [`SurveyContext::solve`], near the stored volts and amperes of a circuit that differs little: the same solution,
    /// sooner.
    ///
    /// # Errors
    /// As [`SurveyContext::solve`].
    pub(super) fn solve_near(&self, circuit: &Circuit, level: Level, near: &Steady) -> Result<Steady, NotSolved> {
        let mut solver = Solver::new(circuit)?;
        solver.begin_near(&near.state);
        self.solve_with(&mut solver, level)
    }

    /// A solver of the circuit of a condition, told of the steady state of its setting without a fault.
    ///
    /// # Errors
    /// Why its circuit is none.
    pub(super) fn solver(&self, condition: &Condition, circuit: &Circuit) -> Result<Solver, NotSolved> {
        let mut solver = Solver::new(circuit)?;
        if let Some(state) = self.sound.get(&Setting::of(condition)) {
            solver.begin_near(state);
        }
        Ok(solver)
    }

    /// Solves every setting without a fault, for [`SurveyContext::solver`]. Done before anything is shared out among
    /// threads, so that every condition starts from the same state however many there are.
    pub(super) fn solve_sound(&mut self, conditions: &[Condition]) {
        let stores = |d: &Device| matches!(d, Device::Capacitor { .. } | Device::Inductor { .. });
        if self.jig.supply.mains.is_none() || !self.model.base.branches.iter().any(|b| stores(&b.device)) {
            return;
        }
        for condition in conditions {
            if let Ok(steady) = self.solve(&self.circuit(condition), condition.level) {
                self.sound.insert(Setting::of(condition), steady.state);
            }
        }
    }

    /// As [`SurveyContext::solve`], with a solver that may have met the circuit before.
    ///
    /// # Errors
    /// As [`SurveyContext::solve`].
    pub(super) fn solve_with(&self, solver: &mut Solver, level: Level) -> Result<Steady, NotSolved> {
        let s = solver.steady(self.scale(level))?;
        if s.forced {
            return Err(NotSolved::Inconsistent { branch: s.held });
        }
        if s.residual > TRUSTED || s.residual.is_nan() {
            return Err(NotSolved::Unbalanced { residual: s.residual });
        }
        if s.stored > TRUSTED_STORED || s.stored.is_nan() {
            return Err(NotSolved::Unbalanced { residual: s.stored });
        }
        Ok(s)
    }
}
