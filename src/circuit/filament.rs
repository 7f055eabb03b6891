//! Filament lamps: a resistance that its own mean power settles at, found in a loop around the solution of the circuit.

use super::netlist::{Circuit, Device};
use super::results::Quantities;

/// Most rounds of the loop; it contracts by about a third a round, secants then do the rest.
pub(super) const ROUNDS: usize = 60;
/// Relative change of resistance at which a filament counts as settled.
const SETTLED: f64 = 1e-10;
/// Hottest a filament is let get, as a multiple of its resistance at rated power: it would have burned out long before.
const HOTTEST: f64 = 10.0;
/// Part of the way to where a filament's power would bring it that is gone in the first round: all of it may overshoot
/// where the rest of the circuit answers.
const FIRST_STEP: f64 = 0.7;
/// Slope from which a secant is trusted; one flatter than that comes from rounding or from lamps that move together, and
/// leads far away.
const TRUSTED_SLOPE: f64 = -0.2;

/// One filament lamp of a circuit.
#[derive(Debug, Clone)]
struct Filament {
    /// Index of its branch.
    branch: usize,
    /// Resistance at rated power, ohms.
    hot: f64,
    /// Rated watts.
    watts: f64,
    /// Least resistance, ohms.
    cold: f64,
    /// Exponent of `i ~ v^exponent`.
    exponent: f64,
}

impl Filament {
    /// Resistance at a mean power of so many watts, ohms.
    fn ohms_at(&self, power: f64) -> f64 {
        // i ~ v^p gives R ~ v^(1-p) and P ~ v^(1+p).
        let p = self.exponent;
        let ohms = self.hot * (power.max(0.0) / self.watts).powf((1.0 - p) / (1.0 + p));
        ohms.clamp(self.cold, self.hottest())
    }

    /// Most resistance, ohms.
    fn hottest(&self) -> f64 {
        self.hot * HOTTEST
    }
}

/// The filament lamps of a circuit and the resistances they have at present.
#[derive(Debug, Clone)]
pub(super) struct Filaments {
    lamps: Vec<Filament>,
    /// Ohms, one a branch of the circuit (0 for what is no filament).
    ohms: Vec<f64>,
}

/// One round of the loop, over the lamps, in logarithms of ohms.
pub(super) struct Round {
    here: Vec<f64>,
    /// From here to where each lamp's power would bring it.
    off: Vec<f64>,
}

impl Filaments {
    /// Every lamp of a circuit at its cold resistance.
    pub(super) fn cold(c: &Circuit) -> Filaments {
        let mut lamps = vec![];
        let mut ohms = vec![0.0; c.branches.len()];
        for (branch, b) in c.branches.iter().enumerate() {
            if let Device::Filament { volts, watts, cold_ratio, exponent } = b.device {
                let hot = volts * volts / watts;
                let cold = hot * cold_ratio;
                ohms[branch] = cold;
                lamps.push(Filament { branch, hot, watts, cold, exponent });
            }
        }
        Filaments { lamps, ohms }
    }

    /// Present resistances, ohms, one a branch of the circuit (0 for what is no filament).
    pub(super) fn ohms(&self) -> &[f64] {
        &self.ohms
    }

    /// Whether the lamps' resistances are those at which they settle with the powers of a solution; otherwise they are
    /// brought nearer, by one fixed-point step at first and then by secants for each lamp.
    pub(super) fn settle(&mut self, branches: &[Quantities], previous: &mut Option<Round>) -> bool {
        let here: Vec<f64> = self.lamps.iter().map(|l| self.ohms[l.branch].ln()).collect();
        let there = self.lamps.iter().map(|l| l.ohms_at(branches[l.branch].power).ln());
        let off: Vec<f64> = there.zip(&here).map(|(t, h)| t - h).collect();
        if off.iter().all(|d| d.abs() < SETTLED) {
            return true;
        }
        for (k, lamp) in self.lamps.iter().enumerate() {
            let secant = previous.as_ref().and_then(|p| {
                let slope = (off[k] - p.off[k]) / (here[k] - p.here[k]);
                (slope.is_finite() && slope < TRUSTED_SLOPE).then(|| -off[k] / slope)
            });
            let next = here[k] + secant.unwrap_or(FIRST_STEP * off[k]);
            self.ohms[lamp.branch] = next.clamp(lamp.cold.ln(), lamp.hottest().ln()).exp();
        }
        *previous = Some(Round { here, off });
        false
    }

    /// The branch of the lamp that was farthest from where its power would bring it in the last round.
    pub(super) fn least_settled(&self, last: &Option<Round>) -> Option<usize> {
        let off = &last.as_ref()?.off;
        let farthest = (0..off.len()).max_by(|a, b| off[*a].abs().total_cmp(&off[*b].abs()))?;
        self.lamps.get(farthest).map(|lamp| lamp.branch)
    }
}
