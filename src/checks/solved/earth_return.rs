//! The protective earth used as a return.

use super::lookup::{lasting, seen};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::EarthReturn;
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{NET_L, NET_N};
use crate::nets::Edge;
use crate::standard::Limit;

pub(super) const CHECK: Check = Check {
    id: CheckId::EarthReturn,
    judges: &[],
    about: About {
        looks_at: "working current that flows from a pole of the mains through a part to the protective earth in normal use",
        limit: "the leakage of in-service inspection, {parts.inspection.leakage.class_1_other_max_ma}: more than that through anything but a class Y capacitor is no leakage. DANGER where something that can be touched hangs on that earth",
        rows: &[],
        how: "r.m.s. current in the earth conductor with nothing failed, and the current of each part between a pole and the earth",
        mend: "the part goes to the other pole; the earth conductor carries fault currents alone",
    },
    run,
};

fn limit() -> Option<Limit> {
    crate::standard::limit("parts.inspection.leakage.class_1_other_max_ma")
}

/// Working current in the earth conductor and the parts it comes through.
pub(super) fn found(case: &Case) -> Option<(Seen, Limit, Vec<usize>)> {
    let limit = limit()?;
    let worst = case.survey.ledger.lasting.conductors[2][Situation::Normal].copied()?;
    let current = seen(worst, "A", Situation::Normal);
    if current.value <= limit.value {
        return None;
    }
    let nets = case.nets();
    let pass = |edge: &Edge| !edge.link.is_safety_capacitor();
    let mains = nets.walk(&[NET_L, NET_N], &pass).round(nets.earth()).reached();
    let hard = nets.groups(&Edge::is_hard);
    let earthed = |net| nets.earth().iter().any(|e| hard.same(e, net));
    let between = |edge: &Edge| {
        let [a, b] = edge.ends;
        let one_end = (earthed(a) && !earthed(b) && mains.has(b)) || (earthed(b) && !earthed(a) && mains.has(a));
        one_end && edge.is_body()
    };
    let mut parts: Vec<usize> = nets.edges().iter().filter(|e| between(e)).filter_map(Edge::part).collect();
    parts.dedup();
    let carries = |part: &usize| {
        let items = case.items_of(*part).filter_map(|k| lasting(case, k, Quantity::CurrentRms, Situation::Normal));
        items.map(|s| s.value).fold(0.0, f64::max) > limit.value
    };
    parts.retain(carries);
    (!parts.is_empty()).then_some((current, limit, parts))
}

fn run(case: &Case, out: &mut Vec<Draft>) {
    let Some((current, limit, parts)) = found(case) else { return };
    let earth = case.nets().earth();
    let touched = case.jig.touchables.iter().filter(|t| earth.has(t.net)).map(|t| t.name.clone());
    let touchables: Vec<String> = touched.collect();
    let signal = if touchables.is_empty() { Signal::Warning } else { Signal::Danger };
    let names: Vec<String> = parts.iter().map(|p| case.jig.parts[*p].name.clone()).collect();
    let mut draft = case.about_part(CheckId::EarthReturn, signal, &case.jig.parts[parts[0]], "across").net("PE");
    draft = names.iter().fold(draft, |d, name| d.part(name));
    draft = touchables.iter().fold(draft, |d, name| d.touchable(name));
    let rated = case.jig.supply.rcd.flatten();
    let said = EarthReturn {
        current: current.amount(),
        through: names,
        trips: rated.is_some_and(|amperes| current.value >= amperes),
        touchables,
    };
    out.push(draft.over(Compared::EarthCurrentRms, &current, &limit).states(Said::EarthReturn(said)));
}
