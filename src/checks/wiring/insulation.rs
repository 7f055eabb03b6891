//! What lies between hands and hazardous nets: is it stated, strong enough, wide enough. Must not know what is touched in
//! which condition; voltages come from the supply and the nominal solution.

use super::graph::{Edge, Link, Nets, Wiring, list};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::Quantity;
use crate::finding::Signal;
use crate::jig::{Grade, Insulation, LoadKind, NET_PE, NetId, PartKind, Side, Touchable};
use crate::part::{Capacitor, Psu, Transformer};
use crate::standard::insulation::{Category, clearance, creepage, impulse, mains_distances};
use crate::standard::{Level, Limit, rules, touch};
use crate::survey::build::has_earth;

/// The check.
pub const CHECK: Check = Check {
    names: &["insulation-missing", "insulation-too-weak", "clearance", "creepage"],
    about: &[
        About {
            looks_at: "Every touchable against every net that can be hazardous: is there a stated insulation.",
            limit: "Basic insulation to earthed metal, double or reinforced to everything else.",
            rows: &["rules.rule.insulation_grade", "rules.rule.barrier"],
            how: "Nets joined to the mains, and circuits above the touch limits; each wants an [[insulation]] to the touchable, directly or as basic and supplementary over metal between them.",
            mend: "Add [[insulation]] between the two with grade, clearance and creepage as built and measured.",
        },
        About {
            looks_at: "The grade of a stated insulation.",
            limit: "Basic insulation to earthed metal, double or reinforced to everything else.",
            rows: &["rules.rule.insulation_grade", "rules.rule.barrier"],
            how: "Compares the grade with what the touchable needs.",
            mend: "Earth the touchable as class I, or build reinforced insulation.",
        },
        About {
            looks_at: "The shortest way through air.",
            limit: "Mains, by volts to earth: up to {insulation.crosscheck.iec61010_150v.line_to_neutral_to_v} {insulation.crosscheck.iec61010_150v.clearance_mm}, up to {insulation.crosscheck.iec61010_300v.line_to_neutral_to_v} {insulation.crosscheck.iec61010_300v.clearance_mm}; {insulation.creepage_rule.reinforced.factor} times that for reinforced insulation. Else by impulse at pollution degree 2: {insulation.clearance_rows impulse_kv pd2_mm}.",
            rows: &[
                "rules.rule.beyond_the_table",
                "insulation.crosscheck.iec61010_150v",
                "insulation.crosscheck.iec61010_300v",
                "insulation.clearance_rule",
            ],
            how: "Compares the stated clearance with the row of the voltage to earth.",
            mend: "Move the parts apart, or put a barrier between them.",
        },
        About {
            looks_at: "The shortest way along a surface.",
            limit: "Mains: the creepage of the same rows as for clearance, {insulation.creepage_rule.reinforced.factor} times it for reinforced insulation. Else by working voltage, material group III, pollution degree 2: {insulation.creepage_rows working_rms_v pd2_mg3_mm}.",
            rows: &[
                "rules.rule.beyond_the_table",
                "insulation.crosscheck.iec61010_150v",
                "insulation.crosscheck.iec61010_300v",
            ],
            how: "Compares the stated creepage with the row of the working voltage (r.m.s.), taken from the supply or the nominal solution, whichever is higher.",
            mend: "Move the parts apart, or cut a slot into the board.",
        },
    ],
    run,
};

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
    let fed = crate::survey::faults::mains_nets(case.jig).iter().any(|n| island[*n]);
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
struct Hazard {
    nets: Nets,
    /// Nets that want a stated insulation: all of the mains, which has one word in the file; of another circuit the ends
    /// that feed it or leave the box, which stand for what is strung between them.
    ask: Nets,
    mains: bool,
    /// Working volts r.m.s. (a steady d.c. voltage counts as its own value).
    volts: f64,
    words: String,
}

