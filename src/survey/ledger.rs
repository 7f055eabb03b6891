//! What the survey remembers: the worst value of every quantity, and the condition it was found in. Two ledgers merge
//! to the same result in any order, so that work shared between threads gives the same answer as one thread.

use std::collections::BTreeMap;

use crate::circuit::Quantities;
use crate::finding::{PerQuantity, Quantity, Situation};
use crate::part::Item;

use super::by_kind::PerKind;
use super::condition::Condition;
use super::few::LeftAlike;
use super::gravest::{Gravest, Ordinal};
use super::lasting::Lasting;
use super::measured::measured;
use super::records::{ChargeSide, Lamp, Least, Left, Light, Pulse, TouchTarget, TouchWorst, Worst};
use super::unsolved::NotSolved;

/// How a condition ended.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outcome {
    /// Solved and goes on for ever.
    Solved,
    /// Ended by a protective device.
    Cleared {
        /// Its index in the model.
        by: usize,
        /// Within so many seconds.
        within: f64,
        /// At so many amperes r.m.s.
        amperes: f64,
        /// Other devices that would open too, and within how many seconds.
        also: Vec<(usize, f64)>,
        /// Whether all else is judged as if it went on for ever: it is use, and no short.
        judged_whole: bool,
    },
    /// Not solved, and why.
    Unsolved(NotSolved),
}

/// A condition that was tried.
#[derive(Debug, Clone)]
pub(crate) struct Tried {
    /// Order.
    pub ordinal: Ordinal,
    /// The condition.
    pub condition: Condition,
    /// How it ended.
    pub outcome: Outcome,
    /// A fuse that carries more than its rating and yet is not sure to open: (protector, amperes).
    pub strained: Option<(usize, f64)>,
}

/// What charge is left between, and how it was looked for: of each only the worst stays. The seconds are part of it where
/// they were set beforehand, held as bits, which order numbers from 0 up as they are; and so is which rules it breaks, so
/// that more volts on less charge never hide what does.
type LeftKey = (Situation, bool, [ChargeSide; 2], Option<u64>, [bool; 2]);

/// Everything found.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ledger {
    /// Conditions.
    pub tried: Vec<Tried>,
    /// What nothing ends.
    pub lasting: Lasting,
    /// [item]: six quantities of the nominal condition.
    pub nominal: Vec<Option<PerQuantity<f64>>>,
    worst: Vec<PerQuantity<PerKind<Gravest<Worst>>>>,
    touch: Vec<PerKind<Gravest<TouchWorst>>>,
    pairs: Vec<PerKind<Gravest<TouchWorst>>>,
    left: BTreeMap<LeftKey, Gravest<Left>>,
    pulse: Vec<PerKind<Gravest<Pulse>>>,
    lamps: BTreeMap<usize, Lamp>,
    /// What faults leave as it was, where a tool has many parts.
    pub(super) left_alike: LeftAlike,
}

impl Ledger {
    /// An empty ledger for so many items, touchables, pairs and outlets.
    pub(crate) fn new(items: usize, touchables: usize, pairs: usize, outlets: usize) -> Ledger {
        Ledger {
            worst: vec![PerQuantity::default(); items],
            nominal: vec![None; items],
            touch: vec![PerKind::default(); touchables],
            pairs: vec![PerKind::default(); pairs],
            pulse: vec![PerKind::default(); items],
            lasting: Lasting::new(items, touchables, pairs, outlets),
            ..Ledger::default()
        }
    }

    /// Takes the quantities of every item.
    pub(crate) fn take(&mut self, items: &[Item], q: &[Quantities], kind: Situation, at: Ordinal) {
        for (item, worst) in items.iter().zip(&mut self.worst) {
            let values = measured(item, q);
            for (quantity, slot) in worst.iter_mut() {
                slot[kind].take(Worst { value: values[quantity], at });
            }
        }
    }

    /// Worst value of a quantity in a kind of condition.
    pub(crate) fn get(&self, item: usize, quantity: Quantity, kind: Situation) -> Option<Worst> {
        self.worst[item][quantity][kind].copied()
    }

