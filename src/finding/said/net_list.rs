//! Facts that the net list gives away: dead-short, bypassed, loose-end, unused-part.

/// Pins that are joined with nothing between to limit the current.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DeadShort {
    /// L and N.
    Poles {
        /// What joins them.
        through: Vec<String>,
    },
    /// A pin and the protective earth.
    Earth {
        /// The pin.
        pin: String,
        /// What joins them.
        through: Vec<String>,
    },
}

/// A part that does nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Bypassed {
    /// Both its ends are on one net.
    OneNet {
        /// The part.
        part: String,
        /// The net.
        net: String,
    },
    /// Wires join its ends.
    Wired {
        /// The part.
        part: String,
        /// The wires at its ends.
        by: Vec<String>,
    },
    /// A wire leads round it and round others of its chain.
    Chain {
        /// The part.
        part: String,
        /// The wires.
        by: Vec<String>,
        /// The others.
        chain: Vec<String>,
    },
    /// Other parts lead round it.
    By {
        /// The part.
        part: String,
        /// What leads round it.
        by: Vec<String>,
        /// Whether a contact among them must be closed.
        closed: bool,
    },
    /// A load is fed past a thermal fuse in one position of a switch.
    FedPast {
        /// The thermal fuse.
        part: String,
        /// What it guards.
        load: String,
        /// The switches that are moved for it.
        by: Vec<String>,
    },
    /// A secondary that is joined to the mains.
    Windings {
        /// The transformer.
        part: String,
        /// The nets of the secondary.
        nets: Vec<String>,
        /// The net of the mains that the secondary ends at, itself or at the end of `by`.
        at: String,
        /// What leads there from the secondary; empty where it ends there itself.
        by: Vec<String>,
        /// Touchables and outlets that hang on the secondary.
        feeds: Vec<String>,
    },
}

/// A net that one end alone names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LooseEnd {
    /// The net.
    pub net: String,
    /// The part whose end it is.
    pub part: Option<String>,
    /// The net that was probably meant.
    pub near: Option<String>,
}

/// A part that nothing powers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnusedPart {
    /// The part.
    pub part: String,
}
