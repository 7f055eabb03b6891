//! What fingers can reach: volts and current through the body, to earth and to the next thing that can be reached.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::{Kind, Signal};
use crate::standard::Limit;
use crate::standard::touch::{Condition, TouchLimits, combined_share, extra_low_voltage, limits};
use crate::survey::ledger::TouchWorst;

use super::words::{ends_within, show};

pub(super) const CHECK: Check = Check {
    names: &["touch-voltage", "touch-current"],
    about: &[
        About {
            looks_at: "extra-low volts on everything listed as touchable, to earth and to every other touchable, before a hand bridges them",
            limit: "dry places: {touch.voltage_limit.iec61010_2010_normal_dry.ac_rms_v} r.m.s., {touch.voltage_limit.iec61010_2010_normal_dry.ac_peak_v} peak or {touch.voltage_limit.iec61010_2010_normal_dry.dc_v} d.c. in normal condition; {touch.voltage_limit.iec61010_2010_fault_dry.ac_rms_v} r.m.s., {touch.voltage_limit.iec61010_2010_fault_dry.ac_peak_v} peak or {touch.voltage_limit.iec61010_2010_fault_dry.dc_v} d.c. after a single fault. Told under this name up to {touch.voltage_limit.elv_upper.ac_rms_v} a.c. and {touch.voltage_limit.elv_upper.dc_v} d.c., where lower volts are the cure; above that touch-current tells it",
            rows: &[],
            how: "every condition is solved with a voltmeter on each touchable; a.c. and d.c. shares of the limit are added. A touchable is hazardous only when the current that a hand draws is over its limit too: volts behind protective impedance are not told",
            mend: "use a supply of fewer volts, or cover what can be touched",
        },
        About {
            looks_at: "the current a hand draws from everything listed as touchable, through the published body network, to earth and to every other touchable",
            limit: "{touch.current_limit.iec61010_normal_ac.ac_rms_ma} r.m.s., {touch.current_limit.iec61010_normal_ac.ac_peak_ma} peak or {touch.current_limit.iec61010_normal_dc.dc_ma} d.c. in normal condition; {touch.current_limit.iec61010_fault.ac_rms_ma} r.m.s., {touch.current_limit.iec61010_fault.ac_peak_ma} peak or {touch.current_limit.iec61010_fault.dc_ma} d.c. after a single fault. A fault to an earthed touchable counts only while it lasts longer than the published disconnection time, {supplies.disconnection_time.tn_230v.max_s} on 230 V",
            rows: &["supplies.disconnection_time"],
            how: "the body is {touch.network.iec60990_fig4.rs_ohm} with {touch.network.iec60990_fig4.cs_nf} across it, then {touch.network.iec60990_fig4.rb_ohm}, put on in every condition: I = U(Rb) / Rb",
            mend: "insulate the touchable from the mains (double or reinforced), or bond it to the protective earth so that the fuse opens, or share the volts between two or more resistors that hold the current inside the limit with any one of them shorted",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let ledger = &case.survey.ledger;
    for (k, touchable) in case.jig.touchables.iter().enumerate() {
        let found = worst(case, |kind| ledger.touch_of(k, kind), ledger.lasting.late[k]);
        let Some((signal, t, kind)) = found else { continue };
        let draft = judge(case, k, signal, &t, kind, &format!("{} to earth", touchable.name));
        out.push(draft.net(case.net(touchable.net)));
    }
    for (k, (i, j, _)) in case.survey.model.pair_probes.iter().enumerate() {
        // Whatever is hazardous to earth by itself has been told.
        let told = |t: usize| worst(case, |kind| ledger.touch_of(t, kind), ledger.lasting.late[t]).is_some();
        if told(*i) || told(*j) {
            continue;
        }
        let found = worst(case, |kind| ledger.pair_of(k, kind), ledger.lasting.late_pairs[k]);
        let Some((signal, t, kind)) = found else { continue };
        let names = format!("{} to {}", case.jig.touchables[*i].name, case.jig.touchables[*j].name);
        out.push(judge(case, *i, signal, &t, kind, &names).touchable(&case.jig.touchables[*j].name));
    }
}

/// Normal condition first; then what nothing ends in time; then what is ended, but late.
fn worst(
    _case: &Case,
    of: impl Fn(Kind) -> Option<TouchWorst>,
    late: Option<TouchWorst>,
) -> Option<(Signal, TouchWorst, Kind)> {
    let hazardous = |t: Option<TouchWorst>| t.filter(|t| t.hazard > 1.0);
    if let Some(t) = hazardous(of(Kind::Normal)) {
        return Some((Signal::Danger, t, Kind::Normal));
    }
    if let Some(t) = hazardous(of(Kind::SingleFault)) {
        return Some((Signal::Danger, t, Kind::SingleFault));
    }
    hazardous(late).map(|t| (Signal::Warning, t, Kind::SingleFault))
}

/// The current and its limit that is most over: r.m.s., peak or d.c.
fn leading(l: &TouchLimits, t: &TouchWorst) -> (&'static str, f64, Limit) {
    let rows = [
        ("touch current r.m.s.", t.current_rms, &l.current_rms),
        ("touch current peak", t.current_peak, &l.current_peak),
        ("touch current d.c.", t.current_dc.abs(), &l.current_dc),
    ];
    let worst = rows.into_iter().max_by(|a, b| (a.1 / a.2.value).total_cmp(&(b.1 / b.2.value)));
    let (name, value, limit) = worst.unwrap_or(("touch current r.m.s.", t.current_rms, &l.current_rms));
    (name, value, limit.clone())
}

/// Volts that are over the limit and yet extra-low, most over: r.m.s. or d.c. There it is the voltage that is wrong; above,
/// what matters is what a hand draws.
fn low(l: &TouchLimits, t: &TouchWorst) -> Option<(&'static str, f64, Limit)> {
    let (ac, dc) = ((t.voltage_rms.powi(2) - t.voltage_dc.powi(2)).max(0.0).sqrt(), t.voltage_dc.abs());
    let (ac_bound, dc_bound) = extra_low_voltage();
    let rows = [("touch voltage r.m.s.", ac, &l.voltage_rms), ("touch voltage d.c.", dc, &l.voltage_dc)];
    let worst = rows.into_iter().max_by(|a, b| (a.1 / a.2.value).total_cmp(&(b.1 / b.2.value)))?;
    let extra_low = combined_share(dc, dc_bound.value, ac, ac_bound.value) <= 1.0;
    (extra_low && worst.1 > worst.2.value).then(|| (worst.0, worst.1, worst.2.clone()))
}

fn judge(case: &Case, touchable: usize, signal: Signal, t: &TouchWorst, kind: Kind, between: &str) -> Draft {
    let l = limits(if kind == Kind::Normal { Condition::Normal } else { Condition::SingleFault });
    let (quantity, value, limit) = leading(&l, t);
    let thing = &case.jig.touchables[touchable];
    let condition = case.survey.words(case.jig, t.at);
    let (volts, amperes) = (show(t.voltage_rms, "V"), show(value, "A"));
    let what = match kind {
        Kind::Normal => "without any fault".to_string(),
        _ => match ends_within(case, t.at) {
            Some((by, within)) => {
                format!("after one fault, and {} takes up to {} to end it", case.device(&by), show(within, "s"))
            }
            None => "after one fault, and nothing ends it in time".to_string(),
        },
    };
    if let Some((quantity, v, limit)) = low(&l, t) {
        let draft = case.at("touch-voltage", signal, thing.place).touchable(&thing.name).condition(&condition);
        return draft.value(quantity, v, "V").limit(limit.value, &limit.source).says(
            format!(
                "{between}: {} ({quantity}) stands on it {what}, the limit is {}; a hand on it draws {amperes}",
                show(v, "V"),
                show(limit.value, "V")
            ),
            format!("use a supply of at most {} there, or cover what can be touched", show(limit.value, "V")),
        );
    }
    let bonded = "make its path to the protective earth solid (no fuse, switch or part in it), so that a fuse opens";
    let remedy = match (case.jig.enclosure.class, ends_within(case, t.at)) {
        (_, Some(_)) => format!("{bonded}, or fit a quicker or smaller fuse in each live pole"),
        (Some(crate::jig::Class::I), None) if kind != Kind::Normal => {
            format!("{bonded}, or insulate {} from the mains by double or reinforced insulation", thing.name)
        }
        _ => format!(
            "put double or reinforced insulation between {} and everything on the mains, or feed it through two or \
             more resistors that keep the current below {} with any one shorted",
            thing.name,
            show(limit.value, "A")
        ),
    };
    let message = format!(
        "{between}: {volts} r.m.s. stands on it {what}; a hand on it draws {amperes} ({quantity}), the limit is {}",
        show(limit.value, "A")
    );
    case.at("touch-current", signal, thing.place)
        .touchable(&thing.name)
        .value(quantity, value, "A")
        .limit(limit.value, &limit.source)
        .condition(&condition)
        .says(message, remedy)
}
