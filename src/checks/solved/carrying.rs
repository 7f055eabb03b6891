//! What current flows through on its way: switches, wires, cord, plug.

use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::{Kind, Quantity, Signal};
use crate::jig::{Part, PartKind};
use crate::part::{Switch, ThermalFuse, Wire};
use crate::standard;
use crate::survey::ledger::Worst;

use super::propose;
use super::words::{at_nominal, item_name, lasting, nominal_volts, rated, seen, show, to_nominal};

pub(super) const CHECK: Check = Check {
    names: &["switch-rating", "wire-rating", "cord-rating", "plug-rating"],
    about: &[
        About {
            looks_at: "the volts and the current of every switch contact in normal use",
            limit: "its rated volts (against the nominal supply) and amperes",
            rows: &["jig"],
            how: "on the mains the nominal supply; elsewhere the volts solved with the contact open; r.m.s. current at nominal supply",
            mend: "use a mains switch with the voltage and current marked on it",
        },
        About {
            looks_at: "the current of every wire in normal use, and the volts its insulation is rated for",
            limit: "amperes by area (flexible cords): {cords.uk_cord area_mm2 current_a}; thinner wires in proportion; its rated volts against the nominal supply",
            rows: &["jig", "bench.rule.small_wire_density"],
            how: "r.m.s. current at nominal supply",
            mend: "use the next area",
        },
        About {
            looks_at: "the area of the supply cord against the current the tool takes and its length",
            limit: "area by the current of the tool: {cords.appliance_cord current_to_a area_mm2}, thinner ones for short cords; amperes by area (flexible cords): {cords.uk_cord area_mm2 current_a}; thinner wires in proportion",
            rows: &["bench.rule.small_wire_density"],
            how: "the largest r.m.s. current in L or N at nominal supply, over switch positions and loads",
            mend: "use a cord of the area named",
        },
        About {
            looks_at: "the current through the plug and its rated volts",
            limit: "the plug's rated current and volts (such as type C: {plugs.plug_rows.c_europlug.rated_a} and {plugs.plug_rows.c_europlug.rated_v})",
            rows: &["plugs.plug_rows"],
            how: "the largest r.m.s. current in L or N at nominal supply; volts: the nominal supply",
            mend: "use a plug made for the supply and the current, or limit the load",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let mut told: Vec<&str> = vec![];
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if told.contains(&part.name.as_str()) {
            continue;
        }
        let before = out.len();
        match &part.kind {
            PartKind::Switch(Switch { voltage, current, .. }) => {
                stands(case, k, part, "switch-rating", *voltage, out);
                carries(case, k, part, "switch-rating", current.map(|a| rated(a, "A")), out);
            }
            PartKind::ThermalFuse(ThermalFuse { voltage, current, .. }) => {
                stands(case, k, part, "fuse-voltage", *voltage, out);
                carries(case, k, part, "fuse-rating", current.map(|a| rated(a, "A")), out);
            }
            PartKind::Wire(Wire { area, voltage, .. }) => {
                stands(case, k, part, "wire-rating", *voltage, out);
                carries(case, k, part, "wire-rating", area.map(standard::cord::wire_rating), out);
            }
            _ => {}
        }
        if out.len() > before {
            told.push(&part.name);
        }
    }
    supply(case, out);
}

/// Volts: a mains net may stand at the whole nominal supply whatever the other end does.
fn stands(case: &Case, k: usize, part: &Part, check: &str, volts: Option<f64>, out: &mut Vec<Draft>) {
    let Some(v) = volts else { return };
    let wire = matches!(part.kind, PartKind::Wire(_));
    let ends = case.survey.model.items[k].ends;
    let mains = ends.iter().all(|n| case.is_mains(*n));
    let (value, condition) = if mains && nominal_volts(case) > 0.0 {
        (nominal_volts(case), "mains nominal".to_string())
    } else if wire {
        return;
    } else {
        match lasting(case, k, Quantity::VoltageRms, Kind::Normal) {
            Some(s) => (s.value * to_nominal(case), s.condition),
            None => return,
        }
    };
    if value > v * (1.0 + 1e-3) {
        let s = Seen { value, unit: "V", at: (0, 0), condition, kind: Kind::Normal };
        let what = if wire { "its insulation is made for" } else { "it is made for" };
        out.push(
            case.about_part(check, Signal::Warning, part, "voltage")
                .over("volts r.m.s.", &s, &rated(v, "V"))
                .says(
                    format!("{} works at {}, {what} {}", part.name, show(value, "V"), show(v, "V")),
                    format!("use one rated for at least {} a.c.", show(value, "V")),
                )
                .proposes(propose::contact_volts(part, value)),
        );
    }
}

fn carries(case: &Case, k: usize, part: &Part, check: &str, limit: Option<standard::Limit>, out: &mut Vec<Draft>) {
    let found = at_nominal(case, k, Quantity::CurrentRms).zip(limit).filter(|(s, l)| s.value > l.value * (1.0 + 1e-3));
    let Some((s, limit)) = found else { return };
    let remedy = match part.kind {
        PartKind::Wire(_) => {
            area_for(s.value).map_or("use a thicker wire".into(), |a| format!("use at least {}", show(a, "m²")))
        }
        _ => format!("use one rated for at least {}", show(s.value, "A")),
    };
    out.push(
        case.about_part(check, Signal::Warning, part, "current")
            .over("current r.m.s.", &s, &limit)
            .says(
                format!(
                    "{} carries {} in normal use, made for {}: it overheats",
                    item_name(case, k),
                    show(s.value, "A"),
                    show(limit.value, "A")
                ),
                remedy,
            )
            .proposes(match part.kind {
                PartKind::Wire(Wire { area, .. }) => propose::thicker(part, area.unwrap_or(0.0), s.value),
                _ => propose::current_rating(part, s.value),
            }),
    );
}

/// The smallest area of the cord table that carries a current.
fn area_for(amperes: f64) -> Option<f64> {
    let rows = standard::cord::uk_cord().iter().filter(|r| r.current_a >= amperes && !r.id.ends_with("old"));
    rows.map(|r| r.area_mm2 * 1e-6).min_by(f64::total_cmp)
}

fn supply(case: &Case, out: &mut Vec<Draft>) {
    let Some(mains) = &case.jig.supply.mains else { return };
    let conductors = &case.survey.ledger.lasting.conductors_nominal;
    let worst: Option<Worst> = conductors[..2].iter().copied().flatten().max_by(|a, b| a.value.total_cmp(&b.value));
    let s = worst.map(|w| seen(case, w, "A", Kind::Normal));
    if let (Some(cord), Some(s)) = (&case.jig.supply.cord, &s) {
        cord_area(case, cord, s, out);
    }
    let Some(plug) = &case.jig.supply.plug else { return };
    if let Some(s) = s.filter(|s| s.value > plug.rated_a) {
        let limit =
            standard::Limit { value: plug.rated_a, unit: "A", source: plug.source.clone(), id: plug.row.clone() };
        out.push(
            case.about_key("plug-rating", Signal::Warning, "supply.plug").over("current r.m.s.", &s, &limit).says(
                format!(
                    "The tool takes {}, the plug is made for {}: it overheats in the socket",
                    show(s.value, "A"),
                    show(plug.rated_a, "A")
                ),
                "use a plug for this current, or limit the load",
            ),
        );
    } else if mains.nominal > plug.rated_v * (1.0 + 1e-3) {
        out.push(
            case.about_key("plug-rating", Signal::Warning, "supply.plug")
                .value("nominal supply", mains.nominal, "V")
                .limit(plug.rated_v, &plug.source)
                .condition("mains nominal")
                .says(
                    format!(
                        "The plug is made for {}, the supply is {}: a tool for one fits the socket of the other",
                        show(plug.rated_v, "V"),
                        show(mains.nominal, "V")
                    ),
                    "use the plug of the supply the tool is built for",
                ),
        );
    }
}

fn cord_area(case: &Case, cord: &crate::jig::Cord, s: &Seen, out: &mut Vec<Draft>) {
    let Some(area) = cord.area else { return };
    let carries = standard::cord::wire_rating(area);
    let smallest = standard::cord::smallest_cord(s.value, cord.length);
    let needed = smallest.as_ref().map(|l| l.value).or_else(|| area_for(s.value));
    let remedy = needed.map_or("use a thicker cord".to_string(), |a| {
        format!("use a cord of at least {}", show(a.max(area_for(s.value).unwrap_or(a)), "m²"))
    });
    if s.value > carries.value * (1.0 + 1e-3) {
        out.push(
            case.about_key("cord-rating", Signal::Warning, "supply.cord")
                .over("current r.m.s.", s, &carries)
                .says(
                    format!(
                        "The tool takes {}, a cord of {} carries {} for ever: it overheats",
                        show(s.value, "A"),
                        show(area, "m²"),
                        show(carries.value, "A")
                    ),
                    remedy,
                )
                .proposes(needed.map(|a| propose::cord(a.max(area_for(s.value).unwrap_or(a)))).unwrap_or_default()),
        );
    } else if let Some(l) = smallest.filter(|l| area < l.value * standard::cord::AREA_SLACK) {
        out.push(
            case.about_key("cord-rating", Signal::Warning, "supply.cord")
                .value("conductor area", area, "m²")
                .limit(l.value, &l.source)
                .condition(&s.condition)
                .says(
                    format!(
                        "A cord of {} is thinner than the {} asked for {} and this length: a short behind it heats it before the \
                         branch breaker opens",
                        show(area, "m²"),
                        show(l.value, "m²"),
                        show(s.value, "A")
                    ),
                    remedy,
                )
                .proposes(propose::cord(l.value)),
        );
    }
}
