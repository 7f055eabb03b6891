//! Mathematics only: devices → modes → exact steady state and transients of piecewise-linear mains
//! circuits. This room knows no safety, no limits and no file format.
//!
//! SI units everywhere; node 0 is the reference (earth). A branch's voltage is `v(a) - v(b)` and its
//! current flows from `a` through the part to `b`, so `v * i` is the power the part takes (a source's
//! own power is therefore negative when it delivers).

mod algebraic;
mod conserved;
mod linear;
mod machine;
mod measure;
mod mode;
mod nodal;
mod phasor;
mod shooting;
mod solver;
mod topology;

pub use solver::{Solver, Start, Transient, Until};

/// One part of a circuit between two nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Node at which the branch current enters.
    pub a: usize,
    /// Node at which it leaves.
    pub b: usize,
    /// What sits between them.
    pub device: Device,
}

/// What a branch is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Device {
    /// Ideal source: `v = dc + scale * sine * sin(2*pi*hertz*t + phase)`; `scale` is given when solving.
    Source {
        /// Steady part, volts (not scaled).
        dc: f64,
        /// Peak of the mains part, volts.
        sine: f64,
        /// Phase of the mains part, radians.
        phase: f64,
    },
    /// Ideal resistor.
    Resistor {
        /// Ohms, above zero.
        ohms: f64,
    },
    /// Filament lamp: `R = R_hot * (P / watts)^k` with `k` from `i ~ v^exponent`, never below its cold resistance.
    Filament {
        /// Rated volts, r.m.s.
        volts: f64,
        /// Rated watts.
        watts: f64,
        /// Cold resistance over hot resistance.
        cold_ratio: f64,
        /// Exponent of the published current law `i ~ v^exponent`.
        exponent: f64,
    },
    /// Ideal capacitor.
    Capacitor {
        /// Farads, above zero.
        farads: f64,
    },
    /// Ideal inductor (see [`Circuit::couplings`] for transformers).
    Inductor {
        /// Henries, above zero.
        henries: f64,
    },
    /// Diode or LED. Off: `i = v / off_ohms`. On: `i = (v - forward) / on_ohms + forward / off_ohms`.
    Diode {
        /// Knee, volts.
        forward: f64,
        /// Slope above the knee, ohms.
        on_ohms: f64,
        /// Leakage below the knee, ohms.
        off_ohms: f64,
        /// Reverse knee in volts (positive number), where the part has one; slope is `on_ohms`.
        breakdown: Option<f64>,
    },
    /// Suppressor or varistor: a knee each way, leakage between them.
    Clamp {
        /// Knee for `v > 0`, volts.
        up: f64,
        /// Knee for `v < 0`, volts, as a positive number.
        down: f64,
        /// Slope beyond a knee, ohms.
        on_ohms: f64,
        /// Leakage between the knees, ohms.
        off_ohms: f64,
    },
    /// Glow lamp: dark until `|v| >= strike`, then `v = s * maintain + lit_ohms * i` until `s * i < extinction`.
    Neon {
        /// Volts, peak or d.c.
        strike: f64,
        /// Maintaining volts.
        maintain: f64,
        /// Slope of the lit lamp, ohms.
        lit_ohms: f64,
        /// Dark resistance, ohms.
        off_ohms: f64,
        /// Current below which it goes out, amperes.
        extinction: f64,
    },
}

/// Mutual inductance between two inductor branches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coupling {
    /// Index of the first inductor's branch.
    pub first: usize,
    /// Index of the second inductor's branch.
    pub second: usize,
    /// Mutual inductance, henries; its square must stay below the product of the two inductances.
    pub henries: f64,
}

/// A circuit to solve.
#[derive(Debug, Clone, Default)]
pub struct Circuit {
    /// Number of nodes, the reference included.
    pub nodes: usize,
    /// Mains frequency, hertz.
    pub hertz: f64,
    /// The parts.
    pub branches: Vec<Branch>,
    /// Transformers.
    pub couplings: Vec<Coupling>,
}

