//! Charge that stays after the plug is pulled, or after a probe has been held on.

use super::propose;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, BleederCure, StoredCharge};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::jig::PartKind;
use crate::part::Capacitor;
use crate::standard::discharge::{handle_below, plug_pin_rules};
use crate::standard::preferred::nearest_at_most;
use crate::survey::records::{ChargeSide, Left};
use crate::wording;

pub(super) const CHECK: Check = Check {
    id: CheckId::StoredCharge,
    about: About {
        looks_at: "the volts left between the plug's pins and on everything touchable after the plug is pulled at the worst instant, with the bleeder in order and with it open; and what a discharge probe leaves",
        limit: "{discharge.requirement.iec61010_plug_pins.after_s} after unplugging at most {discharge.requirement.iec61010_plug_pins.limit_v} or {discharge.requirement.iec61010_plug_pins.or_charge_below_uc} (broken: WARNING); {discharge.requirement.iec60335_plug_pins.after_s} after it at most {discharge.requirement.iec60335_plug_pins.limit_v} where more than {discharge.requirement.iec60335_plug_pins.exempt_up_to_uf} is charged (only this broken: CAUTION). A discharged capacitor may be handled below {parts.discharge.stop_volts.handle_below_dc_v} d.c.",
        rows: &[],
        how: "the steady state is taken at 32 phases of the mains, the pins are opened at those that leave most in each capacitor, and the circuit is followed: U = U0 · e^(−t / RC)",
        mend: "put a bleeder across the capacitor, two resistors in series so that each stands half the volts, of a value R ≤ t / (C · ln(U0 / U))",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let rules = plug_pin_rules();
    let mut done: Vec<[ChargeSide; 2]> = vec![];
    for kind in [Situation::Normal, Situation::SingleFault] {
        for (n, rule) in rules.iter().enumerate() {
            let rows = case.survey.ledger.left().filter(|l| l.kind == kind && !l.took);
            for l in rows.filter(|l| (l.seconds - rule.after_s).abs() < 1e-9 && rule.broken(l.volts, l.farads)) {
                if done.contains(&l.between) {
                    continue;
                }
                done.push(l.between);
                let signal = if kind == Situation::Normal && n == 0 { Signal::Warning } else { Signal::Caution };
                out.push(unplugged(case, l, signal, kind, rule.limit_v, &rule.source));
            }
        }
    }
    let limit = handle_below();
    for l in case.survey.ledger.left().filter(|l| l.took) {
        if l.volts > limit.value {
            let signal = if l.kind == Situation::Normal { Signal::Warning } else { Signal::Caution };
            let [a, b] = l.between.map(|side| wording::charge::side(case.jig, side));
            let d = draft(case, l, signal).limit(limit.value, &limit.source).net(&a).net(&b);
            let (after, volts) = (Amount::new(l.seconds, "s"), Amount::new(l.volts, "V"));
            let said = StoredCharge::PutOn { after, volts, between: [a, b], kind: l.kind };
            out.push(d.states(Said::StoredCharge(said)));
        }
    }
}

fn draft(case: &Case, l: &Left, signal: Signal) -> Draft {
    let largest = largest_capacitor(case);
    let draft = match largest {
        Some((part, _)) => case.about_part(CheckId::StoredCharge, signal, part, "capacitance"),
        None => case.about_key(CheckId::StoredCharge, signal, "supply.plug"),
    };
    draft.value(Compared::VoltsLeft, l.volts, "V").found_in(l.at)
}

fn largest_capacitor<'a>(case: &Case<'a>) -> Option<(&'a crate::jig::Part, f64)> {
    let all = case.jig.parts.iter().filter_map(|p| {
        if let PartKind::Capacitor(Capacitor { capacitance, .. }) = p.kind { Some((p, capacitance)) } else { None }
    });
    all.max_by(|a, b| a.1.total_cmp(&b.1))
}

fn unplugged(case: &Case, l: &Left, signal: Signal, kind: Situation, limit: f64, source: &str) -> Draft {
    let pins = l.between == [ChargeSide::PinL, ChargeSide::PinN];
    let side = wording::charge::side(case.jig, l.between[0]);
    let said = StoredCharge::Unplugged {
        after: Amount::new(l.seconds, "s"),
        volts: Amount::new(l.volts, "V"),
        limit: Amount::new(limit, "V"),
        on: (!pins).then(|| side.clone()),
        kind,
        cure: cure(case, l, kind),
    };
    let mut d = draft(case, l, signal).limit(limit, source);
    d = if pins { d.net("L").net("N") } else { d.touchable(&side) };
    let proposals = largest_capacitor(case).map(|(part, _)| propose::bleeders(case, part, l.farads));
    d.states(Said::StoredCharge(said)).proposes(proposals.unwrap_or_default())
}

/// The largest preferred value that brings the stricter of the rules about: R = t / (C ln(U0/U)), a tenth kept back for
/// the tolerances.
fn cure(case: &Case, l: &Left, kind: Situation) -> BleederCure {
    if kind != Situation::Normal {
        return BleederCure::TwoPaths;
    }
    let Some((part, _)) = largest_capacitor(case) else { return BleederCure::Bleeder };
    let crest = std::f64::consts::SQRT_2 * case.jig.supply.mains.as_ref().map_or(l.volts, |m| m.high);
    let needed = plug_pin_rules()
        .into_iter()
        .map(|r| r.after_s / (l.farads * (crest / r.limit_v).ln().max(0.1)))
        .fold(f64::INFINITY, f64::min);
    match nearest_at_most(0.9 * needed / 2.0, 12) {
        Some(each) => BleederCure::TwoInSeries {
            each: Amount::new(each, "Ω"),
            both: Amount::new(2.0 * each, "Ω"),
            across: part.name.clone(),
            farads: Amount::new(l.farads, "F"),
        },
        None => BleederCure::BleederAcross(part.name.clone()),
    }
}
