//! Metal on the net PE while no earth conductor reaches the jig.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::EarthOpen;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::Material;
use crate::standard::rules;
use crate::survey::build::has_earth;

pub(super) const CHECK: Check = Check {
    id: CheckId::EarthOpen,
    judges: &[],
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
    let jig = case.jig;
    if !jig.is_class_one() || has_earth(jig) {
        return;
    }
    let cores_unknown = jig.supply.cord.as_ref().is_some_and(|c| c.cores.is_none());
    let plug_without = jig.supply.plug.as_ref().is_some_and(|p| !p.earth);
    let missing = match &jig.supply.cord {
        _ if plug_without => EarthOpen::Plug,
        Some(_) if !cores_unknown => EarthOpen::Cord,
        _ => return,
    };
    let touched: Vec<_> = jig.touchables.iter().filter(|t| case.nets().earth().has(t.net)).collect();
    if jig.enclosure.material != Some(Material::Metal) && touched.is_empty() {
        return;
    }
    let key = if plug_without { "supply.plug" } else { "supply.cord" };
    let draft = case.about_key(CheckId::EarthOpen, Signal::Danger, key);
    let draft = touched.iter().fold(draft, |d, t| d.touchable(&t.name)).net("PE");
    out.push(draft.source(&rules::earth_path()).states(Said::EarthOpen(missing)));
}
