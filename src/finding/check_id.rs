//! The names of the built-in checks, once: a check that is misspelt or not there does not compile.

use serde::{Serialize, Serializer};
use std::cmp::Ordering;

/// Declares the checks with the names that reports, acceptances and JSON carry.
macro_rules! checks {
    ($($id:ident = $name:literal,)*) => {
        /// A built-in check.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs)]
        pub enum CheckId {
            $($id,)*
        }

        impl CheckId {
            /// Every built-in check, by name.
            pub const ALL: &[CheckId] = &[$(CheckId::$id,)*];

            /// The name in reports, acceptances and JSON: kebab-case.
            pub const fn name(self) -> &'static str {
                match self {
                    $(CheckId::$id => $name,)*
                }
            }
        }
    };
}

checks! {
    Acceptance = "acceptance",
    BoxTemperature = "box-temperature",
    Bypassed = "bypassed",
    CapacitorClass = "capacitor-class",
    CapacitorVoltage = "capacitor-voltage",
    ClassConflict = "class-conflict",
    Clearance = "clearance",
    CordCores = "cord-cores",
    CordRating = "cord-rating",
    CordRelief = "cord-relief",
    Creepage = "creepage",
    DeadShort = "dead-short",
    DiodeCurrent = "diode-current",
    DiodeReverse = "diode-reverse",
    DiodeSurge = "diode-surge",
    EarthBrokenByPart = "earth-broken-by-part",
    EarthNotBonded = "earth-not-bonded",
    EarthOpen = "earth-open",
    EarthReturn = "earth-return",
    FlashRate = "flash-rate",
    FuseAfterSwitchOrPart = "fuse-after-switch-or-part",
    FuseBreaking = "fuse-breaking",
    FuseInNeutral = "fuse-in-neutral",
    FuseInrush = "fuse-inrush",
    FuseRating = "fuse-rating",
    FuseVoltage = "fuse-voltage",
    HotSurface = "hot-surface",
    InsulationMissing = "insulation-missing",
    InsulationTooWeak = "insulation-too-weak",
    LampCurrent = "lamp-current",
    LampInNeutral = "lamp-in-neutral",
    LampLife = "lamp-life",
    LampStrike = "lamp-strike",
    LampVoltage = "lamp-voltage",
    LedCurrent = "led-current",
    LedReverse = "led-reverse",
    LivePins = "live-pins",
    LooseEnd = "loose-end",
    NoFuse = "no-fuse",
    NoLimiting = "no-limiting",
    OffNotDead = "off-not-dead",
    OpensByHand = "opens-by-hand",
    OpensInUse = "opens-in-use",
    OutletShock = "outlet-shock",
    PartTemperature = "part-temperature",
    PlugFuse = "plug-fuse",
    PlugRating = "plug-rating",
    PluginFailed = "plugin-failed",
    PsuRating = "psu-rating",
    RatingMissing = "rating-missing",
    RcdStandingLeakage = "rcd-standing-leakage",
    RcdType = "rcd-type",
    ResistorPower = "resistor-power",
    ResistorVoltage = "resistor-voltage",
    SinglePoleFuse = "single-pole-fuse",
    SinglePoleSwitch = "single-pole-switch",
    Smoulder = "smoulder",
    StoredCharge = "stored-charge",
    SwitchInNeutral = "switch-in-neutral",
    SwitchRating = "switch-rating",
    TouchCurrent = "touch-current",
    TouchVoltage = "touch-voltage",
    TransformerRating = "transformer-rating",
    UnsolvedCondition = "unsolved-condition",
    UnusedPart = "unused-part",
    VaristorRating = "varistor-rating",
    WindingRating = "winding-rating",
    WireColour = "wire-colour",
    WireProtection = "wire-protection",
    WireRating = "wire-rating",
}

impl CheckId {
    /// The check of that name, where it is a built-in one.
    pub fn named(name: &str) -> Option<CheckId> {
        CheckId::ALL.iter().copied().find(|id| id.name() == name)
    }
}

impl std::fmt::Display for CheckId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

impl Serialize for CheckId {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

/// The name of the check that found something: a built-in one, or one that a plugin declares.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum CheckName {
    /// A built-in check.
    Core(CheckId),
    /// A check of a plugin, by the name its `plugin.toml` gives it.
    Plugin(String),
}

impl CheckName {
    /// The name in reports, acceptances and JSON.
    pub fn as_str(&self) -> &str {
        match self {
            CheckName::Core(id) => id.name(),
            CheckName::Plugin(name) => name,
        }
    }
}

impl From<CheckId> for CheckName {
    fn from(id: CheckId) -> CheckName {
        CheckName::Core(id)
    }
}

impl PartialEq<CheckId> for CheckName {
    fn eq(&self, id: &CheckId) -> bool {
        *self == CheckName::Core(*id)
    }
}

impl PartialEq<str> for CheckName {
    fn eq(&self, name: &str) -> bool {
        self.as_str() == name
    }
}

impl PartialEq<&str> for CheckName {
    fn eq(&self, name: &&str) -> bool {
        self.as_str() == *name
    }
}

/// By name; of two checks of one name the built-in one comes first.
impl Ord for CheckName {
    fn cmp(&self, other: &CheckName) -> Ordering {
        let plugin = |c: &CheckName| matches!(c, CheckName::Plugin(_));
        self.as_str().cmp(other.as_str()).then(plugin(self).cmp(&plugin(other)))
    }
}

impl PartialOrd for CheckName {
    fn partial_cmp(&self, other: &CheckName) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl std::fmt::Display for CheckName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}

impl Serialize for CheckName {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}
