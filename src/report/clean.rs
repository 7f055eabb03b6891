//! Takes out of foreign text (jig files, plugins, file names) what could move the cursor, colour the screen,
//! hide words or turn their order round. Must not know where the text stands.
//!
//! The facts of a judgement are cleaned before any word is put round them: each struct is taken apart field by field,
//! so a field added later does not compile until somebody has thought of it here. Of a candidate of `size` only its texts
//! are; lists of conditions are cleaned where they are laid out.

use crate::finding::{
    Accepted, Assumed, Candidate, CheckName, Circumstance, Compared, Discharge, FilePlace, Finding, Judgement,
    LeftOver, LetPass, MeasureFirst, Mend, Mending, PluginRun, Sizing, Stress, Touch,
};
use crate::quantity::{chooses_variant, hidden};
use std::collections::BTreeMap;

/// One line of text: tabs and line ends become a space, every other hidden character U+FFFD. Variation selectors
/// go: they change how wide a character stands, and every terminal counts them in its own way.
pub(crate) fn clean(text: &str) -> String {
    text.chars()
        .filter(|c| !chooses_variant(*c))
        .map(|c| match c {
            '\t' | '\n' | '\r' => ' ',
            c if hidden(c) => '\u{FFFD}',
            c => c,
        })
        .collect()
}

/// Text of several lines: as [`clean`], but line ends stay.
pub(crate) fn clean_lines(text: &str) -> String {
    text.lines().map(clean).collect::<Vec<_>>().join("\n")
}

fn each(texts: &[String]) -> Vec<String> {
    texts.iter().map(|t| clean(t)).collect()
}

fn check_name(name: &CheckName) -> CheckName {
    match name {
        CheckName::Core(id) => CheckName::Core(*id),
        CheckName::Plugin(name) => CheckName::Plugin(clean(name)),
    }
}

pub(super) fn finding(f: &Finding) -> Finding {
    let mut out = f.clone();
    // Every field is named here, so that a new text is not forgotten.
    let Finding {
        check,
        signal: _,
        source_of_check,
        parts,
        nets,
        touchables,
        condition,
        situation,
        quantity,
        value: _,
        unit,
        limit: _,
        margin: _,
        source,
        message,
        remedy,
        place: FilePlace { file, line: _, column: _ },
        accepted,
        said: _,
        when: _,
        cure: _,
    } = &mut out;
    *check = check_name(check);
    if let Compared::Named(name) = quantity {
        *name = clean(name);
    }
    if let Some(s) = situation {
        *s = circumstance(s);
    }
    let own = [source_of_check, condition, unit, source, message, remedy, file];
    let lists = [parts, nets, touchables].into_iter().flatten();
    let accepted = accepted.iter_mut().flat_map(|Accepted { reason, by, until }| [reason, by, until]);
    own.into_iter().chain(lists).chain(accepted).for_each(|text| *text = clean(text));
    out
}

fn circumstance(c: &Circumstance) -> Circumstance {
    let Circumstance { kind, faults, supply, plug, switches, loads, tolerances, moment } = c;
    let texts = |m: &BTreeMap<String, String>| m.iter().map(|(k, v)| (clean(k), clean(v))).collect();
    Circumstance {
        kind: *kind,
        faults: each(faults),
        supply: *supply,
        plug: *plug,
        switches: texts(switches),
        loads: texts(loads),
        tolerances: tolerances.iter().map(|(k, v)| (clean(k), *v)).collect(),
        moment: clean(moment),
    }
}

fn let_pass(l: &LetPass) -> LetPass {
    let LetPass { part, quantity, value, unit, rating, condition, kind, why } = l;
    LetPass {
        part: clean(part),
        quantity: *quantity,
        value: *value,
        unit,
        rating: *rating,
        condition: clean(condition),
        kind: *kind,
        why: clean(why),
    }
}

fn stress(s: &Stress) -> Stress {
    let Stress { part, quantity, nominal, value, unit, rating, margin, condition, kind } = s;
    Stress {
        part: clean(part),
        quantity: *quantity,
        nominal: *nominal,
        value: *value,
        unit,
        rating: *rating,
        margin: *margin,
        condition: clean(condition),
        kind: *kind,
    }
}

