//! Capacitors.

use super::assembly::Assembly;
use super::dead::{self, Dead, DeadBranch};
use super::declare::{Declared as _, part};
use super::item::{Failure, Item, Role, Spared};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::circuit::Device;
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::{Kind as Unit, Range};
use crate::standard::{self, CapClass};

part! {
    "A capacitor.", Capacitor = "capacitor";
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    needs "capacitance" [capacitance: f64] = above_zero(Unit::Capacitance), "Marked capacitance.";
    may "tolerance" [tolerance: Option<f64>] = Holds::Quantity(Unit::Fraction, Range::NotNegative),
        "How far the value may be above or below what is marked.";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage), "Rated volts: of one with polarised = true d.c., as printed on it; of any other a.c. r.m.s. (the 275 V of an X2).";
    may "class" [class: Option<CapClass>] = Holds::Word(&CapClass::WORDS),
        "Class as an interference-suppression capacitor (X, Y: IEC 60384-14) or a motor-run capacitor (P: IEC 60252-1).";
    may "polarised" [polarised: Option<bool>] = Holds::Flag, "Whether it has a plus pole; the first net of across is plus.";
    may "dc-voltage" [dc_voltage: Option<f64>] = above_zero(Unit::Voltage), "Rated d.c. volts.";
    may "ac-voltage" [ac_voltage: Option<f64>] = above_zero(Unit::Voltage),
        "A.c. volts r.m.s. that a capacitor with rated d.c. volts may stand, from its data sheet.";
    may "ripple" [ripple: Option<f64>] = above_zero(Unit::Current), "Rated ripple current, amperes r.m.s.";
    may "charged" [charged: Option<f64>] = Holds::Quantity(Unit::Voltage, Range::NotNegative),
        "D.c. volts it starts with, first net plus: a thing to be discharged.";
}

impl Capacitor {
    /// Whether it is stated to have a plus pole.
    pub(crate) fn is_polarised(&self) -> bool {
        self.polarised == Some(true)
    }

    /// Whether it most likely has a plus pole and nothing says so.
    fn may_be_electrolytic(&self) -> bool {
        let volts = self.dc_voltage.or(self.voltage);
        let plain = self.class.is_none() && self.polarised.is_none() && self.ac_voltage.is_none();
        plain && volts.is_some_and(|v| standard::capacitor::looks_electrolytic(self.capacitance, v))
    }

    /// Whether it is of a class that is built not to fail short.
    pub(crate) fn fails_open_only(&self) -> bool {
        self.class.is_some_and(CapClass::fails_open_only)
    }
}

impl Behaviour for Capacitor {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Capacitor { safety: self.fails_open_only(), charged: self.charged })
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let branch = circuit.simple(self.across, Device::Capacitor { farads: self.capacitance });
        circuit.tolerance(branch, self.tolerance.unwrap_or_else(|| standard::bench::capacitor_tolerance().value));
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let tolerance = self.tolerance.unwrap_or_else(|| standard::bench::capacitor_tolerance().value);
        dead::one(self.across, Dead::Farads(dead::about(self.capacitance, tolerance)))
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        if self.fails_open_only() {
            Failures { faults: vec![Failure::Open], spared: vec![Spared::SafetyCapacitor] }
        } else {
            open_or_short()
        }
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
        // Of a class, or made for a.c.: r.m.s. An electrolytic and one with d.c. volts of its own: peak.
        let quantity = match (self.class, self.is_polarised(), self.dc_voltage) {
            (Some(_), ..) | (None, false, None) => Quantity::VoltageRms,
            (None, ..) => Quantity::VoltagePeak,
        };
        let volts = if quantity == Quantity::VoltageRms {
            self.voltage
        } else {
            self.dc_voltage.or(self.voltage.filter(|_| self.is_polarised()))
        };
        let ripple = rated(Quantity::CurrentRms, self.ripple, CheckId::CapacitorVoltage);
        vec![rated(quantity, volts, CheckId::CapacitorVoltage), ripple]
    }

    fn wanted(&self) -> Vec<Wanted> {
        let volts = self.voltage.is_some() || self.dc_voltage.is_some();
        vec![
            want("voltage", volts, When::Always),
            want("class", self.class.is_some(), When::AcrossMains),
            want("polarised", !self.may_be_electrolytic(), When::Always),
        ]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &["voltage", "dc-voltage", "ac-voltage", "ripple"]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        (key == "capacitance").then_some(&mut self.capacitance)
    }
}
