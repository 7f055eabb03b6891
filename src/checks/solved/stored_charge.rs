//! Charge that stays after the plug is pulled, or after a probe has been held on.

use super::lookup::graded;
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, BleederCure, StoredCharge};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Capacitor;
use crate::standard::discharge::{handle_below, inside_rule, plug_pin_rules};
use crate::standard::preferred::nearest_at_most;
use crate::survey::records::{ChargeSide, Left};
use crate::wording;

pub(super) const CHECK: Check = Check {
    id: CheckId::StoredCharge,
    judges: &[of("capacitor", &["capacitance", "charged", "tolerance"], &[At::Unplugged, At::Emptying])],
    about: About {
        looks_at: "the volts left between every two of the plug's pins, outlets, sockets and things that can be touched after the plug is pulled at the worst instant, with the bleeder in order and with it open, with the switches left and with each one moved; and what a discharge probe leaves, and puts on what can be touched meanwhile",
        limit: "{discharge.requirement.iec61010_plug_pins.after_s} after unplugging at most {discharge.requirement.iec61010_plug_pins.limit_v} or {discharge.requirement.iec61010_plug_pins.or_charge_below_uc} (broken: WARNING); {discharge.requirement.iec60335_plug_pins.after_s} after it at most {discharge.requirement.iec60335_plug_pins.limit_v} where more than {discharge.requirement.iec60335_plug_pins.exempt_up_to_uf} is charged (only this broken: CAUTION). The first of these holds between everything else too, and what fingers reach on both sides is DANGER. A capacitor inside a closed box may hold {discharge.requirement.inside_after_a_minute.limit_v} or {discharge.requirement.inside_after_a_minute.or_charge_below_uc} {discharge.requirement.inside_after_a_minute.after_s} after it (CAUTION). A discharged capacitor may be handled below {parts.discharge.stop_volts.handle_below_dc_v} d.c.",
        rows: &[],
        how: "the steady state is taken at 32 phases of the mains, the pins are opened at those that leave most in each capacitor, and the circuit is followed with every tolerance at its upper end: U = U0 · e^(−t / RC). A varistor below its knee discharges nothing. The charge is what flows through {discharge.stored_level.iec60335_measuring_load.discharge_resistance_ohm}; less than a touch current may be is a leak and no charge",
        mend: "put a bleeder across the capacitor, two resistors in series so that each stands half the volts, of a value R ≤ t / (C · ln(U0 / U))",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let rules = plug_pin_rules();
    let mut all: Vec<(Signal, usize, &Left)> = vec![];
    // What is met while a charge empties is told apart from what is left afterwards.
    for l in case.survey.ledger.left().filter(|l| !l.took && l.seconds > 0.0) {
        let broken = l.breaks();
        let rule = (0..rules.len()).find(|n| broken[*n] && (*n == 0 || of_both_rules(l)));
        all.extend(rule.map(|n| (signal(l, n == 0), n, l)));
    }
    // A capacitor is told once, by its gravest: in order before a fault, what fingers reach first, then the pins.
    all.sort_by_key(|(signal, n, l)| {
        (*signal, l.kind != Situation::Normal, *n, !in_the_hand(l), !l.is_of_pins(), l.between)
    });
    let mut told: Vec<Option<usize>> = vec![];
    for (signal, n, l) in all {
        if !told.contains(&l.holder) {
            told.push(l.holder);
            out.push(unplugged(case, l, signal, (rules[n].limit_v, &rules[n].source)));
        }
    }
    inside(case, &told, out);
    meanwhile(case, out);
    let limit = handle_below();
    for l in case.survey.ledger.left().filter(|l| l.took) {
        if l.volts > limit.value {
            let signal = if l.kind == Situation::Normal { Signal::Warning } else { Signal::Caution };
            let [a, b] = sides(case, l);
            let d = draft(case, l, signal).limit(limit.value, &limit.source).net(&a).net(&b);
            let (after, volts) = (Amount::new(l.seconds, "s"), Amount::new(l.volts, "V"));
            let said = StoredCharge::PutOn { after, volts, between: [a, b], kind: l.kind };
            out.push(d.states(Said::StoredCharge(said)));
        }
    }
}

fn sides(case: &Case, l: &Left) -> [String; 2] {
    l.between.map(|side| wording::charge::side(case.jig, side))
}

/// Whether fingers reach both sides.
fn in_the_hand(l: &Left) -> bool {
    l.between.iter().all(|side| matches!(side, ChargeSide::Touchable(_) | ChargeSide::Earth))
}

/// The second rule is one for pins and for what is touched.
fn of_both_rules(l: &Left) -> bool {
    l.is_of_pins() || in_the_hand(l)
}

/// Over the stricter rule alone it is told as a CAUTION; one fault is one step milder.
fn signal(l: &Left, gravest_rule: bool) -> Signal {
    let normal = if in_the_hand(l) { Signal::Danger } else { Signal::Warning };
    if gravest_rule { graded(normal, l.kind) } else { Signal::Caution }
}

/// What stays in a capacitor that nothing outside meets, and that is not told of already: a hand meets it that opens the box.
fn inside(case: &Case, told: &[Option<usize>], out: &mut Vec<Draft>) {
    let rule = inside_rule();
    for (k, item) in case.survey.model.items.iter().enumerate().filter(|(k, _)| !told.contains(&Some(*k))) {
        let part = &case.jig.parts[item.part];
        let Some(kept) = case.survey.ledger.lasting.kept[k].get() else { continue };
        let PartKind::Capacitor(Capacitor { capacitance, .. }) = part.kind else { continue };
        let ohms = rule.after_s / (capacitance * (kept.value / rule.limit_v).ln().max(0.1));
        let said = StoredCharge::Inside {
            after: Amount::new(rule.after_s, "s"),
            volts: Amount::new(kept.value, "V"),
            energy: Amount::new(0.5 * capacitance * kept.value * kept.value, "J"),
            part: part.name.clone(),
            bleeder: nearest_at_most(0.9 * ohms, 12).map(|r| Amount::new(r, "Ω")),
        };
        let d = case.about_part(CheckId::StoredCharge, Signal::Caution, part, "capacitance");
        let d = d.value(Compared::VoltsLeft, kept.value, "V").found_in(kept.at).limit(rule.limit_v, &rule.source);
        out.push(d.states(Said::StoredCharge(said)));
    }
}

/// What a hand meets while what was put on empties.
fn meanwhile(case: &Case, out: &mut Vec<Draft>) {
    let mut done: Vec<[ChargeSide; 2]> = vec![];
    let [rule, _] = plug_pin_rules();
    for kind in [Situation::Normal, Situation::SingleFault] {
        let touched = |l: &&Left| l.between.iter().any(|side| matches!(side, ChargeSide::Touchable(_)));
        let rows = case.survey.ledger.left().filter(|l| l.kind == kind && !l.took && l.seconds == 0.0 && l.breaks()[0]);
        for l in rows.filter(touched) {
            if done.contains(&l.between) {
                continue;
            }
            done.push(l.between);
            let between = sides(case, l);
            let d = draft(case, l, signal(l, true)).limit(rule.limit_v, &rule.source);
            let d = names(case, d, l);
            let said = StoredCharge::Meanwhile { volts: Amount::new(l.volts, "V"), between, kind };
            out.push(d.states(Said::StoredCharge(said)));
        }
    }
}

fn names(case: &Case, draft: Draft, l: &Left) -> Draft {
    l.between.iter().fold(draft, |d, side| match side {
        ChargeSide::Touchable(k) => {
            d.touchable(&case.jig.touchables[*k].name).net(case.net(case.jig.touchables[*k].net))
        }
        ChargeSide::PinL | ChargeSide::PinN | ChargeSide::Net(_) => d.net(&wording::charge::side(case.jig, *side)),
        ChargeSide::Earth => d,
    })
}

fn draft(case: &Case, l: &Left, signal: Signal) -> Draft {
    let draft = match holder(case, l) {
        Some((part, _)) => case.about_part(CheckId::StoredCharge, signal, part, "capacitance"),
        None => case.about_key(CheckId::StoredCharge, signal, "supply.plug"),
    };
    draft.value(Compared::VoltsLeft, l.volts, "V").found_in(l.at)
}

/// The capacitor that holds it; where that is none of the jig's own, as what hangs on an outlet, none.
fn holder<'a>(case: &Case<'a>, l: &Left) -> Option<(&'a Part, f64)> {
    let part = &case.jig.parts[case.survey.model.items[l.holder?].part];
    let PartKind::Capacitor(Capacitor { capacitance, .. }) = part.kind else { return None };
    Some((part, capacitance))
}

