//! What the survey remembers: the worst value of every quantity, and the condition it was found in. Two ledgers merge
//! to the same result in any order, so that work shared between threads gives the same answer as one thread.

use crate::circuit::{Quantities, Steady};
use crate::finding::{Kind, PerQuantity, Quantity};

use super::condition::Condition;
use super::lasting::Lasting;
use super::measured::measured;
use super::model::Item;

/// Order of a condition in the whole survey: job, then number within the job.
pub type Ordinal = (u32, u32);

/// How a condition ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Solved and goes on for ever.
    Solved,
    /// Ended by a protective device.
    Cleared {
        /// Its name.
        by: String,
        /// Within so many seconds.
        within: f64,
        /// At so many amperes r.m.s.
        amperes: f64,
        /// Other devices that would open too, and within how many seconds.
        also: Vec<(String, f64)>,
    },
    /// Not solved, and why.
    Unsolved(String),
}

/// A condition that was tried.
#[derive(Debug, Clone)]
pub struct Tried {
    /// Order.
    pub ordinal: Ordinal,
    /// The condition.
    pub condition: Condition,
    /// How it ended.
    pub outcome: Outcome,
    /// A fuse that carries more than its rating and yet is not sure to open: (protector, amperes).
    pub strained: Option<(usize, f64)>,
}

/// The worst value of one quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// Its value.
    pub value: f64,
    /// The condition.
    pub at: Ordinal,
}

impl Worst {
    /// Keeps the worse of the two.
    pub fn meet(slot: &mut Option<Worst>, other: Worst) {
        let better = match slot {
            None => true,
            // Values equal but for rounding: the earlier condition, which has less that is special about it.
            Some(w) if (other.value - w.value).abs() <= 1e-9 * w.value.abs() => other.at < w.at,
            Some(w) => other.value > w.value,
        };
        if better {
            *slot = Some(other);
        }
    }
}

/// Worst touch of one touchable (or pair).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TouchWorst {
    /// Open-circuit volts r.m.s.
    pub voltage_rms: f64,
    /// Open-circuit volts peak.
    pub voltage_peak: f64,
    /// Open-circuit volts mean.
    pub voltage_dc: f64,
    /// Amperes r.m.s. through the body network.
    pub current_rms: f64,
    /// Amperes peak.
    pub current_peak: f64,
    /// Amperes mean.
    pub current_dc: f64,
    /// How far both voltage and current are beyond their limits (above 1: hazardous).
    pub hazard: f64,
    /// Condition.
    pub at: Ordinal,
}

impl TouchWorst {
    /// Keeps the graver of the two.
    pub fn meet(self, slot: &mut Option<TouchWorst>) {
        let t = self;
        let graver = |w: &TouchWorst| {
            let (a, b) = ((t.hazard, t.voltage_peak), (w.hazard, w.voltage_peak));
            match a.0.total_cmp(&b.0) {
                _ if (a.0 - b.0).abs() <= 1e-9 * b.0 && (a.1 - b.1).abs() <= 1e-9 * b.1 => t.at < w.at,
                std::cmp::Ordering::Equal => a.1 > b.1,
                o => o.is_gt(),
            }
        };
        if slot.as_ref().is_none_or(graver) {
            *slot = Some(t);
        }
    }
}

/// Charge left between two nets.
#[derive(Debug, Clone, PartialEq)]
pub struct Left {
    /// Words for the two sides.
    pub between: [String; 2],
    /// Seconds after.
    pub seconds: f64,
    /// Volts then.
    pub volts: f64,
    /// Capacitance still charged, farads.
    pub farads: f64,
    /// Condition.
    pub at: Ordinal,
    /// Kind of condition it was charged in.
    pub kind: Kind,
    /// Whether `seconds` is what a discharge took, rather than a time at which was looked.
    pub took: bool,
}

