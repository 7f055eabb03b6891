//! What was tried, as rows: the list of conditions, what ends which fault, one condition in full. Judges nothing.

use crate::finding::conditions::{Cleared, NetState, Opens, PartState, Replay, StepValues, TouchState, Tried};
use crate::finding::{Finding, Quantity, Signal};
use crate::jig::{Jig, LoadKind, PartKind};
use crate::part::Switch;
use crate::survey::condition::{Condition, END, Fault, Moment, fault_id};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::ledger::Outcome;
use crate::survey::model::Model;
use crate::survey::settings::switch_parts;
use crate::survey::{Survey, clearing, faults, replay};

use super::{Case, fault_name};
use crate::wording;
use std::collections::HashSet;

/// The name `--only` takes for the condition without a fault.
pub(crate) const NO_FAULT: &str = "no-fault";

/// Every condition, numbered from 1.
pub(crate) fn tried(jig: &Jig, survey: &Survey) -> Vec<Tried> {
    (0..survey.ledger.tried.len()).map(|k| row(jig, survey, k)).collect()
}

pub(super) fn row(jig: &Jig, survey: &Survey, k: usize) -> Tried {
    let items = &survey.model.items;
    let t = &survey.ledger.tried[k];
    let c = &t.condition;
    let mains = jig.supply.mains.is_some();
    let supply = c.level.word();
    let plug = wording::condition::orientation(c.orientation);
    let ends = survey.model.toleranced.iter().zip(&c.corner).filter(|(_, sign)| **sign != 0);
    let mut out = Tried {
        number: Some(k + 1),
        condition: wording::condition::words(jig, &survey.model, c),
        faults: c.faults.iter().map(|f| fault_id(jig, items, f)).collect(),
        supply: mains.then_some(supply),
        plug: mains.then_some(plug),
        switches: switches(jig, c),
        loads: loads(jig, c),
        tolerances: ends.map(|(v, at)| (jig.parts[v.part].name.clone(), f64::from(*at) / f64::from(END))).collect(),
        moment: wording::condition::moment(jig, &survey.model, &c.moment),
        outcome: "solved",
        cleared_by: None,
        within_seconds: None,
        amperes: None,
        why: None,
        ordinal: t.ordinal,
        in_full: wording::condition::in_full(jig, &survey.model, c),
    };
    match &t.outcome {
        Outcome::Solved => {}
        Outcome::Cleared { by, within, amperes, .. } => {
            out.outcome = "cleared";
            (out.cleared_by, out.within_seconds, out.amperes) =
                (Some(wording::device::name(&survey.model, *by).to_string()), Some(*within), Some(*amperes));
        }
        Outcome::Unsolved(why) => {
            out.outcome = "unsolved";
            out.why = Some(wording::condition::why(&survey.model, why));
        }
    }
    out
}

fn switches(jig: &Jig, c: &Condition) -> std::collections::BTreeMap<String, String> {
    let word = |(k, position): (usize, &usize)| {
        let part = &jig.parts[k];
        let PartKind::Switch(Switch { contacts, .. }) = &part.kind else { return None };
        let word = wording::condition::position(contacts, *position)?;
        Some((part.name.clone(), word.to_string()))
    };
    switch_parts(jig).into_iter().zip(&c.switches).filter_map(word).collect()
}

fn loads(jig: &Jig, c: &Condition) -> std::collections::BTreeMap<String, String> {
    let word = |(o, l): (&crate::jig::Outlet, &usize)| {
        Some((o.name.clone(), wording::condition::load(o.loads.get(*l)?).to_string()))
    };
    jig.outlets.iter().zip(&c.loads).filter_map(word).collect()
}

/// What a protective device ends: one row a fault and device, with its slowest condition. What it ends without the fault
/// too, such as a shorted outlet, is not the fault's doing and counts there.
pub(super) fn cleared(case: &Case) -> Vec<Cleared> {
    let (jig, survey) = (case.jig, case.survey);
    let mut rows: Vec<(Cause, usize, Cleared)> = vec![];
    let setting = |c: &Condition, by: usize| (c.level, c.orientation, c.switches.clone(), c.loads.clone(), by);
    let name = |protector: usize| wording::device::name(&survey.model, protector).to_string();
    let mut anyway = HashSet::new();
    for t in &survey.ledger.tried {
        let Outcome::Cleared { by, within, amperes, also, .. } = &t.outcome else { continue };
        let faults = &t.condition.faults;
        if faults.is_empty() {
            anyway.insert(setting(&t.condition, *by));
        }
        // Conditions without a fault come first.
        let own = !faults.is_empty() && !anyway.contains(&setting(&t.condition, *by));
        let cause = if own { Cause::Faults(faults.to_vec()) } else { Cause::Loads(loaded(jig, &t.condition)) };
        let found = rows.iter().position(|(of, device, _)| device == by && *of == cause).unwrap_or_else(|| {
            let row = Cleared {
                fault: cause.words(jig, survey),
                by: name(*by),
                within_seconds: 0.0,
                amperes: 0.0,
                conditions: 0,
                also: vec![],
                condition: String::new(),
            };
            rows.push((cause, *by, row));
            rows.len() - 1
        });
        let r = &mut rows[found].2;
        r.conditions += 1;
        if *within > r.within_seconds || r.conditions == 1 {
            (r.within_seconds, r.amperes) = (*within, *amperes);
            r.condition = wording::condition::words(jig, &survey.model, &t.condition);
        }
        for other in also.iter().map(|(k, _)| name(*k)) {
            if !r.also.contains(&other) {
                r.also.push(other);
            }
        }
    }
    rows.into_iter().map(|(_, _, row)| row).collect()
}