    /// Notes a touch.
    pub(crate) fn take_touch(&mut self, whom: TouchTarget, kind: Situation, t: TouchWorst) {
        let slot = match whom {
            TouchTarget::One(k) => &mut self.touch[k],
            TouchTarget::Pair(k) => &mut self.pairs[k],
        };
        slot[kind].take(t);
    }

    /// Touch of a touchable in a kind of condition.
    pub(crate) fn touch_of(&self, k: usize, kind: Situation) -> Option<TouchWorst> {
        self.touch[k][kind].copied()
    }

    /// Touch of a pair of touchables in a kind of condition.
    pub(crate) fn pair_of(&self, k: usize, kind: Situation) -> Option<TouchWorst> {
        self.pairs[k][kind].copied()
    }

    /// Notes charge left: of a discharge the slowest for the same sides and kind stays, else the worst volts at the same
    /// time.
    pub(crate) fn take_left(&mut self, l: Left) {
        let looked = (!l.took).then_some(l.seconds.to_bits());
        self.left.entry((l.kind, l.took, l.between, looked, l.breaks())).or_default().take(l);
    }

    /// Charge left: what was looked at before what a discharge took, by sides and seconds.
    pub(crate) fn left(&self) -> impl Iterator<Item = &Left> {
        self.left.values().filter_map(Gravest::get)
    }

    /// Notes a pulse; the one with the most energy stays.
    pub(crate) fn take_pulse(&mut self, item: usize, kind: Situation, p: Pulse) {
        self.pulse[item][kind].take(p);
    }

    /// The pulse with most energy through an item, without or with a fault.
    pub(crate) fn pulse(&self, item: usize, kind: Situation) -> Option<Pulse> {
        self.pulse[item][kind].copied()
    }

    /// Notes when a lamp is lit in the nominal condition.
    pub(crate) fn take_light(&mut self, item: usize, light: Light) {
        self.lamp(item).light = Some(light);
    }

    /// Notes a lamp's strike margin; the least stays.
    pub(crate) fn take_strike_margin(&mut self, item: usize, margin: Worst) {
        self.lamp(item).margin.take(Least(margin));
    }

    fn lamp(&mut self, item: usize) -> &mut Lamp {
        self.lamps.entry(item).or_insert_with(|| Lamp { item, margin: Gravest::default(), light: None })
    }

    /// Lamps, in the order of the items.
    pub(crate) fn lamps(&self) -> impl Iterator<Item = &Lamp> {
        self.lamps.values()
    }

    /// Joins another ledger of the same jig.
    pub(crate) fn merge(&mut self, other: Ledger) {
        self.tried.extend(other.tried);
        self.lasting.merge(other.lasting);
        self.left_alike.merge(other.left_alike);
        self.worst.iter_mut().zip(other.worst).for_each(|(mine, theirs)| mine.join(theirs, PerKind::merge));
        for (mine, theirs) in self.nominal.iter_mut().zip(other.nominal) {
            *mine = mine.or(theirs);
        }
        self.touch.iter_mut().zip(other.touch).for_each(|(mine, theirs)| mine.merge(theirs));
        self.pairs.iter_mut().zip(other.pairs).for_each(|(mine, theirs)| mine.merge(theirs));
        self.pulse.iter_mut().zip(other.pulse).for_each(|(mine, theirs)| mine.merge(theirs));
        for (key, theirs) in other.left {
            self.left.entry(key).or_default().merge(theirs);
        }
        for (item, theirs) in other.lamps {
            let mine = self.lamp(item);
            mine.margin.merge(theirs.margin);
            mine.light = mine.light.take().or(theirs.light);
        }
    }

    /// A condition by its order.
    pub(crate) fn tried_at(&self, at: Ordinal) -> Option<&Tried> {
        self.tried.binary_search_by_key(&at, |t| t.ordinal).ok().map(|k| &self.tried[k])
    }
}
