//! Whether the cord has the cores the class asks for.

use super::graph::Wiring;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::CordCores,
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
        cores(case, cord.cores, out);
    }
}

fn cores(case: &Case, cores: Option<u32>, out: &mut Vec<Draft>) {
    let earth = Wiring::new(case.jig).class_one();
    let least = rules::cores_needed(earth);
    let source = &least.source;
    let draft = |signal| case.about_key(CheckId::CordCores, signal, "supply.cord").source(source);
    match cores {
        Some(0 | 1) => out.push(draft(Signal::Warning).says(
            "a cord of fewer than two cores cannot bring both poles",
            "use a two-core cord for class II, a three-core cord for class I",
        )),
        Some(2) if earth => out.push(draft(Signal::Warning).value("cores", 2.0, "").limit(least.value, source).says(
            "a two-core cord brings no protective earth, which this box depends on",
            "use a three-core cord, its green-and-yellow core on PE",
        )),
        None if earth => out.push(draft(Signal::Warning).says(
            "the file does not say how many cores the cord has, so nothing shows that the earth reaches the box",
            "write cores = 3 in cord when its green-and-yellow core is on PE",
        )),
        None => out.push(
            draft(Signal::Caution)
                .says("the file does not say how many cores the cord has", "write cores = 2 (or 3) in cord"),
        ),
        _ => {}
    }
}
