//! What a plugin may use up. Must not know what it does.

/// What a plugin may use up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Bounds {
    /// Milliseconds until it is told to stop.
    pub milliseconds: u64,
    /// Milliseconds after that until it is left behind.
    pub grace: u64,
    /// Bytes of its machine.
    pub memory: usize,
    /// Loops and calls, counted by the machine: ends a loop at the same point on every computer.
    pub steps: u64,
    /// Host calls: 1 a look-up, [`SOLVE_COST`] a solution.
    pub calls: u64,
}

impl Default for Bounds {
    fn default() -> Bounds {
        Bounds { milliseconds: 500, grace: 250, memory: 32 << 20, steps: 4_000_000, calls: 300_000 }
    }
}

/// Host calls that one solution counts for.
pub(crate) const SOLVE_COST: u64 = 1_000;
