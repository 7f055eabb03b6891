//! Metal of a class I tool, and earth contacts, that have no joint to the protective earth.

use super::bonding;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::EarthNotBonded;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{Material, NET_PE, NetId, Outlet, PartKind};
use crate::part::{Link, Socket};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::EarthNotBonded,
    judges: &[of("socket", &["earth", "nets"], &[At::Use])],
    about: About {
        looks_at: "Metal of a class I tool, and the earth contacts of its sockets and outlets, that have no joint to PE.",
        limit: "Every touchable metal part of class I is bonded, or kept from the mains by double or reinforced insulation.",
        rows: &["rules.rule.earth_path"],
        how: "Walks from every touchable to PE over wires.",
        mend: "Run a green-and-yellow wire from PE to the metal.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    contacts(case, out);
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

/// Earth contacts of sockets and outlets on the mains that no wire joins to PE.
fn contacts(case: &Case, out: &mut Vec<Draft>) {
    let nets = case.nets();
    if !nets.has_mains() {
        return;
    }
    let open = |net: NetId| !nets.earth().has(net);
    let mut told: Vec<NetId> = vec![];
    let mut tell = |of: &str, net: NetId, draft: Draft| {
        if open(net) && !told.contains(&net) {
            told.push(net);
            let said = EarthNotBonded::Contact { of: of.to_string(), net: case.net(net).to_string() };
            let draft = draft.net(case.net(net)).source(&rules::earth_path());
            out.push(draft.states(Said::EarthNotBonded(said)));
        }
    };
    for p in &case.jig.parts {
        let PartKind::Socket(socket) = &p.kind else { continue };
        if let Some(net) = earth_contact(case, socket) {
            tell(&p.name, net, case.about_part(CheckId::EarthNotBonded, Signal::Warning, p, "nets"));
        }
    }
    for o in case.jig.outlets.iter().filter(|o| nets.on_mains().has_all(&o.across)) {
        if let Some(net) = o.earth {
            tell(&o.name, net, case.at(CheckId::EarthNotBonded, Signal::Warning, o.place));
        }
    }
}

/// The net of a socket's earth contact: as stated, or the one that is left of a mains outlet's three and hangs on nothing.
fn earth_contact(case: &Case, socket: &Socket) -> Option<NetId> {
    let nets = case.nets();
    let on_mains = |net: &NetId| nets.on_mains().has(*net);
    let outlet = |o: &Outlet| o.across.iter().all(|net| socket.nets.contains(net)) && o.across.iter().all(on_mains);
    if !case.jig.outlets.iter().any(outlet) {
        return None;
    }
    let mut left = socket.nets.iter().copied().filter(|net| !on_mains(net));
    let only = left.next().filter(|net| left.next().is_none() && case.jig.nets[*net].ends == 1);
    socket.earth.or(only)
}
