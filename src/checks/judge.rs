//! Runs every check on a surveyed jig and gathers what they say, in one place: acceptance, order, the tables.

use crate::finding::said::Acceptance;
use crate::finding::{
    Accepted, CheckId, CheckName, Discharge, Finding, Judgement, Quantity, Said, Signal, Situation, Stress, Touch,
};
use crate::jig::{Accept, Jig};
use crate::standard::rules;
use crate::survey::Survey;
use crate::survey::records::{Left, TouchWorst};
use crate::wording;
use std::collections::BTreeSet;

use super::{Case, Draft, Proposal, all, rating};

const KINDS: [Situation; 3] = [Situation::Normal, Situation::SingleFault, Situation::Transient];

/// Judges a surveyed jig. `today` is an ISO date (yyyy-mm-dd): acceptances past it have lapsed.
pub(crate) fn judge(jig: &Jig, survey: &Survey, today: &str) -> Judgement {
    let mut judgement = judge_and_propose(jig, survey, today).0;
    fold_twins(&mut judgement);
    judgement
}

/// Tells twins of one cause once: the last step, when remedies are worded.
pub(crate) fn fold_twins(judgement: &mut Judgement) {
    judgement.findings = super::twins::fold(std::mem::take(&mut judgement.findings));
}

/// As [`judge`], with what may cure each finding, in the order of the findings.
pub(crate) fn judge_and_propose(jig: &Jig, survey: &Survey, today: &str) -> (Judgement, Vec<Vec<Proposal>>) {
    let case = Case::new(jig, survey);
    let mut drafts = vec![];
    for check in all() {
        (check.run)(&case, &mut drafts);
    }
    let mut drafts: Vec<Draft> = drafts.into_iter().map(|d| d.worded(&case.known())).collect();
    let lapsed = acceptances(&case, &mut drafts, today);
    drafts.extend(lapsed);
    drafts.sort_by(|a, b| {
        let (a, b) = (&a.finding, &b.finding);
        (a.signal, a.place.line, a.place.column, &a.check, &a.parts).cmp(&(
            b.signal,
            b.place.line,
            b.place.column,
            &b.check,
            &b.parts,
        ))
    });
    drafts.dedup_by(|a, b| a.finding == b.finding);
    let (findings, proposals) = drafts.into_iter().map(|d| (d.finding, d.proposals)).unzip();
    let judgement = Judgement {
        date: today.to_string(),
        jig_name: jig.name.clone(),
        jig_file: jig.file.clone(),
        jig_sha256: jig.sha256.clone(),
        conditions: survey.count(),
        findings,
        stresses: stresses(&case),
        touch: touch(&case),
        discharge: discharge(&case),
        plugins: vec![],
        only: false,
        not_checked: wording::left_out::left_out(jig, survey)
            .into_iter()
            .chain(wording::left_out::of_the_box(jig))
            .chain(wording::left_out::links_on_unknown_heat(jig))
            .chain(super::matrix::unjudged(jig).into_iter().map(|(part, key)| wording::left_out::unjudged(part, key)))
            .collect(),
        assumed: super::assumed::assumed(jig, survey),
        unit_without_checks: None,
        let_pass: vec![],
        cleared: super::conditions::cleared(&case),
        tried: None,
        replay: None,
        double_faults: None,
        measure_first: None,
    };
    (judgement, proposals)
}

/// Marks accepted findings; an acceptance that has lapsed or matches nothing is itself told.
fn acceptances(case: &Case, drafts: &mut [Draft], today: &str) -> Vec<Draft> {
    let one = |a| accept_by(case, a, drafts.iter_mut().map(|d| &mut d.finding), today);
    case.jig.accepts.iter().filter_map(one).collect()
}

/// Whether an acceptance is about a finding. A plugin's is named with the plugin, `ID/CHECK`; its check alone will do where
/// the core has none of that name, so that what was accepted of the core is never taken for that of a plugin.
fn fits(a: &Accept, f: &Finding) -> bool {
    let named = match &f.check {
        CheckName::Core(id) => id.name() == a.check,
        CheckName::Plugin(name) => {
            let id = f.source_of_check.split('@').next().unwrap_or_default();
            a.check == format!("{id}/{name}") || (a.check == *name && CheckId::named(name).is_none())
        }
    };
    named && a.part.as_ref().is_none_or(|p| f.parts.contains(p))
}

/// Marks what one acceptance fits. Tells what is wrong with the acceptance itself.
fn accept_by<'f>(
    case: &Case,
    a: &Accept,
    findings: impl Iterator<Item = &'f mut Finding>,
    today: &str,
) -> Option<Draft> {
    let lapsed = a.until.as_str() < today;
    let mut met = false;
    for f in findings.filter(|f| fits(a, f)) {
        met = true;
        if !lapsed {
            f.accepted = Some(Accepted { reason: a.reason.clone(), by: a.by.clone(), until: a.until.clone() });
        }
    }
    if met && !lapsed {
        return None;
    }
    let check = a.check.clone();
    let said =
        if met { Acceptance::Lapsed { check, until: a.until.clone() } } else { Acceptance::MatchesNothing { check } };
    let draft = case.at(CheckId::Acceptance, Signal::Notice, a.place).source(&rules::acceptance_ends());
    Some(draft.states(Said::Acceptance(said)).worded(&case.known()))
}