fn unplugged(case: &Case, l: &Left, signal: Signal, (limit, source): (f64, &str)) -> Draft {
    let said = StoredCharge::Unplugged {
        after: Amount::new(l.seconds, "s"),
        volts: Amount::new(l.volts, "V"),
        limit: Amount::new(limit, "V"),
        on: (!l.is_of_pins()).then(|| sides(case, l)),
        kind: l.kind,
        cure: cure(case, l, l.kind),
    };
    let d = names(case, draft(case, l, signal).limit(limit, source), l);
    let proposals = holder(case, l).map(|(part, _)| propose::bleeders(case, part, l.farads));
    d.states(Said::StoredCharge(said)).proposes(proposals.unwrap_or_default())
}

/// The largest preferred value that brings the stricter of the rules about: R = t / (C ln(U0/U)), a tenth kept back for
/// the tolerances.
fn cure(case: &Case, l: &Left, kind: Situation) -> BleederCure {
    if kind != Situation::Normal {
        return BleederCure::TwoPaths;
    }
    let Some((part, _)) = holder(case, l) else { return BleederCure::Bleeder };
    let mains = case.jig.supply.mains.as_ref().map_or(l.volts, |m| std::f64::consts::SQRT_2 * m.high);
    let crest = mains.max(l.volts);
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
