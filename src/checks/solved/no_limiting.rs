//! Lamps whose current nothing limits but the fuse and the wiring, as built or with one part shorted.

use super::limiting::{self, Lamp};
use super::lookup::{lasting, rated, seen, unended};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::{Amount, NoLimiting, Unlimited};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::{Led, Neon};
use crate::standard;
use crate::survey::condition::Fault;
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::gravest::{Gravest, Ordinal, first_of_most};
use crate::survey::records::Worst;
use crate::survey::replay::replay;

pub(super) const CHECK: Check = Check {
    id: CheckId::NoLimiting,
    judges: &[
        of("led", &["current"], &[At::Fault]),
        of("neon-lamp", &["current", "max-current"], &[At::Use, At::Fault]),
    ],
    about: About {
        looks_at: "whether anything limits the current of a glow lamp or LED but the fuse and the wiring, as built and with one part shorted",
        limit: "a lamp with a falling or steep characteristic has an impedance in series; next to none is one that lets {bench.rule.sustained_fire.multiple} times the highest current through",
        rows: &["jig", "rules.rule.series_impedance"],
        how: "the jig is followed from the lamp to both poles of its source through everything that limits nothing: wires, contacts, fuses, diodes, other lamps, resistors that together come to less than the lamp's own slope; with each part shorted the current is solved as well",
        mend: "put a dropper of the right size in series, two in series where one that shorts would leave the lamp without: deadfront size works it out",
    },
    run,
};

/// Amperes that no lamp shows.
const LEAK: f64 = 1e-6;

fn run(case: &Case, out: &mut Vec<Draft>) {
    for k in 0..case.survey.model.items.len() {
        let Some(lamp) = limiting::lamp(case, k) else { continue };
        match limiting::bare(case, &lamp) {
            Some(why) => out.push(as_built(case, &lamp, why)),
            None => out.extend(hangs_on_one(case, &lamp)),
        }
    }
}

fn as_built(case: &Case, lamp: &Lamp, why: Unlimited) -> Draft {
    let part = &case.jig.parts[lamp.part];
    let rule = &standard::rules::series_impedance();
    let kinds = [Situation::Normal, Situation::Transient].into_iter();
    let normal = kinds.filter_map(|kind| case.worst(lamp.item, Quantity::CurrentRms, kind));
    let normal = normal.filter(|s| is_normal(case, s.at)).max_by(|a, b| a.value.total_cmp(&b.value));
    let signal = if extra_low(case, lamp) { Signal::Caution } else { Signal::Danger };
    let mut d = case.about_part(CheckId::NoLimiting, signal, part, "across");
    if let Some(s) = &normal {
        d = d.value(Compared::CurrentRms, s.value, "A").found_in(s.at);
        d = if let Some(m) = lamp.most { d.limit(m, rule) } else { d };
    }
    d.source(rule).states(Said::NoLimiting(NoLimiting::AsBuilt {
        part: part.name.clone(),
        why,
        current: normal.map(|s| s.amount()),
        cure: dropper(case, part),
    }))
}

/// One part that shorts and leaves the lamp bare, where nothing then opens.
fn hangs_on_one(case: &Case, lamp: &Lamp) -> Option<Draft> {
    let part = &case.jig.parts[lamp.part];
    let others = (0..case.jig.parts.len()).filter(|p| *p != lamp.part);
    // What merely leaks lights and burns nothing.
    let over = others.filter_map(|p| {
        let alone = limiting::bare_with(case, lamp, Some(p));
        let s =
            if alone { Some(with_shorted(case, lamp.item, p, Quantity::CurrentRms)?) } else { swamped(case, lamp, p) };
        let s = s.filter(|s| s.value > LEAK && lamp.most.is_none_or(|m| s.value > m))?;
        Some(((p, alone, s.clone()), s.value))
    });
    let ((limiter, alone, s), _) = first_of_most(over)?;
    let name = &case.jig.parts[limiter].name;
    let low = extra_low(case, lamp);
    let signal = if low { Signal::Notice } else { Signal::Warning };
    let d = case.about_part(CheckId::NoLimiting, signal, part, "across").part(name);
    let d = if let Some(m) = lamp.most { d.over(Compared::CurrentRms, &s, &rated(m, "A")) } else { d };
    let split = case.items_of(limiter).next().map(|i| propose::split(case, i, &case.jig.parts[limiter]));
    let (part, limiter) = (part.name.clone(), name.clone());
    let said = NoLimiting::OnOnePart { part, limiter, alone, current: s.amount(), extra_low: low };
    let d = d.source(&standard::rules::series_impedance()).states(Said::NoLimiting(said));
    Some(d.proposes(split.unwrap_or_default()))
}

/// What flows with a part shorted, where what is left in series lets many times the lamp's current through.
fn swamped(case: &Case, lamp: &Lamp, part: usize) -> Option<Seen> {
    let far = standard::bench::sustained_fire().value * lamp.most?;
    // The worst of all faults in which nothing opens in the end says quickly that none does.
    // Glass bursts long before that.
    let glass = matches!(case.jig.parts[lamp.part].kind, PartKind::Neon(_));
    let worst = if glass {
        lasting(case, lamp.item, lamp.rated_in, Situation::SingleFault)
    } else {
        unended(case, lamp.item, lamp.rated_in)
    };
    worst.filter(|s| s.value >= far)?;
    with_shorted(case, lamp.item, part, lamp.rated_in).filter(|s| s.value >= far)?;
    with_shorted(case, lamp.item, part, Quantity::CurrentRms)
}

/// Whether a lamp is fed apart from the mains with extra-low volts: then it dies where it would burst on the mains. The
/// lamp open stands all that feeds it.
fn extra_low(case: &Case, lamp: &Lamp) -> bool {
    let (elv, _) = standard::touch::extra_low_voltage();
    let most = [Situation::Normal, Situation::SingleFault, Situation::Transient].into_iter();
    let most =
        most.filter_map(|kind| case.worst(lamp.item, Quantity::VoltageRms, kind)).map(|s| s.value).fold(0.0, f64::max);
    lamp.across.iter().all(|n| !case.is_mains(*n)) && most <= elv.value
}

fn is_normal(case: &Case, at: Ordinal) -> bool {
    case.survey.ledger.tried_at(at).is_some_and(|t| t.condition.faults.is_empty())
}

/// The current that lasts through a lamp with one part shorted, values as stated. Solved anew: the survey keeps the
/// worst of all faults only, and another one may be as bad.
fn with_shorted(case: &Case, lamp: usize, part: usize, quantity: Quantity) -> Option<Seen> {
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
        let lasts = steps.last()?.readings.items[lamp][quantity];
        worst.take(Worst { value: lasts, at: t.ordinal });
    }
    worst.copied().map(|w| seen(w, "A", Situation::SingleFault))
}

/// Ohms of each of the two resistors that would be right, by Ohm's law at the crest share that r.m.s. and maintaining volts leave.
fn dropper(case: &Case, part: &Part) -> Option<Amount> {
    let volts = super::lookup::nominal_volts(case);
    let ohms = if volts <= 0.0 {
        None
    } else if let PartKind::Neon(Neon { maintain, current, .. }) = &part.kind {
        current.map(|i| (volts - maintain) / i)
    } else if let PartKind::Led(Led { forward, series, current, .. }) = &part.kind {
        let i = current.unwrap_or_else(|| standard::lamp::led_current().value);
        Some((volts - forward * f64::from((*series).max(1))) / i)
    } else {
        None
    };
    let each = standard::preferred::nearest_at_least(ohms? / 2.0, 12)?;
    Some(Amount::new(each, "Ω"))
}
