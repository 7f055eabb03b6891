//! Whether the box keeps hands from live parts.

use super::graph::Wiring;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Class, Material};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::OpensByHand,
    about: About {
        looks_at: "Whether the box keeps hands from live parts.",
        limit: "Live parts are reached with a tool only.",
        rows: &["rules.rule.opened_with_a_tool"],
        how: "Reads opens-with of the box, where the mains is inside it.",
        mend: "Close the box with screws that take a tool.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let e = &case.jig.enclosure;
    let by_hand = e.opens_with == Some(crate::jig::OpensWith::Hand);
    let hot = Wiring::new(case.jig).hot();
    let inside = case.jig.parts.iter().any(|p| p.kind.terminals().iter().any(|n| hot[*n]));
    if by_hand && e.material != Some(Material::Open) && e.class != Some(Class::III) && inside {
        out.push(
            case.about_key(CheckId::OpensByHand, Signal::Warning, "enclosure.opens-with")
                .source(&rules::opened_with_a_tool())
                .says(
                    "the box opens by hand, and everything live in it is then within reach",
                    "close it with screws that take a tool, and write opens-with = \"tool\"",
                ),
        );
    }
}
