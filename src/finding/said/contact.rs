//! Facts of what current flows through on its way: switch-rating, wire-rating, cord-rating, plug-rating, wire-protection.

use super::Amount;

/// A switch, wire or thermal fuse in normal use.
#[derive(Debug, Clone, PartialEq)]
pub enum Contact {
    /// Volts.
    Volts {
        /// The part.
        part: String,
        /// The volts it works at.
        volts: Amount,
        /// What it is made for.
        limit: Amount,
        /// Whether what is made for them is the insulation of a wire.
        insulation: bool,
    },
    /// Current.
    Current {
        /// The part, or the contact of it.
        item: String,
        /// The current.
        current: Amount,
        /// What it is made for.
        limit: Amount,
        /// What cures it.
        cure: ContactCure,
    },
    /// A current that welds it when it closes.
    Makes {
        /// The contact.
        item: String,
        /// Its crest.
        peak: Amount,
        /// What the contact is made for.
        rated: Amount,
        /// Its I²t.
        i2t: Amount,
        /// The I²t that such a contact makes.
        limit: Amount,
        /// Whether it is a capacitor that stays charged, and not the inrush.
        dumps: bool,
    },
    /// A steady direct current that it does not break.
    Arc {
        /// The contact.
        item: String,
        /// The current.
        current: Amount,
        /// The volts across it once it is open.
        volts: Amount,
        /// What contacts made for a.c. break at these volts.
        limit: Amount,
    },
}

/// What carries more.
#[derive(Debug, Clone, PartialEq)]
pub enum ContactCure {
    /// A part of so many amperes.
    AtLeast(Amount),
    /// A wire of so much area.
    Area(Amount),
    /// A wire thicker than any of the table.
    Thicker,
}

/// The supply cord.
#[derive(Debug, Clone, PartialEq)]
pub struct CordRating {
    /// What is wrong with it.
    pub what: CordFault,
    /// The area that would do, where the table has one.
    pub cure: Option<Amount>,
}

/// What is wrong with a cord.
#[derive(Debug, Clone, PartialEq)]
pub enum CordFault {
    /// It carries less than the tool takes.
    Overheats {
        /// What the tool takes.
        current: Amount,
        /// Its area.
        area: Amount,
        /// What that carries.
        carries: Amount,
    },
    /// It is thinner than a tool of this current asks for.
    Thin {
        /// Its area.
        area: Amount,
        /// The area asked for.
        asked: Amount,
        /// What the tool takes.
        current: Amount,
    },
}

/// The plug.
#[derive(Debug, Clone, PartialEq)]
pub enum PlugRating {
    /// It is made for less current.
    Current {
        /// What the tool takes.
        current: Amount,
        /// What the plug is made for.
        limit: Amount,
    },
    /// It is made for fewer volts.
    Volts {
        /// The nominal supply.
        supply: Amount,
        /// What the plug is made for.
        limit: Amount,
    },
}

/// A conductor and what protects it.
#[derive(Debug, Clone, PartialEq)]
pub enum WireProtection {
    /// An earth wire thinner than the live ones.
    Earth {
        /// The wire.
        part: String,
        /// Its area.
        area: Amount,
        /// That of the cord.
        least: Amount,
    },
    /// A wire with no fuse in front of it.
    Unfused {
        /// The wire.
        part: String,
        /// Its area.
        area: Amount,
        /// Amperes of what is in the branch, where that is known.
        branch: Option<Amount>,
        /// The area that is enough.
        least: Amount,
    },
    /// A wire behind a fuse that lets too much through.
    Fused {
        /// The wire.
        part: String,
        /// Its area.
        area: Amount,
        /// What that carries.
        carries: Amount,
        /// The fuse's rating.
        fuse: Amount,
        /// What it may let through for ever.
        lets_through: Amount,
    },
}

impl Contact {
    pub(super) fn same_cure(&self, other: &Contact) -> bool {
        match (self, other) {
            (Contact::Volts { volts: a, .. }, Contact::Volts { volts: b, .. }) => a == b,
            (Contact::Current { cure: a, .. }, Contact::Current { cure: b, .. }) => a == b,
            (Contact::Makes { dumps: a, .. }, Contact::Makes { dumps: b, .. }) => a == b,
            (Contact::Arc { volts: a, .. }, Contact::Arc { volts: b, .. }) => a == b,
            _ => false,
        }
    }
}

impl WireProtection {
    pub(super) fn same_cure(&self, other: &WireProtection) -> bool {
        match (self, other) {
            (WireProtection::Earth { least: a, .. }, WireProtection::Earth { least: b, .. })
            | (WireProtection::Unfused { least: a, .. }, WireProtection::Unfused { least: b, .. }) => a == b,
            (WireProtection::Fused { .. }, WireProtection::Fused { .. }) => true,
            _ => false,
        }
    }
}
