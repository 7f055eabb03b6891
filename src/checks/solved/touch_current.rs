//! Current through a body from what fingers can reach, to earth and to the next thing that can be reached.

use super::lookup::ends_within;
use super::touched::{self, Touched, draft, facts, leading, limits_of, low};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, TouchCurrent, TouchCurrentCure};
use crate::finding::{CheckId, Said, Situation};
use crate::jig::Class;

pub(super) const CHECK: Check = Check {
    id: CheckId::TouchCurrent,
    judges: &[of("transformer", &["capacitance"], &[At::Use, At::Fault])],
    about: About {
        looks_at: "the current a hand draws from everything listed as touchable, through the published body network, to earth and to every other touchable",
        limit: "{touch.current_limit.iec61010_normal_ac.ac_rms_ma} r.m.s., {touch.current_limit.iec61010_normal_ac.ac_peak_ma} peak or {touch.current_limit.iec61010_normal_dc.dc_ma} d.c. in normal condition; {touch.current_limit.iec61010_fault.ac_rms_ma} r.m.s., {touch.current_limit.iec61010_fault.ac_peak_ma} peak or {touch.current_limit.iec61010_fault.dc_ma} d.c. after a single fault. A fault to an earthed touchable counts only while it lasts longer than the published disconnection time, {supplies.disconnection_time.tn_230v.max_s} on 230 V",
        rows: &["supplies.disconnection_time"],
        how: "the body is {touch.network.iec60990_fig4.rs_ohm} with {touch.network.iec60990_fig4.cs_nf} across it, then {touch.network.iec60990_fig4.rb_ohm}, put on in every condition: I = U(Rb) / Rb",
        mend: "insulate the touchable from the mains (double or reinforced), or bond it to the protective earth so that the fuse opens, or share the volts between two or more resistors that hold the current inside the limit with any one of them shorted",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    // Extra-low volts that are over their own limit are told as touch-voltage.
    let mine = touched::all(case).into_iter().filter(|t| low(&limits_of(t.kind), &t.worst).is_none());
    out.extend(mine.map(|t| finding(case, &t)));
}

fn finding(case: &Case, t: &Touched) -> Draft {
    let (quantity, value, limit) = leading(&limits_of(t.kind), &t.worst);
    let cure = match (case.jig.enclosure.class, ends_within(case, t.worst.at)) {
        (_, Some(_)) => TouchCurrentCure::BondOrFuse,
        (Some(Class::I), None) if t.kind != Situation::Normal => TouchCurrentCure::BondOrInsulate,
        _ => TouchCurrentCure::InsulateOrLimit,
    };
    let said = TouchCurrent {
        touching: facts(case, t),
        volts: Amount::new(t.worst.voltage_rms, "V"),
        quantity: quantity.clone(),
        current: Amount::new(value, "A"),
        limit: Amount::new(limit.value, "A"),
        cure,
    };
    let draft = draft(case, CheckId::TouchCurrent, t).value(quantity, value, "A").limit(limit.value, &limit.source);
    draft.states(Said::TouchCurrent(said))
}
