//! Whether the box keeps hands from live parts.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{Class, Material, OpensWith};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::OpensByHand,
    judges: &[],
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
    let inside = case.jig.parts.iter().any(|p| case.nets().hazardous_live().has_any(&p.kind.terminals()));
    let by_hand = e.opens_with == Some(OpensWith::Hand);
    if by_hand && e.material != Some(Material::Open) && e.class != Some(Class::III) && inside {
        let draft = case.about_key(CheckId::OpensByHand, Signal::Warning, "enclosure.opens-with");
        out.push(draft.source(&rules::opened_with_a_tool()).states(Said::OpensByHand));
    }
}
