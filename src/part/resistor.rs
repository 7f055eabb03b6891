//! Resistors.

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
use crate::quantity::{Kind as Unit, Range};
use crate::standard;

part! {
    "A resistor.", Resistor = "resistor";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "resistance" [resistance: f64] = above_zero(Unit::Resistance), "Marked resistance.";
    may "tolerance" [tolerance: Option<f64>] = Holds::Quantity(Unit::Fraction, Range::NotNegative),
        "How far the value may be above or below what is marked.";
    may "power" [power: Option<f64>] = above_zero(Unit::Power), "Rated dissipation at its rated ambient, mean watts.";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage),
        "Limiting element voltage, volts r.m.s. for sine (or d.c.).";
    may "flameproof" [flameproof: bool] = Holds::Flag, "Whether its coating does not burn.";
    may "place" [place: Option<String>] = Holds::Word(&["inside", "outside"]),
        "Where its heat goes: inside the box, or outside of it.";
    may "fusible" [fusible: bool] = Holds::Flag, "Whether it is made to fail open like a fuse.";
}

impl Behaviour for Resistor {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Resistor(self.resistance))
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let branch = circuit.simple(self.across, Device::Resistor { ohms: self.resistance });
        circuit.tolerance(branch, self.tolerance.unwrap_or_else(|| standard::bench::resistor_tolerance().value));
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let tolerance = self.tolerance.unwrap_or_else(|| standard::bench::resistor_tolerance().value);
        dead::one(self.across, Dead::Ohms(dead::about(self.resistance, tolerance)))
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
        if self.fusible && self.power.is_some() { Protection::FusibleResistor } else { Protection::None }
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![
            Rating { derates: true, ..rated(Quantity::Power, self.power, CheckId::ResistorPower) },
            rated(Quantity::VoltageRms, self.voltage, CheckId::ResistorVoltage),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("power", self.power.is_some(), When::Always), want("voltage", self.voltage.is_some(), When::Live)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &["power", "voltage"]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        (key == "resistance").then_some(&mut self.resistance)
    }
}
