//! What plug and cord say against each other and against the class. Judges nothing that flows.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::Signal;
use crate::jig::{Class, Material, PartKind};
use crate::part::Socket;
use crate::standard::plug::plug_rows;
use crate::standard::rules;

use super::graph::Wiring;

/// The check.
pub const CHECK: Check = Check {
    names: &["plug-fuse", "cord-relief", "cord-cores"],
    about: &[
        About {
            looks_at: "Whether the fuse stated in the plug can be there.",
            limit: "The kinds of plug that hold a fuse, and the largest rating made for each (table of plugs).",
            rows: &["plugs.plug_rows"],
            how: "Compares plug-fuse with the row of the plug.",
            mend: "Take plug-fuse out and put a fuse into the jig, or use a plug that holds one.",
        },
        About {
            looks_at: "Whether a pull on the cord is kept from its joints.",
            limit: "A cord anchorage.",
            rows: &["rules.rule.strain_relief"],
            how: "Reads strain-relief of the cord.",
            mend: "Clamp the cord's sheath where it enters the box; a knot or a sharp grommet is no clamp.",
        },
        About {
            looks_at: "Whether the cord has the cores the class asks for.",
            limit: "{rules.rule.cores.cores_with_earth} cores where metal is earthed, {rules.rule.cores.cores_without_earth} at least otherwise.",
            rows: &["rules.rule.cores"],
            how: "Reads cores of the cord and the class.",
            mend: "Use a three-core cord for class I, its green-and-yellow core on PE.",
        },
    ],
    run,
};

/// Whether a plug of that row may hold a fuse.
pub fn may_hold_fuse(row: &str) -> bool {
    plug_rows().iter().any(|r| r.id == row && r.plug_fuse != "no")
}

fn run(case: &Case, out: &mut Vec<Draft>) {
    let jig = case.jig;
    if jig.supply.mains.is_none() {
        return;
    }
    plug_fuse(case, out);
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
            out.push(case.about_key("cord-relief", Signal::Caution, "supply.plug").source(strain).says(
                "the file says nothing of the cord, so neither its size nor its strain relief is known",
                "write cord = { area = …, length = …, cores = …, strain-relief = … }",
            ));
        }
        return;
    };
    match cord.strain_relief {
        Some(true) => {}
        _ if jig.supply.fixed || inlet => {}
        Some(false) => out.push(case.about_key("cord-relief", Signal::Warning, "supply.cord").source(strain).says(
            "the cord has no strain relief: a pull ends on the joints, and a live core that comes off lands anywhere",
            remedy,
        )),
        None => out.push(
            case.about_key("cord-relief", Signal::Caution, "supply.cord")
                .source(strain)
                .says("the file does not say whether the cord has a strain relief", remedy),
        ),
    }
    cores(case, cord.cores, out);
}

fn cores(case: &Case, cores: Option<u32>, out: &mut Vec<Draft>) {
    let earth = Wiring::new(case.jig).class_one();
    let least = rules::cores_needed(earth);
    let source = &least.source;
    let draft = |signal| case.about_key("cord-cores", signal, "supply.cord").source(source);
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

fn plug_fuse(case: &Case, out: &mut Vec<Draft>) {
    let s = &case.jig.supply;
    let (Some(amperes), Some(plug)) = (s.plug_fuse, &s.plug) else { return };
    let Some(row) = plug_rows().iter().find(|r| r.id == plug.row) else { return };
    let draft = || case.about_key("plug-fuse", Signal::Warning, "supply.plug-fuse");
    if row.plug_fuse == "no" {
        out.push(draft().source(&plug.source).says(
            format!("a type {} plug holds no fuse, so the one stated in it protects nothing", plug.letter),
            "take plug-fuse out and put a fuse into the jig, directly behind the plug",
        ));
        return;
    }
    let most = row.plug_fuse_max_a.or_else(|| row.plug_fuse_preferred_a.as_ref()?.iter().copied().reduce(f64::max));
    if let Some(most) = most.filter(|m| amperes > *m) {
        out.push(draft().value("plug fuse", amperes, "A").limit(most, &plug.source).says(
            format!("no fuse of {amperes} A is made for a type {} plug", plug.letter),
            format!("use one of {most} A or less, as small as the load allows"),
        ));
    }
}

/// Check of the box against what opens it.
pub const BOX: Check = Check {
    names: &["opens-by-hand"],
    about: &[About {
        looks_at: "Whether the box keeps hands from live parts.",
        limit: "Live parts are reached with a tool only.",
        rows: &["rules.rule.opened_with_a_tool"],
        how: "Reads opens-with of the box, where the mains is inside it.",
        mend: "Close the box with screws that take a tool.",
    }],
    run: opens,
};

fn opens(case: &Case, out: &mut Vec<Draft>) {
    let e = &case.jig.enclosure;
    let by_hand = e.opens_with == Some(crate::jig::OpensWith::Hand);
    let hot = Wiring::new(case.jig).hot();
    let inside = case.jig.parts.iter().any(|p| p.kind.terminals().iter().any(|n| hot[*n]));
    if by_hand && e.material != Some(Material::Open) && e.class != Some(Class::III) && inside {
        out.push(
            case.about_key("opens-by-hand", Signal::Warning, "enclosure.opens-with")
                .source(&rules::opened_with_a_tool())
                .says(
                    "the box opens by hand, and everything live in it is then within reach",
                    "close it with screws that take a tool, and write opens-with = \"tool\"",
                ),
        );
    }
}
