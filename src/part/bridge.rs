//! Bridge rectifiers.

use super::assembly::Assembly;
use super::dead::{Dead, DeadBranch};
use super::declare::{Declared as _, part};
use super::diode::silicon;
use super::item::{Item, Measure, Role};
use super::joint::{Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::Kind as Unit;
use crate::standard;

part! {
    "A bridge of four diodes.", Bridge = "bridge";
    needs "ac" [ac: Ends] = Holds::Ends, "The two a.c. nets.";
    needs "plus" [plus: NetId] = Holds::Net, "The net of the positive terminal.";
    needs "minus" [minus: NetId] = Holds::Net, "The net of the negative terminal.";
    may "forward" [forward: Option<f64>] = above_zero(Unit::Voltage), "Forward d.c. volts of each diode.";
    may "slope" [slope: Option<f64>] = above_zero(Unit::Resistance), "Slope resistance of each diode.";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage), "Repetitive peak reverse volts of each diode.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated mean output amperes.";
    may "surge" [surge: Option<f64>] = above_zero(Unit::Current),
        "Peak amperes it stands once, for half a mains cycle.";
}

impl Bridge {
    /// Each arm from anode to cathode: two into plus, two from minus.
    pub(crate) fn arms(&self) -> [Ends; 4] {
        let [a, b] = self.ac;
        [[a, self.plus], [b, self.plus], [self.minus, a], [self.minus, b]]
    }
}

impl Behaviour for Bridge {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        vec![self.ac[0], self.ac[1], self.plus, self.minus]
    }

    fn joints(&self) -> Vec<Joint> {
        let arm = |(ends, first)| Joint { ends, link: Link::Arm { first } };
        self.arms().into_iter().zip([true, false, false, true]).map(arm).collect()
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let device = silicon(self.forward, self.slope, self.voltage);
        let ends = self.arms();
        let arms = ends.map(|ends| circuit.across(ends, device));
        circuit.item("", Role::Whole, self.ac, Measure::Bridge(arms));
        for (n, (arm, ends)) in arms.into_iter().zip(ends).enumerate() {
            circuit.item(&format!(".{}", n + 1), Role::Arm, ends, Measure::Branch(arm));
        }
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let arm = |ends| DeadBranch { ends, dead: Dead::Junction(standard::meter::silicon()), closed: None };
        self.arms().map(arm).to_vec()
    }

    fn failures(&self, items: &[Item], k: usize) -> Failures {
        // The bridge as a whole has no fault of its own, its arms have.
        if matches!(items[k].measure, Measure::Bridge(_)) { Failures::default() } else { open_or_short() }
    }

    fn overheats_by(&self, role: Role) -> Option<Quantity> {
        (role == Role::Whole).then_some(Quantity::CurrentMean)
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::PartIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, role: Role) -> Vec<Rating> {
        let mut ratings = vec![rated(Quantity::VoltagePeak, self.voltage, CheckId::DiodeReverse)];
        if role == Role::Whole {
            ratings.push(rated(Quantity::CurrentMean, self.current, CheckId::DiodeCurrent));
        }
        ratings
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
