//! What a hand draws from everything that can be touched, through the published body network. Judges nothing.

use crate::circuit::{Circuit, Felt, Quantities, Steady};
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
    /// What the hand draws between two nets (or a net and earth) that stand at what `probe` reads before they are touched.
    /// `None` where what that voltage can drive through the network's resistance at most shows that nothing is near a
    /// limit.
    pub(super) fn draws(
        &self,
        s: &Steady,
        probe: usize,
        nets: (NetId, Option<NetId>),
        at: Ordinal,
    ) -> Result<Option<TouchWorst>, NotSolved> {
        // No limit: what is hazardous needs a voltage share above 1, so below this one nothing needs to be solved.
        const CLOSE: f64 = 0.5;
        let felt = s.felt.iter().any(|felt| felt.probe == probe);
        let worth = felt || voltage_share(self.context.limits(self.kind), &s.branches[probe]) > CLOSE;
        if worth { self.drawn(s, probe, nets, at).map(Some) } else { Ok(None) }
    }

    /// The same, always solved: with the body network put on, or by what strays drive through it where nothing else does.
    pub(super) fn drawn(
        &self,
        s: &Steady,
        probe: usize,
        (from, to): (NetId, Option<NetId>),
        at: Ordinal,
    ) -> Result<TouchWorst, NotSolved> {
        let limits = self.context.limits(self.kind);
        if let Some(felt) = s.felt.iter().find(|felt| felt.probe == probe) {
            return Ok(felt_by_strays(limits, felt, at));
        }
        let q = &s.branches[probe];
        let mut with = self.circuit.clone();
        with.hands.clear();
        let put = self.context.model.touch(&mut with, from, to);
        let solved = self.context.solve_near(&with, self.condition.level, s)?;
        let (body, reader) = (&solved.branches[put.body], &solved.branches[put.reader]);
        let over = |volts: f64| volts / standard::touch::body_network().rb;
        let read = [over(reader.v_rms), over(reader.v_mean), over(reader.v_max), over(reader.v_min)];
        let volts = [q.v_rms, q.v_mean, q.v_max, q.v_min];
        Ok(TouchWorst {
            voltage_rms: q.v_rms,
            voltage_peak: q.v_peak(),
            voltage_dc: q.v_mean,
            current_rms: read[0],
            current_peak: over(reader.v_peak()),
            current_dc: read[1],
            unweighted: [body.i_rms, body.i_peak()],
            hazard: voltage_share_of(limits, volts).min(current_share(limits, read)),
            at,
        })
    }
}

/// What a hand feels where only stray capacitances hold what it touches. They carry no d.c.
fn felt_by_strays(limits: &TouchLimits, felt: &Felt, at: Ordinal) -> TouchWorst {
    let alternating = |[rms, peak]: [f64; 2]| [rms, 0.0, peak, -peak];
    TouchWorst {
        voltage_rms: felt.volts[0],
        voltage_peak: felt.volts[1],
        voltage_dc: 0.0,
        current_rms: felt.read[0],
        current_peak: felt.read[1],
        current_dc: 0.0,
        unweighted: felt.amperes,
        hazard: voltage_share_of(limits, alternating(felt.volts)).min(current_share(limits, alternating(felt.read))),
        at,
    }
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
    voltage_share_of(l, [q.v_rms, q.v_mean, q.v_max, q.v_min])
}

/// The same from volts r.m.s., mean, largest and least.
fn voltage_share_of(l: &TouchLimits, volts: [f64; 4]) -> f64 {
    share(volts, l.voltage_rms.value, l.voltage_peak.value, l.voltage_dc.value)
}

/// Beyond 1 the current, amperes r.m.s., mean, largest and least, is over its limit.
fn current_share(l: &TouchLimits, amperes: [f64; 4]) -> f64 {
    share(amperes, l.current_rms.value, l.current_peak.value, l.current_dc.value)
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
        // The table of normal use is to be exact wherever a meter would show anything.
        let exact = hand.kind == Situation::Normal;
        let drawn = if exact {
            hand.drawn(s, contact.probe, contact.nets, at).map(Some)
        } else {
            hand.draws(s, contact.probe, contact.nets, at)
        };
        match drawn {
            Ok(None) => {}
            Ok(Some(t)) => {
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
            match hand.drawn(s, *probe, (net, None), at) {
                Ok(t) => recorder.ledger.lasting.outlets[k][hand.kind].take(t),
                Err(why) => {
                    recorder.unsolved(Condition { moment: Moment::OutletTouched(k), ..condition.clone() }, why);
                }
            }
        }
    }
}
