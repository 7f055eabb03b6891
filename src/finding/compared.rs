//! What a finding compares with its limit, by name.

use super::Quantity;
use serde::{Serialize, Serializer};

/// How a voltage or current is measured, where its name says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wave {
    /// Root of the mean square.
    Rms,
    /// Crest.
    Peak,
    /// Mean.
    Mean,
    /// Direct.
    Dc,
}

/// Declares what the built-in checks compare, with the names that JSON carries.
macro_rules! compared {
    ($($id:ident = $name:literal $wave:ident,)*) => {
        /// What was compared with a limit.
        #[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
        pub enum Compared {
            /// Nothing is measured.
            #[default]
            Nothing,
            $(#[doc = $name] $id,)*
            /// As whoever made the check names it.
            Named(String),
        }

        impl Compared {
            /// The name in JSON; empty where nothing is measured.
            pub fn name(&self) -> &str {
                match self {
                    Compared::Nothing => "",
                    $(Compared::$id => $name,)*
                    Compared::Named(name) => name,
                }
            }

            /// How it is measured, where that belongs behind its value.
            pub fn wave(&self) -> Option<Wave> {
                match self {
                    Compared::Nothing => None,
                    $(Compared::$id => wave!($wave),)*
                    Compared::Named(name) => named(name),
                }
            }
        }
    };
}

macro_rules! wave {
    (Plain) => {
        None
    };
    ($wave:ident) => {
        Some(Wave::$wave)
    };
}

compared! {
    Clearance = "clearance" Plain,
    ConductorArea = "conductor area" Plain,
    Cores = "cores" Plain,
    Creepage = "creepage" Plain,
    CurrentLetThrough = "current let through for ever" Plain,
    CurrentMean = "mean current" Mean,
    CurrentPeak = "peak current" Peak,
    CurrentRms = "current r.m.s." Rms,
    EarthCurrentRms = "earth current r.m.s." Rms,
    ElementVoltageCrest = "element voltage, crest" Plain,
    ElementVoltageRms = "element voltage r.m.s." Rms,
    FlashesASecond = "flashes a second" Plain,
    InsideTemperature = "temperature inside" Plain,
    I2tAtSwitchOn = "I²t at switch-on" Plain,
    PulseI2t = "I²t of a pulse" Plain,
    NominalSupply = "nominal supply" Plain,
    PartTemperature = "temperature of the part" Plain,
    PeakReverseVolts = "peak reverse volts" Peak,
    PlugFuse = "plug fuse" Plain,
    Power = "power" Plain,
    PrimaryVolts = "primary volts" Plain,
    ProspectiveCurrent = "prospective current" Plain,
    PulseEnergy = "pulse energy" Plain,
    RatedVolts = "rated volts" Plain,
    ReverseVolts = "reverse volts" Plain,
    ReverseVoltsOfOneLed = "reverse volts of one LED" Plain,
    StrikeMargin = "strike margin" Plain,
    SurfaceTemperature = "surface temperature" Plain,
    SurgeAtSwitchOn = "surge at switch-on" Plain,
    TouchCurrentDc = "touch current d.c." Dc,
    TouchCurrentPeak = "touch current peak" Peak,
    TouchCurrentRms = "touch current r.m.s." Rms,
    TouchVoltageDc = "touch voltage d.c." Dc,
    TouchVoltageRms = "touch voltage r.m.s." Rms,
    VoltsAcrossOpenFuse = "volts across the open fuse" Plain,
    VoltsBetweenTerminals = "volts between the terminals" Plain,
    VoltsLeft = "volts left" Plain,
    VoltsPeak = "volts peak" Peak,
    VoltsRms = "volts r.m.s." Rms,
}

impl Compared {
    /// Whether its limit is the least it may be; of all others it is the most.
    pub fn is_at_least(&self) -> bool {
        use Compared::*;
        matches!(self, Clearance | Creepage | Cores | ConductorArea | RatedVolts | StrikeMargin)
    }
}

/// A name that was given from outside says it in a word of its own: "cap_voltage_rms", "ring current peak".
fn named(name: &str) -> Option<Wave> {
    name.split([' ', '_']).find_map(|word| match word {
        "r.m.s." | "rms" => Some(Wave::Rms),
        "peak" => Some(Wave::Peak),
        "mean" => Some(Wave::Mean),
        "d.c." | "dc" => Some(Wave::Dc),
        _ => None,
    })
}

impl From<&str> for Compared {
    fn from(name: &str) -> Compared {
        if name.is_empty() { Compared::Nothing } else { Compared::Named(name.to_string()) }
    }
}

impl From<Quantity> for Compared {
    fn from(quantity: Quantity) -> Compared {
        match quantity {
            Quantity::Power => Compared::Power,
            Quantity::VoltageRms => Compared::VoltsRms,
            Quantity::VoltagePeak => Compared::VoltsPeak,
            Quantity::CurrentRms => Compared::CurrentRms,
            Quantity::CurrentMean => Compared::CurrentMean,
            Quantity::CurrentPeak => Compared::CurrentPeak,
        }
    }
}

impl std::fmt::Display for Compared {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// Nothing measured is null in JSON, not an empty text.
impl Serialize for Compared {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Compared::Nothing => serializer.serialize_none(),
            other => serializer.serialize_str(other.name()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Compared, Wave};

    #[test]
    fn the_wave_is_a_word_of_a_given_name() {
        for (name, wave) in [
            ("voltage_rms", Some(Wave::Rms)),
            ("touch current r.m.s.", Some(Wave::Rms)),
            ("peak reverse voltage", Some(Wave::Peak)),
            ("current_mean", Some(Wave::Mean)),
            ("touch voltage d.c.", Some(Wave::Dc)),
            ("power", None),
            ("meantime", None),
            ("", None),
        ] {
            assert_eq!(Compared::from(name).wave(), wave, "{name}");
        }
        assert_eq!(Compared::PeakReverseVolts.wave(), Some(Wave::Peak));
        assert_eq!(Compared::ElementVoltageCrest.wave(), None);
    }
}
