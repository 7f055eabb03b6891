//! The class against plug, cord, box and parts.

use super::barrier::{Guard, guard};
use super::graph::{Link, Wiring, once};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Class, Material, NET_PE};
use crate::standard::rules;
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::ClassConflict,
    about: About {
        looks_at: "Whether the class fits plug, cord, box and parts.",
        limit: "Class I has an earth, class II depends on none and has double or reinforced insulation, class III has no mains.",
        rows: &["rules.rule.class"],
        how: "Class I with an earthless plug or a cord of fewer than three cores; class II with a part or touchable on PE, or a metal box without reinforced insulation; class III on the mains.",
        mend: "Change the class or what contradicts it.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let jig = case.jig;
    let w = Wiring::new(jig);
    let source = rules::class();
    let draft = |key: &str| case.about_key(CheckId::ClassConflict, Signal::Warning, key).source(&source);
    let mains = jig.supply.mains.is_some();
    match jig.enclosure.class {
        Some(Class::I) if mains => {
            let mut why = vec![];
            if let Some(p) = jig.supply.plug.as_ref().filter(|p| !p.earth) {
                why.push(format!("a type {} plug has no earth contact", p.letter));
            }
            if let Some(n) = jig.supply.cord.as_ref().and_then(|c| c.cores).filter(|n| f64::from(*n) < rules::cores_needed(true).value) {
                why.push(format!("a cord of {n} cores brings no earth"));
            }
            if !why.is_empty() {
                out.push(draft("enclosure.class").net("PE").says(
                    format!("class I stands on the protective earth, but {}", why.join(" and ")),
                    "use an earthed plug and a three-core cord, or build the tool as class II with double or reinforced insulation throughout",
                ));
            }
        }
        Some(Class::I) => out.push(draft("enclosure.class").says(
            "class I stands on the protective earth, which a tool without mains does not have",
            "write class = \"II\" and insulate it so, or \"III\" when it never meets more than extra-low voltage",
        )),
        Some(Class::II) if mains => class_two(case, &w, out),
        Some(Class::III) if mains => out.push(draft("enclosure.class").says(
            "class III is fed with safety extra-low voltage only, but this tool has a mains supply",
            "write class = \"I\" or \"II\", whichever it is built as",
        )),
        None if mains => out.push(
            case.about_key(CheckId::ClassConflict, Signal::Caution, "enclosure").source(&source).says(
                "the file does not state the class, so it is judged as class I when its box is metal and as class II otherwise",
                "write class = \"I\" (metal on the protective earth) or class = \"II\" (double or reinforced insulation)",
            ),
        ),
        _ => {}
    }
}

fn class_two(case: &Case, w: &Wiring, out: &mut Vec<Draft>) {
    let jig = case.jig;
    let earth = w.wired(NET_PE);
    let draft = || case.about_key(CheckId::ClassConflict, Signal::Warning, "enclosure.class").source(&rules::class());
    let parts = once(
        w.edges.iter().filter(|e| e.link != Link::Wire && earth[e.ends[0]] != earth[e.ends[1]]).map(|e| e.name.clone()),
    );
    let touched: Vec<_> = jig.touchables.iter().filter(|t| earth[t.net]).collect();
    if !parts.is_empty() || !touched.is_empty() {
        let what = once(parts.iter().cloned().chain(touched.iter().map(|t| t.name.clone())));
        let mut d = draft().net("PE");
        for p in parts.iter().filter(|n| jig.parts.iter().any(|p| p.name == **n)) {
            d = d.part(p);
        }
        d = touched.iter().fold(d, |d, t| d.touchable(&t.name));
        out.push(d.says(
            format!("class II depends on no earth, but {} stands on PE", list(&what)),
            format!("take {} off PE, or build the tool as class I with an earthed plug and cord", list(&what)),
        ));
    }
    if jig.enclosure.material == Some(Material::Metal) {
        let open: Vec<_> =
            jig.touchables.iter().filter(|t| !earth[t.net] && guard(case, w, t.net) == Guard::NeedsEarth).collect();
        if jig.touchables.is_empty() || !open.is_empty() {
            let d = open.iter().fold(draft(), |d, t| d.touchable(&t.name));
            out.push(d.says(
                "a metal box is class II only when double or reinforced insulation lies between it and the mains, and none is stated",
                "state the insulation with its grade and distances, or earth the box as class I",
            ));
        }
    }
}
