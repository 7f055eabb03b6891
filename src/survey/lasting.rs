//! What goes on for ever, kept apart from what a protective device ends: continuous ratings and fuses are judged by the
//! first, never by a current that a fuse is there to interrupt. Also what is seen in a moment and belongs to no fault.

use std::collections::BTreeMap;

use crate::circuit::{Quantities, Transient};
use crate::finding::{PerQuantity, Quantity, Situation};
use crate::part::Role;
use crate::standard::Level;

use super::by_kind::ByFault;
use super::condition::Condition;
use super::gravest::{Gravest, Ordinal};
use super::in_use::Opened;
use super::measured::{alternating, backwards, direct, measured, swing, taken_back, unbroken};
use super::model::{Measure, Model};
use super::records::{Hot, Made, TouchTarget, TouchWorst, Unseen, Worst};
use super::slow::Slow;

/// Worst values of lasting conditions.
#[derive(Debug, Clone, Default)]
pub(crate) struct Lasting {
    /// [item].
    pub worst: Vec<PerQuantity<ByFault<Gravest<Worst>>>>,
    /// [item] with one fault, where every fuse is sure to carry on.
    pub unended: Vec<PerQuantity<Gravest<Worst>>>,
    /// [item] at nominal supply, without a fault.
    pub at_nominal: Vec<PerQuantity<Gravest<Worst>>>,
    /// [item]: how far the first end gets below the second, volts.
    pub reverse: Vec<ByFault<Gravest<Worst>>>,
    /// [item]: the volts it swings to both sides of zero, the lesser crest.
    pub swing: Vec<ByFault<Gravest<Worst>>>,
    /// [item]: the alternating part of its volts, r.m.s.
    pub alternating: Vec<ByFault<Gravest<Worst>>>,
    /// [item]: the mean of its volts, either way.
    pub direct: Vec<ByFault<Gravest<Worst>>>,
    /// [item]: the least amperes of a current that never comes to zero.
    pub unbroken: Vec<ByFault<Gravest<Worst>>>,
    /// [item]: mean amperes into the output of a module.
    pub taken_back: Vec<ByFault<Gravest<Worst>>>,
    /// [L, N, PE]: amperes r.m.s. in the supply's conductors.
    pub conductors: [ByFault<Gravest<Worst>>; 3],
    /// [L, N, PE] at nominal supply, without a fault.
    pub conductors_nominal: [Gravest<Worst>; 3],
    /// [item]: highest amperes at switch-on, without a fault and with no outlet shorted.
    pub inrush: Vec<Gravest<Worst>>,
    /// [item]: highest volts at switch-on, likewise.
    pub inrush_volts: Vec<Gravest<Worst>>,
    /// [item]: A² s of the inrush beyond what goes on for ever, likewise.
    pub inrush_i2t: Vec<Gravest<Worst>>,
    /// [item]: highest amperes when it is switched on again after a moment off, likewise.
    pub inrush_again: Vec<Gravest<Worst>>,
    /// [item]: A² s of the first mains cycle then.
    pub inrush_again_i2t: Vec<Gravest<Worst>>,
    /// [item]: what a capacitor that stays charged drives through it when a switch is moved.
    pub dumped: Vec<Gravest<Made>>,
    /// [item]: volts that a capacitor still holds when the box may have been opened, without a fault.
    pub kept: Vec<Gravest<Worst>>,
    /// [item]: crests while a charged thing that was put on empties.
    pub put_on: Vec<ByFault<PutOn>>,
    /// [touchable]: touch up to the opening of a device that takes longer than the published disconnection time.
    pub late: Vec<Gravest<TouchWorst>>,
    /// [pair]: likewise.
    pub late_pairs: Vec<Gravest<TouchWorst>>,
    /// Devices that open in normal use, by their index in the model.
    pub opened: BTreeMap<usize, Gravest<Opened>>,
    /// Watts in the box, all of one condition.
    pub heat: ByFault<Gravest<Hot>>,
    /// Likewise, with filament lamps whose place is not stated.
    pub heat_with_lamps: ByFault<Gravest<Worst>>,
    /// What a device ends only after a time.
    pub slow: Slow,
    /// Watts in the box with one fault, where every fuse is sure to carry on.
    pub heat_unended: Gravest<Hot>,
    /// Current to earth that a residual-current device of a better type would end.
    pub unseen: ByFault<Gravest<Unseen>>,
    /// [outlet]: a hand on one terminal of an isolated outlet, the other hand on earth.
    pub outlets: Vec<ByFault<Gravest<TouchWorst>>>,
}

