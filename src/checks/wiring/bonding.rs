//! Metal that must be on the protective earth, and what keeps it off.

use super::barrier::{Guard, guard};
use super::graph::{Edge, Link, Wiring, once};
use crate::checks::{Case, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Material, NET_L, NET_N, NET_PE, Touchable};
use crate::standard::rules;

/// Metal that is not on the protective earth and must be.
pub struct Unbonded<'a> {
    /// The touchable.
    pub touchable: &'a Touchable,
    /// The parts that its way to the earth goes through; none: there is no way.
    pub through: Vec<String>,
}

/// Every touchable of a class I tool that must be on the protective earth and is not.
pub fn unbonded<'a>(case: &Case<'a>, w: &Wiring) -> Vec<Unbonded<'a>> {
    if !w.class_one() {
        return vec![];
    }
    let bonded = w.wired(NET_PE);
    let metal_box = case.jig.enclosure.material == Some(Material::Metal);
    let mut out = vec![];
    for touchable in case.jig.touchables.iter().filter(|t| !bonded[t.net]) {
        let through = breaks(w, touchable.net);
        // Metal that somebody did earth, but through a part, was meant to be on the earth whatever else guards it.
        let meant = metal_box && through.iter().any(|p| w.edges.iter().any(|e| e.name == *p && e.is_hard()));
        if meant || guard(case, w, touchable.net) == Guard::NeedsEarth {
            out.push(Unbonded { touchable, through });
        }
    }
    out
}

/// The finding about such metal.
pub fn draft(case: &Case, check: CheckId, t: &Touchable) -> Draft {
    let d = case.at(check, Signal::Danger, t.place);
    d.touchable(&t.name).net(case.net(t.net)).source(&rules::earth_path())
}

/// Parts other than wires that the shortest walk from a net to PE crosses; L and N are not walked through.
fn breaks(w: &Wiring, net: usize) -> Vec<String> {
    let mut stop = w.none();
    (stop[NET_L], stop[NET_N]) = (true, true);
    let earth = w.wired(NET_PE);
    // Hard joints first: a fuse or switch is told before a part that only happens to lie across.
    for hard in [true, false] {
        let pass = |e: &Edge| !hard || e.is_hard();
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
