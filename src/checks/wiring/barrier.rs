//! What lies between hands and hazardous nets: the circuits, and the insulation stated against them. Must not know what is
//! touched in which condition; voltages come from the supply and the nominal solution.

use super::graph::{Edge, Link, Nets, Wiring};
use crate::checks::{Case, Draft};
use crate::finding::{CheckId, Quantity, Signal};
use crate::jig::{Grade, Insulation, LoadKind, NET_PE, NetId, PartKind, Place, Side, Touchable};
use crate::part::{Capacitor, Psu, Transformer};
use crate::standard::{Level, Limit, rules, touch};
use crate::survey::build::has_earth;

/// What keeps the mains off a net.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Guard {
    /// Stated double or reinforced insulation, or the two in series.
    Insulated,
    /// Belongs to a circuit behind a barrier, or behind protective impedance.
    Circuit,
    /// Nothing: it must be earthed.
    NeedsEarth,
}

/// What keeps the mains off a touchable's net, its earth left out.
pub fn guard(case: &Case, w: &Wiring, net: NetId) -> Guard {
    let hot = w.hot();
    if hot[net] {
        return Guard::NeedsEarth;
    }
    let island = circuit_of(w, net);
    let of_barrier = case.jig.parts.iter().any(|p| match &p.kind {
        PartKind::Transformer(Transformer { secondaries, .. }) => secondaries.iter().any(|s| island[s.across[0]]),
        PartKind::Psu(Psu { output, .. }) => output.iter().any(|n| island[*n]),
        _ => false,
    });
    let fed = case.nets().on_mains().iter().any(|n| island[n]);
    if of_barrier || fed {
        return Guard::Circuit;
    }
    let all = (0..hot.len()).filter(|n| hot[*n]);
    let strong = |n: NetId| between(case, w, n, net, true).is_some_and(|s| rank(&s) >= 2);
    if all.into_iter().all(strong) { Guard::Insulated } else { Guard::NeedsEarth }
}

/// Nets of one circuit: joined through anything but a class Y capacitor or the earth.
fn circuit_of(w: &Wiring, net: NetId) -> Nets {
    let earth = w.wired(NET_PE);
    w.flood(&[net], &earth, &|e: &Edge| e.link != Link::YCapacitor && !e.ends.iter().any(|n| earth[*n]))
}

/// A circuit that hands must be kept from.
pub struct Hazard {
    /// Its nets.
    pub nets: Nets,
    /// Nets that want a stated insulation: all of the mains, which has one word in the file; of another circuit the ends
    /// that feed it or leave the box, which stand for what is strung between them.
    pub ask: Nets,
    /// Whether it is the mains.
    pub mains: bool,
    /// Working volts r.m.s. (a steady d.c. voltage counts as its own value).
    pub volts: f64,
    /// What it is, in words.
    pub words: String,
}

/// Every circuit that hands must be kept from.
pub fn hazards(case: &Case, w: &Wiring) -> Vec<Hazard> {
    let mut out: Vec<Hazard> = vec![];
    let hot = w.hot();
    if hot.iter().any(|h| *h) {
        let items = case.survey.model.items.iter().enumerate();
        let inner = items
            .filter(|(_, i)| i.ends.iter().all(|n| hot[*n]))
            .filter_map(|(k, _)| case.nominal(k, Quantity::VoltageRms));
        let nominal = w.volts_to_earth().0;
        // Only a circuit that raises the voltage counts above the supply's own.
        let highest = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.at(Level::High));
        let volts = inner.filter(|v| *v > highest).fold(nominal, f64::max);
        out.push(Hazard { nets: hot.clone(), ask: hot, mains: true, volts, words: "the mains".into() });
    }
    let limits = touch::limits(touch::Condition::Normal);
    let mut island = |net: NetId, volts: f64, limit: &Limit, words: String| {
        if volts <= limit.value || out.iter().any(|h| h.mains && h.nets[net]) {
            return;
        }
        match out.iter_mut().find(|h| h.nets[net]) {
            Some(h) => h.volts = h.volts.max(volts),
            None => out.push(Hazard { nets: circuit_of(w, net), ask: w.none(), mains: false, volts, words }),
        }
    };
    for p in &case.jig.parts {
        match &p.kind {
            PartKind::Transformer(Transformer { secondaries, .. }) => {
                for s in secondaries {
                    island(s.across[0], s.volts, &limits.voltage_rms, format!("the {} of {}", s.name, p.name));
                }
            }
            PartKind::Psu(Psu { output, volts: Some(v), .. }) => {
                island(output[0], *v, &limits.voltage_dc, format!("the output of {}", p.name));
            }
            PartKind::Capacitor(Capacitor { across, charged: Some(v), .. }) => {
                island(across[0], *v, &limits.voltage_dc, format!("charged {}", p.name));
            }
            _ => {}
        }
    }
    for o in &case.jig.outlets {
        for l in &o.loads {
            if let LoadKind::Charged(_, v) = l.kind {
                island(o.across[0], v, &limits.voltage_dc, format!("what is on {}", o.name));
            }
        }
    }
    let sources = case.jig.parts.iter().filter(|p| {
        let charged = matches!(p.kind, PartKind::Capacitor(Capacitor { charged: Some(_), .. }));
        charged || matches!(p.kind, PartKind::Transformer(_) | PartKind::Psu(_) | PartKind::Socket(_))
    });
    let ends: Vec<NetId> =
        sources.flat_map(|p| p.kind.terminals()).chain(case.jig.outlets.iter().flat_map(|o| o.across)).collect();
    for h in out.iter_mut().filter(|h| !h.mains) {
        ends.iter().filter(|n| h.nets[**n]).for_each(|n| h.ask[*n] = true);
    }
    out
}

