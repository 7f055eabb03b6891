//! Whether a pull on the cord is kept from its joints.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::PartKind;
use crate::part::Socket;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::CordRelief,
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
    if jig.supply.mains.is_none() {
        return;
    }
    let inlet = jig.parts.iter().any(|p| match &p.kind {
        PartKind::Socket(Socket { socket_type, .. }) => {
            socket_type.as_ref().is_some_and(|t| t.to_lowercase().contains("inlet"))
        }
        _ => false,
    });
    let strain = &rules::strain_relief();
    let remedy = "clamp the cord's sheath where it enters the box and write strain-relief = true in cord";
    let Some(cord) = &jig.supply.cord else {
        if !jig.supply.fixed && !inlet {
            out.push(case.about_key(CheckId::CordRelief, Signal::Caution, "supply.plug").source(strain).says(
                "the file says nothing of the cord, so neither its size nor its strain relief is known",
                "write cord = { area = …, length = …, cores = …, strain-relief = … }",
            ));
        }
        return;
    };
    match cord.strain_relief {
        Some(true) => {}
        _ if jig.supply.fixed || inlet => {}
        Some(false) => out
            .push(case.about_key(CheckId::CordRelief, Signal::Warning, "supply.cord").source(strain).says(
            "the cord has no strain relief: a pull ends on the joints, and a live core that comes off lands anywhere",
            remedy,
        )),
        None => out.push(
            case.about_key(CheckId::CordRelief, Signal::Caution, "supply.cord")
                .source(strain)
                .says("the file does not say whether the cord has a strain relief", remedy),
        ),
    }
}
