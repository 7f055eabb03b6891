//! Whether a pull on the cord is kept from its joints.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::CordRelief;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::PartKind;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::CordRelief,
    judges: &[],
    about: About {
        looks_at: "Whether a pull on the cord is kept from its joints.",
        limit: "A cord anchorage.",
        rows: &["rules.rule.strain_relief"],
        how: "Reads strain-relief of the cord.",
        mend: "Clamp the cord's sheath where it enters the box; a knot or a sharp grommet is no clamp.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let jig = case.jig;
    // A cord that is plugged into an inlet is no part of the tool, and wiring of the house has none.
    let inlet =
        jig.parts.iter().any(|p| if let PartKind::Socket(socket) = &p.kind { socket.is_inlet() } else { false });
    if jig.supply.mains.is_none() || jig.supply.fixed || jig.supply.held || inlet {
        return;
    }
    let (signal, key, said) = match jig.supply.cord.as_ref().map(|c| c.strain_relief) {
        None => (Signal::Caution, "supply.plug", CordRelief::NoCord),
        Some(Some(true)) => return,
        Some(Some(false)) => (Signal::Warning, "supply.cord", CordRelief::Missing),
        Some(None) => (Signal::Caution, "supply.cord", CordRelief::NotStated),
    };
    let draft = case.about_key(CheckId::CordRelief, signal, key).source(&rules::strain_relief());
    out.push(draft.states(Said::CordRelief(said)));
}