/// A pulse through an item.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulse {
    /// Energy, joules.
    pub energy: f64,
    /// Highest power, watts.
    pub peak: f64,
    /// Integral of the squared current, A² s.
    pub i2t: f64,
    /// Seconds it was followed.
    pub seconds: f64,
    /// Condition.
    pub at: Ordinal,
}

/// How a lamp behaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Lamp {
    /// Item.
    pub item: usize,
    /// Crest of the voltage across the dark lamp at low supply over the strike volts of the worst lamp, and where.
    pub strike_margin: Option<Worst>,
    /// Flashes a second at nominal supply.
    pub flashes_per_second: f64,
    /// Lit part of the cycle at nominal supply.
    pub lit_fraction: f64,
    /// Angles at nominal supply, degrees.
    pub on_deg: Vec<f64>,
    /// Angles at nominal supply, degrees.
    pub off_deg: Vec<f64>,
}

/// Everything found.
#[derive(Debug, Clone, Default)]
pub struct Ledger {
    /// Conditions.
    pub tried: Vec<Tried>,
    /// [item][quantity][kind].
    pub worst: Vec<PerQuantity<[Option<Worst>; 3]>>,
    /// [item][quantity] of the nominal condition.
    pub nominal: Vec<Option<PerQuantity<f64>>>,
    /// [touchable][kind].
    pub touch: Vec<[Option<TouchWorst>; 3]>,
    /// [pair][kind].
    pub pairs: Vec<[Option<TouchWorst>; 3]>,
    /// Charge left.
    pub left: Vec<Left>,
    /// [item][fault].
    pub pulse: Vec<[Option<Pulse>; 2]>,
    /// Lamps.
    pub lamps: Vec<Lamp>,
    /// What nothing ends.
    pub lasting: Lasting,
}

fn kind_index(k: Kind) -> usize {
    match k {
        Kind::Normal => 0,
        Kind::SingleFault => 1,
        Kind::Transient => 2,
    }
}

impl Ledger {
    /// An empty ledger for so many items, touchables and pairs.
    pub fn new(items: usize, touchables: usize, pairs: usize, outlets: usize) -> Ledger {
        Ledger {
            worst: vec![PerQuantity::default(); items],
            nominal: vec![None; items],
            touch: vec![[None; 3]; touchables],
            pairs: vec![[None; 3]; pairs],
            pulse: vec![[None; 2]; items],
            lasting: Lasting::new(items, touchables, pairs, outlets),
            ..Ledger::default()
        }
    }

    /// Takes the stresses of a steady state.
    pub fn take(&mut self, items: &[Item], s: &Steady, kind: Kind, at: Ordinal) {
        self.take_quantities(items, &s.branches, kind, at);
    }

    /// Takes the quantities of every item.
    pub fn take_quantities(&mut self, items: &[Item], q: &[Quantities], kind: Kind, at: Ordinal) {
        for (k, item) in items.iter().enumerate() {
            for (n, value) in measured(item, q).iter() {
                Worst::meet(&mut self.worst[k][n][kind_index(kind)], Worst { value: *value, at });
            }
        }
    }

    /// Worst value of a quantity in a kind of condition.
    pub fn get(&self, item: usize, quantity: Quantity, kind: Kind) -> Option<Worst> {
        self.worst[item][quantity][kind_index(kind)]
    }

    /// Notes a touch.
    pub fn take_touch(&mut self, pair: bool, k: usize, kind: Kind, t: TouchWorst) {
        let slot = if pair { &mut self.pairs[k] } else { &mut self.touch[k] };
        t.meet(&mut slot[kind_index(kind)]);
    }

    /// Touch of a touchable in a kind of condition.
    pub fn touch_of(&self, k: usize, kind: Kind) -> Option<TouchWorst> {
        self.touch[k][kind_index(kind)]
    }

    /// Touch of a pair of touchables in a kind of condition.
    pub fn pair_of(&self, k: usize, kind: Kind) -> Option<TouchWorst> {
        self.pairs[k][kind_index(kind)]
    }

