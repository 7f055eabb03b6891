//! Inrush limiters.

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
use crate::quantity::{Kind as Unit, format};

part! {
    "An inrush limiter: high resistance cold, low resistance hot.", Thermistor = "thermistor";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "cold" [cold: f64] = above_zero(Unit::Resistance), "Resistance at 25 °C.";
    may "hot" [hot: Option<f64>] = above_zero(Unit::Resistance), "Resistance at its rated current.";
    may "place" [place: Option<String>] = Holds::Word(&["inside", "outside"]),
        "Where its heat goes: inside the box, or outside of it.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated amperes r.m.s.";
}

impl Behaviour for Thermistor {
    fn read(row: &Row, reading: &mut Reading) -> Option<Self> {
        let part = Self::from_keys(row)?;
        let Some(hot) = part.hot.filter(|hot| *hot >= part.cold) else { return Some(part) };
        let (hot, cold) = (format(hot, Unit::Resistance), format(part.cold, Unit::Resistance));
        let message = format!("hot {hot} is not below cold {cold}");
        let help = "an inrush limiter has less resistance hot than cold";
        (reading.wrong)(row.place_of("hot"), message, help.into());
        None
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Impedance { cold: Some(self.cold) })
    }

    fn assemble(&self, circuit: &mut Assembly) {
        circuit.simple(self.across, Device::Resistor { ohms: self.hot.unwrap_or(self.cold) });
    }

    fn dead(&self) -> Vec<DeadBranch> {
        dead::one(self.across, Dead::Ohms(dead::share(self.cold, "thermistor_cold")))
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        open_or_short()
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        Some(Quantity::CurrentRms)
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::ItemIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![rated(Quantity::CurrentRms, self.current, CheckId::WindingRating)]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("current", self.current.is_some(), When::Always)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
