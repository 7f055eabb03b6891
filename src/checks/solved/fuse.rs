//! Fuses: rating, breaking capacity, volts, inrush.

use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::{Kind, Quantity, Signal};
use crate::jig::{Ends, Part, PartKind};
use crate::part::Fuse;
use crate::standard::fuse::{fuse_gates, ratings, ul_gates, ul_load_share};
use crate::standard::{self, Limit};

use super::paths::{by_wire, live_pins};
use super::propose;
use super::words::{at_nominal, lasting, next_of, nominal_volts, rated, seen, show, to_nominal, volts_to_earth};

pub(super) const CHECK: Check = Check {
    names: &["fuse-rating", "fuse-breaking", "fuse-voltage", "fuse-inrush"],
    about: &[
        About {
            looks_at: "the r.m.s. current of every fuse in normal use, in conditions it is not meant to end",
            limit: "its rated current; a fuse without an IEC letter is taken for a North American one, which only has to carry its rating for hours: {fuses.practice.ul_load_75.load_share_max} of it is a CAUTION",
            rows: &["jig"],
            how: "r.m.s. current at nominal supply, the largest over switch positions and outlet loads",
            mend: "the next rating of the series, as long as the wires and parts behind it stand it",
        },
        About {
            looks_at: "whether every fuse can break the current that a short on the mains gives",
            limit: "the highest prospective current usually met at a socket, {bench.mains.prospective_max_230.prospective_a} on 230 V and {bench.mains.prospective_max_120.prospective_a} on 120 V; behind something that limits the current, the largest that was solved",
            rows: &["jig"],
            how: "a fuse joined to a live pin by nothing but wire, contacts and fuses sees the whole prospective current",
            mend: "use a fuse of high breaking capacity (H, ceramic, 1500 A), not a glass one (L, 35 A)",
        },
        About {
            looks_at: "the volts that stand across an open fuse",
            limit: "its rated volts, compared with the nominal supply (its standard allows for the supply's tolerance)",
            rows: &["jig"],
            how: "on the mains the nominal supply; elsewhere the volts solved with the fuse open, brought to nominal supply",
            mend: "use a fuse rated for the supply: 250 V on 230 V mains",
        },
        About {
            looks_at: "the I²t of the first cycle after switching on at the worst instant",
            limit: "the I²t the fuse is sure to carry: the least of the published shortest times at four times its rating and more, by its standard sheet",
            rows: &["fuses.gate", "fuses.ul_gate", "fuses.sheet"],
            how: "∫ i² dt over the first mains cycle, every capacitor empty and every filament cold, at eight angles",
            mend: "use a time-lag (T) fuse, or a thermistor or resistor that limits the inrush",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Fuse(Fuse { across, current, voltage, breaking, .. }) = &part.kind else { continue };
        out.extend(rating(case, k, part, *current));
        out.extend(breaks(case, k, part, *across, *breaking));
        out.extend(volts(case, k, part, *across, *voltage));
        out.extend(inrush(case, k, part, *current));
    }
}

fn rating(case: &Case, k: usize, part: &Part, current: f64) -> Option<Draft> {
    let PartKind::Fuse(Fuse { speed, .. }) = &part.kind else { return None };
    let s = at_nominal(case, k, Quantity::CurrentRms)?;
    let better = |least: f64| {
        next_of(ratings().into_iter(), least).map_or("use a larger one".to_string(), |a| {
            format!("use {} if wires and parts behind it stand it, or take less current", show(a, "A"))
        })
    };
    if s.value > current * (1.0 + 1e-3) {
        return Some(case.about_part("fuse-rating", Signal::Warning, part, "current").over("current r.m.s.", &s, &rated(current, "A")).says(
            format!("{} carries {} in normal use, more than its {}: it runs hot, ages and opens some day, and whoever replaces it takes a bigger one", part.name, show(s.value, "A"), show(current, "A")),
            better(s.value),
        ).proposes(propose::larger_fuse(case, part, s.value)));
    }
    let share = ul_load_share();
    (speed.is_none() && s.value > share.value * current).then(|| {
        let limit = Limit { value: share.value * current, unit: "A", ..share.clone() };
        case.about_part("fuse-rating", Signal::Caution, part, "current").over("current r.m.s.", &s, &limit).says(
            format!("{} carries {}, more than three quarters of its rating; without an IEC letter (F, T) it only has to carry its rating for hours", part.name, show(s.value, "A")),
            better(s.value / share.value),
        ).proposes(propose::larger_fuse(case, part, s.value / share.value))
    })
}

/// Whether a net is joined to a live pin by nothing that limits current.
fn on_the_mains(case: &Case, across: Ends) -> bool {
    let g = by_wire(case, true);
    live_pins(case).into_iter().any(|pin| across.iter().any(|n| g.same(*n, pin)))
}

fn breaks(case: &Case, k: usize, part: &Part, across: Ends, breaking: Option<f64>) -> Option<Draft> {
    let stated = breaking?;
    let (limit, value) = if on_the_mains(case, across) {
        let p = standard::bench::prospective_max(volts_to_earth(case));
        (p.clone(), p.value)
    } else {
        let kinds = [Kind::Normal, Kind::SingleFault, Kind::Transient];
        let worst = kinds
            .into_iter()
            .filter_map(|kind| case.worst(k, Quantity::CurrentRms, kind))
            .max_by(|a, b| a.value.total_cmp(&b.value))?;
        (rated(worst.value, "A"), worst.value)
    };
    (stated < value * (1.0 - 1e-9)).then(|| {
        case.about_part("fuse-breaking", Signal::Warning, part, "breaking")
            .value("prospective current", value, "A")
            .limit(stated, &limit.source)
            .says(
                format!(
                    "{} can break {}; a dead short here can give {}: the fuse bursts and the arc goes on",
                    part.name,
                    show(stated, "A"),
                    show(value, "A")
                ),
                format!("use a fuse that breaks at least {} (IEC 60127 letter H)", show(value, "A")),
            )
            .proposes(propose::fuse_breaking(part, value))
    })
}

fn volts(case: &Case, k: usize, part: &Part, across: Ends, voltage: Option<f64>) -> Option<Draft> {
    let stated = voltage?;
    let mains = across.iter().all(|n| case.is_mains(*n));
    let (value, condition) = if mains && nominal_volts(case) > 0.0 {
        (nominal_volts(case), "mains nominal, the fuse open".to_string())
    } else {
        let s = lasting(case, k, Quantity::VoltageRms, Kind::SingleFault)?;
        (s.value * to_nominal(case), s.condition)
    };
    (value > stated * (1.0 + 1e-3)).then(|| {
        let s = Seen { value, unit: "V", at: (0, 0), condition, kind: Kind::Normal };
        case.about_part("fuse-voltage", Signal::Warning, part, "voltage")
            .over("volts across the open fuse", &s, &rated(stated, "V"))
            .says(
                format!(
                    "{} stand across {} when it has blown, it is made for {}: the arc does not go out",
                    show(value, "V"),
                    part.name,
                    show(stated, "V")
                ),
                "use a fuse rated for at least the nominal supply (250 V types serve 230 V)",
            )
            .proposes(propose::contact_volts(part, value))
    })
}

fn inrush(case: &Case, k: usize, part: &Part, current: f64) -> Option<Draft> {
    let PartKind::Fuse(Fuse { speed, breaking, .. }) = &part.kind else { return None };
    let w = case.survey.ledger.lasting.inrush_i2t[k]?;
    let gates = match speed {
        Some(s) => fuse_gates(current, s, *breaking)?,
        None => ul_gates(current),
    };
    let carried = gates.i2t_carried()?;
    let s = seen(case, w, "A²s", Kind::Transient);
    (s.value > carried).then(|| {
        let limit = Limit { value: carried, unit: "A²s", source: gates.source.clone(), id: String::new() };
        let enough = ratings().into_iter().find(|a| {
            *a > current && fuse_gates(*a, "T", *breaking).and_then(|g| g.i2t_carried()).is_some_and(|c| c >= s.value)
        });
        let remedy = enough.map_or("limit the inrush with a thermistor or resistor".to_string(), |a| {
            format!("use T {} if wires and parts behind it stand it, or limit the inrush with a thermistor", show(a, "A"))
        });
        case.about_part("fuse-inrush", Signal::Notice, part, "speed").over("I²t at switch-on", &s, &limit).says(
            format!("Switching on at the worst instant puts {} through {}, which is sure to carry {}: it may blow for no fault", show(s.value, "A²s"), part.name, show(carried, "A²s")),
            remedy,
        ).proposes(propose::slower_fuse(case, part))
    })
}
