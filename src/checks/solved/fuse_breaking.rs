//! The current that fuses and thermal fuses can break.

use super::lookup::{lasting, rated, volts_to_earth};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, FuseBreaking};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Ends, Part, PartKind};
use crate::nets::Edge;
use crate::part::{Fuse, ThermalFuse};
use crate::standard::{self, Limit};

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseBreaking,
    judges: &[of("fuse", &["breaking"], &[At::Opening]), of("thermal-fuse", &["current"], &[At::Fault, At::Opening])],
    about: About {
        looks_at: "whether every fuse can break the current that a short on the mains gives",
        limit: "the highest prospective current usually met at a socket, {bench.mains.prospective_max_230.prospective_a} on 230 V and {bench.mains.prospective_max_120.prospective_a} on 120 V; behind something that limits the current, the largest that was solved; a thermal fuse on a part breaks {bench.heat.link_breaks.multiple} times its rated current",
        rows: &["jig"],
        how: "a fuse joined to a live pin by nothing but wire, contacts and fuses sees the whole prospective current",
        mend: "use a fuse of high breaking capacity (H, ceramic, 1500 A), not a glass one (L, 35 A)",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Fuse(Fuse { across, breaking, .. }) = &part.kind {
            out.extend(breaks(case, k, part, *across, *breaking));
        }
        if let PartKind::ThermalFuse(link) = &part.kind {
            out.extend(link_breaks(case, k, part, link));
        }
    }
}

/// What a thermal fuse on a part carries for ever with one fault, above what it is made to break: its heat does not end that.
fn link_breaks(case: &Case, k: usize, part: &Part, link: &ThermalFuse) -> Option<Draft> {
    let multiple = standard::link::breaks();
    let most = multiple.value * link.current.filter(|_| link.on.is_some())?;
    let s = lasting(case, k, Quantity::CurrentRms, Situation::SingleFault).filter(|s| s.value > most)?;
    let said =
        FuseBreaking { part: part.name.clone(), breaks: Amount::new(most, "A"), short: s.amount(), heated: Some(s.at) };
    let draft = case.about_part(CheckId::FuseBreaking, Signal::Warning, part, "current");
    let limit = Limit { value: most, unit: "A", ..multiple };
    Some(draft.over(Compared::CurrentRms, &s, &limit).states(Said::FuseBreaking(said)))
}

/// Whether a net is joined to a live pin by nothing that limits current.
fn on_the_mains(case: &Case, across: Ends) -> bool {
    let g = case.nets().groups(&Edge::is_hard);
    case.nets().live_pins().iter().any(|pin| across.iter().any(|n| g.same(*n, *pin)))
}

fn breaks(case: &Case, k: usize, part: &Part, across: Ends, breaking: Option<f64>) -> Option<Draft> {
    let stated = breaking?;
    let (limit, value) = if on_the_mains(case, across) {
        let p = standard::bench::prospective_max(volts_to_earth(case));
        (p.clone(), p.value)
    } else {
        let kinds = [Situation::Normal, Situation::SingleFault, Situation::Transient];
        let worst = kinds
            .into_iter()
            .filter_map(|kind| case.worst(k, Quantity::CurrentRms, kind))
            .max_by(|a, b| a.value.total_cmp(&b.value))?;
        (rated(worst.value, "A"), worst.value)
    };
    (stated < value * (1.0 - 1e-9)).then(|| {
        case.about_part(CheckId::FuseBreaking, Signal::Warning, part, "breaking")
            .value(Compared::ProspectiveCurrent, value, "A")
            .limit(stated, &limit.source)
            .states(Said::FuseBreaking(FuseBreaking {
                part: part.name.clone(),
                breaks: Amount::new(stated, "A"),
                short: Amount::new(value, "A"),
                heated: None,
            }))
            .proposes(propose::fuse_breaking(part, value))
    })
}
