//! Facts of the protective earth and the class: earth-open, earth-broken-by-part, earth-not-bonded, class-conflict,
//! cord-cores.

use super::Amount;

/// Why no earth reaches the tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EarthOpen {
    /// The plug has no contact for it.
    Plug,
    /// The cord has no core for it.
    Cord,
}

/// Something that can open stands in the earth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EarthBrokenByPart {
    /// Between metal and the earth.
    Metal {
        /// What is touched.
        touchable: String,
        /// The parts.
        through: Vec<String>,
    },
    /// A fuse in the protective conductor.
    Fuse {
        /// The fuse.
        part: String,
    },
}

/// Metal that is not on the protective earth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EarthNotBonded {
    /// Something that is touched.
    Metal {
        /// What.
        touchable: String,
        /// Its net.
        net: String,
    },
    /// The box, of which the file names no metal.
    Box,
    /// The earth contact of a socket or outlet.
    Contact {
        /// The socket or outlet.
        of: String,
        /// Its net.
        net: String,
    },
}

/// What the class does not go with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClassConflict {
    /// Class I without an earth.
    NoEarth {
        /// The letter of a plug without an earth contact.
        plug: Option<String>,
        /// The cores of a cord that has too few.
        cores: Option<u32>,
    },
    /// Class I without mains.
    NoMains,
    /// Class II with something on the earth.
    OnEarth(Vec<String>),
    /// Class II in a metal box without double insulation.
    MetalBox,
    /// Class III on the mains.
    OnMains,
    /// No class is stated.
    NotStated,
}

/// What is wrong with the cores of the cord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CordCores {
    /// Fewer than two.
    TooFew,
    /// None for the earth that the tool depends on.
    NoEarth,
    /// The file does not say how many.
    NotStated {
        /// Whether the tool depends on an earth.
        earth: bool,
    },
}

/// Working current in the earth conductor.
#[derive(Debug, Clone, PartialEq)]
pub struct EarthReturn {
    /// The current.
    pub current: Amount,
    /// The parts that it comes through.
    pub through: Vec<String>,
    /// The residual-current device ahead that trips by it.
    pub trips: bool,
    /// What can be touched and is live once the earth breaks.
    pub touchables: Vec<String>,
}
