//! Extra-low volts on what fingers can reach.

use super::touched::{self, between, draft, leading, limits_of, low, what};
use super::words::show;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::CheckId;

pub(super) const CHECK: Check = Check {
    id: CheckId::TouchVoltage,
    about: About {
        looks_at: "extra-low volts on everything listed as touchable, to earth and to every other touchable, before a hand bridges them",
        limit: "dry places: {touch.voltage_limit.iec61010_2010_normal_dry.ac_rms_v} r.m.s., {touch.voltage_limit.iec61010_2010_normal_dry.ac_peak_v} peak or {touch.voltage_limit.iec61010_2010_normal_dry.dc_v} d.c. in normal condition; {touch.voltage_limit.iec61010_2010_fault_dry.ac_rms_v} r.m.s., {touch.voltage_limit.iec61010_2010_fault_dry.ac_peak_v} peak or {touch.voltage_limit.iec61010_2010_fault_dry.dc_v} d.c. after a single fault. Told under this name up to {touch.voltage_limit.elv_upper.ac_rms_v} a.c. and {touch.voltage_limit.elv_upper.dc_v} d.c., where lower volts are the cure; above that touch-current tells it",
        rows: &[],
        how: "every condition is solved with a voltmeter on each touchable; a.c. and d.c. shares of the limit are added. A touchable is hazardous only when the current that a hand draws is over its limit too: volts behind protective impedance are not told",
        mend: "use a supply of fewer volts, or cover what can be touched",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for t in touched::all(case) {
        let l = limits_of(t.kind);
        let Some((quantity, v, limit)) = low(&l, &t.worst) else { continue };
        let amperes = show(leading(&l, &t.worst).1, "A");
        out.push(
            draft(case, CheckId::TouchVoltage, &t).value(quantity, v, "V").limit(limit.value, &limit.source).says(
                format!(
                    "{}: {} ({quantity}) stands on it {}, the limit is {}; a hand on it draws {amperes}",
                    between(case, &t),
                    show(v, "V"),
                    what(case, &t),
                    show(limit.value, "V")
                ),
                format!("use a supply of at most {} there, or cover what can be touched", show(limit.value, "V")),
            ),
        );
    }
}
