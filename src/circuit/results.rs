//! What the caller gets. Plain data, SI units, one entry a branch in the order of the circuit's branches.

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
    /// Mean power taken, watts: negative for a source that delivers.
    pub power: f64,
}

impl Quantities {
    /// Largest magnitude of the voltage, volts, both sides of a jump counted.
    pub fn v_peak(&self) -> f64 {
        self.v_max.max(-self.v_min)
    }
    /// Largest magnitude of the current, amperes, both sides of a jump counted.
    pub fn i_peak(&self) -> f64 {
        self.i_max.max(-self.i_min)
    }
}

/// When a glow lamp or LED is lit ([`Solver::lighting`](crate::circuit::Solver::lighting)). Angles are degrees of the
/// mains cycle, 0..360, in rising order; 0 = rising zero of a source with phase 0 and positive scale.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Lighting {
    /// Neon: angles at which it strikes. LED: angles at which the current rises through 10 % of its peak.
    pub on_deg: Vec<f64>,
    /// Neon: angles at which it goes out. LED: angles at which the current falls through 10 % of its peak.
    pub off_deg: Vec<f64>,
    /// Part of the cycle during which it is lit, 0..=1.
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

impl Repeats {
    /// Mains cycles in one period or in the window.
    pub fn cycles(self) -> u32 {
        match self {
            Repeats::Mains { cycles } | Repeats::Window { cycles } => cycles,
        }
    }
}

/// What a hand that only strays feed feels.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Felt {
    /// Voltmeter branch at which it touches.
    pub probe: usize,
    /// Volts before it touches, r.m.s. and peak.
    pub volts: [f64; 2],
    /// Amperes through it, r.m.s. and peak.
    pub amperes: [f64; 2],
    /// The same as its network is read.
    pub read: [f64; 2],
}

/// A steady state.
#[derive(Debug, Clone)]
pub struct Steady {
    /// How it repeats.
    pub repeats: Repeats,
    /// One entry a branch, in the order of [`Circuit::branches`](crate::circuit::Circuit::branches).
    pub branches: Vec<Quantities>,
    /// Energy residual: |sum of all mean powers| over the sum of the volt-amperes (a plain number).
    pub residual: f64,
    /// Mean power that a capacitor, or all inductors together, seem to take, over the sum of the volt-amperes (a plain
    /// number): none where it repeats with the mains and is followed closely enough.
    pub stored: f64,
    /// Mains cycles run to get here.
    pub cycles_run: u32,
    /// Slowest time constant of the periodic state, seconds (0 without storage).
    pub slowest_s: f64,
    /// Extra leaks added so that floating islands have a defined voltage.
    pub leaks: usize,
    /// True when a device had to be held where its voltage and current do not put it, to get past one instant.
    pub forced: bool,
    /// The branch of the first device that was held so, where it is known.
    pub held: Option<usize>,
    /// What hands feel that only stray capacitances feed.
    pub felt: Vec<Felt>,
    /// Capacitor volts and inductor amperes, one a branch (0 for others), at the rising zero of the mains.
    pub state: Vec<f64>,
}