/// What makes a device open.
#[derive(PartialEq)]
enum Cause {
    /// What has failed.
    Faults(Vec<Fault>),
    /// Without a fault: what hangs on the outlets (outlet, load), or what a switch has closed.
    Loads(Vec<(usize, usize)>),
}

impl Cause {
    fn words(&self, jig: &Jig, survey: &Survey) -> String {
        match self {
            Cause::Faults(faults) => wording::condition::faults(jig, &survey.model, faults),
            Cause::Loads(loads) => wording::condition::loads(jig, loads),
        }
    }
}

/// Outlets that something hangs on, each with its load.
fn loaded(jig: &Jig, c: &Condition) -> Vec<(usize, usize)> {
    let open =
        |outlet: usize, load: usize| jig.outlets[outlet].loads.get(load).is_none_or(|load| load.kind == LoadKind::Open);
    c.loads.iter().copied().enumerate().filter(|(outlet, load)| !open(*outlet, *load)).collect()
}

/// A condition that was asked for and is not among those tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct NotTried {
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub help: String,
}

/// One condition in full. `wanted` is a number of [`tried`], the short name of a fault, or [`NO_FAULT`]; by name the
/// condition is taken in which the gravest of `findings` is worst, else the first at the highest supply.
///
/// # Errors
/// No such condition was tried.
pub(crate) fn replayed(jig: &Jig, survey: &Survey, findings: &[Finding], wanted: &str) -> Result<Replay, NotTried> {
    let rows = tried(jig, survey);
    let k = match wanted.parse::<usize>() {
        Ok(n) if (1..=rows.len()).contains(&n) => n - 1,
        Ok(_) => {
            let (message, help) = wording::not_tried::number(wanted, rows.len());
            return Err(NotTried { message, help });
        }
        Err(_) => by_name(&rows, findings, wanted)?,
    };
    let same = |r: &&Tried| r.number != Some(k + 1) && r.faults == rows[k].faults && stated(r);
    let others = rows.iter().filter(same).filter_map(|r| r.number).collect();
    Ok(played(jig, survey, k, Replay { tried: rows[k].clone(), states: vec![], others }))
}

/// What a name of a condition asks for: the faults in it.
///
/// # Errors
/// No fault of the jig is called that.
pub(crate) fn named(jig: &Jig, model: &Model, wanted: &str) -> Result<Vec<Fault>, NotTried> {
    if wanted.eq_ignore_ascii_case(NO_FAULT) {
        return Ok(vec![]);
    }
    let faults = faults::list(jig, model).0;
    let names: Vec<String> = faults.iter().map(|f| fault_id(jig, &model.items, f)).collect();
    let short = fault_name::short_name(wanted);
    match names.iter().position(|name| name.eq_ignore_ascii_case(wanted) || name.eq_ignore_ascii_case(&short)) {
        Some(k) => Ok(vec![faults[k].clone()]),
        None => Err(not_named(names.iter().map(String::as_str).collect(), wanted)),
    }
}

/// The one condition of a survey of nothing but these faults: that in which the gravest of `findings` is worst, else the
/// first.
pub(crate) fn only(jig: &Jig, survey: &Survey, findings: &[Finding]) -> Option<Replay> {
    let rows: Vec<Tried> = tried(jig, survey).into_iter().map(|r| Tried { number: None, ..r }).collect();
    let k = of_faults(&rows.iter().enumerate().collect::<Vec<_>>(), findings)?;
    Some(played(jig, survey, k, Replay { tried: rows[k].clone(), states: vec![], others: vec![] }))
}

