//! Metal that must be on the protective earth, and the class against plug, cord, box and parts. Graph only.

use super::graph::{Link, Wiring, list, once};
use super::insulation::{Guard, guard};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::Signal;
use crate::jig::{Class, Material, NET_L, NET_N, NET_PE};
use crate::standard::rules;
use crate::survey::build::has_earth;

/// Earthing.
pub const EARTH: Check = Check {
    names: &["earth-open", "earth-broken-by-part", "earth-not-bonded"],
    about: &[
        About {
            looks_at: "Metal on the net PE while no earth conductor reaches the jig.",
            limit: "Class I metal is on the protective conductor of the supply.",
            rows: &["rules.rule.earth_path"],
            how: "Reads plug and cord: an earth contact and a third core are needed.",
            mend: "Use an earthed plug and a three-core cord.",
        },
        About {
            looks_at: "A fuse, switch or part between metal and the protective earth.",
            limit: "Nothing that can open stands in the protective conductor.",
            rows: &["rules.rule.earth_path"],
            how: "Walks from the metal to PE over wires alone, then over parts too.",
            mend: "Bond the metal to PE with a wire of its own.",
        },
        About {
            looks_at: "Metal of a class I tool that has no joint to PE.",
            limit: "Every touchable metal part of class I is bonded, or kept from the mains by double or reinforced insulation.",
            rows: &["rules.rule.earth_path"],
            how: "Walks from every touchable to PE over wires.",
            mend: "Run a green-and-yellow wire from PE to the metal.",
        },
    ],
    run: earth,
};

/// Class.
pub const CLASS: Check = Check {
    names: &["class-conflict"],
    about: &[About {
        looks_at: "Whether the class fits plug, cord, box and parts.",
        limit: "Class I has an earth, class II depends on none and has double or reinforced insulation, class III has no mains.",
        rows: &["rules.rule.class"],
        how: "Class I with an earthless plug or a cord of fewer than three cores; class II with a part or touchable on PE, or a metal box without reinforced insulation; class III on the mains.",
        mend: "Change the class or what contradicts it.",
    }],
    run: class,
};

fn earth(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    fuses_in_earth(case, &w, out);
    if !w.class_one() {
        return;
    }
    let bonded = w.wired(NET_PE);
    let metal_box = case.jig.enclosure.material == Some(Material::Metal);
    let (mut any_bonded, mut told) = (false, false);
    for t in &case.jig.touchables {
        if bonded[t.net] {
            any_bonded = true;
            continue;
        }
        let through = breaks(&w, t.net);
        // Metal that somebody did earth, but through a part, was meant to be on the earth whatever else guards it.
        let meant = metal_box && through.iter().any(|p| w.edges.iter().any(|e| e.name == *p && e.is_hard()));
        if !meant && guard(case, &w, t.net) != Guard::NeedsEarth {
            continue;
        }
        told = true;
        let signal = Signal::Danger;
        let d = |name: &str| {
            case.at(name, signal, t.place).touchable(&t.name).net(case.net(t.net)).source(&rules::earth_path())
        };
        if through.is_empty() {
            out.push(d("earth-not-bonded").says(
                format!("{} is not on the protective earth: one insulation fault puts the mains on it", t.name),
                format!(
                    "run a green-and-yellow wire from PE to {}: a [part.…] kind = \"wire\", across = [\"PE\", \"{}\"]",
                    case.net(t.net),
                    case.net(t.net)
                ),
            ));
        } else {
            let d = through.iter().fold(d("earth-broken-by-part"), |d, p| d.part(p));
            out.push(d.says(
                format!("the earth of {} goes through {}, which can open and leave it live", t.name, list(&through)),
                format!("bond {} to PE with a wire of its own, past {}", t.name, list(&through)),
            ));
        }
    }
    let wire_from_earth = w.edges.iter().any(|e| e.link == Link::Wire && e.ends.contains(&NET_PE));
    if metal_box && !any_bonded && !told && !wire_from_earth {
        let signal = if case.jig.touchables.is_empty() { Signal::Warning } else { Signal::Danger };
        out.push(case.about_key("earth-not-bonded", signal, "enclosure.material").source(&rules::earth_path()).says(
            "nothing in the file joins the metal box to the protective earth",
            "run a green-and-yellow wire from PE to the box, and name the box as [[touchable]] on that net",
        ));
    }
    let cores_unknown = case.jig.supply.cord.as_ref().is_some_and(|c| c.cores.is_none());
    let plug_without = case.jig.supply.plug.as_ref().is_some_and(|p| !p.earth);
    if !has_earth(case.jig) && (plug_without || (case.jig.supply.cord.is_some() && !cores_unknown)) {
        let names: Vec<_> = case.jig.touchables.iter().filter(|t| bonded[t.net]).collect();
        if metal_box || !names.is_empty() {
            let what = if plug_without { "plug has no earth contact" } else { "cord has no earth core" };
            let d =
                case.about_key("earth-open", Signal::Danger, if plug_without { "supply.plug" } else { "supply.cord" });
            let d = names.iter().fold(d, |d, t| d.touchable(&t.name)).net("PE");
            out.push(d.source(&rules::earth_path()).says(
                format!("the {what}, so the net PE hangs in the air: one insulation fault puts the mains on the metal"),
                "use an earthed plug and a three-core cord",
            ));
        }
    }
}

