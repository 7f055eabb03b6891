//! What the caller describes: parts between numbered nodes. Plain data; whether its values make a circuit is looked at
//! when it is solved.

use std::time::Instant;

/// One part of a circuit between two nodes.
///
/// Its voltage is `v(a) - v(b)`, its current flows from `a` through the part to `b`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Node at which the branch current enters.
    pub a: usize,
    /// Node at which it leaves.
    pub b: usize,
    /// What sits between them.
    pub device: Device,
}

/// What a branch is made of. All values in SI units.
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
    /// Ideal voltmeter: reads the volts between two nodes and carries nothing.
    Meter,
    /// Filament lamp: `R = R_hot * (P / watts)^k` with `k` from `i ~ v^exponent`, never below its cold resistance.
    Filament {
        /// Rated volts, r.m.s., above zero.
        volts: f64,
        /// Rated watts, above zero.
        watts: f64,
        /// Cold resistance over hot resistance, above zero and at most 1.
        cold_ratio: f64,
        /// Exponent of the published current law `i ~ v^exponent`, above zero.
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
        /// Knee, volts, zero or more.
        forward: f64,
        /// Slope above the knee, ohms, above zero.
        on_ohms: f64,
        /// Leakage below the knee, ohms, above `on_ohms`.
        off_ohms: f64,
        /// Reverse knee in volts (positive number), where the part has one; slope is `on_ohms`.
        breakdown: Option<f64>,
    },
    /// Suppressor or varistor: a knee each way, leakage between them.
    Clamp {
        /// Knee for `v > 0`, volts, above zero.
        up: f64,
        /// Knee for `v < 0`, volts, as a positive number.
        down: f64,
        /// Slope beyond a knee, ohms, above zero.
        on_ohms: f64,
        /// Leakage between the knees, ohms, above `on_ohms`.
        off_ohms: f64,
    },
    /// Glow lamp: dark until `|v| >= strike`, then `v = s * maintain + lit_ohms * i` until `s * i < extinction`, where
    /// `s` is the sign of the voltage that struck it.
    Neon {
        /// Volts, peak or d.c., above `maintain`.
        strike: f64,
        /// Maintaining volts, above zero.
        maintain: f64,
        /// Slope of the lit lamp, ohms, above zero.
        lit_ohms: f64,
        /// Dark resistance, ohms, above `lit_ohms`.
        off_ohms: f64,
        /// Current below which it goes out, amperes, zero or more.
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

/// A capacitance that nobody put there: between windings, along a cable. It carries so little that it changes nothing it
/// stands across; what it drives through a hand is found from the solved circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stray {
    /// One node.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// Farads, above zero.
    pub farads: f64,
}

/// Iron that windings share. Up to its knee it carries the flux; beyond, the windings have hardly more inductance than
/// without it. The magnetising current is the sum of the windings' currents, each times its turns.
#[derive(Debug, Clone, PartialEq)]
pub struct Core {
    /// The windings on it: the inductor's branch, and its turns over those of the first.
    pub windings: Vec<(usize, f64)>,
    /// What the iron gives the first winding below the knee, henries; the mutual inductance of two windings is this times
    /// the turns of both.
    pub henries: f64,
    /// What is left of that beyond the knee, henries, above zero.
    pub saturated: f64,
    /// Magnetising current at the knee, amperes, above zero.
    pub knee: f64,
}

/// The network that stands for a hand: skin (a resistor and a capacitor side by side), then the body's resistor, across
/// which a resistor and a capacitor weigh what is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandNetwork {
    /// Ohms of the skin.
    pub skin_ohms: f64,
    /// Farads of the skin.
    pub skin_farads: f64,
    /// Ohms of the body.
    pub body_ohms: f64,
    /// Ohms in series with the capacitor that is read.
    pub reader_ohms: f64,
    /// Farads of that capacitor.
    pub reader_farads: f64,
}

impl Default for HandNetwork {
    /// A kilohm and nothing else to speak of.
    fn default() -> Self {
        HandNetwork { skin_ohms: 1.0, skin_farads: 1e-12, body_ohms: 1e3, reader_ohms: 1e3, reader_farads: 1e-12 }
    }
}

/// A circuit to solve. Node 0 is the reference (earth).
#[derive(Debug, Clone, Default)]
pub struct Circuit {
    /// Number of nodes, the reference included.
    pub nodes: usize,
    /// Mains frequency, hertz.
    pub hertz: f64,
    /// The parts; an index into this list names a branch everywhere else.
    pub branches: Vec<Branch>,
    /// Mutual inductances: what makes two inductors a transformer.
    pub couplings: Vec<Coupling>,
    /// Capacitances that nobody put there.
    pub strays: Vec<Stray>,
    /// Voltmeter branches at which a hand may touch.
    pub hands: Vec<usize>,
    /// What stands for the hand.
    pub hand: HandNetwork,
    /// Iron that saturates; windings that are on none keep their inductance at any current.
    pub cores: Vec<Core>,
    /// The instant from which on no solution is looked for any more: whatever is asked then is [`Unsolved::OutOfTime`].
    ///
    /// [`Unsolved::OutOfTime`]: super::Unsolved::OutOfTime
    pub until: Option<Instant>,
}
