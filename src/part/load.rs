//! Fixed loads.

use super::assembly::Assembly;
use super::dead::{self, Dead, DeadBranch};
use super::declare::{Declared as _, part};
use super::item::{Item, Role};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::Rating;
use super::reading::Reading;
use super::wanted::Wanted;
use crate::circuit::Device;
use crate::finding::Quantity;
use crate::format::{Choice, Ends, Holds, NetId, Row, above_zero};
use crate::quantity::Kind as Unit;

part! {
    "Something fixed inside the jig that takes power.", Load = "load",
    choice Choice { groups: &[&["power"], &["resistance"]], exclusive: true };
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    may "power" [power: Option<f64>] = above_zero(Unit::Power), "Mean watts at the supply's nominal volts.";
    may "resistance" [resistance: Option<f64>] = above_zero(Unit::Resistance), "Resistance.";
    may "place" [place: Option<String>] = Holds::Word(&["inside", "outside"]),
        "Where its heat goes: inside the box, or outside of it.";
    may "power-factor" [power_factor: Option<f64>] = Holds::Share, "Power factor; 1 when not given.";
}

impl Behaviour for Load {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Impedance { cold: self.resistance })
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let ohms = self.resistance.or_else(|| self.power.map(|p| circuit.nominal * circuit.nominal / p));
        let Some(z) = ohms.filter(|z| *z > 0.0) else { return };
        match self.power_factor.filter(|p| *p < 1.0) {
            // Lagging: P = V²·pf²/R for R in series with X = R·tan.
            Some(pf) => {
                let r = if self.resistance.is_some() { z } else { z * pf * pf };
                let x = r * (1.0 / (pf * pf) - 1.0).sqrt();
                circuit.coil(("", Role::Whole), self.across, r, x / circuit.omega());
            }
            None => {
                circuit.simple(self.across, Device::Resistor { ohms: z });
            }
        }
    }

    fn dead(&self) -> Vec<DeadBranch> {
        match (self.resistance, self.power) {
            (Some(ohms), _) => dead::one(self.across, Dead::Ohms(dead::share(ohms, "copper_stated"))),
            // Of a thing that is known by its watts alone nobody knows what it is cold.
            (None, Some(_)) => dead::one(self.across, dead::UNFORESEEN),
            (None, None) => vec![],
        }
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
        vec![]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        match key {
            "power" => self.power.as_mut(),
            "resistance" => self.resistance.as_mut(),
            _ => None,
        }
    }
}
