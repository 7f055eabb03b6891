//! Watts of resistors that last, with derating, and the energy of pulses.

use super::lookup::{KINDS, ends_within, graded, lasting, strained};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::{
    Amount, Ending, ResistorCure, ResistorFate, ResistorLoad, ResistorPower, ResistorSize, ResistorSizes,
};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Resistor;
use crate::standard::{self, Limit};
use crate::survey::model::ProtectorKind;
use crate::survey::records::Pulse;

pub(super) const CHECK: Check = Check {
    id: CheckId::ResistorPower,
    judges: &[of("resistor", &["power", "flameproof", "fusible"], &At::ALL)],
    about: About {
        looks_at: "the watts in every resistor that last, in normal use and with any one fault, and the energy of pulses",
        limit: "the rated power, derated for the temperature in the box (film: full up to {resistors.resistor_fact.derating_line.start_c}, none at {resistors.resistor_fact.derating_line.zero_c}); {bench.rule.half_power.multiple} of it in normal use is common practice; {bench.rule.sustained_fire.multiple} times it and more in a part not built to fail cold starts a fire. Pulses: by their length after charts of single pulses, at most {bench.rule.resistor_short_overload_power.multiple} times for {bench.rule.resistor_short_overload_power.time_s}",
        rows: &["jig", "resistors.resistor_pulse"],
        how: "P = the mean of u · i over a mains cycle, worst supply and tolerances; P(T) = P · (T0 − T) / (T0 − T1) between the temperature of full power T1 and that of none T0; a pulse by the rectangle of its own crest and energy; an inrush over all its cycles",
        mend: "take the next size up, or share the watts between more resistors in series, or a flame-proof or fusible type where only a fault overloads it",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Resistor(Resistor { resistance, power: Some(rated), flameproof, fusible, .. }) = part.kind else {
            continue;
        };
        let one = Heated { k, part, ohms: resistance, rated, cold: flameproof || fusible, fusible };
        watts(case, &one, out);
    }
}

/// Whether the thermal fuse that ends a condition sits on the part of an item.
fn ended_by_link(case: &Case, item: usize, s: &Seen) -> bool {
    let model = &case.survey.model;
    let by = ends_within(case, s.at).map(|(by, _)| &model.protectors[by].kind);
    matches!(by, Some(ProtectorKind::Thermal(_, on)) if *on == model.items[item].part)
}

struct Heated<'a> {
    k: usize,
    part: &'a Part,
    ohms: f64,
    rated: f64,
    /// Built to fail cold.
    cold: bool,
    /// Built to open when overloaded.
    fusible: bool,
}

fn watts(case: &Case, r: &Heated, out: &mut Vec<Draft>) {
    let limit = standard::resistor::derated_power(r.rated, case.inside_temperature());
    // What is told of normal use says all there is to say; an overload by a fault does not hide what each switch-on does.
    let told = lasts(case, r, &limit, out);
    if told == Some(Situation::Normal) {
        return;
    }
    if let Some(draft) = pulsed(case, r, &limit) {
        out.push(draft);
    } else if told.is_none() {
        out.extend(over_half(case, r, &limit));
    }
}

/// Tells the watts that last, and in which kind of condition they do first. What burns after a fault is told in the place of
/// what only chars in normal use; one of two kinds of faults is left to the check of those that smoulder.
fn lasts(case: &Case, r: &Heated, limit: &Limit, out: &mut Vec<Draft>) -> Option<Situation> {
    let over: Vec<Lasting> = KINDS.into_iter().filter_map(|kind| over_in(case, r, limit, kind)).collect();
    let (first, gravest) = (over.first()?, over.iter().reduce(|a, b| if b.grave() && !a.grave() { b } else { a })?);
    // A fuse in the dead zone between its rating and its gate: told as smouldering.
    if let Some(signal) = gravest.signal {
        out.push(too_hot(case, r, signal, &gravest.seen, limit));
    }
    Some(first.seen.kind)
}

/// Watts over the rating in one kind of condition.
struct Lasting {
    seen: Seen,
    /// None: told by the check of faults that smoulder.
    signal: Option<Signal>,
}

impl Lasting {
    fn grave(&self) -> bool {
        self.signal == Some(Signal::Danger)
    }
}

