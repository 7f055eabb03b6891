//! Extra-low volts on what fingers can reach.

use super::touched::{self, draft, facts, leading, limits_of, low};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, TouchVoltage};
use crate::finding::{CheckId, Said};

pub(super) const CHECK: Check = Check {
    id: CheckId::TouchVoltage,
    judges: &[],
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
        let draws = Amount::new(leading(&l, &t.worst).1, "A");
        let said = TouchVoltage {
            touching: facts(case, &t),
            quantity: quantity.clone(),
            volts: Amount::new(v, "V"),
            limit: Amount::new(limit.value, "V"),
            draws,
        };
        let draft = draft(case, CheckId::TouchVoltage, &t).value(quantity, v, "V").limit(limit.value, &limit.source);
        out.push(draft.states(Said::TouchVoltage(said)));
    }
}
