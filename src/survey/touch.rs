//! What a hand draws from everything that can be touched, through the published body network. Judges nothing.

use crate::circuit::{Circuit, Quantities, Steady};
use crate::finding::Situation;
use crate::jig::{LoadKind, NetId};
use crate::standard;
use crate::standard::touch::TouchLimits;

use super::condition::{Condition, Fault, Moment};
use super::context::SurveyContext;
use super::gravest::Ordinal;
use super::recorder::Recorder;
use super::records::{TouchTarget, TouchWorst};
use super::unsolved::NotSolved;

/// A place for a hand: what is touched, the voltmeter on it, its net and that of the other hand (earth where none).
#[derive(Debug, Clone, Copy)]
pub(super) struct Contact {
    pub(super) whom: TouchTarget,
    pub(super) probe: usize,
    pub(super) nets: (NetId, Option<NetId>),
}

/// Every touchable with the other hand on earth, then every two of them.
pub(super) fn contacts<'a>(context: &'a SurveyContext) -> impl Iterator<Item = Contact> + 'a {
    let (jig, model) = (context.jig, context.model);
    let net = |k: usize| jig.touchables[k].net;
    let singles = model.touch_probes.iter().enumerate();
    let singles = singles.map(move |(k, p)| Contact { whom: TouchTarget::One(k), probe: *p, nets: (net(k), None) });
    let pairs = model.pair_probes.iter().enumerate();
    let pairs = pairs.map(move |(k, (i, j, p))| Contact {
        whom: TouchTarget::Pair(k),
        probe: *p,
        nets: (net(*i), Some(net(*j))),
    });
    singles.chain(pairs)
}

/// The circuit a hand is put on, and the kind of condition that sets its limits.
#[derive(Clone, Copy)]
pub(super) struct Hand<'a> {
    pub(super) context: &'a SurveyContext<'a>,
    pub(super) circuit: &'a Circuit,
    pub(super) condition: &'a Condition,
    pub(super) kind: Situation,
}

impl Hand<'_> {
    /// What a hand draws between two nets (or a net and earth) that stand at `q` before they are touched. The body network
    /// is put on where the open-circuit voltage could matter, and in normal condition wherever there is any; elsewhere the
    /// voltage over the network's resistance bounds the current.
    pub(super) fn draws(
        &self,
        q: &Quantities,
        (from, to): (NetId, Option<NetId>),
        at: Ordinal,
    ) -> Result<TouchWorst, NotSolved> {
        // No limit: what is hazardous needs a voltage share above 1, so below this one the cheap bound is enough. In normal
        // condition the table of touch values is to be exact wherever a meter would show anything.
        const CLOSE: f64 = 0.5;
        const SHOWN: f64 = 1e-3;
        let limits = self.context.limits(self.kind);
        let v = voltage_share(limits, q);
        let worth = v > CLOSE || (self.kind == Situation::Normal && v > SHOWN);
        let drawn = if worth {
            let mut with = self.circuit.clone();
            let branch = self.context.model.touch(&mut with, from, to);
            self.context.solve(&with, self.condition.level)?.branches[branch]
        } else {
            bound(q)
        };
        Ok(TouchWorst {
            voltage_rms: q.v_rms,
            voltage_peak: q.v_peak(),
            voltage_dc: q.v_mean,
            current_rms: drawn.i_rms,
            current_peak: drawn.i_peak(),
            current_dc: drawn.i_mean,
            hazard: v.min(current_share(limits, &drawn)),
            at,
        })
    }
}

/// The most that a voltage can drive through the body network.
fn bound(q: &Quantities) -> Quantities {
    let body = standard::touch::body_network();
    let over = body.rs + body.rb;
    Quantities { i_rms: q.v_rms / over, i_mean: q.v_mean / over, i_max: q.v_max / over, i_min: q.v_min / over, ..*q }
}

/// Share of its limits a waveform takes: d.c. and a.c. parts added, the a.c. part by r.m.s. or crest, whichever is more.
fn share(q: [f64; 4], rms: f64, peak: f64, dc: f64) -> f64 {
    let [r, mean, max, min] = q;
    let ac = (r * r - mean * mean).max(0.0).sqrt();
    let crest = (max - mean).max(mean - min);
    standard::touch::combined_share(mean, dc, ac, rms).max(standard::touch::combined_share(mean, dc, crest, peak))
}

/// Beyond 1 the voltage is over its limit.
fn voltage_share(l: &TouchLimits, q: &Quantities) -> f64 {
    share([q.v_rms, q.v_mean, q.v_max, q.v_min], l.voltage_rms.value, l.voltage_peak.value, l.voltage_dc.value)
}

/// Beyond 1 the current is over its limit.
fn current_share(l: &TouchLimits, q: &Quantities) -> f64 {
    share([q.i_rms, q.i_mean, q.i_max, q.i_min], l.current_rms.value, l.current_peak.value, l.current_dc.value)
}

/// Whether a device ends a touch by the published disconnection time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ended {
    /// It does, or nothing ends it.
    InTimeOrNever,
    /// Later.
    Late,
}

/// Files the touch of every touchable and pair.
pub(super) fn touch(hand: Hand, s: &Steady, ended: Ended, at: Ordinal, recorder: &mut Recorder) {
    for contact in contacts(hand.context) {
        match hand.draws(&s.branches[contact.probe], contact.nets, at) {
            Ok(t) => {
                recorder.ledger.take_touch(contact.whom, hand.kind, t);
                if ended == Ended::Late {
                    recorder.ledger.lasting.take_late(contact.whom, t);
                }
            }
            Err(why) => recorder.unsolved(touched(&hand, contact.whom), why),
        }
    }
}

/// The condition with a hand on a touchable.
pub(super) fn touched(hand: &Hand, whom: TouchTarget) -> Condition {
    let touchable = match whom {
        TouchTarget::One(k) => k,
        TouchTarget::Pair(k) => hand.context.model.pair_probes[k].0,
    };
    Condition { moment: Moment::Touched(touchable), ..hand.condition.clone() }
}

/// Files a hand on each terminal of every isolated outlet.
pub(super) fn outlet_touch(hand: Hand, s: &Steady, at: Ordinal, recorder: &mut Recorder) {
    let Hand { context, condition, .. } = hand;
    // A lost insulation on the isolated side alone is the first fault that isolation is there to bear.
    let live = context.model.nets.on_mains();
    let borne = |f: &Fault| matches!(f, Fault::Breakdown(a, b) if !live.has_any(&[*a, *b]));
    if condition.faults.iter().any(borne) {
        return;
    }
    for (k, probes) in context.model.outlet_probes.iter().enumerate() {
        let Some(probes) = probes else { continue };
        let outlet = &context.jig.outlets[k];
        // Both terminals of a shorted outlet are one: nothing that the open one does not show.
        let load = condition.loads.get(k).and_then(|l| outlet.loads.get(*l));
        if load.is_some_and(|l| l.kind == LoadKind::Short) {
            continue;
        }
        for (probe, net) in probes.iter().zip(outlet.across) {
            match hand.draws(&s.branches[*probe], (net, None), at) {
                Ok(t) => recorder.ledger.lasting.outlets[k][hand.kind].take(t),
                Err(why) => {
                    recorder.unsolved(Condition { moment: Moment::OutletTouched(k), ..condition.clone() }, why);
                }
            }
        }
    }
}