/// Puts what stands in a condition, step by step, into its replay.
fn played(jig: &Jig, survey: &Survey, k: usize, mut out: Replay) -> Replay {
    let condition = &survey.ledger.tried[k].condition;
    let context = SurveyContext::new(jig, &survey.model, Depth::Steady);
    match replay::replay(&context, condition) {
        Err(why) => {
            (out.tried.outcome, out.tried.why) = ("unsolved", Some(wording::condition::why(&survey.model, &why)))
        }
        Ok(steps) => {
            let mut before = Moment::Steady;
            for step in steps {
                let first = step.opens.first().map(|c| c.protector);
                let when = wording::condition::stands(jig, &survey.model, &before, first);
                out.states.push(state(jig, survey, when, &step));
                before = first.map_or(Moment::Steady, |p| clearing::after(&before, p));
            }
        }
    }
    out
}

/// A steady state with values as stated.
fn stated(r: &Tried) -> bool {
    r.moment.is_empty() && r.tolerances.is_empty()
}

fn by_name(rows: &[Tried], findings: &[Finding], wanted: &str) -> Result<usize, NotTried> {
    let short = fault_name::short_name(wanted);
    let named = |r: &Tried| match r.faults.first() {
        None => wanted.eq_ignore_ascii_case(NO_FAULT),
        Some(f) => f.eq_ignore_ascii_case(wanted) || f.eq_ignore_ascii_case(&short),
    };
    let mine: Vec<(usize, &Tried)> = rows.iter().enumerate().filter(|(_, r)| named(r)).collect();
    of_faults(&mine, findings)
        .ok_or_else(|| not_named(rows.iter().filter_map(|r| r.faults.first()).map(String::as_str).collect(), wanted))
}

/// Of conditions with the same faults, each with its place, that in which the gravest finding is worst; else the first at
/// the highest supply; else the first.
fn of_faults(mine: &[(usize, &Tried)], findings: &[Finding]) -> Option<usize> {
    let mut graver: Vec<&Finding> = findings.iter().filter(|f| f.signal < Signal::Notice).collect();
    graver.sort_by_key(|f| f.signal);
    let worst = graver.iter().find_map(|f| mine.iter().find(|(_, r)| r.moment.is_empty() && r.is_worst_of(f)));
    let high = mine.iter().find(|(_, r)| stated(r) && r.supply != Some("nominal") && r.supply != Some("low"));
    worst.or(high).or(mine.first()).map(|(k, _)| *k)
}

/// What to say where none of the names, those of one fault next to each other, is the one that is wanted.
fn not_named(mut names: Vec<&str>, wanted: &str) -> NotTried {
    let mut known = HashSet::new();
    names.retain(|name| known.insert(*name));
    names.insert(0, NO_FAULT);
    let near = names.iter().max_by(|a, b| {
        let like = |n: &str| strsim::jaro_winkler(&n.to_lowercase(), &wanted.to_lowercase());
        like(a).total_cmp(&like(b))
    });
    let near = near.copied().unwrap_or(NO_FAULT);
    let (message, help) = wording::not_tried::name(wanted, near, &names);
    NotTried { message, help }
}

fn opens(survey: &Survey, c: &clearing::Clearing) -> Opens {
    let device = wording::device::name(&survey.model, c.protector).to_string();
    Opens { device, within_seconds: c.within, amperes: c.amperes }
}

fn state(jig: &Jig, survey: &Survey, when: String, step: &replay::Step) -> StepValues {
    let s = &step.readings;
    let opens = step.opens.iter().map(|c| opens(survey, c)).collect();
    let nets = jig.nets.iter().zip(&s.nets).map(|(net, q)| NetState {
        net: net.name.clone(),
        voltage_rms: q.v_rms,
        voltage_peak: q.v_peak(),
        voltage_mean: q.v_mean,
    });
    let parts = survey.model.items.iter().zip(&s.items).map(|(item, values)| PartState {
        part: item.name.clone(),
        power: values[Quantity::Power],
        voltage_rms: values[Quantity::VoltageRms],
        voltage_peak: values[Quantity::VoltagePeak],
        current_rms: values[Quantity::CurrentRms],
        current_mean: values[Quantity::CurrentMean],
        current_peak: values[Quantity::CurrentPeak],
    });
    let single = jig.touchables.iter().map(|t| t.name.clone());
    let pair = survey.model.pair_probes.iter().map(|(i, j, _)| wording::touching::both(jig, *i, *j));
    let touch = single.chain(pair).zip(&s.touch).map(|(touchable, t)| TouchState {
        touchable,
        voltage_rms: t.voltage_rms,
        voltage_peak: t.voltage_peak,
        voltage_dc: t.voltage_dc,
        current_rms: t.current_rms,
        current_peak: t.current_peak,
    });
    StepValues { when, opens, nets: nets.collect(), parts: parts.collect(), touch: touch.collect() }
}
