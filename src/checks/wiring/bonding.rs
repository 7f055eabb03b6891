//! Metal that must be on the protective earth, and what keeps it off.

use super::barrier::{KeptOff, guard};
use super::names;
use crate::checks::{Case, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Material, NET_L, NET_N, NET_PE, NetId, Touchable};
use crate::nets::{Edge, NetSet};
use crate::part::Link;
use crate::standard::rules;

/// Metal that is not on the protective earth and must be.
pub(crate) struct Unbonded<'a> {
    /// The touchable.
    pub touchable: &'a Touchable,
    /// The parts that its way to the earth goes through; none: there is no way.
    pub through: Vec<String>,
}

/// Every touchable of a class I tool that must be on the protective earth and is not.
pub(crate) fn unbonded<'a>(case: &Case<'a>) -> Vec<Unbonded<'a>> {
    if !case.jig.is_class_one() {
        return vec![];
    }
    let metal_box = case.jig.enclosure.material == Some(Material::Metal);
    let hard = |name: &String| case.nets().edges().iter().any(|e| e.is_hard() && e.name(case.jig) == name);
    let mut out = vec![];
    for touchable in case.jig.touchables.iter().filter(|t| !case.nets().earth().has(t.net)) {
        let through = breaks(case, touchable.net);
        // Metal that somebody did earth, but through a part, was meant to be on the earth whatever else guards it.
        let meant = metal_box && through.iter().any(hard);
        if meant || guard(case, touchable.net) == KeptOff::NeedsEarth {
            out.push(Unbonded { touchable, through });
        }
    }
    out
}

/// The finding about such metal.
pub(crate) fn draft(case: &Case, check: CheckId, t: &Touchable) -> Draft {
    let d = case.at(check, Signal::Danger, t.place);
    d.touchable(&t.name).net(case.net(t.net)).source(&rules::earth_path())
}

/// Parts other than wires that the shortest walk from a net to PE crosses; L and N are not walked through.
fn breaks(case: &Case, net: NetId) -> Vec<String> {
    let nets = case.nets();
    let pins = NetSet::of(nets.count(), |n| n == NET_L || n == NET_N);
    // Hard joints first: a fuse or switch is told before a part that only happens to lie across.
    for hard in [true, false] {
        let pass = |e: &Edge| !hard || e.is_hard();
        let from = nets.walk(&[net], &pass).ending_at(&pins).reached();
        if !from.meets(nets.earth()) {
            continue;
        }
        let between = from.or(nets.earth());
        let back = nets.walk(&[NET_PE], &|e| pass(e) && between.has_all(&e.ends)).ending_at(&pins).reached();
        let on_way = |e: &&Edge| back.has_all(&e.ends) && from.has_all(&e.ends) && !pins.has_any(&e.ends);
        return names::of_edges(case, nets.edges().iter().filter(|e| pass(e) && e.link != Link::Wire).filter(on_way));
    }
    vec![]
}
