//! The area of the supply cord.

use super::contacts::area_for;
use super::intake;
use super::propose;
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::{Amount, CordFault, CordRating};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::CordRating,
    judges: &[],
    about: About {
        looks_at: "the area of the supply cord against the current the tool takes and its length",
        limit: "area by the current of the tool: {cords.appliance_cord current_to_a area_mm2}, thinner ones for short cords; amperes by area (flexible cords): {cords.uk_cord area_mm2 current_a}; thinner wires in proportion. Of a North American plug: {cords.us_cord area_mm2 current_a}",
        rows: &["bench.rule.small_wire_density", "cords.coordination.nec_smallest_cord"],
        how: "the largest r.m.s. current in L or N at nominal supply, over switch positions and loads",
        mend: "use a cord of the area named",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if let (Some(cord), Some(s)) = (&case.jig.supply.cord, intake::current(case)) {
        cord_area(case, cord, &s, out);
    }
}

fn cord_area(case: &Case, cord: &crate::jig::Cord, s: &Seen, out: &mut Vec<Draft>) {
    let Some(area) = cord.area else { return };
    let american = case.jig.supply.plug.as_ref().is_some_and(|p| p.north_american);
    // A metric cord on a North American plug is as good as one of that continent's sizes.
    let metric = (standard::cord::wire_rating(area), standard::cord::smallest_cord(s.value, cord.length));
    let (carries, smallest) = if american {
        let carries = standard::cord::us_cord_rating(area).filter(|l| l.value > metric.0.value);
        let smallest = [standard::cord::smallest_us_cord(s.value), metric.1].into_iter().flatten();
        (carries.unwrap_or(metric.0), smallest.min_by(|a, b| a.value.total_cmp(&b.value)))
    } else {
        metric
    };
    let needed = smallest.as_ref().map(|l| l.value).or_else(|| area_for(s.value));
    let enough = if american { needed } else { needed.map(|a| a.max(area_for(s.value).unwrap_or(a))) };
    let said = |what| Said::CordRating(CordRating { what, cure: enough.map(|a| Amount::new(a, "m²")) });
    let current = s.amount();
    if s.value > carries.value * (1.0 + 1e-3) {
        let what = CordFault::Overheats { current, area: Amount::new(area, "m²"), carries: (&carries).into() };
        out.push(
            case.about_key(CheckId::CordRating, Signal::Warning, "supply.cord")
                .over(Compared::CurrentRms, s, &carries)
                .states(said(what))
                .proposes(enough.map(propose::cord).unwrap_or_default()),
        );
    } else if let Some(l) = smallest.filter(|l| area < l.value * standard::cord::AREA_SLACK) {
        let what = CordFault::Thin { area: Amount::new(area, "m²"), asked: Amount::new(l.value, "m²"), current };
        out.push(
            case.about_key(CheckId::CordRating, Signal::Warning, "supply.cord")
                .value(Compared::ConductorArea, area, "m²")
                .limit(l.value, &l.source)
                .found_in(s.at)
                .states(said(what))
                .proposes(propose::cord(l.value)),
        );
    }
}
