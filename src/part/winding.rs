//! Motors, relay coils and other windings that are no transformer.

use super::assembly::Assembly;
use super::dead::{self, Dead, DeadBranch};
use super::declare::{Declared as _, part};
use super::item::{Item, Role};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::Kind as Unit;

part! {
    "A motor, relay coil or other winding.", Winding = "winding";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "resistance" [resistance: f64] = above_zero(Unit::Resistance), "Resistance of the wire.";
    needs "inductance" [inductance: f64] = above_zero(Unit::Inductance), "Inductance at the mains frequency.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated amperes r.m.s.";
    may "place" [place: Option<String>] = Holds::Word(&["inside", "outside"]),
        "Where its heat goes: inside the box, or outside of it.";
    may "temperature-class" [temperature_class: Option<String>] =
        Holds::Word(&["Y", "A", "E", "B", "F", "H", "105", "120", "130", "155", "180"]),
        "Thermal class of its insulation (IEC 60085).";
}

impl Behaviour for Winding {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Impedance { cold: Some(self.resistance) })
    }

    fn assemble(&self, circuit: &mut Assembly) {
        circuit.coil(("", Role::Whole), self.across, self.resistance, self.inductance);
    }

    fn dead(&self) -> Vec<DeadBranch> {
        dead::one(self.across, Dead::Ohms(dead::share(self.resistance, "copper_stated")))
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

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        match key {
            "inductance" => Some(&mut self.inductance),
            "resistance" => Some(&mut self.resistance),
            _ => None,
        }
    }
}
