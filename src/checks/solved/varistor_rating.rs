//! What stands across varistors and suppressors for ever, and where varistors may lie.

use super::lookup::nominal_volts;
use super::overload::{self, Normal, Stressed};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, VaristorRating};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::jig::{NET_L, NET_N, NET_PE, Part, PartKind};
use crate::part::Varistor;
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::VaristorRating,
    judges: &[of("varistor", &["voltage"], &[At::Use]), of("suppressor", &["power"], &[At::Use])],
    about: About {
        looks_at: "the volts that stand across every varistor and suppressor for ever",
        limit: "the highest continuous a.c. volts stated for it, and {bench.rule.varistor_power.power_w} of mean power, which is that of the largest disc; {parts.varistor.usual_for_230v.rated_ac_v} is usual on {parts.varistor.usual_for_230v.mains_v}. Across the mains its rating is {parts.varistor.rated_volts_over_mains.multiple} times the nominal supply or more; from a pole to earth it has a gas tube in series",
        rows: &["jig", "parts.varistor.rated_volts_over_mains", "parts.varistor.gas_tube_to_earth"],
        how: "r.m.s. volts at the highest supply; the mean of u · i, so that crests above the knee count too",
        mend: "use the varistor usual for the supply, behind the fuse",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let surge = |kind: &PartKind| matches!(kind, PartKind::Varistor(_) | PartKind::Suppressor(_));
    for (part, n) in overload::in_normal_use(case, surge) {
        out.push(match n.what {
            Stressed::Watts => suppressor(case, part, &n),
            Stressed::Volts | Stressed::Winding | Stressed::Current => varistor(case, part, &n),
        });
    }
    for part in &case.jig.parts {
        if let PartKind::Varistor(v) = &part.kind {
            out.extend(to_earth(case, part, v));
            out.extend(below_usual(case, part, v));
        }
    }
}

/// One from a pole of the mains to earth without a gas tube in series.
fn to_earth(case: &Case, part: &Part, v: &Varistor) -> Option<Draft> {
    let nets = case.nets();
    let earth = nets.hard_joined(NET_PE);
    let [a, b] = v.across;
    let pole = [(a, b), (b, a)].into_iter().find(|(live, end)| earth.has(*end) && case.is_mains(*live))?.0;
    let row = standard::parts::varistor_fact("gas_tube_to_earth");
    let draft = case.about_part(CheckId::VaristorRating, Signal::Caution, part, "across").source(&row.source);
    let draft = draft.net(case.net(pole)).net(case.net(NET_PE));
    let said = VaristorRating::ToEarth { part: part.name.clone(), net: case.net(pole).to_string() };
    Some(draft.states(Said::VaristorRating(said)))
}

/// One across the mains whose rated volts are below what the rule asks for the nominal supply.
fn below_usual(case: &Case, part: &Part, v: &Varistor) -> Option<Draft> {
    let pole = |pin| case.nets().hard_joined(pin);
    let (l, n) = (pole(NET_L), pole(NET_N));
    let [a, b] = v.across;
    let row = standard::parts::varistor_fact("rated_volts_over_mains");
    let needed = row.value * nominal_volts(case);
    let across = l.has(a) && n.has(b) || l.has(b) && n.has(a);
    // One that conducts in normal use is told so.
    let conducts = v.voltage < case.jig.supply.mains.as_ref().map_or(0.0, |m| m.high);
    if !across || conducts || v.voltage >= needed * (1.0 - 1e-3) {
        return None;
    }
    let said = VaristorRating::Low {
        part: part.name.clone(),
        volts: Amount::new(v.voltage, "V"),
        needed: Amount::new(needed, "V"),
        cure: usual(case),
    };
    let draft = case.about_part(CheckId::VaristorRating, Signal::Caution, part, "voltage");
    let draft = draft.value(Compared::RatedVolts, v.voltage, "V").limit(needed, &row.source);
    Some(draft.states(Said::VaristorRating(said)))
}

fn varistor(case: &Case, part: &Part, n: &Normal) -> Draft {
    let said = VaristorRating::Volts {
        part: part.name.clone(),
        volts: n.seen.amount(),
        limit: (&n.limit).into(),
        cure: usual(case),
    };
    case.about_part(CheckId::VaristorRating, Signal::Warning, part, "voltage")
        .over(Compared::VoltsRms, &n.seen, &n.limit)
        .states(Said::VaristorRating(said))
}

fn suppressor(case: &Case, part: &Part, n: &Normal) -> Draft {
    let said = VaristorRating::Watts { part: part.name.clone(), watts: n.seen.amount(), limit: (&n.limit).into() };
    case.about_part(CheckId::VaristorRating, Signal::Warning, part, "power")
        .over(Compared::Power, &n.seen, &n.limit)
        .states(Said::VaristorRating(said))
}

/// Rated volts of the varistor that is usual on this supply.
fn usual(case: &Case) -> Option<Amount> {
    let rows = standard::parts::varistor();
    let row = rows.iter().find(|r| r.number("mains_v") == Some(nominal_volts(case)));
    row.and_then(|r| r.number("rated_ac_v")).map(|v| Amount::new(v, "V"))
}
