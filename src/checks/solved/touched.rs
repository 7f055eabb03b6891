//! Everything that can be touched and is hazardous: normal condition first, then with one fault, then what is
//! ended too late.

use crate::checks::{Case, Draft};
use crate::finding::said::{Amount, TouchFault, Touching};
use crate::finding::{CheckId, Compared, Signal, Situation};
use crate::standard::Limit;
use crate::standard::touch::{LimitsIn, TouchLimits, combined_share, extra_low_voltage, limits};
use crate::survey::records::TouchWorst;

use super::lookup::ends_within;

/// A touchable, or two of them, found hazardous.
pub(super) struct Touched {
    /// The touchable.
    pub(super) touchable: usize,
    /// The other one, where a hand on both is meant.
    pub(super) other: Option<usize>,
    /// How grave.
    pub(super) signal: Signal,
    /// The worst of it.
    pub(super) worst: TouchWorst,
    /// Whether it takes a fault.
    pub(super) kind: Situation,
}

/// What is hazardous to earth, then from one touchable to the next.
pub(super) fn all(case: &Case) -> Vec<Touched> {
    let ledger = &case.survey.ledger;
    let single = |k: usize| worst(|kind| ledger.touch_of(k, kind), ledger.lasting.late[k].copied());
    let mut out = vec![];
    for k in 0..case.jig.touchables.len() {
        out.extend(single(k).map(|(signal, worst, kind)| Touched { touchable: k, other: None, signal, worst, kind }));
    }
    for (k, (i, j, _)) in case.survey.model.pair_probes.iter().enumerate() {
        // Whatever is hazardous to earth by itself has been told.
        if single(*i).is_some() || single(*j).is_some() {
            continue;
        }
        let found = worst(|kind| ledger.pair_of(k, kind), ledger.lasting.late_pairs[k].copied());
        out.extend(found.map(|(signal, worst, kind)| Touched { touchable: *i, other: Some(*j), signal, worst, kind }));
    }
    out
}

/// Normal condition first; then what nothing ends in time; then what is ended, but late.
fn worst(
    of: impl Fn(Situation) -> Option<TouchWorst>,
    late: Option<TouchWorst>,
) -> Option<(Signal, TouchWorst, Situation)> {
    let hazardous = |t: Option<TouchWorst>| t.filter(|t| t.hazard > 1.0);
    if let Some(t) = hazardous(of(Situation::Normal)) {
        return Some((Signal::Danger, t, Situation::Normal));
    }
    if let Some(t) = hazardous(of(Situation::SingleFault)) {
        return Some((Signal::Danger, t, Situation::SingleFault));
    }
    hazardous(late).map(|t| (Signal::Warning, t, Situation::SingleFault))
}

/// The limits of the condition it was found in.
pub(super) fn limits_of(kind: Situation) -> TouchLimits {
    limits(if kind == Situation::Normal { LimitsIn::Normal } else { LimitsIn::SingleFault })
}

/// The current and its limit that is most over: r.m.s., peak or d.c.
pub(super) fn leading(l: &TouchLimits, t: &TouchWorst) -> (Compared, f64, Limit) {
    let rows = [
        (Compared::TouchCurrentRms, t.current_rms, &l.current_rms),
        (Compared::TouchCurrentPeak, t.current_peak, &l.current_peak),
        (Compared::TouchCurrentDc, t.current_dc.abs(), &l.current_dc),
    ];
    let worst = rows.into_iter().max_by(|a, b| (a.1 / a.2.value).total_cmp(&(b.1 / b.2.value)));
    let (name, value, limit) = worst.unwrap_or((Compared::TouchCurrentRms, t.current_rms, &l.current_rms));
    (name, value, limit.clone())
}

/// Volts that are over the limit and yet extra-low, most over: r.m.s. or d.c. There it is the voltage that is wrong; above,
/// what matters is what a hand draws.
pub(super) fn low(l: &TouchLimits, t: &TouchWorst) -> Option<(Compared, f64, Limit)> {
    let (ac, dc) = ((t.voltage_rms.powi(2) - t.voltage_dc.powi(2)).max(0.0).sqrt(), t.voltage_dc.abs());
    let (ac_bound, dc_bound) = extra_low_voltage();
    let rows = [(Compared::TouchVoltageRms, ac, &l.voltage_rms), (Compared::TouchVoltageDc, dc, &l.voltage_dc)];
    let worst = rows.into_iter().max_by(|a, b| (a.1 / a.2.value).total_cmp(&(b.1 / b.2.value)))?;
    let extra_low = combined_share(dc, dc_bound.value, ac, ac_bound.value) <= 1.0;
    (extra_low && worst.1 > worst.2.value).then(|| (worst.0, worst.1, worst.2.clone()))
}

/// What is touched, and what it takes.
pub(super) fn facts(case: &Case, t: &Touched) -> Touching {
    let name = |k: usize| case.jig.touchables[k].name.clone();
    let fault = match (t.kind, ends_within(case, t.worst.at)) {
        (Situation::Normal, _) => TouchFault::None,
        (_, Some((by, within))) => TouchFault::EndedLate { by, within: Amount::new(within, "s") },
        (_, None) => TouchFault::NotEnded,
    };
    Touching { on: name(t.touchable), to: t.other.map(name), fault }
}

/// The finding is about what is touched.
pub(super) fn draft(case: &Case, check: CheckId, t: &Touched) -> Draft {
    let thing = &case.jig.touchables[t.touchable];
    let d = case.at(check, t.signal, thing.place).touchable(&thing.name);
    let d = d.found_in(t.worst.at);
    match t.other {
        None => d.net(case.net(thing.net)),
        Some(other) => d.touchable(&case.jig.touchables[other].name),
    }
}
