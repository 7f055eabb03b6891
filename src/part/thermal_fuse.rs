//! Thermal fuses.

use super::assembly::{Assembly, contact};
use super::dead::{self, DeadBranch};
use super::declare::{Declared as _, part};
use super::item::{Item, Role};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::{Kind as Unit, Range};

part! {
    "A link that opens for ever when it gets too hot.", ThermalFuse = "thermal-fuse";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "temperature" [temperature: f64] = Holds::Quantity(Unit::Temperature, Range::Positive),
        "Rated functioning temperature.";
    may "on" [on: Option<String>] = Holds::Text, "Name of the part it sits on, which heats it.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated amperes r.m.s.";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage), "Rated a.c. volts r.m.s.";
}

impl Behaviour for ThermalFuse {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::ThermalFuse)
    }

    fn assemble(&self, circuit: &mut Assembly) {
        circuit.simple(self.across, contact());
    }

    fn dead(&self) -> Vec<DeadBranch> {
        dead::one(self.across, dead::joint(0.0))
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
        Protection::ThermalFuse
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![
            rated(Quantity::CurrentRms, self.current, CheckId::FuseRating),
            rated(Quantity::VoltageRms, self.voltage, CheckId::FuseVoltage),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("voltage", self.voltage.is_some(), When::Live), want("current", self.current.is_some(), When::Always)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
