//! Metal of a class I tool that has no joint to the protective earth.

use super::bonding;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::EarthNotBonded;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{Material, NET_PE};
use crate::part::Link;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::EarthNotBonded,
    about: About {
        looks_at: "Metal of a class I tool that has no joint to PE.",
        limit: "Every touchable metal part of class I is bonded, or kept from the mains by double or reinforced insulation.",
        rows: &["rules.rule.earth_path"],
        how: "Walks from every touchable to PE over wires.",
        mend: "Run a green-and-yellow wire from PE to the metal.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if !case.jig.is_class_one() {
        return;
    }
    let unbonded = bonding::unbonded(case);
    for t in unbonded.iter().filter(|u| u.through.is_empty()).map(|u| u.touchable) {
        let said = EarthNotBonded::Metal { touchable: t.name.clone(), net: case.net(t.net).to_string() };
        out.push(bonding::draft(case, CheckId::EarthNotBonded, t).states(Said::EarthNotBonded(said)));
    }
    let nets = case.nets();
    let any_bonded = case.jig.touchables.iter().any(|t| nets.earth().has(t.net));
    let metal_box = case.jig.enclosure.material == Some(Material::Metal);
    let wire_from_earth = nets.edges_at(NET_PE).any(|e| e.link == Link::Wire);
    if metal_box && !any_bonded && unbonded.is_empty() && !wire_from_earth {
        let signal = if case.jig.touchables.is_empty() { Signal::Warning } else { Signal::Danger };
        let draft = case.about_key(CheckId::EarthNotBonded, signal, "enclosure.material");
        out.push(draft.source(&rules::earth_path()).states(Said::EarthNotBonded(EarthNotBonded::Box)));
    }
}
