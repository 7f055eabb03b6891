//! The volts across open fuses.

use super::contacts;
use super::lookup::{direct, emptying_volts, larger, lasting, nominal_volts, to_nominal};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, OWN_RATING};
use crate::finding::said::{Amount, FuseVoltage};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation, When};
use crate::jig::{Ends, Part, PartKind};
use crate::part::{Fuse, ThermalFuse};
use crate::standard::bench;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseVoltage,
    judges: &[
        of("fuse", &["voltage", "dc-voltage"], &[At::Fault, At::Emptying, At::Opening, At::Opened]),
        of("thermal-fuse", &["voltage"], &[At::Fault, At::Opening, At::Opened]),
    ],
    about: About {
        looks_at: "the volts that stand across an open fuse or thermal fuse",
        limit: "its rated volts, compared with the nominal supply (its standard allows for the supply's tolerance); of d.c. above {bench.rule.fuse_on_dc.over_v} its own d.c. volts, else {bench.rule.fuse_on_dc.fraction} of its rated a.c. volts: CAUTION",
        rows: &["jig", "bench.rule.fuse_on_dc"],
        how: "on the mains the nominal supply, or the d.c. above it; elsewhere the volts solved with the fuse open, brought to nominal supply, which may be higher by as much as the mains may be: a transformer gives more without load",
        mend: "use a fuse rated for the supply: 250 V on 230 V mains",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Fuse(fuse) = &part.kind {
            let over = fuse.voltage.and_then(|stated| volts(case, k, part, fuse.across, stated));
            out.extend(over.or_else(|| on_dc(case, k, part, fuse)));
        }
        if let PartKind::ThermalFuse(ThermalFuse { across, voltage: Some(stated), .. }) = &part.kind {
            out.extend(volts(case, k, part, *across, *stated));
        }
    }
}

fn volts(case: &Case, k: usize, part: &Part, across: Ends, stated: f64) -> Option<Draft> {
    let mains = across.iter().all(|n| case.is_mains(*n)) && nominal_volts(case) > 0.0;
    let solved = lasting(case, k, Quantity::VoltageRms, Situation::SingleFault);
    // A fuse may open each time a probe is put on; a link opens where something has been hot for long, and by then what is
    // emptied is empty.
    let emptied = || emptying_volts(case, k, Situation::SingleFault).filter(|_| !mains);
    let solved = if matches!(part.kind, PartKind::Fuse(_)) { larger(solved, emptied()) } else { solved };
    let solved = solved.map(|s| (s.value * to_nominal(case), When::Tried(s.at)));
    // On the mains the supply stands across it, and a d.c. bus that the mains feeds may stand above that.
    let above = |s: &(f64, When)| s.0 > nominal_volts(case) && is_direct(case, k, nominal_volts(case));
    let (value, when) = match solved.filter(|s| !mains || above(s)) {
        Some(solved) => solved,
        None => Some((nominal_volts(case), When::FuseOpen)).filter(|_| mains)?,
    };
    // A standard's fuse bears what the mains may rise by; behind a transformer its volts may rise as much without load.
    let rise = if mains { 1.0 } else { contacts::rise(case) };
    (value > stated * rise * (1.0 + 1e-3)).then(|| {
        // Behind two transformers it may rise once more.
        let signal = if value > stated * rise * rise || mains { Signal::Warning } else { Signal::Caution };
        let d = case.about_part(CheckId::FuseVoltage, signal, part, "voltage");
        let said = FuseVoltage::Open {
            part: part.name.clone(),
            volts: Amount::new(value, "V"),
            limit: Amount::new(stated, "V"),
            on_mains: matches!(when, When::FuseOpen),
        };
        d.value(Compared::VoltsAcrossOpenFuse, value, "V")
            .limit(stated, OWN_RATING)
            .when(when)
            .states(Said::FuseVoltage(said))
            .proposes(propose::contact_volts(part, value))
    })
}

/// Whether more than so many volts of d.c. stand across an item with one fault.
fn is_direct(case: &Case, k: usize, volts: f64) -> bool {
    direct(case, k, Situation::SingleFault).is_some_and(|s| s.value * to_nominal(case) > volts)
}

/// D.c. across an open fuse that is made for a.c. and states nothing for d.c., or less.
fn on_dc(case: &Case, k: usize, part: &Part, fuse: &Fuse) -> Option<Draft> {
    let (fraction, floor) = bench::fuse_on_dc();
    let (limit, source) = match (fuse.dc_voltage, fuse.voltage) {
        (Some(stated), _) => (stated, OWN_RATING.to_string()),
        (None, Some(stated)) => (fraction.value * stated, fraction.source),
        (None, None) => return None,
    };
    let s = direct(case, k, Situation::SingleFault)?;
    let value = s.value * to_nominal(case);
    if value <= floor.value || value <= limit * contacts::rise(case) {
        return None;
    }
    let said = FuseVoltage::Direct {
        part: part.name.clone(),
        volts: Amount::new(value, "V"),
        limit: Amount::new(limit, "V"),
        stated: fuse.dc_voltage.is_some(),
    };
    let d = case.about_part(CheckId::FuseVoltage, Signal::Caution, part, "voltage");
    let d = d.value(Compared::VoltsAcrossOpenFuse, value, "V").limit(limit, &source);
    Some(d.when(When::Tried(s.at)).states(Said::FuseVoltage(said)))
}
