//! Wires, tracks and leads.

use super::assembly::Assembly;
use super::dead::{self, DeadBranch};
use super::declare::{Declared as _, part};
use super::item::{Failure, Item, Role};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::circuit::Device;
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::{Kind as Unit, Range};
use crate::standard;

part! {
    "A wire, track or lead.", Wire = "wire";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    may "area" [area: Option<f64>] = above_zero(Unit::Area), "Cross-section of the conductor.";
    may "colour" [colour: Option<String>] = Holds::Colour,
        "Colour of the insulation, e.g. \"brown\", \"green-yellow\", \"bare\".";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage), "Rated a.c. volts r.m.s. of the insulation.";
    may "length" [length: Option<f64>] = above_zero(Unit::Length), "Length.";
    may "temperature" [temperature: Option<f64>] = Holds::Quantity(Unit::Temperature, Range::Positive),
        "Highest temperature of the insulation.";
    may "screened" [screened: bool] = Holds::Flag, "Whether a screen lies around it.";
}

impl Behaviour for Wire {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Wire)
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let joint = standard::bench::contact_resistance().value;
        let ohms = match (self.area, self.length) {
            (Some(area), Some(length)) => (standard::cord::conductor_resistance(area).value * length).max(joint),
            (None, _) | (_, None) => joint,
        };
        circuit.simple(self.across, Device::Resistor { ohms });
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let ohms =
            self.area.zip(self.length).map(|(area, length)| standard::cord::conductor_resistance(area).value * length);
        dead::one(self.across, dead::joint(ohms.unwrap_or(0.0)))
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        Failures::of(&[Failure::Open])
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
        let amperes = self.area.map(|area| standard::cord::wire_rating(area).value);
        vec![
            rated(Quantity::VoltageRms, self.voltage, CheckId::WireRating),
            rated(Quantity::CurrentRms, amperes, CheckId::WireRating),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("area", self.area.is_some(), When::LiveOrEarth), want("voltage", self.voltage.is_some(), When::Live)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &["voltage"]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