/// Adds findings that others than the built-in checks have made: what the file accepts is marked, and an acceptance that
/// was told as matching nothing and matches one of these is told so no longer.
pub(crate) fn add(jig: &Jig, survey: &Survey, judgement: &mut Judgement, mut others: Vec<Finding>, today: &str) {
    let case = Case::new(jig, survey);
    for a in &jig.accepts {
        if !others.iter().any(|f| fits(a, f)) {
            continue;
        }
        // One word must not cover the checks of two plugins.
        let of: BTreeSet<&str> = others.iter().filter(|f| fits(a, f)).map(|f| f.source_of_check.as_str()).collect();
        if of.len() > 1 {
            continue;
        }
        let place = case.place(a.place);
        judgement.findings.retain(|f| !(f.check == CheckId::Acceptance && f.place == place));
        let lapsed = accept_by(&case, a, others.iter_mut(), today);
        judgement.findings.extend(lapsed.map(|d| d.finding));
    }
    judgement.findings.append(&mut others);
    // Stable: those of one signal word stay in the order they came in.
    judgement.findings.sort_by_key(|f| f.signal);
}

fn stresses(case: &Case) -> Vec<Stress> {
    let mut out = vec![];
    for (k, item) in case.survey.model.items.iter().enumerate() {
        for quantity in Quantity::ALL {
            for kind in KINDS {
                let Some(w) = case.survey.ledger.get(k, quantity, kind) else { continue };
                // A pulse is judged by its energy and its crest, not against ratings for what lasts.
                let lasting = [Quantity::Power, Quantity::CurrentRms, Quantity::CurrentMean].contains(&quantity);
                let rating = if kind == Situation::Transient && lasting { None } else { rating(case, item, quantity) };
                out.push(Stress {
                    part: item.name.clone(),
                    quantity,
                    nominal: case.nominal(k, quantity),
                    value: w.value,
                    unit: quantity.unit(),
                    rating,
                    margin: rating.filter(|_| w.value > 0.0).map(|r| r / w.value),
                    condition: wording::condition::at(case.jig, case.survey, w.at),
                    kind,
                });
            }
        }
    }
    out
}

fn touch(case: &Case) -> Vec<Touch> {
    let (jig, survey) = (case.jig, case.survey);
    let row = |touchable: String, kind: Situation, t: TouchWorst| Touch {
        touchable,
        voltage_rms: t.voltage_rms,
        voltage_peak: t.voltage_peak,
        voltage_dc: t.voltage_dc,
        current_rms: t.current_rms,
        current_peak: t.current_peak,
        unweighted_rms: t.unweighted[0],
        unweighted_peak: t.unweighted[1],
        condition: wording::condition::at(jig, survey, t.at),
        kind,
    };
    let mut out = vec![];
    for (k, touchable) in jig.touchables.iter().enumerate() {
        for kind in KINDS {
            if let Some(t) = survey.ledger.touch_of(k, kind) {
                out.push(row(touchable.name.clone(), kind, t));
            }
        }
    }
    for (k, (i, j, _)) in survey.model.pair_probes.iter().enumerate() {
        for kind in KINDS {
            if let Some(t) = survey.ledger.pair_of(k, kind) {
                out.push(row(wording::touching::both(jig, *i, *j), kind, t));
            }
        }
    }
    out
}

fn discharge(case: &Case) -> Vec<Discharge> {
    // Of one time the most volts, whichever rules they break.
    let mut worst: Vec<&Left> = vec![];
    let same =
        |a: &Left, b: &Left| (a.kind, a.took, a.between) == (b.kind, b.took, b.between) && a.seconds == b.seconds;
    for l in case.survey.ledger.left().filter(|l| l.took || l.seconds > 0.0) {
        match worst.iter_mut().find(|w| !l.took && same(w, l)) {
            Some(w) if l.volts > w.volts => *w = l,
            Some(_) => {}
            None => worst.push(l),
        }
    }
    let row = |l: &Left| {
        let discharge = Discharge {
            between: l.between.map(|side| wording::charge::side(case.jig, side)),
            seconds: l.seconds,
            volts: l.volts,
            condition: wording::condition::at(case.jig, case.survey, l.at),
        };
        (l.kind, discharge)
    };
    let mut rows: Vec<(Situation, Discharge)> = worst.into_iter().map(row).collect();
    rows.sort_by(|a, b| (a.0, &a.1.between).cmp(&(b.0, &b.1.between)).then(a.1.seconds.total_cmp(&b.1.seconds)));
    rows.into_iter().map(|(_, discharge)| discharge).collect()
}
