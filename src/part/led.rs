//! Light-emitting diodes.

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
    "A light-emitting diode or a string of them, from anode to cathode.", Led = "led";
    needs "across" [across: Ends] = Holds::Ends, "Anode, then cathode.";
    needs "forward" [forward: f64] = above_zero(Unit::Voltage), "Forward d.c. volts of one LED.";
    may "slope" [slope: Option<f64>] = above_zero(Unit::Resistance), "Slope resistance of one LED.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated mean forward amperes.";
    may "peak-current" [peak_current: Option<f64>] = above_zero(Unit::Current), "Rated peak forward amperes.";
    may "reverse" [reverse: Option<f64>] = above_zero(Unit::Voltage), "Peak reverse volts of one LED.";
    may "series" [series: u32] = Holds::Count(1, 1000), "How many stand in one string; 1 when not given.";
}

impl Behaviour for Led {
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
        let [_, leak] = standard::bench::led();
        let slope = standard::bench::led_slope(self.current);
        let n = f64::from(self.series.max(1));
        let device = Device::Diode {
            forward: self.forward * n,
            on_ohms: self.slope.unwrap_or(slope.value) * n,
            off_ohms: leak.value * n,
            breakdown: None,
        };
        circuit.simple(self.across, device);
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let volts = self.forward * f64::from(self.series.max(1));
        dead::one(self.across, Dead::Junction(dead::share(volts, "led")))
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
        vec![
            rated(Quantity::CurrentMean, self.current, CheckId::LedCurrent),
            rated(Quantity::CurrentPeak, self.peak_current, CheckId::LedCurrent),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("current", self.current.is_some(), When::Always)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        (key == "forward").then_some(&mut self.forward)
    }
}
