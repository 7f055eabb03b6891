//! Metal of a class I tool that has no joint to the protective earth.

use super::bonding;
use super::graph::{Link, Wiring};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Material, NET_PE};
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
    let w = Wiring::new(case.jig);
    if !w.class_one() {
        return;
    }
    let unbonded = bonding::unbonded(case, &w);
    for t in unbonded.iter().filter(|u| u.through.is_empty()).map(|u| u.touchable) {
        out.push(bonding::draft(case, CheckId::EarthNotBonded, t).says(
            format!("{} is not on the protective earth: one insulation fault puts the mains on it", t.name),
            format!(
                "run a green-and-yellow wire from PE to {}: a [part.…] kind = \"wire\", across = [\"PE\", \"{}\"]",
                case.net(t.net),
                case.net(t.net)
            ),
        ));
    }
    let bonded = w.wired(NET_PE);
    let any_bonded = case.jig.touchables.iter().any(|t| bonded[t.net]);
    let metal_box = case.jig.enclosure.material == Some(Material::Metal);
    let wire_from_earth = w.edges.iter().any(|e| e.link == Link::Wire && e.ends.contains(&NET_PE));
    if metal_box && !any_bonded && unbonded.is_empty() && !wire_from_earth {
        let signal = if case.jig.touchables.is_empty() { Signal::Warning } else { Signal::Danger };
        out.push(
            case.about_key(CheckId::EarthNotBonded, signal, "enclosure.material").source(&rules::earth_path()).says(
                "nothing in the file joins the metal box to the protective earth",
                "run a green-and-yellow wire from PE to the box, and name the box as [[touchable]] on that net",
            ),
        );
    }
}