/// What one branch does over a mains cycle (or over a transient).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Quantities {
    /// r.m.s. volts.
    pub v_rms: f64,
    /// Mean volts.
    pub v_mean: f64,
    /// Largest volts.
    pub v_max: f64,
    /// Smallest volts.
    pub v_min: f64,
    /// r.m.s. amperes.
    pub i_rms: f64,
    /// Mean amperes.
    pub i_mean: f64,
    /// Mean of the forward current `max(i, 0)`, amperes.
    pub i_forward_mean: f64,
    /// Largest amperes.
    pub i_max: f64,
    /// Smallest amperes.
    pub i_min: f64,
    /// Mean power taken, watts.
    pub power: f64,
}

impl Quantities {
    /// Largest magnitude of the voltage, both sides of a jump counted.
    pub fn v_peak(&self) -> f64 {
        self.v_max.max(-self.v_min)
    }
    /// Largest magnitude of the current, both sides of a jump counted.
    pub fn i_peak(&self) -> f64 {
        self.i_max.max(-self.i_min)
    }
}

/// When a glow lamp or LED is lit ([`Solver::lighting`]). Angles are degrees of the mains cycle, 0 = rising zero of a source
/// with phase 0 and positive scale.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Lighting {
    /// Neon: angles at which it strikes. LED: angles at which the current rises through 10 % of its peak.
    pub on_deg: Vec<f64>,
    /// Neon: angles at which it goes out. LED: angles at which the current falls through 10 % of its peak.
    pub off_deg: Vec<f64>,
    /// Part of the cycle during which it is lit.
    pub lit_fraction: f64,
    /// Flashes in one mains cycle (may be a fraction when the circuit is not periodic with the mains).
    pub flashes_per_cycle: f64,
}

/// How a solution repeats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Repeats {
    /// Every `cycles` mains cycles (1 but for subharmonics).
    Mains {
        /// Mains cycles in one period.
        cycles: u32,
    },
    /// Not with the mains: quantities are averages over a window of so many mains cycles.
    Window {
        /// Mains cycles averaged over.
        cycles: u32,
    },
}

/// A steady state.
#[derive(Debug, Clone)]
pub struct Steady {
    /// How it repeats.
    pub repeats: Repeats,
    /// One entry a branch, in the order of [`Circuit::branches`].
    pub branches: Vec<Quantities>,
    /// Energy residual: |sum of all mean powers| over the sum of the volt-amperes.
    pub residual: f64,
    /// Mains cycles run to get here.
    pub cycles_run: u32,
    /// Slowest time constant of the periodic state, seconds (0 without storage).
    pub slowest_s: f64,
    /// Extra leaks added so that floating islands have a defined voltage.
    pub leaks: usize,
    /// True when a device had to be held in an inconsistent state to get past one instant.
    pub forced: bool,
    /// Capacitor volts and inductor amperes, one a branch (0 for others), at the rising zero of the mains.
    pub state: Vec<f64>,
}

/// Why there is no solution.
#[derive(Debug, Clone, PartialEq)]
pub enum Unsolved {
    /// Ideal sources in a loop (the branch that closes it).
    SourceLoop {
        /// Index of the source branch that closes the loop.
        branch: usize,
    },
    /// A branch whose values make no circuit (index and what is wrong).
    BadValue {
        /// Index of the branch.
        branch: usize,
        /// What is wrong with it.
        what: &'static str,
    },
    /// No consistent set of device states was found, or numbers left the finite range.
    Lost {
        /// What happened.
        what: &'static str,
    },
}

impl std::fmt::Display for Unsolved {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Unsolved::SourceLoop { branch } => write!(f, "sources are joined directly (branch {branch})"),
            Unsolved::BadValue { branch, what } => write!(f, "branch {branch}: {what}"),
            Unsolved::Lost { what } => f.write_str(what),
        }
    }
}

impl std::error::Error for Unsolved {}
