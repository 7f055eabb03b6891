//! Clearance and creepage of stated insulation against the tables.

use super::barrier::{Pair, Want, rank, wants};
use super::hazard::{Hazard, hazards};
use crate::checks::{Case, Draft};
use crate::finding::said::{Distance, DistanceFault};
use crate::finding::{CheckId, Compared, Signal};
use crate::jig::{Grade, Insulation};
use crate::standard::insulation::{Category, clearance, creepage, impulse, mains_distances};
use crate::standard::{Limit, rules};

/// Stated and least distance of an insulation at which a circuit is kept off.
pub(crate) struct Measured {
    /// As stated, metres.
    pub stated: Option<f64>,
    /// By the tables.
    pub least: Option<Limit>,
}

/// Judges a distance of every insulation between hands and hazardous nets, which `measure` reads off the insulation and the
/// least of both.
pub(crate) fn judge(
    case: &Case,
    check: CheckId,
    compared: &Compared,
    measure: fn(&Insulation, Least) -> Measured,
) -> Vec<(Draft, Distance)> {
    let mut out = vec![];
    for want in wants(case, &hazards(case)) {
        let Want::Insulation(pair) = want else { continue };
        let mut done: Vec<*const Insulation> = vec![];
        for series in pair.stated.iter().filter_map(|s| s.1.as_ref()) {
            // Where one of two in series is enough by itself, the other has nothing to keep off but what lies between.
            let alone = series.iter().find(|i| rank(&vec![**i]) >= pair.wanted().rank());
            let asked = alone.map_or_else(|| series.clone(), |one| vec![*one]);
            for i in &asked {
                if !done.contains(&std::ptr::from_ref(*i)) {
                    done.push(std::ptr::from_ref(*i));
                    let grade = if asked.len() > 1 { Grade::Basic } else { pair.wanted().grade() };
                    let measured = measure(i, least(case, pair.hazard, grade));
                    let draft = case.at(check, Signal::Warning, i.place);
                    out.extend(distance(case, draft, compared, &pair, measured));
                }
            }
        }
    }
    out
}

/// Smallest distances, metres; `None` beyond the tables.
pub(crate) struct Least {
    /// Through air.
    pub clearance: Option<Limit>,
    /// Along a surface.
    pub creepage: Option<Limit>,
}

fn least(case: &Case, h: &Hazard, grade: Grade) -> Least {
    let table = if h.is_mains() { mains_distances(h.volts, grade) } else { None };
    if let Some((clearance, creepage)) = table {
        return Least { clearance: Some(clearance), creepage: Some(creepage) };
    }
    // Not the mains itself, or above its table: by impulse (mains) or by the circuit's own crest, and working voltage.
    let impulse = if h.is_mains() {
        let earth = case.nets().volts_to_earth().nominal;
        impulse(earth, Category::II).map(|l| l.value.max(h.volts * std::f64::consts::SQRT_2))
    } else {
        impulse(h.volts, Category::I).map(|l| l.value)
    };
    Least { clearance: impulse.and_then(|v| clearance(v, grade)), creepage: creepage(h.volts, grade) }
}

fn distance(
    case: &Case,
    draft: Draft,
    compared: &Compared,
    pair: &Pair,
    measured: Measured,
) -> Option<(Draft, Distance)> {
    let (t, h) = (pair.touchable, pair.hazard);
    let draft = draft.touchable(&t.name).net(case.net(t.net));
    let said = |what| Distance { circuit: h.circuit.clone(), touchable: t.name.clone(), volts: h.volts, what };
    let Some(least) = measured.least else {
        return Some((draft.source(&rules::beyond_the_table()), said(DistanceFault::BeyondTheTable)));
    };
    match measured.stated {
        None => Some((draft.source(&least.source), said(DistanceFault::NotStated { least: least.value }))),
        // Rounding of the unit conversion must not break a distance that is just enough.
        Some(stated) if stated < least.value * (1.0 - 1e-9) => {
            let mut draft = draft.value(compared.clone(), stated, "m").limit(least.value, &least.source);
            // Here the value must not fall below the limit.
            draft.finding.margin = Some(stated / least.value);
            Some((draft, said(DistanceFault::Small { stated, least: least.value })))
        }
        Some(_) => None,
    }
}
