//! The kinds of part, one file a kind: its keys, terminals, branches and how it fails. Must not know what is judged of it.
//!
//! A new kind is a file of its own, its module line and its row in `kinds!`: whatever it does not answer, [`kind::Behaviour`] refuses to compile.
// What a kind, a fault or a link is not asked about must be said: a wildcard lets a new one pass in silence.
#![deny(clippy::wildcard_enum_match_arm)]

pub(crate) mod assembly;
mod bridge;
mod capacitor;
pub(crate) mod dead;
mod declare;
mod diode;
pub(crate) mod fact;
mod filament_lamp;
mod fuse;
mod inductor;
mod iron;
mod item;
mod joint;
mod kind;
mod led;
mod load;
mod neon_lamp;
mod psu;
mod rating;
mod reading;
mod resistor;
mod socket;
mod suppressor;
mod switch;
mod thermal_fuse;
mod thermistor;
mod transformer;
mod varistor;
mod wanted;
mod winding;
mod wire;

use crate::finding::Quantity;
use crate::format::{Net, NetId, Row, Section};
use assembly::Assembly;
use dead::DeadBranch;
use declare::Declared as _;
use fact::Facts;
use kind::Behaviour as _;

pub(crate) use assembly::Assumption;
pub(crate) use bridge::Bridge;
pub(crate) use capacitor::Capacitor;
pub(crate) use diode::Diode;
pub(crate) use filament_lamp::Filament;
pub(crate) use fuse::Fuse;
pub(crate) use inductor::Inductor;
pub(crate) use iron::{full_load_primary, short_circuit_spread};
pub(crate) use item::{Failure, Item, Measure, Role, Spared, Toleranced};
pub(crate) use joint::{Given, Joint, Link};
pub(crate) use kind::Failures;
pub(crate) use kind::{OnceFailed, Protection};
pub(crate) use led::Led;
pub(crate) use load::Load;
pub(crate) use neon_lamp::Neon;
pub(crate) use psu::Psu;
pub(crate) use rating::Rating;
pub(crate) use reading::Reading;
pub(crate) use resistor::Resistor;
pub(crate) use socket::Socket;
pub(crate) use suppressor::Suppressor;
pub(crate) use switch::{Switch, SwitchContacts};
pub(crate) use thermal_fuse::ThermalFuse;
pub(crate) use thermistor::Thermistor;
pub(crate) use transformer::Transformer;
pub(crate) use varistor::Varistor;
pub(crate) use wanted::{Wanted, When};
pub(crate) use winding::Winding;
pub(crate) use wire::Wire;

/// Lists the kinds: everything that is asked of any part is handed on to its own file.
macro_rules! kinds {
    ($($kind:ident,)*) => {
        /// A part of any kind, with what the file says of it. `Option` = not written. SI base units; fractions, not per
        /// cent; temperatures in degrees Celsius.
        #[derive(Debug, Clone, PartialEq)]
        #[allow(missing_docs)]
        pub(crate) enum PartKind {
            $($kind($kind),)*
        }

        /// Every kind and its keys, as the file writes them.
        pub(crate) const SECTIONS: &[Section] = &[$($kind::SECTION,)*];

        /// Keys a plugin may meet in the row of a part, kind by kind.
        pub(crate) const FACTS: &[&[&str]] = &[$($kind::FACTS,)*];

        impl PartKind {
            /// The part of a kind, by its word, that a row describes; `None` where it cannot be built, which is told.
            pub(crate) fn read(word: &str, row: &Row, reading: &mut Reading) -> Option<PartKind> {
                $(if word == $kind::SECTION.name {
                    return $kind::read(row, reading).map(PartKind::$kind);
                })*
                None
            }

            /// The kind and its keys, as the file writes them.
            pub(crate) fn section(&self) -> &'static Section {
                match self {
                    $(PartKind::$kind(_) => &$kind::SECTION,)*
                }
            }

            /// The word used for `kind` in the file.
            pub(crate) fn word(&self) -> &'static str {
                match self {
                    $(PartKind::$kind(_) => $kind::SECTION.name,)*
                }
            }

            /// The nets its terminals are on, one entry a terminal.
            pub(crate) fn terminals(&self) -> Vec<NetId> {
                match self {
                    $(PartKind::$kind(part) => part.terminals(),)*
                }
            }

            /// Which of its nets it joins, and through what.
            pub(crate) fn joints(&self) -> Vec<Joint> {
                match self {
                    $(PartKind::$kind(part) => part.joints(),)*
                }
            }

            /// Its branches in a circuit and the items they are.
            pub(crate) fn assemble(&self, circuit: &mut Assembly) {
                match self {
                    $(PartKind::$kind(part) => part.assemble(circuit),)*
                }
            }

            /// What it is to a meter while the tool is unplugged: one entry for each item that can fail, in their order,
            /// then what else it joins.
            pub(crate) fn dead(&self) -> Vec<DeadBranch> {
                match self {
                    $(PartKind::$kind(part) => part.dead(),)*
                }
            }

            /// How item `k` of `items`, one of its own, fails.
            pub(crate) fn failures(&self, items: &[Item], k: usize) -> Failures {
                match self {
                    $(PartKind::$kind(part) => part.failures(items, k),)*
                }
            }

            /// The quantity whose excess heats an item of this role until it burns.
            pub(crate) fn overheats_by(&self, role: Role) -> Option<Quantity> {
                match self {
                    $(PartKind::$kind(part) => part.overheats_by(role),)*
                }
            }

            /// What it can still be judged by once it has failed itself.
            pub(crate) fn once_failed(&self) -> OnceFailed {
                match self {
                    $(PartKind::$kind(part) => part.once_failed(),)*
                }
            }

            /// Whether it is there to open in a fault.
            pub(crate) fn protection(&self) -> Protection {
                match self {
                    $(PartKind::$kind(part) => part.protection(),)*
                }
            }

            /// Its ratings, or those of an item of this role, and who judges each.
            pub(crate) fn ratings(&self, role: Role) -> Vec<Rating> {
                match self {
                    $(PartKind::$kind(part) => part.ratings(role),)*
                }
            }

            /// Keys that checks need of it.
            pub(crate) fn wanted(&self) -> Vec<Wanted> {
                match self {
                    $(PartKind::$kind(part) => part.wanted(),)*
                }
            }

            /// Keys that are compared with and never solved: another value there leaves the circuit as it is.
            pub(crate) fn only_compared(&self) -> &'static [&'static str] {
                match self {
                    $(PartKind::$kind(part) => part.only_compared(),)*
                }
            }

            /// A value the circuit depends on and a what-if may change, by its key in the file.
            pub(crate) fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
                match self {
                    $(PartKind::$kind(part) => part.value_mut(key),)*
                }
            }

            /// What a plugin sees of it beside what every part has.
            pub(crate) fn facts<'a>(&'a self, nets: &'a [Net], facts: &mut Facts<'a>) {
                match self {
                    $(PartKind::$kind(part) => part.facts(nets, facts),)*
                }
            }
        }
    };
}

kinds! {
    Resistor,
    Capacitor,
    Inductor,
    Winding,
    Diode,
    Led,
    Suppressor,
    Bridge,
    Neon,
    Filament,
    Fuse,
    ThermalFuse,
    Switch,
    Varistor,
    Thermistor,
    Transformer,
    Psu,
    Load,
    Wire,
    Socket,
}
