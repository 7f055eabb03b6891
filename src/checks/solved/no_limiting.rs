//! Lamps whose current nothing limits but the fuse and the wiring, as built or with one part shorted.

use super::limiting::{self, Bare, Lamp};
use super::propose;
use super::words::{rated, seen, show};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::Quantity;
use crate::finding::{CheckId, Kind, Signal};
use crate::jig::{Part, PartKind};
use crate::part::{Led, Neon};
use crate::standard::{self};
use crate::survey::condition::Fault;
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::gravest::{Gravest, Ordinal};
use crate::survey::records::Worst;
use crate::survey::replay::replay;

pub(super) const CHECK: Check = Check {
    id: CheckId::NoLimiting,
    about: About {
        looks_at: "whether anything limits the current of a glow lamp or LED but the fuse and the wiring, as built and with one part shorted",
        limit: "a lamp with a falling or steep characteristic has an impedance in series; next to none is one that lets {bench.rule.sustained_fire.multiple} times the highest current through",
        rows: &["jig", "rules.rule.series_impedance"],
        how: "the jig is followed from the lamp to both poles of its source through everything that limits nothing: wires, contacts, fuses, diodes, other lamps, resistors below the lamp's own slope",
        mend: "put a dropper of the right size in series, two in series where one that shorts would leave the lamp without: deadfront size works it out",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for k in 0..case.survey.model.items.len() {
        let Some(lamp) = limiting::lamp(case, k) else { continue };
        match limiting::bare(case, &lamp) {
            Some(bare) => out.push(as_built(case, &lamp, bare)),
            None => out.extend(hangs_on_one(case, &lamp)),
        }
    }
}

fn as_built(case: &Case, lamp: &Lamp, bare: Bare) -> Draft {
    let part = &case.jig.parts[lamp.part];
    let rule = &standard::rules::series_impedance();
    let kinds = [Kind::Normal, Kind::Transient].into_iter();
    let normal = kinds.filter_map(|kind| case.worst(lamp.item, Quantity::CurrentRms, kind));
    let normal = normal.filter(|s| is_normal(case, s.at)).max_by(|a, b| a.value.total_cmp(&b.value));
    let amperes = normal.as_ref().map_or("unknown current".to_string(), |s| show(s.value, "A"));
    let signal = if extra_low(case, lamp) { Signal::Caution } else { Signal::Danger };
    let mut d = case.about_part(CheckId::NoLimiting, signal, part, "across");
    if let Some(s) = &normal {
        d = d.value("current r.m.s.", s.value, "A").found_in(s.at);
        d = if let Some(m) = lamp.most { d.limit(m, rule) } else { d };
    }
    let what = match bare {
        Bare::Nothing => "nothing but the fuse and the wiring limits its current",
        Bare::NextToNothing => "what is in series limits next to nothing",
    };
    d.source(rule).says(
        format!("{}: {what}, {amperes} flows as soon as it conducts: it bursts or burns", part.name),
        dropper(case, part),
    )
}

/// One part that shorts and leaves the lamp bare, where nothing then opens.
fn hangs_on_one(case: &Case, lamp: &Lamp) -> Option<Draft> {
    let part = &case.jig.parts[lamp.part];
    let limiters = (0..case.jig.parts.len()).filter(|p| *p != lamp.part && limiting::bare_with(case, lamp, Some(*p)));
    let over = limiters
        .filter_map(|p| Some((p, with_shorted(case, lamp.item, p).filter(|s| lamp.most.is_none_or(|m| s.value > m))?)));
    let (limiter, s) = over.max_by(|a, b| a.1.value.total_cmp(&b.1.value))?;
    let name = &case.jig.parts[limiter].name;
    let low = extra_low(case, lamp);
    let signal = if low { Signal::Notice } else { Signal::Warning };
    let end = if low { "the lamp dies" } else { "the lamp bursts" };
    let d = case.about_part(CheckId::NoLimiting, signal, part, "across").part(name);
    let d = if let Some(m) = lamp.most { d.over("current r.m.s.", &s, &rated(m, "A")) } else { d };
    let split = case.items_of(limiter).next().map(|i| propose::split(case, i, &case.jig.parts[limiter]));
    let said = d.source(&standard::rules::series_impedance()).says(
        format!(
            "{name} is all that limits {}: when it shorts, {} flows and no fuse is sure to end it; {end}",
            part.name,
            show(s.value, "A")
        ),
        format!("split {name} into two in series, so that one that shorts leaves the other"),
    );
    Some(said.proposes(split.unwrap_or_default()))
}

/// Whether a lamp is fed apart from the mains with extra-low volts: then it dies where it would burst on the mains. The
/// lamp open stands all that feeds it.
fn extra_low(case: &Case, lamp: &Lamp) -> bool {
    let (elv, _) = standard::touch::extra_low_voltage();
    let most = [Kind::Normal, Kind::SingleFault, Kind::Transient].into_iter();
    let most =
        most.filter_map(|kind| case.worst(lamp.item, Quantity::VoltageRms, kind)).map(|s| s.value).fold(0.0, f64::max);
    lamp.across.iter().all(|n| !case.is_mains(*n)) && most <= elv.value
}

fn is_normal(case: &Case, at: Ordinal) -> bool {
    case.survey.ledger.tried_at(at).is_some_and(|t| t.condition.faults.is_empty())
}

/// The r.m.s. current that lasts through a lamp with one part shorted, values as stated. Solved anew: the survey keeps the
/// worst of all faults only, and another one may be as bad.
fn with_shorted(case: &Case, lamp: usize, part: usize) -> Option<Seen> {
    let model = &case.survey.model;
    let context = SurveyContext::new(case.jig, model, Depth::Steady);
    let tried = case.survey.ledger.tried.iter().filter(|t| {
        let c = &t.condition;
        let shorts = matches!(c.faults[..], [Fault::Short(item)] if model.items[item].part == part);
        shorts && c.corner.is_empty() && c.is_steady()
    });
    let mut worst = Gravest::default();
    for t in tried {
        // What is not solved here was not solved by the survey either, which tells it.
        let Ok(steps) = replay(&context, &t.condition) else { continue };
        let lasts = steps.last()?.readings.items[lamp][Quantity::CurrentRms];
        worst.take(Worst { value: lasts, at: t.ordinal });
    }
    worst.copied().map(|w| seen(w, "A", Kind::SingleFault))
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
