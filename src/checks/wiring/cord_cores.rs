//! Whether the cord has the cores the class asks for.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::CordCores;
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::CordCores,
    judges: &[],
    about: About {
        looks_at: "Whether the cord has the cores the class asks for.",
        limit: "{rules.rule.cores.cores_with_earth} cores where metal is earthed, {rules.rule.cores.cores_without_earth} at least otherwise.",
        rows: &["rules.rule.cores"],
        how: "Reads cores of the cord and the class.",
        mend: "Use a three-core cord for class I, its green-and-yellow core on PE.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if case.jig.supply.mains.is_some()
        && let Some(cord) = &case.jig.supply.cord
    {
        out.extend(cores(case, cord.cores));
    }
}

fn cores(case: &Case, cores: Option<u32>) -> Option<Draft> {
    let earth = case.jig.is_class_one();
    let least = rules::cores_needed(earth);
    let (signal, said) = match cores {
        Some(0 | 1) => (Signal::Warning, CordCores::TooFew),
        Some(2) if earth => (Signal::Warning, CordCores::NoEarth),
        None if earth => (Signal::Warning, CordCores::NotStated { earth }),
        None => (Signal::Caution, CordCores::NotStated { earth }),
        Some(_) => return None,
    };
    let mut draft = case.about_key(CheckId::CordCores, signal, "supply.cord").source(&least.source);
    if said == CordCores::NoEarth {
        draft = draft.value(Compared::Cores, 2.0, "").limit(least.value, &least.source);
    }
    Some(draft.states(Said::CordCores(said)))
}