fn over_in(case: &Case, r: &Heated, limit: &Limit, kind: Situation) -> Option<Lasting> {
    // What a slow device ends after more than a few seconds still heats the part through.
    let slow = case.worst(r.k, Quantity::Power, kind).filter(|s| ends_within(case, s.at).is_some());
    // A thermal fuse on the part itself opens before it is too hot.
    let slow = slow.filter(|s| !ended_by_link(case, r.k, s));
    let last = lasting(case, r.k, Quantity::Power, kind).filter(|s| s.value > limit.value);
    let seen = last.or(slow.filter(|s| s.value > limit.value))?;
    if kind != Situation::Normal && strained(case, seen.at).is_some() {
        return Some(Lasting { seen, signal: None });
    }
    let far = fire(&seen, limit) && !r.cold;
    let ended = ends_within(case, seen.at);
    // What a device ends before anything glows chars a part, and no more.
    let chars = kind != Situation::Normal && ended.is_some() && !fire(&seen, limit);
    let signal = match (far && ended.is_none(), chars) {
        (true, _) => Signal::Danger,
        (false, true) => Signal::Caution,
        (false, false) => Signal::Warning,
    };
    // A part built to fail cold that a fault overloads far does what it was built for. A little over its rating it does not
    // fail: it stays as hot as that makes it.
    let signal = match (r.cold && kind != Situation::Normal && fire(&seen, limit), r.fusible) {
        (true, true) => Signal::Notice,
        (true, false) => Signal::Caution,
        (false, _) => signal,
    };
    Some(Lasting { seen, signal: Some(signal) })
}

/// The pulse with most energy, where it is too much.
fn pulsed(case: &Case, r: &Heated, limit: &Limit) -> Option<Draft> {
    let over = |p: &Pulse| p.energy > pulse_limit(r, limit.value, p).0;
    let (p, kind) =
        KINDS.into_iter().find_map(|kind| Some((case.survey.ledger.pulse(r.k, kind).filter(over)?, kind)))?;
    let (allowed, source) = pulse_limit(r, limit.value, &p);
    // The charts are trusted to a factor; a part built to fail cold harms nobody.
    let far = p.energy > standard::resistor::pulse_doubt() * allowed && !r.cold;
    let signal = if far { Signal::Warning } else { Signal::Caution };
    let more = r.rated * p.energy / allowed;
    let said = ResistorPower {
        part: r.part.name.clone(),
        load: ResistorLoad::Pulse {
            energy: Amount::new(p.energy, "J"),
            rated: Amount::new(r.rated, "W"),
            allowed: Amount::new(allowed, "J"),
        },
        cure: ResistorCure::ForPulses(Amount::new(next_watts(more), "W")),
    };
    let draft = case.about_part(CheckId::ResistorPower, graded(signal, kind), r.part, "power");
    let draft = draft.value(Compared::PulseEnergy, p.energy, "J").limit(allowed, &source).found_in(p.at);
    Some(draft.states(Said::ResistorPower(said)).proposes(propose::wattage(r.part, more)))
}

/// More than good practice works it at.
fn over_half(case: &Case, r: &Heated, limit: &Limit) -> Option<Draft> {
    let half = standard::bench::half_power();
    let seen = lasting(case, r.k, Quantity::Power, Situation::Normal)?;
    if seen.value <= half.value * limit.value * (1.0 + 1e-9) {
        return None;
    }
    let allowed = Limit { value: half.value * limit.value, unit: "W", ..half };
    let said = ResistorPower {
        part: r.part.name.clone(),
        load: ResistorLoad::OverHalf { watts: seen.amount(), allowed: Amount::new(limit.value, "W") },
        cure: ResistorCure::Sizes(sizes(case, r, seen.value, None)),
    };
    let draft = case.about_part(CheckId::ResistorPower, Signal::Caution, r.part, "power");
    let draft = draft.over(Compared::Power, &seen, &allowed).states(Said::ResistorPower(said));
    Some(draft.proposes(propose::stronger(case, r.k, r.part)))
}

/// Joules a pulse may put into a resistor of so many derated watts, and where that is published.
fn pulse_limit(r: &Heated, watts: f64, p: &Pulse) -> (f64, String) {
    let limit = standard::resistor::pulse_energy([watts, r.ohms], [p.energy, p.peak, p.seconds]);
    (limit.value, limit.source)
}

