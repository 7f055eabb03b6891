//! Metal on the net PE while no earth conductor reaches the jig.

use super::graph::Wiring;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Material, NET_PE};
use crate::standard::rules;
use crate::survey::build::has_earth;

pub(super) const CHECK: Check = Check {
    id: CheckId::EarthOpen,
    about: About {
        looks_at: "Metal on the net PE while no earth conductor reaches the jig.",
        limit: "Class I metal is on the protective conductor of the supply.",
        rows: &["rules.rule.earth_path"],
        how: "Reads plug and cord: an earth contact and a third core are needed.",
        mend: "Use an earthed plug and a three-core cord.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    if !w.class_one() {
        return;
    }
    let bonded = w.wired(NET_PE);
    let metal_box = case.jig.enclosure.material == Some(Material::Metal);
    let cores_unknown = case.jig.supply.cord.as_ref().is_some_and(|c| c.cores.is_none());
    let plug_without = case.jig.supply.plug.as_ref().is_some_and(|p| !p.earth);
    if !has_earth(case.jig) && (plug_without || (case.jig.supply.cord.is_some() && !cores_unknown)) {
        let names: Vec<_> = case.jig.touchables.iter().filter(|t| bonded[t.net]).collect();
        if metal_box || !names.is_empty() {
            let what = if plug_without { "plug has no earth contact" } else { "cord has no earth core" };
            let d = case.about_key(
                CheckId::EarthOpen,
                Signal::Danger,
                if plug_without { "supply.plug" } else { "supply.cord" },
            );
            let d = names.iter().fold(d, |d, t| d.touchable(&t.name)).net("PE");
            out.push(d.source(&rules::earth_path()).says(
                format!("the {what}, so the net PE hangs in the air: one insulation fault puts the mains on the metal"),
                "use an earthed plug and a three-core cord",
            ));
        }
    }
}
