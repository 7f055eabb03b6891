//! A mains supply: volts between its pins and from pin to earth, at the levels it may have. Knows no table.

/// Level of a supply inside its band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Level {
    /// Lowest volts of the system.
    Low,
    /// Nominal volts.
    Nominal,
    /// Highest volts of the system.
    High,
}

/// Every level, rising.
pub(crate) const LEVELS: [Level; 3] = [Level::Low, Level::Nominal, Level::High];

impl Level {
    /// `low`, `nominal` or `high`.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Level::Low => "low",
            Level::Nominal => "nominal",
            Level::High => "high",
        }
    }

    /// The level a word means; `None` for any other word.
    pub(crate) fn from_word(word: &str) -> Option<Level> {
        LEVELS.into_iter().find(|level| level.word() == word)
    }
}

/// The mains voltage.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mains {
    /// Words for reports, e.g. "230 V 50 Hz".
    pub label: String,
    /// Row of the supplies table it comes from, empty when written out in the file.
    pub row: String,
    /// Lowest volts r.m.s. between the two pins.
    pub low: f64,
    /// Nominal volts r.m.s. between the two pins.
    pub nominal: f64,
    /// Highest volts r.m.s. between the two pins.
    pub high: f64,
    /// Hertz.
    pub hertz: f64,
    /// Which pins are live.
    pub arrangement: Arrangement,
    /// Where tolerance and arrangement are published.
    pub source: String,
}

impl Mains {
    /// Volts r.m.s. between the two pins at a level.
    pub(crate) fn at(&self, level: Level) -> f64 {
        match level {
            Level::Low => self.low,
            Level::Nominal => self.nominal,
            Level::High => self.high,
        }
    }

    /// Crest of the volts between the two pins at a level; mains is a sine.
    pub(crate) fn crest(&self, level: Level) -> f64 {
        std::f64::consts::SQRT_2 * self.at(level)
    }

    /// The volts of a level as a multiple of the nominal ones.
    pub(crate) fn scale(&self, level: Level) -> f64 {
        match level {
            // Not divided by itself, so that a supply of no volts has a scale too.
            Level::Nominal => 1.0,
            Level::Low | Level::High => self.at(level) / self.nominal,
        }
    }

    /// Nominal volts r.m.s. of a live pin to earth.
    pub(crate) fn to_earth(&self) -> f64 {
        match self.arrangement {
            Arrangement::LineLine { to_earth } => to_earth,
            Arrangement::LineNeutral => self.nominal,
        }
    }

    /// Whether both pins are live (line to line).
    pub(crate) fn both_live(&self) -> bool {
        match self.arrangement {
            Arrangement::LineLine { .. } => true,
            Arrangement::LineNeutral => false,
        }
    }
}

/// Which conductors of the supply are live.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Arrangement {
    /// One pin is live, the other earthed at the source.
    LineNeutral,
    /// Both pins are live: each `to_earth / nominal` of the pin-to-pin voltage from earth.
    LineLine {
        /// Nominal volts r.m.s. from either pin to earth.
        to_earth: f64,
    },
}
