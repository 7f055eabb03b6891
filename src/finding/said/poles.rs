//! Facts of what stands in each pole of the mains: no-fuse, single-pole-fuse, fuse-in-neutral, fuse-after-switch-or-part,
//! switch-in-neutral, single-pole-switch.

use crate::nets::Live;

/// Ways from a live pin that no fuse is in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoFuse {
    /// The pins.
    pub pins: Vec<String>,
    /// What comes first on the ways.
    pub through: Vec<String>,
    /// Where a fuse belongs: which pins are live.
    pub live: Live,
}

/// A fuse that does not come first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FuseAfter {
    /// The fuse.
    pub fuse: String,
    /// What comes before it.
    pub before: Vec<String>,
    /// The pin it is behind.
    pub pin: String,
}

/// Fuses that a live pole meets last, or not at all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnePoleFuse {
    /// The fuses.
    pub fuses: Vec<String>,
    /// The pin that has none.
    pub pin: String,
    /// Which pins are live.
    pub live: Live,
    /// Whether the plug goes in both ways; else its sockets are wired either way.
    pub turns: bool,
}

/// Fuses in the neutral of a plug whose live pin is assured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FuseInNeutral {
    /// The fuses.
    pub fuses: Vec<String>,
    /// Fuses of the tool in the line.
    pub in_line: Vec<String>,
    /// The live pin.
    pub line: String,
}

/// A switch that leaves loads live when it is off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptLive {
    /// The switch.
    pub switch: String,
    /// The loads.
    pub loads: Vec<String>,
    /// The pin they stay live from.
    pub pin: String,
    /// The net at which a contact of it belongs.
    pub behind: String,
    /// Which pins are live.
    pub live: Live,
}

/// A limiter's lamp in the neutral.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LampInNeutral {
    /// The outlet.
    pub outlet: String,
    /// The lamps.
    pub lamps: Vec<String>,
}
