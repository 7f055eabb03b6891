//! Clearance and creepage of stated insulation against the tables.

use super::barrier::{Hazard, Pair, Want, hazards, wants};
use super::graph::Wiring;
use crate::checks::{Case, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Grade, Insulation};
use crate::standard::insulation::{Category, clearance, creepage, impulse, mains_distances};
use crate::standard::{Limit, rules};

/// The shortest way between two nets, through air or along a surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Distance {
    /// Through air.
    Clearance,
    /// Along a surface.
    Creepage,
}

/// Judges that distance of every insulation between hands and hazardous nets.
pub fn judge(case: &Case, which: Distance, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    for want in wants(case, &w, &hazards(case, &w)) {
        let Want::Insulation(pair) = want else { continue };
        let mut done: Vec<*const Insulation> = vec![];
        for series in pair.stated.iter().filter_map(|s| s.1.as_ref()) {
            for i in series {
                if !done.contains(&std::ptr::from_ref(*i)) {
                    done.push(std::ptr::from_ref(*i));
                    let grade = if series.len() > 1 { Grade::Basic } else { pair.needed().2 };
                    out.extend(distance(case, which, &pair, i, grade));
                }
            }
        }
    }
}

/// Smallest clearance and creepage in metres.
fn least(case: &Case, h: &Hazard, grade: Grade) -> (Option<Limit>, Option<Limit>) {
    let earth = Wiring::new(case.jig).volts_to_earth().0;
    let table = if h.mains { mains_distances(h.volts, grade) } else { None };
    if let Some((c, k)) = table {
        return (Some(c), Some(k));
    }
    // Not the mains itself, or above its table: by impulse (mains) or by the circuit's own crest, and working voltage.
    let impulse = if h.mains {
        impulse(earth, Category::II).map(|l| l.value.max(h.volts * std::f64::consts::SQRT_2))
    } else {
        impulse(h.volts, Category::I).map(|l| l.value)
    };
    (impulse.and_then(|v| clearance(v, grade)), creepage(h.volts, grade))
}

fn distance(case: &Case, which: Distance, pair: &Pair, i: &Insulation, grade: Grade) -> Option<Draft> {
    let (t, h) = (pair.touchable, pair.hazard);
    let (c, k) = least(case, h, grade);
    let (check, stated, least) = match which {
        Distance::Clearance => (CheckId::Clearance, i.clearance, c),
        Distance::Creepage => (CheckId::Creepage, i.creepage, k),
    };
    let d = case.at(check, Signal::Warning, i.place).touchable(&t.name).net(case.net(t.net));
    let Some(least) = least else {
        return Some(d.source(&rules::beyond_the_table()).says(
            format!("no table here gives the {check} for {:.0} V between {} and {}", h.volts, h.words, t.name),
            "have the insulation judged by someone who can measure it",
        ));
    };
    let mm = |m: f64| format!("{} mm", (m * 1e5).round() / 1e2);
    match stated {
        None => Some(d.source(&least.source).says(
            format!("the {check} between {} and {} is not stated", h.words, t.name),
            format!("measure it: {} at least; write {check} = \"…\"", mm(least.value)),
        )),
        // Rounding of the unit conversion must not break a distance that is just enough.
        Some(x) if x < least.value * (1.0 - 1e-9) => {
            let mut d = d.value(check.name(), x, "m").limit(least.value, &least.source);
            // Here the value must not fall below the limit.
            d.finding.margin = Some(x / least.value);
            Some(d.says(
                format!(
                    "the {check} between {} and {} is {}, where {} is needed for {:.0} V",
                    h.words,
                    t.name,
                    mm(x),
                    mm(least.value),
                    h.volts
                ),
                format!("move them apart to {} or more, or put a barrier between them", mm(least.value)),
            ))
        }
        Some(_) => None,
    }
}
