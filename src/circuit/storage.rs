//! What stores energy: capacitances and inductances as the states see them, and the scale of each state.

use super::forest::{Forest, Rows};
use super::linear::solve;
use super::netlist::{Circuit, Device};
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
    /// Scale of each state for convergence: volts per volt of amplitude, amperes per volt.
    pub unit: Vec<f64>,
    /// Square root of each state's capacitance or inductance: energy coordinates.
    pub energy: Vec<f64>,
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
        Ok(Storage { capacitance, inductance, inverse_inductance, unit, energy })
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
