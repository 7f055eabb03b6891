//! The volts across open fuses.

use super::contacts::{self, ContactRating};
use super::lookup::{lasting, nominal_volts, to_nominal};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, OWN_RATING};
use crate::finding::said::{Amount, FuseVoltage};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation, When};
use crate::jig::{Ends, Part, PartKind};
use crate::part::{Fuse, ThermalFuse};
use crate::standard::Level;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseVoltage,
    judges: &[
        of("fuse", &["voltage"], &[At::Fault, At::Opening, At::Opened]),
        of("thermal-fuse", &["voltage"], &[At::Use]),
    ],
    about: About {
        looks_at: "the volts that stand across an open fuse",
        limit: "its rated volts, compared with the nominal supply (its standard allows for the supply's tolerance)",
        rows: &["jig"],
        how: "on the mains the nominal supply; elsewhere the volts solved with the fuse open, brought to nominal supply, which may be higher by as much as the mains may be: a transformer gives more without load",
        mend: "use a fuse rated for the supply: 250 V on 230 V mains",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Fuse(Fuse { across, voltage, .. }) = &part.kind else { continue };
        out.extend(volts(case, k, part, *across, *voltage));
    }
    let thermal = |kind: &PartKind| {
        let PartKind::ThermalFuse(ThermalFuse { voltage, .. }) = kind else { return None };
        Some(ContactRating { volts: *voltage, amperes: None })
    };
    let found = contacts::judge(case, CheckId::FuseVoltage, thermal);
    out.extend(found.into_iter().map(|(d, said)| d.states(Said::FuseVoltage(FuseVoltage::Thermal(said)))));
}

fn volts(case: &Case, k: usize, part: &Part, across: Ends, voltage: Option<f64>) -> Option<Draft> {
    let stated = voltage?;
    let mains = across.iter().all(|n| case.is_mains(*n));
    let (value, when) = if mains && nominal_volts(case) > 0.0 {
        (nominal_volts(case), When::FuseOpen)
    } else {
        let s = lasting(case, k, Quantity::VoltageRms, Situation::SingleFault)?;
        (s.value * to_nominal(case), When::Tried(s.at))
    };
    // A standard's fuse bears what the mains may rise by; behind a transformer its volts may rise as much without load.
    let rise = if mains { 1.0 } else { case.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(Level::High)) };
    (value > stated * rise * (1.0 + 1e-3)).then(|| {
        // Behind two transformers it may rise once more.
        let signal = if value > stated * rise * rise || mains { Signal::Warning } else { Signal::Caution };
        let d = case.about_part(CheckId::FuseVoltage, signal, part, "voltage");
        let said = FuseVoltage::Open {
            part: part.name.clone(),
            volts: Amount::new(value, "V"),
            limit: Amount::new(stated, "V"),
        };
        d.value(Compared::VoltsAcrossOpenFuse, value, "V")
            .limit(stated, OWN_RATING)
            .when(when)
            .states(Said::FuseVoltage(said))
            .proposes(propose::contact_volts(part, value))
    })
}
