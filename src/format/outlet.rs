//! What may be plugged into an outlet.

/// One load of an outlet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OutletLoad {
    /// As written in the file.
    pub label: String,
    /// What it is.
    pub kind: LoadKind,
}

/// Kinds of load on an outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum LoadKind {
    /// Nothing plugged in.
    Open,
    /// A dead short.
    Short,
    /// Takes this many watts: on the mains at its nominal volts, elsewhere at the volts the outlet gives.
    Power(f64),
    /// Ohms.
    Resistance(f64),
    /// Farads, charged to volts beforehand.
    Charged(f64, f64),
}
