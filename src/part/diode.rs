//! Diodes.

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
    "A diode, from anode to cathode.", Diode = "diode";
    needs "across" [across: Ends] = Holds::Ends, "Anode, then cathode.";
    may "forward" [forward: Option<f64>] = above_zero(Unit::Voltage), "Forward d.c. volts.";
    may "slope" [slope: Option<f64>] = above_zero(Unit::Resistance), "Slope resistance while it conducts.";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage), "Repetitive peak reverse volts.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated mean forward amperes.";
    may "surge" [surge: Option<f64>] = above_zero(Unit::Current),
        "Peak amperes it stands once, for half a mains cycle.";
}

/// A silicon diode; what is not stated is that of a common rectifier.
pub(super) fn silicon(forward: Option<f64>, slope: Option<f64>, volts: Option<f64>) -> Device {
    let [usual_forward, usual_slope, _] = standard::bench::diode();
    Device::Diode {
        forward: forward.unwrap_or(usual_forward.value),
        on_ohms: slope.unwrap_or(usual_slope.value),
        off_ohms: standard::bench::rectifier_leak(volts).value,
        breakdown: None,
    }
}

impl Behaviour for Diode {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Diode)
    }

    fn assemble(&self, circuit: &mut Assembly) {
        circuit.simple(self.across, silicon(self.forward, self.slope, self.voltage));
    }

    fn dead(&self) -> Vec<DeadBranch> {
        dead::one(self.across, Dead::Junction(standard::meter::silicon()))
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        open_or_short()
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        Some(Quantity::CurrentMean)
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::ItemIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![
            rated(Quantity::VoltagePeak, self.voltage, CheckId::DiodeReverse),
            rated(Quantity::CurrentMean, self.current, CheckId::DiodeCurrent),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![
            want("voltage", self.voltage.is_some(), When::Always),
            want("current", self.current.is_some(), When::Always),
        ]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &["current", "surge"]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
