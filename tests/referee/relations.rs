//! Pairs of tools that differ in one thing, and what has to hold between their reports.

use super::dice::Dice;
use super::told::{Finding, Signal, Told};
use super::tool::{Grade, Kind, Part, Tool};
use std::collections::{BTreeMap, BTreeSet};

/// What has to hold.
#[derive(Clone, Copy, PartialEq)]
pub enum Holds {
    /// The same findings, save of these checks.
    Same(&'static [&'static str]),
    /// Nothing new, nothing graver, save of these checks.
    NotWorse(&'static [&'static str]),
    /// The same where no device opens in either: what a device ends at high volts may smoulder at fewer.
    NotWorseUncleared(&'static [&'static str]),
    /// The gravest word that is not about the part itself is no milder.
    NotBetter,
    /// The same findings of normal use, the part that was changed left aside.
    SameInUse,
}

/// A pair: what was changed.
pub struct Pair {
    pub relation: &'static str,
    pub other: Tool,
    /// Its jig file.
    pub text: String,
    /// New names of parts and touchables by their old ones.
    pub names: BTreeMap<String, String>,
    /// The part that was changed.
    pub part: String,
    pub holds: Holds,
}

fn plain(relation: &'static str, other: Tool, part: &str, holds: Holds) -> Pair {
    Pair { relation, text: other.text(), other, names: BTreeMap::new(), part: part.into(), holds }
}

fn shuffle<T>(dice: &mut Dice, list: &mut [T]) {
    for k in (1..list.len()).rev() {
        list.swap(k, dice.below(k + 1));
    }
}

fn renamed(tool: &Tool) -> Pair {
    let mut other = tool.clone();
    let mut names = BTreeMap::new();
    let net = |n: &mut String| {
        if !["L", "N", "PE", "mains"].contains(&n.as_str()) {
            *n = format!("k{}", n.bytes().rev().map(|b| format!("{b:x}")).collect::<String>());
        }
    };
    let count = other.parts.len();
    for (k, part) in other.parts.iter_mut().enumerate() {
        // So that their order by name turns round too.
        let to = format!("Z{}", count - k);
        names.insert(std::mem::replace(&mut part.name, to.clone()), to);
        part.ends.iter_mut().for_each(net);
    }
    for i in &mut other.insulation {
        net(&mut i.from);
        net(&mut i.to);
    }
    other.touchables.iter_mut().for_each(|t| net(&mut t.net));
    other.outlets.iter_mut().for_each(|o| o.across.iter_mut().for_each(net));
    Pair { names, ..plain("renamed", other, "", Holds::Same(&[])) }
}

fn reordered(tool: &Tool, dice: &mut Dice) -> Pair {
    let mut other = tool.clone();
    shuffle(dice, &mut other.parts);
    other.insulation.reverse();
    other.touchables.reverse();
    other.outlets.iter_mut().for_each(|o| o.loads.reverse());
    plain("reordered", other, "", Holds::Same(&[]))
}

fn turned(tool: &Tool) -> Pair {
    let mut other = tool.clone();
    for part in &mut other.parts {
        match part.kind {
            Kind::Diode { .. } | Kind::Led { .. } | Kind::Capacitor { polarised: true, .. } => {}
            Kind::Bridge { .. } => part.ends.swap(0, 1),
            _ => part.ends.chunks_mut(2).for_each(|pole| pole.swap(0, 1)),
        }
    }
    for i in &mut other.insulation {
        std::mem::swap(&mut i.from, &mut i.to);
    }
    other.outlets.iter_mut().for_each(|o| o.across.swap(0, 1));
    plain("ends swapped", other, "", Holds::Same(&[]))
}

/// Every value in units without a prefix: `"4.7e-8 F"` for `"47 nF"`.
fn written_another_way(tool: &Tool) -> Pair {
    let prefixes = [("M", 1e6), ("k", 1e3), ("m", 1e-3), ("u", 1e-6), ("n", 1e-9)];
    let value = |word: &str| -> Option<String> {
        let (number, unit) = word.split_once(' ')?;
        let number: f64 = number.parse().ok()?;
        let bare = ["Ω", "F", "V", "A", "W"].into_iter().find(|bare| unit.ends_with(bare))?;
        let (_, scale) = prefixes.into_iter().find(|(p, _)| *p == unit.trim_end_matches(bare))?;
        Some(format!("{:e} {bare}", number * scale))
    };
    let words = tool.text();
    let words = words.split('"').map(|word| value(word).unwrap_or_else(|| word.to_string()));
    let text = words.collect::<Vec<_>>().join("\"");
    Pair { text, ..plain("written another way", tool.clone(), "", Holds::Same(&[])) }
}