fn touch(t: &Touch) -> Touch {
    let Touch {
        touchable,
        voltage_rms,
        voltage_peak,
        voltage_dc,
        current_rms,
        current_peak,
        unweighted_rms,
        unweighted_peak,
        condition,
        kind,
    } = t;
    Touch {
        touchable: clean(touchable),
        voltage_rms: *voltage_rms,
        voltage_peak: *voltage_peak,
        voltage_dc: *voltage_dc,
        current_rms: *current_rms,
        current_peak: *current_peak,
        unweighted_rms: *unweighted_rms,
        unweighted_peak: *unweighted_peak,
        condition: clean(condition),
        kind: *kind,
    }
}

fn discharge(d: &Discharge) -> Discharge {
    let Discharge { between: [a, b], seconds, volts, condition } = d;
    Discharge { between: [clean(a), clean(b)], seconds: *seconds, volts: *volts, condition: clean(condition) }
}

fn assumed(a: &Assumed) -> Assumed {
    let Assumed { part, key, value, unit, source } = a;
    Assumed {
        part: part.as_deref().map(clean),
        key: clean(key),
        value: *value,
        unit: clean(unit),
        source: clean(source),
    }
}

fn plugin(p: &PluginRun) -> PluginRun {
    let PluginRun { id, version, sha256, vetted_by, outcome, why } = p;
    PluginRun {
        id: clean(id),
        version: clean(version),
        sha256: clean(sha256),
        vetted_by: each(vetted_by),
        outcome,
        why: clean(why),
    }
}

pub(super) fn judgement(j: &Judgement) -> Judgement {
    let Judgement {
        date,
        jig_name,
        jig_file,
        jig_sha256,
        conditions,
        findings,
        stresses,
        touch: touches,
        discharge: discharges,
        plugins,
        only,
        not_checked,
        assumed: taken,
        unit_without_checks,
        let_pass: passes,
        cleared,
        tried,
        replay,
        double_faults,
        measure_first,
    } = j;
    Judgement {
        date: clean(date),
        jig_name: clean(jig_name),
        jig_file: clean(jig_file),
        jig_sha256: clean(jig_sha256),
        conditions: *conditions,
        findings: findings.iter().map(finding).collect(),
        stresses: stresses.iter().map(stress).collect(),
        touch: touches.iter().map(touch).collect(),
        discharge: discharges.iter().map(discharge).collect(),
        plugins: plugins.iter().map(plugin).collect(),
        only: *only,
        not_checked: each(not_checked),
        assumed: taken.iter().map(assumed).collect(),
        unit_without_checks: unit_without_checks.as_deref().map(clean),
        let_pass: passes.iter().map(let_pass).collect(),
        // Cleaned cell by cell where their tables are made.
        cleared: cleared.clone(),
        tried: tried.clone(),
        replay: replay.clone(),
        double_faults: double_faults.clone(),
        measure_first: measure_first.as_ref().map(|m| MeasureFirst {
            all: m.all,
            first: m.first.iter().map(|(at, reads)| (clean(at), clean(reads))).collect(),
        }),
    }
}

pub(super) fn sizing(s: &Sizing) -> Sizing {
    let Sizing { task, chosen, candidates, why } = s;
    Sizing {
        task: clean(task),
        chosen: *chosen,
        candidates: candidates
            .iter()
            .map(|c| Candidate {
                findings: c.findings.iter().map(finding).collect(),
                why: each(&c.why),
                // The rest of a candidate is numbers and our own words.
                ..c.clone()
            })
            .collect(),
        why: each(why),
    }
}

pub(super) fn mending(m: &Mending) -> Mending {
    let Mending { file, changes, left } = m;
    let mend = |m: &Mend| Mend {
        part: clean(&m.part),
        key: clean(&m.key),
        from: m.from.as_deref().map(clean),
        to: clean(&m.to),
        checks: m.checks.iter().map(check_name).collect(),
    };
    let left_over = |l: &LeftOver| LeftOver { check: check_name(&l.check), parts: each(&l.parts), why: clean(&l.why) };
    Mending {
        file: file.as_deref().map(clean),
        changes: changes.iter().map(mend).collect(),
        left: left.iter().map(left_over).collect(),
    }
}
