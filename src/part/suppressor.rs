//! Voltage-limiting diodes.

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
    "A voltage-limiting diode.", Suppressor = "suppressor";
    needs "across" [across: Ends] = Holds::Ends, "Anode, then cathode.";
    needs "breakdown" [breakdown: f64] = above_zero(Unit::Voltage), "Breakdown volts, peak or d.c.";
    may "power" [power: Option<f64>] = above_zero(Unit::Power), "Rated mean watts.";
    may "bidirectional" [bidirectional: bool] = Holds::Flag, "Whether it breaks down in both directions.";
}

impl Behaviour for Suppressor {
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
        let [forward, slope, leak] = standard::bench::diode();
        // A one-way suppressor conducts forwards like a diode, from its anode to its cathode, and breaks down the other way.
        let up = if self.bidirectional { self.breakdown } else { forward.value };
        let device = Device::Clamp { up, down: self.breakdown, on_ohms: slope.value, off_ohms: leak.value };
        circuit.simple(self.across, device);
    }

    fn dead(&self) -> Vec<DeadBranch> {
        // A one-way suppressor conducts forwards like a diode; what it stands the other way is beyond a meter's volts.
        let dead = if self.bidirectional { Dead::Dark } else { Dead::Junction(standard::meter::silicon()) };
        dead::one(self.across, dead)
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
        vec![rated(Quantity::Power, self.power, CheckId::VaristorRating)]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("power", self.power.is_some(), When::Always)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