/// Fewer volts than the low end of the band. A load of so many watts takes more of them, and is left out.
fn on_less(tool: &Tool) -> Option<Pair> {
    if !tool.outlets.is_empty() {
        return None;
    }
    let mut other = tool.clone();
    let supply = other.supply.as_mut()?;
    supply.row = None;
    let percent = 0.05;
    supply.volts = (supply.low / (1.0 + percent) * 0.98).floor();
    supply.high = supply.volts * (1.0 + percent);
    supply.low = supply.volts * (1.0 - percent);
    // Fewer volts light a lamp less, and bring a fuse from where it opens some time to where it carries on for hours.
    Some(plain("lower mains", other, "", Holds::NotWorseUncleared(&["lamp-strike", "flash-rate", "smoulder"])))
}

fn with_idle_part(tool: &Tool) -> Pair {
    let mut other = tool.clone();
    let kind = Kind::Resistor { ohms: 1e3, percent: 5.0, watts: 0.5, volts: 350.0 };
    for (name, ends) in [("RX1", ["ZX1", "ZX2"]), ("RX2", ["ZX2", "ZX1"])] {
        other.parts.push(Part { name: name.into(), kind: kind.clone(), ends: ends.map(String::from).to_vec() });
    }
    plain("a part that hangs on nothing", other, "", Holds::Same(&["unused-part", "loose-end", "bypassed"]))
}

/// One part with its ratings times `factor`; what a fuse lets through is no rating of that sort.
fn rated(part: &mut Part, factor: f64) -> bool {
    let times = |list: &mut [&mut f64]| list.iter_mut().for_each(|x| **x *= factor);
    match &mut part.kind {
        Kind::Resistor { watts, volts, .. } => times(&mut [watts, volts]),
        Kind::Capacitor { volts, .. } => times(&mut [volts]),
        Kind::Diode { volts, amps, surge, .. } | Kind::Bridge { volts, amps, surge, .. } => {
            times(&mut [volts, amps, surge]);
        }
        Kind::Led { reverse, peak, .. } => times(&mut [reverse, peak]),
        Kind::Neon { max, .. } => times(&mut [max]),
        Kind::Fuse { volts, breaking, .. } => times(&mut [volts, breaking]),
        Kind::Switch { volts, amps } => times(&mut [volts, amps]),
        // One that conducts across the mains hides the rest of the jig.
        Kind::Varistor { .. } | Kind::Filament { .. } | Kind::Wire { .. } => return false,
    }
    true
}

fn split(tool: &Tool, k: usize, series: bool) -> Option<Pair> {
    let mut other = tool.clone();
    let Kind::Resistor { ohms, percent, watts, volts } = other.parts[k].kind else { return None };
    let ends = other.parts[k].ends.clone();
    let name = other.parts[k].name.clone();
    let half = if series {
        Kind::Resistor { ohms: ohms / 2.0, percent, watts: watts / 2.0, volts: volts / 2.0 }
    } else {
        Kind::Resistor { ohms: ohms * 2.0, percent, watts: watts / 2.0, volts }
    };
    other.parts[k].kind = half.clone();
    let mut second = Part { name: format!("{name}b"), kind: half, ends: ends.clone() };
    if series {
        other.parts[k].ends[1] = "HALF".into();
        second.ends[0] = "HALF".into();
    }
    other.parts.insert(k + 1, second);
    let relation = if series { "resistor split in series" } else { "resistor split side by side" };
    Some(plain(relation, other, &name, Holds::SameInUse))
}

/// The pairs made of a tool.
pub fn pairs(tool: &Tool, dice: &mut Dice) -> Vec<Pair> {
    let mut all =
        vec![renamed(tool), reordered(tool, dice), turned(tool), with_idle_part(tool), written_another_way(tool)];
    all.extend(on_less(tool));
    let pick = |dice: &mut Dice| dice.below(tool.parts.len());
    let k = pick(dice);
    for (relation, factor) in [("higher rating", 2.0), ("much higher rating", 20.0)] {
        let mut other = tool.clone();
        if rated(&mut other.parts[k], factor) {
            all.push(plain(relation, other, &tool.parts[k].name, Holds::NotWorse(&[])));
        }
    }
    let resistors: Vec<usize> =
        (0..tool.parts.len()).filter(|&k| matches!(tool.parts[k].kind, Kind::Resistor { .. })).collect();
    if !resistors.is_empty() {
        let k = dice.pick(&resistors);
        // Two in series are protective impedance where one is none.
        if tool.topology != "touch plate" {
            all.extend(split(tool, k, true));
        }
        all.extend(split(tool, k, false));
    }
    let better = |g: Grade| if g < Grade::Basic { Grade::Basic } else { Grade::Reinforced };
    if tool.insulation.iter().any(|i| better(i.grade) > i.grade) {
        let mut other = tool.clone();
        other.insulation.iter_mut().for_each(|i| i.grade = better(i.grade).max(i.grade));
        all.push(plain("better insulation", other, "", Holds::NotWorse(&[])));
    }
    let fuses: Vec<usize> =
        (0..tool.parts.len()).filter(|&k| matches!(tool.parts[k].kind, Kind::Fuse { .. })).collect();
    if let [.., k] = fuses[..] {
        let mut other = tool.clone();
        let name = other.parts[k].name.clone();
        let ends = other.parts[k].ends.clone();
        let kind = Kind::Wire { area: 0.75, colour: "black" };
        other.parts.push(Part { name: "WB".into(), kind, ends });
        all.push(plain("fuse bridged", other, &name, Holds::NotBetter));
    }
    if tool.rcd {
        let mut other = tool.clone();
        other.rcd = false;
        all.push(plain("no residual-current device", other, "", Holds::NotBetter));
    }
    if let Some(k) = tool.parts.iter().position(|p| p.name == "RB1") {
        let mut other = tool.clone();
        let gone = other.parts.remove(k);
        other.parts.retain(|p| p.name != "RB2");
        all.push(plain("no bleeder", other, &gone.name, Holds::NotBetter));
    }
    all
}

