//! Whether the fuse or breaker in front of a conductor protects it.

use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, WireProtection};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::jig::{Ends, NET_PE, Part, PartKind};
use crate::nets::Edge;
use crate::part::{Fuse, Wire};
use crate::standard::cord::AREA_SLACK;
use crate::standard::{self, Limit, Row};

pub(super) const CHECK: Check = Check {
    id: CheckId::WireProtection,
    judges: &[of("wire", &["area"], &[At::Fault, At::Opening]), of("fuse", &["current", "speed"], &[At::Opening])],
    about: About {
        looks_at: "the thinnest conductor behind every fuse, the wires behind the branch breaker alone, and the wires of the earth path",
        limit: "the fuse's rating at most what the conductor carries, the current at which it is sure to open at most {cords.coordination.iec_overload.conventional_current_factor} times that; amperes by area (flexible cords): {cords.uk_cord area_mm2 current_a}; thinner wires in proportion. A conductor of the cord table's size is right behind an ordinary branch breaker (the breaker ends its short circuit, the tool limits its load); an earth wire is as thick as the core of the cord",
        rows: &["bench.rule.small_wire_density", "rules.rule.earth_wire", "cords.appliance_cord"],
        how: "each wire is followed back to a live pin; the largest fuse on the way is compared with amperes by area",
        mend: "a thicker wire or a smaller fuse",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if case.jig.supply.mains.is_none() {
        return;
    }
    let behind = case.nets().largest_fuse();
    let earth = case.nets().groups(&Edge::is_unfused);
    let cord = case.jig.supply.cord.as_ref().and_then(|c| c.area);
    for part in &case.jig.parts {
        let PartKind::Wire(Wire { across, area: Some(area), .. }) = part.kind else { continue };
        let draft = if earth.same(across[0], NET_PE) {
            earth_wire(case, part, area, cord)
        } else {
            live_wire(case, part, across, area, &behind)
        };
        out.extend(draft);
    }
}

fn earth_wire(case: &Case, part: &Part, area: f64, cord: Option<f64>) -> Option<Draft> {
    // It carries what the earth core of the cord carries.
    let least = match cord {
        Some(cord) => cord,
        None => standard::cord::smallest_cord(0.0, None)?.value,
    };
    (area < least * AREA_SLACK).then(|| {
        case.about_part(CheckId::WireProtection, Signal::Warning, part, "area")
            .value(Compared::ConductorArea, area, "m²")
            .limit(least, &standard::rules::earth_wire())
            .states(Said::WireProtection(WireProtection::Earth {
                part: part.name.clone(),
                area: Amount::new(area, "m²"),
                least: Amount::new(least, "m²"),
            }))
            .proposes(propose::earth_wire(part, least))
    })
}

fn live_wire(case: &Case, part: &Part, across: Ends, area: f64, behind: &[Option<f64>]) -> Option<Draft> {
    let fuse = across.iter().filter_map(|n| behind[*n]).max_by(f64::total_cmp)?;
    let carries = standard::cord::wire_rating(area);
    if fuse.is_infinite() {
        // Only the branch breaker (or the plug's fuse) is in front: the cord table is the measure.
        let least = standard::cord::smallest_cord(0.0, None)?;
        let usual = || Some(standard::protection::usual_branch(&case.jig.supply.mains.as_ref()?.row).value);
        let breaker = case.jig.supply.breaker.or_else(usual);
        let front = case.jig.supply.plug_fuse.or(breaker);
        // A plug fuse that the wire carries is protection enough.
        let enough =
            front.is_some_and(|a| a <= carries.value) || area >= least.value.min(short_cord(case)) * AREA_SLACK;
        return (!enough).then(|| {
            case.about_part(CheckId::WireProtection, Signal::Warning, part, "area")
                .value(Compared::ConductorArea, area, "m²")
                .limit(least.value, &least.source)
                .states(Said::WireProtection(WireProtection::Unfused {
                    part: part.name.clone(),
                    area: Amount::new(area, "m²"),
                    branch: front.map(|a| Amount::new(a, "A")),
                    least: Amount::new(least.value, "m²"),
                }))
                .proposes(propose::earth_wire(part, least.value))
        });
    }
    let gate = opens_at(case, fuse);
    let factor = standard::cord::coordination().iter().find(|r| r.id == "iec_overload")?;
    let multiple = factor.number("conventional_current_factor")?;
    let (value, allowed) = if fuse > carries.value { (fuse, carries.value) } else { (gate, multiple * carries.value) };
    (value > allowed * (1.0 + 1e-6)).then(|| {
        let limit = Limit {
            value: allowed,
            unit: "A",
            source: format!("{}; {}", factor.cite(), carries.source),
            id: factor.id.clone(),
        };
        case.about_part(CheckId::WireProtection, Signal::Warning, part, "area")
            .value(Compared::CurrentLetThrough, value, "A")
            .limit(limit.value, &limit.source)
            .states(Said::WireProtection(WireProtection::Fused {
                part: part.name.clone(),
                area: Amount::new(area, "m²"),
                carries: Amount::new(carries.value, "A"),
                fuse: Amount::new(fuse, "A"),
                lets_through: Amount::new(gate, "A"),
            }))
            .proposes(propose::thicker(part, area, fuse))
    })
}

/// The area of a short cord by the table, where the jig's cord is one.
fn short_cord(case: &Case) -> f64 {
    let length = case.jig.supply.cord.as_ref().and_then(|c| c.length);
    // Wires inside a box are shorter than any cord.
    standard::cord::smallest_cord(
        case.survey.ledger.lasting.conductors_nominal[0].copied().map_or(0.0, |w| w.value),
        length.or(Some(0.0)),
    )
    .map_or(f64::INFINITY, |l| l.value)
}

/// Current at which the largest fuse of this rating is sure to open.
fn opens_at(case: &Case, rating: f64) -> f64 {
    let fuses = case.jig.parts.iter().filter_map(|p| {
        let PartKind::Fuse(Fuse { current, speed, breaking, .. }) = &p.kind else { return None };
        let gates = match speed {
            Some(s) => standard::fuse::fuse_gates(*current, s, *breaking),
            None => Some(standard::fuse::ul_gates(*current)),
        };
        gates.filter(|_| *current == rating)?.least_melting_current()
    });
    fuses.fold(rating, f64::max)
}
