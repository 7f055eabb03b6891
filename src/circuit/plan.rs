//! Everything about a circuit that no switching device changes, worked out once. As the amplitude of the mains is an
//! initial value of the extended state and no coefficient, what is built from here serves every supply level and both
//! ways round of the plug.

use super::conserved::{Structure, conserved};
use super::elimination::Elimination;
use super::forest::{BEHIND, Forest, Link, Role, Rows};
use super::islands;
use super::linear::dot;
use super::netlist::{Circuit, Device};
use super::storage::Storage;
use super::unsolved::Unsolved;
use super::values::check;
use std::time::Instant;

/// Longest steps in a mains cycle: short enough for the samples at their quarters to follow what is not a sine.
const STEPS_PER_CYCLE: f64 = 32.0;
/// Longest step without an alternating source, in periods of the stated frequency: nothing ties the step to the mains,
/// and long decays then take long steps.
const STEP_WITHOUT_MAINS: f64 = 256.0;
/// Roundings that may meet in the voltage across one conductor.
const ROUNDINGS: f64 = 16.0;

/// A circuit made ready for its modes.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// Supernodes other than the reference, which has this number.
    pub supernodes: usize,
    /// Number of states (tree capacitors, then inductors).
    pub n: usize,
    /// Number of tree capacitors.
    pub nc: usize,
    /// Columns of z.
    pub nz: usize,
    /// Mains, radians a second.
    pub omega: f64,
    /// Longest step of the ladder, seconds.
    pub base: f64,
    /// The caller's branches first, then leaks.
    pub links: Vec<Link>,
    /// Rows of the links over z, and over the sources (for their currents).
    rows: Rows,
    /// Number of the caller's branches.
    pub own: usize,
    /// Number of leaks.
    pub leaks: usize,
    /// The branches by what they are to the solver.
    pub forest: Forest,
    pub storage: Storage,
    /// Orthonormal conserved directions over the states.
    pub conserved: Vec<Vec<f64>>,
    /// How the nodal matrix is eliminated.
    pub elimination: Elimination,
    /// Largest amplitude of a source at scale 1, volts.
    pub sine: f64,
    /// Largest steady part of a source, volts.
    pub dc: f64,
    /// When to stop looking.
    pub until: Option<Instant>,
}

impl Plan {
    /// `ohms` gives the present resistance of each filament lamp, by branch.
    ///
    /// # Errors
    /// [`Unsolved::BadValue`] and [`Unsolved::SourceLoop`] for what is no circuit, [`Unsolved::Lost`] for one without
    /// frequency or with windings that have no leakage.
    pub(super) fn new(c: &Circuit, ohms: &[f64]) -> Result<Plan, Unsolved> {
        check(c)?;
        let forest = Forest::grow(c, ohms)?;
        let (roots, mut links, mut rows) = forest.links(c);
        let supernodes = roots.len();
        let omega = 2.0 * std::f64::consts::PI * c.hertz;
        let leaks = islands::hold(&mut links, &mut rows, supernodes, omega);
        let storage = Storage::new(c, &forest, &rows, omega)?;
        let conserved = conserved(&Structure {
            circuit: c,
            forest: &forest,
            roots: &roots,
            links: &links,
            rows: &rows,
            storage: &storage,
        });
        let (mut sine, mut dc) = (0.0f64, 0.0f64);
        for &k in &forest.sources {
            if let Device::Source { dc: d, sine: s, .. } = c.branches[k].device {
                (sine, dc) = (sine.max(s.abs()), dc.max(d.abs()));
            }
        }
        let base = if sine > 0.0 { 1.0 / c.hertz / STEPS_PER_CYCLE } else { STEP_WITHOUT_MAINS / c.hertz };
        let n = forest.states();
        Ok(Plan {
            supernodes,
            n,
            nc: forest.tree.len(),
            nz: n + BEHIND,
            omega,
            base,
            elimination: Elimination::new(&links, supernodes),
            links,
            rows,
            own: c.branches.len(),
            leaks,
            forest,
            storage,
            conserved,
            sine,
            dc,
            until: c.until,
        })
    }

    /// A mains period, seconds.
    #[inline]
    pub(super) fn period(&self) -> f64 {
        2.0 * std::f64::consts::PI / self.omega
    }

    /// Row over z of link `b`: what drives it beside the potentials of its supernodes.
    #[inline]
    pub(super) fn w(&self, b: usize) -> &[f64] {
        self.rows.z(b)
    }

    /// The same over the sources.
    #[inline]
    pub(super) fn ws(&self, b: usize) -> &[f64] {
        self.rows.sources(b)
    }

    /// Capacitor volts and inductor amperes at `z`, one a branch of the caller (0 for others).
    pub(super) fn branch_state(&self, z: &[f64]) -> Vec<f64> {
        (0..self.own)
            .map(|b| match self.links[b].role {
                Role::Tree(k) => z[k],
                Role::Coil(k) => z[self.nc + k],
                Role::Closing => dot(self.w(b), z),
                Role::Source(_) | Role::Ohmic(_) | Role::Switching(_) | Role::Meter => 0.0,
            })
            .collect()
    }

    /// The states of which [`Plan::branch_state`] tells the branches' volts and amperes.
    pub(super) fn states(&self, branches: &[f64]) -> Vec<f64> {
        let stores = self.forest.tree.iter().chain(&self.forest.coils);
        stores.map(|b| branches.get(*b).copied().unwrap_or(0.0)).collect()
    }

    /// Number of devices that switch: branches, then cores.
    pub(super) fn devices(&self) -> usize {
        self.forest.switching.len() + self.storage.cores.len()
    }

    /// Number of branch `b` among the switching devices.
    pub(super) fn switching_number(&self, b: usize) -> Option<usize> {
        self.forest.switching.iter().position(|&x| x == b)
    }

    /// The branch of a switching device, by its number; of a core that of its first winding.
    pub(super) fn branch_of_device(&self, device: usize) -> Option<usize> {
        let switching = &self.forest.switching;
        switching.get(device).copied().or_else(|| {
            let turns = &self.storage.cores.get(device - switching.len())?.turns;
            self.forest.coils.get(turns.iter().position(|t| *t != 0.0)?).copied()
        })
    }

    /// Watts that rounding alone may leave over: that of the voltage across the best conductor.
    pub(super) fn rounding(&self, scale: f64) -> f64 {
        let volts = (self.sine * scale.abs()).max(self.dc);
        let best = |l: &Link| match l.device {
            Device::Diode { on_ohms, .. } | Device::Clamp { on_ohms, .. } => 1.0 / on_ohms,
            Device::Resistor { .. } | Device::Filament { .. } => {
                if let Role::Ohmic(g) = l.role {
                    g
                } else {
                    0.0
                }
            }
            // A lamp's slope is kilohms; the rest conduct by no voltage of their own.
            Device::Neon { .. }
            | Device::Meter
            | Device::Source { .. }
            | Device::Capacitor { .. }
            | Device::Inductor { .. } => 0.0,
        };
        ROUNDINGS * f64::EPSILON * volts * volts * self.links.iter().map(best).fold(0.0, f64::max)
    }
}
