//! Glow lamps and LEDs: current, striking, life, reverse volts, and whether anything limits their current at all.

use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::{Kind, Quantity, Signal};
use crate::jig::{Ends, Part, PartKind};
use crate::part::{Led, Neon};
use crate::standard::{self, Limit};
use crate::survey::condition::Fault;
use crate::survey::ledger::Worst;
use crate::survey::replay::replay;
use crate::survey::run::{Bench, Depth};

use super::paths::unlimited;
use super::propose;
use super::words::{lasting, rated, reverse, seen, show};

pub(super) const CHECK: Check = Check {
    names: &["lamp-current", "lamp-strike", "lamp-life", "led-current", "led-reverse", "no-limiting"],
    about: &[
        About {
            looks_at: "the r.m.s. current of every glow lamp in normal use",
            limit: "its max-current; where none is stated {bench.part_model.neon_max_current.multiple_of_design} times the design current",
            rows: &["jig"],
            how: "r.m.s. current over a mains cycle, highest supply, worst tolerances",
            mend: "raise the series resistance to the next preferred value that brings the current back",
        },
        About {
            looks_at: "whether every glow lamp strikes on the lowest mains",
            limit: "the crest of the lowest mains across the dark lamp is at least {lamps.neon_fact.strike_margin.crest_over_strike_dc_min} times the volts its worst specimen strikes at",
            rows: &[],
            how: "the circuit is solved at low mains with the lamp dark; margin = crest / strike-max",
            mend: "put the lamp where the full mains stands across it, or choose one that strikes lower",
        },
        About {
            looks_at: "how long a glow lamp lasts at its current",
            limit: "told when less than {bench.rule.lamp_life_told.multiple} of the printed life is left at the current of the nominal supply",
            rows: &["lamps.neon_lamp"],
            how: "life = rated life · (I / I design)^n with n = {lamps.neon_fact.life_vs_current_rounded.life_exponent}; on d.c. or behind a diode {lamps.neon_fact.life_on_dc.life_factor_dc_vs_ac_max} of that",
            mend: "raise the series resistance",
        },
        About {
            looks_at: "mean and peak current of every LED in normal use",
            limit: "current and peak-current of the LED; where none is stated the lowest of ordinary types, {lamps.led.catalogue_green_565nm.current_max_ma} mean",
            rows: &["jig", "lamps.led"],
            how: "mean and peak of the forward current over a mains cycle, highest supply, worst tolerances",
            mend: "raise the series resistance, or lower the series capacitance, to the next preferred value",
        },
        About {
            looks_at: "volts backwards across every LED of a string",
            limit: "the LED's reverse volts, {lamps.led_fact.reverse_max.reverse_max_v} where none are stated",
            rows: &["jig"],
            how: "largest reverse volts over a mains cycle, divided by the LEDs of the string",
            mend: "put a diode (or a second LED) the other way round across the LED, or a bridge in front of it",
        },
        About {
            looks_at: "whether anything limits the current of a glow lamp or LED but the fuse and the wiring, as built and with one part shorted",
            limit: "a lamp with a falling or steep characteristic has an impedance in series; next to none is one that lets {bench.rule.sustained_fire.multiple} times the highest current through",
            rows: &["jig", "rules.rule.series_impedance"],
            how: "the jig is followed from the lamp to both poles of its source through everything that limits nothing: wires, contacts, fuses, diodes, other lamps, resistors below the lamp's own slope",
            mend: "put a dropper of the right size in series, two in series where one that shorts would leave the lamp without: deadfront size works it out",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        match &part.kind {
            PartKind::Neon(Neon { across, slope, current, max_current, lamp_type, .. }) => {
                let slope = slope.unwrap_or_else(|| standard::bench::neon_slope().value);
                let own = lamp_type.as_deref().is_some_and(standard::lamp::limits_itself);
                if own || !limiting(case, k, part, *across, slope, highest(*current, *max_current), out) {
                    glow(case, k, part, (*current, *max_current), lamp_type.as_deref(), out);
                }
                strike(case, k, part, out);
            }
            PartKind::Led(Led { across, slope, series, current, peak_current, reverse: back, .. }) => {
                let slope = slope.unwrap_or_else(|| standard::bench::led()[0].value) * f64::from((*series).max(1));
                let mean = current.map_or_else(standard::lamp::led_current, |a| rated(a, "A"));
                if !limiting(case, k, part, *across, slope, Some(mean.value), out) {
                    led(case, k, part, &mean, *peak_current, out);
                }
                backwards(case, k, part, f64::from((*series).max(1)), *back, out);
            }
            _ => {}
        }
    }
}

fn highest(current: Option<f64>, max: Option<f64>) -> Option<f64> {
    max.or_else(|| current.map(|c| c * standard::bench::neon_max_current_multiple().value))
}

/// Told when nothing limits the lamp: everything else about its current then goes without saying.
fn limiting(
    case: &Case,
    k: usize,
    part: &Part,
    across: Ends,
    slope: f64,
    max: Option<f64>,
    out: &mut Vec<Draft>,
) -> bool {
    let index = case.survey.model.items[k].part;
    let bare = |shorted: Option<usize>| {
        [true, false].into_iter().any(|turn| unlimited(case, index, across, shorted, slope, turn))
    };
    let rule = &standard::rules::series_impedance();
    let normal =
        [Kind::Normal, Kind::Transient].into_iter().filter_map(|kind| case.worst(k, Quantity::CurrentRms, kind));
    let normal = normal.filter(|s| is_normal(case, s.at)).max_by(|a, b| a.value.total_cmp(&b.value));
    let far = standard::bench::sustained_fire();
    let swamped = max.is_some_and(|m| {
        lasting(case, k, Quantity::CurrentMean, Kind::Normal).is_some_and(|s| s.value >= far.value * m)
    });
    if bare(None) || swamped {
        let amperes = normal.as_ref().map_or("unknown current".to_string(), |s| show(s.value, "A"));
        let signal = if extra_low(case, k, across) { Signal::Caution } else { Signal::Danger };
        let mut d = case.about_part("no-limiting", signal, part, "across");
        if let Some(s) = &normal {
            d = d.value("current r.m.s.", s.value, "A").condition(&s.condition);
            d = if let Some(m) = max { d.limit(m, rule) } else { d };
        }
        let what = if bare(None) {
            "nothing but the fuse and the wiring limits its current"
        } else {
            "what is in series limits next to nothing"
        };
        out.push(d.source(rule).says(
            format!("{}: {what}, {amperes} flows as soon as it conducts: it bursts or burns", part.name),
            dropper(case, part),
        ));
        return true;
    }
    // One part that shorts and leaves the lamp bare, where nothing then opens.
    let limiters = (0..case.jig.parts.len()).filter(|p| *p != index && bare(Some(*p)));
    let over =
        limiters.filter_map(|p| Some((p, with_shorted(case, k, p).filter(|s| max.is_none_or(|m| s.value > m))?)));
    if let Some((limiter, s)) = over.max_by(|a, b| a.1.value.total_cmp(&b.1.value)) {
        let name = &case.jig.parts[limiter].name;
        let low = extra_low(case, k, across);
        let signal = if low { Signal::Notice } else { Signal::Warning };
        let end = if low { "the lamp dies" } else { "the lamp bursts" };
        let d = case.about_part("no-limiting", signal, part, "across").part(name);
        let d = if let Some(m) = max { d.over("current r.m.s.", &s, &rated(m, "A")) } else { d };
        out.push(
            d.source(rule)
                .says(
                    format!(
                        "{name} is all that limits {}: when it shorts, {} flows and no fuse is sure to end it; {end}",
                        part.name,
                        show(s.value, "A")
                    ),
                    format!("split {name} into two in series, so that one that shorts leaves the other"),
                )
                .proposes(
                    case.items_of(limiter)
                        .next()
                        .map_or_else(Vec::new, |i| propose::split(case, i, &case.jig.parts[limiter])),
                ),
        );
    }
    false
}

/// Whether a lamp is fed apart from the mains with extra-low volts: then it dies where it would burst on the mains. The
/// lamp open stands all that feeds it.
fn extra_low(case: &Case, k: usize, across: Ends) -> bool {
    let (elv, _) = standard::touch::extra_low_voltage();
    let most = [Kind::Normal, Kind::SingleFault, Kind::Transient].into_iter();
    let most = most.filter_map(|kind| case.worst(k, Quantity::VoltageRms, kind)).map(|s| s.value).fold(0.0, f64::max);
    across.iter().all(|n| !case.is_mains(*n)) && most <= elv.value
}

fn is_normal(case: &Case, at: crate::survey::ledger::Ordinal) -> bool {
    case.survey.ledger.tried_at(at).is_some_and(|t| t.condition.faults.is_empty())
}

/// The r.m.s. current that lasts through a lamp with one part shorted, values as stated. Solved anew: the survey keeps the
/// worst of all faults only, and another one may be as bad.
fn with_shorted(case: &Case, lamp: usize, part: usize) -> Option<Seen> {
    let model = &case.survey.model;
    let bench = Bench::new(case.jig, model, Depth::Steady);
    let tried = case.survey.ledger.tried.iter().filter(|t| {
        let c = &t.condition;
        let shorts = matches!(c.faults[..], [Fault::Short(item)] if model.items[item].part == part);
        shorts && c.corner.is_empty() && c.moment.is_empty()
    });
    let mut worst = None;
    for t in tried {
        // What is not solved here was not solved by the survey either, which tells it.
        let Ok(steps) = replay(&bench, &t.condition) else { continue };
        let lasts = steps.last()?.state.items[lamp][Quantity::CurrentRms];
        Worst::meet(&mut worst, Worst { value: lasts, at: t.ordinal });
    }
    worst.map(|w| seen(case, w, "A", Kind::SingleFault))
}

/// The dropper that would be right, by Ohm's law at the crest share that r.m.s. and maintaining volts leave.
fn dropper(case: &Case, part: &Part) -> String {
    let volts = super::words::nominal_volts(case);
    let ohms = match &part.kind {
        PartKind::Neon(Neon { maintain, current: Some(i), .. }) if volts > 0.0 => Some((volts - maintain) / i),
        PartKind::Led(Led { forward, series, current, .. }) if volts > 0.0 => {
            let i = current.unwrap_or_else(|| standard::lamp::led_current().value);
            Some((volts - forward * f64::from((*series).max(1))) / i)
        }
        _ => None,
    };
    match ohms.and_then(|r| standard::preferred::nearest_at_least(r / 2.0, 12)) {
        Some(each) => format!("put two resistors of at least {} in series with it", show(each, "Ω")),
        None => "put a resistor in series that brings the current to what it is made for".into(),
    }
}

fn glow(
    case: &Case,
    k: usize,
    part: &Part,
    (design, max): (Option<f64>, Option<f64>),
    lamp_type: Option<&str>,
    out: &mut Vec<Draft>,
) {
    let Some(s) = lasting(case, k, Quantity::CurrentRms, Kind::Normal) else { return };
    if let Some(limit) = highest(design, max).filter(|m| s.value > *m) {
        let limit = match max {
            Some(m) => rated(m, "A"),
            None => Limit { value: limit, unit: "A", ..standard::bench::neon_max_current_multiple() },
        };
        out.push(
            case.about_part("lamp-current", Signal::Notice, part, "max-current")
                .over("current r.m.s.", &s, &limit)
                .says(
                    format!(
                        "{} carries {}, more than the {} it stands: it blackens soon",
                        part.name,
                        show(s.value, "A"),
                        show(limit.value, "A")
                    ),
                    format!("raise its series resistance by {:.0} %", 100.0 * (s.value / limit.value - 1.0)),
                )
                .proposes(propose::less_current(case, k, s.value / limit.value)),
        );
    }
    // Life at the nominal supply: that is what it burns on for most of its hours.
    let (Some(design), Some(now)) = (design, case.nominal(k, Quantity::CurrentRms)) else { return };
    let factor = (now / design).powf(standard::lamp::life_exponent().value);
    let one_way = reverse(case, k, Kind::Normal).zip(case.nominal(k, Quantity::VoltagePeak));
    let rectified = case.nominal(k, Quantity::CurrentMean).is_some_and(|m| m > 0.0)
        && one_way.is_some_and(|(r, v)| r.value < 0.5 * v);
    let dc = standard::lamp::life_share_on_dc();
    let factor = if rectified { factor * dc.value } else { factor };
    let told = standard::bench::lamp_life_told().value;
    if factor < told {
        let rule = standard::lamp::life_exponent();
        let hours = lamp_type.and_then(standard::lamp::rated_life).map(|l| l.value / 3600.0);
        let life = hours.map_or(format!("{:.0} % of its rated life", 100.0 * factor), |h| {
            format!("about {:.0} h of its {h:.0} h ({:.0} %)", h * factor, 100.0 * factor)
        });
        out.push(
            case.about_part("lamp-life", Signal::Notice, part, "current")
                .value("current r.m.s.", now, "A")
                .limit(design, &rule.source)
                .condition("mains nominal")
                .says(
                    format!(
                        "{} lasts {life} at {}; it is made for {}{}",
                        part.name,
                        show(now, "A"),
                        show(design, "A"),
                        if rectified { " on a.c., and d.c. wears one electrode" } else { "" }
                    ),
                    if now > design {
                        format!("raise its series resistance by {:.0} %", 100.0 * (now / design - 1.0))
                    } else {
                        "feed it with a.c. instead of behind a diode".to_string()
                    },
                )
                .proposes(propose::less_current(case, k, (factor / told).powf(1.0 / rule.value))),
        );
    }
}

fn strike(case: &Case, k: usize, part: &Part, out: &mut Vec<Draft>) {
    let margin = case.survey.ledger.lamps.iter().find(|l| l.item == k).and_then(|l| l.strike_margin);
    let limit = standard::lamp::strike_margin();
    let Some(m) = margin.filter(|m| m.value < limit.value) else { return };
    let s = seen(case, m, "", Kind::Normal);
    let what = if m.value < 1.0 { "does not light" } else { "may not light in the dark or when it is old" };
    out.push(case.about_part("lamp-strike", Signal::Notice, part, "strike-max").over("strike margin", &s, &limit).says(
        format!(
            "On the lowest mains the crest across {} is {:.2} times what its worst specimen strikes at ({:.2} is wanted): it {what}",
            part.name, m.value, limit.value
        ),
        "choose a lamp that strikes lower, or take away what lowers the volts across it while it is dark",
    ));
}

fn led(case: &Case, k: usize, part: &Part, mean: &Limit, peak: Option<f64>, out: &mut Vec<Draft>) {
    let put_on = case.survey.ledger.lasting.put_on[k][0].amperes.map(|w| seen(case, w, "A", Kind::Normal));
    let worst = |q: Quantity| {
        let brief = put_on.clone().filter(|_| q == Quantity::CurrentPeak);
        [lasting(case, k, q, Kind::Normal), brief].into_iter().flatten().max_by(|a, b| a.value.total_cmp(&b.value))
    };
    let found = [
        (Quantity::CurrentMean, "mean current", Some(mean.clone())),
        (Quantity::CurrentPeak, "peak current", peak.map(|a| rated(a, "A"))),
    ];
    for (quantity, words, limit) in found {
        let Some((s, limit)) = worst(quantity).zip(limit).filter(|(s, l)| s.value > l.value) else { continue };
        out.push(
            case.about_part("led-current", Signal::Notice, part, "current")
                .over(words, &s, &limit)
                .says(
                    format!(
                        "{} carries {} ({words}), made for {}: it fades or dies",
                        part.name,
                        show(s.value, "A"),
                        show(limit.value, "A")
                    ),
                    format!("raise its series impedance by {:.0} %", 100.0 * (s.value / limit.value - 1.0)),
                )
                .proposes(propose::less_current(case, k, s.value / limit.value)),
        );
        return;
    }
}

fn backwards(case: &Case, k: usize, part: &Part, series: f64, back: Option<f64>, out: &mut Vec<Draft>) {
    let each = back.map_or_else(standard::lamp::led_reverse, |v| rated(v, "V"));
    // A charged thing put on the wrong way round is over soon, but an LED breaks down at once.
    let put_on = case.survey.ledger.lasting.put_on[k][0].reverse.map(|w| seen(case, w, "V", Kind::Normal));
    let cyclic = reverse(case, k, Kind::Normal).map(|s| (s, "in every other half cycle"));
    let put_on = put_on.map(|s| (s, "while what it was put on empties"));
    let found = [cyclic, put_on].into_iter().flatten();
    let Some((s, when)) = found.max_by(|a, b| a.0.value.total_cmp(&b.0.value)) else { return };
    if s.value <= each.value * series {
        return;
    }
    let s = Seen { value: s.value / series, ..s };
    out.push(
        case.about_part("led-reverse", Signal::Notice, part, "reverse")
            .over("reverse volts of one LED", &s, &each)
            .says(
                format!(
                    "{} backwards on {} {when}, it stands {}: it dies sooner or later",
                    show(s.value, "V"),
                    part.name,
                    show(each.value, "V")
                ),
                format!("put a diode the other way round across {}", part.name),
            )
            .proposes(propose::against_reverse(case, part)),
    );
}