fn hazards(case: &Case, w: &Wiring) -> Vec<Hazard> {
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
type Series<'a> = Vec<&'a Insulation>;

fn rank(series: &Series) -> u8 {
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

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let earth = w.wired(NET_PE);
    let hazards = hazards(case, &w);
    for t in &case.jig.touchables {
        let earthed = earth[t.net] && (has_earth(case.jig) || w.class_one());
        for h in &hazards {
            if h.nets[t.net] {
                // Touching the circuit itself is judged by what flows, not by insulation.
                continue;
            }
            if !earthed && guard(case, &w, t.net) == Guard::Circuit {
                barrier(case, t, &w, out);
                continue;
            }
            pair(case, &w, t, h, earthed, out);
        }
    }
}

/// A touchable circuit is as good as the barrier it lies behind.
fn barrier(case: &Case, t: &Touchable, w: &Wiring, out: &mut Vec<Draft>) {
    let island = circuit_of(w, t.net);
    for p in &case.jig.parts {
        let PartKind::Transformer(Transformer { secondaries, insulation, .. }) = &p.kind else { continue };
        if !secondaries.iter().any(|s| island[s.across[0]]) || insulation.is_some_and(|g| g >= Grade::Double) {
            continue;
        }
        let check = if insulation.is_some() { "insulation-too-weak" } else { "insulation-missing" };
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

fn pair(case: &Case, w: &Wiring, t: &Touchable, h: &Hazard, earthed: bool, out: &mut Vec<Draft>) {
    let (need, need_words, want) =
        if earthed { (1, "basic", Grade::Basic) } else { (2, "double or reinforced", Grade::Reinforced) };
    let rule = &rules::insulation_grade();
    let nets: Vec<NetId> = (0..h.ask.len()).filter(|n| h.ask[*n]).collect();
    let stated: Vec<(NetId, Option<Series>)> =
        nets.iter().map(|n| (*n, between(case, w, *n, t.net, h.mains))).collect();
    let name_of = |n: &NetId| case.net(*n).to_string();
    let missing: Vec<String> = stated.iter().filter(|s| s.1.is_none()).map(|s| name_of(&s.0)).collect();
    let side =
        |names: &[String]| if h.mains && names.len() == nets.len() { "mains".to_string() } else { names[0].clone() };
    let about = |check: &str, place, names: &[String]| {
        let d = case.at(check, Signal::Warning, place).touchable(&t.name).source(rule);
        names.iter().fold(d, |d, n| d.net(n)).net(case.net(t.net))
    };
    if !missing.is_empty() {
        out.push(about("insulation-missing", t.place, &missing).says(
            format!("nothing says what keeps {} ({}) off {}", h.words, list(&missing), t.name),
            format!(
                "add [[insulation]] between = [\"{}\", \"{}\"] with grade ({need_words}), clearance and creepage as built",
                side(&missing),
                case.net(t.net)
            ),
        ));
    }
    let weak: Vec<&(NetId, Option<Series>)> =
        stated.iter().filter(|s| s.1.as_ref().is_some_and(|i| rank(i) < need)).collect();
    if let Some(first) = weak.first().and_then(|s| s.1.as_ref()) {
        let names: Vec<String> = weak.iter().map(|s| name_of(&s.0)).collect();
        out.push(about("insulation-too-weak", first[0].place, &names).says(
            format!(
                "the insulation between {} and {} is {} where {need_words} is needed",
                h.words,
                t.name,
                first[0].grade.word()
            ),
            if earthed {
                "build basic insulation at least".to_string()
            } else {
                format!("build it as reinforced insulation, or bond {} to the protective earth (class I)", t.name)
            },
        ));
    }
    let mut done: Vec<*const Insulation> = vec![];
    for series in stated.iter().filter_map(|s| s.1.as_ref()) {
        for i in series {
            if !done.contains(&std::ptr::from_ref(*i)) {
                done.push(std::ptr::from_ref(*i));
                let grade = if series.len() > 1 { Grade::Basic } else { want };
                distances(case, t, h, i, grade, out);
            }
        }
    }
}

/// Smallest clearance and creepage in metres.
fn least(case: &Case, h: &Hazard, grade: Grade) -> (Option<Limit>, Option<Limit>) {
    let earth = Wiring::new(case.jig).volts_to_earth().0;
    let table = if h.mains { mains_distances(h.volts, grade) } else { None };
    if let Some((c, k)) = table {
        return (Some(c), Some(k));
    }
    // Not the mains itself, or above its table: by impulse (mains) or by the circuit's own crest, and working voltage.
    let impulse = if h.mains {
        impulse(earth, Category::II).map(|l| l.value.max(h.volts * std::f64::consts::SQRT_2))
    } else {
        impulse(h.volts, Category::I).map(|l| l.value)
    };
    (impulse.and_then(|v| clearance(v, grade)), creepage(h.volts, grade))
}

fn distances(case: &Case, t: &Touchable, h: &Hazard, i: &Insulation, grade: Grade, out: &mut Vec<Draft>) {
    let (c, k) = least(case, h, grade);
    for (check, stated, least) in [("clearance", i.clearance, c), ("creepage", i.creepage, k)] {
        let d = case.at(check, Signal::Warning, i.place).touchable(&t.name).net(case.net(t.net));
        let Some(least) = least else {
            out.push(d.source(&rules::beyond_the_table()).says(
                format!("no table here gives the {check} for {:.0} V between {} and {}", h.volts, h.words, t.name),
                "have the insulation judged by someone who can measure it",
            ));
            continue;
        };
        let mm = |m: f64| format!("{} mm", (m * 1e5).round() / 1e2);
        match stated {
            None => out.push(d.source(&least.source).says(
                format!("the {check} between {} and {} is not stated", h.words, t.name),
                format!("measure it: {} at least; write {check} = \"…\"", mm(least.value)),
            )),
            // Rounding of the unit conversion must not break a distance that is just enough.
            Some(x) if x < least.value * (1.0 - 1e-9) => {
                let mut d = d.value(check, x, "m").limit(least.value, &least.source);
                // Here the value must not fall below the limit.
                d.0.margin = Some(x / least.value);
                out.push(d.says(
                    format!(
                        "the {check} between {} and {} is {}, where {} is needed for {:.0} V",
                        h.words,
                        t.name,
                        mm(x),
                        mm(least.value),
                        h.volts
                    ),
                    format!("move them apart to {} or more, or put a barrier between them", mm(least.value)),
                ));
            }
            Some(_) => {}
        }
    }
}
