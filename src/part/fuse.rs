//! Fuse-links.

use super::assembly::Assembly;
use super::dead::{self, Dead, DeadBranch};
use super::declare::{Declared as _, part};
use super::item::{Item, Role};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::circuit::Device;
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::Kind as Unit;
use crate::standard;

part! {
    "A fuse-link in its holder.", Fuse = "fuse";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "current" [current: f64] = above_zero(Unit::Current), "Rated amperes r.m.s.";
    may "speed" [speed: Option<String>] = Holds::Word(&["FF", "F", "M", "T", "TT"]),
        "Letter of its speed (IEC 60127-1): very quick, quick, medium, time-lag, long time-lag.";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage), "Rated a.c. volts r.m.s.";
    may "dc-voltage" [dc_voltage: Option<f64>] = above_zero(Unit::Voltage), "Rated d.c. volts, where it states any.";
    may "breaking" [breaking: Option<f64>] = above_zero(Unit::Current),
        "Rated breaking capacity, prospective amperes r.m.s.";
}

impl Behaviour for Fuse {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Fuse(self.current))
    }

    fn assemble(&self, circuit: &mut Assembly) {
        circuit.simple(self.across, Device::Resistor { ohms: standard::bench::fuse_resistance(self.current).value });
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let most = standard::meter::joint() + standard::meter::fuse_most(self.current);
        dead::one(self.across, Dead::Ohms([0.0, most]))
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        open_or_short()
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        None
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::StandsItsVolts
    }

    fn protection(&self) -> Protection {
        Protection::Fuse
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![
            rated(Quantity::CurrentRms, self.current, CheckId::FuseRating),
            rated(Quantity::VoltageRms, self.voltage, CheckId::FuseVoltage),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![
            want("voltage", self.voltage.is_some(), When::Live),
            want("breaking", self.breaking.is_some(), When::Live),
            want("speed", self.speed.is_some(), When::Always),
        ]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &["voltage", "dc-voltage"]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        (key == "current").then_some(&mut self.current)
    }
}
