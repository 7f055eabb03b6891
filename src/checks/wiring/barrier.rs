//! What lies between hands and hazardous nets: the insulation stated against each circuit. Must not know what is touched in
//! which condition.

use super::hazard::Hazard;
use crate::checks::{Case, Draft};
use crate::finding::said::{Wanted, WeakBarrier};
use crate::finding::{CheckId, Signal};
use crate::jig::{Grade, Insulation, NetId, Part, PartKind, Place, Side, Touchable};
use crate::nets::{Edge, NetSet};
use crate::part::{Link, Transformer};
use crate::standard::rules;
use crate::survey::build::has_earth;

/// What keeps the mains off a net.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum KeptOff {
    /// Stated double or reinforced insulation, or the two in series.
    Insulated,
    /// Belongs to a circuit behind a barrier, or behind protective impedance.
    Circuit,
    /// Nothing: it must be earthed.
    NeedsEarth,
}

/// What keeps the mains off a touchable's net, its earth left out.
pub(crate) fn guard(case: &Case, net: NetId) -> KeptOff {
    let nets = case.nets();
    if nets.hazardous_live().has(net) {
        return KeptOff::NeedsEarth;
    }
    let circuit = nets.circuit(net);
    let feeds = |e: &Edge| match e.link {
        Link::Winding { secondary, .. } => secondary && circuit.has_any(&e.ends),
        Link::Module { output, .. } => output && circuit.has_any(&e.ends),
        Link::Wire
        | Link::Fuse(_)
        | Link::ThermalFuse
        | Link::Contact(_)
        | Link::Resistor(_)
        | Link::Capacitor { .. }
        | Link::Diode
        | Link::Threshold
        | Link::Arm { .. }
        | Link::Impedance { .. } => false,
    };
    let fed = nets.edges().iter().any(feeds);
    if fed || circuit.meets(nets.on_mains()) {
        return KeptOff::Circuit;
    }
    let strong = |n: NetId| between(case, n, net, true).is_some_and(|s| rank(&s) >= Wanted::Double.rank());
    if nets.hazardous_live().iter().all(strong) { KeptOff::Insulated } else { KeptOff::NeedsEarth }
}

/// Stated insulation in series between two nets: one, or two over metal in between.
pub(crate) type Series<'a> = Vec<&'a Insulation>;

/// 0: no protection, 1: basic, 2: double or reinforced.
pub(crate) fn rank(series: &Series) -> u8 {
    let one = |g: Grade| match g {
        Grade::Functional => 0,
        Grade::Basic | Grade::Supplementary => 1,
        Grade::Double | Grade::Reinforced => 2,
    };
    let ranks: Vec<u8> = series.iter().map(|i| one(i.grade)).collect();
    // Basic and supplementary in series are double insulation; functional counts for nothing.
    if ranks.len() > 1 && ranks.contains(&0) { 0 } else { ranks.iter().sum::<u8>().min(2) }
}

fn between<'a>(case: &Case<'a>, hazard: NetId, net: NetId, mains: bool) -> Option<Series<'a>> {
    let (from, to) = (case.nets().wired(hazard), case.nets().wired(net));
    let on = |side: &Side, nets: &NetSet| matches!(side, Side::Net(n) if nets.has(*n));
    let starts = |side: &Side| on(side, &from) || (mains && *side == Side::Mains);
    let sides = |i: &Insulation| [i.between, [i.between[1], i.between[0]]];
    let all = &case.jig.insulations;
    let direct = all.iter().filter(|i| sides(i).iter().any(|[a, b]| starts(a) && on(b, &to)));
    let mut found = direct.max_by_key(|i| i.grade).map(|i| vec![i]);
    for first in all {
        for [a, b] in sides(first) {
            let Side::Net(middle) = b else { continue };
            if !starts(&a) || to.has(middle) {
                continue;
            }
            let metal = case.nets().wired(middle);
            for second in all.iter().filter(|i| sides(i).iter().any(|[c, d]| on(c, &metal) && on(d, &to))) {
                let series = vec![first, second];
                if found.as_ref().is_none_or(|f| rank(f) < rank(&series)) {
                    found = Some(series);
                }
            }
        }
    }
    found
}

/// A touchable and a hazardous circuit that insulation has to keep apart.
pub(crate) struct Pair<'a> {
    /// The touchable.
    pub touchable: &'a Touchable,
    /// The circuit.
    pub hazard: &'a Hazard,
    /// Whether the touchable is on the protective earth.
    earthed: bool,
    /// What is stated between each net of the circuit that asks for it and the touchable.
    pub stated: Vec<(NetId, Option<Series<'a>>)>,
}

