//! In which condition a finding is worst: a value, until words are made of it.

/// Order of a condition in the whole survey: job, then number within the job.
pub type Ordinal = (u32, u32);

/// The condition in which a finding is worst.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum When {
    /// None: it holds whatever is done.
    #[default]
    Always,
    /// One that was tried.
    Tried(Ordinal),
    /// The nominal supply.
    NominalSupply,
    /// The nominal supply, a fuse open.
    FuseOpen,
    /// The nominal supply, both terminals of an outlet touched.
    BothTerminals,
    /// Normal use at an ambient temperature, °C.
    Ambient(f64),
    /// The plug the other way round.
    PlugReversed,
    /// A switch off.
    SwitchOff {
        /// The switch.
        switch: String,
        /// Whether the plug is the other way round, too.
        reversed: bool,
    },
    /// Every switch at a position, in the order of the file.
    Switches(Vec<usize>),
    /// In the words of whoever made the check.
    Written(String),
}

/// The sort of condition that a sentence speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Under {
    /// Normal use.
    NormalUse,
    /// One fault: that of a condition that was tried.
    OneFault(Ordinal),
}
