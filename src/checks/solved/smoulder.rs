//! Faults that go on for ever: no fuse is sure to end them while something sits above its rating.

use super::overload::{self, Fault, Overload};
use super::propose;
use super::words::{item_name, show};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Part, PartKind};

pub(super) const CHECK: Check = Check {
    id: CheckId::Smoulder,
    about: About {
        looks_at: "every single fault that no fuse or breaker is sure to end, while a part sits above its rating",
        limit: "what the part stands for ever, while its fuse is below the current at which it is sure to open: {fuses.ul_gate.ul_135.multiple} times the rating for a North American type, by its standard sheet for an IEC one (such as {fuses.gate.s1_2p1.multiple} times). {bench.rule.sustained_fire.multiple} times the power and more: fire",
        rows: &[
            "jig",
            "resistors.resistor_fact.derating_line",
            "cords.uk_cord",
            "bench.rule.small_wire_density",
            "fuses.gate",
            "fuses.ul_gate",
        ],
        how: "each fault is solved; the current of each fuse is compared with its published gates; what none covers is sustained",
        mend: "a smaller fuse in that path, a thermal fuse on the part, or a flame-proof fusible resistor",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, part) in case.jig.parts.iter().enumerate() {
        if let Some(Overload::Fault(f)) = overload::of_part(case, k) {
            out.push(finding(case, part, &f));
        }
    }
}

fn finding(case: &Case, part: &Part, found: &Fault) -> Draft {
    let Fault { item, quantity, seen: s, limit, fuse, signal } = found;
    let fault = case.fault(s.at);
    let name = item_name(case, *item);
    let (value, allowed) = (show(s.value, s.unit), show(limit.value, limit.unit));
    let (why, remedy) = match fuse {
        Some((f, a)) => (
            format!(
                "{f} carries {} then, above its rating but below the current at which it is sure to open",
                show(*a, "A")
            ),
            format!("a smaller {f}, if normal use allows it; else a thermal fuse on {}", part.name),
        ),
        None => (
            "no fuse sees enough to open".to_string(),
            format!("a fuse in its path that opens at {value}, or a thermal fuse on {}", part.name),
        ),
    };
    let d = case.about_part(CheckId::Smoulder, *signal, part, "kind").over(quantity, s, limit);
    let d = if let Some((f, _)) = fuse { d.part(f) } else { d };
    let (end, remedy) = match signal {
        Signal::Notice => {
            ("it opens, as a fusible part does", "none needed; look for the fault before it is replaced".to_string())
        }
        Signal::Caution if matches!(part.kind, PartKind::Resistor(_)) => {
            ("it roasts without flame until it fails", remedy)
        }
        Signal::Caution => ("it runs hot and ages", remedy),
        _ => ("it smoulders until something burns", remedy),
    };
    d.says(format!("With one fault ({fault}) {name} sits at {value}, made for {allowed}, and {why}: {end}"), remedy)
        .proposes(
            fuse.as_ref()
                .filter(|_| *signal != Signal::Notice)
                .map_or_else(Vec::new, |(f, _)| propose::smaller_fuses(case, f)),
        )
}
