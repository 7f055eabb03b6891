//! What goes on for ever, kept apart from what a protective device ends: continuous ratings and fuses are judged by the
//! first, never by a current that a fuse is there to interrupt. Also what is seen in a moment and belongs to no fault.

use crate::circuit::Quantities;
use crate::finding::{PerQuantity, Quantity};

use super::ledger::{Ordinal, TouchWorst, Worst};
use super::measured::{backwards, measured};
use super::model::Item;

/// Worst values of lasting conditions. The last index is 0 without and 1 with a fault.
#[derive(Debug, Clone, Default)]
pub struct Lasting {
    /// [item][quantity][fault].
    pub worst: Vec<PerQuantity<[Option<Worst>; 2]>>,
    /// [item][quantity] at nominal supply, without a fault.
    pub at_nominal: Vec<PerQuantity<Option<Worst>>>,
    /// [item][fault]: how far the first end gets below the second, volts.
    pub reverse: Vec<[Option<Worst>; 2]>,
    /// [L, N, PE][fault]: amperes r.m.s. in the supply's conductors.
    pub conductors: [[Option<Worst>; 2]; 3],
    /// [L, N, PE] at nominal supply, without a fault.
    pub conductors_nominal: [Option<Worst>; 3],
    /// [item]: highest amperes at switch-on, without a fault and with no outlet shorted.
    pub inrush: Vec<Option<Worst>>,
    /// [item]: A² s of the first mains cycle, likewise.
    pub inrush_i2t: Vec<Option<Worst>>,
    /// [item][fault]: crests while a charged thing that was put on empties.
    pub put_on: Vec<[PutOn; 2]>,
    /// [touchable]: touch up to the opening of a device that takes longer than the published disconnection time.
    pub late: Vec<Option<TouchWorst>>,
    /// [pair]: likewise.
    pub late_pairs: Vec<Option<TouchWorst>>,
    /// [outlet][fault]: a hand on one terminal of an isolated outlet, the other hand on earth.
    pub outlets: Vec<[Option<TouchWorst>; 2]>,
}

/// Crests of one item while a charged thing empties.
#[derive(Debug, Clone, Copy, Default)]
pub struct PutOn {
    /// Volts either way.
    pub volts: Option<Worst>,
    /// Volts by which the first end gets below the second.
    pub reverse: Option<Worst>,
    /// Amperes either way.
    pub amperes: Option<Worst>,
}

impl Lasting {
    /// Empty, for so many items, touchables, pairs and outlets.
    pub fn new(items: usize, touchables: usize, pairs: usize, outlets: usize) -> Lasting {
        Lasting {
            worst: vec![PerQuantity::default(); items],
            at_nominal: vec![PerQuantity::default(); items],
            reverse: vec![[None; 2]; items],
            inrush: vec![None; items],
            inrush_i2t: vec![None; items],
            put_on: vec![[PutOn::default(); 2]; items],
            late: vec![None; touchables],
            late_pairs: vec![None; pairs],
            outlets: vec![[None; 2]; outlets],
            ..Lasting::default()
        }
    }

    /// Takes a steady state that nothing ends.
    pub fn take(
        &mut self,
        items: &[Item],
        conductors: &[Option<usize>; 3],
        q: &[Quantities],
        (fault, nominal): (bool, bool),
        broken: &[bool],
        at: Ordinal,
    ) {
        let f = usize::from(fault);
        for (k, item) in items.iter().enumerate() {
            // What has failed already is past its ratings.
            if broken[k] {
                continue;
            }
            for (n, &value) in measured(item, q).iter() {
                Worst::meet(&mut self.worst[k][n][f], Worst { value, at });
                if nominal && !fault {
                    Worst::meet(&mut self.at_nominal[k][n], Worst { value, at });
                }
            }
            Worst::meet(&mut self.reverse[k][f], Worst { value: backwards(item, q), at });
        }
        for (k, b) in conductors.iter().enumerate() {
            let Some(b) = *b else { continue };
            let w = Worst { value: q[b].i_rms, at };
            Worst::meet(&mut self.conductors[k][f], w);
            if nominal && !fault {
                Worst::meet(&mut self.conductors_nominal[k], w);
            }
        }
    }

    /// Takes what happened while a charged thing emptied.
    pub fn take_put_on(&mut self, items: &[Item], q: &[Quantities], fault: bool, broken: &[bool], at: Ordinal) {
        for (k, item) in items.iter().enumerate().filter(|(k, _)| !broken[*k]) {
            let values = measured(item, q);
            let slot = &mut self.put_on[k][usize::from(fault)];
            Worst::meet(&mut slot.volts, Worst { value: values[Quantity::VoltagePeak], at });
            Worst::meet(&mut slot.reverse, Worst { value: backwards(item, q), at });
            Worst::meet(&mut slot.amperes, Worst { value: values[Quantity::CurrentPeak], at });
        }
    }

    /// Joins another one of the same jig.
    pub fn merge(&mut self, other: Lasting) {
        fn slots(mine: &mut [Option<Worst>], theirs: &[Option<Worst>]) {
            for (m, t) in mine.iter_mut().zip(theirs) {
                if let Some(w) = *t {
                    Worst::meet(m, w);
                }
            }
        }
        fn touches(mine: &mut [Option<TouchWorst>], theirs: &[Option<TouchWorst>]) {
            for (m, t) in mine.iter_mut().zip(theirs) {
                if let Some(t) = *t {
                    t.meet(m);
                }
            }
        }
        for k in 0..self.worst.len() {
            for (n, mine) in self.worst[k].iter_mut() {
                slots(mine, &other.worst[k][n]);
            }
            for (n, mine) in self.at_nominal[k].iter_mut() {
                slots(std::slice::from_mut(mine), &[other.at_nominal[k][n]]);
            }
            slots(&mut self.reverse[k], &other.reverse[k]);
            for (mine, theirs) in self.put_on[k].iter_mut().zip(&other.put_on[k]) {
                for (m, t) in [
                    (&mut mine.volts, theirs.volts),
                    (&mut mine.reverse, theirs.reverse),
                    (&mut mine.amperes, theirs.amperes),
                ] {
                    slots(std::slice::from_mut(m), &[t]);
                }
            }
        }
        for k in 0..3 {
            slots(&mut self.conductors[k], &other.conductors[k]);
        }
        slots(&mut self.conductors_nominal, &other.conductors_nominal);
        slots(&mut self.inrush, &other.inrush);
        slots(&mut self.inrush_i2t, &other.inrush_i2t);
        touches(&mut self.late, &other.late);
        touches(&mut self.late_pairs, &other.late_pairs);
        for k in 0..self.outlets.len() {
            touches(&mut self.outlets[k], &other.outlets[k]);
        }
    }
}
