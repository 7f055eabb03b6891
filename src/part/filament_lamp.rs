//! Filament lamps.

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
    "A filament lamp.", Filament = "filament-lamp";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "volts" [volts: f64] = above_zero(Unit::Voltage), "Rated volts r.m.s. (or d.c.).";
    needs "power" [power: f64] = above_zero(Unit::Power), "Rated mean watts at its rated volts.";
    may "place" [place: Option<String>] = Holds::Word(&["inside", "outside"]),
        "Where its heat goes: inside the box, or outside of it.";
    may "cold-ratio" [cold_ratio: Option<f64>] = Holds::Share,
        "Cold resistance divided by hot resistance, such as 0.07.";
}

impl Filament {
    /// Cold resistance divided by hot resistance, the usual one where none is stated.
    fn cold_ratio(&self) -> f64 {
        self.cold_ratio.unwrap_or_else(|| standard::lamp::filament_cold_ratio().value)
    }
}

impl Behaviour for Filament {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        let warm = self.volts * self.volts / self.power;
        joint::one(self.across, Link::Impedance { cold: Some(warm * self.cold_ratio()) })
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let device = Device::Filament {
            volts: self.volts,
            watts: self.power,
            cold_ratio: self.cold_ratio(),
            exponent: standard::lamp::filament_current_exponent().value,
        };
        circuit.simple(self.across, device);
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let cold = self.volts * self.volts / self.power * self.cold_ratio();
        dead::one(self.across, Dead::Ohms(dead::share(cold, "filament_cold")))
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        open_or_short()
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        None
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::ItemIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![rated(Quantity::VoltageRms, self.volts, CheckId::LampVoltage)]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        match key {
            "volts" => Some(&mut self.volts),
            "power" => Some(&mut self.power),
            _ => None,
        }
    }
}