/// Parts other than wires that the shortest walk from a net to PE crosses; L and N are not walked through.
fn breaks(w: &Wiring, net: usize) -> Vec<String> {
    let mut stop = w.none();
    (stop[NET_L], stop[NET_N]) = (true, true);
    let earth = w.wired(NET_PE);
    // Hard joints first: a fuse or switch is told before a part that only happens to lie across.
    for hard in [true, false] {
        let pass = |e: &super::graph::Edge| !hard || e.is_hard();
        let from = w.flood(&[net], &stop, &pass);
        if !(0..from.len()).any(|n| from[n] && earth[n]) {
            continue;
        }
        let back = w.flood(&[NET_PE], &stop, &|e| pass(e) && e.ends.iter().all(|n| from[*n] || earth[*n]));
        let on_way = w.edges.iter().filter(|e| pass(e) && e.link != Link::Wire);
        let on_way = on_way.filter(|e| e.ends.iter().all(|n| back[*n] && from[*n] && *n != NET_L && *n != NET_N));
        return once(on_way.map(|e| e.name.clone()));
    }
    vec![]
}

/// A fuse belongs nowhere in the protective conductor.
fn fuses_in_earth(case: &Case, w: &Wiring, out: &mut Vec<Draft>) {
    if case.jig.supply.mains.is_none() {
        return;
    }
    let earth = w.wired(NET_PE);
    let stays = |n: usize| case.jig.touchables.iter().any(|t| t.net == n);
    for e in w.edges.iter().filter(|e| matches!(e.link, Link::Fuse | Link::Thermal)) {
        let beyond = if earth[e.ends[0]] { e.ends[1] } else { e.ends[0] };
        let told = w.class_one() && (0..case.jig.nets.len()).any(|n| w.wired(beyond)[n] && stays(n));
        if earth[e.ends[0]] != earth[e.ends[1]]
            && !told
            && ![NET_L, NET_N].contains(&beyond)
            && let Some(p) = e.part.map(|k| &case.jig.parts[k])
        {
            out.push(
                case.about_part("earth-broken-by-part", Signal::Warning, p, "across").net("PE").source(&rules::earth_path()).says(
                    format!(
                        "{} is a fuse in the protective conductor: once it opens nothing says that the earth is gone",
                        p.name
                    ),
                    format!("take {} out: the earth runs unbroken, fuses go into the live conductors", p.name),
                ),
            );
        }
    }
}

fn class(case: &Case, out: &mut Vec<Draft>) {
    let jig = case.jig;
    let w = Wiring::new(jig);
    let source = rules::class();
    let draft = |key: &str| case.about_key("class-conflict", Signal::Warning, key).source(&source);
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
            case.about_key("class-conflict", Signal::Caution, "enclosure").source(&source).says(
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
    let draft = || case.about_key("class-conflict", Signal::Warning, "enclosure.class").source(&rules::class());
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