/// Whether so many watts set light to what is near.
fn fire(seen: &Seen, limit: &Limit) -> bool {
    seen.value >= standard::bench::sustained_fire().value * limit.value
}

fn too_hot(case: &Case, r: &Heated, signal: Signal, seen: &Seen, limit: &Limit) -> Draft {
    let faulty = seen.kind != Situation::Normal;
    let fate = match (fire(seen, limit), r.cold) {
        (true, _) if r.fusible && faulty => ResistorFate::OpensAsMade,
        (true, false) => ResistorFate::Glows,
        (true, true) if faulty => ResistorFate::FailsCold,
        (false, true) if faulty => ResistorFate::StaysHot,
        _ => ResistorFate::Chars,
    };
    let own = |by: usize| case.survey.model.protectors[by].kind == ProtectorKind::Fusible(r.k);
    let ends = match ends_within(case, seen.at) {
        None => Ending::Never,
        Some((by, within)) if own(by) => Ending::Itself(Amount::new(within, "s")),
        Some((by, within)) => Ending::Device(by, Amount::new(within, "s")),
    };
    let hot_box = limit.value <= 0.0;
    let normal = lasting(case, r.k, Quantity::Power, Situation::Normal).map_or(seen.value, |s| s.value);
    let cure = match fate {
        ResistorFate::OpensAsMade => ResistorCure::NoneNeeded,
        _ if hot_box => ResistorCure::CoolerBox,
        ResistorFate::Glows | ResistorFate::FailsCold | ResistorFate::StaysHot | ResistorFate::Chars => {
            ResistorCure::Sizes(sizes(case, r, normal, faulty.then_some(seen.value)))
        }
    };
    let load = ResistorLoad::Over {
        under: seen.under(),
        watts: seen.amount(),
        ends,
        allowed: (!hot_box).then(|| (Amount::new(limit.value, "W"), seen.value / limit.value)),
        fate,
    };
    // What opens as it was made to has nothing to be mended.
    let proposals = if fate == ResistorFate::OpensAsMade { vec![] } else { propose::stronger(case, r.k, r.part) };
    let said = ResistorPower { part: r.part.name.clone(), load, cure };
    case.about_part(CheckId::ResistorPower, signal, r.part, "power")
        .over(Compared::Power, seen, limit)
        .states(Said::ResistorPower(said))
        .proposes(proposals)
}

/// The smallest size of the table that stands these watts at half its power and these volts, alone or as several in
/// series: worked out, not guessed.
fn sizes(case: &Case, r: &Heated, normal: f64, fault: Option<f64>) -> ResistorSizes {
    let temperature = case.inside_temperature();
    let half = standard::bench::half_power().value;
    let fits = |n: f64| {
        let each = r.ohms / n;
        let mut sizes: Vec<(f64, f64)> = standard::resistor::resistor()
            .iter()
            .filter(|s| {
                let hot = standard::resistor::derated_power(s.rated_w, temperature).value;
                let usable = s.limiting_rms().unwrap_or(f64::INFINITY);
                hot * half >= normal / n
                    && fault.is_none_or(|f| hot >= f / n)
                    && usable >= (normal.max(fault.unwrap_or(0.0)) / n * each).sqrt()
            })
            .map(|s| (s.rated_w, s.limiting_rms().unwrap_or(0.0)))
            .collect();
        sizes.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        sizes.first().copied()
    };
    let size =
        |(w, v): (f64, f64)| ResistorSize { watts: Amount::new(w, "W"), volts: (v > 0.0).then(|| Amount::new(v, "V")) };
    let series = [2usize, 3, 4].into_iter().find_map(|n| {
        let each = standard::preferred::nearest_at_least(r.ohms / n as f64, 24)?;
        Some((n, Amount::new(each, "Ω"), size(fits(n as f64)?)))
    });
    // A part that is overloaded little does not fail, cold or not.
    let far = |f: f64| {
        f >= standard::bench::sustained_fire().value * standard::resistor::derated_power(r.rated, temperature).value
    };
    ResistorSizes { one: fits(1.0).map(size), series, flameproof: fault.is_some_and(far) }
}

fn next_watts(least: f64) -> f64 {
    let sizes = standard::resistor::resistor().iter().map(|s| s.rated_w);
    super::lookup::next_of(sizes, least).unwrap_or(least)
}
