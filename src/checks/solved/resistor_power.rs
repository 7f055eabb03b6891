//! Watts of resistors that last, with derating, and the energy of pulses.

use super::propose;
use super::words::{KINDS, ends_within, graded, lasting, show, strained, when};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::Quantity;
use crate::finding::{CheckId, Kind, Signal};
use crate::jig::{Part, PartKind};
use crate::part::Resistor;
use crate::standard::{self, Limit};
use crate::survey::model::ProtectorKind;
use crate::survey::records::Pulse;

pub(super) const CHECK: Check = Check {
    id: CheckId::ResistorPower,
    about: About {
        looks_at: "the watts in every resistor that last, in normal use and with any one fault, and the energy of pulses",
        limit: "the rated power, derated for the temperature in the box (film: full up to {resistors.resistor_fact.derating_line.start_c}, none at {resistors.resistor_fact.derating_line.zero_c}); {bench.rule.half_power.multiple} of it in normal use is common practice; {bench.rule.sustained_fire.multiple} times it and more in a part not built to fail cold starts a fire. Pulses: {bench.rule.resistor_short_overload_power.multiple} times the power for {bench.rule.resistor_short_overload_power.time_s}",
        rows: &["jig"],
        how: "P = the mean of u · i over a mains cycle, worst supply and tolerances; P(T) = P · (T0 − T) / (T0 − T1) between the temperature of full power T1 and that of none T0; a pulse by its energy against the short overload times its duration",
        mend: "take the next size up, or share the watts between more resistors in series, or a flame-proof or fusible type where only a fault overloads it",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Resistor(Resistor { resistance, power: Some(rated), voltage, flameproof, fusible, .. }) =
            part.kind
        else {
            continue;
        };
        let one = Heated { k, part, ohms: resistance, rated, volts: voltage, cold: flameproof || fusible, fusible };
        watts(case, &one, out);
    }
}

struct Heated<'a> {
    k: usize,
    part: &'a Part,
    ohms: f64,
    rated: f64,
    volts: Option<f64>,
    /// Built to fail cold.
    cold: bool,
    /// Built to open when overloaded.
    fusible: bool,
}

fn watts(case: &Case, r: &Heated, out: &mut Vec<Draft>) {
    let limit = standard::resistor::derated_power(r.rated, case.inside_temperature());
    let fire = standard::bench::sustained_fire();
    for kind in KINDS {
        // What a slow device ends after more than a few seconds still heats the part through.
        let slow = case.worst(r.k, Quantity::Power, kind).filter(|s| ends_within(case, s.at).is_some());
        let last = lasting(case, r.k, Quantity::Power, kind).filter(|s| s.value > limit.value);
        let Some(seen) = last.or(slow.filter(|s| s.value > limit.value)) else { continue };
        // A fuse in the dead zone between its rating and its gate: told as smouldering.
        if kind != Kind::Normal && strained(case, seen.at).is_some() {
            return;
        }
        let far = seen.value >= fire.value * limit.value && !r.cold;
        let ended = ends_within(case, seen.at);
        let signal = if far && ended.is_none() { Signal::Danger } else { Signal::Warning };
        // A part built to fail cold, overloaded by a fault alone, does what it was built for.
        let signal = match (r.cold && kind != Kind::Normal, r.fusible && seen.value >= fire.value * limit.value) {
            (true, true) => Signal::Notice,
            (true, false) => Signal::Caution,
            _ => signal,
        };
        out.push(too_hot(case, r, kind, &seen, &limit, far));
        if let Some(d) = out.last_mut() {
            d.finding.signal = signal;
        }
        return;
    }
    let over = |p: &Pulse| p.energy > pulse_limit(limit.value, p.seconds);
    let pulse = KINDS.into_iter().find_map(|kind| Some((case.survey.ledger.pulse(r.k, kind).filter(over)?, kind)));
    if let Some((p, kind)) = pulse {
        let allowed = pulse_limit(limit.value, p.seconds);
        let (multiple, _) = standard::bench::short_overload_power();
        out.push(
            case.about_part(CheckId::ResistorPower, graded(Signal::Warning, kind), r.part, "power")
                .value("pulse energy", p.energy, "J")
                .limit(allowed, &multiple.source)
                .found_in(p.at)
                .says(
                    format!(
                        "One pulse puts {} into {}; a part of {} stands {} for a short time",
                        show(p.energy, "J"),
                        r.part.name,
                        show(r.rated, "W"),
                        show(allowed, "J")
                    ),
                    format!(
                        "use at least {}, a wire-wound type that stands pulses, or share it between more in series",
                        show(next_watts(r.rated * p.energy / allowed), "W")
                    ),
                )
                .proposes(propose::wattage(r.part, r.rated * p.energy / allowed)),
        );
        return;
    }
    let half = standard::bench::half_power();
    let Some(seen) = lasting(case, r.k, Quantity::Power, Kind::Normal) else { return };
    if seen.value > half.value * limit.value * (1.0 + 1e-9) {
        let allowed = Limit { value: half.value * limit.value, unit: "W", ..half };
        let message = format!(
            "{} takes {} in normal use, more than half of the {} it may take in this box: inside its rating, past common \
             practice, and hot",
            r.part.name,
            show(seen.value, "W"),
            show(limit.value, "W")
        );
        out.push(
            case.about_part(CheckId::ResistorPower, Signal::Caution, r.part, "power")
                .over("power", &seen, &allowed)
                .says(message, cure(case, r, seen.value, None))
                .proposes(propose::stronger(case, r.k, r.part)),
        );
    }
}

