//! The answer is the same in whatever order conditions are solved and however they are shared out between threads:
//! ties of values that differ by rounding alone included.
#![allow(clippy::unwrap_used)]

use super::support::dice::Dice;
use crate::checks::judge;
use crate::jig::{self, Jig};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::ledger::Ledger;
use crate::survey::run::{self, Job};
use crate::survey::{self, Options, Survey, conditions, faults, fresh};

/// Jigs with many ties: symmetrical paths, both orientations of the plug, switching on at opposite angles.
const JIGS: [&str; 6] = [
    "src/checks/examples/rcd-standing-leakage.passes.toml",
    "src/checks/examples/touch-voltage.passes.toml",
    "src/checks/examples/stored-charge.passes.toml",
    "src/checks/examples/lamp-strike.passes.toml",
    "demo-data/neon-wand-230v.toml",
    "demo-data/series-lamp-limiter-230v.toml",
];

fn read(name: &str) -> Jig {
    let text = std::fs::read(format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap();
    jig::parse(name, &text).unwrap_or_else(|f| panic!("{name}: {f:?}"))
}

fn swap<T>(list: &mut [T], dice: &mut Dice) {
    for k in (1..list.len()).rev() {
        list.swap(k, dice.below(k + 1));
    }
}

#[test]
fn jobs_in_any_order_and_split_give_the_same_judgement() {
    let mut dice = Dice::new(31);
    for name in JIGS {
        let jig = read(name);
        let whole = survey::survey(&jig, &Options { faults: 1, threads: 1, ..Options::default() });
        let expected = judge(&jig, &whole, "2026-01-01");
        let context = SurveyContext::new(&jig, &whole.model, Depth::Full);
        let list = faults::list(&jig, &whole.model).0;
        let sets = std::iter::once(vec![]).chain(list.into_iter().map(|f| vec![f]));
        let jobs: Vec<Job> = sets.flat_map(|faults| conditions(&jig, &faults)).enumerate().map(Job::numbered).collect();
        for split in 1..5 {
            let mut order: Vec<usize> = (0..jobs.len()).collect();
            swap(&mut order, &mut dice);
            let mut ledgers: Vec<Ledger> = (0..split).map(|_| fresh(&context)).collect();
            for (k, job) in order.into_iter().enumerate() {
                run::run(&context, &jobs[job], &mut ledgers[k % split]);
            }
            swap(&mut ledgers, &mut dice);
            let mut merged = fresh(&context);
            ledgers.into_iter().for_each(|l| merged.merge(l));
            merged.tried.sort_by_key(|t| t.ordinal);
            let survey = Survey { ledger: merged, ..whole.clone() };
            assert_eq!(judge(&jig, &survey, "2026-01-01"), expected, "{name} in {split}");
        }
    }
}

#[test]
fn any_number_of_threads_gives_the_same_judgement() {
    for name in JIGS {
        let jig = read(name);
        let by = |threads| {
            judge(&jig, &survey::survey(&jig, &Options { faults: 1, threads, ..Options::default() }), "2026-01-01")
        };
        let expected = by(1);
        for threads in [2, 3, 7] {
            assert_eq!(by(threads), expected, "{name} on {threads} threads");
        }
    }
}
