//! Current through the plug and its rated volts.

use super::intake;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, PlugRating};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::PlugRating,
    judges: &[],
    about: About {
        looks_at: "the current through the plug and its rated volts",
        limit: "the plug's rated current and volts (such as type C: {plugs.plug_rows.c_europlug.rated_a} and {plugs.plug_rows.c_europlug.rated_v})",
        rows: &["plugs.plug_rows"],
        how: "the largest r.m.s. current in L or N at nominal supply; volts: the nominal supply",
        mend: "use a plug made for the supply and the current, or limit the load",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let Some(mains) = &case.jig.supply.mains else { return };
    let Some(plug) = &case.jig.supply.plug else { return };
    if let Some(s) = intake::current(case).filter(|s| s.value > plug.rated_a) {
        let limit =
            standard::Limit { value: plug.rated_a, unit: "A", source: plug.source.clone(), id: plug.row.clone() };
        out.push(
            case.about_key(CheckId::PlugRating, Signal::Warning, "supply.plug")
                .over(Compared::CurrentRms, &s, &limit)
                .states(Said::PlugRating(PlugRating::Current { current: s.amount(), limit: (&limit).into() })),
        );
    } else if mains.nominal > plug.rated_v * (1.0 + 1e-3) {
        out.push(
            case.about_key(CheckId::PlugRating, Signal::Warning, "supply.plug")
                .value(Compared::NominalSupply, mains.nominal, "V")
                .limit(plug.rated_v, &plug.source)
                .when(When::NominalSupply)
                .states(Said::PlugRating(PlugRating::Volts {
                    supply: Amount::new(mains.nominal, "V"),
                    limit: Amount::new(plug.rated_v, "V"),
                })),
        );
    }
}
