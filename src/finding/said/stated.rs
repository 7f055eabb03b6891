//! Facts of what the file states of plug, cord, wires and ratings: plug-fuse, cord-relief, wire-colour, rating-missing,
//! flash-rate.

use super::Amount;

use crate::standard::cord::Core;

/// A fuse in the plug that cannot be there.
#[derive(Debug, Clone, PartialEq)]
pub enum PlugFuse {
    /// That kind of plug holds none.
    HoldsNone {
        /// Its letter.
        plug: String,
    },
    /// None of that size is made for it.
    NotMade {
        /// The size, amperes.
        amperes: f64,
        /// The largest there is, amperes.
        most: f64,
        /// The letter of the plug.
        plug: String,
    },
    /// The cord behind the fuse of a plug.
    Cord {
        /// Its area.
        area: Amount,
        /// The fuse.
        fuse: Amount,
        /// The largest for this area.
        most: Amount,
    },
}

/// What is wrong with the strain relief.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CordRelief {
    /// The file says nothing of the cord.
    NoCord,
    /// There is none.
    Missing,
    /// The file does not say whether there is one.
    NotStated,
}

/// A wire whose colour belongs to another conductor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WireColour {
    /// The colour of the earth, and it is not on the earth.
    NotEarth {
        /// The wire.
        part: String,
        /// Its colour.
        colour: String,
    },
    /// On the earth in the colour of a pole.
    PoleOnEarth {
        /// The wire.
        part: String,
        /// Its colour.
        colour: String,
    },
    /// On the earth in no colour of a conductor.
    OtherOnEarth {
        /// The wire.
        part: String,
        /// Its colour.
        colour: String,
    },
    /// In one pole in the colour of the other.
    Crossed {
        /// The wire.
        part: String,
        /// Its colour.
        colour: String,
        /// The conductor of that colour: line or neutral.
        looks: Core,
    },
}

/// Ratings that the file does not give.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RatingMissing {
    /// Of a part.
    Part {
        /// The part.
        part: String,
        /// Their keys.
        keys: Vec<&'static str>,
    },
    /// Of the fuse in the plug.
    PlugFuse,
    /// Of the cord.
    Cord {
        /// Their keys.
        keys: Vec<&'static str>,
    },
}

/// Flashes that harm or deceive.
#[derive(Debug, Clone, PartialEq)]
pub enum FlashRate {
    /// They can bring on a seizure.
    Seizure {
        /// The lamp.
        lamp: String,
        /// Flashes a second.
        rate: f64,
        /// The band of such rates.
        band: [f64; 2],
    },
    /// A moving part seems to stand still.
    StandStill,
}
