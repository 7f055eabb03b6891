//! The energy of a moment in every item that has not failed itself.

use crate::circuit::Transient;
use crate::part::Measure;

use super::condition::Condition;
use super::context::SurveyContext;
use super::gravest::Ordinal;
use super::recorder::Recorder;
use super::records::Pulse;
use super::settle::broken;

/// Files the pulse through every item.
pub(super) fn pulses(
    context: &SurveyContext,
    condition: &Condition,
    t: &Transient,
    at: Ordinal,
    recorder: &mut Recorder,
) {
    let broken = broken(context, condition);
    for (k, item) in context.model.items.iter().enumerate().filter(|(k, _)| !broken[*k]) {
        let b = match &item.measure {
            Measure::Branch(b) => *b,
            Measure::Series(list, _) => list[0],
            Measure::Bridge(_) => continue,
        };
        let q = &t.branches[b];
        let pulse = Pulse { energy: t.energy[b], peak: q.v_peak() * q.i_peak(), i2t: t.i2t[b], seconds: t.seconds, at };
        recorder.ledger.take_pulse(k, condition.kind(), pulse);
    }
}
