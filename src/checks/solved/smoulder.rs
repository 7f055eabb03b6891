//! Faults that go on for ever: no fuse is sure to end them while something sits above its rating. Also the parts whose
//! only rating is a current: transformers, coils, modules, suppressors.

use crate::checks::{About, Case, Check, Draft, Seen, rating};
use crate::finding::{Kind, Quantity, Signal};
use crate::jig::{Part, PartKind};
use crate::part::{Inductor, Psu, Resistor, Suppressor, Transformer, Varistor, Winding, Wire};
use crate::standard::{self, Level, Limit};
use crate::survey::model::Measure;

use super::propose;
use super::words::{at_nominal, item_name, lasting, nominal_volts, rated, show, strained};

pub(super) const CHECK: Check = Check {
    names: &["smoulder", "transformer-rating", "psu-rating", "winding-rating", "varistor-rating"],
    about: &[
        About {
            looks_at: "every single fault that no fuse or breaker is sure to end, while a part sits above its rating",
            limit: "what the part stands for ever, while its fuse is below the current at which it is sure to open: {fuses.ul_gate.ul_135.multiple} times the rating for a North American type, by its standard sheet for an IEC one (such as {fuses.gate.s1_2p1.multiple} times). {bench.rule.sustained_fire.multiple} times the power and more: fire",
            rows: &[
                "jig",
                "resistors.resistor_fact.derating_line",
                "cords.uk_cord",
                "bench.rule.small_wire_density",
                "fuses.gate",
                "fuses.ul_gate",
            ],
            how: "each fault is solved; the current of each fuse is compared with its published gates; what none covers is sustained",
            mend: "a smaller fuse in that path, a thermal fuse on the part, or a flame-proof fusible resistor",
        },
        About {
            looks_at: "the current of every winding in normal use, and the volts on the primary",
            limit: "rated power over rated volts of the winding; a primary stands a tenth more than its volts (supply tolerance)",
            rows: &["jig"],
            how: "r.m.s. current at nominal supply, I rated = S / U",
            mend: "a larger transformer, a smaller load, or a winding for the supply's volts",
        },
        About {
            looks_at: "what a bought module has to deliver in normal use",
            limit: "its rated current",
            rows: &["jig"],
            how: "the circuit behind it is solved with the module as a stiff source",
            mend: "a larger module, or a smaller load",
        },
        About {
            looks_at: "the current of every coil and motor in normal use",
            limit: "its rated current",
            rows: &["jig"],
            how: "r.m.s. current at nominal supply",
            mend: "a larger coil or a smaller current",
        },
        About {
            looks_at: "the volts that stand across every varistor and suppressor for ever",
            limit: "the highest continuous a.c. volts stated for it; {parts.varistor.usual_for_230v.rated_ac_v} is usual on {parts.varistor.usual_for_230v.mains_v}",
            rows: &["jig"],
            how: "r.m.s. volts at the highest supply",
            mend: "use the varistor usual for the supply, behind the fuse",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let mut told: Vec<usize> = vec![];
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if told.contains(&item.part) {
            continue;
        }
        let draft = normal(case, k, part).or_else(|| fault(case, k, part));
        if let Some(d) = draft {
            told.push(item.part);
            out.push(d);
        }
    }
}

/// The current a winding or coil is made for.
fn current_limit(case: &Case, k: usize, part: &Part) -> Option<Limit> {
    match &part.kind {
        PartKind::Transformer(Transformer { primary, secondaries, power: Some(va), .. }) => {
            let end = item_name(case, k).rsplit('.').next().unwrap_or_default();
            let w = std::iter::once(primary).chain(secondaries).find(|w| w.name == end)?;
            let share = if w.name == "primary" { 1.0 } else { secondaries.len() as f64 };
            Some(rated(va / w.volts / share, "A"))
        }
        PartKind::Psu(Psu { current, .. }) if item_name(case, k).ends_with(".output") => current.map(|a| rated(a, "A")),
        PartKind::Inductor(Inductor { current, .. }) | PartKind::Winding(Winding { current, .. }) => {
            current.map(|a| rated(a, "A"))
        }
        _ => None,
    }
}

fn check_of(part: &Part) -> &'static str {
    match part.kind {
        PartKind::Transformer(_) => "transformer-rating",
        PartKind::Psu(_) => "psu-rating",
        _ => "winding-rating",
    }
}

