//! Facts of stored-charge.

use super::Amount;
use crate::finding::Situation;

/// Charge that stays.
#[derive(Debug, Clone, PartialEq)]
pub enum StoredCharge {
    /// After a probe was held on.
    PutOn {
        /// So long after.
        after: Amount,
        /// Volts left.
        volts: Amount,
        /// Between these two.
        between: [String; 2],
        /// Whether a path of it has failed.
        kind: Situation,
    },
    /// While what was put on empties.
    Meanwhile {
        /// Volts.
        volts: Amount,
        /// Between these two, the first of which fingers reach.
        between: [String; 2],
        /// Whether something has failed.
        kind: Situation,
    },
    /// In a closed box, when somebody may have opened it.
    Inside {
        /// So long after the plug was pulled.
        after: Amount,
        /// Volts left.
        volts: Amount,
        /// The energy they are.
        energy: Amount,
        /// The capacitor.
        part: String,
        /// A bleeder that empties it in time.
        bleeder: Option<Amount>,
    },
    /// After the plug was pulled.
    Unplugged {
        /// So long after.
        after: Amount,
        /// Volts left.
        volts: Amount,
        /// What may be left.
        limit: Amount,
        /// The two places they stand between; `None`: the pins of the plug.
        on: Option<[String; 2]>,
        /// Whether the bleeder has failed.
        kind: Situation,
        /// What cures it.
        cure: BleederCure,
    },
}

/// What empties it in time.
#[derive(Debug, Clone, PartialEq)]
pub enum BleederCure {
    /// Two paths side by side.
    TwoPaths,
    /// A bleeder across whatever stays charged.
    Bleeder,
    /// A bleeder across a capacitor.
    BleederAcross(String),
    /// Two resistors in series across a capacitor.
    TwoInSeries {
        /// Ohms of each.
        each: Amount,
        /// Of both.
        both: Amount,
        /// The capacitor.
        across: String,
        /// What they empty.
        farads: Amount,
    },
}