/// What else is to be known of a steady state that is filed.
pub(super) struct Tested {
    /// [item]: whether it has failed itself.
    pub(super) broken: Vec<bool>,
    /// Whether an outlet is shorted.
    pub(super) shorted: bool,
    /// Whether every fuse is sure to carry on: none is between what it carries for hours and what it is sure to open at.
    pub(super) unended: bool,
}

/// Crests of one item while a charged thing empties.
#[derive(Debug, Clone, Default)]
pub(crate) struct PutOn {
    /// Volts either way.
    pub volts: Gravest<Worst>,
    /// Volts by which the first end gets below the second.
    pub reverse: Gravest<Worst>,
    /// Amperes either way.
    pub amperes: Gravest<Worst>,
    /// Integral of the squared amperes, A² s.
    pub i2t: Gravest<Worst>,
}

impl Lasting {
    /// Empty, for so many items, touchables, pairs and outlets.
    pub(crate) fn new(items: usize, touchables: usize, pairs: usize, outlets: usize) -> Lasting {
        Lasting {
            worst: vec![PerQuantity::default(); items],
            unended: vec![PerQuantity::default(); items],
            at_nominal: vec![PerQuantity::default(); items],
            reverse: vec![ByFault::default(); items],
            swing: vec![ByFault::default(); items],
            alternating: vec![ByFault::default(); items],
            direct: vec![ByFault::default(); items],
            taken_back: vec![ByFault::default(); items],
            unbroken: vec![ByFault::default(); items],
            inrush: vec![Gravest::default(); items],
            inrush_volts: vec![Gravest::default(); items],
            inrush_i2t: vec![Gravest::default(); items],
            inrush_again: vec![Gravest::default(); items],
            inrush_again_i2t: vec![Gravest::default(); items],
            dumped: vec![Gravest::default(); items],
            kept: vec![Gravest::default(); items],
            put_on: vec![ByFault::default(); items],
            late: vec![Gravest::default(); touchables],
            late_pairs: vec![Gravest::default(); pairs],
            outlets: vec![ByFault::default(); outlets],
            slow: Slow::new(items),
            ..Lasting::default()
        }
    }

    /// Takes a steady state that nothing ends.
    pub(super) fn take(&mut self, model: &Model, q: &[Quantities], condition: &Condition, tried: &Tested, at: Ordinal) {
        let (kind, broken) = (condition.kind(), &tried.broken);
        let as_meant = kind == Situation::Normal && condition.level == Level::Nominal;
        // What has failed already is past its ratings.
        for (k, item) in model.items.iter().enumerate().filter(|(k, _)| !broken[*k]) {
            // A module whose outlet is shorted limits itself: that is not what it is used for.
            let used = as_meant && !(tried.shorted && item.role == Role::Output);
            for (n, &value) in measured(item, q).iter() {
                self.worst[k][n][kind].take(Worst { value, at });
                if tried.unended && kind == Situation::SingleFault {
                    self.unended[k][n].take(Worst { value, at });
                }
                if used {
                    self.at_nominal[k][n].take(Worst { value, at });
                }
            }
            self.reverse[k][kind].take(Worst { value: backwards(item, q), at });
            self.swing[k][kind].take(Worst { value: swing(item, q), at });
            self.alternating[k][kind].take(Worst { value: alternating(item, q), at });
            self.taken_back[k][kind].take(Worst { value: taken_back(item, q), at });
            self.direct[k][kind].take(Worst { value: direct(item, q), at });
            self.unbroken[k][kind].take(Worst { value: unbroken(item, q), at });
        }
        for (k, b) in model.conductors.iter().enumerate() {
            let Some(b) = *b else { continue };
            let w = Worst { value: q[b].i_rms, at };
            self.conductors[k][kind].take(w);
            if as_meant {
                self.conductors_nominal[k].take(w);
            }
        }
    }