fn normal(case: &Case, k: usize, part: &Part) -> Option<Draft> {
    if let PartKind::Varistor(Varistor { voltage, .. }) = part.kind {
        let s = lasting(case, k, Quantity::VoltageRms, Kind::Normal).filter(|s| s.value > voltage)?;
        return Some(
            case.about_part("varistor-rating", Signal::Warning, part, "voltage")
                .over("volts r.m.s.", &s, &rated(voltage, "V"))
                .says(
                    format!(
                        "{} stand across {} for ever, it is made for {}: it heats up and burns",
                        show(s.value, "V"),
                        part.name,
                        show(voltage, "V")
                    ),
                    varistor_for(case),
                ),
        );
    }
    if let PartKind::Suppressor(Suppressor { power: Some(watts), .. }) = part.kind {
        let s = lasting(case, k, Quantity::Power, Kind::Normal).filter(|s| s.value > watts)?;
        return Some(
            case.about_part("varistor-rating", Signal::Warning, part, "power")
                .over("power", &s, &rated(watts, "W"))
                .says(
                    format!("{} takes {} for ever, it is made for {}", part.name, show(s.value, "W"), show(watts, "W")),
                    "use one with a higher breakdown, so that it conducts only in surges",
                ),
        );
    }
    if let PartKind::Transformer(Transformer { primary, .. }) = &part.kind {
        let mains = primary.across.iter().all(|n| case.is_mains(*n));
        let band = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.scale(Level::High));
        let volts = at_nominal(case, k, Quantity::VoltageRms);
        if let Some(s) =
            volts.filter(|s| mains && item_name(case, k).ends_with(".primary") && s.value > primary.volts * band)
        {
            return Some(case.about_part("transformer-rating", Signal::Warning, part, "primary").over("primary volts", &s, &rated(primary.volts, "V")).says(
                format!("{} stand on the primary of {}, made for {}: its iron saturates, it hums, overheats and burns", show(s.value, "V"), part.name, show(primary.volts, "V")),
                format!("use a transformer for {}, or the tap for it", show(nominal_volts(case), "V")),
            ));
        }
    }
    let limit = current_limit(case, k, part)?;
    let s = at_nominal(case, k, Quantity::CurrentRms)?;
    // The magnetising current comes on top in the primary; the secondaries are what tells the load.
    let allowance = if item_name(case, k).ends_with(".primary") {
        case.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(Level::High))
    } else {
        1.0
    };
    (s.value > limit.value * allowance * (1.0 + 1e-2)).then(|| {
        case.about_part(check_of(part), Signal::Warning, part, "power").over("current r.m.s.", &s, &limit).says(
            format!(
                "{} carries {} and nothing ends it, made for {}: it overheats until its insulation fails",
                item_name(case, k),
                show(s.value, "A"),
                show(limit.value, "A")
            ),
            "use a larger one, a smaller load, or a fuse that opens at this current",
        )
    })
}

fn varistor_for(case: &Case) -> String {
    let rows = standard::parts::varistor();
    let row =
        rows.iter().find(|r| r.number("mains_v") == Some(nominal_volts(case))).and_then(|r| r.number("rated_ac_v"));
    row.map_or("use one rated above the highest mains".to_string(), |v| {
        format!("use one for {} a.c., behind the fuse", show(v, "V"))
    })
}

/// The rating that an overload by a fault breaks, where the part has one: (quantity, words, value, limit).
fn overload(case: &Case, k: usize, part: &Part) -> Option<(&'static str, Seen, Limit)> {
    let item = &case.survey.model.items[k];
    let (quantity, words) = match &part.kind {
        PartKind::Resistor(_) | PartKind::Suppressor(_) => (Quantity::Power, "power"),
        PartKind::Diode(_) => (Quantity::CurrentMean, "mean current"),
        PartKind::Bridge(_) if matches!(item.measure, Measure::Bridge(_)) => (Quantity::CurrentMean, "mean current"),
        PartKind::Wire(_) | PartKind::Switch(_) | PartKind::Thermistor(_) => (Quantity::CurrentRms, "current r.m.s."),
        PartKind::Transformer(_) | PartKind::Psu(_) | PartKind::Inductor(_) | PartKind::Winding(_) => {
            (Quantity::CurrentRms, "current r.m.s.")
        }
        _ => return None,
    };
    let s = lasting(case, k, quantity, Kind::SingleFault)?;
    let limit = match &part.kind {
        PartKind::Resistor(Resistor { power, .. }) => {
            standard::resistor::derated_power((*power)?, case.inside_temperature())
        }
        PartKind::Wire(Wire { area, .. }) => standard::cord::wire_rating((*area)?),
        PartKind::Transformer(_) | PartKind::Psu(_) | PartKind::Inductor(_) | PartKind::Winding(_) => {
            current_limit(case, k, part)?
        }
        _ => rated(rating(case, item, quantity)?, s.unit),
    };
    Some((words, s, limit))
}