    /// Notes charge left: of a discharge the slowest for the same nets and kind stays, else the worst volts at the same
    /// time. Whatever the order they come in, the same one stays.
    pub fn take_left(&mut self, l: Left) {
        let same = self.left.iter_mut().find(|o| {
            o.between == l.between
                && o.kind == l.kind
                && o.took == l.took
                && (l.took || o.seconds.to_bits() == l.seconds.to_bits())
        });
        let alike = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs();
        match same {
            Some(o) if !alike(l.seconds, o.seconds) => {
                if l.seconds > o.seconds {
                    *o = l;
                }
            }
            Some(o) if !alike(l.volts, o.volts) => {
                if l.volts > o.volts {
                    *o = l;
                }
            }
            Some(o) if l.at < o.at => *o = l,
            Some(_) => {}
            None => self.left.push(l),
        }
    }

    /// Notes a pulse without or with a fault; the one with the most energy stays.
    pub fn take_pulse(&mut self, item: usize, fault: bool, p: Pulse) {
        let slot = &mut self.pulse[item][usize::from(fault)];
        let more =
            |o: &Pulse| p.energy > o.energy * (1.0 + 1e-9) || (p.energy >= o.energy * (1.0 - 1e-9) && p.at < o.at);
        if slot.as_ref().is_none_or(more) {
            *slot = Some(p);
        }
    }

    /// Notes a lamp's strike margin (the least) or its nominal light.
    pub fn take_lamp(&mut self, l: Lamp) {
        let Some(o) = self.lamps.iter_mut().find(|o| o.item == l.item) else {
            self.lamps.push(l);
            return;
        };
        if let Some(m) = l.strike_margin {
            let less =
                |w: &Worst| m.value < w.value * (1.0 - 1e-9) || (m.value <= w.value * (1.0 + 1e-9) && m.at < w.at);
            if o.strike_margin.as_ref().is_none_or(less) {
                o.strike_margin = Some(m);
            }
        }
        if o.on_deg.is_empty() && o.lit_fraction == 0.0 {
            Lamp { strike_margin: o.strike_margin, ..l }.clone_into(o);
        }
    }

    /// Joins another ledger of the same jig.
    pub fn merge(&mut self, other: Ledger) {
        self.tried.extend(other.tried);
        self.lasting.merge(other.lasting);
        for (k, rows) in other.worst.into_iter().enumerate() {
            for (n, kinds) in rows.iter() {
                for (j, w) in kinds.iter().enumerate() {
                    if let Some(w) = w {
                        Worst::meet(&mut self.worst[k][n][j], *w);
                    }
                }
            }
        }
        for (k, n) in other.nominal.into_iter().enumerate() {
            self.nominal[k] = self.nominal[k].or(n);
        }
        for kind in [Kind::Normal, Kind::SingleFault, Kind::Transient] {
            for (k, t) in other.touch.iter().enumerate() {
                if let Some(t) = t[kind_index(kind)] {
                    self.take_touch(false, k, kind, t);
                }
            }
            for (k, t) in other.pairs.iter().enumerate() {
                if let Some(t) = t[kind_index(kind)] {
                    self.take_touch(true, k, kind, t);
                }
            }
        }
        other.left.into_iter().for_each(|l| self.take_left(l));
        for (k, p) in other.pulse.into_iter().enumerate() {
            for (fault, p) in [false, true].into_iter().zip(p) {
                if let Some(p) = p {
                    self.take_pulse(k, fault, p);
                }
            }
        }
        other.lamps.into_iter().for_each(|l| self.take_lamp(l));
    }

    /// A condition by its order.
    pub fn tried_at(&self, at: Ordinal) -> Option<&Tried> {
        self.tried.binary_search_by_key(&at, |t| t.ordinal).ok().map(|k| &self.tried[k])
    }
}
