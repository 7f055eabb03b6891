//! Switches, relay contacts, push buttons and links.

use super::assembly::{Assembly, contact};
use super::dead::{self, DeadBranch};
use super::declare::{Declared as _, nets_fact, part};
use super::fact::Fact;
use super::item::{Failure, Item, Measure, Role};
use super::joint::{Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::finding::{CheckId, Quantity};
use crate::format::{Choice, Ends, Holds, Net, NetId, Row, above_zero};
use crate::quantity::Kind as Unit;

part! {
    "A switch, relay contact, push button or plug-and-socket link.", Switch = "switch",
    choice Choice { groups: &[&["poles"], &["positions"]], exclusive: true };
    may "poles" [contacts as "positions": SwitchContacts] = Holds::Poles,
        "Two nets for each pole; all poles open and close together.";
    may "positions" = Holds::Positions,
        "Named positions, each with the contacts closed in it: { low = [[\"a\", \"b\"]], high = [[\"a\", \"c\"]] }.";
    may "voltage" [voltage: Option<f64>] = above_zero(Unit::Voltage), "Rated a.c. volts r.m.s.";
    may "dc-voltage" [dc_voltage: Option<f64>] = above_zero(Unit::Voltage),
        "D.c. volts at which it breaks its rated amperes, where that is stated on it.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated amperes r.m.s.";
    may "coil" [coil: Option<String>] = Holds::Text, "The winding that works its contacts, by its name: of a relay or contactor.";
}

/// Contacts of a switch.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum SwitchContacts {
    /// Ganged poles: all closed (on) or all open (off).
    Poles(Vec<Ends>),
    /// Named positions in file order, each with the contacts closed in it.
    Positions(Vec<(String, Vec<Ends>)>),
}

impl SwitchContacts {
    /// The names of its positions, in order: poles are `on` and `off`.
    pub(crate) fn positions(&self) -> Vec<&str> {
        match self {
            SwitchContacts::Poles(_) => vec!["on", "off"],
            SwitchContacts::Positions(list) => list.iter().map(|(name, _)| name.as_str()).collect(),
        }
    }

    /// The contacts closed in a position; none where there is no such position.
    pub(crate) fn closed(&self, position: usize) -> &[Ends] {
        match self {
            SwitchContacts::Poles(poles) if position == 0 => poles,
            SwitchContacts::Poles(_) => &[],
            SwitchContacts::Positions(list) => list.get(position).map_or(&[], |(_, contacts)| contacts),
        }
    }

    /// Each contact once, in the order of the file, and whether it is closed in each position.
    pub(crate) fn each(&self) -> Vec<(Ends, Vec<bool>)> {
        let list = match self {
            SwitchContacts::Poles(poles) => return poles.iter().map(|ends| (*ends, vec![true, false])).collect(),
            SwitchContacts::Positions(list) => list,
        };
        let mut each: Vec<(Ends, Vec<bool>)> = vec![];
        for (at, (_, closed)) in list.iter().enumerate() {
            for ends in closed {
                let found = each.iter().position(|(known, _)| known == ends).unwrap_or_else(|| {
                    each.push((*ends, vec![false; list.len()]));
                    each.len() - 1
                });
                each[found].1[at] = true;
            }
        }
        each
    }

    /// Pairs of nets joined in each position, as a plugin sees them.
    pub(super) fn positions_fact<'a>(&'a self, nets: &'a [Net]) -> Fact<'a> {
        let row = |(k, name): (usize, &'a str)| {
            let joins = self.closed(k).iter().map(|ends| nets_fact(nets, ends)).collect();
            Fact::Row(vec![("name".into(), Fact::Text(name.into())), ("joins".into(), Fact::List(joins))])
        };
        Fact::List(self.positions().into_iter().enumerate().map(row).collect())
    }
}

impl Behaviour for Switch {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    /// With positions one terminal for each net that is named, however often it is.
    fn terminals(&self) -> Vec<NetId> {
        match &self.contacts {
            SwitchContacts::Poles(poles) => poles.concat(),
            SwitchContacts::Positions(positions) => {
                let mut nets: Vec<NetId> = positions.iter().flat_map(|(_, contacts)| contacts.concat()).collect();
                nets.sort_unstable();
                nets.dedup();
                nets
            }
        }
    }

    fn joints(&self) -> Vec<Joint> {
        self.contacts.each().into_iter().map(|(ends, closed)| Joint { ends, link: Link::Contact(closed) }).collect()
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let mut mine = vec![];
        for (n, (ends, closed)) in self.contacts.each().into_iter().enumerate() {
            let branch = circuit.across(ends, contact());
            let item = circuit.item(&format!(".{}", n + 1), Role::Contact, ends, Measure::Branch(branch));
            mine.push((item, closed));
        }
        circuit.contacts.push(mine);
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let contact = |(ends, closed)| DeadBranch { ends, dead: dead::joint(0.0), closed: Some(closed) };
        self.contacts.each().into_iter().map(contact).collect()
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        Failures::of(&[Failure::Open, Failure::Welded])
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        Some(Quantity::CurrentRms)
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::StandsItsVolts
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![
            rated(Quantity::VoltageRms, self.voltage, CheckId::SwitchRating),
            rated(Quantity::CurrentRms, self.current, CheckId::SwitchRating),
        ]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("voltage", self.voltage.is_some(), When::Live), want("current", self.current.is_some(), When::Always)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &["voltage", "dc-voltage", "current"]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}
