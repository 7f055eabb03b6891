//! Voltage-dependent resistors.

use super::assembly::Assembly;
use super::dead::{self, Dead, DeadBranch};
use super::declare::{Declared as _, part};
use super::item::{Item, Role};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::Wanted;
use crate::circuit::Device;
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::Kind as Unit;
use crate::standard;

part! {
    "A voltage-dependent resistor.", Varistor = "varistor";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "voltage" [voltage: f64] = above_zero(Unit::Voltage), "Highest continuous a.c. volts r.m.s.";
    may "energy" [energy: Option<f64>] = above_zero(Unit::Energy), "Energy it stands in one pulse.";
}

impl Behaviour for Varistor {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Threshold)
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let [knee, slope, leak] = standard::bench::varistor(self.voltage);
        let device = Device::Clamp { up: knee.value, down: knee.value, on_ohms: slope.value, off_ohms: leak.value };
        circuit.simple(self.across, device);
    }

    fn dead(&self) -> Vec<DeadBranch> {
        dead::one(self.across, Dead::Dark)
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        open_or_short()
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        Some(Quantity::Power)
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::ItemIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![
            rated(Quantity::VoltageRms, self.voltage, CheckId::VaristorRating),
            rated(Quantity::Power, standard::bench::varistor_power().value, CheckId::VaristorRating),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
