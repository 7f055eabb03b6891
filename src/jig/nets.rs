//! Nets: names to numbers, how many ends each has, which look like slips. Must not know any electricity.

use std::collections::BTreeMap;

use super::error::InputErrors;
use super::model::{Jig, NET_L, NET_N, NET_PE, Net, NetId, Place};
use super::sections::MAINS;
use super::words;
use crate::quantity::quote;

/// Names of nets met so far. The first three are L, N and PE.
pub(crate) struct NetNames {
    names: Vec<Name>,
    ids: BTreeMap<String, NetId>,
}

struct Name {
    name: String,
    place: Option<Place>,
    /// Where an insulation names it.
    stated: Option<Place>,
    /// How many insulations name it.
    sides: usize,
}

impl NetNames {
    pub(crate) fn new() -> Self {
        let mut nets = Self { names: Vec::new(), ids: BTreeMap::new() };
        for name in ["L", "N", "PE"] {
            nets.add(name, None);
        }
        nets
    }

    fn add(&mut self, name: &str, place: Option<Place>) -> NetId {
        let id = self.names.len();
        self.names.push(Name { name: name.to_string(), place, stated: None, sides: 0 });
        self.ids.insert(name.to_string(), id);
        id
    }

    /// The number of a net, new or known; keeps the first place in the file.
    pub(crate) fn id(&mut self, name: &str, place: Place) -> NetId {
        let Some(id) = self.ids.get(name).copied() else {
            return self.add(name, Some(place));
        };
        let first = &mut self.names[id].place;
        *first = Some(first.map_or(place, |known| known.min(place)));
        id
    }

    /// Notes that an insulation names this net.
    pub(crate) fn stated(&mut self, id: NetId, place: Place) {
        self.names[id].stated.get_or_insert(place);
        self.names[id].sides += 1;
    }

    /// Touchables and insulations must name a net that something else names too: a misspelt one would be an island
    /// that no check ever reaches. `plugged` tells whether L, N and PE come from outside; `touched` are the nets of
    /// the touchables with their places.
    pub(crate) fn check(&self, wired: &[NetId], touched: &[(NetId, Place)], plugged: bool, errors: &mut InputErrors) {
        let real = |id: NetId| wired.contains(&id) || (plugged && id <= NET_PE);
        let near = |id: NetId| {
            let others = self.names.iter().enumerate().filter(|(other, entry)| {
                *other != id && (real(*other) || entry.stated.is_some() || touched.iter().any(|(net, _)| net == other))
            });
            let sides = self.names[id].stated.map(|_| MAINS);
            words::nearest(&self.names[id].name, others.map(|(_, entry)| entry.name.as_str()).chain(sides))
                .map(|name| format!("did you mean \"{name}\"?"))
        };
        for (id, place) in touched.iter().copied() {
            if !real(id) && self.names[id].stated.is_none() {
                let help = near(id)
                    .unwrap_or_else(|| "name a net of a part, or state its insulation in [[insulation]]".to_string());
                errors.wrong(
                    place,
                    format!("no part and no insulation names the net {}", quote(&self.names[id].name)),
                    help,
                );
            }
        }
        for (id, entry) in self.names.iter().enumerate() {
            let Some(place) = entry.stated else { continue };
            // What lies between two insulations, such as a lampholder's shell, needs no other name.
            if !real(id) && entry.sides < 2 && !touched.iter().any(|(net, _)| *net == id) {
                let help = near(id).unwrap_or_else(|| "name a net of a part or of something touchable".to_string());
                errors.wrong(
                    place,
                    format!("no part and nothing touchable names the net {}", quote(&entry.name)),
                    help,
                );
            }
        }
    }

