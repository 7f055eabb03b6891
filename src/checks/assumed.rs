//! What was taken because the file states nothing, as facts: the verdict hangs on it. Must not judge.

use crate::finding::Assumed;
use crate::jig::{Jig, Part, PartKind};
use crate::part::Assumption;
use crate::standard::{Limit, bench, lamp, protection};
use crate::survey::Survey;

/// Everything that was taken: of the supply, then part by part in the order of the file.
pub(crate) fn assumed(jig: &Jig, survey: &Survey) -> Vec<Assumed> {
    let mut out = vec![];
    if let (Some(mains), None) = (&jig.supply.mains, jig.supply.breaker) {
        out.push(taken(None, "supply.breaker", protection::usual_branch(&mains.row)));
    }
    for part in &jig.parts {
        out.extend(of_a_part(part));
        let guesses = survey.model.assumptions.iter().filter(|(name, _)| *name == part.name);
        out.extend(guesses.filter_map(|(_, guess)| guessed(&part.name, *guess)));
    }
    out
}

fn of_a_part(part: &Part) -> Vec<Assumed> {
    let key = |key: &str, limit: Limit| taken(Some(&part.name), key, limit);
    let mut out = vec![];
    match &part.kind {
        PartKind::Resistor(r) if r.tolerance.is_none() => out.push(key("tolerance", bench::resistor_tolerance())),
        PartKind::Capacitor(c) if c.tolerance.is_none() => out.push(key("tolerance", bench::capacitor_tolerance())),
        PartKind::Neon(n) => {
            if n.slope.is_none() {
                out.push(key("slope", bench::neon_slope()));
            }
            if n.extinguish_current.is_none() {
                out.push(key("extinguish-current", bench::neon_extinction()));
            }
        }
        PartKind::Filament(f) if f.cold_ratio.is_none() => out.push(key("cold-ratio", lamp::filament_cold_ratio())),
        PartKind::Transformer(t) if t.capacitance.is_none() => {
            let [_, capacitance] = bench::transformer();
            out.push(key("capacitance", capacitance));
        }
        PartKind::Resistor(_)
        | PartKind::Capacitor(_)
        | PartKind::Filament(_)
        | PartKind::Transformer(_)
        | PartKind::Inductor(_)
        | PartKind::Winding(_)
        | PartKind::Diode(_)
        | PartKind::Led(_)
        | PartKind::Suppressor(_)
        | PartKind::Bridge(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Thermistor(_)
        | PartKind::Psu(_)
        | PartKind::Load(_)
        | PartKind::Wire(_)
        | PartKind::Socket(_) => {}
    }
    out
}

/// A value that was guessed by the size of a part.
fn guessed(part: &str, guess: Assumption) -> Option<Assumed> {
    let (key, value, unit) = match guess {
        Assumption::TransformerPower(volt_amperes) => ("power", volt_amperes, "VA"),
        Assumption::TransformerRegulation(share) => ("regulation", share, ""),
        // No value: told in words among what was not looked at.
        Assumption::ModuleBarrier | Assumption::NoBarrier => return None,
    };
    let source = "usual for its size (common practice)".into();
    Some(Assumed { part: Some(part.into()), key: key.into(), value, unit: unit.into(), source })
}

fn taken(part: Option<&str>, key: &str, limit: Limit) -> Assumed {
    Assumed {
        part: part.map(str::to_string),
        key: key.into(),
        value: limit.value,
        unit: limit.unit.into(),
        source: limit.source,
    }
}