/// Nets of hazardous circuits that are not the mains.
pub fn hazardous_nets(case: &Case, w: &Wiring) -> Nets {
    let mut out = w.none();
    for h in hazards(case, w) {
        (0..out.len()).for_each(|n| out[n] |= h.nets[n]);
    }
    out
}

/// Stated insulation in series between two nets: one, or two over metal in between.
pub type Series<'a> = Vec<&'a Insulation>;

/// 0: no protection, 1: basic, 2: double or reinforced.
pub fn rank(series: &Series) -> u8 {
    let one = |g: Grade| match g {
        Grade::Functional => 0,
        Grade::Basic | Grade::Supplementary => 1,
        Grade::Double | Grade::Reinforced => 2,
    };
    let ranks: Vec<u8> = series.iter().map(|i| one(i.grade)).collect();
    // Basic and supplementary in series are double insulation; functional counts for nothing.
    if ranks.len() > 1 && ranks.contains(&0) { 0 } else { ranks.iter().sum::<u8>().min(2) }
}

fn between<'a>(case: &Case<'a>, w: &Wiring, hazard: NetId, net: NetId, mains: bool) -> Option<Series<'a>> {
    let (from, to) = (w.wired(hazard), w.wired(net));
    let covers = |s: &Side, nets: &Nets| match s {
        Side::Mains => mains && std::ptr::eq(nets, &from),
        Side::Net(n) => nets[*n],
    };
    let sides = |i: &Insulation| [i.between, [i.between[1], i.between[0]]];
    let all = &case.jig.insulations;
    let direct = all.iter().filter(|i| sides(i).iter().any(|[a, b]| covers(a, &from) && covers(b, &to)));
    let best = direct.max_by_key(|i| i.grade);
    let mut found = best.map(|i| vec![i]);
    for first in all {
        for [a, b] in sides(first) {
            let Side::Net(middle) = b else { continue };
            if !covers(&a, &from) || to[middle] {
                continue;
            }
            let metal = w.wired(middle);
            for second in all {
                if sides(second).iter().any(|[c, d]| matches!(c, Side::Net(n) if metal[*n]) && covers(d, &to)) {
                    let series = vec![first, second];
                    if found.as_ref().is_none_or(|f| rank(f) < rank(&series)) {
                        found = Some(series);
                    }
                }
            }
        }
    }
    found
}

/// A touchable and a hazardous circuit that insulation has to keep apart.
pub struct Pair<'a> {
    /// The touchable.
    pub touchable: &'a Touchable,
    /// The circuit.
    pub hazard: &'a Hazard,
    /// Whether the touchable is on the protective earth.
    pub earthed: bool,
    /// What is stated between each net of the circuit that asks for it and the touchable.
    pub stated: Vec<(NetId, Option<Series<'a>>)>,
}

impl Pair<'_> {
    /// Rank and grade that are needed, and words for it.
    pub fn needed(&self) -> (u8, &'static str, Grade) {
        if self.earthed { (1, "basic", Grade::Basic) } else { (2, "double or reinforced", Grade::Reinforced) }
    }
}

/// What a touchable wants.
pub enum Want<'a> {
    /// Insulation against a hazardous circuit.
    Insulation(Pair<'a>),
    /// It belongs to a circuit of its own, which is as good as the barrier it lies behind.
    Barrier(&'a Touchable),
}

/// What every touchable wants against every hazardous circuit. Touching the circuit itself is judged by what flows.
pub fn wants<'a>(case: &Case<'a>, w: &Wiring, hazards: &'a [Hazard]) -> Vec<Want<'a>> {
    let earth = w.wired(NET_PE);
    let mut out = vec![];
    for touchable in &case.jig.touchables {
        let earthed = earth[touchable.net] && (has_earth(case.jig) || w.class_one());
        for hazard in hazards.iter().filter(|h| !h.nets[touchable.net]) {
            if !earthed && guard(case, w, touchable.net) == Guard::Circuit {
                out.push(Want::Barrier(touchable));
                continue;
            }
            let nets = (0..hazard.ask.len()).filter(|n| hazard.ask[*n]);
            let stated = nets.map(|n| (n, between(case, w, n, touchable.net, hazard.mains))).collect();
            out.push(Want::Insulation(Pair { touchable, hazard, earthed, stated }));
        }
    }
    out
}

/// Transformers whose insulation is not stated as double, and that a touchable circuit lies behind: those without any
/// stated grade, or those with one.
pub fn weak_barriers(case: &Case, check: CheckId, t: &Touchable, w: &Wiring, out: &mut Vec<Draft>) {
    let island = circuit_of(w, t.net);
    for p in &case.jig.parts {
        let PartKind::Transformer(Transformer { secondaries, insulation, .. }) = &p.kind else { continue };
        if !secondaries.iter().any(|s| island[s.across[0]]) || insulation.is_some_and(|g| g >= Grade::Double) {
            continue;
        }
        if insulation.is_some() != (check == CheckId::InsulationTooWeak) {
            continue;
        }
        let d = case.about_part(check, Signal::Warning, p, "insulation").touchable(&t.name).net(case.net(t.net));
        out.push(d.source(&rules::barrier()).says(
            format!(
                "only {} keeps the mains off {}, and its insulation is not stated as double or reinforced",
                p.name, t.name
            ),
            format!("use a safety isolating transformer for {} and write insulation = \"reinforced\"", p.name),
        ));
    }
}

/// A finding about the grade of an insulation.
pub fn draft(case: &Case, check: CheckId, place: Place, t: &Touchable, names: &[String]) -> Draft {
    let d = case.at(check, Signal::Warning, place).touchable(&t.name).source(&rules::insulation_grade());
    names.iter().fold(d, |d, n| d.net(n)).net(case.net(t.net))
}