fn fault(case: &Case, k: usize, part: &Part) -> Option<Draft> {
    let (words, s, limit) = overload(case, k, part)?;
    let band = case.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(Level::High));
    // Ratings in amperes allow for the supply's tolerance.
    let allowance = if words == "power" { 1.0 } else { band * (1.0 + 1e-2) };
    if s.value <= limit.value * allowance {
        return None;
    }
    let resistor = matches!(part.kind, PartKind::Resistor(_));
    let fuse = strained(case, s.at);
    // A resistor whose fuse sees nothing unusual is told by resistor-power.
    if resistor && fuse.is_none() {
        return None;
    }
    let PartKind::Resistor(Resistor { flameproof, fusible, .. }) = part.kind else {
        // A winding takes some overload for ever: it runs hot and ages.
        let winding = current_limit(case, k, part).is_some();
        let borne = winding && s.value <= standard::bench::winding_overload().value * limit.value;
        let signal = if borne { Signal::Caution } else { Signal::Warning };
        return Some(told(case, k, part, words, &s, &limit, fuse, signal));
    };
    let far = s.value >= standard::bench::sustained_fire().value * limit.value;
    let signal = match (far, flameproof || fusible) {
        // Far over its rating a fusible type opens: what it was put there for.
        (true, true) if fusible => Signal::Notice,
        (_, true) => Signal::Caution,
        (true, false) => Signal::Danger,
        (false, false) => Signal::Warning,
    };
    // What is over in normal use has been told by resistor-power.
    let before = lasting(case, k, Quantity::Power, Kind::Normal).is_some_and(|n| n.value > limit.value);
    (!before).then(|| told(case, k, part, words, &s, &limit, fuse, signal))
}

#[allow(clippy::too_many_arguments)]
fn told(
    case: &Case,
    k: usize,
    part: &Part,
    words: &str,
    s: &Seen,
    limit: &Limit,
    fuse: Option<(String, f64)>,
    signal: Signal,
) -> Draft {
    let fault = s.condition.split(", ").next().unwrap_or_default().to_string();
    let name = item_name(case, k);
    let (value, allowed) = (show(s.value, s.unit), show(limit.value, limit.unit));
    let (why, remedy) = match &fuse {
        Some((f, a)) => (
            format!(
                "{f} carries {} then, above its rating but below the current at which it is sure to open",
                show(*a, "A")
            ),
            format!("a smaller {f}, if normal use allows it; else a thermal fuse on {}", part.name),
        ),
        None => (
            "no fuse sees enough to open".to_string(),
            format!("a fuse in its path that opens at {value}, or a thermal fuse on {}", part.name),
        ),
    };
    let d = case.about_part("smoulder", signal, part, "kind").over(words, s, limit);
    let d = if let Some((f, _)) = &fuse { d.part(f) } else { d };
    let (end, remedy) = match signal {
        Signal::Notice => {
            ("it opens, as a fusible part does", "none needed; look for the fault before it is replaced".to_string())
        }
        Signal::Caution if matches!(part.kind, PartKind::Resistor(_)) => {
            ("it roasts without flame until it fails", remedy)
        }
        Signal::Caution => ("it runs hot and ages", remedy),
        _ => ("it smoulders until something burns", remedy),
    };
    d.says(format!("With one fault ({fault}) {name} sits at {value}, made for {allowed}, and {why}: {end}"), remedy)
        .proposes(
            fuse.filter(|_| signal != Signal::Notice).map_or_else(Vec::new, |(f, _)| propose::smaller_fuses(case, &f)),
        )
}