    /// Takes what happened while a charged thing emptied.
    pub(crate) fn take_put_on(&mut self, model: &Model, t: &Transient, kind: Situation, broken: &[bool], at: Ordinal) {
        let q = &t.branches;
        for (k, item) in model.items.iter().enumerate().filter(|(k, _)| !broken[*k]) {
            let values = measured(item, q);
            let slot = &mut self.put_on[k][kind];
            slot.volts.take(Worst { value: values[Quantity::VoltagePeak], at });
            slot.reverse.take(Worst { value: backwards(item, q), at });
            slot.amperes.take(Worst { value: values[Quantity::CurrentPeak], at });
            if let Measure::Branch(b) = item.measure {
                slot.i2t.take(Worst { value: t.i2t[b], at });
            }
        }
    }

    /// Takes a touch that is ended later than the published disconnection time.
    pub(crate) fn take_late(&mut self, whom: TouchTarget, t: TouchWorst) {
        match whom {
            TouchTarget::One(k) => self.late[k].take(t),
            TouchTarget::Pair(k) => self.late_pairs[k].take(t),
        }
    }

    /// Joins another one of the same jig.
    pub(crate) fn merge(&mut self, other: Lasting) {
        fn each<T>(mine: &mut [T], theirs: impl IntoIterator<Item = T>, join: impl Fn(&mut T, T)) {
            mine.iter_mut().zip(theirs).for_each(|(m, t)| join(m, t));
        }
        each(&mut self.worst, other.worst, |mine, theirs| mine.join(theirs, ByFault::merge));
        each(&mut self.unended, other.unended, |mine, theirs| mine.join(theirs, Gravest::merge));
        each(&mut self.at_nominal, other.at_nominal, |mine, theirs| mine.join(theirs, Gravest::merge));
        each(&mut self.reverse, other.reverse, ByFault::merge);
        each(&mut self.swing, other.swing, ByFault::merge);
        each(&mut self.alternating, other.alternating, ByFault::merge);
        each(&mut self.direct, other.direct, ByFault::merge);
        each(&mut self.taken_back, other.taken_back, ByFault::merge);
        each(&mut self.unbroken, other.unbroken, ByFault::merge);
        each(&mut self.conductors, other.conductors, ByFault::merge);
        each(&mut self.conductors_nominal, other.conductors_nominal, Gravest::merge);
        each(&mut self.inrush, other.inrush, Gravest::merge);
        each(&mut self.inrush_volts, other.inrush_volts, Gravest::merge);
        each(&mut self.inrush_i2t, other.inrush_i2t, Gravest::merge);
        each(&mut self.inrush_again, other.inrush_again, Gravest::merge);
        each(&mut self.inrush_again_i2t, other.inrush_again_i2t, Gravest::merge);
        each(&mut self.dumped, other.dumped, Gravest::merge);
        each(&mut self.kept, other.kept, Gravest::merge);
        each(&mut self.put_on, other.put_on, |mine, mut theirs| {
            for kind in [Situation::Normal, Situation::SingleFault] {
                let PutOn { volts, reverse, amperes, i2t } = std::mem::take(&mut theirs[kind]);
                mine[kind].volts.merge(volts);
                mine[kind].reverse.merge(reverse);
                mine[kind].amperes.merge(amperes);
                mine[kind].i2t.merge(i2t);
            }
        });
        each(&mut self.late, other.late, Gravest::merge);
        each(&mut self.late_pairs, other.late_pairs, Gravest::merge);
        self.heat.merge(other.heat);
        self.heat_with_lamps.merge(other.heat_with_lamps);
        self.heat_unended.merge(other.heat_unended);
        self.slow.merge(other.slow);
        self.unseen.merge(other.unseen);
        each(&mut self.outlets, other.outlets, ByFault::merge);
        for (device, theirs) in other.opened {
            self.opened.entry(device).or_default().merge(theirs);
        }
    }
}
