//! Files a steady state: as it is, or as what comes before and after protective devices open.

use crate::circuit::{Circuit, Steady};
use crate::finding::Situation;
use crate::part::OnceFailed;
use crate::standard;
use crate::standard::protection::BreakerType;

use super::clearing::{self, Clearing};
use super::condition::{Condition, Fault};
use super::context::SurveyContext;
use super::gravest::Ordinal;
use super::heat;
use super::in_use::{self, Opened};
use super::lasting::Tested;
use super::ledger::Outcome;
use super::model::ProtectorKind;
use super::recorder::Recorder;
use super::records::{Hot, Unseen, Worst};
use super::touch::{Ended, Hand, outlet_touch, touch};
use crate::standard::Level;

/// Files a steady state that has just begun.
pub(super) fn settle(
    context: &SurveyContext,
    circuit: &Circuit,
    condition: Condition,
    s: &Steady,
    recorder: &mut Recorder,
) {
    settle_after(context, circuit, condition, s, 0.0, recorder);
}

/// As [`settle`], so many seconds after the condition began. What the first device leaves may make the next one open; each
/// opens once, so this comes to an end.
fn settle_after(
    context: &SurveyContext,
    circuit: &Circuit,
    condition: Condition,
    s: &Steady,
    elapsed: f64,
    recorder: &mut Recorder,
) {
    let model = context.model;
    let mut opens: Vec<Clearing> = clearing::opens(context.jig, model, &condition, &s.branches).collect();
    let Some(first) = clearing::first(opens.iter().copied()) else {
        let at = recorder.tried(condition.clone(), Outcome::Solved);
        lasts(context, circuit, &condition, s, at, recorder);
        return;
    };
    let used = in_use::is_use(context, &condition, &first, &s.branches);
    let drawn_by = in_use::drawn_by(context, &first, &s.branches);
    let stays = used && !in_use::is_short(context, &opens, &drawn_by);
    opens.retain(|c| c.protector != first.protector);
    let within = elapsed + first.within;
    let outcome = Outcome::Cleared {
        by: first.protector,
        within,
        amperes: first.amperes,
        also: opens.iter().map(|c| (c.protector, c.within)).collect(),
        judged_whole: stays,
    };
    let at = recorder.tried(condition.clone(), outcome);
    if used {
        let opened = Opened { amperes: first.amperes, drawn_by, at };
        recorder.ledger.lasting.opened.entry(first.protector).or_default().take(opened);
    }
    if stays {
        // In use it would go on for ever but for a device that is too small: all else is judged as if it did.
        recorder.ledger.lasting.take(model, &s.branches, &condition, &tested(context, &condition, s), at);
    }
    // Up to the opening it is a transient when it is brief; otherwise it lasts long enough to count.
    let brief = !stays && within <= standard::bench::short_overload_power().1.value;
    let kind = if brief { Situation::Transient } else { condition.kind() };
    if !used && !brief {
        recorder.ledger.lasting.slow.take(context, &condition, &first, &s.branches, at);
    }
    // No disconnection time is asked of a breaker where its standard assures no magnetic level.
    let slow_by_rule = matches!(model.protectors[first.protector].kind, ProtectorKind::Breaker(_, BreakerType::Ul));
    let late = brief && !slow_by_rule && context.disconnection.is_some_and(|limit| within > limit);
    recorder.ledger.take(&model.items, &s.branches, kind, at);
    let hand = Hand { context, circuit, condition: &condition, kind };
    touch(hand, s, if late { Ended::Late } else { Ended::InTimeOrNever }, at, recorder);
    let mut opened = circuit.clone();
    clearing::open(model, first.protector, condition.orientation, &mut opened);
    let after = Condition { moment: clearing::after(&condition.moment, first.protector), ..condition };
    match context.solve(&opened, after.level) {
        Ok(s) => settle_after(context, &opened, after, &s, within, recorder),
        Err(why) => recorder.unsolved(after, why),
    }
}

/// Files a steady state that nothing ends.
fn lasts(
    context: &SurveyContext,
    circuit: &Circuit,
    condition: &Condition,
    s: &Steady,
    at: Ordinal,
    recorder: &mut Recorder,
) {
    let (jig, model) = (context.jig, context.model);
    recorder.strained(clearing::strained(jig, model, condition, &s.branches));
    recorder.ledger.take(&model.items, &s.branches, condition.kind(), at);
    let tested = tested(context, condition, s);
    recorder.ledger.lasting.take(model, &s.branches, condition, &tested, at);
    let faulty = condition.kind() == Situation::SingleFault;
    let heat = if faulty { heat::watts_after_fault } else { heat::watts }(jig, model, &s.branches);
    if tested.unended && faulty {
        recorder.ledger.lasting.heat_unended.take(Hot {
            worst: Worst { value: heat.sure, at },
            part: heat.hottest,
            share: 1.0,
        });
    }
    let lasting = &mut recorder.ledger.lasting;
    lasting.heat[condition.kind()].take(Hot { worst: Worst { value: heat.sure, at }, part: heat.hottest, share: 1.0 });
    lasting.heat_with_lamps[condition.kind()].take(Worst { value: heat.with_lamps, at });
    if let Some((amperes, by)) = clearing::unseen(model, &s.branches) {
        let worst = Worst { value: amperes, at };
        recorder.ledger.lasting.unseen[condition.kind()].take(Unseen { worst, by });
    }
    let hand = Hand { context, circuit, condition, kind: condition.kind() };
    touch(hand, s, Ended::InTimeOrNever, at, recorder);
    if condition.level == Level::High && condition.corner.is_empty() {
        outlet_touch(hand, s, at, recorder);
    }
}

fn tested(context: &SurveyContext, condition: &Condition, s: &Steady) -> Tested {
    Tested {
        broken: broken(context, condition),
        shorted: in_use::shorts_an_outlet(context, condition),
        unended: !clearing::is_between_gates(context.jig, context.model, condition, &s.branches),
    }
}

/// Items that have failed themselves in a condition. A fuse that has opened and a switch still stand their volts; a
/// bridge with one broken arm is a broken bridge.
pub(super) fn broken(context: &SurveyContext, condition: &Condition) -> Vec<bool> {
    let items = &context.model.items;
    let mut out = vec![false; items.len()];
    for f in &condition.faults {
        let (Fault::Open(k) | Fault::Short(k)) = f else { continue };
        let part = items[*k].part;
        match context.jig.parts[part].kind.once_failed() {
            OnceFailed::StandsItsVolts => {}
            OnceFailed::ItemIsBroken => out[*k] = true,
            OnceFailed::PartIsBroken => {
                out.iter_mut().zip(items).filter(|(_, i)| i.part == part).for_each(|(b, _)| *b = true);
            }
        }
    }
    out
}
