//! What is asked of a strobe lamp, as texts. Must not know how the texts come here, but for the names of the options that errors
//! point at.

/// What is asked of a strobe lamp. With a jig its lamp is solved; without one the mains or the flashes a second are stated.
#[derive(Debug, Clone, Default)]
pub struct StrobeWish {
    /// Words or row of the supplies table, where there is no jig: a lamp that flashes on both half-waves.
    pub supply: Option<String>,
    /// Flashes a second, where there is no jig.
    pub flashes: Option<String>,
    /// Speeds, turns a minute; the usual ones of records where none is given.
    pub rpm: Vec<String>,
    /// Bars of the ring there is, for the first of the speeds.
    pub bars: Option<String>,
    /// Lamps of the jig that give the light; those that do most of it where none is named.
    pub lamps: Vec<String>,
    /// A count of bars that went by, such as "12 bars in 60 s forward".
    pub drift: Option<String>,
    /// A wanted speed, turns a minute.
    pub at: Option<String>,
    /// A ring to print.
    pub ring: Option<RingWish>,
}

/// A ring to print, true to scale.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RingWish {
    /// An HTML page with the drawing in it, that prints by itself; else SVG.
    pub html: bool,
    /// A band for a rim, in pieces; else a disc.
    pub band: bool,
    /// Diameter of the disc, or of the rim.
    pub outer: Option<String>,
    /// Diameter of the hole of the disc.
    pub hole: Option<String>,
    /// Name of the sheet of paper; A4 where none is given.
    pub paper: Option<String>,
    /// Rings on either side of each; where nothing is given 1 on a disc, none on a band.
    pub neighbours: Option<u32>,
}