/// Too many watts in a resistor are told by one of two checks, as a fuse near its rating makes it.
fn family(check: &str) -> &str {
    if check == "smoulder" { "resistor-power" } else { check }
}

type Told3 = BTreeSet<(String, Signal, Vec<String>)>;

/// The findings as check, signal word and what they are about.
fn set(told: &Told, names: &BTreeMap<String, String>, keep: impl Fn(&Finding) -> bool) -> Told3 {
    let kept = told.findings.iter().filter(|f| keep(f));
    kept.map(|f| {
        let mut own: Vec<String> = f.subjects.iter().map(|s| names.get(s).unwrap_or(s).clone()).collect();
        own.sort();
        (f.check.clone(), f.signal, own)
    })
    .collect()
}

fn in_use(f: &Finding) -> bool {
    !["open", "shorted", "broken", "welded", "unplugged", "switched on"].iter().any(|w| f.condition.contains(w))
}

/// What does not hold between two reports.
pub fn broken(pair: &Pair, before: &Told, after: &Told) -> Vec<String> {
    let none = BTreeMap::new();
    let list = |from: &Told3, to: &Told3, word: &str| -> Vec<String> {
        from.difference(to).map(|(check, signal, parts)| format!("{word} {signal:?} {check} {parts:?}")).collect()
    };
    match pair.holds {
        Holds::Same(but) => {
            let keep = |f: &Finding| !but.contains(&f.check.as_str());
            let old = set(before, &pair.names, keep);
            let new = set(after, &none, keep);
            [list(&old, &new, "lost"), list(&new, &old, "gained")].concat()
        }
        Holds::NotWorseUncleared(_) if before.cleared + after.cleared > 0 => Vec::new(),
        Holds::NotWorse(but) | Holds::NotWorseUncleared(but) => {
            let new = after.findings.iter().filter(|f| !but.contains(&f.check.as_str()));
            let worse = new.filter(|f| {
                let same = |o: &&Finding| {
                    family(&o.check) == family(&f.check)
                        && o.signal >= f.signal
                        && f.subjects.iter().any(|s| o.subjects.contains(s))
                };
                !before.findings.iter().any(|o| {
                    same(&o) || f.subjects.is_empty() && family(&o.check) == family(&f.check) && o.signal >= f.signal
                })
            });
            worse.map(|f| format!("worse {:?} {} {:?}: {}", f.signal, f.check, f.subjects, f.message)).collect()
        }
        Holds::NotBetter => {
            let gravest = |t: &Told| {
                let others = t
                    .findings
                    .iter()
                    .filter(|f| f.subjects.iter().all(|s| !s.starts_with(&pair.part) || pair.part.is_empty()));
                others.map(|f| f.signal).max()
            };
            let (old, new) = (gravest(before), gravest(after));
            if new < old { vec![format!("better: {old:?} before, {new:?} after")] } else { vec![] }
        }
        Holds::SameInUse => {
            let keep = |f: &Finding| {
                in_use(f)
                    && !["no-limiting", "fuse-breaking", "smoulder"].contains(&f.check.as_str())
                    && !f.subjects.iter().any(|s| s.starts_with(&pair.part))
            };
            // What is told of like parts together, or names whatever takes most, is told of others once one of them is split:
            // that check and word are there at all is what counts.
            let told = |t: &Told| -> BTreeSet<(String, Signal)> {
                t.findings.iter().filter(|f| in_use(f)).map(|f| (f.check.clone(), f.signal)).collect()
            };
            let (was, is) = (told(before), told(after));
            let beside = |from: Told3, to: &BTreeSet<(String, Signal)>| -> Told3 {
                from.into_iter().filter(|(check, signal, _)| !to.contains(&(check.clone(), *signal))).collect()
            };
            let old = beside(set(before, &pair.names, keep), &is);
            let new = beside(set(after, &none, keep), &was);
            [list(&old, &new, "lost"), list(&new, &old, "gained")].concat()
        }
    }
}