/// Joules a pulse may put into a resistor: short overload for its time, the rating for whatever is longer.
fn pulse_limit(watts: f64, seconds: f64) -> f64 {
    let (multiple, time) = standard::bench::short_overload_power();
    watts * (multiple.value * time.value + (seconds - time.value).max(0.0))
}

fn too_hot(case: &Case, r: &Heated, kind: Kind, seen: &Seen, limit: &Limit, far: bool) -> Draft {
    let times = seen.value / limit.value;
    let what = match (far, r.cold, kind) {
        _ if r.fusible
            && kind != Kind::Normal
            && seen.value >= standard::bench::sustained_fire().value * limit.value =>
        {
            "it opens, as a fusible part does"
        }
        (true, _, _) => "it glows and can light what is near it",
        (false, true, Kind::SingleFault) => "it is built to fail without flame, but it fails",
        _ => "it chars and in time fails",
    };
    let long = ends_within(case, seen.at).map_or(String::from(" for ever"), |(by, s)| {
        let by = if case.survey.model.protectors[by].kind == ProtectorKind::Fusible(r.k) {
            "it".into()
        } else {
            case.device(by)
        };
        format!(" for up to {} until {by} opens", show(s, "s"))
    });
    let hot_box = limit.value <= 0.0;
    let allowed = if hot_box {
        "and the box gets so hot that it may take nothing".to_string()
    } else {
        format!("{times:.1} times the {} it may take in this box", show(limit.value, "W"))
    };
    let message =
        format!("{} {} takes {}{long}, {allowed}: {what}", when(case, kind, seen), r.part.name, show(seen.value, "W"));
    let fire = (kind != Kind::Normal).then_some(seen.value);
    let normal = lasting(case, r.k, Quantity::Power, Kind::Normal).map_or(seen.value, |s| s.value);
    let remedy = if what.starts_with("it opens") {
        "none needed; look for the fault before it is replaced".to_string()
    } else if hot_box {
        "bring less heat into the box, or use a larger or ventilated one; then look at this again".to_string()
    } else {
        cure(case, r, normal, fire)
    };
    let draft = case.about_part(CheckId::ResistorPower, Signal::Warning, r.part, "power").over("power", seen, limit);
    let draft = draft.says(message, remedy);
    // What opens as it was made to has nothing to be mended.
    if what.starts_with("it opens") { draft } else { draft.proposes(propose::stronger(case, r.k, r.part)) }
}

/// The smallest size of the table that stands these watts at half its power and these volts, alone or as several in
/// series: worked out, not guessed.
fn cure(case: &Case, r: &Heated, normal: f64, fault: Option<f64>) -> String {
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
    let words = |(w, v): (f64, f64)| if v > 0.0 { format!("{} {}", show(w, "W"), show(v, "V")) } else { show(w, "W") };
    let mut ways = vec![];
    if let Some(size) = fits(1.0) {
        ways.push(format!("use a part of {}", words(size)));
    }
    for n in [2.0, 3.0, 4.0] {
        let each = standard::preferred::nearest_at_least(r.ohms / n, 24);
        if let (Some(size), Some(each)) = (fits(n), each) {
            let count = ["", "", "two", "three", "four"][n as usize];
            ways.push(format!("{count} of {} {} in series", show(each, "Ω"), words(size)));
            break;
        }
    }
    if r.volts.is_none() {
        ways.truncate(2);
    }
    match (ways.is_empty(), fault.is_some()) {
        (true, _) => "use a wire-wound power resistor of several times these watts, or lower the current".into(),
        (false, true) => format!("{}, or a flame-proof fusible type", ways.join(", or ")),
        (false, false) => ways.join(", or "),
    }
}

fn next_watts(least: f64) -> f64 {
    let sizes = standard::resistor::resistor().iter().map(|s| s.rated_w);
    super::words::next_of(sizes, least).unwrap_or(least)
}
