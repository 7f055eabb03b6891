//! Two faults at once: every pair solved, judged by the same checks, and ranked by what no single fault does. A report,
//! never the verdict: the standards ask for one fault at a time, since two independent ones at once are rare.

use std::collections::HashMap;

use crate::finding::conditions::{DoubleFaults, Pair};
use crate::finding::{CheckName, Finding, Signal};
use crate::jig::Jig;
use crate::survey::budget::Budget;
use crate::survey::condition::{Condition, Fault, fault_id};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::ledger::Outcome;
use crate::survey::run::{self, Job};
use crate::survey::threads::{shared_out, threads_for};
use crate::survey::{self, Options, Stage, Survey, Watch, faults};

use crate::wording;

use super::{Case, solved};

/// What a finding is about: two with the same key are the same trouble.
type Key = (CheckName, Vec<String>, Vec<String>, Vec<String>);

fn key(f: &Finding) -> Key {
    (f.check.clone(), f.parts.clone(), f.touchables.clone(), f.nets.clone())
}

/// What one thread gathers.
struct Gathered {
    survey: Survey,
    conditions: usize,
    unsolved: usize,
    ranked: Vec<Pair>,
}

/// Tries all pairs of single faults at the highest supply, values as stated, in the steady state. `findings` are those
/// of the check itself: what they say already is not said again.
pub(crate) fn double_faults(jig: &Jig, findings: &[Finding], options: &Options, watch: &Watch) -> DoubleFaults {
    let (threads, budget) = (options.threads, options.budget);
    let mut base = survey::survey(jig, &Options { faults: 0, threads: 1, budget });
    base.model.base.until = budget.map(|b| b.until);
    let first = base.ledger.tried.last().map_or(0, |t| t.ordinal.0 + 1);
    let singles = faults::list(jig, &base.model).0;
    let pairs = pairs(&singles);
    let mut known: HashMap<Key, Signal> = HashMap::new();
    for f in findings {
        let signal = known.entry(key(f)).or_insert(f.signal);
        *signal = f.signal.min(*signal);
    }
    watch.enter(Stage::Pairs);
    watch.expect(pairs.len());
    let empty = || Gathered { survey: base.clone(), conditions: 0, unsolved: 0, ranked: vec![] };
    let gathered = shared_out(threads_for(threads, pairs.len()), pairs.len(), empty, |out, k| {
        if budget.is_some_and(Budget::is_spent) {
            out.unsolved += 1;
        } else {
            let two = [&singles[pairs[k].0], &singles[pairs[k].1]];
            pair(jig, &base, first, two, &known, out);
        }
        watch.step();
    });
    let mut out = DoubleFaults { pairs: pairs.len(), conditions: 0, unsolved: 0, ranked: vec![] };
    for d in gathered {
        out.conditions += d.conditions;
        out.unsolved += d.unsolved;
        out.ranked.extend(d.ranked);
    }
    out.ranked.sort_by(|a, b| {
        let margin = |p: &Pair| p.finding.margin.unwrap_or(0.0);
        a.finding.signal.cmp(&b.finding.signal).then(margin(a).total_cmp(&margin(b))).then(a.faults.cmp(&b.faults))
    });
    out
}

/// Pairs that can be at once: a part is not both open and shorted.
fn pairs(singles: &[Fault]) -> Vec<(usize, usize)> {
    let item = |f: &Fault| match f {
        Fault::Open(k) | Fault::Short(k) | Fault::Welded(k) => Some(*k),
        Fault::ConductorOpen(_) | Fault::Breakdown(..) | Fault::WindingsJoined(..) => None,
    };
    let at_once = |a: &Fault, b: &Fault| item(a).is_none() || item(a) != item(b);
    let all = (0..singles.len()).flat_map(|a| (a + 1..singles.len()).map(move |b| (a, b)));
    all.filter(|(a, b)| at_once(&singles[*a], &singles[*b])).collect()
}

fn pair(jig: &Jig, base: &Survey, first: u32, two: [&Fault; 2], known: &HashMap<Key, Signal>, out: &mut Gathered) {
    let context = SurveyContext::new(jig, &base.model, Depth::Steady);
    let faults: Vec<Fault> = two.into_iter().cloned().collect();
    let conditions: Vec<Condition> = survey::conditions(jig, &faults);
    out.survey.ledger.clone_from(&base.ledger);
    for (k, condition) in conditions.into_iter().enumerate() {
        let job = Job { number: first + u32::try_from(k).unwrap_or(0), condition };
        run::run(&context, &job, &mut out.survey.ledger);
    }
    let mine = &out.survey.ledger.tried[base.ledger.tried.len()..];
    out.conditions += mine.len();
    out.unsolved += usize::from(mine.iter().any(|t| matches!(t.outcome, Outcome::Unsolved(_))));
    let case = Case::new(jig, &out.survey);
    let mut drafts = vec![];
    solved::LIST.iter().for_each(|check| (check.run)(&case, &mut drafts));
    let new = |f: &Finding| known.get(&key(f)).is_none_or(|s| f.signal < *s);
    let mut new: Vec<Finding> = drafts.into_iter().map(|d| d.finding).filter(new).collect();
    new.retain(|f| f.signal < Signal::Notice);
    new.sort_by(|a, b| {
        let margin = |f: &Finding| f.margin.unwrap_or(0.0);
        a.signal.cmp(&b.signal).then(margin(a).total_cmp(&margin(b)))
    });
    let further = new.len().saturating_sub(1);
    if let Some(mut finding) = new.into_iter().next() {
        wording::finding::put(&case.known(), &mut finding);
        let items = &base.model.items;
        out.ranked.push(Pair {
            faults: two.map(|f| fault_id(jig, items, f)),
            words: wording::condition::faults(jig, &base.model, &faults),
            finding,
            further,
        });
    }
}