    /// A point for a meter must be on a net that a part joins: on another one there is nothing to measure.
    pub(crate) fn reached(&self, wired: &[NetId], reached: &[(NetId, Place)], plugged: bool, errors: &mut InputErrors) {
        let real = |id: NetId| wired.contains(&id) || (plugged && id <= NET_PE);
        for (id, place) in reached.iter().copied().filter(|(id, _)| !real(*id)) {
            let others = self.names.iter().enumerate().filter(|(other, _)| real(*other));
            let help = words::nearest(&self.names[id].name, others.map(|(_, entry)| entry.name.as_str()))
                .map_or_else(|| "name a net of a part".to_string(), |name| format!("did you mean \"{name}\"?"));
            errors.wrong(place, format!("no part is on the net {}", quote(&self.names[id].name)), help);
        }
    }

    /// A jig that is plugged in must name L or N somewhere: else all of it is an island without mains. One of them is enough for a
    /// probe, but not where a net has the name that the trade gives the other one.
    pub(crate) fn hangs_on_the_plug(&self, wired: &[NetId], errors: &mut InputErrors) {
        let on = |net: NetId| wired.contains(&net);
        let means = |words: &[&str]| {
            let used = self.names.iter().enumerate().filter(|(id, _)| wired.contains(id));
            used.map(|(_, entry)| entry.name.as_str()).find(|name| words.contains(&name.to_lowercase().as_str()))
        };
        // With one pole on the plug only names that can mean nothing else count.
        let one = on(NET_L) || on(NET_N);
        let or_others =
            |sure: &[&'static str], others: &[&'static str]| [sure, if one { &[] } else { others }].concat();
        let live = means(&or_others(&["live", "line", "phase", "active", "l"], &["hot", "ph", "p"]));
        let neutral = means(&or_others(&["neutral", "neut", "n"], &["null", "cold"]));
        if one && (on(NET_L) || live.is_none()) && (on(NET_N) || neutral.is_none()) {
            return;
        }
        let live = live.filter(|_| !on(NET_L));
        let neutral = neutral.filter(|_| !on(NET_N));
        let said = |pin: &str, name: Option<&str>| name.map(|name| format!("write \"{pin}\" for {}", quote(name)));
        let renamed: Vec<String> = [said("L", live), said("N", neutral)].into_iter().flatten().collect();
        let help = if renamed.is_empty() {
            "the pins of the plug are the nets L, N and PE: name them where the cord ends".to_string()
        } else {
            format!("the pins of the plug are the nets L, N and PE: {}", renamed.join(", "))
        };
        let place = wired.iter().filter_map(|net| self.names[*net].place).min().unwrap_or(Place { line: 1, column: 1 });
        let poles = match [on(NET_L), on(NET_N)] {
            [true, _] => "N",
            [_, true] => "L",
            [false, false] => "L or N",
        };
        errors.wrong(place, format!("no part is on {poles}, so nothing hangs on the mains"), help);
    }

    /// The nets with the number of their ends.
    pub(crate) fn finish(self, ends: &[usize]) -> Vec<Net> {
        let unmentioned = Place { line: 1, column: 1 };
        self.names
            .into_iter()
            .enumerate()
            .map(|(id, entry)| Net {
                name: entry.name,
                place: entry.place.unwrap_or(unmentioned),
                ends: ends.get(id).copied().unwrap_or(0),
            })
            .collect()
    }
}

impl Jig {
    /// Nets with a single end: probably misspelt or forgotten. Left out are the plug's own pins, and the net of
    /// something touchable that nothing is meant to join.
    pub(crate) fn loose_nets(&self) -> Vec<NetId> {
        let from_plug = |id: NetId| self.supply.mains.is_some() && id <= NET_PE;
        let touched = |id: NetId| self.touchables.iter().any(|touchable| touchable.net == id);
        (0..self.nets.len()).filter(|id| self.nets[*id].ends == 1 && !from_plug(*id) && !touched(*id)).collect()
    }
}

/// The net that was probably meant by a name which is used once: `"L 1"` → `L1`.
pub(crate) fn suggest_net<'j>(jig: &'j Jig, name: &str) -> Option<&'j str> {
    let plugged = jig.supply.mains.is_some();
    let used = jig.nets.iter().enumerate().filter(|(id, net)| net.ends > 0 || (plugged && *id <= NET_PE));
    words::nearest(name, used.map(|(_, net)| net.name.as_str()))
}
