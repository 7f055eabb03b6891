//! What stores energy: capacitances and inductances as the states see them, and the scale of each state.

use super::forest::{Forest, Rows};
use super::linear::solve;
use super::netlist::{Circuit, Core, Device};
use super::unsolved::Unsolved;

/// Capacitances and inductances over the states (tree capacitors, then inductors).
#[derive(Debug, Clone)]
pub(super) struct Storage {
    /// Tree capacitors × tree capacitors, farads.
    pub capacitance: Vec<f64>,
    /// Inductors × inductors, henries: mutual inductances beside the diagonal.
    pub inductance: Vec<f64>,
    /// Its inverse.
    pub inverse_inductance: Vec<f64>,
    /// Iron that saturates.
    pub cores: Vec<Iron>,
    /// Scale of each state for convergence: volts per volt of amplitude, amperes per volt.
    pub unit: Vec<f64>,
    /// Square root of each state's capacitance or inductance: energy coordinates.
    pub energy: Vec<f64>,
}

/// Iron as the inductors see it.
#[derive(Debug, Clone)]
pub(super) struct Iron {
    /// Turns over those of the first winding, one an inductor (0 for those elsewhere).
    pub turns: Vec<f64>,
    /// Magnetising current at the knee, amperes.
    pub knee: f64,
    /// What the knee takes away from the first winding, henries.
    loss: f64,
    /// Reactance of the first winding below the knee, ohms: makes volts of a magnetising current.
    pub reactance: f64,
}

impl Storage {
    /// `rows` are those of the branches.
    ///
    /// # Errors
    /// [`Unsolved::Lost`] and [`Unsolved::BadValue`] for windings coupled without leakage or more tightly than that.
    pub(super) fn new(c: &Circuit, forest: &Forest, rows: &Rows, omega: f64) -> Result<Storage, Unsolved> {
        let (nc, nl) = (forest.tree.len(), forest.coils.len());
        let capacitance = capacitances(c, forest, rows);
        let inductance = inductances(c, &forest.coils);
        let mut inverse_inductance = vec![0.0; nl * nl];
        (0..nl).for_each(|i| inverse_inductance[i * nl + i] = 1.0);
        if !solve(&mut inductance.clone(), &mut inverse_inductance, nl, nl) {
            return Err(Unsolved::Lost { what: "the windings are coupled without any leakage" });
        }
        for (i, &branch) in forest.coils.iter().enumerate() {
            if inverse_inductance[i * nl + i] <= 0.0 {
                return Err(Unsolved::BadValue { branch, what: "is coupled more tightly than windings can be" });
            }
        }
        let farads = |i: usize| capacitance[i * nc + i];
        let henries = |i: usize| inductance[i * nl + i];
        let energy = (0..nc).map(farads).chain((0..nl).map(henries)).map(f64::sqrt).collect();
        let unit = (0..nc).map(|_| 1.0).chain((0..nl).map(|i| 1.0 / (omega * henries(i)))).collect();
        let cores = c.cores.iter().map(|core| iron(core, &forest.coils, omega)).collect();
        Ok(Storage { capacitance, inductance, inverse_inductance, cores, unit, energy })
    }

    /// The inverse of the inductances while these cores are saturated; `None` where there is none.
    pub(super) fn inverse_saturated(&self, saturated: impl Iterator<Item = usize>) -> Option<Vec<f64>> {
        let mut inductance = self.inductance.clone();
        let nl = self.inverse_inductance.len().isqrt();
        for iron in saturated.map(|k| &self.cores[k]) {
            for i in 0..nl {
                for j in 0..nl {
                    inductance[i * nl + j] -= iron.loss * iron.turns[i] * iron.turns[j];
                }
            }
        }
        let mut inverse = vec![0.0; nl * nl];
        (0..nl).for_each(|i| inverse[i * nl + i] = 1.0);
        let found = solve(&mut inductance, &mut inverse, nl, nl);
        (found && (0..nl).all(|i| inverse[i * nl + i] > 0.0)).then_some(inverse)
    }
}

/// A core over the inductors. A winding whose inductor is no more (a fault has put something else there) is not on it.
fn iron(core: &Core, coils: &[usize], omega: f64) -> Iron {
    let turns = |coil: &usize| core.windings.iter().find(|(b, _)| b == coil).map_or(0.0, |(_, turns)| *turns);
    Iron {
        turns: coils.iter().map(turns).collect(),
        knee: core.knee,
        loss: core.henries - core.saturated,
        reactance: omega * core.henries,
    }
}

/// Capacitance as the states see it: tree capacitors on the diagonal, closing ones through their rows.
fn capacitances(c: &Circuit, forest: &Forest, rows: &Rows) -> Vec<f64> {
    let nc = forest.tree.len();
    let mut out = vec![0.0; nc * nc];
    for (k, &b) in forest.tree.iter().enumerate() {
        if let Device::Capacitor { farads } = c.branches[b].device {
            out[k * nc + k] += farads;
        }
    }
    for &b in &forest.closing {
        if let Device::Capacitor { farads } = c.branches[b].device {
            for i in 0..nc {
                for j in 0..nc {
                    out[i * nc + j] += farads * rows.z(b)[i] * rows.z(b)[j];
                }
            }
        }
    }
    out
}

/// Inductances of the coils, mutual ones beside the diagonal.
fn inductances(c: &Circuit, coils: &[usize]) -> Vec<f64> {
    let nl = coils.len();
    let mut out = vec![0.0; nl * nl];
    for (i, &b) in coils.iter().enumerate() {
        if let Device::Inductor { henries } = c.branches[b].device {
            out[i * nl + i] = henries;
        }
    }
    for p in &c.couplings {
        let at = |b| coils.iter().position(|&x| x == b);
        if let (Some(i), Some(j)) = (at(p.first), at(p.second)) {
            out[i * nl + j] = p.henries;
            out[j * nl + i] = p.henries;
        }
    }
    out
}