impl Pair<'_> {
    /// The insulation that is wanted between them.
    pub(crate) fn wanted(&self) -> Wanted {
        if self.earthed { Wanted::Basic } else { Wanted::Double }
    }
}

impl Wanted {
    /// The least rank of a series that is enough.
    pub(crate) fn rank(self) -> u8 {
        match self {
            Wanted::Basic => 1,
            Wanted::Double => 2,
        }
    }

    /// The grade of a single insulation that is enough.
    pub(crate) fn grade(self) -> Grade {
        match self {
            Wanted::Basic => Grade::Basic,
            Wanted::Double => Grade::Reinforced,
        }
    }
}

/// What a touchable wants.
pub(crate) enum Want<'a> {
    /// Insulation against a hazardous circuit.
    Insulation(Pair<'a>),
    /// It belongs to a circuit of its own, which is as good as the barrier it lies behind.
    Barrier(&'a Touchable),
}

/// What every touchable wants against every hazardous circuit. Touching the circuit itself is judged by what flows.
pub(crate) fn wants<'a>(case: &Case<'a>, hazards: &'a [Hazard]) -> Vec<Want<'a>> {
    let mut out = vec![];
    for touchable in &case.jig.touchables {
        let wired = case.nets().earth().has(touchable.net);
        let earthed = wired && (has_earth(case.jig) || case.jig.is_class_one());
        for hazard in hazards.iter().filter(|h| !h.nets.has(touchable.net)) {
            if !earthed && guard(case, touchable.net) == KeptOff::Circuit {
                out.push(Want::Barrier(touchable));
                continue;
            }
            let stated = |n: NetId| (n, between(case, n, touchable.net, hazard.is_mains()));
            let stated = hazard.ask.iter().map(stated).collect();
            out.push(Want::Insulation(Pair { touchable, hazard, earthed, stated }));
        }
    }
    out
}

/// Transformers whose insulation is not stated as double, and that a touchable circuit lies behind: those without any
/// stated grade, or those with one.
pub(crate) fn weak_barriers(case: &Case, check: CheckId, t: &Touchable) -> Vec<(Draft, WeakBarrier)> {
    let circuit = case.nets().circuit(t.net);
    let mut out = vec![];
    for p in &case.jig.parts {
        let PartKind::Transformer(Transformer { secondaries, insulation, .. }) = &p.kind else { continue };
        let told_here = insulation.is_some() == (check == CheckId::InsulationTooWeak);
        let behind = secondaries.iter().any(|s| circuit.has_any(&s.across));
        if behind && told_here && insulation.is_none_or(|g| g < Grade::Double) {
            let draft = case.about_part(check, Signal::Warning, p, "insulation").touchable(&t.name);
            let said = WeakBarrier { part: p.name.clone(), touchable: t.name.clone() };
            out.push((draft.net(case.net(t.net)).source(&rules::barrier()), said));
        }
    }
    out
}

/// Transformers whose screen is on the circuit of a touchable, with nothing stated that keeps the primary off it: the grade
/// that is stated of a transformer is that to its secondaries. Each with the end of the primary and the screen's net.
pub(crate) fn loose_screens<'a>(case: &Case<'a>, t: &Touchable) -> Vec<(&'a Part, [NetId; 2])> {
    let circuit = case.nets().circuit(t.net);
    let loose = |p: &'a Part| {
        let PartKind::Transformer(Transformer { primary, screen: Some(screen), .. }) = &p.kind else { return None };
        let on_it = circuit.has(*screen) && !case.nets().earth().has(*screen);
        let kept = |end: &NetId| {
            between(case, *end, *screen, case.is_mains(*end)).is_some_and(|s| rank(&s) >= Wanted::Double.rank())
        };
        let end = primary.across.iter().find(|end| !circuit.has(**end) && !kept(end))?;
        on_it.then_some((p, [*end, *screen]))
    };
    case.jig.parts.iter().filter_map(loose).collect()
}

/// A finding about the grade of an insulation.
pub(crate) fn draft(case: &Case, check: CheckId, place: Place, t: &Touchable, nets: &[String]) -> Draft {
    let d = case.at(check, Signal::Warning, place).touchable(&t.name).source(&rules::insulation_grade());
    nets.iter().fold(d, |d, n| d.net(n)).net(case.net(t.net))
}
